"""Where the dials stand at every act of a job played through on every example, with errors of reading up to half a division."""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest

from stepcut import recipes
from stepcut.plan import Plan
from stepcut.routine import acts
from stepcut.shop.finding import Told, clear_of, falling, find, with_ticks
from tests.conftest import Run
from tests.shops import each_kind

NAMES = [path.stem for path in recipes.shipped()]
Ticks = set[tuple[int, str]]


def told(plan: Plan, at: Fraction, deep: Fraction, ticks: Ticks) -> Told:
    turn = Fraction(360) if plan.first.angular else None
    place = find(plan.stops, plan.first, plan.second, at, deep, turn, clear_of(plan))
    return with_ticks(place, plan.stops, plan.first, at, turn, ticks, falling(plan))


@dataclass
class Bench:
    """Two dials that the acts move, and what a careful person has ticked."""

    plan: Plan
    at: Fraction = Fraction(0)
    deep: Fraction = Fraction(0)
    ticks: Ticks = field(default_factory=set)
    stop: int = 0  # the cut that the hands are at
    cut: set[int] = field(default_factory=set)

    def play(self, act: dict[str, Any], last: bool) -> None:
        """Do an act; the cut is ticked at its last feed."""
        where = None if act["to"] is None else Fraction(act["to"]).limit_denominator(10**9)
        if where is not None and act["axis"] == self.plan.axes[0]:
            self.at = where
        elif where is not None and act["axis"] == self.plan.axes[1]:
            self.deep = where
        self.stop = act["stop"] or self.stop
        if act["act"] in ("turn", "set"):
            self.ticks.add((self.stop, "turned"))
        if act["act"] == "cut" and last:
            self.ticks |= {(self.stop, "turned"), (self.stop, "cut")}
            self.cut.add(self.stop)

    @property
    def due(self) -> int | None:
        return next((stop.n for stop in self.plan.stops if stop.n not in self.cut), None)


def played(plan: Plan) -> list[dict[str, Any]]:
    """The acts of a plan between set-up and measuring, as JSON has them, with exact places."""
    rows = [{**act.content(), "to": act.to} for act in acts(plan)]
    return [row for row in rows if row["act"] not in ("prepare", "measure")]


