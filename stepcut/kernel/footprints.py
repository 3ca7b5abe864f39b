"""What a cutter removes at one place: how much higher than its lowest point it stands, an offset away.

An offset is a coordinate (degrees round a table, mm along a slide) counted from the place of the cut, downhill positive.
Seen from above, with the place's radial line along x and the downhill side along y, a point of the wall at radius r and an
offset has x = r cos(offset), y = r sin(offset).  Its distance s from the cutter is

    across, side    s = |y - c|                the cutter is fed along the radial line, c beside it
    plunge          s = hypot(x - rm, y - c)   the cutter goes straight down at radius rm

with c = R - q the offset of the cutter axis downhill (q: how far the edge stands behind the line).  The cut is as deep as
its place less ``outline.relief(s)``.  The side of a cutter, table on edge, is a cutter of corner radius R centred on the line.

No outside source: derived here.
"""

from __future__ import annotations

from functools import cached_property
from math import acos, asin, atan2, cos, degrees, hypot, inf, pi, radians, sin, sqrt
from typing import Literal, Protocol

from msgspec import Struct

from stepcut.machine import Outline

CutWith = Literal["across", "plunge", "side"]
_RADIAN = pi / 180
Reach = tuple[float, float]  # lowest and highest offset


class Footprint(Protocol):
    """What the kernel asks of a cutter that looks the same from every place."""

    @property
    def outline(self) -> Outline:
        """The cutter's end in profile."""

    @property
    def window(self) -> Reach:
        """Offsets between which the whole cutter lies, over the whole wall."""

    @property
    def level(self) -> Reach:
        """Offsets between which its flat lies, over the whole wall; both are the axis for a ball."""

    def within(self, distance: float) -> Reach:
        """Offsets of the points within a distance of the cutter's axis, mm, at some radius of the wall."""

    @property
    def begins(self) -> float:
        """The last offset at which its flat begins, over the whole wall: from there on uphill some radius lies beside it."""

    def relief(self, radius: float, offset: float) -> float:
        """Height of the cutter over its lowest point at a radius and an offset, mm; infinite outside it."""

    def least(self, offset: float) -> float:
        """The smallest relief at an offset over the whole wall, mm; infinite outside the cutter."""

    def extent(self, radius: float, height: float) -> Reach | None:
        """Offsets between which the cutter is lower than a height at a radius; None where it does not get to."""

    def unit(self, radius: float) -> float:
        """How many mm one unit of the coordinate is at a radius."""


class _Within(Struct, frozen=True, dict=True):
    """Where the whole cutter and its flat lie, for every footprint that can tell what lies within a distance of its axis."""

    outline: Outline

    def within(self, distance: float) -> Reach:
        """Return the offsets of the points within a distance of the axis, mm, at some radius of the wall."""
        raise NotImplementedError

    @cached_property
    def window(self) -> Reach:
        """Offsets of the whole cutter; on a ring it reaches farthest at the bore, or where a radial line touches it."""
        return self.within(self.outline.radius)

    @cached_property
    def level(self) -> Reach:
        """Offsets of its flat."""
        return self.within(self.outline.radius - self.outline.corner)

    @property
    def begins(self) -> float:
        """The last offset at which its flat begins: on a slide every radius is alike."""
        return self.level[0]


class _OnRing(_Within, frozen=True):
    """What the ways of cutting on a ring share.

    Parameters
    ----------
    outline : Outline
        The cutter's end; for `side` one whose corner radius is its whole radius.
    edge_behind : float
        q, mm: 0 is edge on the line, R is axis on the line.
    bore, outside : float
        Radii of the wall, mm.
    """

    outline: Outline
    edge_behind: float
    bore: float
    outside: float

    @cached_property
    def offset(self) -> float:
        """c: distance of the cutter axis downhill of the radial line, mm."""
        return self.outline.radius - self.edge_behind

    @cached_property
    def flat(self) -> float:
        """Half the width of the cutter's flat, mm."""
        return self.outline.radius - self.outline.corner

    def unit(self, radius: float) -> float:
        """Return the mm that one degree is at a radius."""
        return radius * _RADIAN


