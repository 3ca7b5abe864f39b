"""Where to cut: one spacing for every shape, in whole divisions of the machine's scales.

Places are rounded up, so that the cutter never hangs over the place it was meant for; each depth is then the deepest
division that is allowed there.  Positions are rounded, never increments.
"""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS, arcs, closed, ends, settled, too_many
from stepcut.kernel.ridge import meet, ridge
from stepcut.kernel.task import Position, Task
from stepcut.kernel.walk import fewest
from stepcut.machine import WHOLE

FEW = 50  # spaces looked at for a few cuts: of a line that falls little more than a division only those near its end cut anything
MANY = 60  # cuts from which on one number more or less is not worth a long search


class Even(Struct, frozen=True):
    """A fixed step from cut to cut, degrees or mm."""

    step: Fraction


class Count(Struct, frozen=True):
    """So many cuts, evenly spread."""

    cuts: int


class Drop(Struct, frozen=True):
    """A fixed depth from cut to cut, mm; for lines that only grow deeper."""

    drop: Fraction


class Ridge(Struct, frozen=True):
    """The fewest cuts whose scallop stays within a limit, mm."""

    limit: float


Rule = Even | Count | Drop | Ridge


def space(task: Task, rule: Rule) -> list[Position]:
    """Return the positions of the cuts by a rule, in order of their coordinate.

    Raises
    ------
    Refused
        When a limit cannot be kept on these scales, or there would be more than ``MOST_CUTS``.
    """
    if isinstance(rule, Even):
        return even(task, rule.step)
    if isinstance(rule, Count):
        return by_count(task, rule.cuts)
    if isinstance(rule, Drop):
        return by_drop(task, rule.drop)
    return fewest(task, rule.limit)


def near_ridge(task: Task, limit: float) -> list[Position]:
    """Return the fewest cuts within a ridge that nobody asked for, mm: the next that the scales can keep, where they are coarser.

    Raises
    ------
    Refused
        When ten times the ridge cannot be kept either.
    """
    most = 10 * limit
    while True:
        try:
            return fewest(task, limit)
        except Refused as refused:
            if refused.code != "out-of-reach" or limit >= most:
                raise
            limit = min(most, max(1.1 * limit, refused.facts["best"] * (1 + 1e-6)))


def even(task: Task, step: Fraction) -> list[Position]:
    """Return cuts a fixed step apart, counted from the first one or from where the task says, and the last at the end."""
    first, last = ends(task)
    lead = task.first.value(first) if task.counted_from is None else task.counted_from
    count = int((task.first.value(last) - lead) / step)
    if count + 1 > MOST_CUTS:
        raise too_many(count + 1)
    marks = sorted({*(task.first.up(lead + k * step) for k in range(count + 1)), *task.musts})
    if task.sweeps:
        marks = [x for low, high in arcs(task) for x in (low, *(mark for mark in marks if low < mark < high), high)]
        again = closed(task) and task.sweeps[-1][1] != last  # the first cut stands there already
        return settled(task, [mark for mark in marks if not (again and mark == last)])
    if closed(task):
        return settled(task, (mark for mark in marks if mark < last))
    return settled(task, [first, *(mark for mark in marks if first < mark < last), last])


def by_count(task: Task, cuts: int) -> list[Position]:
    """Return so many cuts, evenly spread; the nearest number that even spaces make where some would cut nothing."""
    first, last = ends(task)
    if cuts > MOST_CUTS:
        raise too_many(cuts)
    length = task.first.value(last) - task.first.value(first)
    if cuts > last - first + 1:
        raise Refused("stops", "not-so-many", stops=cuts, makes=last - first + 1)
    rows: dict[int, list[Position]] = {}

    def made(spaces: int) -> int:
        if spaces >= MOST_CUTS:  # as good as too many; asked only where fewer spaces make too few
            return spaces + 1
        if spaces not in rows:
            rows[spaces] = even(task, length / spaces)
        return len(rows[spaces])

    for spaces in (cuts - 1, cuts):  # as nearly always: the first that makes so many, found without the look below
        if spaces > 1 and made(spaces - 1) < cuts == made(spaces) and spaces in rows:
            return rows[spaces]
    # The more spaces, the more cuts, but for those that rounding or level stretches take away.
    most = max(4 * cuts + 2, FEW)
    near = bisect_left(range(1, most), cuts, key=made) + 1
    wide = most if cuts <= MANY else 4
    for spaces in sorted(range(max(1, near - wide), min(most, near + wide + 1)), key=lambda n: (abs(n - near), n)):
        if made(spaces) == cuts and spaces in rows:
            return rows[spaces]
    return min(rows.values(), key=lambda row: abs(len(row) - cuts))


def by_drop(task: Task, drop: Fraction) -> list[Position]:
    """Return cuts a fixed depth apart, each as far uphill as its depth is allowed.

    Depths are whole multiples of the drop below the first level, so that they do not add up an error.  Where the line falls so
    little that no cut covers the way to the next, or a round cutter leaves a ridge higher than the drop, cuts stand between.
    """
    begin, end = ends(task)
    floor = task.depth(end)
    top = task.second.value(max(task.depth(begin), task.second.down(Fraction(min(0.0, task.uncut)))))
    count = int((task.second.value(floor) - top) / drop) + 1
    if count > MOST_CUTS:
        raise too_many(count)
    row: list[Position] = []
    low = begin
    for k in range(count + 1):
        depth = task.second.down(top + k * drop)
        if not task.cuts((low, depth)) or (row and depth <= row[-1][1]):
            continue
        if depth >= floor:
            break
        low = _first_allowed(task, depth, low, end)
        if low >= end:
            break
        if row and row[-1][0] == low:
            row.pop()
        row.append((low, depth))
    if task.cuts((end, floor)):
        row.append((end, floor))
    return _bridged(task, row, float(drop) * (1 + WHOLE))


def _first_allowed(task: Task, depth: int, low: int, high: int) -> int:
    """Return the first mark, from `low` on, where a depth is allowed; `high` when there is none before it."""
    return low + bisect_left(range(low, high), True, key=lambda mark: task.depth(mark) >= depth)


def _bridged(task: Task, row: list[Position], limit: float) -> list[Position]:
    """Put cuts into the stretches from one depth to the next that two cuts do not cover, or leave a higher ridge in, mm.

    A flat end leaves no more than the drop wherever two cuts meet; under a round one cuts that only just meet leave a fin.
    """
    stepped = all(section.stepped for section in task.looked_at)

    def reached(last: Position, mark: int) -> bool:
        if stepped:
            return meet(task, task.at(last[0]), task.at(mark))
        return ridge(task, task.place(last), task.place(settled_at(last, mark))) <= limit

    def settled_at(last: Position, mark: int) -> Position:
        return mark, max(last[1], task.depth(mark)) if task.line.grows else task.depth(mark)

    full: list[Position] = []
    for position in row:
        while full and not reached(full[-1], position[0]):
            last = full[-1]

            def beyond(mark: int, last: Position = last) -> bool:
                return not reached(last, mark)

            between = last[0] + bisect_left(range(last[0] + 1, position[0]), True, key=beyond)
            if between <= last[0]:
                break
            full.append(settled_at(last, between))
            if len(full) > MOST_CUTS:
                raise too_many(len(full))
        full.append(position)
    return full
