"""The log is copied whole, put back, judged, and read out as far as it can be when it is damaged."""

from __future__ import annotations

import random
import re
import shutil
import sqlite3
from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.cli import at_machine
from stepcut.log import care
from stepcut.log.schema import MIGRATIONS
from stepcut.log.store import Store
from tests.conftest import Run


def log_file(home: Path) -> Path:
    return home / "stepcut" / "log.sqlite3"


def tick(run: Run, words: str = "t\nc\nq\n", name: str = "sluice-clamp-ramp") -> None:
    assert run("tick", name, "--lines", input=f"s\n{words}").returncode == 0


def test_a_backup_holds_the_newest_ticks_though_a_copy_by_hand_does_not(
    run: Run, own_home: Path, tmp_path: Path
) -> None:
    tick(run)
    with Store(log_file(own_home)) as store:
        store.note(1, "newest of all")
        by_hand, copy = tmp_path / "by-hand.sqlite3", tmp_path / "copy.sqlite3"
        shutil.copy(log_file(own_home), by_hand)
        done = run("log", "backup", str(copy))
        assert (done.returncode, done.stderr) == (0, f"Wrote {copy}. Put it back with stepcut log restore {copy}.\n")
    for path, there in ((by_hand, False), (copy, True)):
        db = sqlite3.connect(path)
        try:
            notes = db.execute("SELECT words FROM notes").fetchall()
        except sqlite3.Error:  # the hazard in its full form: the copy has no tables at all
            notes = []
        db.close()
        assert (("newest of all",) in notes) is there
    again = run("log", "backup", str(copy))
    assert (again.returncode, again.stderr) == (
        3, f"{copy}: stands already. Choose another name, or add --force to replace it.\n")  # fmt: skip
    assert run("log", "backup", str(copy), "--force").returncode == 0
    itself = run("log", "backup", str(log_file(own_home)), "--force")
    assert itself.returncode == 2
    assert itself.stderr.endswith(": is the log itself. Name another file.\n")


def test_a_copy_is_put_back_and_what_stood_there_is_kept(run: Run, own_home: Path, tmp_path: Path) -> None:
    tick(run)
    copy = tmp_path / "copy.sqlite3"
    assert run("log", "backup", str(copy)).returncode == 0
    tick(run, "t\nc\nt\nc\nq\n")
    done = run("log", "restore", str(copy))
    assert done.returncode == 0, done.stderr
    (aside,) = [
        path
        for path in log_file(own_home).parent.iterdir()
        if "before-restore" in path.name and not path.name.endswith(("-wal", "-shm"))
    ]
    assert done.stderr == (
        f"The log is that of {copy} now: 1 jobs, 2 ticks.\nThe one that stood there is kept as {aside}.\n"
    )
    assert "1 of 28 cut" in run("log", "list").stdout
    with Store(aside) as store:
        assert len(store.ticks(1)) == 6


def test_a_copy_that_is_no_log_is_not_put_back(run: Run, own_home: Path, tmp_path: Path) -> None:
    tick(run)
    before = run("log", "export", "-").stdout
    other, junk = tmp_path / "other.sqlite3", tmp_path / "junk"
    db = sqlite3.connect(other)
    db.execute("CREATE TABLE things (a)")
    db.commit()
    db.close()
    junk.write_bytes(b"junk" * 4000)
    for path in (other, junk, tmp_path / "none"):
        done = run("log", "restore", str(path))
        assert done.returncode == 3
        assert "Traceback" not in done.stderr
    assert run("log", "export", "-").stdout == before


def test_check_says_where_the_log_is_and_how_to_copy_it(run: Run, own_home: Path) -> None:
    assert run("log", "check").stdout == f"There is no log yet; it will be {log_file(own_home)}.\n"
    tick(run)
    done = run("log", "check")
    assert done.returncode == 0
    assert done.stdout == (
        f"{log_file(own_home)}: whole; 1 jobs, 2 ticks, 4 events, 0 notes, 0 readings, 0 blues.\n"
        "Copy it with stepcut log backup, never by hand: the newest ticks stand in a second file, log.sqlite3-wal, until the last "
        "window is closed, and a copy without it lacks them.\n"
    )
    assert run("log", "repair").stderr == "The log is whole; nothing is changed.\n"


