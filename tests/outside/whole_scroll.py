"""Flat spiral grooves of a whole disc, cut by every position of a plan: circles and strips in shapely, from the JSON alone.

What is wanted is what the cutter would take if it ran along its spiral without a stop: at every height a strip about a line of
close points.  What the strip has and no circle of a position covers is still to file.  By how much
circles reach out of it is `off`, which a groove as narrow as its cutter cannot help; what takes the land between turns is a gouge.
The ridge is the point of that metal that stands farthest from the wall and floor of the running cutter at the depth that was cut.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely import LineString, Point

from tests.outside.seen import Seen


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """The figures of the whole disc: one groove is looked at, all are alike but for the table's divisions."""
    coarse = _seen(plan, 16, 4)
    return coarse if fast else _seen(plan, 48, 8).compared(coarse)


def _seen(plan: Mapping[str, Any], arcs: int, levels: int) -> Seen:
    target, cutter = plan["target"], plan["cutter"]
    half, ball = cutter["diameter"] / 2, cutter["kind"] == "ball"
    depths = {round(act["to"], 9) for act in plan["acts"] if act["act"] == "cut" and act["axis"] == "depth"}
    deep, wanted = max(depths), target["depth"]
    over = wanted - deep
    stops = [stop for stop in plan["stops"] if stop["start"] == 1]
    places = np.array([[np.radians(stop["table"]), stop["x"]] for stop in stops])
    centres = np.c_[places[:, 1] * np.cos(places[:, 0]), places[:, 1] * np.sin(places[:, 0])]
    turns = np.linspace(0, places[-1, 0], int(np.degrees(places[-1, 0]) * 6) * arcs // 16)
    out = target["begin"] + target["pitch"] * turns / (2 * np.pi)
    path = LineString(np.c_[out * np.cos(turns), out * np.sin(turns)])

    def wide(up: float) -> float:
        if up < 0:
            return 0.0
        return float(np.sqrt(max(0.0, half**2 - max(0.0, half - up) ** 2))) if ball else half

    def left(strip: float, circle: float) -> Any:
        stands = path.buffer(strip, quad_segs=arcs)
        if circle <= 0:
            return stands
        # a polygon within a circle is smaller: the radius at which both have the same area
        n = 8 * arcs
        fair = circle * np.sqrt(2 * np.pi / n / np.sin(2 * np.pi / n))
        return stands.difference(shapely.union_all(shapely.buffer(shapely.points(centres), fair, quad_segs=2 * arcs)))

    # volume by heights that stand close where a ball is narrow
    nodes, weights = np.polynomial.legendre.leggauss(levels)
    share = (nodes + 1) / 2
    volume = 0.0
    ends = np.linalg.norm(np.diff(centres, axis=0), axis=1)
    saddles = (
        [over + half - float(np.sqrt(half**2 - (end / 2) ** 2)) for end in (ends.min(), ends.max())] if ball else []
    )
    marks = sorted({0.0, over, wanted, *(mark for mark in (*saddles, half, half + over) if mark < wanted and ball)})
    for low, high in itertools.pairwise(marks):
        if not ball:
            volume += (high - low) * left(half, wide((low + high) / 2 - over)).area
            continue
        for x, weight in zip(share, weights / 2, strict=True):
            up = low + (high - low) * x * x
            volume += weight * 2 * x * (high - low) * left(wide(up), wide(up - over)).area

    # ridges: corners between neighbouring circles, and the saddle between two balls
    top = wide(deep)
    corners = shapely.get_coordinates(left(top, top))
    near, _ = cKDTree(centres).query(corners, 2)
    inner = corners[np.abs(near - top).max(axis=1) < 1e-3 * top]  # where two circles meet
    asides = shapely.distance(shapely.points(inner), path) if len(inner) else np.zeros(0)
    up = max(0.0, half - deep) if ball else 0.0
    wall = float(half - np.hypot(asides, up).min()) if len(asides) else 0.0
    saddle = float(half - np.sqrt(half**2 - (ends.max() / 2) ** 2)) if ball else 0.0
    mean = 0.0
    if ball:
        along = np.linspace(-0.5, 0.5, 2001)[:, None] * ends
        mean = float(np.average((half - np.sqrt(half**2 - along**2)).mean(axis=0), weights=ends))
    off = float(max(shapely.distance(shapely.points(centres), path)))
    land = _overlap(path, top, target) - 2 * off
    return Seen(
        gouge=max(-over, -land),
        where=f"floor {-over:.4f} mm below the wanted one, land between the turns {land:.4f} mm",
        scallop=max(wall, saddle),
        stock_min=over, stock_mean=over + mean, stock_max=over + saddle,
        volume=volume * target["starts"],
        more={"wall_ridge": wall, "floor_ridge": saddle, "area": path.length * 2 * top,
              "off": off},  # a circle is out of the strip by as much as its middle is off the spiral
    )  # fmt: skip


def _overlap(path: LineString, top: float, target: Mapping[str, Any]) -> float:
    """How near the groove comes to itself one turn on, less its width, mm: the land; infinite with less than a turn."""
    points = shapely.get_coordinates(path)
    angle = np.unwrap(np.arctan2(points[:, 1], points[:, 0]))
    apart = 2 * np.pi / target["starts"]
    if target["starts"] > 1:
        turn = np.array([[np.cos(apart), -np.sin(apart)], [np.sin(apart), np.cos(apart)]])
        return float(path.distance(LineString(points @ turn.T)) - 2 * top)
    if angle[-1] - angle[0] <= 2 * np.pi:
        return float("inf")
    first = Point(points[0])
    later = points[angle > angle[0] + np.pi]
    return float(first.distance(LineString(later)) - 2 * top)
