"""Cuts that stand elsewhere than meant: after a slip, or made the wrong way round.  What they take from the wanted surface.

The cuts themselves are as deep as the plan says; only their places are others.  Lengths are mm, angles degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.line import FREE, WALL, Line
from stepcut.kernel.section import Guard
from stepcut.plan import Plan, Stop

SHAPES = ("ramp", "cam", "taper", "radius", "profile")


class Astray(Struct, frozen=True):
    """What cuts at other places do.

    Parameters
    ----------
    below : float
        How far the worst of them stands below the wanted surface, mm; 0 when none does.
    worst : int or None
        The number of that cut.
    low : tuple of int
        Numbers of all that stand below it.
    lower : Fraction
        How much everything must be lowered to clean up, in whole divisions.
    turn : float
        How many degrees further the handle of a clamp turns when this part alone is lowered so; 0 for other shapes.
    beside : tuple of int
        Numbers of the cuts of a turned part that stand past the ends of its flank, of which the plan knows nothing.
    """

    below: float = 0.0
    worst: int | None = None
    low: tuple[int, ...] = ()
    lower: Fraction = Fraction(0)
    turn: float = 0.0
    beside: tuple[int, ...] = ()


def slipped(plan: Plan, numbers: Iterable[int], by: Fraction) -> Astray:
    """Return what cuts do that stand so far on, in the plan's first coordinate, because the work slipped before them."""
    chosen = set(numbers)
    return _taken(plan, [(stop, float(plan.first.value(stop.first) + by)) for stop in plan.stops if stop.n in chosen])


def mirrored(plan: Plan, numbers: Iterable[int], length: Fraction | None = None) -> Astray:
    """Return what cuts do that were made the wrong way round.

    A table was turned the other way, about its nought; a turned part was held end for end, and ``length`` is the distance between
    its faces.
    """
    chosen, end = set(numbers), length or Fraction(0)
    return _taken(plan, [(stop, float(end - plan.first.value(stop.first))) for stop in plan.stops if stop.n in chosen])


def other_hand(plan: Plan, numbers: Iterable[int]) -> float | None:
    """Return how far cuts made the wrong way round stand below the surface of the mirrored part, mm; None where none is.

    Notes
    -----
    A cutter whose axis stands on the centre line is its own mirror image, and so is the flat of a cam.  With its edge there it
    reaches to the wrong side, up the mirrored ramp, and farthest along the bore; a round end is taken as a flat one, which is
    never less.
    """
    if plan.shape != "ramp":
        return None
    bench, chosen = plan.details.bench, set(numbers)
    low, high = bench.foot.window
    if abs(low + high) < 1e-9 * (high - low):
        return None
    line = bench.ramp.wanted
    sector, worst = 360.0 / plan.copies, 0.0
    for stop in plan.stops:
        if stop.n in chosen:
            at = float(plan.first.value(stop.first)) - sector * (stop.start - 1)
            worst = max(worst, float(plan.second.value(stop.second)) - line.depth(min(max(0.0, at - high), line.span)))
    return worst


def _taken(plan: Plan, cuts: list[tuple[Stop, float]]) -> Astray:
    """Return what cuts take at given places.

    Raises
    ------
    Refused
        For a shape whose wanted surface is not one line that cuts follow.
    """
    if plan.shape not in SHAPES or plan.approach == "compound":
        raise Refused("recipe", "no-astray", shape=plan.shape)
    found = [(_below(plan, stop, where), stop.n) for stop, where in cuts]
    beside = tuple(n for below, n in found if below == -math.inf) if not plan.first.angular else ()
    low = [(below, n) for below, n in found if below > 1e-9]
    if not low:
        return Astray(beside=beside)
    below, worst = max(low, key=lambda pair: (pair[0], -pair[1]))
    lower = plan.second.up(below) * plan.second.division
    slope = plan.details.ramp.wanted.steepest if plan.shape == "ramp" else 0.0
    return Astray(below, worst, tuple(n for _, n in low), lower, float(lower) / slope if slope else 0.0, beside)


def _below(plan: Plan, stop: Stop, where: float) -> float:
    """Return how far a cut of the plan stands below the wanted surface when it is made at another place."""
    value = float(plan.second.value(stop.second))
    if plan.shape == "ramp":
        return value - _ramp(plan, where)
    if plan.shape == "cam":
        return _cam(plan, where, value)
    own = plan.details.cuts[stop.start - 1]
    flank = own.flank
    depth = value - float(flank.radius_high) if flank.side == "bore" else float(flank.radius_high) - value
    at = float(flank.z_high) - where if flank.toward_face else where - float(flank.z_high)
    held = own.task.touch(at).depth
    return depth if held == WALL else depth - held


def _ramp(plan: Plan, where: float) -> float:
    """Return the depth at which a cut reaches the wanted surface of any ramp of the ring; infinite between them."""
    bench = plan.details.bench
    line = bench.ramp.wanted
    alone = Line(line.stretches, before="free", after="free")
    sector = 360.0 / plan.copies
    guard = Guard(alone, bench.foot)
    held = min(guard.deepest(where % sector + k * sector).depth for k in (-1, 0, 1))
    return math.inf if held == FREE else held


def _cam(plan: Plan, where: float, height: float) -> float:
    """Return how far a cut at a height above the axis goes below the rim, mm along the ray where it does so most.

    Rays are tried at half a thousandth of what the cutter covers, and where the rim's formula changes.
    """
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
