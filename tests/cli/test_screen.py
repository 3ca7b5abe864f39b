"""The tick-off screen, driven by textual's own pilot and once through tmux."""

from __future__ import annotations

import asyncio
import os
import subprocess
import sys
import time
from collections.abc import Coroutine
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Button, Digits, Static

from stepcut import recipes
from stepcut.cli import at_machine, show
from stepcut.cli.big import big
from stepcut.cli.tick_screen import TickApp
from stepcut.log.session import Session
from stepcut.log.store import Store
from tests import needs
from tests.conftest import Run


def app_of(store: Store, **sets: str) -> TickApp:
    job = recipes.job(recipes.load("sluice-clamp-ramp").resized(sets))
    sheet, plan = show.sheet(job), show.solved(job)
    return TickApp(Session(store, at_machine.begun(store, job), sheet.rows), sheet, plan)


def driven(steps: Coroutine[Any, Any, None]) -> None:
    asyncio.run(steps)


def words(app: TickApp, name: str) -> str:
    return app.query_one(f"#{name}", Static).render().plain  # type: ignore[union-attr]


def test_keys_tick_and_a_check_must_be_confirmed(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("c")
                assert "not ticked as turned" in words(app, "say")
                for _ in range(5):
                    await pilot.press("t", "c")
                assert "Stop 6 of 28" in words(app, "head")
                assert words(app, "how").startswith("CHECK: rim must read 50°")
                await pilot.press("t")
                assert (6, "turned") not in store.ticks(1)
                await pilot.press("k", "t")
                assert (6, "turned") in store.ticks(1)
                await pilot.press("u")
                assert (6, "turned") not in store.ticks(1)
                assert app.query_one("#first", Digits).value == "60°"

    driven(steps())


def test_jump_note_and_reading_are_asked_for(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store, title="[red]Ring[/red]")
            async with app.run_test(size=(60, 20)) as pilot:
                assert "[red]Ring[/red]" in words(app, "head")
                await pilot.press("j", "9", "enter")
                assert "Stop 9 of 28" in words(app, "head")
                await pilot.press("j", "9", "9", "enter")
                assert "is no stop from 1 to 28" in words(app, "say")
                await pilot.press("n", *"next: a [b]", "enter")
                assert store.notes(1)[0][2:] == ("a [b]", 1)
                await pilot.press("t", "c", "m", *"0.0580in", "enter")
                assert store.readings(1)[0][1] == 9
                await pilot.press("p")
                assert "Paused" in words(app, "say")

    driven(steps())


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (120, 40)])
def test_it_fits_and_works_with_the_mouse(tmp_path: Path, size: tuple[int, int]) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=size) as pilot:
                await pilot.click("#turned")
                await pilot.click("#cut")
                assert store.ticks(1) == {(1, "turned"), (1, "cut")}
                for button in app.query(Button):
                    region = button.region
                    assert region.right <= size[0]
                    assert region.bottom <= size[1]
                shown = app.query_one("#first-big", Static) if size[1] >= 22 else app.query_one("#first", Digits)
                assert shown.display
                assert shown.region.bottom <= size[1] - 3

    driven(steps())


def test_another_window_is_followed(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store, Store(tmp_path / "log.sqlite3") as other:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                session = Session(other, other.job(1), app.sheet.rows)
                session.turned()
                session.cut()
                await pilot.pause(1.2)
                assert "Stop 2 of 28" in words(app, "head")

    driven(steps())


def test_big_digits_are_seven_rows_and_know_their_bounds() -> None:
    shape = big("359°59'", 80)
    assert shape is not None
    assert len(shape.splitlines()) == 7
    assert max(map(len, shape.splitlines())) <= 80
    assert big("359°59'", 20) is None
    assert big("x", 80) is None


def test_without_a_terminal_it_goes_line_by_line(run: Run) -> None:
    done = run("tick", "sluice-clamp-ramp", input="t\nq\n")
    assert done.returncode == 0
    assert "ticked turned 1" in done.stdout


@pytest.mark.parametrize("size", ["40x12", "80x24", "120x40"])
def test_the_real_screen_through_tmux(tmp_path: Path, size: str) -> None:
    program = needs.found("tmux")
    width, height = size.split("x")
    socket = f"stepcut-{os.getpid()}-{size}"
    tmux = [program, "-L", socket, "-f", "/dev/null"]
    command = f"env -u COLUMNS -u LINES XDG_DATA_HOME={tmp_path} LC_ALL=C.UTF-8 {sys.executable} -m stepcut tick sluice-clamp-ramp"

    def screen() -> str:
        return subprocess.run(
            [*tmux, "capture-pane", "-p", "-t", "s"], capture_output=True, text=True, check=True
        ).stdout

    def wait_for(text: str) -> str:
        for _ in range(600):
            if text in (shown := screen()):
                return shown
            time.sleep(0.1)
        raise AssertionError(f"{text!r} never came:\n{screen()}")

    subprocess.run([*tmux, "-u", "new-session", "-d", "-s", "s", "-x", width, "-y", height, command], check=True)
    try:
        wait_for("Stop 1 of 28")
        subprocess.run([*tmux, "send-keys", "-t", "s", "t"], check=True)
        wait_for("[x] turned")
        subprocess.run([*tmux, "send-keys", "-t", "s", "c"], check=True)
        shown = wait_for("Stop 2 of 28")
        assert "CUT c" in shown
        assert len(shown.rstrip("\n").splitlines()) <= int(height)
    finally:
        subprocess.run([*tmux, "kill-server"], check=False)
    with Store(tmp_path / "stepcut" / "log.sqlite3") as store:
        assert store.ticks(1) == {(1, "turned"), (1, "cut")}