def test_an_older_log_is_copied_before_it_is_changed(tmp_path: Path) -> None:
    path = tmp_path / "log.sqlite3"
    old = sqlite3.connect(path)
    old.executescript(MIGRATIONS[0] + "; PRAGMA user_version = 1;")
    old.execute("INSERT INTO jobs VALUES (1, 'abc', 'A', 'Old', 'ramp', 'r', '{}', 3, 'inch', '2020-01-01', NULL, 2)")
    old.commit()
    old.close()
    with Store(path, reading=True) as store:  # only to read it nothing is changed, and nothing is missed
        assert store.job(1).title == "Old"
        assert store.blues(1) == []
    with Store(path) as store:
        assert store.job(1).moves == 0
    (copy,) = [each for each in tmp_path.iterdir() if "before-schema-6" in each.name]
    db = sqlite3.connect(copy)
    assert db.execute("PRAGMA user_version").fetchone() == (1,)
    assert db.execute("SELECT title FROM jobs").fetchall() == [("Old",)]
    db.close()


@pytest.fixture
def full_log(run: Run, own_home: Path) -> Path:
    """A log with some jobs, closed, its ticks in the one file."""
    tick(run, "n dull\n" * 28 + "\n" * 120 + "q\n")
    tick(run, "\n" * 8 + "u\nq\n", "winch-dog-plunged")
    tick(run, "\n" * 9 + "q\n", "bollard-pin-taper")
    db = sqlite3.connect(log_file(own_home))
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    db.close()
    return log_file(own_home)


@pytest.mark.parametrize("trials", [range(12), pytest.param(range(12, 60), marks=pytest.mark.long)])
def test_a_damaged_log_never_stops_a_card_and_never_ends_in_a_traceback(full_log: Path, trials: range) -> None:
    """Damage at random places: every command says so or does its work, and a card is printed whatever happened."""
    from stepcut import cli

    whole = full_log.read_bytes()
    chance = random.Random(f"damage {trials}")  # noqa: S311  # repeatable damage, not secrets
    statuses = set()
    for trial in trials:
        data = bytearray(whole)
        if trial % 3 == 0:
            del data[chance.randrange(len(data)) :]
        else:
            for _ in range(1 + trial):
                at = chance.randrange(len(data))
                data[at : at + 40] = chance.randbytes(40)
        for tail in ("-wal", "-shm"):
            full_log.with_name(f"{full_log.name}{tail}").unlink(missing_ok=True)
        full_log.write_bytes(data)
        for command in (["log", "list"], ["log", "show", "1"], ["log", "export", "-"], ["again", "1"], ["log", "check"],
                        ["log", "reading", "1", "1", "0.006in"], ["where", "--job", "1", "--table", "10deg"]):  # fmt: skip
            status = cli.run(command)
            assert status in (0, 2, 3), (trial, command)
            statuses.add(status)
        assert cli.run(["card", "sluice-clamp-ramp"]) == 0
    assert 3 in statuses
    assert 0 in statuses or trials.start  # where the damage is small, most commands do their work


def test_what_can_be_read_of_a_damaged_log_is_saved(run: Run, full_log: Path) -> None:
    """A page of the ticks is torn: jobs, notes and history are kept, and the ticks are told by the history."""
    with Store(full_log, reading=True) as store:
        before = {row.id: store.ticks(row.id) for row in store.jobs()}
    db = sqlite3.connect(full_log)
    (root,) = db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'ticks'").fetchone()
    (size,) = db.execute("PRAGMA page_size").fetchone()
    db.close()
    data = bytearray(full_log.read_bytes())
    data[(root - 1) * size : root * size] = b"\xff" * size
    full_log.write_bytes(data)
    checked = run("log", "check")
    assert checked.returncode == 3
    assert "DAMAGED" in checked.stdout
    refused = run("log", "backup", str(full_log.with_name("copy")))
    assert refused.returncode == 3
    assert re.fullmatch(
        rf"{re.escape(str(full_log))}: is damaged( \(.*\))?\. No copy was written; stepcut log repair saves what can be read\.\n",
        refused.stderr,
    )
    assert "No copy was written; stepcut log repair saves what can be read." in refused.stderr
    done = run("log", "repair")
    assert done.returncode == 0, done.stderr
    assert "Lost: some of ticks could not be read.\n" in done.stderr
    with Store(full_log) as store:
        assert {row.id: store.ticks(row.id) for row in store.jobs()} == before
        assert len(store.notes(1)) == 28
    (aside,) = [
        path
        for path in full_log.parent.iterdir()
        if ".damaged-" in path.name and not path.name.endswith(("-wal", "-shm"))
    ]
    assert aside.read_bytes() == bytes(data)
    assert run("log", "check").returncode == 0


