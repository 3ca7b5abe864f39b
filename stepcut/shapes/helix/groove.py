"""A helical groove as sections: its walls at a few heights, and its floor in a few strips.

The groove runs over a cylinder whose axis is the table's; the cutter comes down from the top.  The coordinate is the table's
angle A along the groove's path; on a cylinder of radius rho the path is straight when unrolled, rho A round and k A along,
k = lead / (2 pi).  A cut stands at table angle T and slide position X.  Beside the path a point has v along the unrolled
square to it, (-k, rho) / n with n = hypot(rho, k).  From the cutter's axis the point then lies

    s = (n^2 A - rho^2 T - k X) / n       along the path
    e = rho (k T - X) / n                 beside the path, the same all along it: what rounding the slide costs

A wall is measured by slices: how far beside the path a continuous cut reaches at that height, less how far the cuts do.
A flat floor is measured by strips a distance along the axis from the path, radially; what no flat covers there belongs to the
walls.  The floor of a
ball is the bottom of its walls.  No outside source: derived here.
"""

from __future__ import annotations

import math
from functools import cached_property
from math import cos, hypot, radians, sin, sqrt, tan

from msgspec import Struct

from stepcut.kernel.line import Line, straight
from stepcut.kernel.search import crossing, lowest, valley
from stepcut.kernel.section import Place
from stepcut.machine import Outline

NEWTON = 40  # steps at the most; five do, but where a cut just grazes the square


class Screw(Struct, frozen=True, dict=True):
    """The groove and its cutter; mm.

    Parameters
    ----------
    outside, bottom : float
        Radius of the cylinder and of the groove's floor.
    pitch : float
        k: advance along the axis for one radian.
    sweep : float
        Degrees of the table from end to end.
    outline : Outline
        The cutter's end.
    """

    outside: float
    bottom: float
    pitch: float
    sweep: float
    outline: Outline

    @property
    def ball(self) -> float:
        """Radius of the path of a ball's centre."""
        return self.bottom + self.outline.corner

    def floor_edge(self, turn: float) -> float:
        """Return how far along the axis from the path a flat still cuts with its plane this far round from its top; mm.

        On its plane the flat covers (bottom tan turn)^2 + (w - k turn)^2 <= R^2, w along the axis; turn in radians.
        """
        inside = self.outline.radius**2 - (self.bottom * tan(turn)) ** 2
        return self.pitch * turn + sqrt(max(0.0, inside))

    @cached_property
    def edge(self) -> tuple[float, float]:
        """Where a flat floor ends: radians round from the flat's top, and mm along the axis from the path."""
        most = math.atan(self.outline.radius / self.bottom)
        turn, lack = lowest(lambda turn: -self.floor_edge(turn), 0.0, most, 12)
        return turn, -lack

    def to_path(self, rho: float, turn: float, x: float, near: float) -> float:
        """Return how far a point stands from the path of a ball's centre; angles in radians."""
        y, z, big = rho * sin(turn), rho * cos(turn), self.ball

        def away(t: float) -> float:
            return hypot(y - big * sin(t), z - big * cos(t), x - self.pitch * t)

        wide = 2 * self.outline.radius / hypot(big, self.pitch)
        return valley(away, near - wide, near + wide)[1]


