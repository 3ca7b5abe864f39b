"""Turned forms of one radius: what they leave, by a model of the whole part and by tools cut out of the bar with shapely."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.routine import acts
from stepcut.shapes.radius.wanted import neck, waist
from stepcut.shapes.turned.wanted import ball
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played
from tests.shops import thinned

SQUARE, NOSE = {"tool-width": "3mm"}, {"tool": "round", "nose": "1.5mm"}
NECK = {"form": "neck", "diameter": "29mm", "small": "23mm", "radius": "1.5mm", "length": "9mm", "at": "31mm"}
LOW = {**NECK, "small": "27mm", "radius": "2mm"}  # a radius higher than the shaft stands over its bottom
WAIST = {"form": "waist", "diameter": "27mm", "small": "19mm", "length": "70mm", "at": "15mm"}
CROWN = {"form": "crown", "diameter": "95mm", "small": "94.4mm", "length": "27mm"}
SEAT = {"form": "seat", "radius": "11mm", "diameter": "21mm", "blank": "7mm"}
BALL = {"form": "ball", "radius": "13mm", "small": "11mm", "length": "9mm"}
CORNER = {"form": "corner", "radius": "5mm", "diameter": "27mm"}
CASES: dict[str, dict[str, str]] = {
    "a rounded edge": {**CORNER, "scallop": "0.2mm"},
    "part of a rounded edge": {**CORNER, **NOSE, "at": "7mm", "from-angle": "20deg", "leave": "0.1mm"},
    "a neck": {**NECK, **NOSE},
    "a neck by a parting tool": {**NECK, **SQUARE, "scallop": "0.2mm"},
    "a low neck": {**LOW, **NOSE},
    "a waist": {**WAIST, **NOSE, "scallop": "0.1mm"},
    "a waist by a parting tool": {**WAIST, **SQUARE, "scallop": "0.2mm"},
    "a crown": {**CROWN, **NOSE, "step": "2mm"},
    "a crown by both corners": CROWN,
    "a crown behind a step": {**CROWN, **NOSE, "step": "2mm", "at": "8mm", "leave": "0.1mm"},
    "a seat": {**SEAT, **NOSE, "nose": "1mm"},
    "a seat by a square tool": {**SEAT, "scallop": "0.2mm"},
    "a ball on its neck by a round nose": {**BALL, **NOSE, "scallop": "0.2mm"},
    "a ball on its neck": {**BALL, **SQUARE, "scallop": "0.2mm"},
}


def plan_of(values: dict[str, Any], shape: str = "radius") -> Plan:
    content = {"stepcut": 1, "machine": "metric", "title": "case", shape: values}
    return recipes.job(recipes.from_content(content)).plan


@pytest.mark.parametrize("name", thinned(CASES))
def test_a_form_tells_the_truth(name: str) -> None:
    plan = front.solved("radius", **CASES[name])
    assert disagreements(plan, whole_part.see(plan)) == []


@pytest.mark.parametrize(
    "name", ["a neck", "a waist by a parting tool", "a crown by both corners", "a seat", "a ball on its neck"]
)
def test_its_acts_end_every_cut_where_the_plan_says(name: str) -> None:
    plan = plan_of(CASES[name])
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


def test_a_ball_is_cut_by_a_parting_tool_whose_other_corner_stays_in_its_neck() -> None:
    """The tool's whole body swept through every pass, against a disc, its neck and the shoulder that ends it."""
    wide, radius, neck = 3.0, 13.0, 5.5
    plan = front.solved("radius", **CASES["a ball on its neck"])
    ways = {row["start"]: row["cuts"] for row in plan["flanks"]}
    assert list(ways.values()) == [
        "straight-in",
        "to-headstock",
        "to-face",
    ]  # by hand: room behind the ball comes first
    groove = max(stop["z"] for stop in plan["stops"] if ways[stop["start"]] == "to-face")
    swept = []
    for stop in plan["stops"]:
        z, x = stop["z"], stop["x"]
        ends = {"straight-in": (z - wide, z), "to-headstock": (-10.0, z), "to-face": (z, groove + wide)}[
            ways[stop["start"]]
        ]
        swept.append(box(ends[0], x, ends[1], 40.0))
    begins = radius + np.sqrt(radius**2 - neck**2)
    ball = Point(radius, 0.0).buffer(radius, 2000)
    stays = unary_union([ball, box(radius, 0.0, 60.0, neck), box(begins + plan["target"]["length"], 0.0, 60.0, 40.0)])
    tool = unary_union(swept)
    assert tool.intersection(stays).area < 1e-4  # of a disc drawn with 8000 corners
    bar = box(0.0, 0.0, begins + plan["target"]["length"] - 0.01, 13.0)
    left = bar.difference(tool).difference(stays)
    assert max(piece.hausdorff_distance(stays.intersection(piece.buffer(0.3))) for piece in _pieces(left)) < 2.2


