"""A half-done job never changes under the hand: what was begun is what is ticked, shown and measured against."""

from __future__ import annotations

import base64
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import zlib
from fractions import Fraction
from functools import partial
from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.cli import at_machine, show
from stepcut.cli.begun import as_begun
from stepcut.errors import BadValue, FileTrouble
from stepcut.log.frozen import Thawless, freeze, thaw
from stepcut.log.store import Store
from stepcut.plan import Plan, Refused
from stepcut.shop.astray import mirrored, slipped
from stepcut.shop.recover import too_deep
from tests.conftest import Run
from tests.log.programs import SOLVES_OTHERWISE, copy_of, environment
from tests.shops import each_kind, gate_ring, thinned


def recipe_file(folder: Path, **changes: str) -> Path:
    return gate_ring(folder / "ring.toml", leave="0in", **changes)


def tick(run: Run, *arguments: str, words: str = "q\n") -> subprocess.CompletedProcess[str]:
    return run("tick", *arguments, "--lines", input=f"s\n{words}")


def next_line(done: subprocess.CompletedProcess[str]) -> str:
    return done.stdout.splitlines()[-1]


@pytest.mark.parametrize("name", thinned(each_kind()))
def test_every_example_thaws_as_it_was_frozen(name: str) -> None:
    job = recipes.job(recipes.load(name))
    plan, card = show.solved(job), show.whole(job)
    kept = thaw(freeze({"plan": plan, "card": card}))
    assert (kept["card"].acts, kept["card"].screens, kept["card"].columns) == (card.acts, card.screens, card.columns)
    for part in ("stops", "first", "second", "axes", "machine", "cutter", "contact", "turning", "leave"):
        assert getattr(kept["plan"], part) == getattr(plan, part)


def packed(text: str) -> str:
    return base64.b85encode(zlib.compress(text.encode())).decode()


def test_only_our_own_classes_are_made_from_a_text() -> None:
    for name in (
        "os:system",
        "subprocess:Popen",
        "stepcut.log.frozen:json.loads",
        "stepcut.log.frozen:freeze",
        "stepcut.nothing:X",
    ):
        with pytest.raises(Thawless):
            thaw(packed(json.dumps({"schema": 1, "kept": {"": "object", "of": name, "parts": {}}})))
    for text in ("", "[]", "{}", '{"schema": 2, "kept": 1}', '{"schema": 1, "kept": {"": "odd"}}', "[" * 100_000):
        for form in (text, packed(text), packed(text)[:-3]):
            with pytest.raises(Thawless):
                thaw(form)
    assert thaw(freeze((Fraction(1, 3), [None, True, "x"], {"a": 1.5}))) == (
        Fraction(1, 3),
        [None, True, "x"],
        {"a": 1.5},
    )


def test_a_record_that_stands_in_another_module_since_thaws_under_its_old_name() -> None:
    move = {"": "object", "of": "stepcut.acts:Move", "parts": {"reads": None, "handle": "crank"}}
    assert thaw(packed(json.dumps({"schema": 1, "kept": move}))).handle == "crank"
    struct = {"": "object", "of": "stepcut.acts:Struct", "parts": {}}  # handed on too, and not one of ours
    with pytest.raises(Thawless):
        thaw(packed(json.dumps({"schema": 1, "kept": struct})))


def test_an_edited_recipe_is_said_with_the_choice_and_changes_nothing(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path)
    begun = tick(run, str(path), words="t\nc\nq\n")
    assert begun.returncode == 0
    recipe_file(tmp_path, rise="0.100in")
    done = tick(run, str(path), words="t\nc\nq\n")
    message = (
        f"recipe = {str(path) if len(str(path)) <= 40 else str(path)[:37] + '...'}: is not as job 1 was begun (rise was 0.090in, is 0.100in). "
        "Go on as begun with --job 1 in place of the recipe, close it with stepcut log close 1, or begin anew beside it with "
        "stepcut tick --again.\n"
    )
    assert (done.returncode, done.stdout, done.stderr) == (2, "", message)
    for command in (["where", str(path), "--table", "70deg"], ["blue", str(path), "20%"],
                    ["recover", str(path), "--cut", "3", "--found", "0.03in"]):  # fmt: skip
        refused = run(*command)
        assert (refused.returncode, refused.stderr) == (2, message)
    on = tick(run, "--job", "1", words="q\n")
    assert on.returncode == 0
    assert next_line(on) == next_line(begun)
    anew = tick(run, str(path), "--again")
    assert anew.stdout.startswith("job 2: ")
    # and with the old sizes back it is job 1 again
    recipe_file(tmp_path)
    assert tick(run, str(path)).stdout.startswith("job 1: ")


