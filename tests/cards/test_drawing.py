"""Drawings are to the scale that they say, and the file map shows what stands where."""

from __future__ import annotations

import re
from itertools import pairwise
from math import atan2, degrees, hypot, pi

import pytest

from stepcut import recipes
from stepcut.cards import draw_ring, drawing
from stepcut.cards.draw_map import BANDS, stands
from stepcut.cli import show
from stepcut.plan import Plan
from tests.shops import each_kind


def plan_of(name: str, **sets: str) -> Plan:
    return show.solved(recipes.job(recipes.load(name).resized(sets)))


def said_scale(says: str) -> float:
    """The scale that a drawing's caption says, as a factor."""
    if says.startswith("full size"):
        return 1.0
    found = re.match(r"scale ([\d.]+):([\d.]+)", says)
    assert found
    return float(found[1]) / float(found[2])


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", "gauge-board-ramp-on-edge", "winch-dog-plunged"])
def test_the_ring_is_as_large_as_its_scale_says(name: str) -> None:
    plan = plan_of(name)
    made = drawing.part(plan)
    assert made is not None
    radii = [float(r) for r in re.findall(r'<circle [^>]* r="([\d.]+)"', made.svg)]
    for key in ("outside_diameter", "inside_diameter"):
        assert min(abs(r - plan.target[key] / 2 * said_scale(made.says)) for r in radii) < 0.02


def test_the_deepest_field_lies_against_the_turning() -> None:
    """What turns clockwise to the cutter at 3 o'clock stood anticlockwise of it: fields go darker that way."""
    for sets, sign in (({}, 1), ({"tightens": "anticlockwise"}, -1)):
        plan = plan_of("sluice-clamp-ramp", **sets)
        made = drawing.part(plan)
        assert made is not None
        shades = re.findall(r'<polygon points="([^"]+)" fill="#([0-9a-f]{2})', made.svg)
        first = [(points.split()[0], int(shade, 16)) for points, shade in shades[:14]]
        bearings = []
        for point, _ in first:
            x, y = (float(part) for part in point.split(","))
            bearings.append(degrees(atan2(draw_ring.MIDDLE[1] - y, x - draw_ring.MIDDLE[0])) * sign % 360)
        assert bearings == sorted(bearings)
        assert bearings[0] == pytest.approx(float(plan.first.value(plan.stops[0].first)), abs=0.1)
        greys = [shade for _, shade in first]
        assert greys == sorted(greys, reverse=True)


def test_a_groove_unrolled_has_its_length_and_its_girth() -> None:
    plan = plan_of("oil-groove-helix")
    made = drawing.part(plan)
    assert made is not None
    box = re.search(r'<polygon points="([^"]+)"', made.svg)
    assert box
    corners = [tuple(map(float, point.split(","))) for point in box[1].split()]
    wide, tall = (
        max(x for x, _ in corners) - min(x for x, _ in corners),
        max(y for _, y in corners) - min(y for _, y in corners),
    )
    scale = said_scale(made.says)
    assert wide == pytest.approx(plan.target["length"] * scale, abs=0.02)
    assert tall == pytest.approx(pi * plan.target["diameter"] * scale, abs=0.02)


def test_the_profile_is_as_thick_as_its_scale_says() -> None:
    made = drawing.part(plan_of("lever-ball-knob"))
    assert made is not None
    lines = re.findall(r'<polyline points="([^"]+)" fill="none" stroke="#000" stroke-width="0.5"', made.svg)
    ys = [float(point.split(",")[1]) for line in lines for point in line.split()]
    assert max(ys) - min(ys) == pytest.approx(25.4 * said_scale(made.says), abs=0.05)  # a ball of 1/2 in radius


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", "lever-ball-knob", "tension-release-cam", "bollard-pin-taper"])
def test_the_map_shows_where_most_stands(name: str) -> None:
    """The stretch that is said is the one that is drawn, and the darkest band holds the most that was measured."""
    plan = plan_of(name)
    assert plan.picture is not None
    made = drawing.file_map(plan, "mm")
    assert made is not None
    heights = re.search(r"height x ([\d.]+)", made.svg)
    assert heights
    cut, wanted = (re.findall(r'<polyline points="([^"]+)"', made.svg)[k].split() for k in (0, 1))
    xs, ys = zip(*(map(float, point.split(",")) for point in wanted), strict=True)
    girth = plan.picture.radius * pi / 180 if plan.first.angular and plan.picture.radius else 1.0
    if plan.picture.radius or not plan.first.angular:
        long = (plan.picture.wanted[-1][0] - plan.picture.wanted[0][0]) * girth
        depths = [depth for _, depth in plan.picture.wanted]
        drawn = (max(ys) - min(ys)) / (max(xs) - min(xs))
        assert drawn == pytest.approx((max(depths) - min(depths)) / long * float(heights[1]), rel=0.02)
    assert len(cut) > len(plan.stops) / plan.copies
    square = not plan.first.angular
    most = max(max(stands(each, each.cut, square=square)) for each in (plan.picture, *plan.picture.more))
    assert most <= plan.result.stock_max * 1.5 + 1e-6
    edges = [float(n) for n in re.findall(r">(\d\.\d{3})<", made.svg)]
    assert len(edges) == len(BANDS)
    assert edges == sorted(edges)
    assert edges[-1] >= most - 1e-3
    assert all(shade in made.svg for shade in BANDS)


