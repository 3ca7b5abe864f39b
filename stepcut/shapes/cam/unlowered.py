"""What no cut of a cutter can lower on a cam: in hollows that it cannot follow, and beside a gap or a step that holds it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from math import radians

from stepcut.kernel.search import lowest
from stepcut.kernel.task import Task
from stepcut.shapes.cam.section import CamGuard, CamSection
from stepcut.shapes.cam.wanted import Rim

LOOKS = 720  # places of the rim at which is asked
TINY = 1e-6  # mm


def unlowered(task: Task, wanted: Rim) -> tuple[float, ...]:
    """Return the height, mm, square to the rim, that no cut of this cutter can lower, at even angles over the span.

    Where the cut that stands square to a place may go down to it, nothing stands.  Elsewhere, in hollows and beside a gap,
    the least of many cuts is taken.
    """
    section = task.sections[0]
    guard = task.guards[0]
    assert isinstance(section, CamSection) and isinstance(guard, CamGuard)  # noqa: S101  # made by task_of
    angles = [min(max(wanted.span * k / LOOKS, 1e-9), wanted.span - 1e-9) for k in range(LOOKS + 1)]
    squares = [at - guard.offset(wanted.radius(at) + task.leave, wanted.rate(at)) for at in angles]
    begin, end = task.begin or 0.0, task.end if task.end is not None else 360.0
    if not wanted.whole:
        squares = [min(max(at, begin), end) for at in squares]
    heights = [-(task.deepest(at)) for at in squares]
    found = []
    for k, at in enumerate(angles):
        stock = section.blade.leaves(heights[k], radians(at - squares[k])) - wanted.radius(at) - task.leave
        if stock > TINY:
            stock = _least(task, section, wanted, at, zip(squares, heights, strict=True), (begin, end))
        found.append(section.square(at, stock + task.leave) if stock > TINY else 0.0)
    return tuple(found)


def _least(
    task: Task,
    section: CamSection,
    wanted: Rim,
    at: float,
    cuts: Iterator[tuple[float, float]],
    ends: tuple[float, float],
) -> float:
    """Return the least stock over the stock line that some of many cuts leaves at an angle, mm."""
    blade, most = section.blade, math.inf
    for stands, height in cuts:
        turn = (at - stands + 180.0) % 360.0 - 180.0
        if abs(turn) < 89.0:
            most = min(most, blade.leaves(height, radians(turn)))

    def leaves(place: float) -> float:
        height = -task.deepest(place)
        return blade.leaves(height, radians(at - place))

    reach = blade.reach(wanted.radius(at))
    low, high = at - reach, at + reach
    if not wanted.whole:
        low, high = max(low, ends[0]), min(high, ends[1])
    if high > low:
        most = min(most, lowest(leaves, low, high, 12)[1])
    return most - wanted.radius(at) - task.leave