def test_a_log_of_which_nothing_can_be_read_is_left_and_a_copy_named(run: Run, own_home: Path) -> None:
    tick(run)
    assert run("log", "backup", str(log_file(own_home).with_name("log.sqlite3.monday"))).returncode == 0
    for tail in ("-wal", "-shm"):
        log_file(own_home).with_name(f"log.sqlite3{tail}").unlink(missing_ok=True)
    log_file(own_home).write_bytes(b"nothing" * 3000)
    done = run("log", "repair")
    assert (done.returncode, done.stderr) == (
        3,
        f"{log_file(own_home)}: is damaged so that no job in it can be read. Put a copy back with stepcut log restore "
        "(log.sqlite3.monday beside it). The job can go on with the paper card.\n",
    )
    assert log_file(own_home).read_bytes() == b"nothing" * 3000


def test_a_job_number_is_never_given_twice(tmp_path: Path) -> None:
    """It stands on printed cards: not after the bin was emptied, nor after a copy was put back, nor after a repair."""
    path, copy = tmp_path / "log.sqlite3", tmp_path / "copy.sqlite3"
    ring = recipes.job(recipes.load("sluice-clamp-ramp"))

    def begun_and_removed() -> int:
        with Store(path) as store:
            row = at_machine.begun(store, ring)
            store.bin(row.id)
            assert store.empty_bin() == 1
            return row.id

    assert [begun_and_removed() for _ in range(3)] == [1, 2, 3]
    with Store(path) as store:
        assert at_machine.begun(store, ring, "2").id == 4
    copy.write_bytes(care.whole(path))
    assert [begun_and_removed() for _ in range(2)] == [5, 6]
    care.restore(path, copy)
    assert begun_and_removed() == 7
    found, _ = care.repair(path)
    assert found.counts["jobs"] == 1
    assert begun_and_removed() == 8
    assert care.look(path).faults == []


def test_an_empty_file_is_a_new_log_and_is_not_called_damaged(run: Run, own_home: Path, tmp_path: Path) -> None:
    """Of no bytes, or just made by a program that was killed in its first moment, before it had put a table in."""
    path = log_file(own_home)
    path.parent.mkdir(parents=True)
    made = tmp_path / "made.sqlite3"
    with sqlite3.connect(made) as db:
        db.execute("PRAGMA journal_mode=WAL")
    db.close()
    assert made.stat().st_size > 0
    for data in (b"", made.read_bytes()):
        path.write_bytes(data)
        for words, status, out, err in (
            (["check"], 0, f"{path}: empty, a new log; stepcut tick begins the first job in it.\n", ""),
            (["list"], 0, "The log is empty; stepcut tick begins a job.\n", ""),
            (["repair"], 0, "", "The log is whole; nothing is changed.\n"),
            (["show", "1"], 2, "", "job = 1: is not in the log. See stepcut log list.\n"),
        ):
            done = run("log", *words)
            assert (done.returncode, done.stdout.replace("\n   ", " "), done.stderr) == (status, out, err)
        assert path.read_bytes() == data
        # it is no copy to be put back
        copy = tmp_path / "copy.sqlite3"
        copy.write_bytes(data)
        done = run("log", "restore", str(copy))
        assert (done.returncode, done.stderr) == (
            3, f"{copy}: is no log of stepcut. Name a file that stepcut log backup wrote.\n")  # fmt: skip
        assert run("card", "sluice-clamp-ramp").stderr == ""
        tick(run)
        assert "1 of 28 cut" in run("log", "list").stdout


def test_ticks_in_the_second_file_are_not_thrown_away_for_an_empty_first_one(
    run: Run, own_home: Path, tmp_path: Path
) -> None:
    """SQLite takes a file of no bytes for a new database, and removes what stands beside it."""
    path = log_file(own_home)
    path.parent.mkdir(parents=True)
    beside = path.with_name(f"{path.name}-wal")
    with Store(tmp_path / "log.sqlite3") as store:
        at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")))
        data = (tmp_path / "log.sqlite3-wal").read_bytes()
    assert data
    path.touch()
    beside.write_bytes(data)
    message = (
        f"{path}: is empty, but log.sqlite3-wal beside it is not. Put a copy back with stepcut log restore, or move both away to begin a "
        "new log. The job can go on with the paper card.\n"
    )
    for words in (["log", "list"], ["log", "check"], ["log", "repair"], ["tick", "sluice-clamp-ramp", "--lines"]):
        done = run(*words, input="q\n")
        assert (done.returncode, done.stdout, done.stderr) == (3, "", message)
    assert (path.read_bytes(), beside.read_bytes()) == (b"", data)
    assert run("card", "sluice-clamp-ramp").returncode == 0