def _pieces(shape: Any) -> list[Polygon]:
    return [piece for piece in getattr(shape, "geoms", [shape]) if piece.area > 1e-6]


def test_a_crown_is_as_high_as_an_arc_over_its_chord() -> None:
    # A crowned pulley of common practice: 0.5 mm on 25 mm; an arc falls 0.01, 0.04, 0.09, 0.16, 0.25 mm at these places.
    plan = plan_of({"form": "crown", "diameter": "100mm", "small": "99.5mm", "length": "25mm", **NOSE, "step": "1mm"})
    flank = plan.details.cuts[0].flank
    drops = [round(flank.wanted.depth(12.5 + x), 2) for x in (2.5, 5, 7.5, 10, 12.5)]
    assert drops == [0.01, 0.04, 0.09, 0.16, 0.25]


@pytest.mark.parametrize(
    ("values", "text"),
    [
        (WAIST, "tool-width: is missing: a waist is cut straight in, by a tool as wide as you say. Give tool-width, that of a parting "
                "tool, such as 3mm; or a round nose: tool = round 1.5mm."),
        ({**NECK, **NOSE, "nose": "2mm"}, "nose = 2 mm: is rounder than the neck, whose radius is 1.500 mm. Take a sharper tool."),
        ({**NECK, **NOSE, "at": "0mm"}, "at = 0mm: must be more than 0: a neck stands behind a piece of its shaft. "
                                        "Give where the neck begins, from the face."),
        ({**NECK, **NOSE, "length": "3mm"}, "length = 3mm: is not more than its radii take up, 3 mm. Take a smaller radius, or a longer neck."),
        ({**NECK, "tool-width": "8mm"}, "tool-width = 8mm: is wider than the bottom of the neck between its radii, 6 mm: a corner would stand "
         "in a radius. Take a narrower tool, or a longer neck."),
        ({**WAIST, "tool-width": "36mm"}, "tool-width = 36mm: is more than half as wide as the waist is long, 70mm: it would not get down into "
         "it. Take a narrower tool, or a round nose."),
        ({**NECK, **NOSE, "small": "30mm"}, "small = 30mm: must be smaller than diameter = 29mm. Check that they are not swapped."),
        ({**BALL, "scallop": "0.2mm"}, "tool-width: is missing: the neck is cut first, straight in, by a tool as wide as you say. "
                                       "Give tool-width, such as 3mm."),
        ({**BALL, "tool-width": "10mm"}, "tool-width = 10 mm: makes the tool 10 mm wide, more than the neck is long, 9.001 mm: it begins "
                                         "there to cut the back of the ball. Take a narrower tool, or a longer neck."),
        ({**BALL, "small": "27mm"}, "small = 27mm: must be less than the ball's 26 mm and at least 1.625 mm. Check both sizes."),
        ({"form": "ball", "radius": "13mm", "length": "9mm"}, "length = 9mm: is of a neck, and this ball has none. Give small, the neck's diameter."),
        ({**SEAT, "blank": "22mm"}, "blank = 22mm: leaves no seat: the mouth is 21mm. Drill a smaller hole."),
        ({k: v for k, v in SEAT.items() if k != "blank"}, "blank: is missing for a seat. Drill a hole first, smaller than the mouth and as "
         "deep as the seat, and give its diameter: the boring tool begins in it."),
        ({**SEAT, "diameter": "23mm"}, "diameter = 23mm: is wider than the ball of the seat, 22 mm. Check both sizes."),
        ({**CROWN, "radius": "1m"}, "radius = 1m: does not go with small. Leave one of them out."),
        ({k: v for k, v in CROWN.items() if k != "small"}, "small: or the radius is missing for a crown. Give one of them."),
        ({**WAIST, "small": "19mm", "length": "7mm"}, "small = 19mm: makes more than half a circle over 7mm. Take a larger small, or a longer form."),
        ({**CORNER, "radius": "14mm"}, "radius = 14mm: must be at most half the diameter, 27mm. Check both sizes."),
        ({**CORNER, "length": "14mm"}, "length = 14mm: does not go with a corner. Leave it out."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_said_in_full(values: dict[str, str], text: str) -> None:
    with pytest.raises(StepcutError) as refused:
        front.solved("radius", **values)
    assert text in str(refused.value)


@pytest.mark.parametrize(
    ("name", "facts"),
    [
        ("a ball on its neck", [("Ball DIAMETER, across its middle, filed", "26.000 mm")]),
        ("a neck", [("Neck DIAMETER, filed", "23.000 mm"), ("Neck, long to the shoulder", "9.000 mm")]),
        ("a crown", [("Middle DIAMETER, filed", "95.000 mm"), ("Edges DIAMETER, both alike", "94.400 mm")]),
        ("a rounded edge", [("Radius gauge of 5.000 mm, held to the light, fits", "no light")]),
    ],
)
def test_the_sizes_of_a_form_are_measured_at_the_end(name: str, facts: list[tuple[str, str]]) -> None:
    content = {"stepcut": 1, "machine": "metric", "title": "case", "radius": CASES[name]}
    told = show.whole(recipes.job(recipes.from_content(content)), "2026-01-01").words.after
    assert list(told[: len(facts)]) == facts


@pytest.mark.parametrize(("small", "size", "top"), [(24, 5, 17), (20, 3, 15)])
def test_the_shoulder_of_a_neck_stands_as_high_as_its_radius(small: int, size: int, top: int) -> None:
    # By hand: 24 across and a radius of 5 up from it reach a radius of 17, over the shaft's 15; 20 and 3 stay inside the shaft.
    (flank,) = neck(Fraction(30), Fraction(small), Fraction(size), Fraction(20), Fraction(10)).flanks
    assert (flank.radius_high, flank.z_high) == (top, 30)


def test_a_waist_is_an_arc_through_its_ends_and_its_middle() -> None:
    # By hand: 16 long and 3 deep is a radius of (8^2 + 3^2) / 6 = 12.1667; 4 from the middle it is sqrt(R^2 - 16) = 11.4903 to the
    # arc, 0.6763 less deep than in the middle.
    (flank,) = waist(Fraction(30), Fraction(24), Fraction(16), Fraction(0)).flanks
    assert [flank.wanted.depth(at) for at in (0.0, 4.0, 8.0, 12.0, 16.0)] == pytest.approx([0, 2.3237, 3, 2.3237, 0], abs=1e-4)  # fmt: skip


def test_a_ball_that_ends_before_its_equator_is_as_wide_as_its_cosine() -> None:
    # By hand: 60 degrees from the pole of a ball of 30 the surface stands 15 sin 60 = 12.9904 out and 15 - 15 cos 60 = 7.5 down.
    (flank,) = ball(Fraction(30), Fraction(60)).flanks
    assert (float(flank.radius_high), float(flank.z_high)) == pytest.approx((12.9904, 7.5), abs=1e-4)
    assert flank.wanted.depth(7.5) == pytest.approx(12.9904, abs=1e-4)  # the pole itself


def test_a_seat_is_bored_on_the_lathe() -> None:
    with pytest.raises(StepcutError, match=r"on = mill: does not go with a seat\. Bore it on the lathe\."):
        plan_of({**SEAT, "on": "mill"})


def test_a_hollow_half_as_large_as_the_diameter_is_refused_and_a_rounded_edge_so_large_is_not() -> None:
    with pytest.raises(StepcutError, match=r"radius = 13.5mm: must be less than half the diameter, 27mm\."):
        plan_of({**CORNER, **NOSE, "form": "cove", "radius": "13.5mm"})
    assert plan_of({**CORNER, **NOSE, "radius": "13.5mm"}).stops


def test_on_the_mill_z_comes_back_past_each_place_by_a_quarter_turn_of_its_handle() -> None:
    """The knee of the example machine moves 2.5 mm a turn, so 0.625 mm, more than twice its slack."""
    moves = [act for act in acts(plan_of({**CORNER, **NOSE, "on": "mill"})) if act.axis == "z" and act.to is not None]
    past = [then.to - act.to for act, then in pairwise(moves) if act.way == "back" and then.way == "working"]  # type: ignore[operator]
    assert len(past) > 5
    assert set(past[1:]) == {Fraction(5, 8)}
