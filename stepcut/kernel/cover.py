"""The fewest cuts that bring every place within a ridge which any cut brings there: for lines that jump.

Beside an upright face stands what no cut reaches, and a walk from cut to cut is stuck at it.  Here the places are covered instead: from
the first one along the line that is too high and that some cut can lower enough, on to the farthest such cut, and so to the end.
"""

from __future__ import annotations

import math
from bisect import insort
from collections.abc import Iterator
from itertools import pairwise

from stepcut.kernel.budget import MOST_WALKED, too_fine
from stepcut.kernel.marks import ends
from stepcut.kernel.ridge import on_line
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Position, Task
from stepcut.machine import WHOLE

BESIDE = 1e-6  # degrees or mm beside an upright face, where its foot is looked at
TINY = 1e-9  # of a division: just past where a cut ends to be enough
LOOKS = 60  # cuts tried for a place that none may lower enough
FEET = (0.0, 0.01, 0.03, 0.1, 0.2, 0.4)  # of a cutter's width from a face: where its foot is looked at
LATEST = 12  # cuts before a place that may still reach it; an earlier one is farther away and no deeper
AHEAD = (3, 8, 20, 60, 150)  # marks past where the last cut stood that are looked at before no farther one is


def covered(task: Task, limit: float) -> list[Position]:
    """Return cuts that leave no ridge above a limit, mm, where any cut of the task can prevent it.

    Notes
    -----
    Going on with the farthest cut that is enough at the first place which needs one is fewest for a single section whose cuts are
    each enough on one stretch (intervals that cover a line); the sections of a wall are looked at together, so that one more may stand.

    Raises
    ------
    Refused
        When there would be more than ``MOST_WALKED``.
    """
    cover = _Cover(task, limit * (1 + WHOLE))
    for mark in task.musts:
        cover.put(mark)
    fronts = {k: cover.front(section, 0.0) for k, section in enumerate(task.looked_at)}
    while any(at is not None for at in fronts.values()):
        first = min((at, k) for k, at in fronts.items() if at is not None)
        others = [(task.looked_at[k], at) for k, at in fronts.items() if at is not None and k != first[1]]
        cover.put(cover.farthest(task.looked_at[first[1]], first[0], others))
        if len(cover.row) > MOST_WALKED:
            raise too_fine(limit, int(len(cover.row) * task.line.span / max(first[0], task.line.span / 1000)))
        for k, at in fronts.items():
            if at is not None:
                fronts[k] = cover.front(task.looked_at[k], at)
    cover.lower_feet()
    return [position for position in cover.row if task.cuts(position)]


