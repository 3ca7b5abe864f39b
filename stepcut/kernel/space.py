"""Where to cut: one spacing for every shape, in whole divisions of the machine's scales.

Places are rounded up, so that the cutter never hangs over the place it was meant for; each depth is then the deepest
division that is allowed there.  Positions are rounded, never increments.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from stepcut.errors import Refused
from stepcut.kernel.line import FREE
from stepcut.kernel.measure import measure
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Position, Task
from stepcut.machine import WHOLE

MOST_CUTS = 100_000
FULL = 1e9  # mm: deep enough for the whole width of any cutter
HOPELESS = 200  # marks one after the other that all leave too high a ridge: these scales cannot keep it
PROGRAM = 1500  # marks up to which every way of placing the cuts is compared where the depth does not only grow
MENDS = 40  # rounds of putting cuts where a ridge is still too high


@dataclass(frozen=True)
class Even:
    """A fixed step from cut to cut, degrees or mm."""

    step: Fraction


@dataclass(frozen=True)
class Count:
    """So many cuts, evenly spread."""

    cuts: int


@dataclass(frozen=True)
class Drop:
    """A fixed depth from cut to cut, mm; for lines that only grow deeper."""

    drop: Fraction


@dataclass(frozen=True)
class Ridge:
    """The fewest cuts whose scallop stays within a limit, mm."""

    limit: float


Rule = Even | Count | Drop | Ridge


class Stuck(NamedTuple):
    """A place where even the next mark leaves a higher ridge than is allowed, and that ridge, mm."""

    where: float
    ridge: float


def too_many(cuts: int) -> Refused:
    """Return the refusal of a plan of more cuts than a person would ever make."""
    return Refused("stops", "too-many", stops=cuts, most=MOST_CUTS)


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


def ends(task: Task) -> tuple[int, int]:
    """Return the marks of the first and the last cut; on a closed line the last is one turn on from the first."""
    begin = task.first.up(task.first_at)
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


# --- the rules -----------------------------------------------------------------------------------------------


def settled(task: Task, marks: Iterable[int]) -> list[Position]:
    """Give each mark its deepest division and drop the cuts that take nothing away."""
    row = [(mark, task.depth(mark)) for mark in dict.fromkeys(marks)]
    return useful(task, [position for position in row if task.cuts(position)])


def useful(task: Task, row: list[Position]) -> list[Position]:
    """Drop the cuts of a flat end that lie wholly in metal that their neighbours remove."""
    if not all(section.stepped for section in task.sections):
        return row
    kept: list[Position] = []
    for k, position in enumerate(row):
        if kept and k + 1 < len(row) and position[1] <= min(kept[-1][1], row[k + 1][1]):  # level, or in a dip
            before, after = (task.at(mark) for mark, _ in (kept[-1], row[k + 1]))
            if meet(task, before, after):
                continue
        kept.append(position)
    return kept


def even(task: Task, step: Fraction) -> list[Position]:
    """Return cuts a fixed step apart, counted from the first one or from where the task says, and the last at the end."""
    first, last = ends(task)
    lead = task.first.value(first) if task.counted_from is None else task.counted_from
    count = int((task.first.value(last) - lead) / step)
    if count + 1 > MOST_CUTS:
        raise too_many(count + 1)
    marks = [task.first.up(lead + k * step) for k in range(count + 1)]
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
        if spaces not in rows:
            rows[spaces] = even(task, length / spaces)
        return len(rows[spaces])

    # The more spaces, the more cuts, but for a few that rounding or level stretches take away.
    most = 2 * cuts + 2
    near = bisect_left(range(1, most), cuts, key=made) + 1
    for spaces in sorted(range(max(1, near - 4), min(most, near + 5)), key=lambda n: (abs(n - near), n)):
        if made(spaces) == cuts:
            return rows[spaces]
    return min(rows.values(), key=lambda row: abs(len(row) - cuts))


def by_drop(task: Task, drop: Fraction) -> list[Position]:
    """Return cuts a fixed depth apart, each as far uphill as its depth is allowed.

    Depths are whole multiples of the drop below the first level, so that they do not add up an error.
    """
    begin, end = ends(task)
    floor = task.depth(end)
    top = task.second.value(max(task.depth(begin), task.second.down(Fraction(0))))
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
    return _bridged(task, row)


def _first_allowed(task: Task, depth: int, low: int, high: int) -> int:
    """Return the first mark, from `low` on, where a depth is allowed; `high` when there is none before it."""
    return low + bisect_left(range(low, high), True, key=lambda mark: task.depth(mark) >= depth)


def _bridged(task: Task, row: list[Position]) -> list[Position]:
    """Put cuts into the stretches that a cutter does not cover from one depth to the next."""
    full: list[Position] = []
    for position in row:
        at = task.at(position[0])
        while full and not meet(task, task.at(full[-1][0]), at):
            last, limit = full[-1], position[0]

            def reached(mark: int, last: Position = last) -> bool:
                return meet(task, task.at(last[0]), task.at(mark))

            between = last[0] + bisect_left(range(last[0] + 1, limit), True, key=lambda mark: not reached(mark))
            if between <= last[0]:
                break
            full.append((between, max(last[1], task.depth(between)) if task.line.grows else task.depth(between)))
            if len(full) > MOST_CUTS:
                raise too_many(len(full))
        full.append(position)
    return full


def fewest(task: Task, limit: float) -> list[Position]:
    """Return the fewest cuts whose scallop stays within a limit, mm: the walk, mended where the measure finds more.

    Raises
    ------
    Refused
        When the limit cannot be kept on these scales.  What no cut of a round cutter reaches, in an inner corner, is left and
        is for the caller to say.
    """
    row = None if task.line.grows else by_program(task, limit)
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
    wide = task.guards[0].width
    for section, top in zip(task.sections, left.tops, strict=True):
        places = section.line.corners if task.bottom is None else (*section.line.corners, section.line.span)
        near = min((abs(top.where - place) for place in places), default=math.inf)  # the bottom binds at the end
        if top.scallop > limit * (1 + 1e-6) and near > wide:
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
        When even the next mark leaves a higher ridge, or there would be more than ``MOST_CUTS``.
    """
    limit *= 1 + WHOLE  # a ridge of exactly the limit is within it, whatever the sums leave behind the point
    row: list[Position] = []
    for low, high in arcs(task):
        _walk(task, limit, (low, high), row, stuck)
    return [position for position in row if task.cuts(position)]


