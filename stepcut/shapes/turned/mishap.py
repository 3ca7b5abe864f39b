"""After a mistake at a turned part: what cuts that stand elsewhere take from it."""

from __future__ import annotations

from stepcut.kernel.line import WALL
from stepcut.plan import Plan, Stop


def below(plan: Plan, stop: Stop, where: float, found: float | None = None) -> float:
    """Return how far a cut stands below the wanted surface when it is made at another place, or was found so deep, mm.

    Minus infinite past its flank.
    """
    value = float(plan.second.value(stop.second)) if found is None else found
    own = plan.details.cuts[stop.start - 1]
    flank = own.flank
    depth = value - float(flank.radius_high) if flank.side == "bore" else float(flank.radius_high) - value
    at = float(flank.z_high) - where if flank.toward_face else where - float(flank.z_high)
    held = own.task.touch(at).depth
    return depth if held == WALL else depth - held
