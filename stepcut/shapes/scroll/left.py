"""What plunged cuts leave in a flat spiral groove: ridges, and volume.

Seen from above a cutter is a circle at every height, and the groove it would leave running along is the strip so wide on both sides
of the spiral.  The metal between two cuts comes to a point where their circles cross; how far that stands in from the edge of
the strip is the ridge.  A strip's width is measured along the normals of the spiral, so that an area in it is the sum of lengths of
normals: between u and v beside the middle lie (v - u) + bend (v^2 - u^2) / 2 for each mm of the spiral.  No outside source:
derived here, and compared with shapely in the tests.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import cached_property
from math import cos, hypot, pi, sin, sqrt
from typing import NamedTuple

from msgspec import Struct

from stepcut.kernel.measure import GAUSS_4, GAUSS_8
from stepcut.machine import Outline

NEAREST = 12  # Newton's steps to the nearest point of the spiral; three do
AROUND = 3  # more cuts on each side that are looked at, where rounding counts for more than the step
MOST_PAIRS = 240  # pairs of cuts whose volume is taken; of more of them so many, evenly spread


class Cut(NamedTuple):
    """A cut: radians of the table, and mm from its centre."""

    at: float
    out: float

    @property
    def point(self) -> complex:
        """Where it stands on the face."""
        return complex(self.out * cos(self.at), self.out * sin(self.at))


class Spiral(NamedTuple):
    """The middle of the groove: mm from the centre at 0, and how much more for each radian."""

    begin: float
    grows: float

    def out(self, at: float) -> float:
        """Return how far from the centre it is at an angle."""
        return self.begin + self.grows * at

    def frame(self, at: float) -> tuple[complex, complex, float, float]:
        """Return point, outward normal, mm of spiral for each radian, and its bend (1 / radius) at an angle."""
        r, k, turn = self.out(at), self.grows, complex(cos(at), sin(at))
        speed = hypot(r, k)
        return r * turn, complex(r, -k) / speed * turn, speed, (r * r + 2 * k * k) / speed**3

    def beside(self, point: complex, near: float) -> tuple[float, float]:
        """Return the angle of the spiral that is nearest to a point, and how far the point stands from it; mm."""
        out = abs(point)
        turn = math.atan2(point.imag, point.real)
        turn += 2 * pi * round((near - turn) / (2 * pi))
        at, k = turn, self.grows
        for _ in range(NEAREST):
            r, s, c = self.out(at), sin(at - turn), cos(at - turn)
            slope, more = r * k - k * out * c + r * out * s, k * k + 2 * k * out * s + r * out * c
            if more <= 0.0:
                break
            at -= slope / more
            if abs(slope) < 1e-13 * more:
                break
        r = self.out(at)
        return at, abs(complex(r * cos(at), r * sin(at)) - point)


class Ridges(NamedTuple):
    """The highest of what stands between cuts, square to walls and floor, mm."""

    wall: float
    floor: float

    @property
    def most(self) -> float:
        """The higher of the two."""
        return max(self)


class Meeting(NamedTuple):
    """Where a cut takes a wall over from the one before: the cut's number, radians along the spiral, and the point."""

    cut: int
    at: float
    point: complex


