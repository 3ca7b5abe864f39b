"""Every older log is brought up to date with a copy of it beside it, and one tick writes little."""

from __future__ import annotations

import contextlib
import sqlite3
from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.cli import at_machine, show
from stepcut.cli.begun import as_begun
from stepcut.log.care import look
from stepcut.log.schema import VERSION
from stepcut.log.session import Session
from stepcut.log.steps import steps
from stepcut.log.store import Store, WholeJob
from tests.log.older import older

TICKS = [(1, "turned"), (1, "cut"), (2, "turned")]


def job_as_begun(folder: Path) -> WholeJob:
    with Store(folder / "today.sqlite3") as store:
        return at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")), "2")


@pytest.mark.parametrize("schema", range(1, VERSION))
def test_a_log_of_every_older_schema_is_copied_and_brought_up_to_date_with_all_that_is_in_it(
    tmp_path: Path, schema: int
) -> None:
    row = job_as_begun(tmp_path)
    path = tmp_path / "old" / "log.sqlite3"
    path.parent.mkdir()
    older(path, schema, [row], [(1, *tick) for tick in TICKS], place=2, doing="cut 2", moves=3, title="Renamed ring")
    with contextlib.closing(sqlite3.connect(path)) as db:
        db.execute("INSERT INTO events (job, at, kind, words) VALUES (1, '2020', 'renamed', 'Sluice clamp ring')")
        db.execute("INSERT INTO notes (job, at, n, words, next_time) VALUES (1, '2020', 1, 'oil it', 1)")
        db.execute("INSERT INTO readings (job, n, at, wanted, found) VALUES (1, 1, '2020', 0.1, 0.11)")
        if schema > 1:
            db.execute("INSERT INTO blues (job, at, share, before, after) VALUES (1, '2020', 0.5, 9.0, 4.0)")
        db.commit()
    with Store(path, reading=True) as store:  # only read it is not changed, and nothing of it is missed
        assert (store.job(1).recipe, store.job(1).plan) == (row.recipe, row.plan)
        assert store.recipe(1) == row.recipe
        # Until the title that a job was begun with had a column of its own, its shown one named it.
        assert store.for_next_time("ramp", "Renamed ring" if schema < 5 else "Sluice clamp ring") == ["oil it"]
    assert not list(path.parent.glob("*before-schema*"))
    with Store(path) as store:
        job = store.job(1)
        assert (job.revision, job.part, job.title, job.named) == (
            row.revision,
            "A",
            "Renamed ring",
            "Sluice clamp ring",
        )
        assert (job.recipe, job.plan, job.place, job.stops) == (row.recipe, row.plan, 2, 28)
        kept = (row.piece, row.machine_file, row.as_begun, row.program, 3) if schema > 2 else ("1", "", "", "", 0)
        assert (job.piece, job.machine_file, job.as_begun, job.program, job.moves) == kept
        assert job.doing == ("cut 2" if schema > 3 else "")
        assert store.ticks(1) == set(TICKS)
        assert [kind for _, kind, _, _ in store.events(1)] == ["begun", "turned", "cut", "turned", "renamed"]
        assert store.notes(1) == [("2020", 1, "oil it", 1)]
        assert store.readings(1) == [(1, 1, 0.1, 0.11, row.machine, "2020")]
        assert len(store.blues(1)) == (schema > 1)
        assert store.for_next_time("ramp", "Sluice clamp ring") == ["oil it"]
        session = Session(store, job, steps(as_begun(job).card))
        assert session.cut() == 2  # and the job goes on where it was
    assert look(path).faults == []
    (copy,) = path.parent.glob(f"*before-schema-{VERSION}-*")
    with contextlib.closing(sqlite3.connect(copy)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (schema,)
        kept_in = "jobs" if schema < 5 else "jobs JOIN kept ON kept.job = jobs.id"
        rows = db.execute("SELECT title, recipe, plan FROM " + kept_in).fetchall()  # noqa: S608  # names of tables
        assert rows == [("Renamed ring", row.recipe, row.plan)]
        assert db.execute("SELECT count(*) FROM ticks").fetchone() == (3,)


def test_a_migration_that_fails_half_way_changes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from stepcut.errors import FileTrouble
    from stepcut.log import schema

    path = tmp_path / "log.sqlite3"
    older(path, 4, [job_as_begun(tmp_path)], [(1, *tick) for tick in TICKS])
    broken = f"{schema.MIGRATIONS[4]}; DROP TABLE nowhere"
    monkeypatch.setattr(schema, "MIGRATIONS", (*schema.MIGRATIONS[:4], broken))
    with pytest.raises(FileTrouble):
        Store(path)
    monkeypatch.undo()
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (4,)
        assert db.execute("SELECT title, length(as_begun) > 1000 FROM jobs").fetchall() == [("Sluice clamp ring", 1)]
    with Store(path) as store:
        assert store.ticks(1) == set(TICKS)


def test_two_windows_that_bring_a_log_up_to_date_at_once_do_it_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second window opens the file just before the first one changes it: when its copy is written."""
    from stepcut.log import schema

    path = tmp_path / "log.sqlite3"
    older(path, 4, [job_as_begun(tmp_path)], [(1, *tick) for tick in TICKS])
    put_aside = schema.put_aside

    def second_window_first(*words: object) -> Path:
        monkeypatch.setattr(schema, "put_aside", put_aside)
        Store(path).close()
        return put_aside(*words)  # type: ignore[arg-type]

    monkeypatch.setattr(schema, "put_aside", second_window_first)
    with Store(path) as store:
        assert store.ticks(1) == set(TICKS)
        assert len(store.jobs()) == 1
    assert look(path).faults == []


def test_a_tick_writes_a_few_pages_however_long_the_card_is(tmp_path: Path) -> None:
    """The write-ahead log grows by the pages that a tick changes: those of ticks, events and the job's own row, not the card's.

    SQLite's page has 4096 bytes; a tick touches the ticks' and events' trees and the row of the job, and now and then a page splits.
    """
    path = tmp_path / "log.sqlite3"
    with Store(path) as store:
        store._db.execute("PRAGMA wal_autocheckpoint = 0")
        job = recipes.job(recipes.load("sluice-clamp-ramp").resized({"step": "1deg"}))
        row = at_machine.begun(store, job)
        assert len(row.as_begun) + len(row.plan) > 100_000
        session = Session(store, row, steps(show.whole(job)))
        session.past_set_up()
        wal = path.with_name("log.sqlite3-wal")
        grown = []
        for _ in range(60):
            before = wal.stat().st_size
            session.do(confirmed=True)
            grown.append(wal.stat().st_size - before)
        assert sum(grown) / len(grown) < 16_000
        assert max(grown) < 33_000


def test_what_is_lost_of_one_job_with_its_card_is_said_and_the_rest_stays(tmp_path: Path) -> None:
    from stepcut.errors import FileTrouble

    with Store(tmp_path / "log.sqlite3") as store:
        row = at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")))
        store._db.execute("DELETE FROM kept")
        with pytest.raises(FileTrouble) as trouble:
            as_begun(store.job(row.id))
        assert str(trouble.value) == (
            "job 1: is damaged in the log. See stepcut log check, and go on with the paper card."
        )
        assert look(store.path).faults == ["job 1 has a recipe or plan that cannot be read"]
