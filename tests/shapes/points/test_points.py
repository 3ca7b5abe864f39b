"""Points in X and Y against shapely: the union of the cutter's circles, beside the line that was asked for."""

from __future__ import annotations

import math
import random
import re
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from shapely import Point, union_all

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.routine import acts, card
from stepcut.shapes.points.drawing import part
from tests.outside import front
from tests.routine.simulated import played

HOLE: dict[str, Any] = {"radius": "21mm", "side": "inside", "cutter": "8mm", "depth": "6mm", "step": "10deg"}


def cut(plan: dict[str, Any]) -> Any:
    """What all cuts take, as one area."""
    size = plan["cutter"]["diameter"] / 2
    return union_all([Point(stop["x"], stop["y"]).buffer(size, 720) for stop in plan["stops"]])


def away(ring: Any, plan: dict[str, Any]) -> np.ndarray:
    """Distances of a line's corners from the middle of the circle."""
    x, y = np.array(ring.coords).T
    return np.hypot(x - plan["target"]["x"], y - plan["target"]["y"])


@pytest.mark.parametrize("seed", [0, 1, 2, *(pytest.param(seed, marks=pytest.mark.long) for seed in (3, 4, 5))])
@pytest.mark.parametrize("side", ["inside", "outside", "on"])
def test_the_ridge_is_what_shapely_sees_and_nothing_is_cut_past_the_line(side: str, seed: int) -> None:
    chance = random.Random(f"points {side} {seed}")  # noqa: S311  # repeatable cases, not secrets
    radius, size = chance.uniform(15, 60), chance.choice([3, 5, 8])
    leave = chance.choice([0.0, 0.1]) if side != "on" else 0.0
    values = {
        "radius": front.mm(radius), "side": side, "cutter": f"{2 * size}mm", "depth": "5mm", "leave": front.mm(leave),
        "centre-x": front.mm(chance.uniform(-20, 20)), "centre-y": front.mm(chance.uniform(-20, 20)),
        **chance.choice([{"points": str(chance.randint(60, 120))}, {"step": "4deg"}, {"scallop": "0.08mm"}]),
    }  # fmt: skip
    plan = front.solved("points", **values)
    radius, whole = plan["target"]["radius"], cut(plan)
    outer, inner = away(whole.exterior, plan), away(whole.interiors[0], plan)
    walls = []
    if side == "inside":
        assert outer.max() <= radius - leave + 1e-4
        walls.append(radius - leave - outer.min())
    elif side == "outside":
        assert inner.min() >= radius + leave - 1e-4
        walls.append(inner.max() - radius - leave)
    else:
        walls += [radius + size - outer.min(), inner.max() - radius + size]
    assert plan["result"]["scallop"] == pytest.approx(max(walls), abs=3e-4)
    if "scallop" in values and side != "on":
        assert plan["result"]["scallop"] <= 0.08 + 0.01  # two divisions of the slides


def test_even_moves_of_x_have_y_from_the_circle() -> None:
    plan = front.shipped("paddle-quadrant-arc-slot")
    xs = [stop["x"] for stop in plan["stops"]]
    assert all(b - a == pytest.approx(1.5) for a, b in pairwise(xs[1:]))
    for stop in plan["stops"]:
        assert stop["y"] == pytest.approx(math.sqrt(87**2 - stop["x"] ** 2), abs=0.0051)
    assert math.degrees(math.atan2(plan["stops"][-1]["y"], xs[-1])) == pytest.approx(77, abs=0.01)


@pytest.mark.parametrize(("span", "count"), [("90deg", 10), ("95deg", 11), ("360deg", 36)])
def test_a_step_reaches_both_ends_of_an_arc_and_comes_round_a_circle_once(span: str, count: int) -> None:
    plan = front.solved("points", **HOLE, begin="0deg", span=span)
    assert len(plan["stops"]) == count
    angles = sorted(round(math.degrees(math.atan2(stop["y"], stop["x"])), 1) % 360 for stop in plan["stops"])
    end = 350.0 if span == "360deg" else float(span[:-3])
    assert (angles[0], angles[-1]) == pytest.approx((0.0, end), abs=0.11)


def test_moves_of_x_go_over_a_whole_half_circle_and_not_past_it() -> None:
    half = {key: text for key, text in HOLE.items() if key != "step"} | {
        "begin": "0deg",
        "span": "180deg",
        "x-step": "1mm",
    }
    assert {stop["y"] >= 0 for stop in front.solved("points", **half)["stops"]} == {True}
    with pytest.raises(StepcutError, match="goes with an arc that stays above or below its middle"):
        front.solved("points", **half | {"span": "181deg"})


