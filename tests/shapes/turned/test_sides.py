"""Both sides of a lathe tool: what its edges need beside the nose, and what its other corner needs, by tools drawn with shapely."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from tests.outside import front

WAIST = {"form": "waist", "diameter": "27mm", "small": "19mm", "length": "40mm", "at": "15mm"}
ROUND = {"tool": "round", "nose": "1.5mm", "leave": "0mm", "scallop": "0.1mm"}


def plan_of(shape: str, **values: Any) -> Plan:
    return recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", shape: values})).plan


def tool_at(z: float, x: float, nose: float, headstock: float, tailstock: float) -> Polygon:
    """A round-nosed tool in the plane of the axis: its circle, and all between the two edges that leave it as tangents."""
    middle = np.array([z - nose, x + nose])
    corners = []
    for side, angle in ((1.0, math.radians(headstock)), (-1.0, math.radians(tailstock))):
        begin = middle + nose * np.array([side * math.sin(angle), -math.cos(angle)])
        corners.append((begin, begin + 80.0 * np.array([side * math.cos(angle), math.sin(angle)])))
    (a, b), (c, d) = corners
    body = Polygon([a, b, d, c]).buffer(0)
    return unary_union([Point(*middle).buffer(nose, 400), body])


def fouled(plan: Plan, stays: Any, headstock: float, tailstock: float) -> float:
    """The largest area of what stays that the tool covers at any cut, mm^2."""
    nose = float(plan.cutter.radius)
    places = [(float(plan.first.value(s.first)), float(plan.second.value(s.second))) for s in plan.stops]
    return max(tool_at(z, x, nose, headstock, tailstock).intersection(stays).area for z, x in places)


def test_the_edges_that_a_waist_needs_are_just_enough() -> None:
    plan = plan_of("radius", **WAIST, **ROUND)
    half, drop = 20.0, 4.0
    size = (half**2 + drop**2) / (2 * drop)
    bar = box(0.0, 0.0, 80.0, 13.5)
    stays = bar.difference(Point(35.0, 9.5 + size).buffer(size, 4000).intersection(box(15, 0, 55, 13.6)))
    steep = math.degrees(math.asin(half / size))  # by hand: the slope of the arc where it meets the cylinder
    shape = plan.details
    assert steep - 1.5 < shape.headstock <= steep + 0.01
    assert steep - 1.5 < shape.tailstock <= steep + 0.01
    assert fouled(plan, stays, shape.headstock + 0.05, shape.tailstock + 0.05) < 2e-4
    assert fouled(plan, stays, shape.headstock - 3.0, 90.0) > 0.01
    assert fouled(plan, stays, 90.0, shape.tailstock - 3.0) > 0.01


def test_the_edge_that_the_back_of_a_ball_needs_is_just_enough() -> None:
    plan = plan_of("radius", form="ball", radius="12mm", small="10mm", **ROUND)
    ball = unary_union([Point(12.0, 0.0).buffer(12.0, 4000), box(12.0, 0.0, 60.0, 5.0)])
    shape = plan.details
    assert 55.0 < shape.tailstock < 66.0  # by hand: the back stands at acos(5/12) = 65.4 degrees where the neck begins
    assert fouled(plan, ball, 90.0, shape.tailstock + 0.05) < 2e-3
    assert fouled(plan, ball, 90.0, shape.tailstock - 5.0) > 0.01


@pytest.mark.parametrize(
    ("shape", "values", "text"),
    [
        ("radius", {**WAIST, **ROUND, "tailstock-edge": "10deg"},
         "tailstock-edge = 10°: is too slanted: the edge toward the tailstock would touch what stays beside the nose, from 22."),
        ("radius", {"form": "fillet", "radius": "6mm", "diameter": "25mm", "at": "40mm", **ROUND, "headstock-edge": "75deg"},
         "headstock-edge = 75°: is too slanted: the edge toward the headstock would touch what stays beside the nose, from 90.0° it is clear. "
         "Grind or swing the tool so that this edge stands 90° or more from the axis, or take another tool."),
        ("radius", {"form": "ball", "radius": "12mm", "headstock-edge": "90deg"}, "headstock-edge = 90deg: does not go with a square tool. Leave it out."),
        ("taper", {"large": "30mm", "small": "24mm", "length": "37mm", **ROUND, "on": "mill", "tailstock-edge": "90deg"},
         "tailstock-edge = 90deg: does not go with on = mill. Leave it out."),
    ],
)  # fmt: skip
def test_an_edge_that_fouls_is_refused_in_full(shape: str, values: dict[str, str], text: str) -> None:
    with pytest.raises(StepcutError) as refused:
        front.solved(shape, **values)
    assert text in str(refused.value)


def test_edges_that_clear_are_taken_and_the_set_up_says_what_is_needed() -> None:
    job = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case",
                                            "radius": {**WAIST, **ROUND, "headstock-edge": "93deg", "tailstock-edge": "35deg"}}))  # fmt: skip
    told = [f"{what} ... {answer}" for what, answer in show.whole(job, "2026-01-01").words.set_up]
    assert any("Tool's edges from axis (90° square): tailstock 23° or more, headstock ... 23° or more" in line
               for line in told)  # fmt: skip


def test_a_square_tool_on_the_back_of_a_ball_is_told_where_its_other_corner_goes() -> None:
    job = recipes.job(recipes.load("lever-ball-knob"))
    told = [what for what, _ in show.whole(job, "2026-01-01").words.set_up]
    assert any("Groove as wide as the tool behind the back" in what for what in told)
