"""The tick-off screen, driven by textual's own pilot and through tmux, at the sizes that a terminal has."""

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
from msgspec.structs import replace
from textual import events

from stepcut import recipes
from stepcut.cli import at_machine, show
from stepcut.cli.big import big
from stepcut.cli.tick_face import Face, face
from stepcut.cli.tick_screen import TickApp
from stepcut.cli.ticking import Ticking, words_of
from stepcut.log.session import END, Session, View
from stepcut.log.steps import steps
from stepcut.log.store import Store
from tests import needs
from tests.conftest import Run
from tests.shops import thinned

SIZES = [(40, 12), (80, 24), (120, 40), (200, 60)]


def session_of(store: Store, name: str = "sluice-clamp-ramp", **sets: str) -> tuple[Session, Any]:
    job = recipes.job(recipes.load(name).resized(sets))
    card = show.whole(job, "2026-01-01")
    return Session(store, at_machine.begun(store, job), steps(card)), card


def app_of(store: Store, asleep: float = 0, **sets: str) -> TickApp:
    session, card = session_of(store, **sets)
    return TickApp(session, card, asleep=asleep)


def driven(steps: Coroutine[Any, Any, None]) -> None:
    asyncio.run(steps)


def shown(app: TickApp) -> str:
    return "\n".join(text for text, _ in app.rows)


def said(app: TickApp) -> str:
    """The screen in one line, as its words wrap."""
    return " ".join(shown(app).split())


