"""How much a cutter takes in one pass, and the passes of a cut that is deeper or wider than that.

A milling pass may meet as much metal, wide times deep, as a slot of the cutter's whole width does that is a quarter of the
diameter deep; half of it in a soft material; and never more than a diameter deep.  A plunge goes down half a diameter, then up
to let the chips out.  Common practice; that half a diameter is the most for a slot, in soft metal, is also said in [1].

References
----------
[1] "Design Tables and Coefficients", scribd.com/document/615349553, note under table 3.
"""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.plan import Plan, Stop
from stepcut.shop.biting import pass_depth

SOFT = ("aluminium", "brass", "plastic")
SLOT, SLOT_SOFT = Fraction(1, 4), Fraction(1, 2)  # of the diameter
PLUNGE = Fraction(1, 2)  # of the diameter


def levels(deep: Fraction, passes: int, division: Fraction) -> tuple[Fraction, ...]:
    """Return how deep each pass but the last goes, in whole divisions, evenly.

    Examples
    --------
    >>> [float(level) for level in levels(Fraction(3), 3, Fraction(1, 10))], levels(Fraction(3), 1, Fraction(1))
    ([1.0, 2.0], ())
    """
    steps = (math.floor(deep * k / passes / division) * division for k in range(1, passes))
    return tuple(dict.fromkeys(level for level in steps if 0 < level < deep))


def plunges(plan: Plan, deep: Fraction, division: Fraction) -> tuple[Fraction, ...]:
    """Return the depths at which a plunge comes up again before it goes on; none when it may go down at once."""
    return levels(deep, math.ceil(deep / (plan.cutter.diameter * PLUNGE)), division)


def deeper(plan: Plan, bottom: Fraction, deep: Fraction, division: Fraction) -> tuple[Fraction, ...]:
    """Return the depths, in whole divisions, of the plunges that go on from one depth to a pit's bottom."""
    bottom = bottom // division * division
    count = math.ceil((bottom - deep) / (plan.cutter.diameter * PLUNGE))
    return (*(deep + level for level in levels(bottom - deep, count, division)), bottom)


def milled(plan: Plan, deep: Fraction, before: Fraction, wide: float) -> tuple[Fraction, ...]:
    """Return the depths of the passes before the last of a cut.

    Parameters
    ----------
    plan : Plan
        What is cut with what.
    deep, before : Fraction
        How deep the cut is below the untouched metal, and how deep the one before it was; mm.
    wide : float
        How far the cutter has come on since, mm: metal as wide as this stands untouched beside the cut before.
    """
    across = float(plan.cutter.diameter)
    new = min(wide, across)
    met = float(deep) * new + max(0.0, float(deep - before)) * (across - new)
    slot = SLOT_SOFT if plan.material in SOFT else SLOT
    passes = max(met / (across * across * float(slot)), float(deep) / across)
    return levels(deep, max(1, math.ceil(passes - 1e-9)), plan.second.division)


def turned(plan: Plan, metal: int, stop: Stop) -> tuple[int, ...]:
    """Return the divisions of the cross-slide to pass at before a cut of a turned shape, from where the metal begins."""
    most = math.floor(pass_depth(plan.material, plan.carbide) / plan.second.division)
    if most < 1:
        return ()
    deep = abs(stop.second - metal)
    passes = -(-deep // most)
    way = 1 if metal < stop.second else -1
    return tuple(dict.fromkeys(metal + way * -(-deep * k // passes) for k in range(1, passes)))
