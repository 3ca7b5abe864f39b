"""After a mistake at a ramp: what cuts that stand elsewhere, or too deep, take from it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stepcut.kernel.line import FREE, Line
from stepcut.kernel.section import Guard
from stepcut.plan import Plan, Stop
from stepcut.shop.recover import TooDeep


def lowered(values: Mapping[str, Any], by: Fraction) -> tuple[str, Fraction] | None:
    """Return the input that lowers a whole ramp, and what it then says, mm; None where its own list of depths does."""
    if values["targets"] or values["flats"]:
        return None
    return "start-depth", (values.get("start-depth") or Fraction(0)) + by


def turns(plan: Plan, lower: Fraction) -> float:
    """Return how many degrees further the handle of a clamp turns when this part alone is lowered."""
    slope = plan.details.ramp.wanted.steepest
    return float(lower) / slope if slope else 0.0


def below(plan: Plan, stop: Stop, where: float, found: float | None = None) -> float:
    """Return how far a cut stands below the wanted surface when it is made at another place, or was found so deep, mm."""
    return (float(plan.second.value(stop.second)) if found is None else found) - _reaches(plan, where)


def _reaches(plan: Plan, where: float) -> float:
    """Return the depth at which a cut reaches the wanted surface of any ramp of the ring; infinite between them."""
    bench = plan.details.bench
    line = bench.ramp.wanted
    alone = Line(line.stretches, before="free", after="free")
    sector = 360.0 / plan.copies
    guard = Guard(alone, bench.foot)
    held = min(guard.deepest(where % sector + k * sector).depth for k in (-1, 0, 1))
    return math.inf if held == FREE else held


def other_hand(plan: Plan, numbers: Collection[int]) -> float | None:
    """Return how far cuts made the wrong way round stand below the surface of the mirrored part, mm; None where none is.

    Notes
    -----
    A cutter whose axis stands on the centre line is its own mirror image, and so is the flat of a cam.  With its edge there it
    reaches to the wrong side, up the mirrored ramp.  Under a flat end the ends of straight stretches bind; between them it is looked
    at in a few hundred places.
    """
    foot = plan.details.bench.foot
    low, high = foot.window
    if abs(low + high) < 1e-9 * (high - low):
        return None
    line = plan.details.bench.ramp.wanted
    sector, worst = 360.0 / plan.copies, 0.0
    hair = 1e-9 * (high - low)
    comb = [low + hair + (high - low - 2 * hair) * k / LOOKS for k in range(LOOKS + 1)]
    for stop in plan.stops:
        if stop.n not in numbers:
            continue
        at = float(plan.first.value(stop.first)) % sector
        kinks = [at - kink - turn for kink in (0.0, *line.joints, line.span) for turn in (-sector, 0.0, sector)]
        offsets = [
            *comb,
            *(each + side * hair for each in kinks for side in (-1, 1) if low < each + side * hair < high),
        ]
        held = math.inf
        for offset in offsets:
            along = (at - offset) % sector
            if along <= line.span:
                held = min(held, line.depth(along) + foot.least(offset))
        worst = max(worst, float(plan.second.value(stop.second)) - held)
    return worst


LOOKS = 400


def too_deep(plan: Plan, stop: Stop, found: Fraction, damage: TooDeep) -> TooDeep:
    """Return what a cut does besides that was found so deep: how far the handle turns on, and which share of the faces is lost."""
    (low, end), lost = _stands_low(plan, stop, float(found))
    return replace(damage, turn=turns(plan, damage.lower), stretch=(low, end), lost=lost)


def _stands_low(plan: Plan, stop: Stop, found: float) -> tuple[tuple[float, float], float]:
    """Return where a cut found so deep stands below the surface, degrees from its ramp's high end, and its share of all faces.

    The cutter covers less of the angle at the outside than at the bore: the share is that of the wall's area, by Simpson's rule over
    the radius and by places close together along it.
    """
    bench = plan.details.bench
    line, sector = bench.ramp.wanted, 360.0 / plan.copies
    at = float(plan.first.value(stop.first)) - sector * (stop.start - 1)
    total, places = 0.0, []
    for radius, weight in zip(bench.ramp.radii, (1, 4, 1), strict=True):
        reach = bench.foot.extent(radius, math.inf)
        if reach is None:
            continue
        cell = (reach[1] - reach[0]) / (8 * LOOKS)
        offsets = [reach[0] + cell * (k + 0.5) for k in range(8 * LOOKS)]
        low = [
            (at + offset) % sector
            for offset in offsets
            if (at + offset) % sector <= line.span
            and found - bench.foot.relief(radius, offset) > line.depth((at + offset) % sector) + 1e-9
        ]
        places += [min(low) - cell / 2, max(low) + cell / 2] if low else []
        total += weight * radius * cell * len(low)
    whole = sum(weight * radius for radius, weight in zip(bench.ramp.radii, (1, 4, 1), strict=True)) * line.span
    if not places:
        return (at, at), 0.0
    return (max(0.0, min(places)), min(line.span, max(places))), total / whole / plan.copies
