"""The model of a whole turned part itself, against answers by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.outside import whole_turned


def by_hand(
    shape: str, target: dict[str, Any], cuts: list[tuple[float, float]], nose: float = 0.0, leave: float = 0.0
) -> dict[str, Any]:
    cutter = {"kind": "round", "diameter": 2 * nose} if nose else {"kind": "square", "diameter": 0.0}
    stops = [{"n": n, "start": 1, "z": z, "x": x} for n, (z, x) in enumerate(cuts, 1)]
    return {
        "shape": shape,
        "target": target,
        "cutter": cutter,
        "leave": leave,
        "stops": stops,
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
    plan = by_hand("taper", TAPER, cuts, nose)
    turned = whole_turned.Turned(plan)
    middles = whole_turned.np.linspace(10, 25, 60_001)
    assert turned.ridge(middles).max() == pytest.approx(nose - math.sqrt(nose**2 - pitch**2 / 4), abs=2e-5)
    assert whole_turned.see(plan).gouge == pytest.approx(0, abs=1e-9)


@pytest.mark.long
def test_a_round_nose_leaves_what_it_cannot_reach_in_a_corner() -> None:
    # Lines at half a corner's angle from its middle: the circle that touches both leaves p (1 - sin) square to either.
    profile = {"targets": [[0.0, 20.0], [10.0, 20.0], [20.0, 40.0]]}  # level, then 45 degrees
    nose, half = 2.0, math.radians(135 / 2)
    centre = 10 - nose / math.tan(half)
    cuts = [(centre + nose, 10.0)] + [(z + nose, 10.0) for z in whole_turned.np.arange(0, centre, 0.01)]
    steps = whole_turned.np.arange(0.01, 12, 0.01) / math.sqrt(2)
    cuts += [(centre + nose + step, 10 + step) for step in steps]
    seen = whole_turned.see(by_hand("profile", profile, cuts, nose))
    assert seen.gouge == pytest.approx(0, abs=1e-9)
    turned = whole_turned.Turned(by_hand("profile", profile, cuts, nose))
    near = whole_turned.np.linspace(8, 13, 50_001)
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
