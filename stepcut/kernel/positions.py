"""Where to stop, in whole divisions of the machine's scales.

Every function returns a list of ``(first, second)`` divisions: the place (table or slide) and the depth.  Places are
rounded up, so that the cutter never hangs over the place it was meant for; each depth is then the deepest division that
the wanted surface allows there.  Positions are rounded, never increments.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable
from fractions import Fraction
from itertools import pairwise
from typing import Protocol

from stepcut.kernel.cut import Cut, Place
from stepcut.machine import WHOLE, Scale
from stepcut.plan import Refused

Position = tuple[int, int]

MOST_STOPS = 100_000


class Spaced(Protocol):
    """What even steps and the fewest-stop walk ask of a cut; depths grow into the metal, mm."""

    @property
    def is_flat(self) -> bool:
        """Whether stops that only repeat their neighbours' depth cut nothing."""

    @property
    def lead(self) -> float:
        """How far past a place the stop stands that cuts it."""

    @property
    def end(self) -> float:
        """Where the last stop stands."""

    @property
    def floor(self) -> float:
        """Depth of the last stop."""

    def deepest(self, at: float) -> float:
        """Greatest depth at which a stop nowhere cuts below the stock line."""

    def ridge(self, before: Place | None, after: Place) -> float:
        """Scallop that stands between two stops."""

    def meets(self, before: float, after: float) -> bool:
        """Whether two neighbouring cuts leave no uncut metal between them."""


def _too_many(stops: int) -> Refused:
    return Refused("stops", "too-many", stops=stops, most=MOST_STOPS)


def place(position: Position, first: Scale, second: Scale) -> Place:
    """Return a position in degrees (or mm) and mm."""
    return float(first.value(position[0])), float(second.value(position[1]))


def places(row: Iterable[Position], first: Scale, second: Scale) -> list[Place]:
    """Return positions in degrees (or mm) and mm."""
    return [place(position, first, second) for position in row]


def highest(cut: Spaced, stops: list[Place]) -> float:
    """Return the largest ridge between neighbouring stops, mm."""
    return max((cut.ridge(before, after) for before, after in pairwise(stops)), default=0.0)


def _settled(cut: Spaced, first: Scale, second: Scale, places: Iterable[int]) -> list[Position]:
    """Give each place its deepest division and drop the stops that would cut nothing; the last one stays."""
    stops: list[Position] = []
    end = first.up(cut.end)
    floor = second.down(cut.floor)
    rising = [p for p in dict.fromkeys(places) if p < end]
    for p in rising:
        depth = second.down(cut.deepest(float(first.value(p))))
        if second.value(depth) > 0:
            stops.append((p, depth))
    if second.value(floor) > 0:
        stops.append((end, floor))
    return _useful(cut, first, second, stops)


def _useful(cut: Spaced, first: Scale, second: Scale, stops: list[Position]) -> list[Position]:
    """Drop the stops of a flat end that lie wholly in metal that their neighbours remove."""
    if not cut.is_flat:
        return stops
    kept: list[Position] = []
    for k, stop in enumerate(stops):
        if kept and k + 1 < len(stops) and kept[-1][1] == stop[1]:
            before, after = place(kept[-1], first, second), place(stops[k + 1], first, second)
            if cut.meets(before[0], after[0]):
                continue
        kept.append(stop)
    return kept


def even(cut: Spaced, first: Scale, second: Scale, step: Fraction) -> list[Position]:
    """Return stops a fixed step apart, counted from the high end, and the last one at the end of the span.

    Raises
    ------
    Refused
        When there would be more than ``MOST_STOPS``.
    """
    count = int((cut.end - cut.lead) / float(step)) + 1
    if count > MOST_STOPS:
        raise _too_many(count)
    lead = first.value(first.up(cut.lead))
    return _settled(cut, first, second, (first.up(lead + k * step) for k in range(count + 1)))


def by_count(cut: Spaced, first: Scale, second: Scale, stops: int) -> list[Position]:
    """Return so many stops, evenly spread from the high end to the end of the span; fewer where some cut nothing.

    When the first place cuts too (the ramp starts below the face), it is one of them.
    """
    if stops > MOST_STOPS:
        raise _too_many(stops)
    length = first.value(first.up(cut.end)) - first.value(first.up(cut.lead))
    best: list[Position] = []
    for spaces in range(max(1, stops - 1), 2 * stops + 2):
        plan = even(cut, first, second, length / spaces)
        if len(plan) == stops:
            return plan
        if not best or abs(len(plan) - stops) < abs(len(best) - stops):
            best = plan
        if len(plan) > stops:
            break
    return best


