"""Cams at the edges of their rules: the step that nobody gave, a face exactly wide enough, the ends of an uneven lift table."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.kernel.section import Place
from stepcut.shapes.cam import lift
from stepcut.shapes.cam.runs import runs
from stepcut.shapes.cam.section import Blade
from tests.outside import front
from tests.shops import plan_of

HUMP = {
    "base": "21mm",
    "segments": ["rise 4mm in 90deg cycloidal", "dwell 30deg", "fall 4mm in 90deg cycloidal"],
    "leave": "0mm",
}


GENTLE = {"base": "21mm", "segments": ["rise 2mm in 180deg", "fall 2mm in 180deg"], "leave": "0mm", "cutter": "9mm"}


@pytest.mark.parametrize(("machine", "usual"), [("metric", 0.02), ("inch", 0.0254)])
def test_without_a_step_the_largest_easy_one_within_the_usual_ridge_is_taken(machine: str, usual: float) -> None:
    # The crank of both machines turns 4 degrees; easy are whole half turns: common practice, no source.
    at = [stop["table"] for stop in front.solved("cam", machine, **GENTLE)["stops"]]
    step = at[1] - at[0]
    assert step / 2 == round(step / 2)
    for each, within in ((step, True), (step + 2, False)):
        ridge = front.solved("cam", machine, **GENTLE, step=f"{each}deg")["result"]["scallop"]
        assert (ridge <= usual) is within, (each, ridge)


def test_a_face_as_wide_as_is_needed_is_wide_enough() -> None:
    # Under a flat face the touch wanders to either side by the lift's change a radian, at most 2 L / beta for a cycloid.
    most = 2 * 4 * 2 / np.radians(90)
    job = {**HUMP, "cutter": "40mm", "step": "2deg", "follower": "flat"}

    def narrow(face: float) -> bool:
        return "face-narrow" in [
            remark["code"] for remark in front.solved("cam", **job, face=f"{face:.7f}mm")["remarks"]
        ]

    assert (narrow(most - 1e-3), narrow(most + 1e-3)) == (True, False)


@pytest.mark.parametrize("bend", [0.001, -0.0005])
def test_the_ends_of_an_uneven_table_are_those_of_the_parabola_through_them(bend: float) -> None:
    parabola = np.polynomial.Polynomial([0.5, 0.07, bend])
    rows = [(at, float(parabola(at))) for at in (0.0, 4.0, 13.0, 17.0, 29.0, 40.0)]
    made = lift.knots(rows, False)
    assert [rate for _, _, rate in made] == pytest.approx([parabola.deriv()(at) for at, _, _ in made])


def test_a_lift_turns_at_a_knot_of_its_own() -> None:
    # By hand: a table that rises by a parabola and falls by it again is highest half-way between two rows.
    rows = [(float(at), 4 - ((at - 25) / 10) ** 2) for at in (5, 15, 20, 32, 37, 45)]
    (top,) = [(at, height) for at, height, rate in lift.knots(rows, False) if rate == 0]
    assert top == pytest.approx((25.0, 4.0))


@pytest.mark.parametrize(("half", "height", "blank"), [(3.0, 20.0, 21.0), (8.0, 20.0, 20.5), (8.0, 20.0, 60.0)])
def test_a_flat_end_takes_of_a_blank_what_lies_under_it(half: float, height: float, blank: float) -> None:
    """Points of the blank on a grid: above the flat's height and within its half width; the farthest ray of one."""
    r, turn = np.meshgrid(np.linspace(height, blank, 800), np.radians(np.linspace(0, 60, 3001)))
    under = (r * np.cos(turn) >= height) & (r * np.sin(turn) <= half)
    assert Blade(half, False).reach(height, blank) == pytest.approx(np.degrees(turn[under].max()), abs=0.05)


def test_what_no_cut_lowers_is_no_ridge_where_it_stands() -> None:
    """Of heights at even angles from one end to the other, half-way between two of them the mean of both counts."""
    content = {"stepcut": 1, "machine": "metric", "title": "case", "cam": {**GENTLE, "step": "2deg"}}
    bare = recipes.job(recipes.from_content(content)).plan.details.bench.task.sections[0]
    stands = replace(bare, stands=(0.0, 0.1, 0.4))
    for share, lower in ((0.0, 0.0), (0.25, 0.05), (0.5, 0.1), (0.75, 0.25), (1.0, 0.4)):
        at = share * 360
        assert bare.square(at, 1.0) - stands.square(at, 1.0) == pytest.approx(lower, abs=1e-9)


def test_where_a_lift_table_stays_at_one_lift_the_table_turns_with_the_cutter_in() -> None:
    rows = [["0deg", "0mm"], ["90deg", "3mm"], ["150deg", "3mm"], ["270deg", "0mm"], ["360deg", "0mm"]]
    content = {"base": "21mm", "table": rows, "leave": "0mm", "cutter": "9mm", "step": "2deg"}
    made = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "cam": content})).plan
    assert made.details.bench.cam.dwells == ((90, 150), (270, 360))


def test_a_rim_that_falls_at_once_behind_the_gap_is_cut_down_to_there() -> None:
    """The gap of an open cam is as wide as what its span leaves of the turn, and holds nothing past it."""
    falls = {
        "base": "30mm",
        "segments": ["fall 4mm in 60deg", "rise 4mm in 120deg"],
        "leave": "0mm",
        "cutter": "6mm",
        "cut-with": "side",
        "step": "2deg",
    }
    plan = front.solved("cam", **falls)
    first = next(stop for stop in plan["stops"] if stop["table"] >= 6)
    assert first["radius"] < 29.8  # 6 degrees on the rim has fallen by a tenth of 4 mm