@pytest.mark.parametrize(
    ("name", "deepest", "inside"), [("crank-face-ratchet", 2.4, False), ("spring-preload-collar", 5.0, True)]
)
def test_an_upright_face_is_drawn_upright_and_what_stands_is_counted_from_the_foot(
    name: str, deepest: float, inside: bool
) -> None:
    """The wanted line reaches the depth of the recipe, rises at one place, and nowhere lies above what is cut."""
    picture = plan_of(name).picture
    assert picture is not None
    assert max(depth for _, depth in picture.wanted) == deepest
    upright = [a for (a, da), (b, db) in pairwise(picture.wanted) if a == b and da != db]
    # The line ends at its deepest; a riser there stands where the next ramp begins and is no part of it.
    assert (bool(upright), picture.wanted[-1][1]) == (inside, deepest)
    assert min(stands(picture, picture.cut)) >= -1e-6


def clashes(svg: str) -> list[tuple[str, str]]:
    """Words of a drawing that stand on each other, by the boxes of their letters (DejaVu Sans Mono: 0.602 wide, 0.73 high)."""
    found = re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]+)<', svg)
    boxes = [(float(x), float(y), float(x) + len(words) * 3.2 * 0.602, words) for x, y, words in found]
    return [
        (a[3], b[3])
        for k, a in enumerate(boxes)
        for b in boxes[k + 1 :]
        if a[0] < b[2] and b[0] < a[2] and abs(a[1] - b[1]) < 3.2 * 0.73
    ]


# Lines and points, and grooves whose wall is no one line, leave no stair to map; nor does a taper by whole cones.
WITHOUT_MAP = {"helix", "scroll", "points", "divide", "rule"}


@pytest.mark.parametrize("name", each_kind())
def test_no_words_of_a_drawing_stand_on_each_other(name: str) -> None:
    plan = plan_of(name)
    made = {"part": drawing.part(plan), "map": drawing.file_map(plan, "in")}
    assert made["part"] is not None
    assert (made["map"] is None) == (plan.coned or plan.shape in WITHOUT_MAP)
    for each in made.values():
        assert each is None or clashes(each.svg) == []


@pytest.mark.parametrize("tightens", ["clockwise", "anticlockwise"])
@pytest.mark.parametrize(("outside", "bore"), [("1-3/4in", "0.7in"), ("1-3/4in", "1.4in"), ("3-1/5in", "1.9in")])
def test_high_and_low_of_every_ring_stand_clear_of_rim_0_and_of_each_other(
    tightens: str, outside: str, bore: str
) -> None:
    for ramps in (1, 2, 3, 4):
        sets = {"outside": outside, "bore": bore, "ramps": str(ramps), "span": f"{252 // ramps}deg", "step": "4deg"}
        made = drawing.part(plan_of("sluice-clamp-ramp", **sets, tightens=tightens, cutter="1/4in"))
        assert made is not None
        assert clashes(made.svg) == [], ramps
        assert [f"HIGH {n}" in made.svg for n in range(1, ramps + 1)] == [True] * ramps


def test_every_flank_of_a_ball_has_its_map_and_none_stands_higher_than_the_ridge_that_is_said() -> None:
    """Square to the surface what stands is the ridge, 0.2 mm here; along the radius it is many times that at the pole."""
    plan = plan_of("lever-ball-knob", leave="0in")
    assert plan.picture is not None
    made = drawing.file_map(plan, "mm")
    assert made is not None
    assert [f"CORNER {n}" in made.svg for n in (1, 2, 3)] == [True, True, False]
    edges = [float(n) for n in re.findall(r">(\d\.\d{3})<", made.svg)]
    assert edges[-1] == pytest.approx(plan.result.scallop + float(plan.leave), rel=0.05)
    assert max(stands(plan.picture, plan.picture.cut)) > 5 * edges[-1]


@pytest.mark.parametrize("name", ["moulding-plane-cap-cam", "feed-pump-valve-cam"])
def test_the_side_of_the_cutter_is_drawn_over_its_cam(name: str) -> None:
    """Its lowest point stands on the rim at the first cut, above the middle."""
    plan = plan_of(name)
    made = drawing.part(plan)
    assert made is not None
    line = re.findall(
        r'<polyline points="([^"]+)" fill="none" stroke="#000" stroke-width="0.4" stroke-dasharray', made.svg
    )[0]
    points = [tuple(map(float, point.split(","))) for point in line.split()]
    lowest = max(points, key=lambda point: point[1])
    height = float(plan.second.value(plan.stops[0].second)) * said_scale(made.says)
    assert lowest[0] == pytest.approx(draw_ring.MIDDLE[0], abs=1.0)
    assert lowest[1] == pytest.approx(draw_ring.MIDDLE[1] - height, abs=0.1)


@pytest.mark.long
def test_no_letter_of_a_drawing_leaves_it() -> None:
    for path in recipes.shipped():
        plan = plan_of(path.stem)
        for made in (drawing.part(plan), drawing.file_map(plan, "in")):
            if made is None:
                continue
            for x, y, words in re.findall(r'<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]+)<', made.svg):
                assert float(x) >= 0
                assert float(x) + len(words) * 3.2 * 0.602 <= made.width + 0.05
                assert 3.2 <= float(y) <= made.height
            assert hypot(made.width, made.height) < 130
