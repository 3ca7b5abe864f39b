"""A short table of ways to step a face scroll, from coarse to fine, and the fewest cuts within the usual ridge."""

from __future__ import annotations

import math
from contextlib import suppress
from fractions import Fraction
from itertools import pairwise

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS
from stepcut.plan import Plan
from stepcut.shapes.choice import Choice, nearest_to
from stepcut.shapes.scroll.task import DEFAULT_RIDGE, Bench, bench_of

RIDGES = (10, 5, 2, 1, 0.5)  # of the even rows, in usual ridges
EASY = (1, 2, 4, 5, 10)  # parts of a crank turn that are easy to dial; their whole numbers are steps

SPACING = ("step", "cuts", "scallop")
SECOND = "x a cut"
WAYS = {
    "scallop": "Scallop: the highest ridge on walls and floor, farthest out. The last row has the fewest cuts for its scallop.",
    "creep": "Creep: what equal rounded steps of x by hand would add up to at the end; positions have none.",
}


def none(plan: Plan) -> bool:
    """Whether there is nothing to choose from: never for a scroll."""
    return False


def rows(plan: Plan) -> list[Choice]:
    """Return about six ways to step the scroll of a plan: even ones, then the fewest cuts for the usual ridge."""
    assert plan.machine.table is not None  # noqa: S101  # it was solved on one
    bench = bench_of(plan.details.scroll, plan.cutter, plan.leave, plan.machine)
    crank, limit = plan.machine.table.degrees_per_turn, DEFAULT_RIDGE[plan.machine.unit]
    found = [_row(bench, bench.even(step), step, crank) for step in _easy(bench, crank, float(limit))]
    with suppress(Refused):
        found.append(_row(bench, bench.within(float(limit)), None, crank, limit))
    return found


def _easy(bench: Bench, crank: Fraction, limit: float) -> list[Fraction]:
    """Return the easy steps nearest to a row from coarse to fine; a step s leaves a ridge of s^2 / 8R, and must meet the next."""
    out, wide = float(bench.scroll.end), bench.row([0]).wide(float(bench.deep))
    widest = math.degrees(2 * wide * 0.95 / out)
    wanted = [
        min(widest, math.degrees(math.sqrt(8 * bench.cutter.outline.radius * ridge * limit) / out)) for ridge in RIDGES
    ]
    parts = [crank / part for part in EASY if (crank / part / bench.rim.division).denominator == 1]
    steps = {
        k * part: rank
        for rank, part in reversed(list(enumerate(parts)))
        for k in range(1, math.floor(widest / float(part)) + 1)
        if bench.scroll.sweep / (k * part) * bench.scroll.starts < MOST_CUTS - 2
    }
    if not steps:
        return []

    def against(step: Fraction) -> float:
        odd = (bench.rim.value(bench.last) / step).denominator != 1
        return 0.2 * min(2, steps[step]) + 0.2 * odd

    return nearest_to(wanted, steps, against)


def _row(
    bench: Bench, marks: list[int], step: Fraction | None, crank: Fraction, limit: Fraction | None = None
) -> Choice:
    row, starts = bench.row(marks), bench.scroll.starts
    slides = [float(bench.slide.value(bench.slide_of(mark))) for mark in marks]
    creep = Fraction(0)
    if step is not None:
        once = bench.scroll.pitch * step / 360
        creep = (bench.scroll.sweep // step) * (bench.slide.value(bench.slide.nearest(once)) - once)
    return Choice(
        step,
        None if step is None else step / crank,
        len(marks) * starts,
        max((b - a for a, b in pairwise(slides)), default=0.0),
        row.ridges().most,
        row.volume(float(bench.scroll.depth - bench.deep)) * starts,
        creep,
        limit=limit,
    )
