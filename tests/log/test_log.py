"""The log: nothing acknowledged is lost, trouble with the file is said plainly, conclusions come from history only."""

from __future__ import annotations

import contextlib
import csv
import io
import json
import math
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.cards.log_text import carried
from stepcut.cli import at_machine, show
from stepcut.errors import BadValue, FileTrouble
from stepcut.log.history import depth_error, filing_rate
from stepcut.log.session import Session
from stepcut.log.steps import steps
from stepcut.log.store import MIGRATIONS, VERSION, MovedOn, Store
from stepcut.machine import files as machines
from tests.conftest import Run
from tests.log.older import older

LONG = ("sluice-clamp-ramp", "--set", "step=1deg")


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store(tmp_path / "log.sqlite3") as opened:
        yield opened


def session_of(store: Store, name: str = "sluice-clamp-ramp") -> Session:
    job = recipes.job(recipes.load(name))
    session = Session(store, at_machine.begun(store, job), steps(show.whole(job)))
    if session.step is not None and session.step.what == "prepared":
        session.past_set_up()
    return session


def test_a_session_goes_turned_cut_check_and_back(store: Store) -> None:
    session = session_of(store)
    with pytest.raises(BadValue, match="is not what comes next"):
        session.cut()
    for n in range(1, 6):
        assert session.turned() == n
        assert session.cut() == n
    assert session.waiting == 5
    assert session.checked() == 5
    assert session.waiting is None
    assert session.place == 6
    session.turned()
    assert session.undo() == (6, "turned")
    assert session.undo() == (5, "checked")
    assert session.undo() == (5, "cut")
    assert session.place == 5
    assert session.jump("9") == 9
    for wrong in ("0", "29", "x", ""):
        with pytest.raises(BadValue, match="is no cut from 1 to 28"):
            session.jump(wrong)


def test_a_job_is_resumed_where_it_was_left_and_kept_apart_by_revision_and_part(store: Store) -> None:
    session = session_of(store)
    session.turned()
    session.cut()
    again = session_of(store)
    assert again.job.id == session.job.id
    assert again.place == 2
    other = recipes.job(recipes.load("sluice-clamp-ramp").resized({"part": "B"}))
    assert at_machine.begun(store, other).id != session.job.id
    store.end(session.job.id)
    assert session_of(store).job.id != session.job.id


def test_a_tick_set_twice_is_set_once(store: Store) -> None:
    session = session_of(store)
    with Store(store.path) as window:
        other = session_of(window)
        session.turned()
        with pytest.raises(MovedOn) as refused:
            other.turned()
        assert str(refused.value) == (
            f"job = {session.job.id}: has moved on in another window. Nothing was ticked; look at the screen anew."
        )
        session.cut()
        assert other.look().place == 2
    kinds = [kind for _, kind, _, _ in store.events(session.job.id)]
    assert kinds.count("turned") == 1


# --- the real program killed at random moments --------------------------------------------------------------------


class Ticker:
    """The program ticking line by line in a process of its own."""

    def __init__(self, home: Path) -> None:
        environment = {**os.environ, "XDG_DATA_HOME": str(home), "PYTHONIOENCODING": "utf-8"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "stepcut", "tick", *LONG, "--lines"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE, text=True, encoding="utf-8", env=environment,
        )  # fmt: skip
        assert self.process.stdout is not None
        self.out = self.process.stdout
        self.job = int(self.out.readline().split()[1].rstrip(":"))

    def send(self, words: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(words)
        self.process.stdin.flush()

    def close(self) -> None:
        """Wait for its end and let go of its pipes."""
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout, self.process.stderr):
            with contextlib.suppress(OSError):
                assert stream is not None
                stream.close()


def ticks_in(lines: Iterable[str]) -> list[tuple[int, str]]:
    """Every tick that these lines say is set."""
    words = [line.split() for line in lines if line.startswith("ticked")]
    return [(int(number), what) for _, what, number, *_ in words if number.isdigit()]


