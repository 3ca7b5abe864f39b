"""A check that is off: which fault the readings of a job so far look like, and the test that tells it from the others.

Readings are (number of the cut, wanted, found) in mm, in the order of cutting; off is found less wanted, above 0 too deep.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from stepcut.plan import Plan

Reading = tuple[int, float, float]
Code = Literal["within", "one", "zero", "zero-or-deflection", "slip", "grows", "slack", "unclear"]


class Fault(Struct, frozen=True):
    """What the readings look like.

    Parameters
    ----------
    code : str
        within: nothing is off.  one: too few readings to tell.  zero: all too deep by the same.  zero-or-deflection: all too
        shallow by the same.  slip: right before cut ``since``, off by the same from it on.  grows: off by a share of the
        depth.  slack: right at times, too shallow by up to the slack at others.  unclear: none of these.
    by : float
        How much, mm; of ``grows`` for the deepest reading.
    since : int or None
        The first cut that is off.
    """

    code: Code
    by: float = 0.0
    since: int | None = None


def fault(readings: Sequence[Reading], allowed: float, slack: float) -> Fault:
    """Return what the readings look like.

    Parameters
    ----------
    readings : sequence of (int, float, float)
        Cut, wanted and found.
    allowed : float
        What a good reading may be off, mm: the scale's error and a division for reading it.
    slack : float
        Backlash of the scale, mm.
    """
    ordered = sorted(readings)
    offs = [found - wanted for _, wanted, found in ordered]
    if all(abs(off) <= allowed + 1e-9 for off in offs):
        return Fault("within")
    if len(offs) < 3:
        return Fault("one", offs[-1], ordered[-1][0])
    mean = sum(offs) / len(offs)
    if _rest(offs, [mean] * len(offs)) <= allowed / 2:
        return Fault("zero" if mean > 0 else "zero-or-deflection", mean)
    slip = _slip(ordered, offs, allowed)
    depths = [wanted for _, wanted, _ in ordered]
    part = share(ordered)
    growing = _rest(offs, [part * d for d in depths])
    if slip is not None and slip[1] <= growing:
        return slip[0]
    if growing <= allowed / 2:
        return Fault("grows", part * max(depths))
    if min(offs) >= -(slack + allowed) and max(offs) <= allowed and slack > allowed:
        return Fault("slack", min(offs))
    return Fault("unclear", max(offs, key=abs))


Cause = Literal["zero", "slip", "scale", "deflection"]
CAUSES: tuple[Cause, ...] = ("zero", "slip", "scale", "deflection")


def in_plan(plan: Plan, readings: Sequence[Reading]) -> Fault | None:
    """Return what the readings of a job look like on its own scale; None where the second scale is no depth, or there are none."""
    if plan.axes[1] != "depth" or not readings:
        return None
    return fault(readings, float(plan.second.error + plan.second.division), float(plan.second.backlash))


def anew(plan: Plan, readings: Sequence[Reading], cause: Cause, after: int) -> list[tuple[int, Fraction]]:
    """Return what the depth scale must read for the cuts after one, so that they come out as the plan wants them.

    A zero that is off, or a slip, moves all alike; a scale that is off, by its share of the depth.  Each is rounded to the scale's
    division that is the shallower one.  A cutter that gives way asks for no other reading.
    """
    if cause == "deflection":
        return []
    found, part = in_plan(plan, readings), 1 + share(readings)
    by = found.by if found is not None else 0.0
    rows = []
    for stop in plan.stops:
        if stop.n > after:
            wanted = float(plan.second.value(stop.second))
            meant = wanted / part if cause == "scale" else wanted - by
            rows.append((stop.n, plan.second.value(plan.second.down(meant))))
    return rows


def share(readings: Sequence[Reading]) -> float:
    """Return by what share of the wanted depth readings are off, by least squares."""
    weight = sum(wanted * wanted for _, wanted, _ in readings)
    return sum(wanted * (found - wanted) for _, wanted, found in readings) / (weight or 1.0)


def _rest(offs: Sequence[float], told: Sequence[float]) -> float:
    """Return the root mean square of what is left over."""
    return math.sqrt(sum((a - b) ** 2 for a, b in zip(offs, told, strict=True)) / len(offs))


def _slip(ordered: Sequence[Reading], offs: Sequence[float], allowed: float) -> tuple[Fault, float] | None:
    """Return a slip where the readings before a cut are right and those from it on off by the same, and what it leaves over."""
    best: tuple[Fault, float] | None = None
    for k in range(1, len(offs)):
        after = sum(offs[k:]) / (len(offs) - k)
        rest = _rest(offs, [0.0] * k + [after] * (len(offs) - k))
        if rest <= allowed / 2 and abs(after) > allowed and (best is None or rest < best[1]):
            best = Fault("slip", after, ordered[k][0]), rest
    return best
