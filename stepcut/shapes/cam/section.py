"""A rim cam as the kernel sees it: its closed line, and what holds the cuts back.

The coordinate is degrees round the table.  A cut stands at an angle with the cutter's flat, or its near side, at a height
above the axis; its depth is that height below nought, so that deeper is nearer to the axis.  On a ray an angle a beside the
cut it leaves

    h / cos(a)                                      the end, where |h tan(a)| <= w, half its width
    c cos(a) - sqrt(w^2 - c^2 sin^2(a)),  c = h + w   the side, where |sin(a)| <= w / c

Metal on a ray out to a radius r holds the cut at h = min(r cos(a), w / tan(a)): beyond the flat's edge the ray leaves the
cutter's path again.  No outside source: plane geometry.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from functools import cached_property
from itertools import pairwise
from math import acos, asin, atan, atan2, cos, degrees, hypot, radians, sin, sqrt
from typing import NamedTuple

from msgspec import Struct

from stepcut.kernel.line import FREE, Stretch
from stepcut.kernel.search import crossing, lowest
from stepcut.kernel.section import Guard, Place, Section, Touch

EDGE = 1 + 1e-12  # the very edge of a flat still cuts
LEANS = 1e-4  # share of a ridge: from so much the ridge is looked for, and not only the stock
NONE = 1e9  # mm: the blank is larger than anything that is asked


class Blade(Struct, frozen=True):
    """The part of the cutter that shapes a rim.

    Parameters
    ----------
    half : float
        Half the width of the flat, or the radius of the cutter's side; mm.
    side : bool
        Whether the side cuts, and not the end.
    """

    half: float
    side: bool

    def leaves(self, height: float, turn: float) -> float:
        """Return the radius that a cut leaves on a ray `turn` radians beside it; infinite where it does not cut."""
        w, across = self.half, cos(turn)
        if across <= 0:
            return math.inf
        if not self.side:
            return height / across if abs(height * sin(turn)) <= w * across * EDGE else math.inf
        centre = height + w
        beside = centre * sin(turn)
        inside = w * w - beside * beside
        if inside < -1e-12 * w * w:
            return math.inf
        return centre * across - sqrt(max(0.0, inside))

    def held(self, radius: float, turn: float) -> float:
        """Return the lowest height that metal out to a radius allows, on a ray `turn` radians beside the cut."""
        w, across, along = self.half, cos(turn), abs(sin(turn))
        if across <= 0:
            return -math.inf
        if not self.side:
            return radius * across if radius * along <= w else w * across / along
        if radius * along <= w * across:
            return radius * across + sqrt(max(0.0, w * w - (radius * along) ** 2)) - w
        return w / along - w

    def inside(self, radius: float, turn: float) -> bool:
        """Whether the rim of a radius on a ray lies under the flat, or where the near side of the cutter can touch it."""
        limit = self.half * (cos(turn) if self.side else 1.0)
        return abs(radius * sin(turn)) <= limit * EDGE

    def touches(self, radius: float, rate: float) -> float:
        """Return how far on from a cut it touches a rim, degrees: where the rim stands square to it.

        Parameters
        ----------
        radius, rate : float
            Of the rim there: mm, and mm for each radian.
        """
        lean = atan2(rate, radius)
        if self.side:
            return degrees(atan2(self.half * sin(lean), radius + self.half * cos(lean)))
        return degrees(lean)

    def reach(self, height: float, blank: float = math.inf) -> float:
        """Return how many degrees each way a cut takes metal that stands no higher than a blank's radius, mm."""
        w = self.half
        if not self.side:
            wide = atan(w / height)
            return degrees(wide if height <= blank * cos(wide) else acos(min(1.0, height / blank)))
        centre = height + w
        if centre * centre - w * w <= blank * blank:
            return degrees(asin(w / centre))
        cosine = (centre * centre + blank * blank - w * w) / (2 * centre * blank)
        return degrees(acos(max(-1.0, min(1.0, cosine))))

    def meet(self, first: float, second: float, turn: float) -> float:
        """Return where the cuts of two heights, `turn` radians apart, leave the same radius: radians from the first.

        Flats p and q: tan x = (q - p cos D) / (p sin D).  Circles of one radius meet on the line square to that of their
        centres, at its middle; of the two places the one nearer to the axis counts.  Not a number where none is.
        """
        if not self.side:
            return atan2(second - first * cos(turn), first * sin(turn))
        ax, bx, by = first + self.half, (second + self.half) * cos(turn), (second + self.half) * sin(turn)
        dx, dy = bx - ax, by
        apart = hypot(dx, dy)
        root = self.half * self.half - apart * apart / 4
        if root < 0 or apart == 0:
            return math.nan
        along = sqrt(root) / apart
        mx, my = (ax + bx) / 2, by / 2
        x, y = min(((mx - dy * along, my + dx * along), (mx + dy * along, my - dx * along)), key=lambda at: hypot(*at))
        return atan2(y, x)