@pytest.mark.parametrize(
    ("kills", "seed"), [(4, "kill"), *(pytest.param(50, seed, marks=pytest.mark.long) for seed in "abcd")]
)
def test_kills_lose_no_acknowledged_tick(tmp_path: Path, kills: int, seed: str) -> None:
    """Kill the program while it works on, some lines after it began: counted in its lines, so that speed decides nothing."""
    chance = random.Random(seed)  # noqa: S311  # repeatable moments, not secrets
    said: dict[int, set[tuple[int, str]]] = {}
    file = tmp_path / "stepcut" / "log.sqlite3"
    for _ in range(kills):
        ticker = Ticker(tmp_path)
        ticker.send("s\n" + "t\nc\nk\n" * 40)
        heard = [ticker.out.readline() for _ in range(chance.randrange(60))]
        time.sleep(chance.uniform(0.0, 0.003))
        os.kill(ticker.process.pid, signal.SIGKILL)
        said.setdefault(ticker.job, set()).update(ticks_in([*heard, *ticker.out]))
        ticker.close()
        with Store(file) as store:
            kept = store.ticks(ticker.job)
            assert said[ticker.job] <= kept
            place = store.job(ticker.job).place
            cut = {n for n, what in kept if what == "cut"}
            assert place == min(max(cut, default=0) + 1, store.job(ticker.job).stops)
    with sqlite3.connect(file) as check:
        assert check.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    check.close()
    assert sum(len(ticks) for ticks in said.values()) > kills


def test_two_processes_tick_one_job_without_loss_or_doubling(tmp_path: Path) -> None:
    tickers = [Ticker(tmp_path) for _ in range(2)]
    assert tickers[0].job == tickers[1].job
    for ticker in tickers:
        ticker.send("s\n" + "t\nc\nk\n" * 30)
    for ticker in tickers:
        assert ticker.process.stdin is not None
        ticker.process.stdin.close()
    said = {tick for ticker in tickers for tick in ticks_in(ticker.out)}
    for ticker in tickers:
        assert ticker.process.stderr is not None
        assert ticker.process.stderr.read() == ""
        ticker.close()
    with Store(tmp_path / "stepcut" / "log.sqlite3") as store:
        assert said
        assert said <= set(store.ticks(tickers[0].job))
        events = [(n, kind) for _, kind, n, _ in store.events(tickers[0].job) if kind in ("turned", "cut", "checked")]
        assert len(events) == len(set(events))


# --- trouble with the file ----------------------------------------------------------------------------------------


def tick(
    run: Run, home: Path, words: str = "t\nq\n", name: str = "sluice-clamp-ramp"
) -> subprocess.CompletedProcess[str]:
    return run("tick", name, "--lines", input=f"s\n{words}", env={"XDG_DATA_HOME": str(home)})


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 800 kB of its own; needs root, as .ci/run has in CI."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if (
        os.geteuid() != 0
        or subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=800k", "tmpfs", str(folder)], capture_output=True
        ).returncode
    ):
        pytest.skip("a small disk of its own needs root and tmpfs")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_is_said_and_nothing_ticked_is_lost(run: Run, small_disk: Path) -> None:
    assert tick(run, small_disk, "t\nc\nq\n").returncode == 0
    filler = small_disk / "filler"
    handle = os.open(filler, os.O_CREAT | os.O_WRONLY)
    with contextlib.suppress(OSError):
        while True:
            os.write(handle, b"x" * 1024)
    os.close(handle)
    done = tick(run, small_disk, "n " + "x" * 1500 + "\n" + "t\nc\n" * 200 + "q\n")
    assert done.returncode == 3
    assert "the disk is full or failing. Make room and try again. The job can go on with the paper card." in done.stderr
    assert "Traceback" not in done.stderr
    filler.unlink()
    with Store(small_disk / "stepcut" / "log.sqlite3") as store:
        assert {(1, "turned"), (1, "cut")} <= store.ticks(1)


def test_a_read_only_folder_is_said(run: Run, small_disk: Path) -> None:
    assert tick(run, small_disk).returncode == 0
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    done = tick(run, small_disk)
    assert done.returncode == 3
    assert "cannot be written. Check who may write in its folder. The job can go on with the paper card." in done.stderr


def test_a_folder_that_cannot_be_made_is_said(run: Run, tmp_path: Path) -> None:
    (tmp_path / "stepcut").write_text("a file where the folder should be")
    done = tick(run, tmp_path)
    assert done.returncode == 3
    assert "The job can go on with the paper card." in done.stderr