def _walk(task: Task, limit: float, marks: tuple[int, int], row: list[Position], stuck: list[Stuck] | None) -> None:
    """Put the cuts from one mark to another, both included, at the end of a row."""
    begin, end = marks
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
        if there == here and not row and stuck is not None:  # grazing cuts beside a wall do not begin at it: look on
            ahead = range(here + 1, min(end, here + wide) + 1)
            there = next((mark for mark in ahead if within(mark)), here)
        if there == here:
            best, where = ridge(task, before, task.place(settle(here + 1))), task.at(here + 1)
            in_a_row += 1
            if stuck is None or in_a_row > HOPELESS:
                best = min([best, *(each.ridge for each in (stuck or [])[-HOPELESS:])])
                raise Refused("scallop", "out-of-reach", best=best, limit=limit, where=where)
            stuck.append(Stuck(where, best))
            there = here + 1
        else:
            in_a_row = 0
        stride = max(1, there - here)
        here = there
        position = settle(there)
        if closed(task) and there == ends(task)[1]:
            break  # the first cut stands there already
        if task.cuts(position):
            row.append(position)
            if len(row) > MOST_CUTS:
                raise too_many(len(row))


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
    for mark in marks:
        if mark == begin:
            continue
        low = shallow.get(mark - wide, mark - wide) - wide
        for count, before in sorted((best[m][0], -m) for m in range(max(begin, low), mark) if m in best):
            if ridge(task, places[-before], places[mark]) <= limit:
                best[mark] = count + 1, -before
                break
    if end not in best:
        return None
    row: list[Position] = []
    here: int | None = end
    while here is not None:
        row.append((here, task.depth(here)))
        here = best[here][1]
    return [position for position in reversed(row) if task.cuts(position)]


