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
        """Return the highest ridges of all."""
        found = [self.ridges_of(k) for k in range(len(self.cuts) - 1)]
        return Ridges(max((one.wall for one in found), default=0.0), max((one.floor for one in found), default=0.0))

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

    def _near(self, k: int) -> range:
        return range(max(0, k - AROUND), min(len(self.cuts), k + 2 + AROUND))

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
            total += weight * self._area(strip, circle)
        return total

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
        return sorted({k * count // min(count, MOST_PAIRS) for k in range(min(count, MOST_PAIRS))})

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
        spans = []
        for point in points:
            along = (point - foot) * normal.conjugate()  # how far out, and how far beside the normal
            square = circle * circle - along.imag**2
            if square > 0.0:
                spans.append((along.real - sqrt(square), along.real + sqrt(square)))
        left, here = 0.0, -strip
        for low, high in [*sorted(spans), (strip, strip)]:
            stop = min(low, strip)
            if stop > here:
                left += (stop - here) + bend * (stop * stop - here * here) / 2
            here = max(here, min(high, strip))
        return left * speed
