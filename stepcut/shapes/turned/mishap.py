"""After a mistake at a turned part: what cuts that stand elsewhere take from it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from stepcut.kernel.line import WALL
from stepcut.plan import Plan, Stop
from stepcut.shapes.turned.wanted import Flank

LOOKS = 1000  # places of a flank at which a cut from the other end is compared with it


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


def below_end_for_end(plan: Plan, stop: Stop, length: float) -> float:
    """Return how far a cut stands below the wanted surface that was made from the other face of a part so long, mm.

    Minus infinite where it does not come so far, or past the ends of what is wanted.  It takes what lies between the other face and its
    corner, in the plan's own z from there on: a tool's corners and the round of its nose are turned end for end with it.
    """
    x, sign = float(plan.second.value(stop.second)), 1 if plan.details.in_bore else -1
    begin, end = _covered(plan, stop, length)
    nose, worst = float(plan.cutter.radius) if plan.cutter.kind == "round" else 0.0, -math.inf
    for flank in (cut.flank for cut in plan.details.cuts if not cut.rough):
        for z, depth in _looked_at(flank, begin, end):
            beside = max(begin + nose - z, z - (end - nose), 0.0)  # of the middle of the nose, where it stops
            round_off = nose - math.sqrt(max(0.0, nose**2 - beside**2))
            worst = max(worst, sign * (x - flank.radius_of(depth)) - round_off)
    return worst


def _covered(plan: Plan, stop: Stop, length: float) -> tuple[float, float]:
    """Return from which z to which a cut takes metal that was made from the other face of a part so long, mm.

    A pass comes from that face, or from a groove; a tool that goes straight in takes as much as it is wide.
    """
    place, way = float(plan.first.value(stop.first)), plan.details.cuts[stop.start - 1].flank.way
    round_nose = plan.cutter.kind == "round"
    wide = 2 * float(plan.cutter.radius) if round_nose else float(plan.details.width or 0)
    if way == "straight-in":
        return length - place, length - place + wide
    if way == "to-headstock":
        return length - place, math.inf
    groove = max(float(plan.first.value(each.first)) for each in plan.stops if each.start == stop.start)
    return (length - groove, length - place + wide) if round_nose else (length - groove - wide, length - place)


def _looked_at(flank: Flank, begin: float, end: float) -> Iterator[tuple[float, float]]:
    """Return z and depth at places of a flank between two z: close together, at its joints, and just inside both ends."""
    line = flank.wanted
    low, high = sorted((flank.z_at(0.0), flank.z_at(line.span)))
    low, high = max(low, begin), min(high, end)
    if low >= high:
        return
    hair = 1e-9 * (high - low)
    joints = (flank.z_at(joint + side * hair) for joint in line.joints for side in (-1, 1))
    for z in (*(low + hair + (high - low - 2 * hair) * k / LOOKS for k in range(LOOKS + 1)), *joints):
        if low < z < high:
            yield z, line.depth(float(flank.z_high) - z if flank.toward_face else z - float(flank.z_high))
