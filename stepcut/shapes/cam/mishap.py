"""After a mistake at a cam: what cuts that stand elsewhere take from its rim."""

from __future__ import annotations

import math

from stepcut.kernel.line import FREE
from stepcut.plan import Plan, Stop


def below(plan: Plan, stop: Stop, where: float, found: float | None = None) -> float:
    """Return how far a cut goes below the rim when it is made at another place, or was found so low, mm along the ray where it does so most.

    Rays are tried at half a thousandth of what the cutter covers, and where the rim's formula changes.
    """
    height = float(plan.second.value(stop.second)) if found is None else found
    section = plan.details.bench.task.sections[0]
    line, half = section.line, section.blade.half
    reach = math.degrees(math.asin(half / (height + half)) if section.blade.side else math.atan2(half, height))
    rays = [where + reach * (k / 1000 - 1) for k in range(2001)]
    rays += [ray for joint in line.joints for ray in (joint, joint + 360.0, joint - 360.0) if abs(ray - where) <= reach]
    cut = -math.inf
    for ray in rays:
        wanted = line.depth(ray % 360.0)
        if wanted != FREE:
            cut = max(cut, -section.blade.leaves(height, math.radians(ray - where)) - wanted)
    return cut
