"""Followers beside the axis and on arms: the cut cam is ridden on, and an eccentric is the linkage that textbooks say it is.

"Norton" is R. L. Norton, "Design of Machinery", chapters on linkages and on cams, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from stepcut.errors import StepcutError
from stepcut.shapes.cam.follower import Follower, Riding
from stepcut.shapes.cam.way import Arm, Straight
from tests.outside import front
from tests.outside.published_motions import displacement, velocity
from tests.shapes.cam.test_follower import DEG, as_cut, points, riding

# The follower's own frame: the axis at nought, y up, x the way in which the cam's angles grow.
Lift = Callable[[float], float]


def pivot_of(guided: dict[str, Any], low: float) -> tuple[float, float, float]:
    """Where the pivot of an arm stands whose follower is straight above the axis at the base, and on which side."""
    c, arm, way = guided["pivot"], guided["arm"], -1.0 if guided.get("runs") == "to-pivot" else 1.0
    y = low if guided.get("flat") else (c * c - arm * arm + low * low) / (2 * low)
    return way * math.sqrt(c * c - y * y), y, way


def swung(pivot: tuple[float, float, float], x: Any, y: Any) -> Any:
    """The angle at the pivot from the way to the axis up to the way to a place, radians."""
    px, py, way = pivot
    found = way * (math.atan2(-py, -px) - np.arctan2(y - py, x - px))
    return (found + math.pi) % (2 * math.pi) - math.pi


# --- a polygon that is cut and ridden on -----------------------------------------------------------------------------


def rests(corners: np.ndarray, at: float, guided: dict[str, Any], radius: float, base: float) -> float:
    """The lift at which a follower rests on the corners of a cam, mm."""
    low, offset = base + radius, guided.get("offset", 0.0)
    ray = at * DEG - math.asin(
        offset / low
    )  # the way of a follower beside the axis does not pass through its middle's ray
    x = corners @ np.array([math.cos(ray), -math.sin(ray)])
    y = corners @ np.array([math.sin(ray), math.cos(ray)])
    if offset:
        near = np.abs(x - offset) < radius
        return float((y[near] + np.sqrt(radius**2 - (x[near] - offset) ** 2)).max()) - math.sqrt(low**2 - offset**2)
    pivot = pivot_of(guided, low)
    if guided.get("flat"):
        return guided["arm"] * float(np.max(swung(pivot, x, y)) - swung(pivot, 0.0, base))
    px, py, way = pivot

    def gap(lift: float) -> float:
        angle = math.atan2(-py, -px) - way * (swung(pivot, 0.0, low) + lift / guided["arm"])
        middle = px + guided["arm"] * math.cos(angle), py + guided["arm"] * math.sin(angle)
        return float(np.min(np.hypot(x - middle[0], y - middle[1]))) - radius

    return float(brentq(gap, -1.0, 8.0, xtol=1e-6))


WAYS: dict[str, tuple[dict[str, Any], float]] = {
    "roller beside the axis": ({"offset": 7.0}, 6.0),
    "roller on the other side": ({"offset": -5.0}, 5.0),
    "roller on an arm, the rim runs from the pivot": ({"pivot": 52.0, "arm": 43.0}, 6.0),
    "roller on an arm, the rim runs to the pivot": ({"pivot": 58.0, "arm": 47.0, "runs": "to-pivot"}, 5.0),
    "face on an arm": ({"pivot": 55.0, "arm": 48.0, "flat": True}, 0.0),
    "face on an arm, the rim runs to the pivot": ({"pivot": 61.0, "arm": 50.0, "flat": True, "runs": "to-pivot"}, 0.0),
}


LATER = (
    "roller beside the axis",
    "face on an arm",
    "roller on the other side",
    "roller on an arm, the rim runs to the pivot",
    "face on an arm, the rim runs to the pivot",
)


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.long) if name in LATER else name for name in WAYS]
)
def test_a_follower_on_the_cut_cam_is_lifted_as_wanted_and_never_less(name: str) -> None:
    guided, radius = WAYS[name]
    said = {key: f"{value}mm" if isinstance(value, float) else value for key, value in guided.items() if key != "flat"}
    said |= {"follower": "flat", "cutter": "40mm"} if radius == 0 else {"roller": f"{2 * radius}mm", "cutter": "10mm", "cut-with": "side"}  # fmt: skip
    segments = ["rise 5mm in 100deg harmonic", "dwell 40deg", "fall 5mm in 120deg harmonic", "dwell 100deg"]
    plan = front.solved("cam", base="24mm", segments=segments, step="2deg", blank="64mm", **said)
    corners, most, share = as_cut(plan, 32.0), plan["result"]["stock_max"], displacement("harmonic")
    for at in np.arange(0.5, 360, 11.25):
        part = at / 100 if at < 100 else 1.0 if at < 140 else 1 - min(1.0, (at - 140) / 120)
        wanted, lift = 5 * float(share(np.array(part))), rests(corners, float(at), guided, radius, 24.0)
        assert wanted - 3e-3 <= lift <= wanted + 1.3 * most + 8e-3, at


@pytest.mark.long
@pytest.mark.parametrize(
    "name", ["roller beside the axis", "roller on an arm, the rim runs to the pivot", "face on an arm"]
)
def test_the_model_of_the_whole_part_sees_the_same(name: str) -> None:
    from tests.outside import whole_part
    from tests.outside.compared import disagreements

    guided, radius = WAYS[name]
    said = {key: f"{value}mm" if isinstance(value, float) else value for key, value in guided.items() if key != "flat"}
    said |= {"follower": "flat", "cutter": "40mm"} if radius == 0 else {"roller": f"{2 * radius}mm", "cutter": "10mm", "cut-with": "side"}  # fmt: skip
    segments = ["rise 4mm in 90deg cycloidal", "dwell 30deg", "fall 4mm in 110deg 3-4-5", "dwell 130deg"]
    plan = front.solved("cam", base="22mm", segments=segments, step="3deg", **said)
    assert disagreements(plan, whole_part.see(plan)) == []


# --- an eccentric is a linkage ---------------------------------------------------------------------------------------

DISC, OFF, AT = 21.0, 4.0, 2.6  # radius of the disc; its middle from the axis, and on which ray, radians


def middle(ray: float) -> tuple[float, float]:
    """The middle of the disc in the follower's frame, whose upright stands on a ray of the cam."""
    return OFF * math.sin(AT - ray), OFF * math.cos(AT - ray)


