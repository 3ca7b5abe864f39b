"""How far the hands wind each slide, from end to end."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from stepcut.acts import Act, Axis
from stepcut.machine import Scale
from stepcut.plan import Plan
from stepcut.shop.verdict import Reach

FROM_NOUGHT = ("depth", "z", "compound")  # axes that are touched off at nought before the first cut


def scale_of(plan: Plan, axis: Axis) -> Scale:
    """Return the scale of an axis that a plan's acts move; the caller knows that the machine has it."""
    for name, scale in zip(plan.axes, (plan.first, plan.second), strict=True):
        if name == axis or (axis == "slide" and name == "x" and plan.axes[0] == "table"):
            return scale
    found = plan.machine.depth if axis == "depth" else plan.machine.slide
    assert found is not None  # noqa: S101  # a cycle moves only what its plan was solved for
    return found


def reach(plan: Plan, acts: Iterable[Act]) -> tuple[Reach, ...]:
    """Return the lowest and the highest place that acts wind each straight scale to; mm.

    What is wound in front of a face, clear of the metal, or past a place and up to it again for the slack counts as the cuts do;
    and nought, where it is touched off.  The table turns on for ever.
    """
    places: dict[Axis, list[Fraction]] = {}
    for act in acts:
        if act.axis not in (None, "table") and act.to is not None:
            touched = act.axis in FROM_NOUGHT or (act.axis in ("x", "slide") and plan.axes[0] == "table")
            places.setdefault(act.axis, [Fraction(0)] if touched else []).append(act.to)
    return tuple(Reach(scale_of(plan, axis), min(found), max(found)) for axis, found in places.items())
