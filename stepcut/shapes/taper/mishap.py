"""After a mistake at a taper: by steps see :mod:`stepcut.shapes.turned.mishap`; otherwise each pass is a whole cone."""

from __future__ import annotations

import math

from stepcut.plan import Plan, Stop
from stepcut.shapes.turned import mishap


def below(plan: Plan, stop: Stop, where: float, found: float | None = None) -> float:
    """Return how far a cut stands below the wanted surface when it is made at another place, or was found so deep, mm.

    Minus infinite past the ends of the taper.  A pass of a whole cone that stands farther on is a cone moved along the axis: it
    takes more of the radius, by the tangent, all along.
    """
    if not plan.coned:
        return mishap.below(plan, stop, where, found)
    slope, travel = math.radians(plan.target["per_side"]), float(plan.first.value(stop.first))
    on = where - travel
    if on + travel <= 0 or on * math.cos(slope) >= plan.target["length"]:
        return -math.inf
    return _under_end(plan, stop, found) + on * math.sin(slope)


def below_end_for_end(plan: Plan, stop: Stop, length: float) -> float:
    """Return how far a cut stands below the wanted surface that was made on the other end of a part so long, mm.

    The cone of a pass that makes a whole one grows from that end; of the taper it takes most at the large end, minus infinite where
    it does not come so far.
    """
    if not plan.coned:
        return mishap.below_end_for_end(plan, stop, length)
    slope, travel = math.radians(plan.target["per_side"]), float(plan.first.value(stop.first))
    between = (
        length - plan.target["length"]
    )  # from the other face to the large end of the taper, or to the small one of a bore
    if travel * math.cos(slope) <= between:
        return -math.inf
    rise = plan.target["length"] * math.tan(
        slope
    )  # of the wanted radius, from the end that the dial is set by to the other
    return float(_under_end(plan, stop, None) + rise - between * math.tan(slope))


def _under_end(plan: Plan, stop: Stop, found: float | None) -> float:
    """Return how far a pass stands below the wanted radius in the plane of the face, mm; below 0 while it stands off."""
    bore = plan.target["side"] == "bore"
    value = float(plan.second.value(stop.second)) if found is None else found
    end = plan.target["large_diameter" if bore else "small_diameter"] / 2
    return float(value - end if bore else end - value)
