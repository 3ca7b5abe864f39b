"""A ridge that is asked for of teeth with upright faces: judged as they stand at the end, and spaced without the feet no cut reaches."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.shapes.ramp.bench import Bench
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.shops import plan_of

TOOTH = {"outside": "32mm", "bore": "21mm", "targets": [["0deg", "0mm"], ["5deg", "0mm"], ["45deg", "2.4mm"]], "ramps": "8",
         "cutter": "2mm", "leave": "0.03mm", "for": "dog"}  # fmt: skip


def codes(plan: Plan) -> dict[str, float]:
    return {remark.code: float(remark.facts.get("scallop", 0)) for remark in plan.remarks}


@pytest.mark.parametrize("limit", [0.1, 0.3, 0.5])
def test_the_slope_keeps_the_ridge_with_a_cut_for_each_ridge_of_its_fall(limit: float) -> None:
    """By hand: 0.06 mm for a degree and risers square to it, so that cuts stand limit / 0.06 degrees apart but for the scale's grain.

    The slope leans least at the outside, so that a ridge is shorter there than the riser by cos of atan(2.4 / (40 deg of 16 mm)).
    """
    plan = plan_of("ramp", **TOOTH, scallop=f"{limit}mm", **{"angle-cutter": "70deg"})
    one = [stop for stop in plan.stops if stop.start == 1]
    lean = math.cos(math.atan(2.4 / math.radians(40) / 16))
    apart = limit / lean / 0.06
    assert len(one) == pytest.approx(
        (34.0 - 5.5) / apart + 1, abs=1.5
    )  # a division of the depth is a twentieth of the least ridge
    assert max(b.first - a.first for a, b in pairwise(one)) <= (apart + 0.1) * 60
    assert [stop.first for stop in one] == sorted(stop.first for stop in one)


def test_what_the_finish_takes_is_not_counted_and_what_it_leaves_is_said() -> None:
    """With the 70 degree cutter 0.2635 mm stand where cone and end mill meet, whatever the steps; so also the model of the whole part."""
    kept = plan_of("ramp", **TOOTH, scallop="0.3mm", **{"angle-cutter": "70deg"})
    assert kept.result.scallop <= 0.3 and "scallop-exceeded" not in codes(kept)
    over = plan_of("ramp", **TOOTH, scallop="0.2mm", **{"angle-cutter": "70deg"})
    assert codes(over)["scallop-exceeded"] == pytest.approx(over.result.scallop) == pytest.approx(0.2635, abs=1e-3)
    plan = front.solved("ramp", machine="metric", **TOOTH, scallop="0.3mm", **{"angle-cutter": "70deg"})
    assert disagreements(plan, whole_part.see(plan)) == []


def test_a_step_agrees_with_a_ridge_that_is_kept_once_the_faces_are_finished() -> None:
    plan = plan_of("ramp", **TOOTH, step="4deg", scallop="0.3mm", **{"angle-cutter": "70deg"})
    assert len(plan.stops) == 8 * 8 and "scallop-exceeded" not in codes(plan)


@pytest.mark.parametrize("more", [{}, {"tilt-head": "yes"}])
def test_a_foot_that_keeps_its_corner_is_said_and_the_slope_is_cut_all_the_same(more: dict[str, str]) -> None:
    plan = plan_of("ramp", **TOOTH, scallop="0.3mm", **more)
    assert (
        codes(plan)["scallop-exceeded"] > 2.0
    )  # nearly the whole face of 2.4 mm at the outside, where the cutter does not reach
    assert len(plan.stops) == 8 * 6
    assert ("upright-face" in codes(plan)) == (not more)
    bench = plan.details.bench
    assert isinstance(bench, Bench)
    row = [(stop.first, stop.second) for stop in plan.stops if stop.start == 1]
    assert all(stop.second > 0 for stop in plan.stops)
    left = bench.left(row).traced[0]
    # From the land to the last cut: past it lies the foot.
    slope = [piece for piece in left.pieces if piece.low > 5.0 and piece.high < bench.first.value(row[-1][0])]
    assert (
        slope
        and max(left.section.square(p.high, left.section.line.depth(p.high) - left.depth(p, p.high)) for p in slope)
        <= 0.3 + 1e-6
    )


def test_each_tooth_of_an_open_line_has_the_cut_beside_its_face_alone_where_that_leaves_no_ridge() -> None:
    """Three teeth 1 mm deep in 15 degrees and a gap: by hand, 2 mm at the bore cover asin(2 / 10.5) of them, and less depth stands above."""
    rows = [[0, 0], [15, 1], [15, 0], [30, 1], [30, 0], [45, 1], [45, 0], [60, 0]]
    teeth = {"outside": "32mm", "bore": "21mm", "ramps": "4", "cutter": "2mm", "leave": "0mm"}
    plan = plan_of("ramp", **teeth, targets=[[f"{at}deg", f"{depth}mm"] for at, depth in rows], scallop="0.5mm")
    one = [float(plan.second.value(stop.second)) for stop in plan.stops if stop.start == 1]
    assert one == pytest.approx([1 - math.degrees(math.asin(2 / 10.5)) / 15] * 3, abs=0.005)


def test_past_the_cut_beside_its_face_a_tooth_of_an_open_line_keeps_the_ridge() -> None:
    """Down 2 mm at once, and up again in 20 degrees: that cut is 3 mm wide, which no other lowers; beyond it no ridge is over the limit."""
    tooth = {"outside": "32mm", "bore": "21mm", "ramps": "4", "cutter": "3mm", "leave": "0mm"}
    rows = [[0, 0], [10, 0], [10, 2], [30, 0], [40, 0]]
    plan = plan_of("ramp", **tooth, targets=[[f"{at}deg", f"{depth}mm"] for at, depth in rows], scallop="0.3mm")
    bench = plan.details.bench
    assert isinstance(bench, Bench)
    left = bench.left([(stop.first, stop.second) for stop in plan.stops if stop.start == 1])
    beside = max(
        place.at for place in plan.details.places if place.depth > 0.35
    )  # of the deepest cut, beside the face at the bore
    assert beside == pytest.approx(10 + math.degrees(math.asin(1.5 / 10.5)), abs=0.05)
    for traced in left.traced:
        edge = beside + math.degrees(math.asin(1.5 / traced.section.radius))
        past = [piece for piece in traced.pieces if edge + 0.001 < piece.high < 30.0]
        assert len(past) > 1
        assert (
            max(
                traced.section.square(p.high, traced.section.line.depth(p.high) - traced.depth(p, p.high)) for p in past
            )
            <= 0.3 + 1e-6
        )


OPEN = {"outside": "32mm", "bore": "21mm", "cutter": "2mm", "ramps": "4", "targets": [["0deg", "0mm"], ["20deg", "2mm"], ["20deg", "0mm"], ["40deg", "0mm"]]}  # fmt: skip


def test_where_only_sparing_the_feet_keeps_a_slope_it_is_cut_so() -> None:
    """The foot cannot keep half a millimetre, and the slope can: by hand 0.1 mm a degree, a hollow of a flat cutter beside the face."""
    plan = front.solved("ramp", machine="metric", scallop="0.5mm", **OPEN)
    assert disagreements(plan, whole_part.see(plan)) == []
    assert [remark["code"] for remark in plan["remarks"]].count("scallop-exceeded") == 1


@pytest.mark.long
def test_a_ridge_that_neither_way_keeps_is_refused_as_the_scales_cannot_keep_it() -> None:
    targets = [
        ["0deg", "0mm"],
        ["20deg", "2mm"],
        ["20deg", "0.5mm"],
        ["40deg", "1.5mm"],
        ["40deg", "0mm"],
        ["60deg", "0mm"],
    ]
    with pytest.raises(StepcutError, match="cannot be kept"):
        front.solved("ramp", machine="metric", scallop="0.00001mm", **{**OPEN, "targets": targets})


def test_an_open_line_of_teeth_is_cut_in_the_better_of_two_ways() -> None:
    """Sparing the feet alone made it 12 degrees 44' between two cuts that a 2 mm cutter cannot bridge, and refused the job for it."""
    line = (0, 0), (20, 2), (20, 0.5), (40, 1.5), (40, 0), (60, 0)
    plan = front.solved(
        "ramp", machine="metric", outside="32mm", bore="21mm", cutter="2mm", ramps="4", scallop="0.5mm",
        targets=[[f"{at}deg", f"{deep}mm"] for at, deep in line],
    )  # fmt: skip
    assert disagreements(plan, whole_part.see(plan)) == []
    assert len(plan["stops"]) < 4 * 12
