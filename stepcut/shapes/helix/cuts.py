"""All the cuts of one groove, and what they leave: every pattern of rounded steps is measured once.

Steps of equal divisions of table and slide, with equal steps around them, leave the same but for how far all of them stand
beside the helix.  The farther to one side, the higher the ridges of the other: of each pattern the two farthest are measured,
one for each wall.  So the work does not grow with the number of cuts.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from msgspec import Struct

from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.left import Cut, Pair, Ridges, end

AROUND = 4  # cuts on each side that are looked at where very fine steps reach over each other
BEST = 3  # patterns that are looked at closer, of those that stand highest at a radius
ALIKE = 9  # decimals of a mm: cuts that stand alike beside the helix
CHEBYSHEV = tuple((1 - math.cos(math.pi * (2 * k + 1) / 6)) / 2 for k in range(3))  # nodes of a parabola, from 0 to 1
FEW = 8  # patterns of very fine cuts that are all weighed
SPREAD = 16  # places at which the volume of very fine cuts is taken


class Floor(NamedTuple):
    """What stands in one groove: the volume on walls and floor, mm^3, and mean and largest height along the floor, mm."""

    volume: float
    mean: float
    most: float


class Pattern(NamedTuple):
    """Steps alike: where they occur, the places that stand farthest down and up the slide, and how far."""

    places: list[int]
    low: int
    high: int


class Row(Struct, frozen=True, dict=True):
    """The cuts of one groove, in order.

    Parameters
    ----------
    screw : Screw
        The groove.
    marks, slides : sequence of int
        Divisions of table and slide.
    turn, travel : float
        Radians and mm of one division of each.
    shift : float
        How far along the slide its helix lies from the one that begins at 0, mm.
    sides : tuple of int
        The walls that these cuts make: 1 where w grows, -1 where it falls; both when the groove is as wide as its cutter.
    """

    screw: Screw
    marks: Sequence[int]
    slides: Sequence[int]
    turn: float
    travel: float
    shift: float = 0.0
    sides: tuple[int, ...] = (1, -1)

    @cached_property
    def cuts(self) -> list[Cut]:
        """The cuts: radians, and mm beside the helix."""
        k = self.screw.pitch
        return [
            Cut(mark * self.turn, slide * self.travel - self.shift - k * mark * self.turn)
            for mark, slide in zip(self.marks, self.slides, strict=True)
        ]

    @cached_property
    def around(self) -> int:
        """How many more cuts on each side may reach between two neighbours: where rounding counts for more than the step."""
        offs = [cut.off for cut in self.cuts]
        rho = self.screw.outside
        wide = self.screw.row(rho)[0]
        seen = self.screw.interval(rho, wide - (max(offs) - min(offs)))
        step = self.turn * min((b - a for a, b in pairwise(self.marks)), default=1)
        return min(AROUND, math.floor((seen[1] - seen[0]) / step)) if seen else 0

    @cached_property
    def patterns(self) -> list[Pattern]:
        """Every pattern of steps."""
        steps = [(n - m, t - s) for (m, s), (n, t) in pairwise(zip(self.marks, self.slides, strict=True))]
        found: dict[tuple[tuple[int, int], ...], Pattern] = {}
        cuts, around = self.cuts, self.around
        for k in range(len(steps)):
            near = tuple(steps[max(0, k - around) : k + around + 1])
            key = ((min(k, around), 0), *near)
            known = found.get(key)
            if known is None:
                found[key] = Pattern([k], k, k)
                continue
            known.places.append(k)
            if cuts[k].off < cuts[known.low].off:
                found[key] = known._replace(low=k)
            elif cuts[k].off > cuts[known.high].off:
                found[key] = known._replace(high=k)
        return list(found.values())

    def pair(self, k: int) -> Pair:
        """Return a cut and the one after it, counted from the first of them, and those around."""
        near = self.cuts[max(0, k - self.around) : k] + self.cuts[k + 2 : k + 2 + self.around]
        at = self.cuts[k].at
        before, after, *others = (Cut(cut.at - at, cut.off) for cut in (self.cuts[k], self.cuts[k + 1], *near))
        return Pair(self.screw, before, after, tuple(others))

    # --- what is left ------------------------------------------------------------------------------------------------

    def ridges(self, limit: float = math.inf) -> Ridges:
        """Return the highest ridges that the cuts leave; as soon as one is above a limit, that one only."""
        screw = self.screw
        up, down = 1 in self.sides, -1 in self.sides
        pairs = [self.pair(one.low) for one in self.patterns if up]
        pairs += [self.pair(one.high).turned() for one in self.patterns if down]
        if not pairs:
            return Ridges(0.0, 0.0, 0.0)
        floor = screw.square(max(self._floors.values())[0])
        rows = [min(screw.outside, rho) for rho in ((screw.bottom + screw.joint) / 2, screw.joint, screw.outside)]
        looked: set[int] = set()
        wall = most = 0.0
        for rho in dict.fromkeys(rows):
            heights = []
            for pair in pairs:
                heights.append(pair.height(rho))
                if heights[-1] > limit:
                    return Ridges(0.0, floor, heights[-1])
            looked.update(sorted(range(len(pairs)), key=lambda k, heights=heights: -heights[k])[:BEST])  # type: ignore[misc]  # bound at once
            wall = max(heights) if rho == screw.outside else wall
        for k in looked:
            most = max(most, pairs[k].ridges().most)
        return Ridges(wall, floor, most if most > max(wall, floor) * (1 + 1e-6) else 0.0)

    @cached_property
    def _floors(self) -> dict[tuple[int, int], tuple[float, float]]:
        """Largest and mean height along the middle of the floor, for every step of table and slide."""
        found = {}
        for one in self.patterns:
            step = self._step(one.low)
            if step not in found:
                found[step] = self.pair(one.low)._replace(others=()).floor()
        return found

    def _step(self, k: int) -> tuple[int, int]:
        return self.marks[k + 1] - self.marks[k], self.slides[k + 1] - self.slides[k]

    def left(self) -> Floor:
        """Return what stands in the groove."""
        if not self.patterns:
            return Floor(0.0, 0.0, 0.0)
        most = mean = length = 0.0
        for one in self.patterns:
            step = self._step(one.low)
            highest, middle = self._floors[step]
            most, mean = max(most, highest), mean + middle * step[0] * len(one.places)
            length += step[0] * len(one.places)
        return Floor(self._volume() + self._ends(), mean / length, most)

    def _ends(self) -> float:
        """Return the volume that stands in the rounds of both ends."""
        first, last = self.cuts[0], self.cuts[-1]
        return sum(end(self.screw, last, side) + end(self.screw, first.turned(), -side) for side in self.sides)

    def _volume(self) -> float:
        """Return the volume that stands on both sides.

        What cuts of one pattern leave depends only on how far they stand off the helix.  Where very fine cuts have too many
        patterns, places far apart serve.
        """
        if self.around and len(self.patterns) > FEW:
            count = len(self.cuts) - 1
            places = sorted({k * count // SPREAD for k in range(SPREAD)})
            share = (self.cuts[-1].at - self.cuts[0].at) / sum(self.cuts[k + 1].at - self.cuts[k].at for k in places)
            return share * self._walls(self.pair(k) for k in places)
        found = 0.0
        for one in self.patterns:
            pair = self.pair(one.low)
            beside = [self.cuts[k].off - pair.before.off for k in one.places]
            for off, weight in _nodes(beside, (-pair.before.off, -pair.after.off)):
                found += weight * self._walls([pair.moved(off)])
        return found

    def _walls(self, pairs: Iterable[Pair]) -> float:
        """Return the volume between cuts, on the sides whose walls they make."""
        return sum((pair if side > 0 else pair.turned()).volume() for pair in pairs for side in self.sides)


def _nodes(places: Iterable[float], bends: Iterable[float]) -> Iterator[tuple[float, float]]:
    """Yield the places at which something is to be asked, and weights, so that their sum is that over all places.

    Between places where it bends it is taken as a parabola through three of them, the zeros of Chebyshev's polynomial.
    """
    counts = Counter(round(place, ALIKE) for place in places)
    ends = [-math.inf, *sorted(bends), math.inf]
    for low, high in pairwise(ends):
        inside = {place: count for place, count in counts.items() if low < place <= high}
        if len(inside) <= len(CHEBYSHEV):
            yield from ((place, float(count)) for place, count in inside.items())
            continue
        least, wide = min(inside), max(inside) - min(inside)
        for k, node in enumerate(CHEBYSHEV):
            others = [other for j, other in enumerate(CHEBYSHEV) if j != k]
            weight = sum(
                count * math.prod(((place - least) / wide - other) / (node - other) for other in others)
                for place, count in inside.items()
            )
            yield least + wide * node, weight