def test_a_damaged_file_is_said_and_left_as_it_is(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "stepcut" / "log.sqlite3"
    file.parent.mkdir()
    file.write_bytes(b"no database" * 1000)
    done = tick(run, tmp_path)
    assert done.returncode == 3
    assert done.stderr.strip() == (
        f"{file}: is damaged. stepcut log repair saves what can be read and begins a new log with it; the damaged file is "
        "kept. The job can go on with the paper card."
    )
    assert file.read_bytes() == b"no database" * 1000
    card = run("card", "sluice-clamp-ramp", env={"XDG_DATA_HOME": str(tmp_path)})
    assert card.returncode == 0  # a damaged log never stops a card


def test_a_locked_file_is_said(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        session = session_of(store)
        store._db.execute("PRAGMA busy_timeout = 50")
        holder = sqlite3.connect(tmp_path / "log.sqlite3", isolation_level=None)
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(FileTrouble, match="is in use by another program"):
            session.turned()
        holder.execute("ROLLBACK")
        holder.close()
        assert session.turned() == 1


def test_an_older_schema_is_brought_up_to_date_with_everything_in_it(tmp_path: Path) -> None:
    path = tmp_path / "log.sqlite3"
    old = sqlite3.connect(path)
    old.executescript(MIGRATIONS[0] + "; PRAGMA user_version = 1;")
    old.execute("INSERT INTO jobs VALUES (1, 'abc', 'A', 'Old', 'ramp', 'r', '{}', 3, 'inch', '2020-01-01', NULL, 2)")
    old.execute("INSERT INTO ticks VALUES (1, 1, 'cut', '2020-01-01')")
    old.commit()
    old.close()
    with Store(path) as store:
        assert store.job(1).title == "Old"
        assert store.ticks(1) == {(1, "cut")}
        store.blue(1, 0.5, 3.0, 10.0, 5.0)
        assert store._db.execute("PRAGMA user_version").fetchone() == (VERSION,)
        assert store._db.execute("PRAGMA synchronous").fetchone() == (2,)
        assert store._db.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_newer_schema_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "log.sqlite3"
    new = sqlite3.connect(path)
    new.execute("PRAGMA user_version = 99")
    new.commit()
    new.close()
    with pytest.raises(FileTrouble, match="was written by a newer stepcut"):
        Store(path)


# --- notes, readings, blue, again -----------------------------------------------------------------------------------


def test_notes_for_next_time_come_with_the_next_card(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    assert tick(run, tmp_path, "t\nn next: shim the left jaw\nn only a remark [red]\nq\n").returncode == 0
    card = run("card", "sluice-clamp-ramp", env=env).stdout
    assert "- shim the left jaw" in card
    assert "only a remark" not in card
    shown = run("log", "show", "1", env=env).stdout
    assert "only a remark [red]" in shown
    assert "shim the left jaw (next time)" in shown
    assert run("log", "note", "1", "oil it", "--next-time", env=env).returncode == 0
    assert "- oil it" in run("card", "sluice-clamp-ramp", env=env).stdout


def test_readings_propose_an_error_that_is_written_only_when_accepted(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path), "XDG_CONFIG_HOME": str(tmp_path)}
    assert run("machine", "new", "bench", "--unasked", env=env).returncode == 0
    assert run("tick", "sluice-clamp-ramp", "--lines", "--machine", "bench", input="q\n", env=env).returncode == 0
    assert "three or more" in run("log", "errors", "--machine", "bench", env=env).stdout
    assert (
        run("log", "errors", env=env).stdout == run("log", "errors", "--machine", "bench", env=env).stdout
    )  # it is the one that is meant
    for stop, found in ((1, "0.0070in"), (2, "0.0129in"), (3, "0.0200in"), (4, "0.0259in")):
        assert run("log", "reading", "1", str(stop), found, env=env).returncode == 0
    proposed = run("log", "errors", "--machine", "bench", env=env).stdout
    # By hand: +0.0010, +0.0004, +0.0010, +0.0004 in: mean 0.0007, standard deviation 0.000346, mean and two of them 0.0014.
    assert "4 readings on bench: mean 0.0007 in, spread 0.0003 in." in proposed
    assert "0.0014 in; its file says 0.0005 in." in proposed
    file = tmp_path / "stepcut" / "machines" / "bench.toml"
    before = file.read_text("utf-8")
    assert run("log", "errors", "--machine", "bench", env=env).returncode == 0
    assert file.read_text("utf-8") == before
    assert run("log", "errors", "--machine", "bench", "--accept", env=env).returncode == 0
    depth = machines.read_machine(file).depth
    assert depth is not None
    assert float(depth.error) == pytest.approx((0.0007 + 2 * 0.0003 * math.sqrt(4 / 3)) * 25.4, abs=0.000005 * 25.4)
    wrong = run("log", "reading", "1", "1", "7mm", env=env)
    assert wrong.returncode == 2
    assert "is far from what cut 1 wants" in wrong.stderr


def test_blue_says_how_long_only_from_history(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    assert "no history yet of this shape" in run("blue", "sluice-clamp-ramp", "10%", env=env).stdout
    second = " ".join(run("blue", "sluice-clamp-ramp", "20%", "--minutes", "12", env=env).stdout.split())
    assert "from 1 timed check of this part" in second
    # One check is trusted within half to double: the longest time is four times the shortest.
    low, high = (int(text) for text in second.partition("How long: ")[2].partition(" minutes")[0].split(" to "))
    assert high == pytest.approx(4 * low, abs=2.5)
    third = " ".join(run("blue", "sluice-clamp-ramp", "30%", "--minutes", "9", env=env).stdout.split())
    assert "from 2 timed checks of this part" in third
    other = " ".join(run("blue", "winch-dog-plunged", "10%", env=env).stdout.split())
    assert "from 2 timed checks of another ramp, perhaps of another material" in other
    by_stops = run("blue", "sluice-clamp-ramp", "--cuts", ",".join(map(str, range(1, 15))), env=env).stdout
    assert "Blue on 50 %" in by_stops


def test_blue_belongs_to_the_job_just_cut_whatever_the_time_since(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    assert "Job 1 is done" in tick(run, tmp_path, "\n" * 120 + "q\n").stderr
    with Store(tmp_path / "stepcut" / "log.sqlite3") as store, contextlib.closing(sqlite3.connect(store.path)) as db:
        db.execute("UPDATE jobs SET begun = '2019-03-01T10:00:00+00:00', ended = '2019-03-02T10:00:00+00:00'")
        db.commit()
    assert run("blue", "sluice-clamp-ramp", "50%", env=env).stdout.startswith("Job 1, Sluice clamp ring, part A.")
    assert len(run("log", "list", env=env).stdout.splitlines()) == 1
    assert "| 50 % |" in run("log", "show", "1", env=env).stdout


def test_history_is_arithmetic() -> None:
    # 10 minutes for 5 mm^3 and 12 for 4: 2 and 3 minutes per mm^3.
    rate = filing_rate([(1, "", 0.4, 10.0, 20.0, 15.0), (1, "", 0.6, 12.0, 15.0, 11.0), (1, "", 0.8, None, 11.0, 9.0)])
    assert rate is not None
    assert (rate.mean, rate.count) == (2.5, 2)
    assert rate.spread == pytest.approx(0.7071, abs=1e-4)
    assert filing_rate([]) is None
    assert depth_error([(1.0, 1.1), (2.0, 2.1)]) is None
    error = depth_error([(1.0, 1.01), (2.0, 2.01), (3.0, 3.01)])
    assert error is not None
    assert error.proposed == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("place", "ticks", "goes_on"),
    [
        (1, [], "prepared 1"),
        (1, [(1, "turned")], "cut 1"),
        (4, [(n, what) for n in (1, 2, 3) for what in ("turned", "cut")], "turned 4"),
        (6, [(n, what) for n in range(1, 6) for what in ("turned", "cut")], "checked 5"),
        (6, [(5, "cut"), (5, "checked"), (6, "turned")], "cut 6"),
        (15, [(14, "cut"), (14, "checked")], "changed 15"),
        (15, [(14, "cut"), (14, "checked"), (15, "turned")], "cut 15"),
        (28, [(27, "cut"), (28, "turned")], "cut 28"),
        (28, [(28, "turned"), (28, "cut")], "checked 28"),
        (28, [(28, "turned"), (28, "cut"), (28, "checked")], "measured 1"),
        (9, [], "turned 9"),
    ],
)
def test_a_job_half_ticked_by_an_older_program_goes_on_where_it_was(
    store: Store, place: int, ticks: list[tuple[int, str]], goes_on: str
) -> None:
    job = recipes.job(recipes.load("sluice-clamp-ramp"))
    row = at_machine.begun(store, job)
    store._db.executemany("INSERT INTO ticks VALUES (1, ?, ?, '2020-01-01')", ticks)
    store._db.execute("UPDATE jobs SET place = ?", (place,))
    session = Session(store, row, steps(show.whole(job)))
    assert session.step is not None
    assert session.step.mark == goes_on
    assert session.do(confirmed=True).mark == goes_on
    assert store.job(1).doing != ""


def test_a_cut_that_was_passed_over_comes_before_measuring(store: Store) -> None:
    session = session_of(store)
    session.jump("28")
    session.turned()
    session.cut()
    session.checked()
    assert session.step is not None
    assert session.step.mark == "turned 1"
    assert not session.done


def test_a_log_of_the_schema_before_is_brought_up_to_date_and_its_job_goes_on(run: Run, tmp_path: Path) -> None:
    """A file of schema 3 as it stood: without the mark of the step, ticked with turned and cut alone, card not kept."""
    with Store(tmp_path / "today.sqlite3") as store:
        row = at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")))
    path = tmp_path / "stepcut" / "log.sqlite3"
    path.parent.mkdir()
    older(path, 3, [row], [(1, 1, "turned"), (1, 1, "cut"), (1, 2, "turned")], as_begun="", place=2)
    done = run("tick", "sluice-clamp-ramp", "--lines", input="q\n", env={"XDG_DATA_HOME": str(tmp_path)})
    assert done.stdout.startswith("job 1: ")
    assert done.stdout.splitlines()[1].startswith("RAMP 1 · 2 of 28 | DEPTH")
    assert [path.name for path in path.parent.glob("*before-schema-6*")]


def test_the_log_is_exported(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nn =2+2\nq\n")
    for kind in ("csv", "json", "md"):
        assert run("log", "export", str(tmp_path / f"log.{kind}"), env=env).returncode == 0
    rows = list(csv.DictReader(io.StringIO((tmp_path / "log.csv").read_text("utf-8"))))
    assert [row["what"] for row in rows] == ["begun", "jump", "turned", "cut", "note"]
    assert rows[-1]["words"] == "'=2+2"
    job = json.loads((tmp_path / "log.json").read_text("utf-8"))["jobs"][0]
    assert job["ticks"] == [[1, "cut"], [1, "turned"]]
    assert job["plan"]["shape"] == "ramp"
    assert "## Job 1: Sluice clamp ring" in (tmp_path / "log.md").read_text("utf-8")
    assert run("log", "export", str(tmp_path / "log.md"), env=env).returncode == 3
    assert run("log", "list", env=env).stdout.split()[0] == "1"
    assert "is not in the log" in run("log", "show", "7", env=env).stderr


def test_csv_and_json_of_an_inch_job_are_in_inches_and_of_a_metric_one_in_mm(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    assert run("log", "reading", "1", "1", "0.0070in", env=env).returncode == 0
    assert run("blue", "--job", "1", "30%", "--minutes", "7", env=env).returncode == 0
    run("tick", "bollard-pin-taper", "--lines", input="q\n", env=env)
    assert run("blue", "--job", "2", "30%", env=env).returncode == 0
    for kind in ("csv", "json"):
        assert run("log", "export", str(tmp_path / f"log.{kind}"), env=env).returncode == 0
    rows = list(csv.DictReader(io.StringIO((tmp_path / "log.csv").read_text("utf-8"))))
    (reading,) = [row for row in rows if row["what"] == "reading"]
    assert (reading["cut"], reading["wanted"], reading["found"], reading["unit"]) == ("1", "0.006", "0.007", "in")
    assert reading["at"].startswith("20")
    blues = [row for row in rows if row["what"] == "blue"]
    assert [(row["job"], row["unit"]) for row in blues] == [("2", "mm"), ("1", "in")]
    metric, inch = json.loads((tmp_path / "log.json").read_text("utf-8"))["jobs"]
    assert (metric["unit"], inch["unit"]) == ("mm", "in")
    (reading,) = inch["readings"]
    assert (reading["cut"], reading["wanted"], reading["found"]) == (1, 0.006, 0.007)
    # An inch is 25.4 mm by definition; the terminal says the same volume to four decimals of a cubic inch.
    assert f"{inch['blues'][0]['left']:.4f} in³" in run("log", "show", "1", env=env).stdout
    assert f"{metric['blues'][0]['left']:.1f} mm³" in run("log", "show", "2", env=env).stdout
    assert inch["blues"][0]["minutes"] == 7


def test_the_same_again_in_another_size(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nn next: longer handle\nq\n")
    done = run("again", "1", "--set", "outside=2.25in", "--set", "bore=1.9in", "--save", str(tmp_path / "big"), env=env)
    assert done.returncode == 0, done.stderr
    assert "becomes" in done.stdout
    assert "Note of job 1, cut 1: longer handle" in done.stdout
    recipe = recipes.load(tmp_path / "big.toml")
    assert recipe.next_time == ("longer handle",)
    assert recipe.values["outside"] == "2.25in"
    # It is another part under its own name: ticking it does not meet the job of the old one, which is still open.
    assert recipe.title == "big"
    assert run("tick", str(tmp_path / "big.toml"), "--lines", input="q\n", env=env).stdout.startswith("job 2: big,")
    old = recipes.load("sluice-clamp-ramp")
    assert {k: v for k, v in recipe.values.items() if k not in ("outside", "bore")} == {
        k: str(v) if not isinstance(v, int) else v for k, v in old.values.items() if k not in ("outside", "bore")
    }


def test_ticking_needs_a_plan_that_may_be_cut(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    spoiling = run("tick", "sluice-clamp-ramp", "--set", "cutter=5/8in", "--lines", input="q\n", env=env)
    assert spoiling.returncode == 1
    assert "DO NOT CUT" in spoiling.stderr


def test_a_finished_job_is_ended(run: Run, tmp_path: Path) -> None:
    done = tick(run, tmp_path, "\n" * 120 + "q\n")
    assert done.returncode == 0
    assert "Job 1 is done" in done.stderr
    assert "done" in run("log", "list", env={"XDG_DATA_HOME": str(tmp_path)}).stdout


# --- the log's display, bin, merge and what differs ------------------------------------------------------------------


def test_the_list_shows_local_time_and_size(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path), "TZ": "Asia/Tokyo"}
    tick(run, tmp_path, "t\nc\nq\n")
    with contextlib.closing(sqlite3.connect(tmp_path / "stepcut" / "log.sqlite3")) as db:
        db.execute("UPDATE jobs SET begun = '2026-03-01T22:30:00+00:00'")
        db.commit()
    # Tokyo is nine hours ahead of universal time all the year.
    line = "   1  2026-03-02 07:30  ramp; Sluice clamp ring, part A; outside 1-3/4in, bore 1.40in, rise 0.090in; 1 of 28 cut"
    assert run("log", "list", env=env).stdout.rstrip() == line
    assert "- begun 2026-03-02 07:30, not ended" in run("log", "show", "1", env=env).stdout


def test_an_inch_job_is_shown_in_inches_and_a_metric_one_in_mm(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    assert run("log", "reading", "1", "1", "0.0070in", env=env).stdout == "Cut 1: +0.0010 in against the plan.\n"
    deep = run("log", "reading", "1", "2", "0.0150in", env=env).stdout
    assert deep.startswith("Cut 2: +0.0025 in against the plan.\nOff by 0.0025 in, too deep.")
    assert "| 1 | 0.0060 in | 0.0070 in | +0.0010 in |" in run("log", "show", "1", env=env).stdout
    assert " mm" not in run("log", "show", "1", env=env).stdout
    assert run("blue", "bollard-pin-taper", "30%", env=env).returncode == 0
    assert " mm³ |" in run("log", "show", "2", env=env).stdout


def test_a_deleted_job_can_be_had_back_until_the_bin_is_emptied(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nn next: oil it\nq\n")
    assert "is in the bin" in run("log", "delete", "1", env=env).stdout
    assert run("log", "list", env=env).stdout.startswith("The log is empty")
    assert "oil it" not in run("card", "sluice-clamp-ramp", env=env).stdout
    assert run("log", "list", "--bin", env=env).stdout.split()[0] == "1"
    assert "is in the bin already" in run("log", "delete", "1", env=env).stderr
    assert run("log", "keep", "1", env=env).returncode == 0
    assert "oil it" in run("card", "sluice-clamp-ramp", env=env).stdout
    assert "1 of 28 cut" in run("log", "list", env=env).stdout
    run("log", "delete", "1", env=env)
    refused = run("log", "empty", env=env)
    assert (refused.returncode, refused.stderr) == (
        2,
        "bin: holds 1 job. See stepcut log list --bin; then give --yes.\n",
    )
    assert run("log", "empty", "--yes", env=env).stdout == "1 job removed for good.\n"
    assert "is not in the log" in run("log", "show", "1", env=env).stderr


def test_a_new_job_is_begun_when_the_old_one_is_in_the_bin(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    run("log", "delete", "1", env=env)
    tick(run, tmp_path, "t\nq\n")
    assert "0 of 28 cut" in run("log", "list", env=env).stdout


def test_jobs_are_renamed_closed_and_merged(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    assert run("log", "close", "1", env=env).returncode == 0
    assert "closed" in run("log", "list", env=env).stdout
    assert "is closed already" in run("log", "close", "1", env=env).stderr
    tick(run, tmp_path, "j 2\nt\nc\nn second day\nq\n")
    assert run("log", "merge", "2", "1", env=env).returncode == 0
    assert "2 of 28 cut" in run("log", "list", env=env).stdout
    assert len(run("log", "list", env=env).stdout.splitlines()) == 1
    assert run("log", "rename", "2", "Gate ring", env=env).stdout == "Job 2 is now Gate ring.\n"
    shown = run("log", "show", "2", env=env).stdout
    assert "Job 2: Gate ring, part A" in shown
    assert "renamed, Sluice clamp ring" in shown
    assert "second day" in shown
    tick(run, tmp_path, "t\nq\n", name="winch-dog-plunged")
    assert "was cut from other values than job 2" in run("log", "merge", "2", "3", env=env).stderr


def test_a_renamed_job_is_still_the_job_of_its_recipe(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nn next: oil it\nq\n")
    assert run("log", "rename", "1", "Gate ring", env=env).returncode == 0
    on = tick(run, tmp_path, "t\nc\nq\n").stdout
    assert on.startswith("job 1: ")  # resumed
    assert "2 of 28 cut" in run("log", "list", env=env).stdout
    changed = run("tick", "sluice-clamp-ramp", "--set", "rise=0.080in", "--lines", input="q\n", env=env)
    assert "is not as job 1 was begun" in changed.stderr  # and a change of its recipe is still seen
    assert "- oil it" in run("card", "sluice-clamp-ramp", env=env).stdout
    assert run("log", "close", "1", env=env).returncode == 0  # cut without the rest of the ticks
    run("blue", "--job", "1", "10%", "--minutes", "9", env=env)
    said = " ".join(run("blue", "--job", "1", "20%", "--minutes", "9", env=env).stdout.split())
    assert said.startswith("Job 1, Gate ring, part A. Blue on 20 %")
    assert "of this part" in said
    assert run("again", "1", "--set", "rise=0.1in", "--save", str(tmp_path / "new"), env=env).returncode == 0
    assert recipes.load(tmp_path / "new.toml").next_time == ("oil it",)
    # and a recipe that happens to have the new title is another one
    other = run("tick", "sluice-clamp-ramp", "--set", "title=Gate ring", "--lines", input="q\n", env=env)
    assert other.stdout.startswith("job 2: ")


def test_what_came_from_a_merged_job_can_be_taken_back_and_the_job_goes_on_behind_it(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nt\nc\nq\n")
    run("log", "close", "1", env=env)
    assert tick(run, tmp_path, "q\n").stdout.startswith("job 2: ")
    assert run("log", "merge", "2", "1", env=env).returncode == 0
    on = run("tick", "--job", "2", "--lines", input="u\nu\nq\n", env=env).stdout.splitlines()
    assert on[1].startswith("RAMP 1 · 3 of 28 | TURN 2 1/2 turns")
    assert [line for line in on if line.startswith("took back")] == ["took back cut 2", "took back turned 2"]
    piece = run("tick", "sluice-clamp-ramp", "--lines", "--piece", "2", input="q\n", env=env)
    assert piece.stdout.startswith("job 3: ")
    assert "Sluice clamp ring, part A, piece 2;" in run("log", "list", env=env).stdout


def test_merging_wants_one_part(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    run("tick", "sluice-clamp-ramp", "--set", "part=B", "--lines", input="q\n", env=env)
    for first, second, message in (
        ("1", "1", "other = 1: is the same job. Name two jobs.\n"),
        ("1", "2", "other = 2: is another part than job 1. Merge jobs of one part; see stepcut log show.\n"),
    ):
        refused = run("log", "merge", first, second, env=env)
        assert (refused.returncode, refused.stderr) == (2, message)


def test_merging_loses_nothing_in_the_bin_and_mixes_no_pieces(run: Run, tmp_path: Path) -> None:
    """What goes into a job in the bin would go with it when the bin is emptied; two pieces are two parts."""
    env = {"XDG_DATA_HOME": str(tmp_path)}
    for _ in range(2):
        tick(run, tmp_path, "t\nc\nq\n")
        run("log", "close", str(1 + _), env=env)
    run("tick", "sluice-clamp-ramp", "--lines", "--piece", "2", input="q\n", env=env)
    run("log", "delete", "1", env=env)
    for first, second, message in (
        ("1", "2", "job = 1: is in the bin. Take it out first: stepcut log keep 1.\n"),
        ("2", "1", "other = 1: is in the bin. Take it out first: stepcut log keep 1.\n"),
        ("2", "3", "other = 3: is piece 2, and job 2 is piece 1: two pieces are not one part. Merge jobs of one piece; see stepcut log list.\n"),
    ):  # fmt: skip
        refused = run("log", "merge", first, second, env=env)
        assert (refused.returncode, refused.stderr) == (2, message)
    assert "1 of 28 cut" in run("log", "show", "2", env=env).stdout


def test_a_ring_of_a_little_more_outside_is_warned_of_its_bore(run: Run, tmp_path: Path) -> None:
    """By hand: 1-3/4 in about a bore of 1.40 in is a wall of 0.175 in; 1.9 in makes it 0.25, 43 % more, and 1.77 in 6 %."""
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "q\n")
    kept = "KEPT: bore stays 1.40in while outside goes from 1-3/4in to"
    assert kept in run("again", "1", "--set", "outside=1.9in", env=env).stdout
    assert kept not in run("again", "1", "--set", "outside=1.77in", env=env).stdout
    assert kept not in run("again", "1", "--set", "outside=1.9in", "--set", "bore=1.55in", env=env).stdout


def test_a_recipe_changed_half_way_is_asked_about(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")
    changed = run("tick", "sluice-clamp-ramp", "--set", "rise=0.080in", "--lines", input="t\nq\n", env=env)
    assert changed.returncode == 2
    assert "is not as job 1 was begun (rise was 0.090in, is 0.080in)" in changed.stderr
    beside = run("tick", "sluice-clamp-ramp", "--set", "rise=0.080in", "--lines", "--again", input="t\nq\n", env=env)
    assert beside.returncode == 0
    assert len(run("log", "list", env=env).stdout.splitlines()) == 2
    assert tick(run, tmp_path, "t\nq\n").returncode == 0


def test_again_begins_with_what_differs_and_warns_of_what_was_kept(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nn longer handle\nq\n")
    run("log", "reading", "1", "1", "0.0070in", env=env)
    run("blue", "sluice-clamp-ramp", "50%", "--minutes", "7", env=env)
    done = run("again", "1", "--set", "outside=2.25in", env=env).stdout
    assert done.startswith("Ring\n  was ")
    said = " ".join(done.split())
    assert (
        "KEPT: bore stays 1.40in while outside goes from 1-3/4in to 2.25in. If that is not meant, add --set bore=..."
        in said
    )
    assert "Readings of job 1: 1, off by +0.0010 in to +0.0010 in, +0.0010 in as a mean." in said
    assert "Blue of job 1: 50 %; 7 minutes filed." in said
    assert "Note of job 1, cut 2: longer handle" in said
    # A tenth is the tip: 1.92 in is 9.7 % more than 1.75 in, 1.93 in 10.3 %.
    assert "KEPT: cutter" not in run("again", "1", "--set", "outside=1.92in", env=env).stdout
    assert "KEPT: cutter" in run("again", "1", "--set", "outside=1.93in", env=env).stdout
    assert "KEPT: bore" not in run("again", "1", "--set", "outside=2.25in", "--set", "bore=1.9in", env=env).stdout


def test_the_shops_own_readings_stand_for_the_machines_errors_from_five_on(run: Run, tmp_path: Path) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    tick(run, tmp_path, "t\nc\nq\n")

    def said() -> str:
        return " ".join(run("check", "sluice-clamp-ramp", env=env).stdout.split())

    for stop, found in ((1, "0.0090in"), (2, "0.0155in"), (3, "0.0215in"), (4, "0.0285in")):
        assert run("log", "reading", "1", str(stop), found, env=env).returncode == 0
    assert said().startswith("CUT IT")
    assert "errors of the machine's file" in said()
    # Five cuts too deep by about 3 thou, and 2 thou of leave: nearly every part is cut below.
    assert run("log", "reading", "1", "5", "0.0350in", env=env).returncode == 0
    assert "is nearly every time, with leave 0.0020 in." in said()
    assert "errors of your own readings" in said()


def test_a_reading_written_anew_at_a_cut_counts_alone_for_the_machine_and_for_the_next_job(tmp_path: Path) -> None:
    """0.40 typed for 0.95: shown for ever, and no error of the machine."""
    with Store(tmp_path / "log.db") as store:
        row = at_machine.begun(store, recipes.job(recipes.load("sluice-clamp-ramp")))
        for n, found in ((1, 0.40), (2, 1.01), (1, 1.02), (3, 1.03)):
            store.reading(row.id, n, 1.0, found)
        assert [(n, found) for _, n, _, found, *_ in store.readings()] == [(2, 1.01), (1, 1.02), (3, 1.03)]
        assert len(store.readings(row.id)) == 4
        (said,) = [line for line in carried(store, store.job(row.id)) if line.startswith("Readings")]
        assert said.startswith("Readings of job 1: 3, off by +0.0004 in to +0.0012 in")
