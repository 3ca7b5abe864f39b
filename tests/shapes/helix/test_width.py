"""How wide a groove is at the surface of its cylinder, which falls away beside the cutter: against solids in space and two circles."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut.errors import StepcutError
from stepcut.machine import Outline
from stepcut.shapes.helix.groove import Screw
from tests.outside import front

Array = NDArray[np.float64]
Solid = Callable[[Array, Array], Any]  # beside the cutter's axis, and above its lowest point: whether a point is inside

SOLIDS: dict[str, Solid] = {
    "5mm ball": lambda beside, up: np.hypot(beside, np.minimum(up - 2.5, 0.0)) <= 2.5,
    "8mm vee 90deg": lambda beside, up: (beside <= up) & (beside <= 4.0),
    "6mm": lambda beside, up: (beside <= 3.0) & (up >= 0.0),
}
CASES: dict[str, dict[str, str]] = {
    "a ball": {"cutter": "5mm ball"},
    "a ball, leave": {"cutter": "5mm ball", "leave": "0.2mm"},
    "a vee, steep": {"cutter": "8mm vee 90deg", "lead": "190mm", "step": "1deg"},
    "a flat": {"cutter": "6mm"},
    "a flat, shallow": {"cutter": "6mm", "depth": "0.2mm", "lead": "190mm"},
    "two sweeps": {"cutter": "6mm", "groove-width": "9mm"},
    "many sweeps, left hand": {"cutter": "6mm", "groove-width": "17mm", "hand": "left", "leave": "0.1mm"},
}
PART = {"diameter": "31mm", "lead": "110mm", "length": "33mm", "depth": "1.2mm", "step": "4deg"}


def shown(values: dict[str, str], where: str = "") -> tuple[dict[str, Any], float]:
    """Return a plan and the width that its card has measured."""
    plan = front.solved("helix", **values)
    line = next(act["text"] for act in plan["acts"] if act["text"].startswith("Groove width" + where))
    return plan, float(line.split(" mm")[0].split()[-1])


def measured(plan: dict[str, Any], name: str, rho: float | None = None) -> float:
    """Return what a caliper finds: the running cutter is a solid set down at very many places, of which one point in space is inside or not.

    On the line of the surface, or of a radius, at rim 0 the groove's ends are found by halving; both edges are then helices, and their points lie in space.
    """
    target, solid = plan["target"], SOLIDS[name]
    outside, k = target["diameter"] / 2, target["lead"] / (2 * math.pi)
    bottom = outside - max(act["to"] for act in plan["acts"] if act["act"] == "cut" and act["axis"] == "depth")
    rho = outside if rho is None else rho
    shifts = [stop["x"] for stop in plan["stops"] if stop["table"] == 0.0]
    turns = np.linspace(-0.8, 0.8, 20_001)

    def cut(x: float) -> bool:
        found = False
        for shift in (min(shifts), max(shifts)):
            along = x - (shift + k * turns)
            found |= bool(solid(np.hypot(rho * np.sin(-turns), along), rho * np.cos(turns) - bottom).any())
        return found

    ends = []
    for begin, side in ((min(shifts), -1.0), (max(shifts), 1.0)):
        inner, outer = begin, begin + side * 40.0
        for _ in range(40):
            middle = (inner + outer) / 2
            inner, outer = (middle, outer) if cut(middle) else (inner, middle)
        ends.append(inner)
    at = np.linspace(-1.5, 1.5, 60_001)
    edge = np.stack([rho * np.cos(at), rho * np.sin(at), ends[1] + k * at])
    return float(np.linalg.norm(edge - np.array([[rho], [0.0], [ends[0]]]), axis=0).min())


def foot(plan: dict[str, Any]) -> float:
    """The radius at which the edge of a flat cutter's end touches its wall, where it stands farthest beside its way."""
    k, deep = plan["target"]["lead"] / (2 * math.pi), plan["target"]["depth"] - plan["leave"]
    bottom = plan["target"]["diameter"] / 2 - deep
    return math.hypot(bottom, plan["cutter"]["diameter"] / 2 * math.sin(math.atan(k / bottom)))


