"""The model of a whole turned part itself, against answers by hand."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, box
from shapely.ops import unary_union

from tests.outside import whole_turned


def by_hand(
    shape: str,
    target: dict[str, Any],
    cuts: list[tuple[float, float]],
    nose: float = 0.0,
    leave: float = 0.0,
    way: str = "to-headstock",
) -> dict[str, Any]:
    cutter = {"kind": "round", "diameter": 2 * nose} if nose else {"kind": "square", "diameter": 0.0}
    stops = [{"n": n, "start": 1, "z": z, "x": x} for n, (z, x) in enumerate(cuts, 1)]
    return {
        "shape": shape,
        "target": target,
        "cutter": cutter,
        "leave": leave,
        "stops": stops,
        "flanks": [{"start": 1, "cuts": way}],
        "remarks": [],
        "result": {},
    }


TAPER = {"large_diameter": 30.0, "small_diameter": 24.0, "length": 40.0, "side": "outside"}


def test_a_square_tool_leaves_steps_and_a_stack_of_cylinders() -> None:
    cuts = [(4.0 * k, 12 + 0.3 * k) for k in range(9, 0, -1)]
    seen = whole_turned.see(by_hand("taper", TAPER, cuts))
    # The corner touches the line where a pass ends, so the next pass down leaves the whole step at its own end.
    assert seen.gouge == pytest.approx(0, abs=1e-9)
    assert seen.stock_max == pytest.approx(0.3, abs=1e-7)
    assert seen.scallop == pytest.approx(4 * math.sin(math.atan(3 / 40)), abs=1e-7)
    stack = sum(math.pi * 4 * (12 + 0.3 * k) ** 2 for k in range(1, 10)) + math.pi * 4 * 15**2
    cone = math.pi * 40 / 3 * (12**2 + 12 * 15 + 15**2)
    assert seen.volume == pytest.approx(stack - cone, rel=1e-7)
    assert seen.stock_mean == pytest.approx(0.15, abs=1e-7)


def test_a_bore_is_a_cone_seen_from_inside() -> None:
    target = TAPER | {"side": "bore"}
    seen = whole_turned.see(by_hand("taper", target, [(40 - 4.0 * k, 12 + 0.3 * k) for k in range(1, 10)]))
    assert seen.gouge == pytest.approx(0, abs=1e-9)
    assert seen.stock_max == pytest.approx(0.3, abs=1e-7)
    deep = whole_turned.see(
        by_hand("taper", target, [(40 - 4.0 * k, 12.05 + 0.3 * k) for k in range(1, 10)], leave=0.01)
    )
    assert deep.gouge == pytest.approx(0.06, abs=1e-7)


def test_a_round_nose_leaves_the_rise_of_an_arc_over_half_its_pitch() -> None:
    slope, nose, pitch = math.atan(3 / 40), 2.0, 1.5
    cuts = []
    for k in range(3, 24):
        along = pitch * k  # the circle touches the line here
        z, r = along * math.cos(slope) - nose * math.sin(slope), 12 + along * math.sin(slope) + nose * math.cos(slope)
        cuts.append((z + nose, r - nose))
    plan = by_hand("taper", TAPER, cuts, nose, way="straight-in")
    turned = whole_turned.Turned(plan)
    middles = np.linspace(10, 25, 60_001)
    assert turned.ridge(middles).max() == pytest.approx(nose - math.sqrt(nose**2 - pitch**2 / 4), abs=2e-5)
    assert whole_turned.see(plan).gouge == pytest.approx(0, abs=1e-9)


@pytest.mark.long
def test_a_round_nose_leaves_what_it_cannot_reach_in_a_corner() -> None:
    # Lines at half a corner's angle from its middle: the circle that touches both leaves p (1 - sin) square to either.
    profile = {"targets": [[0.0, 20.0], [10.0, 20.0], [20.0, 40.0]]}  # level, then 45 degrees
    nose, half = 2.0, math.radians(135 / 2)
    centre = 10 - nose / math.tan(half)
    cuts = [(centre + nose, 10.0)] + [(z + nose, 10.0) for z in np.arange(0, centre, 0.01)]
    steps = np.arange(0.01, 12, 0.01) / math.sqrt(2)
    cuts += [(centre + nose + step, 10 + step) for step in steps]
    seen = whole_turned.see(by_hand("profile", profile, cuts, nose))
    assert seen.gouge == pytest.approx(0, abs=1e-9)
    turned = whole_turned.Turned(by_hand("profile", profile, cuts, nose))
    near = np.linspace(8, 13, 50_001)
    assert turned.ridge(near).max() == pytest.approx(nose * (1 - math.sin(half)), abs=2e-5)


def test_the_corner_of_a_step_on_a_ball_stands_by_its_distance_from_the_middle() -> None:
    ball = {"form": "ball", "radius": 10.0, "diameter": 20.0, "from_angle": 0.0, "to_angle": 90.0, "at": 0.0}
    places = [8.0, 5.0, 2.0, 0.5]
    cuts = [(z, math.sqrt(100 - (10 - z) ** 2)) for z in places]
    seen = whole_turned.see(by_hand("radius", ball, cuts))
    corners = [math.hypot(10 - low, x) for (_, x), low in zip(cuts, [*places[1:], 0.0], strict=True)] + [
        math.hypot(2.0, 10)
    ]
    assert seen.scallop == pytest.approx(max(corners) - 10, abs=1e-7)
    assert seen.gouge == pytest.approx(0, abs=1e-8)


def test_a_tool_past_the_face_of_a_shoulder_goes_into_it() -> None:
    fillet = {"form": "fillet", "radius": 6.0, "diameter": 25.0, "from_angle": 0.0, "to_angle": 90.0, "at": 40.0}
    assert whole_turned.see(by_hand("radius", fillet, [(47.76, 18.49)], 2.0)).gouge == pytest.approx(1.76)
    assert whole_turned.see(by_hand("radius", fillet, [(46.0, 16.5)], 2.0)).gouge <= 1e-9
    # In front of the fillet its shaft must stay.
    assert whole_turned.see(by_hand("radius", fillet, [(39.0, 12.4)], 2.0)).gouge == pytest.approx(0.1, abs=1e-6)


def test_a_fed_nose_leaves_ridges_where_a_cylinder_meets_the_next_arc() -> None:
    # Passes of a 2 mm nose up to z 20 and 18: cylinders of 12.15 and 12 up to their middles, z 18 and 16.  The second arc rises
    # by 0.15 at sqrt(2^2 - 1.85^2) behind its middle, and there the first cylinder goes on.
    target = {"large_diameter": 25.0, "small_diameter": 23.0, "length": 40.0, "side": "outside"}
    plan = by_hand("taper", target, [(20.0, 12.15), (18.0, 12.0)], 2.0)
    meet = 16 + math.sqrt(2**2 - 1.85**2)
    ridge = (12.15 - 11.5 - meet / 40) * math.cos(math.atan(1 / 40))
    turned = whole_turned.Turned(plan)
    assert turned.cut(np.array([-0.5, 3.0, 15.9, meet, 17.5, 18.0])) == pytest.approx([12, 12, 12, 12.15, 12.15, 12.15])
    between = np.sort(np.append(turned.places(500, wide=False), np.linspace(16, 18, 1001)))
    between = between[(between > 16.3) & (between < 18)]
    assert np.abs(between - meet).min() <= 1e-12
    assert float(turned.ridge(between).max()) == pytest.approx(ridge, abs=1e-12)
    # By circles at their ends alone the ridge would stand in the middle between both, and higher.
    circles = whole_turned.Turned({**plan, "flanks": [{"start": 1, "cuts": "straight-in"}]})
    assert float(circles.ridge(between).max()) > ridge + 0.05


def test_on_the_mill_the_side_of_the_cutter_clears_what_a_pass_clears_and_a_back_keeps_its_circles() -> None:
    plan = by_hand("taper", TAPER, [(20.0, 13.6), (12.0, 13.0)], 1.5)
    z = np.linspace(-1, 30, 3001)
    assert np.array_equal(whole_turned.Turned(plan).cut(z), whole_turned.Turned({**plan, "approach": "mill"}).cut(z))
    back = {**plan, "approach": "mill", "flanks": [{"start": 1, "cuts": "to-face"}]}
    plunges = {**plan, "flanks": [{"start": 1, "cuts": "straight-in"}]}
    assert np.array_equal(whole_turned.Turned(back).cut(z), whole_turned.Turned(plunges).cut(z))


def test_a_pass_toward_the_face_begins_where_the_tool_went_in_even_if_that_cut_is_not_made_yet() -> None:
    acts = [
        {"start": 1, "act": "set", "axis": "z", "way": way, "to": to} for way, to in (("back", 30.0), ("working", 29.0))
    ]
    plan = {**by_hand("taper", TAPER, [(20.0, 13.6)], 1.5, way="to-face"), "acts": acts}
    cut = whole_turned.Turned(plan).cut(np.array([16.9, 17.1, 18.5, 27.5, 28.5, 29.1]))
    rise = 13.6 + 1.5 - math.sqrt(1.5**2 - 1.0**2)
    assert cut == pytest.approx([15.0, 13.6 + 1.5 - math.sqrt(1.5**2 - 1.4**2), 13.6, 13.6, rise, 15.0])


def test_a_nose_that_ends_at_an_upright_step_is_not_below_its_face() -> None:
    step = {"targets": [[0.0, 22.0], [10.0, 22.0], [10.0, 30.0], [20.0, 30.0]], "blank": 34.0}
    seen = whole_turned.see(by_hand("profile", step, [(25.0, 15.0), (10.0, 11.0)], 1.5))
    # The nose's round stands in the corner, as high as the nose at the step's own face.
    assert (seen.stock_min, seen.stock_max) == pytest.approx((0.0, 1.5), abs=1e-4)
    assert seen.gouge == pytest.approx(0.0, abs=1e-9)


def test_metal_that_no_cut_touches_stands_as_high_as_the_blank() -> None:
    for side, blank, stands in (("outside", 32.0, 16.0), ("bore", 20.0, 10.0)):
        plan = by_hand("taper", {**TAPER, "side": side, "blank": blank}, [(20.0, 13.6)], 1.5)
        assert whole_turned.Turned(plan).cut(np.array([20.1, 39.0])) == pytest.approx([stands, stands])
        del plan["target"]["blank"]
        assert whole_turned.Turned(plan).cut(np.array([39.0])) == pytest.approx([15.0 if side == "outside" else 12.0])


def test_a_cylinder_before_the_line_must_leave_what_stands_there() -> None:
    # A fillet on a 25 mm shaft, from 20 degrees on; what stands before it is the shaft and the arc's own beginning.
    fillet = {"form": "fillet", "radius": 6.0, "diameter": 25.0, "from_angle": 20.0, "to_angle": 90.0, "at": 40.0}
    low = whole_turned.see(by_hand("radius", fillet, [(42.0, 12.46)], 0.5))
    # Deepest where both arcs slope alike: their middles are 1.5 mm apart along the axis, their radii 6 and 0.5 mm.
    assert low.gouge == pytest.approx(18.5 - 12.96 - math.sqrt((6 - 0.5) ** 2 - 1.5**2), abs=1e-6)
    assert whole_turned.see(by_hand("radius", fillet, [(42.0, 12.5)], 2.0)).gouge == pytest.approx(0, abs=1e-9)
    shaft = whole_turned.see(by_hand("radius", fillet, [(35.0, 12.47)], 2.0))
    assert shaft.gouge == pytest.approx(0.03, abs=1e-6)
    # A pass that ends where the line is low goes under what is higher in front of it.
    falling = {"targets": [[10.0, 30.0], [20.0, 26.0], [40.0, 26.0]]}
    seen = whole_turned.see(by_hand("profile", falling, [(30.0, 13.0)], 2.0))
    assert seen.gouge == pytest.approx(2.0, abs=1e-6)


def swept(cuts: list[tuple[float, float]], nose: float, way: str) -> Any:
    """All that a nose and the tool over it pass through, with circles of 4000 corners, 3e-7 mm within the true ones."""
    tools = []
    groove = max(z for z, _ in cuts) - nose
    for z, x in cuts:
        middle, high, top = z - nose, x + nose, 20.0
        path, begin, end = {
            "to-headstock": ([(-30.0, high), (middle, high), (middle, top)], -30.0, middle),
            "to-face": ([(groove, top), (groove, high), (middle, high), (middle, top)], middle, groove),
            "straight-in": ([(middle, top), (middle, high)], middle, middle),
        }[way]
        tools += [LineString(path).buffer(nose, quad_segs=1000), box(begin - nose, high, end + nose, top)]
    return unary_union(tools)


@pytest.mark.parametrize("way", ["to-headstock", "to-face", "straight-in"])
def test_the_cut_surface_is_that_of_a_tool_drawn_and_moved_along_its_path(way: str) -> None:
    # Places and depths as they come: some passes reach over others, some cut nothing more, one step is higher than the nose.
    depths = {9.7: 14.1, 11.2: 13.1, 12.1: 12.9, 13.0: 13.3, 14.4: 12.2, 15.1: 12.0, 17.9: 11.1, 18.3: 11.2}
    cuts = list(depths.items())
    if way == "to-headstock":
        cuts = [(28 - z, x) for z, x in cuts]
    nose = 0.9
    turned = whole_turned.Turned(by_hand("taper", TAPER, cuts, nose, way=way))
    tool = swept(cuts, nose, way)
    z = turned.places(60, wide=True)
    z = z[z > -20.0]
    cut, bar = turned.cut(z), 15.0
    touched = cut < bar
    assert touched.any()
    assert not touched.all()
    assert shapely.distance(tool.boundary, shapely.points(z, cut))[touched].max() <= 1e-6
    # Nothing of the tool comes lower, and all above is gone; beside an upright end of an arc only its distance counts.
    arcs = np.abs(z[:, None] - turned.arcs[:, 2:].ravel()).min(axis=1)
    clear = (arcs > 1e-3) | np.isin(z, turned.arcs[:, 0])
    shapely.prepare(tool)
    below = shapely.linestrings(np.stack([np.c_[z, np.zeros_like(z)], np.c_[z, cut - 1e-5]], axis=1))
    above = shapely.linestrings(np.stack([np.c_[z, cut + 1e-5], np.c_[z, np.full_like(z, bar + 1)]], axis=1))
    assert not shapely.intersects(tool, below)[clear].any()
    assert shapely.contains(tool, above)[clear & touched].all()
    assert clear.sum() > 300
