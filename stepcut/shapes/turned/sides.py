"""What a round-nosed tool must be ground to beside its nose, so that it touches nothing that stays.

Notes
-----
In the plane of the axis the nose is a circle of radius p round C, and each side of the tool a line that leaves it as a tangent, at an
angle A from the axis: 90 degrees is square to it.  A point P that stays lies at a distance d and an angle t over C, seen on that
side; it is clear of the line when d sin(A - t) >= p, so that A must be at least t + asin(p / d).  A shoulder whose height nobody
told asks for 90.  No outside source: derived here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.shapes.turned.bench import CutFlank, Turning
from stepcut.shapes.turned.edges import ArcEdge, Edge
from stepcut.shapes.turned.wanted import Flank

LOOKED_AT = 120  # cuts of a flank at most: between two that follow each other the angle hardly changes
ALONG = 60  # places on an arc
HAIR = 1e-3  # degrees


class Sides(Struct, frozen=True):
    """The angles that a tool needs beside its nose, degrees from the axis; 0 where anything does.

    Parameters
    ----------
    headstock, tailstock : float
        Of the edge on that side.
    """

    headstock: float = 0.0
    tailstock: float = 0.0


def sides_of(solved: Iterable[CutFlank], turning: Turning) -> Sides | None:
    """Return what the tool needs on both sides; None for a square tool, a bore, or a cutter on the mill.

    Raises
    ------
    Refused
        When an edge whose angle was told would touch what stays.
    """
    if turning.cutter.kind != "round" or turning.where != "lathe":
        return None
    nose, headstock, tailstock = float(turning.cutter.radius), 0.0, 0.0
    for each in solved:
        if each.flank.side == "bore":
            return None
        points, wall = tuple(_points(each.flank, float(turning.leave or 0))), each.flank.behind == "wall"
        if each.places and each.flank.behind == "tangent":  # the slope goes on
            headstock = max(headstock, math.degrees(math.atan(each.flank.wanted.slope(0.0))))
        every = max(1, len(each.places) // LOOKED_AT)
        for place in each.places[::every]:
            leading = each.flank.z_at(place.at)
            z, r = leading - nose, each.flank.radius_of(place.depth) + nose
            near_wall = wall and each.flank.z_at(0.0) - leading < 2 * nose
            headstock = max(
                headstock, 90.0 if near_wall else 0.0, _needed(((pz - z, pr - r) for pz, pr in points), nose)
            )
            tailstock = max(tailstock, _needed(((z - pz, pr - r) for pz, pr in points), nose))
    found = Sides(headstock, tailstock)
    _refuse(found, turning)
    return found


def _needed(points: Iterable[tuple[float, float]], nose: float) -> float:
    """Return the least angle of an edge that keeps clear of points, each as seen from the middle of the nose on the edge's side."""
    most = 0.0
    for along, up in points:
        if along > 0.0:
            away = math.hypot(along, up)
            most = max(most, math.degrees(math.atan2(up, along) + math.asin(min(1.0, nose / away))))
    return most


def _points(flank: Flank, leave: float) -> Iterator[tuple[float, float]]:
    """Yield places of the stock line of a flank and of what stays beyond its low end, as z and radius, mm."""
    edges: list[tuple[float, Edge]] = [(0.0, edge) for edge in (*flank.edges, *flank.near)]
    edges += [(flank.wanted.span, edge) for edge in flank.rest]
    for shift, edge in edges:
        count = ALONG if isinstance(edge, ArcEdge) else 1
        for k in range(count + 1):
            x = edge.x0 + (edge.x1 - edge.x0) * k / count
            depth = edge.depth(x) if isinstance(edge, ArcEdge) else (edge.y0, edge.y1)[k]
            yield flank.z_at(shift + x), flank.radius_of(depth) + leave


def _refuse(found: Sides, turning: Turning) -> None:
    """Refuse an edge that stands too slanted."""
    for key, has, needs in (
        ("headstock-edge", turning.headstock_edge, found.headstock),
        ("tailstock-edge", turning.tailstock_edge, found.tailstock),
    ):
        if has is not None and float(has) < needs - HAIR:
            raise Refused(key, "edge-fouls", has=has, needs=needs, side=key.partition("-")[0])


def whole(angle: float) -> int:
    """Return an angle with half a degree to spare, up to the next whole one: as well as a tool is ground by hand.

    Examples
    --------
    >>> whole(89.9), whole(13.2), whole(12.7)
    (90, 14, 14)
    """
    return math.ceil(min(angle + 0.5, max(90.0, angle)) - HAIR)