def assert_round(ride: Riding) -> None:
    far = [math.hypot(x - OFF * math.cos(AT), y - OFF * math.sin(AT)) for x, y in points(ride, 0.0, 359.0)]
    assert far == pytest.approx([DISC] * len(far), abs=1e-4)


@pytest.mark.parametrize(("beside", "roller"), [(5.0, 6.0), (-3.0, 4.0)])
def test_an_eccentric_lifts_a_roller_beside_the_axis_as_a_crank_beside_its_slide(beside: float, roller: float) -> None:
    # Norton: the offset slider-crank, crank OFF and rod DISC + roller; a way beside the axis has its own ray.
    rod, lean = DISC + roller, 0.0

    def height(a: float) -> float:
        x, y = middle(a - lean)
        return y + math.sqrt(rod * rod - (beside - x) ** 2)

    for _ in range(60):
        lean = math.atan2(beside, height(0.0))
    low = math.hypot(beside, height(0.0))
    ride = riding(lambda a: low - roller + height(a) - height(0.0), 360.0, Follower("roller", roller, way=Straight(beside)), low - roller)  # fmt: skip
    assert_round(ride)


def arm_ride(guided: dict[str, Any], roller: float) -> tuple[Riding, tuple[float, float, float], Lift]:
    """A follower on an arm that an eccentric swings, its pivot, and the angle at the pivot."""
    rod = DISC + roller
    x, y = middle(0.0)
    low = y + rod if guided.get("flat") else y + math.sqrt(rod * rod - x * x)
    pivot = pivot_of(guided, low)

    def angle(a: float) -> float:
        px, py, _ = pivot
        mx, my = middle(a)
        far = math.hypot(mx - px, my - py)
        arm = guided["arm"]
        beyond = math.asin(DISC / far) if guided.get("flat") else math.acos((arm * arm + far * far - rod * rod) / (2 * arm * far))  # fmt: skip
        return float(swung(pivot, mx, my)) + beyond

    way = Arm(guided["pivot"], guided["arm"], guided.get("runs") != "to-pivot", bool(guided.get("flat")))
    follower = Follower("flat" if guided.get("flat") else "roller", roller, way=way)
    base = low - roller
    return riding(lambda a: base + guided["arm"] * (angle(a) - angle(0.0)), 360.0, follower, base), pivot, angle