def test_dwells_one_after_the_other_are_swept_as_one() -> None:
    for dwells in (["dwell 30deg", "dwell 40deg"], ["dwell 70deg"]):
        plan = plan_of(
            "cam",
            base="20mm",
            segments=["rise 4mm in 90deg", *dwells, "fall 4mm in 100deg"],
            cutter="10mm",
            step="5deg",
        )
        (sweep,) = plan.details.sweeps
        ends = [plan.first.value(stop.first) for stop in plan.stops if stop.n in sweep]
        assert ends == [90, 160]


def test_a_dwell_is_swept_where_a_flat_fits_into_it() -> None:
    """A flat over 19 mm stands 19 / cos t from the axis t beside its middle, and must not reach below the fall beside it."""
    t = np.linspace(0, np.degrees(np.arctan(5 / 19)), 20_001)
    first = (
        t + (20 - 19 / np.cos(np.radians(t))) / 0.05
    ).max()  # degrees from where the fall of 1 mm in 20 degrees begins
    wide = 2 * (first - 20)
    assert round(wide * 60) == 514
    for minutes, swept in (
        (513, 0),
        (514, 0),
        (515, 1),
        (540, 1),
    ):  # of 514 minutes only the middle is cut to the depth
        dwell = f"dwell {minutes / 60:.9f}deg"
        rest = f"dwell {320 - minutes / 60:.9f}deg"
        plan = plan_of(
            "cam",
            base="20mm",
            segments=["fall 1mm in 20deg", dwell, "rise 1mm in 20deg", rest],
            cutter="10mm",
            step="4deg",
        )
        assert len(plan.details.sweeps) == 1 + swept
        ends = [plan.first.value(stop.first) for stop in plan.stops if plan.second.value(stop.second) == 19]
        assert ends in ([], [pytest.approx(first, abs=1 / 60), pytest.approx(40 + minutes / 60 - first, abs=1 / 60)])
        assert bool(ends) == bool(swept)


def test_of_two_cuts_at_one_place_the_deeper_counts() -> None:
    section = plan_of("cam", **{**GENTLE, "step": "4deg"}).details.bench.task.sections[0]
    shallow, deep = Place(10.0, -22.0), Place(10.0, -21.5)
    assert section.meeting(shallow, deep, 5.0, 15.0) == 5.0
    assert section.meeting(deep, shallow, 5.0, 15.0) == 15.0
    assert section.meeting(deep, deep, 5.0, 15.0) == 5.0


def test_rays_are_parted_where_two_directions_meet_between_them() -> None:
    """By hand: rising a tenth a degree from 20 mm and falling so from 20.06, two lines meet at 0.8 of the degree between."""
    whole = list(runs([(0.0, 20.0, 0.1), (1.0, 20.06, -0.1)]))
    assert [(part.begin, part.end) for part in whole] == [(0.0, pytest.approx(0.8)), (pytest.approx(0.8), 1.0)]
    assert -whole[0].last == pytest.approx(20.08)
    # As steep before and behind, but higher than either direction leads to: no corner, a bend.
    (one,) = runs([(0.0, 20.0, 0.1), (1.0, 20.5, 0.05)])
    assert (one.begin, one.end, -one.first, -one.last) == (0.0, 1.0, 20.0, 20.5)


@pytest.mark.parametrize("side", ["side", "end"])
def test_an_open_cam_that_rises_to_its_end_is_cut_at_its_end(side: str) -> None:
    open_ = {
        "base": "30mm",
        "segments": ["fall 4mm in 60deg", "rise 4mm in 120deg"],
        "leave": "0mm",
        "cutter": "9mm",
        "cut-with": side,
        "step": "7deg",
    }
    stops = front.solved("cam", **open_)["stops"]
    assert (stops[0]["table"], stops[-1]["table"]) == (0, 180)
    assert (stops[0]["radius"], stops[-1]["radius"]) == (30, 30)


def test_a_flat_end_touches_no_farther_on_than_its_edge() -> None:
    """A rim of 20 mm radius that changes 20 mm a radian leans 45 degrees; a flat of 4 mm reaches asin(2 / 20) = 5.74 of them."""
    content = {"stepcut": 1, "machine": "metric", "title": "case", "cam": {**GENTLE, "cutter": "4mm", "step": "2deg"}}
    (guard,) = recipes.job(recipes.from_content(content)).plan.details.bench.task.guards
    assert [guard.offset(20.0, rate) for rate in (20.0, -20.0)] == pytest.approx([5.739, -5.739], abs=0.001)
    assert guard.offset(20.0, 1.0) == pytest.approx(2.862, abs=0.001)  # atan(1 / 20): square to the rim
    low, high = guard.window(50.0)
    assert guard.width == pytest.approx(high - low)


def test_a_closed_lift_table_alike_both_ways_grows_and_falls_alike() -> None:
    rows = [(float(at), 3.0 * (1 - float(np.cos(np.radians(at))))) for at in range(0, 361, 60)]
    rates = {round(at): rate for at, _, rate in lift.knots(rows, True)}
    assert rates[60] > 0
    assert [rates[60] + rates[300], rates[120] + rates[240]] == pytest.approx([0.0, 0.0], abs=1e-9)


def test_the_tool_is_clear_a_little_outside_the_blank() -> None:
    content = {"stepcut": 1, "machine": "metric", "title": "case", "cam": {**GENTLE, "step": "2deg", "blank": "54mm"}}
    assert 27 < recipes.job(recipes.from_content(content)).plan.details.bench.clear <= 27.01
