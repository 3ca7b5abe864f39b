"""The model of a whole cam itself, against answers by hand and against polygons of a general geometry library."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from shapely import LineString, Point, Polygon, affinity, box, unary_union

from tests.outside import front, whole_cam, whole_part
from tests.outside.compared import disagreements


def by_hand(
    segments: list[list[Any]], cuts: list[tuple[float, float]], *, base: float = 20.0, cutter: float = 10.0, approach: str = "end",
    leave: float = 0.0, **more: Any,
) -> dict[str, Any]:  # fmt: skip
    stops = [{"n": n, "start": 1, "table": at, "radius": radius} for n, (at, radius) in enumerate(cuts, 1)]
    return {
        "shape": "cam", "target": {"base_radius": base, "segments": segments}, "cutter": {"kind": "flat", "diameter": cutter},
        "approach": approach, "leave": leave, "stops": stops, "remarks": [], "result": {}, "sweeps": [], **more,
    }  # fmt: skip


ROUND = [["dwell", 360.0, 0.0, "uniform"]]


def test_flats_round_a_circle_are_a_polygon() -> None:
    seen = whole_cam.see(by_hand(ROUND, [(10.0 * k, 20.0) for k in range(36)]))
    assert seen.gouge == pytest.approx(0, abs=1e-9)
    assert seen.scallop == pytest.approx(20 / math.cos(math.radians(5)) - 20, abs=1e-7)
    polygon = 36 * 20**2 * math.tan(math.radians(5))  # area about an inscribed circle
    assert seen.volume == pytest.approx(polygon - math.pi * 400, rel=1e-6)


def test_the_side_leaves_the_cusp_between_two_circles() -> None:
    seen = whole_cam.see(by_hand(ROUND, [(10.0 * k, 20.0) for k in range(36)], approach="side"))
    away, half = 25.0, math.radians(5)
    cusp = away * math.cos(half) - math.sqrt(25 - (away * math.sin(half)) ** 2)
    assert seen.scallop == pytest.approx(cusp - 20, abs=1e-7)


def test_a_sweep_leaves_nothing_and_a_blank_bounds_what_is_left() -> None:
    swept = by_hand([["dwell", 300.0, 0.0, "uniform"]], [(0.0, 20.0), (300.0, 20.0)]) | {"sweeps": [[0, 1]]}
    assert whole_cam.see(swept).stock_max == pytest.approx(0, abs=1e-9)
    acts = [{"act": "turn", "axis": "table", "to": 0.0}, {"act": "cut", "stop": 2, "axis": "table", "to": 300.0}]
    told = {key: value for key, value in swept.items() if key != "sweeps"} | {"acts": acts}
    assert whole_cam.see(told).stock_max == pytest.approx(0, abs=1e-9)
    seen = whole_cam.see(by_hand(ROUND, [(0.0, 20.0)], blank=44.0))
    assert seen.stock_max == pytest.approx(2.0)


def test_the_first_flat_of_an_open_cam_reaches_back_over_its_gap() -> None:
    # A spiral of one pressure angle over 350 degrees; the flat of its low end stands 5 mm to either side of the axis.
    seen = whole_cam.see(by_hand([["spiral", 350.0, 2.0, "uniform"]], [(0.0, 20.0)]))
    # The cut ends 20.6 mm from the middle, inside of the high end.
    assert seen.gouge == pytest.approx(22 - 20 / math.cos(math.radians(10)), abs=1e-5)
    assert "350" in seen.where


def test_an_eccentric_is_a_circle_off_its_axis() -> None:
    rim = whole_cam.Rim({"base_radius": 15.0, "segments": [["eccentric", 360.0, 2.0, "uniform"]]})
    phi = np.linspace(0, 360, 97)
    circle = Point(2.0, 0.0).buffer(17.0, quad_segs=4000).exterior
    radius = rim.radius(phi)
    for r, at in zip(radius, np.radians(phi), strict=True):
        assert circle.distance(Point(-r * math.cos(at), r * math.sin(at))) < 1e-5


@pytest.mark.parametrize("approach", ["end", "side"])
def test_rays_see_what_polygons_see(approach: str) -> None:
    segments = [["rise", 120.0, 3.0, "harmonic"], ["dwell", 60.0, 0.0, "uniform"], ["fall", 180.0, 3.0, "cycloidal"]]
    rim = whole_cam.Rim({"base_radius": 18.0, "segments": segments})
    at = np.arange(0.0, 360.0, 6.0)
    cuts = [
        (float(t), float(r) + 0.2 * math.sin(7 * k)) for k, (t, r) in enumerate(zip(at, rim.radius(at), strict=True))
    ]
    plan = by_hand(segments, cuts, base=18.0, cutter=9.0, approach=approach, blank=46.0)
    cam = whole_cam.Cam(plan)
    tools = []
    for turn, height in cuts:
        way_in = LineString([(height + 4.5, 0), (60, 0)])  # fed straight in, from clear of the blank
        tool = way_in.buffer(4.5, quad_segs=2000) if approach == "side" else box(height, -4.5, 60, 4.5)
        tools.append(affinity.rotate(tool, turn, origin=(0, 0)))
    left = Point(0, 0).buffer(23.0, quad_segs=4000) - unary_union(tools)
    middle = next(part for part in getattr(left, "geoms", [left]) if part.contains(Point(0, 0)))
    for phi in np.arange(0.37, 360, 3.1):
        ray = LineString([(0, 0), (40 * math.cos(math.radians(phi)), 40 * math.sin(math.radians(phi)))])
        first = Point(0, 0).distance(ray.intersection(middle.exterior))
        assert float(cam.cut(np.array([phi]))[0]) == pytest.approx(first, abs=2e-5)
    angles = np.radians(np.linspace(0, 360, 20_001))
    rim_polygon = Polygon(
        np.c_[rim.radius(np.degrees(angles)) * np.cos(angles), rim.radius(np.degrees(angles)) * np.sin(angles)]
    )
    assert whole_cam.see(plan).volume == pytest.approx(left.area - rim_polygon.area, rel=2e-4)


@pytest.mark.parametrize("approach", ["end", "side"])
def test_what_stands_beyond_the_cuts_is_what_polygons_leave(approach: str) -> None:
    """Cuts 8 degrees apart with a cutter of 3 mm: on a blank of 30 mm radius they lie 4.2 mm apart, and fins stand between."""
    values = {
        "base": "15mm",
        "segments": ["rise 3mm in 90deg", "dwell 60deg", "fall 3mm in 90deg", "dwell 120deg"],
        "leave": "0.1mm",
    }
    plan = front.solved(
        "cam", machine="metric", **values, cutter="3mm", step="8deg", blank="60mm", **{"cut-with": approach}
    )
    tools = []
    ends = {sweep["from"]: plan["stops"][sweep["to"] - 1]["table"] for sweep in plan["sweeps"]}
    for stop in plan["stops"]:
        height, last = stop["radius"], ends.get(stop["n"], stop["table"])
        way_in = LineString([(height + 1.5, 0), (40, 0)])
        tool = way_in.buffer(1.5, quad_segs=60) if approach == "side" else box(height, -1.5, 40, 1.5)
        turns = np.linspace(stop["table"], last, 1 + round((last - stop["table"]) * 10))
        tools += [affinity.rotate(tool, turn, origin=(0, 0)) for turn in turns]
    left = Point(0, 0).buffer(30.0, quad_segs=2000) - unary_union(tools)
    rim = whole_cam.Rim(plan["target"])
    at = np.linspace(0, 360, 7201)
    wanted = Polygon(np.c_[rim.radius(at) * np.cos(np.radians(at)), rim.radius(at) * np.sin(np.radians(at))])
    for true in (plan["result"]["volume"], whole_cam.see(plan).volume):
        assert true == pytest.approx(left.area - wanted.area, rel=3e-3)
    assert plan["result"]["stock_max"] == pytest.approx(
        15.0, abs=0.2
    )  # a fin stands on the blank's radius over the base
    assert disagreements(plan, whole_part.see(plan)) == []
