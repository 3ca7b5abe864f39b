"""Cutters seen from above and in profile, against shapely's strips and circles: where they reach, how high they stand."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from stepcut.kernel.footprints import Lateral, Plunge, Straight
from stepcut.machine import Outline

FINE = 1024  # segments of a quarter circle


def angles(shape: BaseGeometry) -> tuple[float, float]:
    """Least and greatest polar angle of a shape, degrees."""
    if shape.is_empty:
        return math.nan, math.nan
    parts = getattr(shape, "geoms", [shape])
    xy = np.vstack([np.array((part.exterior if isinstance(part, Polygon) else part).coords) for part in parts])
    found = np.degrees(np.arctan2(xy[:, 1], xy[:, 0]))
    return float(found.min()), float(found.max())


def ring(bore: float, outside: float) -> Polygon:
    return Point(0, 0).buffer(outside, FINE).difference(Point(0, 0).buffer(bore, FINE))


def from_above(foot: Lateral | Plunge, half: float) -> BaseGeometry:
    """What lies within a distance of the axis: a strip along the radial line, or a disc over the middle of the wall."""
    if isinstance(foot, Lateral):
        return box(0.0, foot.offset - half, 1000.0, foot.offset + half)
    return Point(foot.middle, foot.offset).buffer(half, FINE)


@lru_cache(maxsize=4)
def profile(outline: Outline) -> BaseGeometry:
    """A drawing of the end: two round corners and the metal between."""
    flat = outline.radius - outline.corner
    section = box(-flat, 0.0, flat, 99.0).union(box(-outline.radius, outline.corner, outline.radius, 99.0))
    for side in (-flat, flat):
        section = section.union(Point(side, outline.corner).buffer(outline.corner, FINE)) if outline.corner else section
    return section


def height_in_profile(outline: Outline, distance: float) -> float:
    """Height of the end over its lowest point."""
    section = profile(outline)
    return float(LineString([(distance, -1.0), (distance, 50.0)]).intersection(section).bounds[1])


def feet(kind: type[Lateral] | type[Plunge]) -> Iterator[Lateral | Plunge]:
    chance = random.Random(f"feet {kind.__name__}")  # noqa: S311  # repeatable cases, not secrets
    for case in range(6):
        bore = chance.uniform(8, 30)
        radius = chance.uniform(1.0, 0.45 * bore)
        corner = (0.0, radius, radius * chance.uniform(0.1, 0.9))[case % 3]
        behind = chance.choice([0.0, radius, radius * chance.uniform(0.3, 1.2)])
        yield kind(Outline(radius, corner), behind, bore, bore + chance.uniform(1, 8))


@pytest.mark.parametrize("kind", [Lateral, Plunge])
def test_the_whole_cutter_and_its_flat_lie_where_they_are_seen_from_above(kind: type[Lateral] | type[Plunge]) -> None:
    for foot in feet(kind):
        wall = ring(foot.bore, foot.outside)
        assert foot.window == pytest.approx(angles(wall & from_above(foot, foot.outline.radius)), abs=1e-4)
        if foot.flat > 0.01:
            assert foot.level == pytest.approx(angles(wall & from_above(foot, foot.flat)), abs=1e-4)
            begins = [angles(Point(0, 0).buffer(r, FINE).exterior & from_above(foot, foot.flat) & box(0, -99, 99, 99))[0]
                      for r in np.linspace(foot.bore, foot.outside, 7)]  # fmt: skip
            if not np.isnan(begins).any():
                assert foot.begins == pytest.approx(max(begins), abs=1e-4)


@pytest.mark.parametrize("kind", [Lateral, Plunge])
def test_a_cutter_is_as_high_beside_its_axis_as_in_profile(kind: type[Lateral] | type[Plunge]) -> None:
    for foot in feet(kind):
        axis = LineString([(0, foot.offset), (99, foot.offset)]) if kind is Lateral else Point(foot.middle, foot.offset)
        low, high = foot.window
        for share in (0.03, 0.2, 0.5, 0.77, 0.97):
            offset = low + share * (high - low)
            turn = math.radians(offset)
            radii = (foot.bore, (foot.bore + foot.outside) / 2, foot.outside)
            for radius in radii:
                apart = Point(radius * math.cos(turn), radius * math.sin(turn)).distance(axis)
                if apart > foot.outline.radius:
                    assert foot.relief(radius, offset) == math.inf
                elif apart < 0.99 * foot.outline.radius:
                    assert foot.relief(radius, offset) == pytest.approx(
                        height_in_profile(foot.outline, apart), abs=1e-4
                    )
            line = LineString([(r * math.cos(turn), r * math.sin(turn)) for r in (foot.bore, foot.outside)])
            nearest = line.distance(axis)
            if nearest < 0.99 * foot.outline.radius:
                assert foot.least(offset) == pytest.approx(height_in_profile(foot.outline, nearest), abs=1e-4)


@pytest.mark.parametrize("kind", [Lateral, Plunge])
def test_a_cutter_is_lower_than_a_height_just_between_the_ends_of_its_extent(
    kind: type[Lateral] | type[Plunge],
) -> None:
    for foot in feet(kind):
        for height in (0.05, 0.3, 0.8):
            for radius in (foot.bore, foot.outside):
                found = foot.extent(radius, height)
                if found is None:
                    around = np.linspace(-90, 90, 2001)
                    assert min(foot.relief(radius, float(at)) for at in around) >= height
                    continue
                low, high = found
                hair = 1e-6
                assert foot.relief(radius, low + hair) <= height
                assert foot.relief(radius, high - hair) <= height
                # Just beyond, the end has risen above the height, or there is no cutter at all.
                assert foot.relief(radius, low - hair) > height - 1e-4
                assert foot.relief(radius, high + hair) > height - 1e-4


def test_a_cutter_that_comes_from_one_side_does_not_reach_across_the_bore() -> None:
    foot = Lateral(Outline(3.0, 0.0), 3.0, 10.0, 14.0)
    assert foot.relief(12.0, 0.0) == 0.0
    assert foot.relief(12.0, 180.0) == foot.relief(12.0, -180.0) == foot.relief(12.0, 90.0) == math.inf


def test_a_plunged_cutter_may_leave_an_edge_of_the_wall_alone() -> None:
    foot = Plunge(Outline(1.0, 0.0), 1.0, 10.0, 14.0)  # 2 mm wide over the middle of a wall of 4 mm
    assert foot.extent(10.0, 0.5) is None
    assert foot.extent(14.0, 0.5) is None
    assert foot.extent(12.0, 0.5) is not None
    assert foot.unit(12.0) == pytest.approx(2 * math.pi * 12.0 / 360)  # mm for each degree


def test_a_tool_beside_a_slide_lies_where_its_nose_does() -> None:
    square, nosed = Straight(Outline(2.0, 0.0)), Straight(Outline(2.0, 0.5), offset=-2.0)
    assert (square.window, square.level, square.begins) == ((-2.0, 2.0), (-2.0, 2.0), -2.0)
    assert (nosed.window, nosed.level, nosed.begins) == ((-4.0, 0.0), (-3.5, -0.5), -3.5)
    assert (nosed.relief(0.0, -2.0), nosed.relief(7.0, 0.0), nosed.least(0.1)) == (0.0, 0.5, math.inf)
    for at in (-3.9, -3.6, -1.0, -0.2):
        assert (
            nosed.least(at)
            == nosed.relief(1.0, at)
            == pytest.approx(height_in_profile(nosed.outline, abs(at + 2)), abs=1e-5)
        )
    low, high = nosed.extent(0.0, 0.2)
    assert [nosed.relief(0.0, at) for at in (low, high)] == pytest.approx([0.2, 0.2])
    assert (nosed.unit(5.0), nosed.extent(0.0, 9.0)) == (1.0, (-4.0, 0.0))