def _shallow_from(task: Task, marks: Iterable[int], limit: float) -> dict[int, int]:
    """Return, for each mark where uncut metal stands within a limit, the first mark from which it does without a break."""
    begins: dict[int, int] = {}
    for mark in marks:
        at = task.at(mark)
        heights = [
            section.square(inside, section.line.depth(inside) - section.blank)
            for section in task.looked_at
            if (inside := _inside(section, at)) is not None
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


# --- what stands between two cuts ----------------------------------------------------------------------------


def meet(task: Task, before: float, after: float) -> bool:
    """Whether two cuts of the cutter's full width leave no metal between them in any section."""
    return all(_meet(section, before, after) for section in task.looked_at)


def _meet(section: Section, before: float, after: float) -> bool:
    earlier, later = section.extent(Place(before, FULL)), section.extent(Place(after, FULL))
    return earlier is not None and later is not None and later[0] <= earlier[1] + 1e-9


def ridge(task: Task, before: Place | None, after: Place) -> float:
    """Return the scallop that stands between two cuts, mm; before None means the uncut metal."""
    return max(
        _between(task, section, before, after) if section.pivots else _ridge(section, before, after)
        for section in task.looked_at
    )


def _between(task: Task, section: Section, before: Place | None, after: Place) -> float:
    """Return the scallop between the places where two cuts touch the line: beyond them other cuts are the deeper ones."""
    reaches = [section.extent(place) if place is not None else None for place in (before, after)]
    if before is None or reaches[0] is None or reaches[1] is None or reaches[1][0] > reaches[0][1]:
        return _ridge(section, before, after)
    first, last = sorted((task.touch(before.at).where, task.touch(after.at).where))
    where = section.meeting(before, after, reaches[1][0], min(reaches[0][1], reaches[1][1]))
    at = _inside(section, min(max(where, first), last))
    if at is None:
        return 0.0
    stock = section.line.depth(at) - max(section.blank, section.cut(before, at), section.cut(after, at))
    return section.square(at, stock) if stock < FREE else 0.0


def _ridge(section: Section, before: Place | None, after: Place) -> float:
    later = section.extent(after)
    if before is None:
        return _standing(section, 0.0, later[0]) if later is not None else 0.0
    earlier = section.extent(before)
    if earlier is None:
        return _standing(section, _covered(section, before)[0], later[0] if later is not None else after.at)
    if later is None:
        return max(_standing(section, earlier[1], _covered(section, after)[1]), _over(section, before, earlier[1]))
    if later[0] > earlier[1]:
        apart = _standing(section, earlier[1], later[0])
        return max(apart, _over(section, before, earlier[1]), _over(section, after, later[0]))
    where = section.meeting(before, after, later[0], min(earlier[1], later[1]))
    return max(_over(section, before, where), _over(section, after, where))


def _covered(section: Section, place: Place) -> tuple[float, float]:
    """Return the coordinates that the whole cutter covers at a place, whether it cuts or not."""
    low, high = section.foot.window
    return place.at + low, place.at + high


def _over(section: Section, place: Place, where: float) -> float:
    """Return the ridge that a cut leaves where its neighbour takes over, or at the end of the line before that, mm."""
    reach = section.extent(place)
    assert reach is not None  # noqa: S101  # only cuts are looked at
    low, high = reach
    if section.line.period is None:
        low, high = max(low, 0.0), min(high, section.line.span)
    hair = 1e-9 * (reach[1] - reach[0])
    if high - low <= 2 * hair:
        return 0.0  # it does not reach into the line
    at = min(max(where, low + hair), high - hair)
    inside = _inside(section, at)
    if inside is None:
        return 0.0
    stock = section.line.depth(inside) - max(section.blank, section.cut(place, at))
    return section.square(inside, stock) if stock < FREE else 0.0


def _inside(section: Section, at: float) -> float | None:
    """Return a coordinate moved into the line, or None where nothing is wanted."""
    line = section.line
    if line.period is not None:
        at %= line.period
        return at if at <= line.span else None
    return at if 0.0 <= at <= line.span else None


def _standing(section: Section, low: float, high: float) -> float:
    """Return the highest ridge of metal that nothing cuts between two coordinates, mm."""
    line = section.line
    if line.period is None:
        low, high = max(low, 0.0), min(high, line.span)
    most = 0.0
    if high > low:
        for s in line.over(low, high):
            hair = 1e-9 * (s.end - s.begin)
            for at, depth in ((s.begin + hair, s.first), (s.end - hair, s.last)):
                inside = _inside(section, at)
                if inside is not None and depth - section.blank < FREE:
                    most = max(most, section.square(inside, depth - section.blank))
    return most


# --- where the walk sees too little --------------------------------------------------------------------------


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


def uncut(task: Task, row: list[Position]) -> tuple[float, float] | None:
    """Return the first pair of neighbours, as coordinates, that leave uncut metal standing between them."""
    for a, b in pairwise(task.places(row)):
        if not meet(task, a.at, b.at):
            return a.at, b.at
    return None