def by_drop(cut: Cut, first: Scale, second: Scale, drop: Fraction) -> list[Position]:
    """Return stops a fixed depth apart, each as far uphill as its depth is allowed.

    Depths are whole multiples of the drop below the first level, so that they do not add up an error.
    """
    start = max(0.0, cut.wanted.start - cut.leave)
    count = int((cut.floor - start) / float(drop)) + 1
    if count > MOST_STOPS:
        raise _too_many(count)
    end, floor = first.up(cut.end), second.down(cut.floor)
    begin = second.value(second.down(start))
    stops: list[Position] = []
    low = first.up(cut.lead)
    for k in range(count + 1):
        depth = second.down(begin + k * drop)
        if second.value(depth) <= 0 or (stops and depth <= stops[-1][1]):
            continue
        if depth >= floor:
            break
        low = _first_allowed(cut, first, second, depth, low, end)
        if low >= end:
            break
        if stops and stops[-1][0] == low:
            stops.pop()
        stops.append((low, depth))
    if second.value(floor) > 0:
        stops.append((end, floor))
    return _bridged(cut, first, second, stops)


def _bridged(cut: Cut, first: Scale, second: Scale, stops: list[Position]) -> list[Position]:
    """Put stops into the dwells that a cutter does not cover from one depth to the next."""
    reaches = [cut.foot.reach(radius, cut.foot.half_width) for radius in cut.radii]
    width = int(min(sum(reach) if reach else 0.0 for reach in reaches) / float(first.division))
    full: list[Position] = []
    for stop in stops:
        while full and stop[0] - full[-1][0] > width > 0:
            between = full[-1][0] + width
            full.append((between, max(full[-1][1], second.down(cut.deepest(float(first.value(between)))))))
            if len(full) > MOST_STOPS:
                raise _too_many(len(full))
        full.append(stop)
    return full


def _first_allowed(cut: Cut, first: Scale, second: Scale, depth: int, low: int, high: int) -> int:
    """Return the first place, from `low` on, where a depth is allowed; `high` when there is none before it."""

    def allowed(p: int) -> bool:
        return second.down(cut.deepest(float(first.value(p)))) >= depth

    return low + bisect_left(range(low, high), True, key=allowed)


def fewest(cut: Spaced, first: Scale, second: Scale, limit: float) -> list[Position]:
    """Return the fewest stops whose ridges stay within a limit, mm: the walk, less the stops that would cut nothing."""
    return _useful(cut, first, second, walk(cut, first, second, limit))


def walk(cut: Spaced, first: Scale, second: Scale, limit: float) -> list[Position]:
    """Return the stops of a walk that from each stop goes as far as the limit, mm, allows.

    Notes
    -----
    Why greedy is fewest: the deepest allowed division does not decrease along the coordinate, so a stop farther on is
    at least as deep, and whatever next stop a nearer one can reach within the limit, it can reach too.  By exchange no
    plan has its k-th stop beyond the k-th stop of this walk.  A cutter without a flat can break the premise by one
    division of rounding, and then need one stop more than the fewest.

    Raises
    ------
    Refused
        When even the next mark leaves a higher ridge, or there would be more than ``MOST_STOPS``.
    """
    end = first.up(cut.end)
    floor = second.down(cut.floor)
    if second.value(floor) <= 0:
        return []
    limit *= 1 + WHOLE  # a ridge of exactly the limit is within it, whatever the sums leave behind the point

    def settled(p: int) -> Position:
        return p, floor if p >= end else second.down(cut.deepest(float(first.value(p))))

    def ridge(before: Position | None, after: Position) -> float:
        return cut.ridge(None if before is None else place(before, first, second), place(after, first, second))

    stops: list[Position] = []
    start = first.up(cut.lead)
    here, stride = start - 1, 1
    opening = settled(start)
    if second.value(opening[1]) > 0 and start < end:  # begins below the face: its first place is a stop
        stops.append(opening)
        here = start
    while not stops or stops[-1][0] < end:
        before = stops[-1] if stops else None

        def within(p: int, before: Position | None = before) -> bool:
            return ridge(before, settled(p)) <= limit

        there = _farthest(within, here, end, stride)
        if there == here:
            raise Refused("scallop", "out-of-reach", best=ridge(before, settled(here + 1)), limit=limit)
        stop = settled(there)
        stride = max(1, there - here)
        here = there
        if second.value(stop[1]) > 0:
            stops.append(stop)
            if len(stops) > MOST_STOPS:
                raise _too_many(len(stops))
    return stops


def _farthest(good: Callable[[int], bool], low: int, high: int, stride: int) -> int:
    """Return the largest place in (low, high] that is good, or `low`; goodness ends once, but for rounding.

    Gallops from a guess of the stride, then halves.
    """
    if good(high):
        return high
    reach = low
    step = max(1, stride)
    top = high
    while reach + step < top:
        if good(reach + step):
            reach += step
            step *= 2
        else:
            top = reach + step
            if reach > low:
                break
            step //= 2
            if step == 0:
                break
    while top - reach > 1:
        middle = (reach + top) // 2
        if good(middle):
            reach = middle
        else:
            top = middle
    return reach