def test_an_edit_while_the_work_is_set_up_is_noticed_too(run: Run, tmp_path: Path) -> None:
    path = recipe_file(tmp_path)
    assert run("tick", str(path), "--lines", input="q\n").returncode == 0  # only looked at: nothing to lose
    recipe_file(tmp_path, rise="0.095in")
    assert run("tick", str(path), "--lines", input="\n\nq\n").returncode == 0  # two boxes of the set-up
    recipe_file(tmp_path, rise="0.100in")
    done = run("tick", str(path), "--lines", input="q\n")
    assert done.returncode == 2
    assert "is not as job 2 was begun (rise was 0.095in, is 0.100in). Go on as begun with --job 2" in done.stderr


def test_an_edited_machine_is_said_and_the_job_goes_on_as_begun_without_recipe_and_machine(
    run: Run, tmp_path: Path
) -> None:
    machine = tmp_path / "mill.toml"
    text = run("machine", "show", "inch").stdout
    machine.write_text(text, "utf-8")
    path = recipe_file(tmp_path, machine=str(machine))
    begun = tick(run, str(path), words="t\nc\nt\nc\nq\n")
    assert 'division = "0.0005in"' in text
    machine.write_text(text.replace('division = "0.0005in"', 'division = "0.001in"'), "utf-8")
    done = tick(run, str(path))
    assert done.returncode == 2
    assert "is not as job 1 was begun (machine depth.division was 0.0005in, is 0.001in" in done.stderr
    machine.unlink()
    path.unlink()
    on = tick(run, "--job", "1")
    assert next_line(on) == next_line(begun)
    # readings, where and blue are those of the job too
    assert run("log", "reading", "1", "2", "0.0100in").returncode == 0
    assert "Cut 2 of" in run("where", "--job", "1", "--table", "20deg", "--depth", "0.0100in").stdout
    assert "NOT FINISHED: 2 of 18 cuts" in run("blue", "--job", "1", "30%").stdout
    assert run("recover", "--job", "1", "--cut", "2", "--found", "0.0100in").returncode == 0
    assert run("again", "1", "--set", "rise=0.1in").returncode == 0


@pytest.mark.long
def test_a_program_that_solves_otherwise_is_said_and_the_job_goes_on_as_begun(run: Run, tmp_path: Path) -> None:
    """A copy of the program in which every position is one division higher stands for one that was updated in mid-job."""
    path = recipe_file(tmp_path)
    begun = tick(run, str(path), words="t\nc\nq\n")
    copy = copy_of(tmp_path / "updated", SOLVES_OTHERWISE)

    def updated(*arguments: str, words: str = "") -> subprocess.CompletedProcess[str]:
        return subprocess.run([sys.executable, "-m", "stepcut", *arguments], input=words, env=environment(copy), cwd=copy,
                              capture_output=True, encoding="utf-8")  # fmt: skip

    done = updated("tick", str(path), "--lines")
    assert done.returncode == 2
    assert "is not as job 1 was begun (cut 1: depth was 0.1270 mm, is 0.1143 mm)." in done.stderr
    on = updated("tick", "--job", "1", "--lines", words="q\n")
    assert on.returncode == 0, on.stderr
    assert on.stdout.splitlines()[-1] == next_line(begun)
    assert updated("log", "reading", "1", "1", "0.0050in").stdout == "Cut 1: +0.0000 in against the plan.\n"
    # where, blue and recover are those of the plan as begun too
    for command in (
        ["where", "--job", "1", "--table", "20deg", "--depth", "0.0100in"],
        ["blue", "--job", "1"],
        ["recover", "--job", "1", "--cut", "3", "--found", "0.03in"],
    ):
        new, old = updated(*command), run(*command)
        assert (new.returncode, new.stdout, new.stderr) == (old.returncode, old.stdout, "")
    assert "NOT FINISHED: 1 of 18 cuts" in updated("blue", "--job", "1", "30%").stdout
    assert updated("again", "1").returncode == 0
    # and those of the log's own cuts and acts, where it has no card that this program can read
    log = Path(os.environ["XDG_DATA_HOME"]) / "stepcut" / "log.sqlite3"
    with sqlite3.connect(log) as db:
        db.execute("UPDATE kept SET as_begun = ''")
    db.close()
    on = updated("tick", "--job", "1", "--lines", words="q\n")
    assert (on.returncode, on.stdout.splitlines()[-1]) == (0, next_line(begun))
    for command in (
        ["where", "--job", "1", "--table", "20deg", "--depth", "0.0100in"],
        ["recover", "--job", "1", "--cut", "3", "--found", "0.03in"],
    ):
        new, old = updated(*command), run(*command)
        assert (new.returncode, new.stdout, new.stderr) == (old.returncode, old.stdout, "")
    assert updated("log", "reading", "1", "1", "0.0050in").stdout == "Cut 1: +0.0000 in against the plan.\n"
    assert updated("blue", "--job", "1", "30%").stderr == (
        "job = 1: has no contact curve in the log that this program can read. The back of its printed card tells what blue means there.\n"
    )