def test_every_point_has_its_circle_on_the_drawing() -> None:
    for count in (14, 90, 91, 200):  # so many that they would lie on each other: every second, every third
        content = {"stepcut": 1, "machine": "metric", "points": {key: text for key, text in HOLE.items() if key != "step"} | {"points": str(count)}}  # fmt: skip
        made = part(recipes.job(recipes.from_content(content)).plan)
        drawn = {14: 14, 90: 90, 91: 46, 200: 67}[count]
        assert made.svg.count("<circle") == drawn + 1  # the cutter at the first


def test_tubes_that_do_not_meet_square_are_said_to_be_turned_from_level() -> None:
    values = {
        "tube": "27mm",
        "onto": "36mm",
        "angle": "60deg",
        "cutter": "10mm",
        "depth": "40mm",
        "scallop": "0.1mm",
        "leave": "0mm",
    }
    made = show.whole(recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "points": values})))
    assert any(what.startswith("Tubes at 60") for what, _ in made.words.set_up)


def test_the_hollow_of_a_mitre_is_the_other_tube() -> None:
    plan = front.solved("points", tube="27mm", onto="36mm", cutter="10mm", depth="30mm", scallop="0.1mm", leave="0mm")
    # By hand: seen along the other tube its circle of 18 mm touches the tube's edges at X 0, Y 13.5, so its middle stands
    # sqrt(18^2 - 13.5^2) out of the end; the cutter's axis follows 18 - 5.
    middle = math.sqrt(18**2 - 13.5**2)
    assert plan["target"]["x"] == pytest.approx(middle, abs=1e-5)
    for stop in plan["stops"]:
        assert math.hypot(stop["x"] - middle, stop["y"]) == pytest.approx(13, abs=0.011)
    assert min(stop["x"] for stop in plan["stops"]) - 5 == pytest.approx(middle - 18, abs=0.3)


def test_a_slot_is_longer_than_its_line_by_the_cutter_s_two_halves() -> None:
    """Every plunge a circle in shapely; where the slot's middle line comes out of it, seen from the middle of the arc."""
    values = {
        "radius": "87mm",
        "side": "on",
        "begin": "77deg",
        "span": "26deg",
        "step": "1deg",
        "depth": "4mm",
        "cutter": "8mm",
    }
    made = show.whole(recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "points": values})))
    told = dict(made.words.head)["Ends"]
    slot = union_all(
        [Point(stop["x"], stop["y"]).buffer(4, quad_segs=256) for stop in front.solved("points", **values)["stops"]]
    )
    at = np.radians(np.arange(60.0, 77.0, 0.01))
    inside = [slot.contains(Point(87 * math.cos(turn), 87 * math.sin(turn))) for turn in at]
    more = 77 - math.degrees(at[inside.index(True)])
    found = re.search(r"reaches 4.000 mm past either end of the line, ([\d.]+)° more", told)
    assert found is not None
    assert float(found[1]) == pytest.approx(more, abs=0.02)


@pytest.mark.parametrize("angle", [90, 60, 35])
def test_a_mitre_is_cut_through_at_the_depth_that_is_told(angle: int) -> None:
    """A tube leaning in space, point by point: from where an upright cutter first touches it down to the lowest point of the hollow."""
    values = {
        "tube": "27mm",
        "onto": "36mm",
        "cutter": "10mm",
        "depth": "80mm",
        "scallop": "0.1mm",
        "angle": f"{angle}deg",
    }
    made = show.whole(recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "points": values})))
    told = [float(n) for n in re.findall(r"([\d.]+) mm", dict(made.words.head)["Through"])]
    top = next(what for what, _ in made.words.set_up if "touches the tube's top" in what)
    axis_x = float(re.search(r"At X (-?[\d.]+) mm, Y 0", top)[1])  # type: ignore[index]
    lean = math.radians(90 - angle)
    middle = math.sqrt(18**2 - 13.5**2)
    x, y = np.meshgrid(np.linspace(axis_x - 5, axis_x + 5, 801), np.linspace(-5, 5, 401))
    under = np.hypot(x - axis_x, y) <= 5.0
    y_wall = np.linspace(-13.5, 13.5, 2001)
    x_wall = middle - np.sqrt(18**2 - y_wall**2)
    found = []
    for up in (1, -1):  # toward the far end, at smaller X, the axis rises or falls
        rise = -up * math.tan(lean)
        highest = (np.sqrt(13.5**2 - y[under] ** 2) / math.cos(lean) + rise * x[under]).max()
        lowest = (-np.sqrt(np.maximum(13.5**2 - y_wall**2, 0.0)) / math.cos(lean) + rise * x_wall).min()
        found.append(highest - lowest)
    short = 0.005 + 0.05 * math.tan(lean)  # the points stand off the hollow by the leave and by their divisions
    assert told[0] == pytest.approx(found[0], abs=short)
    assert told[-1] >= found[1] - short and told[-1] <= found[1] + 10 * math.tan(lean)