class CamSection(Section, frozen=True):
    """The rim of a cam, for one mm of its thickness.

    Parameters
    ----------
    blade : Blade
        What shapes it.
    stands : tuple of float
        Height, mm, that no cut of this cutter can lower, at even angles over the span; spacing does not count it.
    """

    blade: Blade = Blade(1.0, False)
    stands: tuple[float, ...] = ()

    @property
    def stepped(self) -> bool:
        """A flat is no part of a circle, so that no cut is equally far from the axis all over."""
        return False

    @property
    def pivots(self) -> bool:
        """A cut touches its cam beside the place where it stands."""
        return True

    def cut(self, place: Place, at: float) -> float:
        """Return the depth that a cut makes at a coordinate, mm; minus infinity outside the cutter."""
        beyond = (at - place.at) % 360.0
        swept = 0.0 if place.until is None else place.until - place.at
        turn = 0.0 if beyond <= swept else min(beyond - swept, 360.0 - beyond)
        return -self.blade.leaves(-place.depth, radians(turn))

    def extent(self, place: Place) -> tuple[float, float] | None:
        """Return the coordinates between which a cut is deeper than the blank; None where it is nowhere."""
        if place.depth <= self.blank:
            return None
        reach = self.blade.reach(-place.depth, -self.blank)
        return place.at - reach, (place.at if place.until is None else place.until) + reach

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate in [low, high] from which the later of two cuts is the deeper one; `high` if none."""
        begin = before.at if before.until is None else before.until
        turn = after.at - begin
        if turn <= 1e-12:
            if before.until is not None:  # what follows a sweep is level with it inside
                return (
                    min(max(begin, low), high) if after.depth <= before.depth else self._found(before, after, low, high)
                )
            return low if after.depth >= before.depth else high
        p, q = -before.depth, -after.depth
        where = begin + degrees(self.blade.meet(p, q, radians(turn)))
        if self.blade.side and not self._agree(before, after, where):
            return self._found(before, after, low, high)
        return min(max(where, low), high)

    def _agree(self, before: Place, after: Place, where: float) -> bool:
        """Whether two cuts of the side are equally deep at a coordinate: their circles may meet on their far sides."""
        return abs(self.cut(before, where) - self.cut(after, where)) < 1e-9 if where == where else False

    def _found(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate from which the later of two cuts is the deeper one, by search."""

        def gain(at: float) -> float:
            earlier, later = self.cut(before, at), self.cut(after, at)
            return 0.0 if earlier == later else later - earlier

        return crossing(gain, low, high)

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return the coordinates where a cut's formula changes: the ends of a sweep."""
        return () if place.until is None else (place.at, place.until)

    def peaked(self, low: float, high: float) -> bool:
        """Whether the rim leans so differently at two coordinates that the ridge square to it has a summit of its own."""
        first, last = (self._leaning(at) for at in (low, high))
        return abs(first - last) > LEANS

    def _leaning(self, at: float) -> float:
        """Return what share of the radial stock stands square to the rim."""
        rate, radius = degrees(self.line.slope(at)), self.line.depth(at)
        return abs(radius) / hypot(radius, rate)

    def square(self, at: float, stock: float) -> float:
        """Return stock as height above the stock line, square to the rim, less what nothing lowers; mm, never negative."""
        rate, radius = degrees(self.line.slope(at)), -self.line.depth(at)
        height = (stock - self.leave) * radius / hypot(radius, rate)
        return max(0.0, height - self._stands(at)) if self.stands else max(0.0, height)

    def _stands(self, at: float) -> float:
        """Return what no cut can lower at a coordinate, mm."""
        share = at / self.line.span * (len(self.stands) - 1)
        k = min(int(share), len(self.stands) - 2)
        return self.stands[k] + (self.stands[k + 1] - self.stands[k]) * (share - k)

    def area(self, at: float) -> float:
        """Return the area of one degree of the rim, mm^2 for each mm of thickness."""
        return radians(hypot(self.line.depth(at), degrees(self.line.slope(at)))) * self.width

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of radial stock over one degree, mm^3 for each mm of thickness."""
        return radians((stock / 2 - self.line.depth(at)) * stock) * self.width


class _Part(NamedTuple):
    """A stretch of a rim, and whether a cut touches it at one place only."""

    stretch: Stretch
    single: bool


class CamGuard(Guard, frozen=True, dict=True):
    """What holds the cuts of a cam back: its rim with the stock to leave, from the axis out.

    Parameters
    ----------
    blade : Blade
        What shapes it.
    leave : float
        Stock to leave, mm.
    low : float
        A height below which no cut stands, mm: only metal that binds above it is looked at.
    """

    blade: Blade = Blade(1.0, False)
    leave: float = 0.0
    low: float = 1.0

    @cached_property
    def width(self) -> float:
        """Degrees that the whole cutter covers at its lowest."""
        return 2 * self._reach

    @cached_property
    def _reach(self) -> float:
        return self.blade.reach(self.low)

    @cached_property
    def _parts(self) -> tuple[_Part, ...]:
        return tuple(_Part(s, self._single(s)) for s in self.line.stretches)

    @cached_property
    def _ends(self) -> list[float]:
        return [s.end for s in self.line.stretches]

    def _radius(self, s: Stretch, at: float) -> float:
        """Return the radius of the stock line, mm."""
        return self.leave - s.depth(at)

    def _square_to(self, s: Stretch, at: float) -> float:
        """Return where a cut would stand that touches a stretch at a coordinate."""
        return at - self.blade.touches(self._radius(s, at), -degrees(s.slope(at)))

    def _single(self, s: Stretch) -> bool:
        """Whether the cut that touches moves on with the place where it touches: the stretch is nowhere too hollow."""
        if s.first == s.last and s.straight:
            return True
        stands = [self._square_to(s, s.begin + (s.end - s.begin) * k / 32) for k in range(33)]
        return all(b > a for a, b in pairwise(stands))

    def window(self, at: float) -> tuple[float, float]:
        """Return the coordinates of all metal that can hold a cut back."""
        return at - self._reach, at + self._reach

    def offsets(self, where: float, slope: float) -> set[float]:
        """Return how far on from a cut a place of the line may lie that the cut lowers most."""
        return {self.offset(self.leave - self.line.depth(where), -degrees(slope)), 0.0}

    def offset(self, radius: float, rate: float) -> float:
        """Return how far on from a cut it touches a rim, degrees: by its flat, or by the flat's edge if that is nearer."""
        touch = self.blade.touches(radius, rate)
        if self.blade.side:
            return touch
        edge = degrees(asin(min(1.0, self.blade.half / radius)))
        return min(max(touch, -edge), edge)

    def deepest(self, at: float) -> Touch:
        """Return how deep a cut may be at a place without entering the line, and where it touches.

        Where a stretch is nowhere hollow the cut stands square to it at one place, found from the slopes.  Elsewhere, and
        where that place lies beyond the edge of the flat, the stretch is searched.
        """
        best = Touch(FREE, at)
        low, high = self.window(at)
        period = self.line.period or math.inf
        first = math.floor((low - self.shift) / period) if period < math.inf else 0
        last = math.floor((high - self.shift) / period) if period < math.inf else 0
        for turn in range(first, last + 1):
            moved = self.shift + (turn * period if turn else 0.0)
            for k in range(bisect_right(self._ends, low - moved - 1e-12), len(self._parts)):
                part = self._parts[k]
                a, b = max(part.stretch.begin, low - moved), min(part.stretch.end, high - moved)
                if a > b:
                    break
                found = self._held(part, at - moved, a, b)
                if found.depth < best.depth:
                    best = Touch(found.depth, found.where + moved)
        return best

    def _held(self, part: _Part, at: float, low: float, high: float) -> Touch:
        """Return how deep a part of one stretch lets a cut down, and where it holds it."""
        s, blade, leave = part.stretch, self.blade, self.leave

        def bound(x: float) -> float:  # a function of one place, as one cam asks it a million times
            return leave - blade.held(leave - s.depth(x), radians(x - at))

        if part.single:
            where = (
                at
                if s.first == s.last and s.straight
                else crossing(lambda x: self._square_to(s, x) - at, low, high, 1e-10)
            )
            where = min(max(where, low), high)
            if self.blade.inside(self._radius(s, where), radians(where - at)):
                return Touch(bound(where), where)
        where, depth = lowest(bound, low, high, 24, (at,))
        return Touch(depth, where)