def test_a_job_and_a_recipe_do_not_go_together(run: Run) -> None:
    tick(run, "sluice-clamp-ramp")
    for command in (["where", "sluice-clamp-ramp", "--table", "9deg"], ["recover", "sluice-clamp-ramp", "--cut", "1"],
                    ["blue", "sluice-clamp-ramp", "30%"]):  # fmt: skip
        done = run(*command, "--job", "1")
        assert (done.returncode, done.stderr) == (
            2, "recipe = sluice-clamp-ramp: or a job is wanted, one of the two. Name a recipe, or give --job alone.\n")  # fmt: skip
    done = run("where", "--job", "1", "--table", "9deg", "--set", "rise=1mm")
    assert done.stderr == "recipe = rise=1mm: or a job is wanted, one of the two. Name a recipe, or give --job alone.\n"


def test_jobs_are_kept_apart_by_title_part_and_piece(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        ring = recipes.load("sluice-clamp-ramp")
        jobs = {
            at_machine.begun(store, recipes.job(ring.resized(sets)), piece).id
            for sets, piece in (({}, "1"), ({"title": "Other"}, "1"), ({"part": "B"}, "1"), ({}, "2"), ({}, "1"))
        }
        assert jobs == {1, 2, 3, 4}


def test_two_parts_without_a_title_are_no_differences_of_one(run: Run, tmp_path: Path) -> None:
    one = ["lever-ball-knob", "--set", "title="]
    assert tick(run, *one).stdout.startswith("job 1: ")
    assert tick(run, *one, "--set", "part=B").stdout.startswith("job 2: ")
    ring = ["sluice-clamp-ramp", "--set", "title="]
    assert tick(run, *ring).stdout.startswith("job 3: ")
    assert tick(run, *ring, "--set", "step=5deg").stdout.startswith("job 4: ")


def test_the_last_act_of_a_finished_job_can_be_undone(run: Run) -> None:
    done = tick(run, "sluice-clamp-ramp", words="\n" * 120 + "q\n")
    assert "Job 1 is done" in done.stderr
    back = tick(run, "--job", "1", words="u\nu\nu\nu\nq\n")
    assert back.returncode == 0
    assert "took back checked 28" in back.stdout
    assert "took back cut 28" in back.stdout
    assert "27 of 28 cut" in run("log", "list").stdout
    again = tick(run, "sluice-clamp-ramp", words="c\nk\n\n\nq\n")
    assert again.stdout.startswith("job 1: ")
    assert "Job 1 is done" in again.stderr


def test_a_job_of_an_older_log_goes_on_when_it_is_solved_alike_and_is_refused_when_not(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        row = at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")))
        store._db.execute("UPDATE kept SET as_begun = '', machine_file = ''")
        store._db.execute("UPDATE jobs SET program = ''")
        assert len(as_begun(store.job(row.id)).card.lines) == 28
        plan = json.loads(row.plan)
        plan["stops"][4]["depth"] += 0.1
        store._db.execute("UPDATE kept SET plan = ?", (json.dumps(plan),))
        way = (
            " Go on with its printed card (stepcut log show 1 still tells what was ticked, noted and measured), or begin it anew with "
            "stepcut tick --again."
        )
        begun = "job = 1: was begun with stepcut of an older version, which kept no card that 0.1.0 can read, and this one makes another of it "
        other = json.loads(row.plan)
        other["stops"][4]["depth"] += 0.0127
        acts = json.loads(row.plan)
        acts["stops"][4]["depth"] += 0.0127
        del acts["acts"]
        part = json.loads(row.plan)
        part["target"]["rise"] += 1
        part["stops"] = part["stops"][:-1]
        for changed, reason in (
            (plan, "a cut stands between two divisions of its scales"),
            (other, "act 30: to was 0.8128, is 0.8255"),
            (acts, "the log has its cuts, but not its acts"),
            (part, "rise was 3.286, is 2.286"),
        ):
            store._db.execute("UPDATE kept SET plan = ?", (json.dumps(changed),))
            with pytest.raises(BadValue) as refused:
                as_begun(store.job(row.id))
            assert str(refused.value) == f"{begun}({reason}).{way}"


# --- the log under the hand -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["moved", "deleted", "replaced"])
def test_a_log_that_is_gone_is_noticed_at_the_next_act(tmp_path: Path, what: str) -> None:
    from stepcut.log.session import Session
    from stepcut.log.steps import steps

    path = tmp_path / "log.sqlite3"
    with Store(path) as store:
        job = recipes.job(recipes.load("sluice-clamp-ramp"))
        session = Session(store, at_machine.begun(store, job), steps(show.whole(job)))
        session.past_set_up()
        session.turned()
        if what == "moved":
            path.rename(tmp_path / "elsewhere")
        elif what == "deleted":
            path.unlink()
        else:
            shutil.copy(path, tmp_path / "copy")
            (tmp_path / "copy").replace(path)
        for act in (session.cut, session.look, session.undo, store.version, lambda: session.jump("3")):
            with pytest.raises(FileTrouble) as trouble:
                act()
            assert str(trouble.value) == (
                f"{path}: was moved, replaced or deleted while it was in use. Put it back, or end here and begin with stepcut tick "
                "anew. The job can go on with the paper card."
            )


def test_an_empty_note_is_refused_and_a_long_one_kept_whole(run: Run) -> None:
    tick(run, "sluice-clamp-ramp", words=f"n {'long ' * 2000}end\nn   \nq\n")
    for words in ("", "   ", "\n"):
        done = run("log", "note", "1", words)
        assert done.returncode == 2
        assert done.stderr.endswith(": is empty. Write a few words.\n")
    assert "long end" in run("log", "show", "1").stdout


def test_a_log_that_cannot_be_written_is_read(run: Run, own_home: Path, tmp_path: Path) -> None:
    tick(run, "sluice-clamp-ramp", words="t\nc\nq\n")
    folder = own_home / "stepcut"
    # A killed program leaves its newest ticks in the write-ahead log; they must not be missed.
    with sqlite3.connect(folder / "log.sqlite3", isolation_level=None) as db:
        db.execute("PRAGMA wal_autocheckpoint = 0")
        db.execute("INSERT INTO notes (job, at, words) VALUES (1, '2026-01-01', 'newest of all')")
        copy = tmp_path / "stepcut"
        copy.mkdir()
        for name in ("log.sqlite3", "log.sqlite3-wal"):
            shutil.copy(folder / name, copy / name)
    db.close()
    if (
        os.geteuid() == 0
        and subprocess.run(["mount", "--bind", "-o", "ro", str(copy), str(copy)], capture_output=True).returncode == 0
    ):
        subprocess.run(["mount", "-o", "remount,bind,ro", str(copy)], capture_output=True)
    else:
        copy.chmod(0o500)
    try:
        shown = run("log", "show", "1", env={"XDG_DATA_HOME": str(tmp_path)})
        assert (shown.returncode, shown.stderr) == (0, "")
        assert "newest of all" in shown.stdout
        assert run("card", "sluice-clamp-ramp", env={"XDG_DATA_HOME": str(tmp_path)}).returncode == 0
    finally:
        subprocess.run(["umount", str(copy)], capture_output=True)
        copy.chmod(0o700)


def another_programs(text: str) -> str:
    """A frozen card as a program kept it whose records had a part more, and whose details stood elsewhere."""

    def older(kept: object) -> object:
        if isinstance(kept, list):
            return [older(item) for item in kept]
        if not isinstance(kept, dict):
            return kept
        found = {key: older(value) for key, value in kept.items()}
        if kept.get("") == "object":
            if kept["of"].endswith((":Line", ":Scale")):
                found["parts"] = {**found["parts"], "gone": "a part of then"}  # type: ignore[dict-item]
            if "shapes" in kept["of"]:
                found["of"] = "stepcut.shapes.of_then:Then"
        return found

    return packed(json.dumps(older(json.loads(zlib.decompress(base64.b85decode(text))))))


def test_a_card_of_another_program_is_ticked_shown_and_measured_against_as_it_was_kept(
    run: Run, own_home: Path
) -> None:
    """Today's program neither thaws it nor solves it alike: the recipe in the log is put out of use to stand for that."""
    begun = tick(run, "sluice-clamp-ramp", words="t\nc\nq\n")
    places = [run("where", "--job", "1", "--table", f"{angle}deg") for angle in (20, 70)]
    path = own_home / "stepcut" / "log.sqlite3"
    with sqlite3.connect(path) as db:
        ((text,),) = db.execute("SELECT as_begun FROM kept").fetchall()
        other = another_programs(text)
        with pytest.raises(Thawless):
            thaw(other)
        db.execute("UPDATE kept SET as_begun = ?, recipe = replace(recipe, '140deg', '150deg')", (other,))
    db.close()
    on = tick(run, "--job", "1", words="m 0.0050in\nq\n")
    assert (on.returncode, on.stderr) == (0, "")
    assert next_line(on) == next_line(begun)
    assert [run("where", "--job", "1", "--table", f"{angle}deg").stdout for angle in (20, 70)] == [
        p.stdout for p in places
    ]
    assert run("log", "reading", "1", "1", "0.0050in").stdout.startswith("Cut 1: ")
    # a lost zero is found again and blue is measured from what was kept, and again shows what today's program makes of it
    assert "set rim 30°" in run("recover", "--job", "1", "--lost", "3").stdout
    assert run("log", "close", "1").returncode == 0  # blue counts once all is cut
    assert run("blue", "--job", "1", "30%").stdout.startswith(
        "Job 1, Sluice clamp ring, part A.\nBlue on 30 %: it still stands 0.0067 in "
    )
    again = run("again", "1")
    assert "was 0.09 in over 140°" in again.stdout
    assert "is  0.09 in over 150°" in again.stdout
    # what needs the wanted surface says what is another part now, with what goes on, and writes nothing
    for words in (
        ["--cut", "3", "--found", "0.03in"], ["--from", "4", "--cutter", "0.3in"], ["--wrong-way", "3"],
        ["--slipped", "1", "--reads", "3deg", "--last", "2"],
    ):  # fmt: skip
        refused = run("recover", "--job", "1", *words, "--save", "x.toml")
        assert (refused.returncode, refused.stdout) == (2, "")
        assert refused.stderr == (
            "job = 1: was begun with stepcut 0.1.0, and 0.1.0 does not find the same part in its recipe (span was 140, is 150), so that "
            "this cannot be said of it. These go on as begun: stepcut tick, where and log reading, and recover with --lost or --off. For the rest its printed card holds.\n"
        )
    assert not Path("x.toml").exists()
    with sqlite3.connect(path) as db:  # and a recipe that this program cannot read hinders none of them
        db.execute("UPDATE kept SET recipe = replace(recipe, 'rise', 'rice')")
    db.close()
    assert "set rim 30°" in run("recover", "--job", "1", "--lost", "3").stdout
    refused = run("again", "1")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert refused.stderr.startswith(
        "job = 1: was begun with stepcut 0.1.0, and 0.1.0 does not find the same part in its recipe (job 1, line 12, ramp.rice"
    )
    # and a card whose numbers are not those of the log is never shown
    with sqlite3.connect(path) as db:
        ((plan,),) = db.execute("SELECT plan FROM kept").fetchall()
        content = json.loads(plan)
        content["stops"][4]["depth"] += 0.1
        db.execute("UPDATE kept SET plan = ?", (json.dumps(content),))
    db.close()
    refused = tick(run, "--job", "1")
    assert (refused.returncode, refused.stdout) == (2, "")


@pytest.mark.parametrize("name", thinned(each_kind()))
def test_every_example_of_another_program_goes_on_from_its_kept_card(name: str, tmp_path: Path) -> None:
    from msgspec.structs import replace

    from stepcut.cli.begun import _as_far_as_it_goes

    with Store(tmp_path / "log.sqlite3") as store:
        job = recipes.job(recipes.load(name))
        if not show.solved(job).stops:
            return
        row = at_machine.begun(store, job)
    found = _as_far_as_it_goes(replace(row, as_begun=another_programs(row.as_begun)))
    assert found is not None
    card = show.whole(job)
    assert (found.card.screens, found.card.acts, found.plan.stops) == (card.screens, card.acts, card.plan.stops)
    # what a mistake takes is told as of the plan that was begun
    assert found.card_and_line.plan.details == card.plan.details
    assert _taken(found.plan_and_line) == _taken(card.plan)


def _taken(plan: Plan) -> list[object]:
    found: list[object] = []
    stop = plan.stops[1]
    for ask in (
        lambda: too_deep(plan, stop.n, plan.second.value(stop.second) + Fraction(1, 5)),
        lambda: slipped(plan, [stop.n], Fraction(2)),
        lambda: mirrored(plan, [stop.n], Fraction(20)),
    ):
        try:
            found.append(ask())
        except Refused as no:
            found.append(str(no))
    return found


def test_where_reads_the_ticks_of_the_newest_open_piece(run: Run) -> None:
    tick(run, "sluice-clamp-ramp", words="t\nc\n" * 3 + "q\n")
    tick(run, "sluice-clamp-ramp", "--piece", "2", words="t\nc\nq\n")
    second = run("where", "sluice-clamp-ramp", "--table", "0deg").stdout
    assert second == run("where", "--job", "2", "--table", "0deg").stdout
    assert second != run("where", "--job", "1", "--table", "0deg").stdout
    run("log", "close", "2")
    assert (
        run("where", "sluice-clamp-ramp", "--table", "0deg").stdout
        == run("where", "--job", "1", "--table", "0deg").stdout
    )
    assert run("blue", "sluice-clamp-ramp", "60%").stdout.startswith("Job 2, ")  # blued after it came off
    tick(run, "sluice-clamp-ramp", "--piece", "3", words="q\n")
    assert run("blue", "sluice-clamp-ramp", "60%").stdout.startswith("Job 2, ")  # of the third nothing is cut yet
    tick(run, "sluice-clamp-ramp", "--piece", "3", words="t\nc\nq\n")
    assert run("blue", "sluice-clamp-ramp", "60%").stdout.startswith("Job 3, ")


def test_a_log_that_a_newer_program_has_changed_under_an_open_window_is_not_called_damaged(tmp_path: Path) -> None:
    from stepcut.log.schema import VERSION
    from stepcut.log.session import Session
    from stepcut.log.steps import steps

    path = tmp_path / "log.sqlite3"
    message = (
        f"{path}: was written by a newer stepcut (schema {VERSION + 1}; this one knows {VERSION}). Use the newer program. "
        "The job can go on with the paper card."
    )
    for change in ("ALTER TABLE jobs RENAME TO works", "ALTER TABLE jobs RENAME COLUMN doing TO next", "SELECT 1"):
        path.unlink(missing_ok=True)
        with Store(path) as store:
            job = recipes.job(recipes.load("sluice-clamp-ramp"))
            session = Session(store, at_machine.begun(store, job), steps(show.whole(job)))
            session.past_set_up()
            with sqlite3.connect(path) as newer:
                newer.execute(change)
                newer.execute(f"PRAGMA user_version = {VERSION + 1}")
            newer.close()
            for act in (session.look, session.turned, session.undo, store.version, partial(session.note, "x")):
                with pytest.raises(FileTrouble) as trouble:
                    act()
                assert str(trouble.value) == message
