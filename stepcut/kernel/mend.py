"""Cuts put in where the walk saw too little."""

from __future__ import annotations

import math
from bisect import bisect_left

from stepcut.kernel.marks import ends
from stepcut.kernel.measure import measure
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Position, Task

MENDS = 40  # rounds of putting cuts where a ridge is still too high


def mended(task: Task, row: list[Position], limit: float) -> list[Position]:
    """Return a row with cuts added wherever the measure still finds a ridge above the limit that one more cut lowers.

    The walk compares neighbours where they meet.  A corner of the line, a summit under a round cutter or metal that no
    neighbour reaches can stand higher; what no cut can lower is left, and is for the caller to say.
    """
    for _ in range(MENDS):
        left = measure(task, task.places(row))
        if left.scallop <= limit * (1 + 1e-6):
            break
        added = set()
        for section, top in zip(task.sections, left.tops, strict=True):
            if top.scallop > limit * (1 + 1e-6):
                better = _lowering(task, row, section, top.where)
                if better is not None:
                    added.add(better)
        if not added - set(row):
            break
        row = sorted({*row, *added})
    return row


def _lowering(task: Task, row: list[Position], section: Section, where: float) -> Position | None:
    """Return the position that lowers the metal at a coordinate most; None when none lowers it by half a division."""
    stands = min((_stock(section, task.place(p), where) for p in row), default=section.line.depth(where))
    guard = task.guards[0]
    offsets = guard.offsets(where, section.line.slope(where))
    if not section.stepped and not section.pivots:
        offsets.add(where - _deepest_over(task, section, where))
    marks = set()
    for offset in offsets:
        near = task.first.up(where - offset)
        marks |= {near - 1, near, near + 1}
    taken = {mark for mark, _ in row}
    spread = max(1, int(guard.width / float(task.first.division) / 48))
    here = bisect_left(row, (task.first.up(where), 0))
    for mark, _ in row[max(0, here - 2) : here + 2]:
        marks |= {mark - spread, mark + spread}
    begin, end = ends(task)
    taken |= {mark for mark in marks if any(first < mark < last for first, last in task.sweeps)}
    best: tuple[float, Position] | None = None
    for mark in marks - taken:
        if begin <= mark <= end and abs(task.at(mark) - where) <= guard.width:
            position = mark, task.depth(mark)
            stock = _stock(section, task.place(position), where)
            if best is None or stock < best[0]:
                best = stock, position
    if best is None or best[0] > stands - float(task.second.division) / 2:
        return None
    return best[1]


def _deepest_over(task: Task, section: Section, where: float) -> float:
    """Return the coordinate of the cut that goes deepest at a coordinate, whatever the marks are."""
    low, high = section.foot.window

    def stands(at: float) -> float:
        allowed = task.allowed(at)
        return -section.cut(Place(at, allowed), where) if math.isfinite(allowed) else math.inf

    return lowest(stands, where - high, where - low, 32)[0]


def _stock(section: Section, place: Place, where: float) -> float:
    return section.line.depth(where) - max(section.blank, section.cut(place, where))