@pytest.mark.parametrize("name", [name for name, (guided, _) in WAYS.items() if "arm" in guided])
def test_an_eccentric_swings_an_arm_as_a_four_bar_linkage(name: str) -> None:
    # Norton: crank OFF, rod DISC + roller, rocker the arm, ground to the pivot; a face is an inverted slider-crank.
    guided, roller = WAYS[name]
    ride, pivot, angle = arm_ride(guided, roller)
    assert_round(ride)
    for at in (20.0, 100.0, 190.0, 300.0):
        px, py, way = pivot
        turn = math.atan2(-py, -px) - way * angle(at * DEG)
        mx, my = middle(at * DEG)
        if guided.get("flat"):  # the face touches where the disc's middle is nearest to it
            along = (mx - px) * math.cos(turn) + (my - py) * math.sin(turn)
            assert ride.touches[0] - 1e-3 <= along <= ride.touches[1] + 1e-3
        else:  # Norton: pressure angle = 90 - transmission angle, between rod and rocker
            x, y = px + guided["arm"] * math.cos(turn), py + guided["arm"] * math.sin(turn)
            rod, rocker = np.array([x - mx, y - my]), np.array([x - px, y - py])
            transmission = math.acos(abs(rod @ rocker) / (np.linalg.norm(rod) * np.linalg.norm(rocker)))
            assert ride.pressure_at(at) == pytest.approx(90 - transmission / DEG, abs=0.01)


@pytest.mark.parametrize("beside", [6.0, -4.0])
def test_the_pressure_angle_beside_the_axis_is_that_of_the_published_formula(beside: float) -> None:
    # Norton: tan = (v - e) / (s + sqrt(prime radius^2 - e^2)).
    rise, beta, base, roller = 9.0, 75.0, 21.0, 6.5
    heights: Lift = lambda a: base + rise * float(displacement("cycloidal")(np.array(a / DEG / beta)))  # noqa: E731  # a formula
    ride = riding(heights, beta, Follower("roller", roller, way=Straight(beside)), base)
    for at in np.linspace(1, 74, 20):
        rate = rise / (beta * DEG) * float(velocity("cycloidal")(np.array(at / beta)))
        s = heights(at * DEG) - base
        tangent = (rate - beside) / (s + math.sqrt((base + roller) ** 2 - beside**2))
        assert ride.pressure_at(float(at)) == pytest.approx(abs(math.degrees(math.atan(tangent))), abs=0.02)


# --- what is asked ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"follower": "flat", "offset": "3mm"}, "offset = 3mm: goes with a roller"),
        ({"pivot": "50mm", "arm": "40mm"}, "pivot = 50mm: goes with a roller or a flat face"),
        ({"roller": "8mm", "pivot": "50mm"}, "arm: is missing for an arm"),
        ({"roller": "8mm", "offset": "3mm", "arm": "40mm"}, "arm = 40mm: does not go with offset"),
        ({"roller": "8mm", "offset": "25mm"}, "offset = 25mm: does not reach"),
        ({"roller": "8mm", "pivot": "90mm", "arm": "40mm"}, "arm = 40mm: does not reach"),
        ({"roller": "8mm", "offset": "3mm", "segments": "rise 3mm in 90deg"}, "goes with a cam that comes round"),
    ],
)
def test_what_does_not_go_together_is_said(values: dict[str, Any], words: str) -> None:
    whole = "rise 3mm in 90deg; dwell 90deg; fall 3mm in 90deg; dwell 90deg"
    with pytest.raises(StepcutError, match=words):
        front.solved("cam", **{"base": "20mm", "cutter": "8mm", "segments": whole, **values})