class Lateral(_OnRing, frozen=True):
    """Cut `across` or with the `side`: the cutter's outline swept along the radial line."""

    def within(self, distance: float) -> Reach:
        """Return the offsets that lie within a distance of the axis's path at some radius of the wall."""
        low, high = self.offset - distance, self.offset + distance
        return (
            degrees(asin(low / (self.bore if low < 0 else self.outside))),
            degrees(asin(min(1.0, high / self.bore))),
        )

    @property
    def begins(self) -> float:
        """The last offset at which its flat begins: at the outside where that is uphill of the line, else at the bore."""
        low = self.offset - self.flat
        return degrees(asin(low / (self.outside if low < 0 else self.bore)))

    def relief(self, radius: float, offset: float) -> float:
        """Return the relief at a radius and an offset, mm: the outline's, written out, for it is asked most of all."""
        corner = self.outline.corner
        if not -90.0 < offset < 90.0:
            return inf  # the cutter comes from one side, and does not reach the wall across the bore
        beyond = abs(radius * sin(offset * _RADIAN) - self.offset) - self.flat
        if beyond <= 0.0:
            return 0.0
        if beyond > corner + 1e-12 * self.outline.radius:
            return inf
        return corner - sqrt(max(0.0, corner * corner - beyond * beyond))

    def least(self, offset: float) -> float:
        """Return the smallest relief over the wall: where the radial line comes nearest to the cutter's path."""
        rise = sin(radians(offset))
        nearest = min(max(self.offset / rise, self.bore), self.outside) if rise > 0 else self.bore
        return self.outline.relief(abs(nearest * rise - self.offset))

    def extent(self, radius: float, height: float) -> Reach | None:
        """Return the offsets at which the cutter is lower than a height, degrees."""
        width = self.outline.half_width(height)
        low, high = (self.offset - width) / radius, (self.offset + width) / radius
        return degrees(asin(low)), degrees(asin(min(1.0, high)))


class Plunge(_OnRing, frozen=True):
    """Cut by `plunge`: the cutter goes straight down over the middle of the wall."""

    @cached_property
    def middle(self) -> float:
        """Radius of the middle of the wall, mm."""
        return (self.bore + self.outside) / 2

    @cached_property
    def centre(self) -> tuple[float, float]:
        """Polar place of the cutter axis: radius in mm, offset in degrees."""
        return hypot(self.middle, self.offset), degrees(atan2(self.offset, self.middle))

    def within(self, distance: float) -> Reach:
        """Return the offsets that lie within a distance of the axis at some radius of the wall."""
        centre, bearing = self.centre
        tangent = sqrt(max(0.0, centre * centre - distance * distance))
        opening = self._opening(min(max(tangent, self.bore), self.outside), distance) or 0.0
        return bearing - opening, bearing + opening

    @property
    def begins(self) -> float:
        """The last offset at which its flat begins: at an edge of the wall; the axis where it does not get so far."""
        return self.centre[1] - min(self._opening(radius, self.flat) or 0.0 for radius in (self.bore, self.outside))

    def _opening(self, radius: float, distance: float) -> float | None:
        """Half the angle that a circle round the axis spans at a radius of the wall, degrees."""
        centre, _ = self.centre
        cosine = (radius * radius + centre * centre - distance * distance) / (2 * radius * centre)
        return degrees(acos(max(-1.0, cosine))) if cosine <= 1 else None

    def relief(self, radius: float, offset: float) -> float:
        """Return the relief at a radius and an offset, mm."""
        turn = radians(offset)
        return self.outline.relief(hypot(radius * cos(turn) - self.middle, radius * sin(turn) - self.offset))

    def least(self, offset: float) -> float:
        """Return the smallest relief over the wall: at the foot of the perpendicular from the axis, if the wall has it."""
        turn = radians(offset)
        foot = self.middle * cos(turn) + self.offset * sin(turn)
        return self.relief(min(max(foot, self.bore), self.outside), offset)

    def extent(self, radius: float, height: float) -> Reach | None:
        """Return the offsets at which the cutter is lower than a height, degrees; None where it does not get to."""
        opening = self._opening(radius, self.outline.half_width(height))
        bearing = self.centre[1]
        return None if opening is None else (bearing - opening, bearing + opening)


class Straight(_Within, frozen=True):
    """A tool beside a straight slide: the coordinate is mm and every radius is alike.

    Parameters
    ----------
    outline : Outline
        Of the tool; a square tool is an outline without corner radius.
    offset : float
        Distance of the tool's middle on from the position that is read: the nose radius where the leading point is read.
    """

    outline: Outline
    offset: float = 0.0

    def within(self, distance: float) -> Reach:
        """Return the offsets that lie within a distance of its middle."""
        return self.offset - distance, self.offset + distance

    def relief(self, radius: float, offset: float) -> float:
        """Return the relief at an offset, mm."""
        return self.outline.relief(abs(offset - self.offset))

    def least(self, offset: float) -> float:
        """Return the relief at an offset, mm."""
        return self.outline.relief(abs(offset - self.offset))

    def extent(self, radius: float, height: float) -> Reach | None:
        """Return the offsets at which the tool is lower than a height, mm."""
        width = self.outline.half_width(height)
        return self.offset - width, self.offset + width

    def unit(self, radius: float) -> float:
        """Return 1: the coordinate is mm."""
        return 1.0