class Row(Struct, frozen=True, dict=True):
    """The cuts of one groove, in order.

    Parameters
    ----------
    spiral : Spiral
        The middle of the groove.
    outline : Outline
        The cutter's end, flat or ball.
    deep : float
        How deep the cuts are, mm.
    cuts : sequence of Cut
        Where they stand.
    """

    spiral: Spiral
    outline: Outline
    deep: float
    cuts: Sequence[Cut]

    def wide(self, up: float) -> float:
        """Return the cutter's radius so far above its lowest point, mm; that of the end itself at a flat's floor."""
        return self.outline.half_width(up)

    def ridges_of(self, k: int) -> Ridges:
        """Return what stands between a cut and the next."""
        before, after = self.cuts[k], self.cuts[k + 1]
        big = self.outline.corner
        wall = max(
            (self._above(point, k, self.deep) for _, point in self._crossings(k, self.wide(self.deep))), default=0.0
        )
        half = abs(after.point - before.point) / 2
        if not big:
            return Ridges(wall, 0.0)
        up = big - sqrt(max(0.0, big * big - half * half))
        return Ridges(wall, self._above((before.point + after.point) / 2, k, min(up, self.deep)))

    def ridges(self) -> Ridges:
        """Return the highest ridges of all: on the walls where the cuts cross that make them, whichever they are."""
        begin, end = self.cuts[0].at, self.cuts[-1].at
        walls = [
            self._above(meeting.point, meeting.cut, self.deep)
            for edge in self._edges
            for meeting in edge
            if begin < meeting.at < end
        ]
        floors = [self.ridges_of(k).floor for k in range(len(self.cuts) - 1)] if self.outline.corner else []
        return Ridges(max(walls, default=0.0), max(floors, default=0.0))

    @cached_property
    def _edges(self) -> tuple[list[Meeting], list[Meeting]]:
        """The outer and the inner wall at the face."""
        return self._edge(1), self._edge(-1)

    def _edge(self, side: int) -> list[Meeting]:
        """Return where the circles cross that make a wall, in order; with each the later of the two.

        Circles alike cross once on a side, so that one which a later one passes before its own stretch begins takes no part.
        """
        made: list[Meeting] = [Meeting(0, -math.inf, self.cuts[0].point)]
        for k in range(1, len(self.cuts)):
            found = self._meeting(made[-1].cut, k, side)
            while len(made) > 1 and found.at <= made[-1].at:
                made.pop()
                found = self._meeting(made[-1].cut, k, side)
            made.append(found)
        return made[1:]

    def _meeting(self, first: int, second: int, side: int) -> Meeting:
        a, b = self.cuts[first].point, self.cuts[second].point
        way, wide = b - a, self.wide(self.deep)
        square = max(0.0, wide * wide - abs(way) ** 2 / 4)  # circles that do not meet are refused before
        point = (a + b) / 2 + side * way / abs(way) * -1j * sqrt(square)
        return Meeting(second, self.spiral.beside(point, self.cuts[second].at)[0], point)

    def apart(self, k: int) -> bool:
        """Whether a cut and the next leave metal standing across the groove."""
        return abs(self.cuts[k + 1].point - self.cuts[k].point) >= 2 * self.wide(self.deep) * (1 - 1e-9)

    def _above(self, point: complex, k: int, up: float) -> float:
        """Return how far a point so far above the floor stands in from what the running cutter leaves, mm."""
        _, aside = self.spiral.beside(point, self.cuts[k].at)
        corner = self.outline.corner
        return max(
            0.0, self.outline.radius - hypot(aside, max(0.0, corner - up)) if corner else self.outline.radius - aside
        )

    def _crossings(self, k: int, wide: float) -> Iterator[tuple[int, complex]]:
        """Yield on which side (1 outer, -1 inner) and where circles of two neighbouring cuts cross, if no other cut is over it."""
        a, b = self.cuts[k].point, self.cuts[k + 1].point
        way = b - a
        square = wide * wide - abs(way) ** 2 / 4
        if square <= 0.0 or way == 0:
            return
        square_to = way / abs(way) * -1j * sqrt(square)  # to the right of the way out is outward
        for side in (1, -1):
            point = (a + b) / 2 + side * square_to
            if all(abs(self.cuts[m].point - point) >= wide * (1 - 1e-12) for m in self._near(k) if m not in (k, k + 1)):
                yield side, point

    def _near(self, k: int) -> list[int]:
        """Return the cuts that may take of what lies between a cut and the next: those beside, and those that make the walls there."""
        found = set(range(max(0, k - AROUND), min(len(self.cuts), k + 2 + AROUND)))
        for edge in self._edges:
            at = bisect_left(edge, self.cuts[k].at, key=lambda meeting: meeting.at)
            found |= {meeting.cut for meeting in edge[max(0, at - AROUND) : at + AROUND]}
        return sorted(found)

    # --- volume ------------------------------------------------------------------------------------------------------

    def floor(self) -> tuple[float, float]:
        """Return the largest and the mean height of what stands along the middle of the floor between cuts, mm."""
        corner = self.outline.corner
        if not corner:
            return 0.0, 0.0
        most = mean = length = 0.0
        for a, b in zip(self.cuts, self.cuts[1:], strict=False):
            half = abs(b.point - a.point) / 2
            most = max(most, corner - sqrt(max(0.0, corner**2 - half**2)))
            mean += 2 * sum(w * half * (corner - sqrt(max(0.0, corner**2 - (x * half) ** 2))) for x, w in GAUSS_8)
            length += 2 * half
        return most, mean / length if length else 0.0

    def volume(self, over: float) -> float:
        """Return the volume that stands above a groove that is `over` deeper than the cuts, mm^3."""
        if len(self.cuts) < 2:
            return 0.0
        total = 0.0
        for up, weight in self._heights(over):
            strip, circle = self.wide(up), self.wide(up - over) if up >= over else 0.0
            total += weight * (self._area(strip, circle) + self._rounds(strip, circle))
        return total

    def _rounds(self, strip: float, circle: float) -> float:
        """Return the area of the rounds at both ends of the strip that no circle covers, mm^2."""
        found, last = 0.0, len(self.cuts) - 1
        for k, way in ((0, -1), (last, 1)):
            foot, normal, _, _ = self.spiral.frame(self.cuts[k].at)
            points = [(self.cuts[m].point - foot) * normal.conjugate() for m in self._near(min(k, last - 1))]
            for x, weight in GAUSS_8:  # toward its tip a round narrows like a root
                far = strip * (1 - x * x)
                bare = _bare(points, far * way, circle, sqrt(max(0.0, strip * strip - far * far)), 0.0)
                found += weight * 2 * x * strip * bare
        return found

    def _heights(self, over: float) -> Iterator[tuple[float, float]]:
        """Yield heights above the floor that is wanted, and their weights, mm; a ball widens like a root."""
        if not self.outline.corner:
            if over > 0.0:
                yield over / 2, over
            yield over + self.deep, self.deep
            return
        half = max(abs(b.point - a.point) for a, b in zip(self.cuts, self.cuts[1:], strict=False)) / 2
        corner, top = self.outline.corner, over + self.deep
        meets = over + corner - sqrt(max(0.0, corner**2 - half**2))
        marks = sorted({0.0, over, min(top, meets), min(top, corner), min(top, over + corner), top})
        for low, high in itertools.pairwise(marks):
            for x, weight in GAUSS_4:
                yield low + (high - low) * x * x, weight * 2 * x * (high - low)

    @cached_property
    def _sampled(self) -> list[int]:
        count = len(self.cuts) - 1
        taken = min(count, MOST_PAIRS)
        return [
            (2 * k + 1) * count // (2 * taken) for k in range(taken)
        ]  # from the middles of equal shares: farther out is longer

    def _area(self, strip: float, circle: float) -> float:
        """Return the area of the strip between the first and the last cut that no circle covers, mm^2."""
        lengths = sum(self.cuts[k + 1].at - self.cuts[k].at for k in self._sampled)
        share = (self.cuts[-1].at - self.cuts[0].at) / lengths if lengths else 0.0
        return share * sum(self._between(k, strip, circle) for k in self._sampled)

    def _between(self, k: int, strip: float, circle: float) -> float:
        begin, end = self.cuts[k].at, self.cuts[k + 1].at
        feet = (self.spiral.beside(point, begin)[0] for _, point in self._crossings(k, circle))
        _, _, speed, _ = self.spiral.frame(begin)
        tops = (begin + circle / speed, end - circle / speed)  # where a circle that does not reach its neighbour ends
        marks = sorted({begin, end, *(mark for mark in (*feet, *tops) if begin < mark < end)})
        points = [self.cuts[m].point for m in self._near(k)]
        found = 0.0
        for low, high in itertools.pairwise(marks):
            for x, weight in GAUSS_4:
                found += weight * (high - low) * self._uncut(low + (high - low) * x, strip, circle, points)
        return found

    def _uncut(self, at: float, strip: float, circle: float, points: list[complex]) -> float:
        """Return what stands on the normal at an angle, for each radian, mm^2."""
        foot, normal, speed, bend = self.spiral.frame(at)
        return speed * _bare([(point - foot) * normal.conjugate() for point in points], 0.0, circle, strip, bend)


def _bare(points: list[complex], far: float, circle: float, strip: float, bend: float) -> float:
    """Return what no circle covers of a line across the strip, for each mm along it; mm.

    Parameters
    ----------
    points : list of complex
        Middles of the circles: how far outward of the line, and how far ahead along the spiral.
    far : float
        How far along the spiral from where these are measured the line is.
    circle, strip : float
        Radius of the circles, and how far the line goes to both sides.
    bend : float
        Of the spiral, 1 / radius.
    """
    spans = []
    for point in points:
        square = circle * circle - (point.imag - far) ** 2
        if square > 0.0:
            spans.append((point.real - sqrt(square), point.real + sqrt(square)))
    left, here = 0.0, -strip
    for low, high in [*sorted(spans), (strip, strip)]:
        stop = min(low, strip)
        if stop > here:
            left += (stop - here) + bend * (stop * stop - here * here) / 2
        here = max(here, min(high, strip))
    return left