class _Cover:
    """The cuts that are chosen, and what they and all others leave.

    Parameters
    ----------
    task : Task
        What is cut.
    limit : float
        Highest ridge, mm.
    """

    def __init__(self, task: Task, limit: float) -> None:
        self.task, self.limit = task, limit
        self.row: list[Position] = []
        self.division = float(task.first.division)
        self.ends = ends(task)
        self.latest: list[Position] = []
        # Marks by which the last cut stood past the place that it was taken for, by section.
        self.ahead: dict[int, int] = {}

    def put(self, mark: int) -> None:
        """Choose one more cut."""
        position = mark, self.task.depth(mark)
        insort(self.row, position)
        self.latest = [*self.latest[1 - LATEST :], position]

    def marks(self, section: Section, at: float) -> range:
        """Return the marks at which the cutter covers a coordinate."""
        low, high = section.foot.window
        first, begin, end = self.task.first, *self.ends
        return range(max(begin, first.up(at - high)), min(end, first.down(at - low)) + 1)

    def enough(self, section: Section, place: Place | None, at: float) -> bool:
        """Whether a cut, or None for none, leaves no more than the limit at a coordinate."""
        deep = section.blank if place is None else max(section.blank, section.cut(place, at))
        return section.square(at, section.line.depth(at) - deep) <= self.limit

    def stands(self, section: Section, at: float) -> bool:
        """Whether what is chosen leaves too much at a coordinate."""
        if self.enough(section, None, at):
            return False
        marks = self.marks(section, at)
        near = [*reversed(self.latest), *((mark, self.task.depth(mark)) for mark in self.task.musts if mark in marks)]
        return not any(self.enough(section, self.task.place(position), at) for position in near if position[0] in marks)

    def can(self, section: Section, at: float) -> bool:
        """Whether any cut is enough at a coordinate."""
        marks = self.marks(section, at)
        coarse = marks[:: max(1, len(marks) // LOOKS)]
        return any(self._mark_enough(section, mark, at) for mark in (*coarse, *marks[-2:]))

    def _mark_enough(self, section: Section, mark: int, at: float) -> bool:
        return self.enough(section, self.task.place((mark, self.task.depth(mark))), at)

    def front(self, section: Section, begin: float) -> float | None:
        """Return the first coordinate from one on that is left too high and that some cut can lower enough; None without one."""
        before = begin
        for at in self._along(section, begin):
            if self.stands(section, at):
                at = self._boundary(section, before, at)
                if self.can(section, at):
                    return at
            before = at
        return None

    def _along(self, section: Section, begin: float) -> Iterator[float]:
        """Yield coordinates a division apart to the end of the line, none of them a joint."""
        at, span = begin, section.line.span
        while at < span:
            yield max(at, TINY)
            at = (math.floor(at / self.division + 0.5) + 0.5 + TINY) * self.division

    def _boundary(self, section: Section, low: float, high: float) -> float:
        """Return where between two coordinates too much begins to stand."""
        if low >= high or self.stands(section, low):
            return high
        for _ in range(30):
            middle = (low + high) / 2
            low, high = (low, middle) if self.stands(section, middle) else (middle, high)
        return high

    def farthest(self, section: Section, at: float, others: list[tuple[Section, float]]) -> int:
        """Return the farthest mark whose cut is enough at a coordinate and leaves none of the others behind, where there is one."""
        found: int | None = None
        marks, here = self.marks(section, at), self.task.first.down(at)
        hint = here + self.ahead.get(id(section), marks.stop)
        if hint in marks and not any(self._mark_enough(section, hint + k, at) for k in AHEAD):
            marks = range(marks.start, hint + AHEAD[0])  # a slope goes on as it did: no farther cut is enough
        for mark in reversed(marks):
            if not self._mark_enough(section, mark, at):
                continue
            found = mark if found is None else found
            place = self.task.place((mark, self.task.depth(mark)))
            if all(self._kept(other, place, there) for other, there in others):
                found = mark
                break
        self.ahead[id(section)] = (found or here) - here
        assert found is not None  # noqa: S101  # front has asked whether there is one
        return found

    def lower_feet(self) -> None:
        """Choose a cut for each foot of an upright face which none brings within the limit, where one lowers it by more than that."""
        for a, b in pairwise(self.task.line.stretches):
            if a.last == b.first:
                continue
            before = a.last > b.first  # whether the deeper side, and with it the foot, lies before the face
            face, way = (a.end - BESIDE, -1) if before else (b.begin + BESIDE, 1)
            for section in self.task.looked_at:
                cuts = {mark: self._cut(section, mark, face) for mark in self.marks(section, face)}
                most = max(cuts.values(), default=0.0)
                good = [mark for mark, cut in cuts.items() if cut > max(0.0, most - float(self.task.second.division))]
                if not good:
                    continue
                # Of those that are as deep at the face the one that reaches farthest.
                mark = min(good) if before else max(good)
                places = [face + way * share * self.task.guards[0].width for share in FEET]
                if any(self._lowers(section, mark, at) for at in places if on_line(section, at) is not None):
                    self.put(mark)

    def _lowers(self, section: Section, mark: int, at: float) -> bool:
        """Whether a cut takes more than the limit of what those that are chosen leave at a coordinate."""
        marks = self.marks(section, at)
        stands = max((self._cut(section, known, at) for known, _ in self.row if known in marks), default=0.0)
        return mark in marks and self._cut(section, mark, at) > max(0.0, stands) + self.limit

    def _cut(self, section: Section, mark: int, at: float) -> float:
        return section.cut(self.task.place((mark, self.task.depth(mark))), at)

    def _kept(self, section: Section, place: Place, at: float) -> bool:
        """Whether a cut is enough at a coordinate, or does not lie wholly past it, so that a farther one may be."""
        low = (section.foot.extent(section.radius, 0.0) or section.foot.level)[0]
        return at >= place.at + low or self.enough(section, place, at)