def test_holes_on_a_circle_stand_where_handbooks_put_them() -> None:
    # Common practice: six holes on a circle lie at the radius, its half and its half times the root of three.
    plan = front.solved("points", radius="40mm", side="on", points="6", cutter="6mm", depth="10mm")
    places = [(stop["x"], stop["y"]) for stop in plan["stops"]]
    high = 20 * math.sqrt(3)
    wanted = [(40, 0), (20, high), (-20, high), (-40, 0), (-20, -high), (20, -high)]
    assert all(math.dist(a, b) <= 0.0036 for a, b in zip(places, wanted, strict=True))  # half a division each way
    assert plan["result"]["off"] <= 0.0036


@pytest.mark.parametrize(
    "values",
    [
        HOLE,
        {**HOLE, "side": "outside", "span": "120deg", "begin": "200deg"},
        {"tube": "27mm", "onto": "36mm", **{k: HOLE[k] for k in ("cutter", "depth")}},
    ],
)
def test_every_point_is_come_up_to_the_working_way(values: dict[str, Any]) -> None:
    plan = recipes.job(
        recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "points": values})
    ).plan
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"radius": None}, "radius: is missing"),
        ({"cutter": "50mm"}, "does not fit into a radius"),
        ({"cutter": "8mm ball"}, "does not go with points"),
        ({"step": "60deg"}, "leaves metal between two points"),
        ({"points": "9"}, "does not go with points|does not go with step"),
        ({"tube": "30mm"}, "onto: is missing"),
        ({"tube": "40mm", "onto": "30mm", "radius": None, "side": None}, "must not be larger than onto"),
        ({"x-step": "1mm", "step": None}, "stays above or below its middle"),
        ({"span": "400deg"}, "is more than one turn"),
        ({"depth": None}, "depth: is missing"),
        ({"angle": "60deg"}, "angle = 60deg: does not go with an arc. Give begin and span, or tube and onto."),
        (
            {"tube": "30mm", "onto": "40mm", "radius": None, "side": None, "step": None, "centre-y": "3mm"},
            "centre-y = 3mm: does not go with a mitre. Leave one of them out.",
        ),
    ],
)
def test_what_cannot_be_is_said(values: dict[str, Any], words: str) -> None:
    with pytest.raises(StepcutError, match=words):
        front.solved("points", **{key: value for key, value in {**HOLE, **values}.items() if value is not None})


def test_the_chord_from_hole_to_hole_is_said_for_dividers() -> None:
    values = {"radius": "40mm", "side": "on", "points": "6", "cutter": "6mm", "depth": "10mm"}
    plan = recipes.job(
        recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "points": values})
    ).plan
    # Six steps of the dividers go round a circle of their own radius (Euclid, Elements, book IV, proposition 15).
    assert dict(card(plan, Heading(date="2026-01-01")).words.desk)["Chord"].startswith("40.000 mm")


