"""Where the dials stand at every act of a job played through on every example, with errors of reading up to half a division."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from stepcut import recipes
from stepcut.plan import Plan
from stepcut.shop.finding import Told, find, with_ticks
from tests.conftest import Run

# A socket that a set-up cuts has no cuts; the last sweep of a whole cam ends where its first cut stands.
NAMES = [path.stem for path in recipes.shipped() if path.stem not in ("paddle-socket-bore", "feed-pump-valve-cam")]
Ticks = set[tuple[int, str]]


def told(plan: Plan, at: Fraction, deep: Fraction, ticks: Ticks) -> Told:
    turn = Fraction(360) if plan.first.angular else None
    place = find(plan.stops, plan.first, plan.second, at, deep, turn)
    return with_ticks(place, plan.stops, plan.first, at, turn, ticks)


@pytest.mark.parametrize("name", NAMES)
def test_every_act_of_a_job_is_known_again(name: str) -> None:
    plan = recipes.job(recipes.load(name)).plan
    dice = random.Random(5)  # noqa: S311  # errors of reading, no secret

    def read(scale_value: Fraction, division: Fraction) -> Fraction:
        """Read a scale wrong by less than half a division."""
        return scale_value + division * Fraction(dice.randint(-499, 499), 1000)

    ticks: Ticks = set()
    deep = Fraction(0)
    for stop in plan.stops:
        first, second = plan.first.value(stop.first), plan.second.value(stop.second)
        ticks.add((stop.n, "turned"))
        turned = told(plan, read(first, plan.first.division), read(deep, plan.second.division), ticks)
        assert turned.due is stop
        if turned.place.state == "moved":
            assert turned.place.stop is stop
        else:  # the depth of the cut before is this one's own too
            assert turned.place.state == "at"
            assert stop.n in (turned.place.stop.n, *turned.place.others) or deep != second
        ready = told(plan, read(first, plan.first.division), read(second, plan.second.division), ticks)
        assert (ready.place.state, ready.place.stop.n, ready.ticked) == ("at", stop.n, "cut-now")
        ticks.add((stop.n, "cut"))
        done = told(plan, read(first, plan.first.division), read(second, plan.second.division), ticks)
        assert (done.place.stop.n, done.ticked) == (stop.n, "cut")
        upcoming = plan.stops[stop.n] if stop.n < len(plan.stops) else None
        assert done.due is upcoming
        if upcoming is not None and upcoming.start != stop.start:
            assert done.clear_first  # the way to the next ramp passes metal
        deep = second


@pytest.mark.parametrize("name", NAMES)
def test_in_the_middle_of_a_change_the_place_is_known(name: str) -> None:
    """The cutter is clear: at the last cut of a ramp or round, then at the first one of the next; read half a division wrong."""
    plan = recipes.job(recipes.load(name)).plan
    if plan.axes[1] != "depth":
        pytest.skip("no depth is read on this one")
    dice, ticks = random.Random(9), set()  # noqa: S311  # errors of reading, no secret
    off = plan.first.division / 1000
    for stop, upcoming in zip(plan.stops, plan.stops[1:], strict=False):
        ticks |= {(stop.n, "turned"), (stop.n, "cut")}
        if upcoming.start == stop.start:
            continue
        clear = Fraction(-dice.randint(1000, 3000), 1000)
        left = told(plan, plan.first.value(stop.first) + off * dice.randint(-499, 499), clear, ticks)
        assert (left.place.state, left.ticked, left.due) == ("clear", "cut", upcoming)
        assert stop.n in (left.place.stop.n, *left.place.others)
        there = told(plan, plan.first.value(upcoming.first) + off * dice.randint(-499, 499), clear, ticks)
        assert (there.place.state, there.place.stop.n, there.fits) == ("clear", upcoming.n, True)


def test_slack_on_the_wrong_side_and_a_mark_passed_are_told_apart() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    stop, ticks = plan.stops[6], {(n, "cut") for n in range(1, 7)}
    mark, deep = plan.first.value(stop.first), plan.second.value(plan.stops[5].second)
    # The example machine's table has 6' of backlash and is read to 1'.
    for minutes, way in ((4, 1), (-4, -1), (7, 1)):
        found = told(plan, mark + Fraction(minutes, 60), deep, ticks)
        assert found.fits
        assert found.slack * way == Fraction(abs(minutes), 60)
    for minutes in (9, -9, 40):
        assert not told(plan, mark + Fraction(minutes, 60), deep, ticks).fits


def test_a_dial_ahead_of_the_ticks_is_said() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    ticks: Ticks = {(n, "cut") for n in range(1, 4)}
    stop = plan.stops[6]
    found = told(plan, plan.first.value(stop.first), plan.second.value(stop.second), ticks)
    assert (found.ticked, found.place.stop.n) == ("ahead", 7)
    assert found.due is plan.stops[3]


def test_where_reads_the_ticks(run: Run) -> None:
    ring = "sluice-clamp-ramp"
    assert run("tick", ring, "--lines", input="s\nt\nc\nt\nc\nt\nq\n").returncode == 0
    three = run("where", ring, "--table", "30deg", "--depth", "0.0190in")
    assert "It is ticked as turned and not as cut: cut it now." in three.stdout
    two = run("where", ring, "--table", "20deg", "--depth", "0.0125in").stdout
    assert "It is ticked as cut. Next is cut 3: rim 30°, depth 0.0190." in two
    five = run("where", ring, "--table", "50deg", "--depth", "0.0320in").stdout
    assert "Cuts 3 to 4 are not ticked as cut. Do not cut here before you know" in five
    past = run("where", ring, "--table", "30d04'", "--depth", "0.0125in")
    assert past.returncode == 0
    assert "past the mark of cut 3: go back a quarter turn or more" in past.stdout
    nowhere = run("where", ring, "--table", "33deg", "--depth", "0.0510in")
    assert nowhere.returncode == 2
    assert "the readings fit no cut" in nowhere.stdout
    # The other ramp begins half a turn on: its dials are told apart by the ticks.
    assert run("tick", ring, "--lines", input="c\n" + "t\nc\nk\nk\n" * 12 + "q\n").returncode == 0
    last = run("where", ring, "--table", "140deg", "--depth", "0.0900in").stdout
    assert "RAISE THE CUTTER CLEAR before that move: metal stands on the way." in last
