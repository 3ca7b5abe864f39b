"""Cuts put in where the walk saw too little."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator

from stepcut.kernel.envelope import Traced
from stepcut.kernel.marks import ends
from stepcut.kernel.measure import measure
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Position, Task

MENDS = 40  # rounds of putting cuts where a ridge is still too high
MANY = 400  # cuts from which all such ridges of a section are seen to in one round, for a round measures them all
STILL = 0.99  # share of the highest ridge from which a round among many cuts did not help


def mended(task: Task, row: list[Position], limit: float) -> list[Position]:
    """Return a row with cuts added wherever the measure still finds a ridge above the limit that one more cut lowers.

    The walk compares neighbours where they meet.  A corner of the line, a summit under a round cutter or metal that no
    neighbour reaches can stand higher; what no cut can lower is left, and is for the caller to say.
    """
    stood = math.inf
    for _ in range(MENDS):
        left = measure(task, task.places(row))
        if left.scallop <= limit * (1 + 1e-6) or (len(row) > MANY and left.scallop > stood * STILL):
            break
        stood = left.scallop
        added = set()
        for traced, top in zip(left.traced, left.tops, strict=True):
            if top.scallop > limit * (1 + 1e-6):
                section, where = traced.section, top.where
                stands = min((_stock(section, task.place(p), where) for p in row), default=section.line.depth(where))
                others = _others(traced, limit * (1 + 1e-6)) if len(row) > MANY else ()
                for at, stock in ((where, stands), *others):
                    better = _lowering(task, row, section, at, stock)
                    if better is not None:
                        added.add(better)
        if not added - set(row):
            break
        row = sorted({*row, *added})
    return row


def _others(traced: Traced, limit: float) -> Iterator[tuple[float, float]]:
    """Yield where pieces meet at a ridge above a limit, and the stock there; mm."""
    section = traced.section
    for piece in traced.pieces[:-1]:
        at = piece.high - 1e-9 * (piece.high - piece.low)
        stock = section.line.depth(at) - traced.depth(piece, at)
        if section.square(at, stock) > limit:
            yield at, stock


def _lowering(task: Task, row: list[Position], section: Section, where: float, stands: float) -> Position | None:
    """Return the position that lowers the metal at a coordinate most; None when none lowers its stock by half a division."""
    guard = task.guards[0]
    offsets = guard.offsets(where, section.line.slope(where))
    if not section.stepped and not section.pivots:
        offsets.add(where - _deepest_over(task, section, where))
    marks = set()
    for offset in offsets:
        near = task.first.up(where - offset)
        marks |= {near - 1, near, near + 1}
    spread = max(1, int(guard.width / float(task.first.division) / 48))
    here = bisect_left(row, (task.first.up(where), 0))
    for mark, _ in row[max(0, here - 2) : here + 2]:
        marks |= {mark - spread, mark + spread}
    begin, end = ends(task)
    taken = {mark for mark in marks if any(first < mark < last for first, last in task.sweeps)}
    best: tuple[float, Position] | None = None
    for mark in marks - taken:
        k = bisect_left(row, (mark,))
        if k < len(row) and row[k][0] == mark:
            continue
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
    low = section.foot.window[0]
    high = low + task.guards[0].width

    def stands(at: float) -> float:
        allowed = task.allowed(at)
        return -section.cut(Place(at, allowed), where) if math.isfinite(allowed) else math.inf

    return lowest(stands, where - high, where - low, 32)[0]


def _stock(section: Section, place: Place, where: float) -> float:
    return section.line.depth(where) - max(section.blank, section.cut(place, where))