class _OnGroove(Struct, frozen=True, dict=True):
    """What the sections of a groove have in common: they run straight, and a cut is one curve in each."""

    def peaked(self, low: float, high: float) -> bool:
        """Whether a summit may hide between two coordinates: never on a line that is level."""
        return False

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return no seams: a cut is one curve."""
        return ()


class Wall(_OnGroove, frozen=True, dict=True):
    """One wall at one height.

    Parameters
    ----------
    screw : Screw
        The groove.
    radius : float
        rho, mm.
    width : float
        Height of wall that it stands for, mm.
    side : int
        1 or -1: which of the two walls.
    """

    screw: Screw
    radius: float
    width: float
    side: int
    leave: float = 0.0
    blank: float = 0.0
    stepped: bool = False

    @cached_property
    def norm(self) -> float:
        """n: mm along the unrolled path for one radian."""
        return hypot(self.radius, self.screw.pitch)

    @cached_property
    def reach(self) -> float:
        """Half the cutter's width at this height, straight above its path; mm."""
        return self.screw.outline.half_width(self.radius - self.screw.bottom)

    @cached_property
    def line(self) -> Line:
        """How far beside the path a continuous cut reaches: the same all along."""
        wide = self.reach / self.norm

        def lack(turn: float) -> float:
            return -self._beside(0.0, turn, self.screw.pitch * turn)

        _, most = lowest(lack, -0.7 * wide, 0.7 * wide, 8, (0.0,))
        return Line((straight(0.0, self.screw.sweep, -most, -most),))

    def _beside(self, a: float, t: float, x: float) -> float:
        """Return how far beside the path a cut reaches on the square to it at an angle; minus infinity where it does not."""
        rho, k, n, outline = self.radius, self.screw.pitch, self.norm, self.screw.outline
        along = (n * n * a - rho * rho * t - k * x) / n
        if abs(along) >= self.reach:
            return -math.inf
        # from beyond the root: the curve is a bowl, so Newton's steps come down to its far side, or find no bottom
        v = 1.05 * self.reach - self.side * rho * (k * t - x) / n
        turn_rate, x_rate = -self.side * k / (n * rho), self.side * rho / n
        for _ in range(NEWTON):
            turn, u = a - t + v * turn_rate, k * a - x + v * x_rate
            y, height = rho * sin(turn), rho * cos(turn) - self.screw.bottom
            wide = outline.half_width(max(0.0, height))
            value = y * y + u * u - wide * wide
            slope = 2 * y * rho * cos(turn) * turn_rate + 2 * u * x_rate
            if height < outline.corner and wide > outline.radius - outline.corner:
                grows = (outline.corner - height) / max(1e-9, wide - outline.radius + outline.corner)
                slope += 2 * wide * grows * y * turn_rate
            if slope <= 0.0:
                return -math.inf
            step = value / slope
            v -= step
            if step < 1e-12:
                break
        return min(v, self.foot)

    @cached_property
    def foot(self) -> float:
        """How far beside the path a flat floor reaches at this height; infinite above it, and for a ball."""
        screw = self.screw
        turn = math.acos(min(1.0, screw.bottom / self.radius))
        if screw.outline.corner or turn >= screw.edge[0]:
            return math.inf
        return screw.floor_edge(turn) * self.radius / self.norm

    def cut(self, place: Place, at: float) -> float:
        """Return how far beside the path a cut reaches at a coordinate, mm."""
        return self._beside(radians(at), radians(place.at), place.depth)

    def extent(self, place: Place) -> tuple[float, float] | None:
        """Return the coordinates between which a cut reaches this wall."""
        if self.reach <= 0.0:
            return None
        middle = (self.radius**2 * radians(place.at) + self.screw.pitch * place.depth) / self.norm**2
        half = self.reach / self.norm
        return math.degrees(middle - half), math.degrees(middle + half)

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate from which the later cut reaches farther."""
        return crossing(lambda at: self.cut(after, at) - self.cut(before, at), low, high)

    def square(self, at: float, stock: float) -> float:
        """Return stock square to the wall: beside the path for an upright wall, from the ball's own surface for a ball."""
        if self.screw.outline.corner == 0.0:
            return max(0.0, stock)
        v, a = self.side * (self.line.start - stock), radians(at)
        turn = a - v * self.screw.pitch / (self.norm * self.radius)
        x = self.screw.pitch * a + v * self.radius / self.norm
        return max(0.0, self.screw.outline.radius - self.screw.to_path(self.radius, turn, x, a))

    def area(self, at: float) -> float:
        """Return the area of wall of one degree, mm^2."""
        return radians(self.norm) * self.width

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of stock of one degree, mm^3."""
        return stock * self.area(at)


class Flats(_OnGroove, frozen=True, dict=True):
    """A strip of a flat floor; its coordinate is the angle round the cylinder.

    Parameters
    ----------
    screw : Screw
        The groove.
    beside : float
        w: how far along the axis from the path it runs, mm.
    width : float
        Width along the axis that it stands for, mm.
    """

    screw: Screw
    beside: float
    width: float
    leave: float = 0.0
    stepped: bool = False

    @property
    def radius(self) -> float:
        """Radius of the floor, mm."""
        return self.screw.bottom

    @cached_property
    def nearest(self) -> float:
        """How far round from the top of a continuous cut's flat the strip is cut, radians."""
        screw, w = self.screw, abs(self.beside)
        if w <= screw.outline.radius:
            return 0.0
        return crossing(lambda turn: screw.floor_edge(turn) - w, 0.0, screw.edge[0])

    @cached_property
    def line(self) -> Line:
        """Depth that a continuous cut leaves."""
        depth = self.screw.outside - self.screw.bottom / cos(self.nearest)
        return Line((straight(0.0, self.screw.sweep, depth, depth),))

    @property
    def blank(self) -> float:
        """Depth where no flat covers the strip: nothing counts there, it is the walls'."""
        return self.line.start

    def cut(self, place: Place, at: float) -> float:
        """Return the depth of a flat at a coordinate, mm."""
        return self.screw.outside - self.screw.bottom / cos(radians(at - place.at))

    def extent(self, place: Place) -> tuple[float, float] | None:
        """Return the coordinates between which a flat covers the strip."""
        low, high = self._edge(place, -1.0), self._edge(place, 1.0)
        return None if low is None or high is None else (low, high)

    def _edge(self, place: Place, side: float) -> float | None:
        """Return one end of what a flat covers; None where it does not get to the strip.

        (bottom tan turn)^2 + u^2 - R^2 is a bowl, so Newton's steps from beyond it come down to its nearer side.
        """
        screw, t = self.screw, radians(place.at)
        turn = side * math.atan(screw.outline.radius / screw.bottom)
        for _ in range(NEWTON):
            tangent = tan(turn)
            u = screw.pitch * (t + turn) + self.beside - place.depth
            value = (screw.bottom * tangent) ** 2 + u * u - screw.outline.radius**2
            slope = 2 * screw.bottom**2 * tangent * (1 + tangent * tangent) + 2 * u * screw.pitch
            if value <= 0.0:
                break
            if slope * side <= 0.0:
                return None
            turn -= value / slope
            if value < 1e-14:
                break
        return math.degrees(t + turn)

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate where two flats are equally deep: half way between them."""
        return min(max((before.at + after.at) / 2, low), high)

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return where the flat stands square under the cutter."""
        return (place.at,)

    def square(self, at: float, stock: float) -> float:
        """Return the height of stock over the floor, mm."""
        return max(0.0, stock)

    def area(self, at: float) -> float:
        """Return the area of one degree, mm^2."""
        return radians(self.screw.bottom) * self.width

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of stock of one degree, mm^3: a ring's share."""
        low = self.screw.outside - self.line.start
        return stock * (2 * low + stock) / 2 * radians(1.0) * self.width