def test_the_set_up_comes_first_and_enter_does_the_act_that_is_shown(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                assert "SET UP · 1 of 11" in shown(app)
                await pilot.press("t")
                assert "First: Cutter, flat" in said(app)
                for _ in range(11):
                    await pilot.press("enter")
                assert "RAMP 1 · 1 of 28" in shown(app)
                assert store.ticks(1) == {(n, "prepared") for n in range(1, 12)}
                for _ in range(10):
                    await pilot.press("enter")
                assert "CHECK after 5" in shown(app)
                assert {(n, what) for n in range(1, 6) for what in ("turned", "cut")} <= store.ticks(1)

    driven(steps())


def test_ctrl_c_stops_and_keeps_what_was_ticked(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        app = app_of(store)

        async def steps() -> None:
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("s", "t", "c", "n", "x", "ctrl+c")  # in the middle of a note, too

        driven(steps())
        assert app.stopped
        assert (1, "cut") in store.ticks(1)
        with pytest.raises(KeyboardInterrupt):
            app.run = lambda: None  # type: ignore[method-assign]  # it has run
            app.run_guarded()


def test_checks_and_changes_are_black_and_must_be_confirmed(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("s", "j", "1", "4", "enter", "t", "c")
                for place, key in (("CHECK after 14", (14, "checked")), ("RAMP 2 · 15 of 28", (15, "changed"))):
                    assert place in shown(app)
                    assert app.ticking.step is not None
                    assert all(act.confirm for act in app.ticking.step.screen.acts)
                    await pilot.press("t", "c", "enter")  # one press only asks
                    assert "Enter again" in shown(app)
                    assert key not in store.ticks(1)
                    await pilot.press("enter")
                    assert key in store.ticks(1)
                assert "TURN 12 1/2 turns" in shown(app)
                await pilot.press("u")
                assert "CUTTER UP CLEAR" in shown(app)
                await pilot.press("k")
                assert (15, "changed") in store.ticks(1)

    driven(steps())


def test_a_second_press_at_once_counts_once(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store, asleep=60)
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("s", "enter", "enter", "c", "space")
                assert store.ticks(1) == {(1, "turned")}
                app.asleep = 0
                await pilot.press("enter")
                assert store.ticks(1) == {(1, "turned"), (1, "cut")}

    driven(steps())


def test_a_press_that_came_before_the_next_act_was_shown_is_not_for_it(tmp_path: Path) -> None:
    # A slow computer gets to the second of two presses late; what counts is when the finger pressed.
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("s")
                early = events.Key("enter", None)
                await pilot.press("enter")
                await app.on_key(early)
                assert store.ticks(1) == {(1, "turned")}
                await app.on_key(events.Key("enter", None))
                assert store.ticks(1) == {(1, "turned"), (1, "cut")}

    driven(steps())


def test_after_the_last_cut_it_is_measured(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                await pilot.press("s")
                while "MEASURE" not in shown(app):
                    step = app.ticking.step
                    assert step is not None
                    await pilot.press("k" if step.screen.black else "enter")
                assert "MEASURE · 1 of 2" in shown(app)
                await pilot.press("m", *"0.0895in", "enter")
                assert store.notes(1)[0][2].endswith("past the last cut: found 0.0895in, expected 0.0900 in")
                assert not app.ticking.session.done
                await pilot.press("enter", "enter")
                assert app.ticking.session.done
                assert store.job(1).doing == END

    driven(steps())


def test_jump_note_and_reading_are_asked_for(tmp_path: Path) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store, title="[red]Ring[/red]")
            async with app.run_test(size=(60, 20)) as pilot:
                assert "[red]Ring[/red]" in shown(app)
                await pilot.press("j", "9", "enter")
                assert "RAMP 1 · 9 of 28" in shown(app)
                assert "turns are counted from cut 8" in said(app)
                await pilot.press("j", "9", "9", "enter")
                assert "is no cut from 1 to 28" in said(app)
                await pilot.press("m")
                assert "nothing is cut yet" in said(app)
                await pilot.press("n", *"next: a [b]x", "backspace", "enter")
                assert store.notes(1)[0][2:] == ("a [b]", 1)
                await pilot.press("n", *"gone", "escape")
                assert len(store.notes(1)) == 1
                await pilot.press("t", "c", "m", *"0.0580in", "enter")
                assert store.readings(1)[0][1] == 9
                await pilot.press("p")
                assert "paused" in shown(app)
                await pilot.press("o")
                assert "CHECK OFF" in shown(app)
                while app._face.lost is not None:
                    await pilot.press("enter")
                assert "RAMP 1 · 10 of 28" in shown(app)

    driven(steps())


@pytest.mark.parametrize("size", SIZES)
def test_it_works_with_the_mouse(tmp_path: Path, size: tuple[int, int]) -> None:
    async def steps() -> None:
        with Store(tmp_path / "log.sqlite3") as store:
            app = app_of(store)
            async with app.run_test(size=size) as pilot:
                await pilot.press("s")
                button = next(k for k, (text, style) in enumerate(app.rows) if style == "button" and text.strip())
                await pilot.click(offset=(5, button))
                assert store.ticks(1) == {(1, "turned")}
                bottom = app.rows[-1][0]
                await pilot.click(offset=(bottom.index("undo"), size[1] - 1))
                assert store.ticks(1) == set()

    driven(steps())


def test_another_window_is_followed(tmp_path: Path) -> None:
    async def driving() -> None:
        with Store(tmp_path / "log.sqlite3") as store, Store(tmp_path / "log.sqlite3") as other:
            app = app_of(store)
            async with app.run_test(size=(80, 24)) as pilot:
                session = Session(other, other.job(1), app.ticking.session.steps)
                session.past_set_up()
                session.turned()
                session.cut()
                await pilot.pause(1.2)
                assert "RAMP 1 · 2 of 28" in shown(app)

    driven(driving())


# --- how it looks -------------------------------------------------------------------------------------------------


def test_digits_grow_with_the_room_and_know_their_bounds() -> None:
    tall = []
    for width, height in SIZES:
        shape = big("359°59'", width, height)
        assert shape is not None
        assert max(map(len, shape)) <= width
        assert len(shape) <= height
        tall.append(len(shape))
    assert tall == sorted(set(tall))
    assert big("359°59'", 20, 20) is None
    assert big("359°59'", 40, 3) is None
    assert big("£", 80, 20) is None
    assert big("", 80, 20) is None


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    "name", thinned(["sluice-clamp-ramp", "lever-ball-knob", "oil-groove-helix", "tension-release-cam"])
)
def test_every_step_fits_at_every_size_with_every_key_and_all_its_words(
    tmp_path: Path, name: str, size: tuple[int, int]
) -> None:
    """The rows are whole, the keys stand on the last one, and what the act says is on the screen or its end is named."""
    width, height = size
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store, name)
    last = {step.what: step for step in session.steps}
    first = {step.what: step for step in reversed(session.steps)}
    longest = max(session.steps, key=lambda step: len(words_of(step.screen)))
    for step in [*first.values(), *last.values(), longest]:
        at = View(replace(session.job, doing=step.mark), frozenset(), session.steps)
        rows = face(at, card, width, height, Face())
        assert len(rows) == height
        assert {len(text) for text, _ in rows} == {width}
        keys = rows[-1][0]
        wanted = [
            "Enter",
            "undo",
            "jump",
            "note",
            "off",
            "pause",
            "quit",
            "skip" if step.what == "prepared" else "meas",
        ]
        assert all(word in keys for word in wanted)
        assert any(step.screen.button in text for text, style in rows if style == "button")
        said = " ".join(" ".join(text for text, _ in rows).split())
        assert " ".join(step.screen.says.split()) in said
        digits = [text for text, style in rows if style == "number" and text.strip()]
        if step.what in ("turned", "cut", "checked") and step.screen.readings:
            assert len(digits) >= 4, (step.mark, "\n".join(text for text, _ in rows))


def test_without_a_terminal_it_goes_line_by_line_and_says_all_that_the_screen_says(run: Run) -> None:
    done = run("tick", "sluice-clamp-ramp", input="\n" * 140 + "o\nq\n")
    assert done.returncode == 0
    assert "ticked prepared 1\n" in done.stdout
    assert "ticked turned 1\n" in done.stdout
    card = show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01")
    for screen in card.screens:
        line = next(
            line for line in done.stdout.splitlines() if line.startswith(screen.place) and words_of(screen) in line
        )
        assert line.endswith(f": {screen.button}")
    assert card.off in done.stdout
    assert "Job 1 is done" in done.stderr


@pytest.mark.parametrize("size", ["40x12", "80x24", "120x40", "200x60"])
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
            if text in (found := screen()):
                return found
            time.sleep(0.1)
        raise AssertionError(f"{text!r} never came:\n{screen()}")

    def send(*keys: str) -> None:
        subprocess.run([*tmux, "send-keys", "-t", "s", *keys], check=True)

    subprocess.run([*tmux, "-u", "new-session", "-d", "-s", "s", "-x", width, "-y", height, command], check=True)
    try:
        wait_for("SET UP · 1 of 11")
        send("s")
        wait_for("RAMP 1 · 1 of 28")
        send("Enter", "Enter")  # a finger that bounces
        wait_for("DEPTH")
        time.sleep(1.0)
        assert "Enter  CUT" in screen()
        send("Enter")
        wait_for("RAMP 1 · 2 of 28")
        found = wait_for("Enter  TURNED")  # the lower end of a large screen may be painted a moment later
        assert "undo" in found.rstrip("\n").splitlines()[-1]
        assert len(found.rstrip("\n").splitlines()) == int(height)
    finally:
        subprocess.run([*tmux, "kill-server"], check=False)
    with Store(tmp_path / "stepcut" / "log.sqlite3") as store:
        assert store.ticks(1) == {(1, "turned"), (1, "cut")}


def test_a_set_up_number_is_large_on_a_low_screen_too_and_a_range_is_never_cut_in_two(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store)
    for mark, large in (("prepared 4", True), ("prepared 8", False)):
        at = View(replace(session.job, doing=mark), frozenset(), session.steps)
        rows = face(at, card, 40, 12, Face())
        assert any(style == "number" and text.strip() for text, style in rows) is large
        assert any(("710 to 1200 rpm" if not large else " in ") in text for text, _ in rows)


def test_a_screen_too_low_for_its_words_says_that_there_is_more(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store, "lever-ball-knob")
    corner = next(step.mark for step in session.steps if step.what == "changed")
    at = View(replace(session.job, doing=corner), frozenset(), session.steps)
    message = "at cut 34; turns are counted from cut 33, so go by the readings"
    rows = [text for text, _ in face(at, card, 40, 12, Face(message=message))]
    said = " ".join(" ".join(rows).split())
    assert "by a measured cut." in said
    assert any("It is clear" in row for row in rows)
    tiny = [text for text, _ in face(at, card, 40, 8, Face(message=message))]
    assert any("o: more" in row for row in tiny)


def test_a_check_with_the_next_depth_shows_its_number_large_and_then_all_its_words(tmp_path: Path) -> None:
    """At 40 x 12 both do not fit: the reading first, what comes then after one press, before it counts."""
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store, "sluice-clamp-ramp", order="by-depth")
    check = next(step for step in session.steps if step.what == "checked" and len(step.screen.acts) > 1)
    at = View(replace(session.job, doing=check.mark), frozenset(), session.steps)
    first, then = (face(at, card, 40, 12, Face(armed=armed)) for armed in (False, True))
    assert len([text for text, style in first if style == "number" and text.strip()]) == 4
    assert any("What comes then: after Enter." in text for text, _ in first)
    assert " ".join(check.screen.says.split()) in " ".join(" ".join(text for text, _ in then).split())
    for rows in (first, then):
        assert all(any(reading.label in text for text, _ in rows) for reading in check.screen.readings)


def test_words_that_a_small_screen_cuts_short_stand_first_on_the_page_of_o(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store, "crank-face-ratchet")
    change = next(step for step in session.steps if step.what == "last-1")
    at = View(replace(session.job, doing=change.mark), frozenset(), session.steps)
    assert any("o: more" in text for text, _ in face(at, card, 40, 12, Face()))
    told = " ".join(" ".join(text for text, _ in face(at, card, 40, 24, Face(lost=0))).split())
    assert "THIS ACT" in told and " ".join(change.screen.says.split()) in told


def test_boxes_before_the_first_cut_pass_no_cut_over(tmp_path: Path) -> None:
    with Store(tmp_path / "log.sqlite3") as store:
        session, card = session_of(store, "lever-ball-knob")
        ticking = Ticking(session, card)
        assert [ticking.enter() for _ in range(8)] == [f"ticked prepared {n}" for n in range(1, 9)]
