"""How far each cut of a plan stays above the wanted surface, asked of the task that it was solved with.

A task's guards say how deep a cut may be at any place; what a cut leaves of that is its clearance, and how it changes to both
sides of the place is what an error of the first scale does.  Lengths are mm, slopes mm a degree, or a mm along a slide.
"""

from __future__ import annotations

from collections.abc import Iterable

from stepcut.kernel.line import Line, Stretch
from stepcut.kernel.section import Place
from stepcut.kernel.task import Task
from stepcut.shop.chances import Clear

UPRIGHT = 1.0  # mm a mm: no leave square to a slide helps where a face is steeper than half a right angle


def clearances(task: Task, places: Iterable[Place]) -> list[Clear]:
    """Return the clearance of each cut; the task's guards must be those of the wanted surface, without the leave.

    Beside a riser, and on the face of a shoulder, the allowed depth jumps: no leave helps there, and it is not counted.
    """
    steepest = steepest_of(task)
    division = float(task.first.division)

    def side(at: float, depth: float, step: float) -> float:
        gained = (task.touch(at + step).depth - depth) / division
        return gained if abs(gained) <= steepest * 1.01 else 0.0

    found = []
    for place in places:
        here, there = task.touch(place.at).depth, place.at if place.until is None else place.until
        depth = min(here, task.touch(there).depth)
        found.append(
            Clear(depth - place.depth, side(there, task.touch(there).depth, division), side(place.at, here, -division))
        )
    return found


def asked(lines: Iterable[Line]) -> bool:
    """Whether lines can be asked for their depths: the functions of one that was kept in the log are not kept."""
    return all(isinstance(s, Stretch) for line in lines for s in line.stretches)


def steepest_of(task: Task) -> float:
    """Return the steepest slope of a wanted line that a leave can make up for."""
    steepest = task.line.steepest
    return steepest if task.first.angular else min(steepest, UPRIGHT)


def safe_leave(task: Task) -> tuple[float, float]:
    """Return what a safe leave is made of, mm: the slope times the first scale's error, and the second scale's."""
    return steepest_of(task) * float(task.first.error), float(task.second.error)