class Hollow(_OnGroove, frozen=True, dict=True):
    """The floor line of a ball: the bottom of the groove, along its path."""

    screw: Screw
    width: float = 1.0
    leave: float = 0.0
    blank: float = 0.0
    stepped: bool = False

    @property
    def radius(self) -> float:
        """Radius of the floor, mm."""
        return self.screw.bottom

    @cached_property
    def line(self) -> Line:
        """The groove's depth."""
        depth = self.screw.outside - self.screw.bottom
        return Line((straight(0.0, self.screw.sweep, depth, depth),))

    def cut(self, place: Place, at: float) -> float:
        """Return the depth of a ball on the radial line of a coordinate, mm."""
        turn, u = radians(at - place.at), self.screw.pitch * radians(at) - place.depth
        big, inside = self.screw.ball, 0.0
        inside = self.screw.outline.radius**2 - u * u - (big * sin(turn)) ** 2
        return self.screw.outside - big * cos(turn) + sqrt(inside) if inside >= 0.0 else -math.inf

    def extent(self, place: Place) -> tuple[float, float] | None:
        """Return the coordinates between which a ball cuts this line below the surface."""
        reach = self.screw.outline.half_width(self.screw.outside - self.screw.bottom)
        big, k = self.screw.outside, self.screw.pitch
        n = hypot(big, k)
        middle = (big * big * radians(place.at) + k * place.depth) / (n * n)
        return math.degrees(middle - reach / n), math.degrees(middle + reach / n)

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate where two balls are equally deep."""
        return crossing(lambda at: self.cut(after, at) - self.cut(before, at), low, high)

    def square(self, at: float, stock: float) -> float:
        """Return stock square to the ball's own surface, mm."""
        a = radians(at)
        rho = self.screw.bottom + stock
        return max(0.0, self.screw.outline.radius - self.screw.to_path(rho, a, self.screw.pitch * a, a))

    def area(self, at: float) -> float:
        """Return the area of one degree for each mm of width, mm^2."""
        return radians(hypot(self.screw.bottom, self.screw.pitch)) * self.width

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of stock of one degree for each mm of width, mm^3."""
        return stock * self.area(at)
