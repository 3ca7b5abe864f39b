"""What a cam's card says of its segments, of what rides on it, and whether it holds: lengths and angles by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut.errors import StepcutError
from stepcut.kernel.line import line_of, moved
from stepcut.kernel.motions import MOTIONS
from stepcut.kernel.search import valley
from stepcut.kernel.section import Place
from stepcut.shapes.cam.runs import runs
from stepcut.shapes.cam.section import Blade
from stepcut.shapes.cam.wanted import Rim
from stepcut.shapes.cam.way import Arm
from stepcut.shapes.cam.words import _hold, _ride, _segments
from stepcut.shop.finding import clear_of
from stepcut.voice import Voice
from tests.shops import plan_of

MM = Voice("mm")
CAM = {"base": "20mm", "cutter": "12mm", "step": "5deg", "segments": "rise 4mm in 120deg harmonic; dwell 60deg; fall 4mm in 180deg harmonic"}  # fmt: skip


def cam(**values: Any) -> Any:
    given = {**CAM, **{key.replace("_", "-"): value for key, value in values.items()}}
    return plan_of("cam", **{key: value for key, value in given.items() if value is not None})


def test_sectors_are_said_by_their_first_and_last_radius() -> None:
    plan = cam(base=None, segments=None, sectors="20mm, 19mm, 18mm", cut_with="end")
    assert _segments(plan, MM) == "3 sectors, radius 20 mm to 18 mm"


def test_a_roller_beside_the_axis_says_on_which_side() -> None:
    ((_, right),) = _ride(cam(follower="roller", roller="10mm", offset="3mm", cut_with="side", cutter="10mm"), MM)
    assert right.startswith("roller 10 mm, straight, 3 mm beside the axis on the side from which the rim comes; ")
    ((_, left),) = _ride(cam(follower="roller", roller="10mm", offset="-3mm", cut_with="side", cutter="10mm"), MM)
    assert "3 mm beside the axis on the side to which the rim goes" in left


def test_a_flat_face_says_where_it_touches_and_a_knife_how_steep_it_rides() -> None:
    # A harmonic rise of 4 mm in 120 degrees is fastest halfway: 4 / 2 x pi / (2 pi / 3) = 3 mm a radian; the fall goes slower.
    ((_, flat),) = _ride(cam(follower="flat"), MM)
    assert flat == "flat face, square to its way; touches up to 3.000 mm beside its middle"
    ((_, knife),) = _ride(cam(follower="knife"), MM)
    assert knife.startswith("knife edge, straight through the axis; pressure angle up to ")
    assert _ride(cam(), MM) == ()


def test_a_flat_face_on_an_arm_says_how_far_from_its_pivot_it_touches() -> None:
    plan = cam(follower="flat")
    ride = plan.details.ride
    ride = replace(
        ride, follower=replace(ride.follower, way=Arm(55.0, 48.0, flat=True)), face_from=44.0, face_needed=52.5
    )
    ((_, face),) = _ride(replace(plan, details=replace(plan.details, ride=ride)), MM)
    assert face == (
        "flat face, on an arm 48 mm long, pivot 55 mm from the axis, the rim runs from the pivot to it; "
        "touches 44.000 mm to 52.500 mm from the pivot"
    )


def test_a_lift_table_of_two_rows_lifts_evenly() -> None:
    # Two points lie on one straight line: by hand.
    line = cam(segments=None, table="0deg 0mm; 90deg 3mm").details.bench.rim.line
    assert [-line.depth(at) for at in (0.0, 22.5, 45.0, 67.5, 90.0)] == pytest.approx([20, 20.75, 21.5, 22.25, 23])


def test_a_cut_no_deeper_than_the_blank_takes_nothing_of_it() -> None:
    section = cam(blank="48mm", leave="0mm").details.bench.task.sections[0]
    assert section.extent(Place(30.0, -24.0)) is None
    low, high = section.extent(Place(30.0, -23.0))
    # By hand: farthest round goes the corner of the end of the cutter, 6 mm beside its middle and 23 mm up.
    reach = math.degrees(math.atan(6 / 23))
    assert (low, high) == pytest.approx((30 - reach, 30 + reach))


def test_a_clamp_that_goes_on_past_its_highest_place_needs_a_stop() -> None:
    rises = "rise 3mm in 240deg uniform"
    _, over = _hold(cam(segments=rises, **{"for": "clamp"}), MM)
    assert over == ("Over centre", "highest, 23.000 mm, at 240°; nothing lies past it, so only friction keeps it shut")
    _, over = _hold(cam(segments=f"{rises}; fall 0.2mm in 30deg uniform", **{"for": "clamp"}), MM)
    assert (
        over[1] == "highest, 23.000 mm, at 240°, then 30° on over centre, 0.200 mm lower; a stop must end its way there"
    )
    _, over = _hold(cam(segments=f"{rises}; dwell 20deg", **{"for": "clamp"}), MM)
    assert over[1] == "level at 23.000 mm for 20°"
    assert _hold(cam(segments=rises), MM) == ()


def test_a_blade_leaves_a_flat_or_an_arc_and_nothing_beyond_its_edge() -> None:
    # By hand: a flat 10 mm over the axis, 30 degrees aside, is met at 10 / cos 30; 4 mm to either side of its middle it ends.
    end = Blade(4.0, False)
    assert end.leaves(10.0, 0.35) == pytest.approx(10.645, abs=1e-3)
    assert end.leaves(10.0, 0.40) == float("inf")  # 10 tan 0.4 is 4.23
    # A cutter's side of 4 mm whose near side stands 10 mm off has its middle at 14: straight below 10; a tangent at asin(4 / 14).
    side = Blade(4.0, True)
    assert side.leaves(10.0, 0.0) == pytest.approx(10.0)
    assert side.leaves(10.0, 0.28) == pytest.approx(13.4547 - 0.9993, abs=0.02)
    assert side.leaves(10.0, 0.30) == float("inf")
    # Its tangent itself counts: sqrt(14^2 - 4^2) = 13.4164 along it.
    assert side.leaves(10.0, math.asin(4 / 14)) == pytest.approx(13.4164, abs=1e-4)


def test_the_rim_s_change_is_up_where_it_rises() -> None:
    # By hand: 4 mm in 120 degrees is 4 / (2 pi / 3) = 1.9099 mm a radian, and falls so fast in the next 120.
    wanted = cam(segments="rise 4mm in 120deg uniform; fall 4mm in 120deg uniform; dwell 120deg").details.rim
    assert [wanted.rate(at) for at in (60.0, 180.0, 300.0)] == pytest.approx([1.9099, -1.9099, 0.0], abs=1e-4)


def test_rays_of_a_hill_are_a_rise_and_a_fall() -> None:
    hill = [(float(x), 10.2 - 0.0005 * (x - 12) ** 2, -0.001 * (x - 12)) for x in range(21)]
    rise, fall = runs(hill)
    assert [(s.begin, s.end) for s in (rise, fall)] == [(0.0, 12.0), (12.0, 20.0)]
    assert [-rise.first, -rise.last, -fall.first, -fall.last] == pytest.approx([10.128, 10.2, 10.2, 10.168])
    assert rise.depth(6.0) == pytest.approx(-10.182)


@pytest.mark.parametrize(("blank", "clear"), [(None, 24), ("52mm", 26)])
def test_a_cam_is_clear_outside_its_blank_or_its_highest_cut(blank: str | None, clear: int) -> None:
    plan = cam(blank=blank)
    way, out = clear_of(plan) or (0, 0)
    assert way == -1  # the smaller the radius the deeper
    assert float(out) == pytest.approx(clear, abs=float(plan.second.division))


def test_a_valley_is_narrowed_by_parabolas() -> None:
    looks = []
    at, height = valley(lambda x: looks.append(x) or (x - 1.7) ** 2 + 3.0, 0.0, 5.0, 1e-6)[:2]  # type: ignore[func-returns-value]
    assert (at, height) == (pytest.approx(1.7, abs=1e-6), pytest.approx(3.0))
    assert len(looks) < 15  # halving by the golden section alone takes 33


def test_a_clamp_that_ends_little_more_than_a_degree_past_its_highest_place_needs_a_stop_too() -> None:
    _, over = _hold(cam(segments="rise 3mm in 240deg uniform; fall 0.2mm in 1.8deg uniform", **{"for": "clamp"}), MM)
    assert "at 240°, then 2° on over centre, " in over[1] and over[1].endswith("lower; a stop must end its way there")


def test_a_spiral_is_steepest_where_it_is_nearest_to_the_axis() -> None:
    """An even spiral's rim leans atan of its rise a radian over its radius; from 10 to 30 mm in a turn 3.18 mm a radian."""
    for ends in ((10.0, 30.0), (30.0, 10.0)):
        rim = Rim(line_of(moved(0.0, 360.0, -ends[0], -ends[1], MOTIONS["uniform"]), period=360.0))
        assert rim.steepest_angle == pytest.approx(math.degrees(math.atan(20 / (2 * math.pi) / 10)), abs=0.1)


def test_a_blank_must_hold_the_cam() -> None:
    """Base 20 mm and 4 mm of lift: 48 mm across."""
    assert cam(blank="50mm").stops
    with pytest.raises(StepcutError, match=r"^blank = .*\b48(\.0+)? mm"):
        cam(blank="47.9mm")