def test_the_dry_run_goes_to_every_corner_of_the_line_and_not_from_its_first_point_to_its_last() -> None:
    # A hollow begins and ends at the same X: what lies between must be run past the clamps too.
    values = {"tube": "27mm", "onto": "36mm", "cutter": "8mm", "depth": "30mm"}
    plan = recipes.job(
        recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "points": values})
    ).plan
    places = front.solved("points", **values)["stops"]
    dry = next(what for what, _ in card(plan, Heading(date="2026-01-01")).words.set_up if what.startswith("Dry run"))
    told = [float(number) for number in re.findall(r"(-?[\d.]+) mm", dry)]
    wanted = [pick(stop[axis] for stop in places) for axis in ("x", "y") for pick in (min, max)]
    assert wanted[0] < wanted[1] and told == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize(
    ("begin", "span", "one_side"),
    [
        ("0deg", "180deg", True), ("180deg", "180deg", True), ("358deg", "2deg", True), ("179deg", "1deg", True),
        ("-2deg", "2deg", True), ("178deg", "4deg", False), ("359deg", "2deg", False), ("-1deg", "2deg", False), ("170deg", "10.5deg", False),
    ],
)  # fmt: skip
def test_moves_of_x_go_with_an_arc_that_does_not_cross_y_of_its_middle(begin: str, span: str, one_side: bool) -> None:
    """On a circle X turns back where Y is that of the middle, at 0 and at 180 degrees, and nowhere else."""
    arc = {
        "radius": "90mm",
        "side": "on",
        "cutter": "8mm",
        "depth": "1mm",
        "begin": begin,
        "span": span,
        "x-step": "1mm",
    }
    if one_side:
        places = front.solved("points", **arc)["stops"]
        assert len({math.copysign(1, stop["y"]) for stop in places if abs(stop["y"]) > 0.01}) <= 1
        return
    with pytest.raises(StepcutError, match="stays above or below its middle"):
        front.solved("points", **arc)


@pytest.mark.parametrize(("span", "begin", "end"), [("360deg", (1, 0), (1, 0)), ("90deg", (1, 0), (0, -1)), ("180deg", (1, 0), (-1, 0))])  # fmt: skip
def test_the_drawing_shows_the_line_from_its_beginning_to_its_end(
    span: str, begin: tuple[int, int], end: tuple[int, int]
) -> None:
    """Anticlockwise from where X grows, Y up the paper: from 3 o'clock to the quarter, the half or the whole of the turn."""
    content = {"stepcut": 1, "machine": "metric", "points": {**HOLE, "begin": "0deg", "span": span}}
    drawn = part(recipes.job(recipes.from_content(content)).plan).svg
    line = max(re.findall(r'<polyline points="([^"]+)"', drawn), key=len).split()
    places = [tuple(map(float, pair.split(","))) for pair in line]
    first, middle, last = places[0], places[len(places) // 2], places[-1]
    half = math.radians(float(span[:-3])) / 2
    # From three points of a circle: its radius by the chord to the middle one.
    radius = math.dist(first, middle) / (2 * math.sin(half / 2))
    way = (last[0] - first[0]) / radius, (last[1] - first[1]) / radius
    assert way == pytest.approx((end[0] - begin[0], end[1] - begin[1]), abs=0.01)


@pytest.mark.parametrize(("size", "apart"), [("8mm", False), ("1mm", True)])
def test_holes_that_do_not_touch_leave_no_ridge_and_the_card_says_so(size: str, apart: bool) -> None:
    """Round 21 mm by 10 degrees holes stand about 3 mm from each other."""
    content = {"stepcut": 1, "machine": "metric", "points": {**HOLE, "side": "on", "cutter": size}}
    desk = card(recipes.job(recipes.from_content(content)).plan, Heading(date="2026-01-01")).words.desk
    (ridge,) = [answer for what, answer in desk if what == "Ridge"]
    assert (ridge == "none: the cuts do not touch each other") is apart
    assert ridge.endswith(" between two points") is not apart


def test_two_points_too_go_in_the_way_in_which_x_grows() -> None:
    content = {
        "stepcut": 1,
        "machine": "metric",
        "points": {**HOLE, "cutter": "60mm", "radius": "31mm", "step": "90deg", "begin": "0deg", "span": "90deg"},
    }
    first, last = recipes.job(recipes.from_content(content)).plan.stops
    assert first.first < last.first


def test_all_points_are_drawn_on_the_paper_wherever_their_middle_lies() -> None:
    content = {"stepcut": 1, "machine": "metric", "points": {**HOLE, "centre-x": "150mm", "centre-y": "90mm"}}
    drawn = part(recipes.job(recipes.from_content(content)).plan)
    places = [(float(x), float(y)) for x, y in re.findall(r'<circle cx="(\S+)" cy="(\S+)"', drawn.svg)]
    xs, ys = zip(*places, strict=True)
    assert (min(xs) + max(xs)) / 2 == pytest.approx(drawn.width / 2, abs=0.5)
    assert (min(ys) + max(ys)) / 2 == pytest.approx(drawn.height / 2, abs=0.5)
