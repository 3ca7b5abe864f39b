"""The whole groove as it would be without steps: what a cutter leaves that follows the wanted line without a break.

On the circle itself that is the wanted line.  Beside it, at another radius, it is the deepest of all that the cutter makes there on
its way; the stock that steps leave is measured against it.  No outside source: derived here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from stepcut.kernel.footprints import Plunge
from stepcut.kernel.line import Line, Stretch, line_of
from stepcut.kernel.measure import GAUSS_4
from stepcut.kernel.section import Section
from stepcut.kernel.task import Task

RAYS = 240  # places along the groove
FINE = 0.05  # degrees between the places of the cutter


def half_width(foot: Plunge, deepest: float) -> float:
    """Return half the width of the groove at the face where it is deepest, mm."""
    return foot.outline.half_width(min(deepest, foot.outline.radius)) if deepest > 0 else foot.outline.radius


def sections(task: Task, foot: Plunge, leave: float) -> tuple[Section, ...]:
    """Return the radii across the groove at which its stock is weighed."""
    line = task.line
    middle, half = foot.middle, half_width(foot, line.deepest)
    low, high = task.first_at, task.last_at
    count = max(2, math.ceil((high - low) / FINE))
    places = [low + (high - low) * k / count for k in range(count + 1)]
    depths = [task.deepest(at) + leave for at in places]  # as if nothing were left on purpose
    found = []
    for side in (-1, 1):
        for share, weight in GAUSS_4:
            radius = middle + side * half * share
            swept = _swept(foot, line, radius, places, depths)
            found.append(Section(swept, foot, leave, radius, half * weight))
    return tuple(found)


def _swept(foot: Plunge, line: Line, radius: float, places: list[float], depths: list[float]) -> Line:
    """Return the line that an unbroken cut makes at a radius; never above the face."""
    reach = foot.extent(radius, math.inf) or (0.0, 0.0)
    step = places[1] - places[0]
    rays = [line.span * k / RAYS for k in range(RAYS + 1)]

    def deepest(at: float) -> float:
        first = max(0, math.ceil((at - reach[1] - places[0]) / step - 1e-9))
        last = min(len(places) - 1, math.floor((at - reach[0] - places[0]) / step + 1e-9))
        cuts = (depths[k] - foot.relief(radius, at - places[k]) for k in range(first, last + 1))
        return max(0.0, *cuts, 0.0)

    return line_of(_through(rays, [deepest(at) for at in rays]))


def _through(rays: list[float], depths: list[float]) -> Iterator[Stretch]:
    """Yield straight stretches through points."""
    from stepcut.kernel.line import straight

    for k in range(len(rays) - 1):
        yield straight(rays[k], rays[k + 1], depths[k], depths[k + 1])
