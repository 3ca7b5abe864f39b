"""A short table of ways to step a ramp, from coarse to fine, and the fewest-stop way for a limit."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS
from stepcut.kernel.ridge import meet
from stepcut.kernel.space import Even, Ridge, space
from stepcut.kernel.task import Position
from stepcut.plan import Plan
from stepcut.shapes.choice import Choice, nearest_to
from stepcut.shapes.ramp.bench import DEFAULT_SCALLOP, RUBS_BELOW, Bench
from stepcut.shapes.ramp.spacing import easy_steps
from stepcut.shapes.ramp.task import prepare

EVEN_CHOICES = 5


SPACING = ("step", "drop", "cuts", "scallop")
SECOND = "drop"
WAYS = {
    "scallop": "Scallop: ridge left for the file. The last row has the fewest cuts for its scallop.",
    "creep": "Creep: what equal rounded steps by hand would add up to at the end; positions have none.",
}


def none(plan: Plan) -> bool:
    """Whether there is nothing to choose from: what stands in feet and corners does not depend on the step."""
    return bool(plan.details.ramp.free)


def rows(plan: Plan) -> list[Choice]:
    """Return the ways to step the ramp of a plan."""
    return choices(plan.details.bench)


def choices(bench: Bench) -> list[Choice]:
    """Return about six ways to step a ramp: even and easy to dial, coarse to fine, then the fewest stops for the limit.

    Even steps are whole crank turns before half turns, steps that divide the span before others, drops of whole depth
    divisions before others.
    """
    others = _other_approaches(bench)
    found = [_even(bench, step, others) for step in _easy(bench)]
    limit = DEFAULT_SCALLOP[bench.machine.unit]
    try:
        row = space(bench.task, Ridge(float(limit)))
    except Refused:
        return found
    stops, drop, scallop, volume = _leaves(bench, row)
    return [*found, Choice(None, None, stops, drop, scallop, volume, Fraction(0), bench.cutting.approach, limit)]


def _easy(bench: Bench) -> list[Fraction]:
    """Return the easy steps nearest to a geometric row from coarse to fine."""
    half = bench.half_turn
    candidates = [
        step
        for step in easy_steps(bench)
        if bench.ramp.span / step <= MOST_CUTS and meet(bench.task, 0.0, float(step)) and step <= bench.ramp.span / 2
    ]
    if not candidates:
        return []
    slope = bench.ramp.wanted.steepest
    coarse = min(float(candidates[0]), 3 * float(DEFAULT_SCALLOP[bench.machine.unit]) / slope)
    fine = max(float(half), min(float(RUBS_BELOW) / slope, coarse / 4))

    def against(step: Fraction) -> float:
        drop = bench.ramp.wanted.steepest * float(step) / float(bench.second.division)
        return (
            0.2 * ((step / (2 * half)).denominator != 1)
            + 0.4 * ((bench.ramp.span / step).denominator != 1)
            + 0.3 * (abs(drop - round(drop)) > 1e-6)
        )

    targets = [coarse * (fine / coarse) ** (k / (EVEN_CHOICES - 1)) for k in range(EVEN_CHOICES)]
    return nearest_to(targets, candidates, against)


def _leaves(bench: Bench, row: list[Position]) -> tuple[int, float, float, float]:
    """Return stops, largest drop, scallop and volume of all ramps."""
    left = bench.left(row)
    drop = max(b - a for a, b in pairwise([0.0, *(place.depth for place in bench.task.places(row))]))
    return len(row) * bench.ramp.starts, drop, left.scallop, left.volume * bench.ramp.starts


def _even(bench: Bench, step: Fraction, others: list[Bench]) -> Choice:
    row = space(bench.task, Even(step))
    stops, drop, scallop, volume = _leaves(bench, row)
    left = {bench.cutting.approach: volume}
    for other in others:
        other_row = space(other.task, Even(step))
        left[other.cutting.approach] = _leaves(other, other_row)[3]
    one = bench.second.value(bench.second.nearest(Fraction(bench.ramp.wanted.floor - float(bench.leave)) / len(row)))
    creep = one * len(row) - Fraction(bench.ramp.wanted.floor - float(bench.leave)).limit_denominator(10**9)
    cranks = step / (2 * bench.half_turn)
    return Choice(step, cranks, stops, drop, scallop, volume, creep, min(left, key=lambda name: left[name]))


def _other_approaches(bench: Bench) -> list[Bench]:
    """Return the same ramp under the other ways of cutting it that this machine and cutter allow."""
    found = []
    for approach, on_line in (("across", "edge"), ("plunge", "centre"), ("side", "centre")):
        if approach == bench.cutting.approach or (approach == "side" and bench.cutting.cutter.kind != "flat"):
            continue
        cutting = replace(bench.cutting, approach=approach, on_line=on_line, leave=bench.leave)
        with suppress(Refused):
            found.append(prepare(bench.ramp, cutting, bench.machine))
    return found
