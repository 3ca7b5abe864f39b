"""The fewest cuts within a ridge: one walk where depths only grow, every way compared where they do not."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from stepcut.errors import Refused
from stepcut.kernel.budget import MOST_WALKED, check, near_corner, too_fine
from stepcut.kernel.marks import arcs, closed, ends, settled, useful
from stepcut.kernel.measure import measure
from stepcut.kernel.mend import mended
from stepcut.kernel.ridge import on_line, ridge
from stepcut.kernel.section import Place
from stepcut.kernel.task import Position, Task
from stepcut.machine import WHOLE

HOPELESS = 200  # marks one after the other that all leave too high a ridge: these scales cannot keep it
BREAK = 8  # marks in a row from which a ridge is too high before no farther one is looked at
PROGRAM = 1500  # marks up to which every way of placing the cuts is compared where the depth does not only grow


class Stuck(NamedTuple):
    """A place where even the next mark leaves a higher ridge than is allowed, and that ridge, mm."""

    where: float
    ridge: float


def fewest(task: Task, limit: float) -> list[Position]:
    """Return the fewest cuts whose scallop stays within a limit, mm: the walk, mended where the measure finds more.

    Raises
    ------
    Refused
        When the limit cannot be kept on these scales.  What no cut of a round cutter reaches, in an inner corner, is left and
        is for the caller to say.
    """
    row = None if task.line.grows or task.sweeps else by_program(task, limit)
    if row is None:
        check(task, limit)
    if task.musts:
        row = sorted({*(walk(task, limit, []) if row is None else row), *settled(task, task.musts)})
        return mended(task, useful(task, row), limit)
    if any(section.stepped for section in task.looked_at):
        return mended(task, useful(task, walk(task, limit) if row is None else row), limit)
    stuck: list[Stuck] = []
    row = mended(task, walk(task, limit, stuck) if row is None else row, limit)
    if stuck:
        _check_scales(task, row, limit, stuck)
    return row


def _check_scales(task: Task, row: list[Position], limit: float, stuck: list[Stuck]) -> None:
    """Refuse where the walk could not go on and the measure agrees, unless an inner corner is the cause."""
    left = measure(task, task.places(row))
    for top in left.tops:
        if top.scallop > limit * (1 + 1e-6) and not near_corner(task, top.where):
            where = min(stuck, key=lambda each: abs(each.where - top.where)).where
            raise Refused("scallop", "out-of-reach", best=top.scallop, limit=limit, where=where)


def walk(task: Task, limit: float, stuck: list[Stuck] | None = None) -> list[Position]:
    """Return the cuts of a walk that from each cut goes as far as the limit, mm, allows.

    Notes
    -----
    Why greedy is fewest where the line only grows: the deepest allowed division does not decrease along the coordinate, so
    a cut farther on is at least as deep, and whatever next cut a nearer one can reach within the limit, it can reach too.
    By exchange no plan has its k-th cut beyond the k-th cut of this walk.  A cutter without a flat can break the premise
    by one division of rounding, and then need one cut more than the fewest.

    Parameters
    ----------
    task : Task
        What is to be cut.
    limit : float
        Highest ridge, mm.
    stuck : list of Stuck or None
        When given, a place where even the next mark leaves a higher ridge is noted there and the walk goes on by one mark.

    Raises
    ------
    Refused
        When even the next mark leaves a higher ridge, or there would be more than ``MOST_WALKED``.
    """
    limit *= 1 + WHOLE  # a ridge of exactly the limit is within it, whatever the sums leave behind the point
    row: list[Position] = []
    for low, high in arcs(task):
        _walk(task, limit, (low, high), row, stuck)
    return [position for position in row if task.cuts(position)]


def _walk(task: Task, limit: float, marks: tuple[int, int], row: list[Position], stuck: list[Stuck] | None) -> None:
    """Put the cuts from one mark to another, both included, at the end of a row."""
    begin, end = marks
    usual = 1  # the stride where the limit is kept: in an inner corner closer cuts would not help
    in_a_row, wide = 0, int(task.guards[0].width / float(task.first.division)) + 2

    def settle(mark: int) -> Position:
        return mark, task.depth(mark)

    here, stride = begin - 1, 1
    opening = settle(begin)
    if task.cuts(opening) or not task.line.grows:
        row.append(opening)
        here = begin
    while here < end:
        before = task.place(row[-1]) if row else None

        def within(mark: int, before: Place | None = before) -> bool:
            return ridge(task, before, task.place(settle(mark))) <= limit

        there = _farthest(within, here, end, stride)
        grazes = not row or (in_a_row == 0 and not task.cuts(settle(here + 1)))
        if there == here and grazes and stuck is not None:  # cuts beside a wall do not begin at it: look on
            ahead = range(here + 1, min(end, here + wide) + 1)
            there = next((mark for mark in ahead if within(mark)), here)
        if there == here:
            best, where = ridge(task, before, task.place(settle(here + 1))), task.at(here + 1)
            in_a_row += 1
            if stuck is None or (in_a_row > HOPELESS and not near_corner(task, where)):
                best = min([best, *(each.ridge for each in (stuck or [])[-HOPELESS:])])
                raise Refused("scallop", "out-of-reach", best=best, limit=limit, where=where)
            stuck.append(Stuck(where, best))
            there = min(end, here + (usual if near_corner(task, where) else 1))
        else:
            in_a_row, usual = 0, there - here
        stride = max(1, there - here)
        here = there
        position = settle(there)
        if closed(task) and there == ends(task)[1]:
            break  # the first cut stands there already
        if task.cuts(position):
            row.append(position)
            if len(row) > MOST_WALKED:
                reached = (here - begin) / (end - begin)
                raise too_fine(limit, int(len(row) / reached) if reached > 0 else len(row))


def by_program(task: Task, limit: float) -> list[Position] | None:
    """Return the fewest cuts of an open line whose depth does not only grow; None when there are too many marks, or no way.

    Notes
    -----
    Dynamic programming over the marks: the fewest cuts that end at a mark are one more than the fewest that end at an
    earlier one from which the ridge stays within the limit.  Ridges are compared between neighbours only.
    """
    begin, end = ends(task)
    if closed(task) or task.line.period is not None or not 0 < end - begin <= PROGRAM:
        return None
    limit *= 1 + WHOLE
    wide = int(task.guards[0].width / float(task.first.division)) + 2
    marks = range(begin, end + 1)
    places = {mark: task.place((mark, task.depth(mark))) for mark in marks}
    shallow = _shallow_from(task, marks, limit)
    best: dict[int, tuple[int, int | None]] = {begin: (1, None)}
    reached: dict[int, list[int]] = {1: [begin]}  # marks by the fewest cuts that end at them, in order
    near = begin  # from where the mark before was reached
    for mark in marks[1:]:

        def within(before: int, mark: int = mark) -> bool:
            return before in best and ridge(task, places[before], places[mark]) <= limit

        low = max(begin, shallow.get(mark - wide, mark - wide) - wide)
        far = _farthest_back(within, low, max(low, near), mark - 1)
        if far is None:
            continue
        fewest_before = min(best[m][0] for m in far)
        before = next((m for m in reversed(reached[fewest_before]) if m < mark and within(m)), far[0])
        best[mark] = fewest_before + 1, before
        reached.setdefault(fewest_before + 1, []).append(mark)
        near = far[0]
    if end not in best:
        return None
    row: list[Position] = []
    here: int | None = end
    while here is not None:
        row.append((here, task.depth(here)))
        here = best[here][1]
    return [position for position in reversed(row) if task.cuts(position)]


def _farthest_back(good: Callable[[int], bool], low: int, guess: int, high: int) -> list[int] | None:
    """Return the good marks in [low, high] about the farthest one back, that one first; None without one.

    From a guess on the good marks go on without a break but for a few, for rounding; so they are looked for on both sides of it.
    """
    found: list[int] = []
    missed = 0
    for mark in range(guess, low - 1, -1):
        missed = 0 if good(mark) else missed + 1
        if not missed:
            found.append(mark)
        if missed > BREAK:
            break
    if not found:
        first = next((mark for mark in range(guess + 1, high + 1) if good(mark)), None)
        return None if first is None else [first]
    return found[::-1]


def _shallow_from(task: Task, marks: Iterable[int], limit: float) -> dict[int, int]:
    """Return, for each mark where uncut metal stands within a limit, the first mark from which it does without a break."""
    begins: dict[int, int] = {}
    for mark in marks:
        at = task.at(mark)
        heights = [
            section.square(inside, section.line.depth(inside) - section.blank)
            for section in task.looked_at
            if (inside := on_line(section, at)) is not None
        ]
        if max(heights, default=0.0) <= limit:
            begins[mark] = begins.get(mark - 1, mark)
    return begins


def _farthest(good: Callable[[int], bool], low: int, high: int, stride: int) -> int:
    """Return the largest mark in (low, high] that is good, or `low`; goodness ends once, but for rounding.

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
