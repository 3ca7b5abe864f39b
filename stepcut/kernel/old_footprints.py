"""What a cutter removes at one stop: one formula for every approach.

Seen from above, with the stop's radial line along x and the downhill side along y, a point of the wall at radius r and
``turn`` degrees downhill of the stop has x = r cos(turn), y = r sin(turn).  Its distance s from the cutter is

    across, side    s = |y - c|                the cutter is fed along the radial line, c beside it
    plunge          s = hypot(x - rm, y - c)   the cutter goes straight down at radius rm

with c = R - q the set-over of the cutter axis downhill (q: how far the edge stands behind the line).  Depth cut there is
the depth of the stop less ``cutter.relief(s)``.  The side of a cutter, table on edge, is a cutter of corner radius R
centred on the line.  Everything else follows from how far the ring s = constant reaches uphill and downhill.

No outside source: derived here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from math import acos, asin, atan2, degrees, hypot, radians
from typing import Literal, Protocol

from stepcut.machine import Outline

Approach = Literal["across", "plunge", "side"]


class Footprint(Protocol):
    """What the solver and the finish need to know of a cutter at a stop; coordinates are degrees or mm."""

    @property
    def half_width(self) -> float:
        """Largest distance from the cutter's axis that it cuts, mm."""

    @property
    def flat(self) -> float:
        """Half the width of the cutter's flat, mm: the whole half width for a flat end, 0 for a ball."""

    def relief(self, distance: float) -> float:
        """Height of the cutter over its lowest point at a distance from its axis, mm."""

    def width_at(self, height: float) -> float:
        """Distance from the axis at which the cutter is so much higher than its lowest point, mm."""

    def uphill(self, distance: float) -> float:
        """Farthest uphill reach, over the whole wall, of the points at one distance from the axis."""

    def reach(self, radius: float, distance: float) -> tuple[float, float] | None:
        """Uphill and downhill reach at one radius of the points within a distance; None when it does not get there."""

    def distance(self, radius: float, turn: float) -> float:
        """Distance from the cutter's axis of the point at a radius, so far downhill of the stop; mm."""

    def steepness(self, radius: float) -> float:
        """How many mm one unit of the coordinate is at a radius."""


@dataclass(frozen=True)
class _Tool:
    """What every footprint has of its cutter's or tool's outline.

    Parameters
    ----------
    outline : Outline
        The cutter's end; for `side` one whose corner radius is its whole radius, for a square tool one without corner.
    """

    outline: Outline

    @property
    def half_width(self) -> float:
        """The cutter's or nose's radius, or half the width of a square tool; mm."""
        return self.outline.radius

    @property
    def flat(self) -> float:
        """Half the width of the flat, mm."""
        return self.outline.radius - self.outline.corner

    def relief(self, distance: float) -> float:
        """Return the height of the cutter over its lowest point."""
        return self.outline.relief(distance)

    def width_at(self, height: float) -> float:
        """Return the distance from the axis at a height over the lowest point."""
        return self.outline.half_width(height)


@dataclass(frozen=True)
class _OnRing(_Tool):
    """What the approaches on a ring share.

    Parameters
    ----------
    edge_behind : float
        q, mm: 0 is edge on the line, R is centre on the line.
    bore, outside : float
        Radii of the wall, mm.
    """

    edge_behind: float
    bore: float
    outside: float

    @property
    def set_over(self) -> float:
        """Distance of the cutter axis downhill of the radial line, mm."""
        return self.outline.radius - self.edge_behind

    def steepness(self, radius: float) -> float:
        """Return the mm that one degree is at a radius."""
        return radians(radius)


@dataclass(frozen=True)
class Lateral(_OnRing):
    """Approaches `across` and `side`: the cutter's outline swept along the radial line."""

    def uphill(self, distance: float) -> float:
        """Return the reach uphill of the line s = distance: at the bore when it lies uphill, else at the outside."""
        beyond = distance - self.set_over
        return degrees(asin(beyond / (self.bore if beyond > 0 else self.outside)))

    def reach(self, radius: float, distance: float) -> tuple[float, float] | None:
        """Return the reach uphill and downhill at a radius, degrees."""
        low, high = self.set_over - distance, self.set_over + distance
        return degrees(asin(-low / radius)), degrees(asin(min(1.0, high / radius)))

    def distance(self, radius: float, turn: float) -> float:
        """Return the distance from the cutter's path of a point of the wall, mm."""
        return abs(radius * math.sin(radians(turn)) - self.set_over)


@dataclass(frozen=True)
class Plunge(_OnRing):
    """Approach `plunge`: the cutter goes straight down over the middle of the wall."""

    @property
    def middle(self) -> float:
        """Radius of the middle of the wall, mm."""
        return (self.bore + self.outside) / 2

    @property
    def _centre(self) -> tuple[float, float]:
        """Polar place of the cutter axis: radius in mm, degrees downhill."""
        return hypot(self.middle, self.set_over), degrees(atan2(self.set_over, self.middle))

    def _opening(self, radius: float, distance: float) -> float | None:
        """Half the angle that the circle of radius `distance` spans at a radius of the wall, degrees."""
        centre, _ = self._centre
        cosine = (radius * radius + centre * centre - distance * distance) / (2 * radius * centre)
        return degrees(acos(max(-1.0, cosine))) if cosine <= 1 else None

    def uphill(self, distance: float) -> float:
        """Return the farthest uphill reach of the circle s = distance inside the wall, degrees.

        The circle reaches farthest where the radial line is its tangent, at radius sqrt(centre^2 - s^2); if that is
        outside the wall, at the edge of the wall that lies nearest to it.
        """
        centre, bearing = self._centre
        tangent = math.sqrt(max(0.0, centre * centre - distance * distance))
        nearest = min(max(tangent, self.bore), self.outside)
        opening = self._opening(nearest, distance)
        return -math.inf if opening is None else opening - bearing  # a circle that misses the wall binds nothing

    def reach(self, radius: float, distance: float) -> tuple[float, float] | None:
        """Return the reach uphill and downhill at a radius, degrees; None where the circle does not get to."""
        opening = self._opening(radius, distance)
        bearing = self._centre[1]
        return None if opening is None else (opening - bearing, opening + bearing)

    def distance(self, radius: float, turn: float) -> float:
        """Return the distance from the cutter's axis of a point of the wall, mm."""
        angle = radians(turn)
        return hypot(radius * math.cos(angle) - self.middle, radius * math.sin(angle) - self.set_over)


@dataclass(frozen=True)
class Straight(_Tool):
    """A lathe tool beside a straight slide: the coordinate is mm and every radius is alike.

    ``set_over`` is the distance of the tool's middle on from the position that is read: the nose radius where the
    leading point is read.  A square tool is an outline without corner radius.
    """

    set_over: float = 0.0

    def uphill(self, distance: float) -> float:
        """Return the uphill reach, mm."""
        return distance - self.set_over

    def reach(self, radius: float, distance: float) -> tuple[float, float] | None:
        """Return the reach uphill and downhill, mm."""
        return distance - self.set_over, distance + self.set_over

    def distance(self, radius: float, turn: float) -> float:
        """Return the distance from the middle of the tool, mm."""
        return abs(turn - self.set_over)

    def steepness(self, radius: float) -> float:
        """Return 1: the coordinate is mm."""
        return 1.0
