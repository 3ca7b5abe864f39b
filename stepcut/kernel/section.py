"""Sections: the lines along which cuts follow each other, as the kernel sees every shape.

A part is a handful of sections: a ramp is a few radii of its wall, a turned flank one line, a rim cam one closed line, a helix
its walls at a few heights and its floor in a few strips.  In a section only four things matter: the depth that is wanted at
a coordinate, the depth that a cut makes there, how far a cut extends, and what a strip of stock weighs.

A *guard* is a section that no cut may enter: the same line seen over the whole wall at once.  A *fence* is a guard of
something else that stands near: the next ramp, a shoulder, the far side of an open cam.  Guards hold the cuts back; a cut
that passes a fence spoils the part.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from stepcut.kernel.footprints import Footprint
from stepcut.kernel.line import FREE, WALL, Line, Stretch
from stepcut.kernel.search import crossing, lowest, valley

HAIR = 1e-9  # of a cutter's width: its very edge touches nothing


class Place(NamedTuple):
    """One cut: where it stands and how deep it is; a sweep goes on at its depth until another coordinate."""

    at: float
    depth: float
    until: float | None = None


class Touch(NamedTuple):
    """The deepest a cut may be at a place, mm, and the coordinate that holds it back."""

    depth: float
    where: float


class Section(Struct, frozen=True, dict=True):
    """A line along which cuts follow each other, for a cutter that looks the same from every place.

    Parameters
    ----------
    line : Line
        What is wanted.
    foot : Footprint
        What the cutter removes.
    leave : float
        Stock to leave over the wanted line, mm.
    radius : float
        Radius of the wall that the section lies at, mm; any on a slide.
    width : float
        Width of wall that it stands for, mm; 0 for one that is only looked at.
    blank : float
        Depth of the metal that nothing has cut, mm.
    """

    line: Line
    foot: Footprint
    leave: float
    radius: float = 0.0
    width: float = 1.0
    blank: float = 0.0

    @cached_property
    def _meetings(self) -> dict[tuple[float, float], float]:
        return {}

    @cached_property
    def _flat_begins(self) -> float:
        return self.foot.begins

    @property
    def stepped(self) -> bool:
        """Whether a cut is equally deep all over, so that the deeper of two neighbours wins at once."""
        return self.foot.outline.corner == 0.0

    @property
    def pivots(self) -> bool:
        """Whether cuts lean against the line, each where it touches, so that of two neighbours one may lie wholly in the other."""
        return False

    @property
    def clears_on(self) -> bool:
        """Whether a cut clears all the rest of the line as deep, so that one after it that goes no deeper takes nothing."""
        return False

    def cut(self, place: Place, at: float) -> float:
        """Return the depth that a cut makes at a coordinate, mm; minus infinity outside the cutter."""
        offset = at - place.at
        if place.until is not None:
            low, high = self.foot.level
            middle = (low + high) / 2
            offset = min(max(middle, at - place.until), offset)
        return place.depth - self.foot.relief(self.radius, offset)

    def extent(self, place: Place) -> tuple[float, float] | None:
        """Return the coordinates between which a cut is deeper than the blank; None where it is nowhere."""
        if place.depth <= self.blank:
            return None
        reach = self.foot.extent(self.radius, place.depth - self.blank)
        if reach is None:
            return None
        return place.at + reach[0], (place.at if place.until is None else place.until) + reach[1]

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        """Return the coordinate in [low, high] from which the later of two cuts is the deeper one; `high` if none."""
        if self.stepped:
            return low if after.depth >= before.depth else high
        if after.depth >= before.depth:  # from where its flat begins the later one is as deep as any
            high = max(low, min(high, after.at + self._flat_begins))
        begin = before.at if before.until is None else before.until
        key = round(after.at - begin, 10), round(after.depth - before.depth, 11)
        beyond = self._meetings.get(key)
        if beyond is None:
            middle = (begin + after.at + sum(self.foot.level)) / 2
            where = crossing(lambda x: self.cut(after, x) - self.cut(before, x), low, high, guess=middle)
            if low < where < high:  # an end of what is asked says nothing of where they meet elsewhere
                self._meetings[key] = where - begin
            return where
        return min(max(begin + beyond, low), high)

    def seams(self, place: Place) -> tuple[float, ...]:
        """Return the coordinates where a cut's formula changes: the ends of its flat."""
        corner = self.foot.outline.corner
        if corner in (0.0, self.foot.outline.radius):
            return ()
        reach = self.foot.extent(self.radius, 0.0)
        return () if reach is None else (place.at + reach[0], place.at + reach[1])

    def square(self, at: float, stock: float) -> float:
        """Return stock as height above the stock line, square to the wanted surface; mm, never negative."""
        slope = self.line.slope(at) / self.foot.unit(self.radius)
        return max(0.0, stock - self.leave) / math.sqrt(1 + slope * slope)

    def peaked(self, low: float, high: float) -> bool:
        """Whether the ridge, square to the surface, may have a summit between two coordinates where the stock has none."""
        return False

    def area(self, at: float) -> float:
        """Return the wanted area of one unit of the coordinate, mm^2."""
        return self.foot.unit(self.radius) * self.width

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of stock over one unit of the coordinate, mm^3."""
        return stock * self.area(at)


class Guard(Struct, frozen=True, dict=True):
    """What holds the cuts back: a line over the whole wall at once, never to be cut below.

    Parameters
    ----------
    line : Line
        What is wanted.
    foot : Footprint
        What the cutter removes.
    shift : float
        Coordinate where the line begins.
    """

    line: Line
    foot: Footprint
    shift: float = 0.0

    @cached_property
    def _touching(self) -> dict[float, float]:
        return {}

    def window(self, at: float) -> tuple[float, float]:
        """Return the coordinates that the whole cutter covers at a place, less a hair at its edges."""
        low, high = self.foot.window
        hair = HAIR * (high - low)
        return at + low + hair, at + high - hair

    def bound(self, at: float, where: float, depth: float) -> float:
        """Return the deepest place at a coordinate whose cut leaves a point at its depth; mm."""
        return depth + self.foot.least(where - at)

    def touch(self, slope: float) -> float:
        """Return the offset at which the cutter touches a straight line of a slope; it is the same at every place."""
        found = self._touching.get(slope)
        if found is None:
            low, high = self.foot.window
            found, _ = lowest(lambda offset: slope * offset + self.foot.least(offset), low, high, 48)
            self._touching[slope] = found
        return found

    @property
    def width(self) -> float:
        """How many units of the coordinate the whole cutter covers."""
        low, high = self.foot.window
        return high - low

    def offsets(self, where: float, slope: float) -> set[float]:
        """Return how far on from a cut a place of the line may lie that the cut lowers most."""
        return {*self.foot.level, self.touch(slope), *self.foot.window}

    @property
    def stepped(self) -> bool:
        """Whether a cut is equally deep all over: then only the ends of stretches can hold it back."""
        return self.foot.outline.corner == 0.0

    def contact(self, at: float, s: Stretch) -> float | None:
        """Return the coordinate inside a stretch where the cutter may touch it; None when only its ends can hold it."""
        if self.stepped:
            return None
        if s.straight:
            where = at + self.touch(s.slope(s.begin))
            return where if s.begin < where < s.end else None
        # No curved stretch is hollower than the cutter is round: it touches each at one place.
        return valley(lambda x: self.bound(at, x, s.depth(x)), s.begin, s.end, 1e-6)[0]

    def deepest(self, at: float) -> Touch:
        """Return how deep a cut may be at a place without entering the line, and where it touches.

        Notes
        -----
        A point of the line at depth d and an offset o lets the cutter down to d + relief(o).  The smallest of these binds.
        Along a straight stretch d + relief is convex, so that it is least at an end or where the outline is parallel to
        the stretch; a flat end is held by ends of stretches alone.
        """
        low, high = self.window(at)
        best = Touch(FREE, at)
        for s in self.line.over(low - self.shift, high - self.shift):
            if s.first == WALL:
                return Touch(WALL, s.begin + self.shift)
            here = at - self.shift
            inner = self.contact(here, s)
            places = [(s.begin, s.first), (s.end, s.last)]
            if inner is not None:
                places.append((inner, s.depth(inner)))
            for where, depth in places:
                held = self.bound(here, where, depth)
                if held < best.depth:
                    best = Touch(held, where + self.shift)
        return best