def asked_at(plan: Plan, rows: list[dict[str, Any]]) -> set[int]:
    """Acts to ask after: the first and the last, those round every change of ramp, groove or corner, and some between."""
    changes = {k for k, (a, b) in enumerate(pairwise(rows)) if a["start"] != b["start"]}
    ends = [*range(8), *range(len(rows) - 8, len(rows)), *(k + i for k in sorted(changes)[:3] for i in range(-5, 7))]
    return {*ends, *range(0, len(rows), max(1, len(rows) // 16))}


@pytest.mark.parametrize("name", each_kind())
def test_where_is_right_or_honest_after_an_act(name: str) -> None:
    plan = recipes.job(recipes.load(name)).plan
    rows = played(plan)
    right_or_honest(plan, rows, asked_at(plan, rows))


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
def test_where_is_right_or_honest_after_every_act(name: str) -> None:
    plan = recipes.job(recipes.load(name)).plan
    rows = played(plan)
    right_or_honest(plan, rows, set(range(len(rows))))


def right_or_honest(plan: Plan, rows: list[dict[str, Any]], asked: set[int]) -> None:
    """Dials are read wrong by up to half a division; with the ticks one place is named, without them it is among those named."""
    final = {act["stop"]: k for k, act in enumerate(rows) if act["act"] == "cut"}
    dice = random.Random(5)  # noqa: S311  # errors of reading, no secret
    bench, fitted = Bench(plan), 0
    for k, act in enumerate(rows):
        bench.play(act, final.get(act["stop"]) == k)
        if k not in asked:
            continue
        at, deep = (
            value + scale.division * Fraction(dice.randint(-499, 499), 1000)
            for value, scale in ((bench.at, plan.first), (bench.deep, plan.second))
        )
        found, bare = told(plan, at, deep, bench.ticks), told(plan, at, deep, set())
        case = (k, act["act"], act["stop"], found)
        stop = plan.stops[bench.stop - 1]
        assert (found.due.n if found.due is not None else None) == bench.due, case
        at_first = (bench.at - plan.first.value(stop.first)) % (360 if plan.first.angular else 10**6) == 0
        at_second = bench.deep == plan.second.value(stop.second)
        if at_first and at_second:
            assert found.place.state == "at", case
            assert stop.n in (found.place.stop.n, *found.place.others), case
            if bench.stop not in bench.cut:  # what stands next is named first, whatever reads alike
                assert (found.place.stop.n, found.ticked in ("cut-now", "turned-unticked")) == (stop.n, True), case
            assert stop.n in (bare.place.stop.n, *bare.place.others), case
            fitted += 1
        elif at_first and found.place.state not in ("between", "away") and found.ticked != "cut":
            # On the way back past the slack the slide may stand where the next cut's is set: both are named then.
            beside = {found.place.before.n} if found.place.state == "set" and found.place.before else set()
            assert stop.n in {found.place.stop.n, *found.place.others, *beside}, case
        else:  # nothing is claimed that is not so
            claimed = {"at", "moved", "clear", "ready"} & {found.place.state}
            named = [plan.stops[n - 1] for n in (found.place.stop.n, *found.place.others)]
            assert not claimed or any(
                abs(plan.second.value(each.second) - bench.deep) < plan.second.division
                or abs((plan.first.value(each.first) - bench.at) % 360) < plan.first.division
                for each in named
            ), case
    assert fitted  # feeds that end beside a cut's own readings are not all there is


@pytest.mark.parametrize("name", each_kind())
def test_a_clear_cutter_is_known_as_clear(name: str) -> None:
    """In the middle of a change, and on the way from cut to cut: nobody is told that the readings fit nothing."""
    plan = recipes.job(recipes.load(name)).plan
    if clear_of(plan) is None:
        pytest.skip("neither reading is a depth on this one")
    rows = played(plan)
    if not any(act["act"] == "clear" and act["axis"] == plan.axes[1] for act in rows):
        pytest.skip("its cutter is drawn off along another slide")
    final = {act["stop"]: k for k, act in enumerate(rows) if act["act"] == "cut"}
    bench, seen, asked = Bench(plan), 0, asked_at(plan, rows)
    for k, act in enumerate(rows):
        bench.play(act, final.get(act["stop"]) == k)
        if k in asked and act["act"] == "clear" and act["axis"] == plan.axes[1]:
            found = told(plan, bench.at, bench.deep, bench.ticks)
            assert found.place.state in ("clear", "away"), (k, act, found)
            assert found.fits, (k, act, found)
            half = told(plan, bench.at + plan.first.division * 7 / 2, bench.deep, bench.ticks)
            assert half.fits, (k, act, half)
            seen += 1
    assert seen


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


@pytest.mark.parametrize(
    "name",
    [name for name in NAMES if name in ("lever-ball-knob", "dredger-roller-cross-grooves", "marking-point-cone", "sluice-travel-rule")]
    + [pytest.param(name, marks=pytest.mark.long) for name in NAMES],
)  # fmt: skip
def test_slack_is_past_or_short_as_the_act_comes_up(name: str) -> None:
    """Which way a mark is come up to, the acts themselves tell: the move that ends there, from where it came."""
    plan = recipes.job(recipes.load(name)).plan
    places: dict[str, Fraction] = {}
    seen, turn = 0, Fraction(360) if plan.first.angular else None
    for act in played(plan):
        to = None if act["to"] is None else Fraction(act["to"]).limit_denominator(10**9)
        if to is None or act["axis"] is None:
            continue
        came, places[act["axis"]] = places.get(act["axis"]), to
        n, k = act["stop"], (act["stop"] or 0) - 1
        if act["axis"] != plan.axes[0] or act["act"] not in ("turn", "set", "cut") or n is None or came is None:
            continue
        mark = plan.first.value(plan.stops[k].first)
        if (to != mark if turn is None else (to - mark) % turn) or to == came or k % 5:
            continue
        way = 1 if to > came else -1
        deep = plan.second.value(plan.stops[k - 1].second) if k else Fraction(0)
        for off in (2, -2):
            ticks = {(stop.n, "cut") for stop in plan.stops[:k]} | {(n, "turned")}
            found = told(plan, mark + off * way * plan.first.division, deep + 3 * plan.second.division / 2, ticks)
            if found.place.state == "between" and found.slack:
                assert found.slack * off > 0, (n, way, found)
                seen += 1
    assert seen


def test_a_dial_ahead_of_the_ticks_is_said() -> None:
    plan = recipes.job(recipes.load("sluice-clamp-ramp")).plan
    ticks: Ticks = {(n, "cut") for n in range(1, 4)}
    stop = plan.stops[6]
    found = told(plan, plan.first.value(stop.first), plan.second.value(stop.second), ticks)
    assert (found.ticked, found.place.stop.n) == ("ahead", 7)
    assert found.due is plan.stops[3]


def test_where_reads_the_ticks(run: Run) -> None:
    ring = "sluice-clamp-ramp"
    paused = run("tick", ring, "--lines", input="s\nt\nc\nt\nc\nt\np\nq\n")
    assert "paused: cutter clear, table locked; go on with what is shown" in paused.stdout
    three = run("where", ring, "--table", "30deg", "--depth", "0.0190in")
    assert "It is ticked as turned and not as cut: cut it now." in three.stdout
    two = run("where", ring, "--table", "20deg", "--depth", "0.0125in").stdout
    assert "It is ticked as cut. Next is cut 3: rim 30°, depth 0.0190." in two
    five = run("where", ring, "--table", "50deg", "--depth", "0.0320in").stdout
    assert "Cuts 3 to 4 are not ticked as cut. Do not cut here before you know" in five
    turned_to = run("where", ring, "--table", "50deg").stdout
    assert "Do not cut here before you know" in turned_to and "Cut it if" not in turned_to
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


def test_on_the_lathe_the_tool_goes_out_and_no_cutter_up(run: Run) -> None:
    neck = "--form neck --radius 1/8in --diameter 1-3/8in --small 1in --length 3/4in --at 1in --tool-width 1/8in --scallop 5thou"
    made = run("radius", *neck.split(), "--save", "neck").stdout
    paused = run("tick", "neck", "--lines", input="p\nq\n").stdout
    assert "paused: tool clear; go on with what is shown" in paused
    z, x = next(line.split()[1:3] for line in made.splitlines() if line.startswith("  3 "))
    told = run("where", "neck", "--z", f"{z}in", "--x", f"{x}in").stdout
    assert "TOOL OUT CLEAR before that move" in told and "CUTTER" not in told
    lost = run("recover", "neck", "--lost", "3").stdout
    assert "1. Tool clear, spindle stopped." in lost and "utter" not in lost


def test_a_clear_cutter_without_ticks_claims_no_more_than_it_says(run: Run) -> None:
    ball = " ".join(run("where", "lever-ball-knob", "--z", "0.2in", "--x", "1.1in").stdout.split())
    assert ball.startswith(
        "Cutter clear; z stands at no cut. Nothing is ticked, and a tool that is clear does not say which cut is next"
    )
    ring = " ".join(run("where", "sluice-clamp-ramp", "--table", "33deg", "--depth", "-0.1in").stdout.split())
    assert ring.startswith(
        "Cutter clear; rim stands at no cut. By the rim alone the next one is cut 4: rim 40°, depth 0.0255; look"
    )
    assert run("tick", "sluice-clamp-ramp", "--lines", input="s\nt\nc\nt\nc\nq\n").returncode == 0
    ticked = " ".join(run("where", "sluice-clamp-ramp", "--table", "33deg", "--depth", "-0.1in").stdout.split())
    assert ticked.startswith("Cutter clear; rim stands at no cut. Next is cut 3: rim 30°")
