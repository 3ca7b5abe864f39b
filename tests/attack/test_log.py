"""The log under attack: kills, many windows, a clock that goes back, a full disk under the screen."""

from __future__ import annotations

import asyncio
import contextlib
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcut import recipes
from stepcut.cli import at_machine, show
from stepcut.cli.begun import as_begun
from stepcut.errors import BadValue
from stepcut.log.session import Session
from stepcut.log.steps import steps
from stepcut.log.store import MovedOn, Store
from tests.attack import LONG
from tests.conftest import ROOT

pytestmark = [pytest.mark.attack, pytest.mark.long]


def ticker(home: Path, *more: str) -> subprocess.Popen[str]:
    environment = {**os.environ, "XDG_DATA_HOME": str(home), "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"}
    return subprocess.Popen(
        [sys.executable, "-m", "stepcut", "tick", "sluice-clamp-ramp", "--set", "step=1deg", "--lines", *more],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8", env=environment,
    )  # fmt: skip


def said(process: subprocess.Popen[str]) -> set[tuple[int, str]]:
    """Every tick that a window said to be set, up to the end of its output."""
    assert process.stdout is not None
    lines = [line.split() for line in process.stdout if line.startswith("ticked")]
    return {(int(words[2]), words[1]) for words in lines if len(words) > 2 and words[2].isdigit()}


def closed(process: subprocess.Popen[str]) -> None:
    process.wait()
    for stream in (process.stdin, process.stdout, process.stderr):
        with contextlib.suppress(OSError):
            assert stream is not None
            stream.close()


def test_six_windows_killed_at_random_lose_nothing_and_double_nothing(tmp_path: Path) -> None:
    chance = random.Random("six windows")  # noqa: S311  # repeatable moments, not secrets
    kept: set[tuple[int, str]] = set()
    for _ in range(50 if LONG else 4):
        windows = [ticker(tmp_path) for _ in range(6)]
        for window in windows:
            assert window.stdin is not None
            with contextlib.suppress(BrokenPipeError):
                window.stdin.write("s\n" + "t\nc\nk\n" * 20)
                window.stdin.flush()
        assert windows[0].stdout is not None
        assert windows[0].stdout.readline().startswith("job 1:")
        time.sleep(chance.uniform(0.0, 0.8))
        for window in windows:
            os.kill(window.pid, signal.SIGKILL)
        for window in windows:
            kept |= said(window)
            closed(window)
        with Store(tmp_path / "stepcut" / "log.sqlite3") as store:
            ticks = store.ticks(1)
            assert kept <= ticks
            events = [(n, kind) for _, kind, n, _ in store.events(1) if kind in ("turned", "cut", "checked")]
            assert len(events) == len(set(events))
            assert {n for n, what in ticks if what == "cut"} <= {n for n, what in ticks if what == "turned"}
            assert len(store.jobs()) == 1


def session_of(store: Store) -> Session:
    job = recipes.job(recipes.load("sluice-clamp-ramp"))
    begun = as_begun(at_machine.begun(store, job))
    session = Session(store, begun.row, steps(begun.card))
    if session.step is not None and session.step.what == "prepared":
        session.past_set_up()
    return session


def test_a_clock_that_goes_back_changes_no_order(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    times = iter(f"20{99 - n:02d}-01-01T00:00:00+00:00" for n in range(90))
    for module in ("file", "ticks", "jobs"):
        monkeypatch.setattr(f"stepcut.log.{module}.now", lambda: next(times))
    with Store(tmp_path / "log.sqlite3") as store:
        session = session_of(store)
        for n in range(1, 6):
            assert (session.turned(), session.cut()) == (n, n)
        assert session.checked() == 5
        assert [session.undo(), session.undo(), session.undo()] == [(5, "checked"), (5, "cut"), (5, "turned")]
        assert session.place == 5


def test_two_windows_in_any_order_never_tick_what_they_did_not_show(tmp_path: Path) -> None:
    """Keys of two windows in random order: each does what it showed, or is refused and shown anew."""
    chance = random.Random("two windows")  # noqa: S311  # repeatable keys, not secrets
    with Store(tmp_path / "log.sqlite3") as one, Store(tmp_path / "log.sqlite3") as two:
        windows = [session_of(one), session_of(two)]
        refused = 0
        for _ in range(20_000 if LONG else 400):
            window = chance.choice(windows)
            before = window.shown
            key = chance.choice(["turned", "cut", "checked", "undo", "turned", "cut"])
            try:
                done = getattr(window, key)()
            except MovedOn:
                refused += 1
                assert window.shown.moves > before.moves
                continue
            except BadValue as trouble:
                assert "is not what comes next" in str(trouble)  # the one other refusal that there is
                continue
            if key in ("turned", "cut") or (key == "checked" and done is not None):
                assert before.step is not None
                assert done == before.step.n
        assert refused > 20
        assert one.ticks(1) == two.ticks(1)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 8 MB of its own; needs root, as .ci/run has in CI."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=8000k", "tmpfs", str(folder)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("a small disk of its own needs root and tmpfs")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)


def test_a_full_disk_under_the_screen_is_said_and_what_was_ticked_stays(small_disk: Path) -> None:
    from stepcut.cli.tick_screen import TickApp

    async def driving(app: TickApp) -> str:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.press("s", "t", "c", "t", "c")
            filler = os.open(small_disk / "filler", os.O_CREAT | os.O_WRONLY)
            with contextlib.suppress(OSError):
                while True:
                    os.write(filler, b"x" * 1024)
            os.close(filler)
            for key in "tck" * 200:
                await pilot.press(key)
                if "disk is full" in "".join(str(each.render()) for each in app.query("Static")):
                    return "said"
        return "never said"

    path = small_disk / "log.sqlite3"
    with Store(path) as store:
        job = recipes.job(recipes.load("sluice-clamp-ramp").resized({"step": "1deg"}))
        begun = as_begun(at_machine.begun(store, job))
        app = TickApp(Session(store, begun.row, steps(begun.card)), begun.card, asleep=0)
        assert asyncio.run(driving(app)) == "said"
        kept = store.ticks(1)
        assert {(1, "turned"), (1, "cut"), (2, "turned"), (2, "cut")} <= kept
    (small_disk / "filler").unlink()
    with Store(path) as store:
        assert store.ticks(1) == kept
        assert show.whole(job).title == begun.card.title
