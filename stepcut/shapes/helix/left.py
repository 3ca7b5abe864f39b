"""What cuts leave in a helical groove, pair by pair: heights, and volume.

The running cutter has a point inside in one interval of its way, so that what stands there besides lies between two
neighbouring cuts: their distance is longer than the interval.  With that nothing is left to be asked of a point but rho, w and
the distance of two cuts; `gap` is by how much the interval is too short.  Rounded cuts stand `off` beside the helix, which
shifts what each sees; where the cuts are so fine that this counts for more than their distance, others than the two neighbours
reach the point too.  A wall where w grows and one where it falls are the same seen from the other end.  No outside source:
derived here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from math import cos, sqrt
from typing import NamedTuple

from stepcut.kernel.measure import GAUSS_8
from stepcut.kernel.search import crossing, lowest, valley
from stepcut.shapes.helix.groove import Screw

ROWS, EDGE = 12, 5  # rows looked at for the highest ridge: of all, and up to where the side of the cutter cuts
LEAVES = 1e-9  # mm: where rows of the volume are divided
INSIDE = 1e-9  # mm^2: a point less deep in a cut than this counts as standing


class Cut(NamedTuple):
    """A cut: radians of the table, and mm along the slide beside the helix."""

    at: float
    off: float

    def turned(self) -> Cut:
        """Return the same cut seen from the other end."""
        return Cut(-self.at, -self.off)


class Ridges(NamedTuple):
    """The highest of what stands, square to the groove's walls and floor; mm.

    Parameters
    ----------
    wall, floor : float
        At the surface; along the middle of the floor.
    corner : float
        Between the two, where it is more than either; else 0.
    """

    wall: float
    floor: float
    corner: float

    @property
    def most(self) -> float:
        """The highest of them."""
        return max(self)


class Pair(NamedTuple):
    """Two neighbouring cuts, seen from the side where w grows, and others that may reach between them."""

    screw: Screw
    before: Cut
    after: Cut
    others: tuple[Cut, ...] = ()

    def turned(self) -> Pair:
        """Return the same cuts seen from the other side."""
        before, after, *others = (cut.turned() for cut in (self.after, self.before, *self.others))
        return Pair(self.screw, before, after, tuple(others[::-1]))

    def moved(self, off: float) -> Pair:
        """Return the same cuts farther beside the helix, mm."""
        before, after, *others = (Cut(cut.at, cut.off + off) for cut in (self.before, self.after, *self.others))
        return Pair(self.screw, before, after, tuple(others))

    def interval(self, rho: float, w: float) -> tuple[float, float]:
        """Return where the running cutter has a point inside; of no length where it never has."""
        found = self.screw.interval(rho, w)
        if found is None:
            turn = self.screw.row(rho)[1]
            return turn, turn
        return found

    def gap(self, rho: float, w: float) -> float:
        """Return how many radians of the table a point stands between the two cuts, uncut; below 0 where they meet."""
        begin, end = self._ends(rho, w)
        return end - begin

    def _ends(self, rho: float, w: float) -> tuple[float, float]:
        """Return where the cut before a point ends to have it inside and the one after begins: half of both their intervals."""
        screw, most = self.screw, self.screw.window(rho)
        last, first = screw.end(rho, w - self.before.off, most), screw.end(rho, w - self.after.off, -most)
        if last is None or first is None:
            turn = screw.row(rho)[1]
            last, first = turn if last is None else last, turn if first is None else first
        return self.before.at + last, self.after.at + first

    def uncut(self, rho: float, w: float) -> float:
        """Return the same without what other cuts take of it."""
        begin, end = self._ends(rho, w)
        left, here = 0.0, begin
        spans = sorted((cut.at + a, cut.at + b) for cut in self.others for a, b in [self.interval(rho, w - cut.off)])
        for low, high in spans:
            left += max(0.0, min(low, end) - here)
            here = max(here, high)
        return left + max(0.0, end - here)

    # --- heights ---------------------------------------------------------------------------------------------------

    def stands_from(self, rho: float) -> float | None:
        """Return the least w at which metal stands at a radius; None where all is cut."""
        wide = self.screw.row(rho)[0]
        if self.gap(rho, wide) <= 0.0:
            return None
        if self.gap(rho, 0.0) >= 0.0:
            return 0.0
        # toward the wall the interval shortens like a root
        root = crossing(lambda z: -self.gap(rho, wide - z * z), 0.0, sqrt(wide), 1e-13)
        return wide - root * root

    def clear(self, rho: float) -> float | None:
        """Return the least w at which metal stands between the two cuts, and no other has cut it."""
        pair = self
        for _ in range(len(self.others) + 1):
            w = pair.stands_from(rho)
            if w is None or not self.others:
                return w
            at = pair.before.at + pair.interval(rho, w - pair.before.off)[1]
            reaching = [cut for cut in self.others if cut not in pair[1:3] and self._inside(cut, rho, at, w)]
            early = [cut for cut in reaching if cut.at < pair.before.at]
            late = [cut for cut in reaching if cut.at > pair.after.at]
            if not early and not late:
                return w
            pair = Pair(self.screw, early[0] if early else pair.before, late[-1] if late else pair.after)
        return None

    def _inside(self, cut: Cut, rho: float, at: float, w: float) -> bool:
        turn = at - cut.at
        return abs(turn) < self.screw.window(rho) and self.screw.bowl(rho, w - cut.off, turn)[0] < -INSIDE

    def height(self, rho: float) -> float:
        """Return the highest of what stands at a radius, mm."""
        w = self.clear(rho)
        return 0.0 if w is None else self.screw.deep(rho, w)

    def ridges(self) -> Ridges:
        """Return the highest ridges, on the side where w grows."""
        screw, (above, _) = self.screw, self.floor()
        floor = screw.square(above)
        wall = self.height(screw.outside)
        deep, edge = screw.outside - screw.bottom, screw.joint - screw.bottom
        rows = {screw.bottom + above * (1 - 1e-9), *(screw.bottom + deep * k / ROWS for k in range(ROWS + 1))}
        rows |= {
            screw.bottom + edge * k / EDGE for k in range(2 * EDGE + 1)
        }  # the corner may be far lower than the groove
        most = self._peak([rho for rho in rows if rho <= screw.outside])
        return Ridges(wall, floor, most if most > max(wall, floor) * (1 + 1e-6) else 0.0)

    def _peak(self, rows: list[float]) -> float:
        """Return the highest of what stands, closed in on where it is highest of all rows and of those apart from it; mm."""
        rows = sorted(rows)
        heights = [self.height(rho) for rho in rows]
        last, most = len(rows) - 1, max(heights)
        peaks = [k for k, high in enumerate(heights) if high >= max(heights[max(0, k - 1) : k + 2])]
        for k in sorted(peaks, key=lambda k: -heights[k])[:2]:
            low, high = rows[max(0, k - 1)], rows[min(last, k + 1)]
            most = max(most, -valley(lambda rho: -self.height(rho), low, high, 1e-4)[1])
        return most

    # --- the floor and the volume ----------------------------------------------------------------------------------

    def _over_floor(self, at: float) -> float:
        """Return the height of what stands on the middle of the floor, mm."""
        screw, least = self.screw, self.screw.outside
        for cut in (self.before, self.after):
            turn, along = at - cut.at, screw.pitch * (at - cut.at) - cut.off
            if abs(turn) < math.pi / 2:
                least = min(least, screw.over_floor(turn, along))
        return least - screw.bottom

    def floor(self) -> tuple[float, float]:
        """Return the largest and the mean height of what stands along the middle of the floor, mm."""
        begin, end = self.before.at, self.after.at
        middle = (begin + end) / 2
        mean = sum(
            weight * self._over_floor(low + (high - low) * x) / 2
            for low, high in ((begin, middle), (middle, end))
            for x, weight in GAUSS_8
        )
        most = lowest(lambda at: -self._over_floor(at), begin, end, 8, (middle,))[1]
        return -most, mean

    def volume(self) -> float:
        """Return the volume of what stands, on the side where w grows; mm^3."""
        screw = self.screw
        found = 0.0
        for rho, weight in _rows(self._marks()):
            wide, low = screw.row(rho)[0], self.stands_from(rho)
            if low is None:
                continue
            stands = 0.0
            for first, last in pairwise(self._bends(rho, wide, low)):
                for x, share in GAUSS_8:  # toward each bend an interval shortens like a root
                    w = last - (last - first) * x * x
                    stands += share * 2 * x * (last - first) * self.uncut(rho, w)
            found += weight * rho * stands
        return found

    def _bends(self, rho: float, wide: float, low: float) -> list[float]:
        """Return places, in order, between which what stands at a radius runs smoothly.

        It bends where either cut ends, as far beside the running cutter's wall as it stands off the helix, and at a flat's edge.
        """
        inner = [wide + cut.off for cut in (self.before, self.after)]
        if self.screw.flat:
            inner += [bend for side in (1, -1) for bend in self._edges(rho, side)]
        return [low, *sorted({w for w in inner if low < w < wide}), wide]

    def _edges(self, rho: float, side: int) -> Iterator[float]:
        """Yield where the edge of a flat, to one side of it, ends what the cut before and the one after take at a radius."""
        screw = self.screw
        turn = screw.window(rho)
        half = side * sqrt(max(0.0, screw.outline.radius**2 - (rho * math.sin(turn)) ** 2))
        yield self.before.off + half - screw.pitch * turn
        yield self.after.off + half + screw.pitch * turn

    def _marks(self) -> list[float]:
        """Return radii, in order, between which what stands changes smoothly.

        Above the bottom and the facets of the floor the groove widens like a root; from where flats a turn apart are cut by both
        on, from where the side of the cutter cuts the wall on, and from where a flat's edge is past what stands or its side hides it, rows
        follow another formula.
        """
        screw, turn = self.screw, self.after.at - self.before.at
        marks = {screw.bottom, screw.bottom + self.floor()[0], screw.joint, screw.outside}
        if screw.flat and turn < math.pi / 2:
            marks.add(screw.bottom / cos(turn))
        if screw.flat and screw.joint < screw.outside:
            marks |= {math.hypot(screw.bottom, screw.outline.radius), *self._leaves()}
        return sorted(mark for mark in marks if mark <= screw.outside)

    def _leaves(self) -> Iterator[float]:
        """Yield the radii above the joint at which the flat's edge of either cut comes out of what stands at the wall."""
        screw = self.screw
        for k in (0, 1):

            def stands(rho: float, k: int = k) -> float:
                return -self.gap(rho, min(list(self._edges(rho, 1))[k], screw.row(rho)[0]))

            if stands(screw.joint) < 0.0 < stands(screw.outside):
                yield crossing(stands, screw.joint, screw.outside, LEAVES)


