"""Which marks of a scale may carry a cut: the ends of a line, the sweeps between, and the cuts that take nothing away."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import accumulate

from stepcut.errors import Refused
from stepcut.kernel.ridge import meet
from stepcut.kernel.task import Position, Task

MOST_CUTS = 12_000  # a few seconds of any shape, and weeks at the machine


def too_many(cuts: int) -> Refused:
    """Return the refusal of a plan of more cuts than a person would ever make."""
    return Refused("stops", "too-many", stops=cuts, most=MOST_CUTS)


def ends(task: Task) -> tuple[int, int]:
    """Return the marks of the first and the last cut; on a closed line the last is one turn on from the first.

    The first is rounded downhill, but uphill where a sliver at the high edge would else stand as high as the start is deep.
    """
    begin = task.first.down(task.first_at) if task.opens else task.first.up(task.first_at)
    if task.line.period is not None and task.line.span >= task.line.period:
        return begin, begin + task.first.up(Fraction(task.line.period))
    return begin, max(begin, task.first.up(task.last_at))


def closed(task: Task) -> bool:
    """Whether the line comes round without a gap, so that the last cut is followed by the first."""
    return task.line.period is not None and task.line.span >= task.line.period


def arcs(task: Task) -> Iterator[tuple[int, int]]:
    """Yield the marks between which cuts are spaced: what lies before, between and after the sweeps."""
    begin, end = ends(task)
    for first, last in task.sweeps:
        yield begin, first
        begin = last
    yield begin, end


def settled(task: Task, marks: Iterable[int]) -> list[Position]:
    """Give each mark its deepest division and drop the cuts that take nothing away."""
    row = [(mark, task.depth(mark)) for mark in dict.fromkeys(marks)]
    return useful(task, [position for position in row if task.cuts(position)])


def useful(task: Task, row: list[Position]) -> list[Position]:
    """Drop the cuts of a flat end, and those fed along the line, that lie wholly in metal that their neighbours remove."""
    if all(section.clears_on for section in task.sections):
        deepest = [-1, *accumulate((depth for _, depth in row), max)]
        return [position for k, position in enumerate(row) if k == 0 or position[1] > deepest[k]]
    if not all(section.stepped for section in task.sections):
        return row
    kept: list[Position] = []
    swept = {mark for pair in task.sweeps for mark in pair}
    for k, position in enumerate(row):
        if (
            position[0] not in swept and kept and k + 1 < len(row) and position[1] <= min(kept[-1][1], row[k + 1][1])
        ):  # level, or in a dip
            before, after = (task.at(mark) for mark, _ in (kept[-1], row[k + 1]))
            if meet(task, before, after):
                continue
        kept.append(position)
    return kept
