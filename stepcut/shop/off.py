"""A check that is off: which fault the readings of a job so far look like, and the test that tells it from the others.

Readings are (number of the cut, wanted, found) in mm, in the order of cutting; off is found less wanted, above 0 too deep.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

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
    share = sum(d * o for d, o in zip(depths, offs, strict=True)) / (sum(d * d for d in depths) or 1.0)
    growing = _rest(offs, [share * d for d in depths])
    if slip is not None and slip[1] <= growing:
        return slip[0]
    if growing <= allowed / 2:
        return Fault("grows", share * max(depths))
    if min(offs) >= -(slack + allowed) and max(offs) <= allowed and slack > allowed:
        return Fault("slack", min(offs))
    return Fault("unclear", max(offs, key=abs))


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