@pytest.mark.parametrize("name", CASES)
def test_a_caliper_finds_the_width_that_is_printed(name: str) -> None:
    values = PART | CASES[name]
    plan, printed = shown(values)
    found = measured(plan, values["cutter"])
    assert printed == pytest.approx(found, abs=0.002)
    if "groove-width" in values:  # a division of the slide narrower at the most
        asked = plan["target"]["width"] - 2 * plan["leave"]
        assert asked - 0.005 <= found <= asked + 1e-4


def test_one_sweep_is_as_wide_as_its_cutter_down_to_the_floor_and_several_are_not() -> None:
    """Moved along the axis, square to the way they stand the nearer to each other the steeper the way is, and so toward the axis."""
    one = front.solved("helix", **PART, cutter="6mm")
    assert measured(one, "6mm", foot(one) + 1e-6) == pytest.approx(6.0, abs=0.002)
    values = {**PART, "cutter": "6mm", "groove-width": "14mm", "depth": "3mm"}
    plan, low = shown(values, " toward the floor")
    assert low == pytest.approx(measured(plan, "6mm", foot(plan) + 1e-6), abs=0.003)
    assert low < 13.5
    said = next(each for each in plan["remarks"] if each["code"] == "walls-lean")
    wide = said["text"].split("groove-width is ")[1].split(" mm")[0]
    free = front.solved("helix", **{**values, "groove-width": f"{wide}mm"})
    assert measured(free, "6mm", foot(free) + 1e-6) == pytest.approx(14.0, abs=0.006)  # a division of the slide


def test_along_the_axis_the_groove_is_as_wide_as_where_two_circles_cross() -> None:
    """With a very long lead: ball and bar are two circles, whose crossing points lie R + r - depth apart in their middles; Pythagoras."""
    _, printed = shown(
        {"diameter": "16mm", "lead": "9m", "length": "30mm", "depth": "3mm", "cutter": "8mm ball", "cuts": "12"}
    )
    apart = 8 + 4 - 3
    along = (64 - 16 + apart**2) / (2 * apart)
    assert printed == pytest.approx(2 * math.sqrt(64 - along**2), abs=0.001)  # 7.111; on a flat bar 7.746


@pytest.mark.parametrize(
    ("cutter", "solid"), [("6mm ball", "5mm ball"), ("6mm", "6mm"), ("8mm vee 90deg", "8mm vee 90deg")]
)
def test_cuts_that_do_not_meet_at_the_surface_are_refused_on_a_thin_bar_too(cutter: str, solid: str) -> None:
    """Midway between two plunges at the surface, on the way: a point in space, inside both solids or inside none."""
    outside, k, depth = 6.0, 20 / (2 * math.pi), 1.5
    values = {"diameter": "12mm", "lead": "20mm", "length": "20mm", "depth": "1.5mm", "cutter": cutter}
    big = 3.0 if cutter != solid else None

    def inside(step: float) -> bool:
        half = math.radians(step) / 2
        beside, up = math.hypot(outside * math.sin(half), k * half), outside * math.cos(half) - (outside - depth)
        if big is not None:
            return math.hypot(beside, min(up - big, 0.0)) <= big
        return bool(SOLIDS[solid](np.array(beside), np.array(up)))

    steps = np.arange(5.0, 70.0, 0.05)
    widest = max(step for step in steps if inside(step))
    assert front.solved("helix", **values, step=f"{widest - 0.2:.2f}deg")["stops"]
    with pytest.raises(StepcutError, match="leaves uncut metal between neighbours"):
        front.solved("helix", **values, step=f"{widest + 0.2:.2f}deg")


def test_walls_farther_apart_than_a_thin_bar_is_thick_stand_as_far_as_they_do_unrolled() -> None:
    """By hand: 5 mm radius, lead 2 pi x 12: along the axis the walls are 13/5 as far apart as square to the way, here 40 mm."""
    screw = Screw(outside=5.0, bottom=4.0, pitch=12.0, outline=Outline(3.0, 0.0))
    assert screw.half_of(40.0) == pytest.approx(20.0 * 13 / 5)
    # And where they can stand so far apart, a straight line between the two helices is so long: looked at by numpy, turn by turn.
    half, turn = screw.half_of(4.0), np.linspace(0.0, math.pi, 200_001)
    assert np.hypot(10.0 * np.sin(turn / 2), 12.0 * turn - 2 * half).min() == pytest.approx(4.0, abs=1e-6)