def end(screw: Screw, cut: Cut, side: int) -> float:
    """Return the volume that the running cutter takes where its way ends, to one side, and its last cut does not; mm^3.

    Table and slide round the last cut apart, and the way ends at the one that comes first; so a sliver as thick as that stands in the
    round of the end.  Where the way begins it is the same seen from the other side.
    """
    late = max(0.0, -cut.off / screw.pitch)
    pair = Pair(screw, cut, cut)

    def last(rho: float, w: float) -> float:
        found = screw.interval(rho, w)
        return found[1] if found else math.copysign(screw.row(rho)[1], -w)

    found = 0.0
    marks = {screw.bottom, screw.joint, screw.outside}
    for rho, weight in _rows(sorted(mark for mark in marks if mark <= screw.outside)):
        wide = screw.row(rho)[0]
        bends = [wide + side * cut.off, *(side * w for w in pair._bends(rho, wide, -wide))]
        for low, high in pairwise([0.0, *sorted({w for w in bends if 0.0 < w < wide}), wide]):
            for x, share in GAUSS_8:
                w = side * (high - (high - low) * x * x)
                stands = max(0.0, last(rho, w) - late - last(rho, w - cut.off))
                found += weight * rho * share * 2 * x * (high - low) * stands
    return found


def _rows(marks: list[float]) -> Iterator[tuple[float, float]]:
    """Yield radii and their weights."""
    for low, high in pairwise(marks):
        for x, weight in GAUSS_8:
            yield low + (high - low) * x * x, 2 * weight * x * (high - low)
