"""The wanted depth along a coordinate: stretches that rise, fall or stand still, and what lies beyond their ends.

The coordinate is degrees round a table or mm along a slide; depth is mm and grows into the work.  A line may jump: two
stretches may meet at one coordinate with different depths, like a riser between two flats.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from itertools import pairwise
from typing import Literal, NamedTuple

from msgspec import Struct

from stepcut.kernel.motions import MOTIONS, Motion

Curve = Callable[[float], float]
Beyond = Literal["level", "free", "wall", "tangent"]

FREE = math.inf  # nothing is wanted here: cut as deep as you like
WALL = -math.inf  # nothing may be cut here at all


class Stretch(NamedTuple):
    """A piece of a line over which one formula holds.

    Parameters
    ----------
    begin, end : float
        Coordinates.
    first, last : float
        Depth at its two ends, mm.
    depth, slope : callable
        Depth, mm, and its growth for each unit of the coordinate, at a coordinate of the stretch.
    straight : bool
        Whether it is a straight line.
    """

    begin: float
    end: float
    first: float
    last: float
    depth: Curve
    slope: Curve
    straight: bool


def straight(begin: float, end: float, first: float, last: float) -> Stretch:
    """Return a straight stretch; one of no length is a riser and is left out by :class:`Line`."""
    if first == last or end <= begin:
        return Stretch(begin, end, first, last, lambda x: first, lambda x: 0.0, True)
    rate = (last - first) / (end - begin)
    return Stretch(begin, end, first, last, lambda x: first + rate * (x - begin), lambda x: rate, True)


def moved(begin: float, end: float, first: float, last: float, motion: Motion) -> Iterator[Stretch]:
    """Yield the stretches of one motion between two depths, one for each of its formulas.

    Examples
    --------
    >>> [round(s.last, 6) for s in moved(0.0, 90.0, 0.0, 2.0, MOTIONS["parabolic"])]
    [1.0, 2.0]
    """
    if motion.name == "uniform" or first == last:
        yield straight(begin, end, first, last)
        return
    length, rise = end - begin, last - first

    def depth(x: float) -> float:
        return first + rise * motion.share(min(max((x - begin) / length, 0.0), 1.0))

    def slope(x: float) -> float:
        return rise / length * motion.rate(min(max((x - begin) / length, 0.0), 1.0))

    marks = [begin, *(begin + length * x for x in motion.joints), end]
    for a, b in pairwise(marks):
        yield Stretch(a, b, depth(a), last if b == end else depth(b), depth, slope, False)


class Line(Struct, frozen=True, dict=True):
    """The wanted depth over [0, span].

    Parameters
    ----------
    stretches : tuple of Stretch
        In order, from 0; each begins where the one before ends.
    before, after : str
        What lies beyond the ends: ``level`` (the end's depth goes on), ``free`` (nothing is wanted), ``wall`` (nothing may be
        cut) or ``tangent`` (the end's slope goes on).
    period : float or None
        When given, the line comes round: what lies beyond its ends is itself, with ``free`` between span and period.
    """

    stretches: tuple[Stretch, ...]
    before: Beyond = "level"
    after: Beyond = "level"
    period: float | None = None

    @cached_property
    def begins(self) -> tuple[float, ...]:
        """Coordinates where the stretches begin."""
        return tuple(stretch.begin for stretch in self.stretches)

    @cached_property
    def span(self) -> float:
        """Length over which the line is wanted."""
        return self.stretches[-1].end

    @cached_property
    def start(self) -> float:
        """Depth at the beginning, mm."""
        return self.stretches[0].first

    @cached_property
    def floor(self) -> float:
        """Depth at the end, mm."""
        return self.stretches[-1].last

    @cached_property
    def deepest(self) -> float:
        """Greatest depth anywhere, mm."""
        return max(max(s.first, s.last) for s in self.stretches)

    @cached_property
    def grows(self) -> bool:
        """Whether the depth never decreases."""
        ends = [depth for s in self.stretches for depth in (s.first, s.last)]
        return self.period is None and all(b >= a for a, b in pairwise(ends))

    @cached_property
    def straight(self) -> bool:
        """Whether every stretch is a straight line."""
        return all(stretch.straight for stretch in self.stretches)

    @cached_property
    def joints(self) -> tuple[float, ...]:
        """Coordinates inside the span where the formula changes."""
        return self.begins[1:]

    @cached_property
    def steepest(self) -> float:
        """The largest slope without regard to its sign, per unit of the coordinate, from 64 places of each stretch."""
        most = 0.0
        for s in self.stretches:
            places = 1 if s.straight else 64
            most = max(most, *(abs(s.slope(s.begin + (s.end - s.begin) * (k + 0.5) / places)) for k in range(places)))
        return most

    def _at(self, at: float) -> Stretch:
        return self.stretches[min(max(bisect_right(self.begins, at) - 1, 0), len(self.stretches) - 1)]

    def _home(self, at: float) -> float:
        """Return the coordinate moved into [0, period) when the line comes round."""
        return at % self.period if self.period is not None else at

    def wants(self, at: float) -> bool:
        """Whether a coordinate lies in the line itself, and not beyond its ends."""
        hair = 1e-9 * self.span
        return -hair <= self._home(at) <= self.span + hair

    @cached_property
    def corners(self) -> tuple[float, ...]:
        """Coordinates of the inner corners, where a round cutter leaves metal: the depth stops growing so fast, or jumps."""
        found = []
        for a, b in pairwise(self.stretches):
            before, after = a.slope(a.end), b.slope(b.begin)
            if a.last != b.first or before > after + 1e-9 * (1 + abs(after)):
                found.append(b.begin)
        return tuple(found)

    def depth(self, at: float) -> float:
        """Return the wanted depth, mm; at a riser the shallower of the two; infinite where nothing is wanted."""
        at = self._home(at)
        if at < 0.0:
            return self._beyond(self.before, self.stretches[0], 0.0, at)
        if at > self.span:
            return FREE if self.period is not None else self._beyond(self.after, self.stretches[-1], self.span, at)
        stretch = self._at(at)
        found = stretch.depth(at)
        if at == stretch.begin and at > 0.0:
            k = self.begins.index(at)
            return min(found, self.stretches[k - 1].last)
        return found

    @staticmethod
    def _beyond(what: Beyond, stretch: Stretch, end: float, at: float) -> float:
        depth = stretch.first if end == 0.0 else stretch.last
        if what == "level":
            return depth
        if what == "tangent":
            return depth + stretch.slope(end) * (at - end)
        return FREE if what == "free" else WALL

    def slope(self, at: float) -> float:
        """Return the growth of depth per unit of the coordinate, just uphill of a place; 0 beyond the ends."""
        at = self._home(at)
        if not 0.0 <= at <= self.span:
            return 0.0
        stretch = self._at(at)
        if at == stretch.begin and at > 0.0:
            stretch = self.stretches[self.begins.index(at) - 1]
        return stretch.slope(at)

    def over(self, low: float, high: float) -> Iterator[Stretch]:
        """Yield what is wanted from `low` to `high` as stretches cut off there; beyond the ends too, and round again.

        A stretch of ``free`` is left out; one of ``wall`` is a straight one of depth minus infinity.
        """
        if self.period is None:
            if low < 0.0:
                yield from self._outside(self.before, self.stretches[0], low, min(0.0, high), 0.0)
            yield from self._inside(low, high, 0.0)
            if high > self.span:
                yield from self._outside(self.after, self.stretches[-1], max(self.span, low), high, self.span)
            return
        for turn in range(math.floor(low / self.period), math.floor(high / self.period) + 1):
            yield from self._inside(low, high, turn * self.period)

    def _inside(self, low: float, high: float, shift: float) -> Iterator[Stretch]:
        first = max(bisect_right(self.begins, low - shift) - 1, 0)
        for k in range(first, len(self.stretches)):
            s = self.stretches[k]
            a, b = max(low, s.begin + shift), min(high, s.end + shift)
            if s.begin + shift > high:
                return
            if a > b:
                continue
            if a == s.begin and b == s.end and not shift:
                yield s
            else:
                yield _clipped(s, a, b, shift)

    def _outside(self, what: Beyond, stretch: Stretch, low: float, high: float, end: float) -> Iterator[Stretch]:
        if what == "free":
            return
        if what == "tangent":
            slope = stretch.slope(end)
            depth = stretch.first if end == 0.0 else stretch.last
            yield straight(low, high, depth + slope * (low - end), depth + slope * (high - end))
            return
        depth = WALL if what == "wall" else (stretch.first if end == 0.0 else stretch.last)
        yield straight(low, high, depth, depth)

    def reach(self, depth: float) -> float:
        """Return the first coordinate at which a growing line is at least so deep; infinite when it never is."""
        if depth <= self.start:
            return 0.0
        for s in self.stretches:
            if s.last >= depth:
                if s.first >= depth:
                    return s.begin
                if s.straight:
                    return s.begin + (s.end - s.begin) * (depth - s.first) / (s.last - s.first)
                low, high = s.begin, s.end
                for _ in range(60):
                    middle = (low + high) / 2
                    low, high = (low, middle) if s.depth(middle) >= depth else (middle, high)
                return high
        return math.inf


def _clipped(s: Stretch, a: float, b: float, shift: float) -> Stretch:
    """Return a stretch between two of its coordinates, moved on by a whole number of periods."""
    first = s.first if a <= s.begin + shift else s.depth(a - shift)
    last = s.last if b >= s.end + shift else s.depth(b - shift)
    if s.straight:
        return straight(a, b, first, last)
    if not shift:
        return s._replace(begin=a, end=b, first=first, last=last)
    return Stretch(a, b, first, last, lambda x: s.depth(x - shift), lambda x: s.slope(x - shift), False)


def line_of(pieces: Iterable[Stretch], **beyond: object) -> Line:
    """Return the line of some stretches; risers, which have no length, are only the jump between their neighbours."""
    return Line(tuple(s for s in pieces if s.end > s.begin), **beyond)  # type: ignore[arg-type]  # the words of Line


def line_by_motion(
    name: str, span: float, rise: float, start: float = 0.0, dwell_high: float = 0.0, dwell_low: float = 0.0
) -> Line:
    """Return the wanted depth for a named motion with a dwell before and after it.

    Parameters
    ----------
    name : str
        A key of ``MOTIONS``.
    span : float
        Whole length of the coordinate, dwells included.
    rise, start : float
        Total growth of depth and the depth at the beginning, mm.
    dwell_high, dwell_low : float
        Length of the dwells at the beginning and at the end.

    Examples
    --------
    >>> round(line_by_motion("harmonic", 180.0, 2.0).depth(90.0), 9)
    1.0
    """
    pieces = [straight(0.0, dwell_high, start, start)]
    pieces += moved(dwell_high, span - dwell_low, start, start + rise, MOTIONS[name])
    pieces.append(straight(span - dwell_low, span, start + rise, start + rise))
    return line_of(pieces)


def line_by_targets(targets: Iterable[tuple[float, float]], **beyond: object) -> Line:
    """Return the wanted depth through (coordinate, depth) pairs joined by straight lines; two at one place are a riser.

    Examples
    --------
    >>> flats = line_by_targets([(0.0, 1.0), (30.0, 1.0), (30.0, 2.0), (60.0, 2.0)])
    >>> flats.depth(29.0), flats.depth(30.0), flats.depth(31.0)
    (1.0, 1.0, 2.0)
    """
    return line_of((straight(a, b, p, q) for (a, p), (b, q) in pairwise(targets)), **beyond)
