"""The whole groove as it would be without steps: what a cutter leaves that follows the wanted line without a break.

On the circle itself that is the wanted line.  Beside it, at another radius, it is the deepest of all that the cutter makes there on
its way; the stock that steps leave is measured against it.  No outside source: derived here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from msgspec.structs import replace

from stepcut.kernel.footprints import Plunge
from stepcut.kernel.line import Line, Stretch, line_of
from stepcut.kernel.measure import GAUSS_4
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Task
from stepcut.machine.model import Outline

NEAR = 0.9  # share of half the width: nearer to the wall what plunged circles leave is thin and as high as the wall
SHARES = (
    *((NEAR * share, NEAR * weight) for share, weight in GAUSS_4),
    *((NEAR + (1 - NEAR) * share, (1 - NEAR) * weight) for share, weight in GAUSS_4),
)
ACROSS, BESIDE = 64, 30  # places between two cuts, and beside the circle, at which the walls' ridge is looked for
LOOKED = 3  # pairs of neighbours that lie farthest apart, the deepest of them
RAYS = 240  # places along the groove
FINE = 0.05  # degrees between the places of the cutter


def half_width(foot: Plunge, deepest: float) -> float:
    """Return half the width of the groove at the face where it is deepest, mm."""
    return foot.outline.half_width(min(deepest, foot.outline.radius)) if deepest > 0 else foot.outline.radius


def ridge_on_walls(foot: Plunge, places: Sequence[Place]) -> float:
    """Return the highest ridge on the walls, square to them: against a cutter that stood at every place between two cuts; mm."""
    widest = sorted(pairwise(places), key=lambda pair: (round(pair[1].at - pair[0].at, 2), pair[1].depth))[-LOOKED:]
    return max((_ridge_between(foot, a, b) for a, b in widest), default=0.0)


def _ridge_between(foot: Plunge, a: Place, b: Place) -> float:
    """Return the highest ridge on the walls between two neighbouring cuts, mm."""
    end, middle, most = foot.outline, foot.middle, 0.0
    for share in (k / ACROSS for k in range(1, ACROSS)):
        turns = (math.radians((b.at - a.at) * share), math.radians((b.at - a.at) * (1 - share)))
        along, off = [middle * math.cos(turn) for turn in turns], [middle * math.sin(turn) for turn in turns]
        deep = a.depth + (b.depth - a.depth) * share
        if min(a.depth, b.depth) >= end.corner:  # its upright side makes a wall of circles
            wide = [math.sqrt(max(0.0, end.radius**2 - x * x)) for x in off]
            out = max(x + half for x, half in zip(along, wide, strict=True))
            into = min(x - half for x, half in zip(along, wide, strict=True))
            most = max(most, middle + end.radius - out, into - middle + end.radius)
        reach = end.half_width(min(deep, end.corner)) if end.corner else 0.0
        for beside in (side * reach * k / BESIDE for side in (-1, 1) for k in range(1, BESIDE)):
            made = max(
                depth - end.relief(math.hypot(middle + beside - x, y))
                for depth, x, y in zip((a.depth, b.depth), along, off, strict=True)
            )
            most = max(most, _inside(end, abs(beside), min(deep - made, deep)))
    return most


def _inside(end: Outline, beside: float, above: float) -> float:
    """Return how far a point lies inside the round of a cutter, beside its axis and above its lowest point; 0 elsewhere."""
    flat = end.radius - end.corner
    if beside <= flat or above >= end.corner:
        return 0.0
    return max(0.0, end.corner - math.hypot(beside - flat, end.corner - above))


def sections(task: Task, foot: Plunge, leave: float) -> tuple[Section, ...]:
    """Return the radii across the groove at which its stock is weighed."""
    line = task.line
    middle, half = foot.middle, half_width(foot, line.deepest)
    low, high = task.first_at, task.last_at
    count = max(2, math.ceil((high - low) / FINE))
    places = [low + (high - low) * k / count for k in range(count + 1)]
    depths = [task.deepest(at) + leave for at in places]  # as if nothing were left on purpose
    whole = replace(foot, bore=middle - half, outside=middle + half)  # beside the circle its flat is shorter, or none
    found = []
    for side in (-1, 1):
        for share, weight in SHARES:
            radius = middle + side * half * share
            swept = _swept(foot, line, radius, places, depths)
            found.append(Section(swept, whole, leave, radius, half * weight))
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
