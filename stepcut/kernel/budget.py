"""How much work a walk would take, estimated before it is walked: what takes too long is refused at once.

A few places along the line are asked how far the next cut may stand from one there; the number of cuts is the length of the
line over these strides.  Estimates serve only to refuse what is clearly beyond a limit.
"""

from __future__ import annotations

from bisect import bisect_left

from stepcut.errors import Refused
from stepcut.kernel.marks import arcs
from stepcut.kernel.ridge import ridge
from stepcut.kernel.task import Task
from stepcut.machine import WHOLE

MOST_WALKED = 6_000  # cuts found by a ridge: each is asked for some twenty times, so that they cost as much as twice as many by a step
PROBES = 48  # places that are asked
CLEARLY = 1.25  # share of the limit from which an estimate is believed
SHORT = 400  # marks of a stretch that is not asked: it is walked at once
FEW = 1 / 8  # of the places that may be beyond any stride: beside a wall the walk looks on past grazing cuts
BESIDE = 60  # marks looked at from one that cannot keep the limit: rounding lets the height change from mark to mark


class _Probe:
    """A task asked for ridges within a limit, mm."""

    def __init__(self, task: Task, limit: float) -> None:
        self.task, self.limit = task, limit * (1 + WHOLE)

    def ridge(self, mark: int, stride: int) -> float:
        """Return the ridge between two marks, mm."""
        task = self.task
        return ridge(task, task.place((mark, task.depth(mark))), task.place((mark + stride, task.depth(mark + stride))))

    def cuts(self, mark: int) -> bool:
        """Whether a cut there takes anything away."""
        return self.task.cuts((mark, self.task.depth(mark)))

    def keeps(self, mark: int, stride: int) -> bool:
        """Whether the ridge between two marks is within the limit."""
        return self.ridge(mark, stride) <= self.limit

    def first(self, mark: int, most: int) -> int:
        """Return the first of 1, 2, 4, 8... marks on where the next cut may stand; 0 when none.

        Of two level cuts under a round cutter a nearer pair can seem to leave more than one farther apart.
        """
        stride = 1
        while stride <= most:
            if self.keeps(mark, stride):
                return stride
            stride *= 2
        return 0

    def stride(self, mark: int, most: int) -> int:
        """Return how many marks on the next cut may stand, found by doubling and halving; 0 when even the next is too far."""
        good = self.first(mark, most)
        if good == 0:
            return 0
        bad = 2 * good
        while bad < most and self.keeps(mark, bad):
            good, bad = bad, 2 * bad
        bad = min(bad, most + 1)
        while bad - good > max(1, good // 8):
            middle = (good + bad) // 2
            good, bad = (middle, bad) if self.keeps(mark, middle) else (good, middle)
        return good


def check(task: Task, limit: float) -> None:
    """Refuse a limit, mm, that needs clearly more cuts than a plan may have, or that the scale cannot keep at many places.

    Raises
    ------
    Refused
        With the estimated count, or with the middle one of the ridges beyond the limit that one division more leaves there.
    """
    probe, needed = _Probe(task, limit), 0.0
    hopeless: list[int] = []
    asked = 0
    length = sum(end - begin for begin, end in arcs(task))
    coarse = max(1, length // MOST_WALKED)
    for begin, end in arcs(task):
        parts = round(PROBES * (end - begin) / max(1, length))
        if parts < 4 or end - begin < SHORT:
            continue
        marks = [begin + (end - begin) * (2 * k + 1) // (2 * parts) for k in range(parts)]
        marks = [mark for mark in marks if probe.cuts(mark)]
        if all(probe.keeps(mark, coarse) for mark in marks):
            continue
        strides = [probe.stride(mark, (end - begin) // 4) for mark in marks]
        hopeless += [mark for mark, stride in zip(marks, strides, strict=True) if stride == 0]
        asked += len(marks)
        needed += (end - begin) * sum(1 / stride for stride in strides if stride) / parts
    if len(hopeless) > FEW * asked and length > CLEARLY * MOST_WALKED:
        end = max(high for _, high in arcs(task))
        near = (k for mark in hopeless[:: max(1, len(hopeless) // 4)] for k in range(mark, min(mark + BESIDE, end)))
        over = sorted(height for k in near if (height := probe.ridge(k, 1)) > probe.limit)
        best = over[len(over) // 2]
        raise Refused("scallop", "out-of-reach", best=best, limit=limit, where=task.at(hopeless[0]))
    if needed > CLEARLY * MOST_WALKED:
        raise too_fine(limit, int(needed))


def too_fine(limit: float, needs: int) -> Refused:
    """Return the refusal of a ridge, mm, that needs about so many cuts."""
    return Refused("scallop", "needs-too-many", limit=limit, needs=float(f"{needs:.2g}"), most=MOST_WALKED)


def near_corner(task: Task, at: float) -> bool:
    """Whether an inner corner, or an end where the bottom binds, is within a cutter's width."""
    for section in task.looked_at:
        places = section.line.corners if task.bottom is None else (*section.line.corners, section.line.span)
        k = bisect_left(places, at - task.guards[0].width)
        if k < len(places) and places[k] <= at + task.guards[0].width:
            return True
    return False
