"""After a mistake at a ramp: what cuts that stand elsewhere, or too deep, take from it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from fractions import Fraction
from typing import Any

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


def below(plan: Plan, stop: Stop, where: float) -> float:
    """Return how far a cut stands below the wanted surface when it is made at another place, mm."""
    return float(plan.second.value(stop.second)) - _reaches(plan, where)


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
    reaches to the wrong side, up the mirrored ramp, and farthest along the bore; a round end is taken as a flat one, which is
    never less.
    """
    bench = plan.details.bench
    low, high = bench.foot.window
    if abs(low + high) < 1e-9 * (high - low):
        return None
    line = bench.ramp.wanted
    sector, worst = 360.0 / plan.copies, 0.0
    for stop in plan.stops:
        if stop.n in numbers:
            at = float(plan.first.value(stop.first)) - sector * (stop.start - 1)
            worst = max(worst, float(plan.second.value(stop.second)) - line.depth(min(max(0.0, at - high), line.span)))
    return worst


def too_deep(plan: Plan, stop: Stop, found: Fraction, over: float) -> TooDeep:
    """Return what a cut does that was found so deep, and ``over`` below its place: its wanted surface is known."""
    task, wanted = plan.details.bench.task, plan.details.ramp.wanted
    at = _at(plan, stop)
    below = float(found) - task.touch(at).depth  # the wanted surface itself, less what the outline gives away
    if below <= 1e-9:
        return TooDeep(over, below, Fraction(0))
    low = task.touch(at).where
    end, lost = _stands_low(plan, at, low, min(wanted.reach(float(found)), wanted.span))
    if lost <= 1e-9:  # past the low end, where nothing is wanted
        return TooDeep(over, below, Fraction(0), stretch=(low, end), past_end=True)
    lower = plan.second.up(below) * plan.second.division
    turn = float(lower) / wanted.steepest if wanted.steepest else 0.0  # level pads alone have no slope
    return TooDeep(over, below, lower, turn, (low, end), lost)


def _stands_low(plan: Plan, at: float, low: float, end: float) -> tuple[float, float]:
    """Return how far a cut from `low` stands below the surface that reaches its depth at `end`, and its share of all faces.

    The cutter covers less of the angle at the outside than at the bore: the share is that of the wall's area, by Simpson's rule.
    """
    bench, total, farthest = plan.details.bench, 0.0, low
    radii = bench.ramp.radii
    for radius, weight in zip(radii, (1, 4, 1), strict=True):
        reach = bench.foot.extent(radius, float("inf"))
        stops = low if reach is None else max(low, min(end, at + reach[1]))
        farthest = max(farthest, stops)
        total += weight * radius * (stops - low)
    whole = sum(weight * radius for radius, weight in zip(radii, (1, 4, 1), strict=True)) * bench.ramp.wanted.span
    return farthest, total / whole / plan.copies


def _at(plan: Plan, stop: Stop) -> float:
    """Return where a stop stands on its ramp: its mate on the first ramp tells it, for a ramp need not begin on a whole division."""
    own, first = ([other for other in plan.stops if other.start == start] for start in (stop.start, 1))
    return float(plan.first.value(first[own.index(stop)].first))
