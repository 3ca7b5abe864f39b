"""Rays of a rim that was worked out made into stretches of a line: parted at its corners, each only growing or only falling."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from stepcut.kernel.line import Stretch, straight

LEVEL = 1e-9  # mm from one ray to the next that count as standing still
CORNER = 0.02  # mm a degree that the rim's change drops from one ray to the next: no round nose is so sharp
Ray = tuple[float, float, float]  # angle, radius, its change


def runs(rays: list[Ray]) -> Iterator[Stretch]:
    """Yield the rays of one stretch as stretches over which the radius only grows or only falls, parted at its corners."""
    for part in _parted(rays):
        begin = 0
        ways = [_way(b[1] - a[1]) for a, b in pairwise(part)]
        for k in range(1, len(part) - 1):
            if ways[k] != ways[k - 1]:
                yield _through(part[begin : k + 1])
                begin = k
        yield _through(part[begin:])


def _way(change: float) -> int:
    """Return whether a radius grows, falls or stands still."""
    return 0 if abs(change) < LEVEL else 1 if change > 0 else -1


def _parted(rays: list[Ray]) -> Iterator[list[Ray]]:
    """Yield the rays between the corners that an undercut leaves: where the change of the radius drops at once.

    Between two rays the corner stands where the rim's two directions meet.
    """
    part = [rays[0]]
    for (at, radius, rate), after in pairwise(rays):
        drop = rate - after[2]
        if drop > CORNER:
            where = (after[1] - radius + rate * at - after[2] * after[0]) / drop
            if at < where < after[0]:
                tip = radius + rate * (where - at)
                part.append((where, tip, rate))
                yield part
                part = [(where, tip, after[2])]
        part.append(after)
    yield part


def _through(rays: list[Ray]) -> Stretch:
    """Return the stretch of cubics through rays with their changes."""
    from stepcut.shapes.cam.lift import Curve

    if all(_way(b[1] - a[1]) == 0 for a, b in pairwise(rays)):
        return straight(rays[0][0], rays[-1][0], -rays[0][1], -rays[0][1])
    curve = Curve([(at, radius) for at, radius, _ in rays], [rate for *_, rate in rays])
    first, last = rays[0], rays[-1]
    return Stretch(first[0], last[0], -first[1], -last[1], lambda x: -curve.lift(x), lambda x: -curve.slope(x), False)
