"""The gap of an open cam: what it costs where the cutter reaches over it to the other end, and which cutter clears."""

from __future__ import annotations

from fractions import Fraction
from math import radians

from msgspec import Struct

from stepcut.machine import STANDARD_CUTTERS
from stepcut.shapes.cam.bench import Bench, best_at, guards_of
from stepcut.shapes.cam.section import Blade
from stepcut.shapes.cam.unlowered import TINY
from stepcut.shapes.cam.wanted import Rim


class Held(Struct, frozen=True):
    """What the other end of an open cam costs.

    Parameters
    ----------
    stands : float
        The largest height left at an end because the cutter would reach over the gap, mm.
    needed : float
        The gap that this cutter clears, degrees.
    clears : Fraction or None
        The largest standard cutter, mm, that clears this gap.
    """

    stands: float
    needed: float
    clears: Fraction | None


def held_by_gap(bench: Bench) -> Held | None:
    """Return what the gap costs; None when the cutter clears the other end, or the cam has no gap."""
    wanted, cutting = bench.rim, bench.cutting
    if wanted.whole:
        return None
    stands, needed = _cost(wanted, cutting.blade, bench.task.leave)
    if stands <= TINY:
        return None
    clears = None
    for diameter in sorted(STANDARD_CUTTERS[bench.machine.unit], reverse=True):
        if (
            diameter < cutting.cutter.diameter
            and _cost(wanted, Blade(float(diameter) / 2, cutting.blade.side), bench.task.leave)[0] <= TINY
        ):
            clears = diameter
            break
    return Held(stands, needed, clears)


def _cost(wanted: Rim, blade: Blade, leave: float) -> tuple[float, float]:
    """Return the height left at the worse end because of the other one, mm, and the gap that would clear, degrees."""
    both, alone = guards_of(wanted, blade, leave), guards_of(wanted, blade, leave, alone=True)
    worst, needed = 0.0, 0.0
    for where, far in ((0.0, wanted.last), (wanted.span, wanted.first)):
        inner = where + (1e-9 if where == 0.0 else -1e-9)
        _, held = best_at(both, blade, inner, where)
        at, free = best_at(alone, blade, inner, where)
        if held - free > TINY and held - free > worst:
            worst = held - free
            depth = min(guard.deepest(at).depth for guard in alone) - leave
            needed = abs(at - where) * (1 if (at < where) == (where == 0.0) else -1) + _clears_at(
                blade, far + leave, -depth
            )
    return worst, needed


def _clears_at(blade: Blade, radius: float, height: float) -> float:
    """Return how many degrees beside a cut of a height metal of a radius no longer holds it."""
    low, high = 0.0, 89.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if blade.held(radius, radians(middle)) > height else (low, middle)
    return high
