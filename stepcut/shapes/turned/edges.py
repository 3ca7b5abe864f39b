"""Edges of a turned flank in the plane of the axis: straight ones and arcs, and how far a point stands from them.

x is the coordinate along the flank, mm; y is the depth into the metal, mm, so that the metal lies where y is larger.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from functools import cached_property

from msgspec import Struct

from stepcut.kernel.line import Stretch, straight


class StraightEdge(Struct, frozen=True):
    """An edge from one point to another; one that stands upright is a riser: two depths at one place."""

    x0: float
    y0: float
    x1: float
    y1: float

    def stretch(self) -> Stretch:
        """Return the edge as a stretch of a line."""
        return straight(self.x0, self.x1, self.y0, self.y1)

    def distance(self, x: float, y: float) -> float:
        """Return the distance of a point from the edge, mm."""
        dx, dy = self.x1 - self.x0, self.y1 - self.y0
        length = dx * dx + dy * dy
        share = ((x - self.x0) * dx + (y - self.y0) * dy) / length if length else 0.0
        share = min(max(share, 0.0), 1.0)
        return math.hypot(x - self.x0 - share * dx, y - self.y0 - share * dy)


class ArcEdge(Struct, frozen=True, dict=True):
    """Part of a circle, over which the depth grows.

    Parameters
    ----------
    x0, x1 : float
        Where it begins and ends, mm.
    centre_x, centre_y, radius : float
        The circle, mm.
    hollow : bool
        Whether the centre lies outside of the metal: a fillet or a cove, and not a ball.
    """

    x0: float
    x1: float
    centre_x: float
    centre_y: float
    radius: float
    hollow: bool

    @property
    def _side(self) -> float:
        """Which way the arc lies from its centre: deeper for a hollow one."""
        return 1.0 if self.hollow else -1.0

    @cached_property
    def y0(self) -> float:
        """Depth where it begins, mm."""
        return self.depth(self.x0)

    @cached_property
    def y1(self) -> float:
        """Depth where it ends, mm."""
        return self.depth(self.x1)

    def depth(self, x: float) -> float:
        """Return the depth at a coordinate, mm."""
        along = x - self.centre_x
        return self.centre_y + self._side * math.sqrt(max(0.0, self.radius * self.radius - along * along))

    def slope(self, x: float) -> float:
        """Return how fast the depth grows; where the arc stands upright, a very large number."""
        along = x - self.centre_x
        high = math.sqrt(max(1e-18 * self.radius * self.radius, self.radius * self.radius - along * along))
        return -self._side * along / high

    def stretch(self) -> Stretch:
        """Return the arc as a stretch of a line."""
        return Stretch(self.x0, self.x1, self.y0, self.y1, self.depth, self.slope, False)

    def distance(self, x: float, y: float) -> float:
        """Return the distance of a point from the arc, mm."""
        along, across = x - self.centre_x, y - self.centre_y
        away = math.hypot(along, across)
        if away and across * self._side >= 0.0 and self.x0 <= self.centre_x + along * self.radius / away <= self.x1:
            return abs(away - self.radius)
        return min(math.hypot(x - self.x0, y - self.y0), math.hypot(x - self.x1, y - self.y1))

    def parallel(self, middle: float, nose: float) -> float | None:
        """Return where a round nose over a coordinate is parallel to the arc: there it touches first when it comes down.

        None where it never is.  A normal of the arc through the nose's middle is a line through both middles, so that their
        coordinates from the arc's middle are as the radii: R to R + p outside a ball, R to R - p in a hollow.
        """
        reach = self.radius - nose if self.hollow else self.radius + nose
        if reach <= 1e-12 * self.radius:
            return None
        return self.centre_x + (middle - self.centre_x) * self.radius / reach


Edge = StraightEdge | ArcEdge


def arc(radius: float, begin: float, end: float, x0: float = 0.0, y0: float = 0.0) -> ArcEdge:
    """Return the arc from one slope to another, degrees from level: steeper and steeper for a ball, flatter for a hollow.

    Notes
    -----
    With a the slope angle, the place along the axis is R sin a (ball) or -R sin a (hollow) from the middle, and the height
    R cos a above it, or below.  No outside source: the circle.

    Examples
    --------
    >>> quarter = arc(10.0, 0.0, 90.0)
    >>> quarter.x1, round(quarter.depth(6.0), 9)
    (10.0, 2.0)
    """
    a, b = math.radians(begin), math.radians(end)
    side = 1.0 if begin > end else -1.0
    high = math.cos(a) if begin != 90.0 else 0.0
    x1 = x0 + radius * abs(math.sin(b) - math.sin(a))
    return ArcEdge(x0, x1, x0 + side * radius * math.sin(a), y0 - side * radius * high, radius, begin > end)


def nearest(edges: Sequence[Edge], begins: Sequence[float], x: float, y: float, within: float) -> float:
    """Return the distance of a point from the nearest of some edges that follow each other, mm; `within` if none is nearer."""
    best = within
    k = bisect_right(begins, x) - 1
    for i in range(k, -1, -1):
        if x - edges[i].x1 >= best:
            break
        best = min(best, edges[i].distance(x, y))
    for i in range(k + 1, len(edges)):
        if edges[i].x0 - x >= best:
            break
        best = min(best, edges[i].distance(x, y))
    return best
