"""What round cuts at points leave along a wall that is part of a circle: pieces of the wall, each made by one cut.

Seen from the middle of the circle, a ray ends in the wall where the last of the cuts that it meets ends (a hollow), or where the
first of them begins (a boss).  Two equal circles change places at one angle, so that the wall is a row of pieces, found with one
stack.  Stock is least where a ray passes through the middle of its cut, and most where two pieces meet: there stands the ridge.
No outside source: plane geometry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from stepcut.kernel.measure import GAUSS_8


class Cut(NamedTuple):
    """A cut as seen from the middle of the wanted circle: radians (growing from cut to cut), and mm."""

    at: float
    x: float
    y: float


class Stands(NamedTuple):
    """Highest, least and mean stock along the wall, mm; volume, mm^3 for each mm of thickness."""

    most: float
    least: float
    mean: float
    volume: float


class Wall(NamedTuple):
    """A wanted wall: its radius, the cutter's, 1 where the cutter is inside of it and -1 outside; mm."""

    radius: float
    size: float
    side: int

    def stock(self, cut: Cut, at: float) -> float:
        """Return what a cut leaves on the ray at an angle, mm."""
        along = cut.x * math.cos(at) + cut.y * math.sin(at)
        beside = cut.y * math.cos(at) - cut.x * math.sin(at)
        ends = along + self.side * math.sqrt(max(0.0, self.size * self.size - beside * beside))
        return self.side * (self.radius - ends)

    def crossing(self, a: Cut, b: Cut) -> float:
        """Return the angle at which the later of two cuts takes the place of the earlier one."""
        apart = math.hypot(b.x - a.x, b.y - a.y)
        rise = math.sqrt(max(0.0, self.size * self.size - apart * apart / 4)) / apart
        ways = [
            ((a.x + b.x) / 2 + way * rise * (b.y - a.y), (a.y + b.y) / 2 - way * rise * (b.x - a.x)) for way in (1, -1)
        ]
        x, y = max(ways, key=lambda point: self.side * math.hypot(*point))
        middle = (a.at + b.at) / 2
        return middle + math.remainder(math.atan2(y, x) - middle, 2 * math.pi)

    def pieces(self, cuts: Sequence[Cut], begin: float, end: float) -> Iterator[tuple[Cut, float, float]]:
        """Yield each piece of the wall between two angles: the cut that makes it, and where it begins and ends."""
        stack: list[tuple[Cut, float]] = []
        for cut in cuts:
            low = -math.inf
            while stack:
                last, since = stack[-1]
                low = self.crossing(last, cut) if (last.x, last.y) != (cut.x, cut.y) else math.inf
                if low > since:
                    break
                stack.pop()
                low = -math.inf
            if low < math.inf:
                stack.append((cut, low))
        lows = [low for _, low in stack[1:]]
        for (cut, low), high in zip(stack, [*lows, math.inf], strict=True):
            if min(high, end) > max(low, begin):
                yield cut, max(low, begin), min(high, end)

    def stands(self, cuts: Sequence[Cut], begin: float, end: float) -> Stands:
        """Return what stands between two angles."""
        most, least, total, volume = -math.inf, math.inf, 0.0, 0.0
        for cut, low, high in self.pieces(cuts, begin, end):
            marks = [low, cut.at, high] if low < cut.at < high else [low, high]
            stocks = [self.stock(cut, at) for at in marks]
            most, least = max(most, *stocks), min(least, *stocks)
            for a, b in pairwise(marks):
                for share, weight in GAUSS_8:
                    height = self.stock(cut, a + (b - a) * share)
                    total += weight * (b - a) * height
                    volume += weight * (b - a) * height * (self.radius - self.side * height / 2)
        return Stands(most, least, total / (end - begin), volume)


def seen(places: Sequence[tuple[float, float]], middle: float, whole: bool) -> list[Cut]:
    """Return cuts (mm from the middle of the circle) in order of their angles, within half a turn of a middle one, radians.

    Where the wall comes round the same cuts stand before and behind it once more.
    """
    cuts = []
    for x, y in places:
        at = middle + math.remainder(math.atan2(y, x) - middle, 2 * math.pi)
        turns = (-1, 0, 1) if whole else (0,)
        cuts += [Cut(at + 2 * math.pi * turn, x, y) for turn in turns]
    return sorted(cuts)
