"""A short table of ways to step a helix, from coarse to fine, and the fewest cuts within the usual ridge."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from itertools import pairwise

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS
from stepcut.plan import Plan
from stepcut.shapes.choice import Choice, nearest_to
from stepcut.shapes.helix.bench import Groove
from stepcut.shapes.helix.task import DEFAULT_RIDGE, largest_step

EVEN_CHOICES = 5
COARSE, FINE = 10.0, 0.5  # ridges of the first and the last even row, in usual ridges
EASY = (2, 4, 5, 10)  # parts of a crank turn that are easy to dial; their whole numbers are steps
PARTLY = 0.2  # how much a part of a turn counts against a step, and its odd end; in logarithms of steps

SPACING = ("step", "cuts", "scallop")
SECOND = "x a cut"
WAYS = {
    "scallop": "Scallop: the highest ridge on walls and floor. The last row has the fewest cuts for its scallop.",
    "creep": "Creep: what equal rounded steps of x by hand would add up to at the end; positions have none.",
}


def none(plan: Plan) -> bool:
    """Whether there is nothing to choose from: never for a helix."""
    return False


def rows(plan: Plan) -> list[Choice]:
    """Return about six ways to step the groove of a plan: even and easy to dial, coarse to fine, then the fewest for the usual ridge."""
    assert plan.machine.table is not None  # noqa: S101  # it was solved on one
    groove = Groove(plan.details.helix, plan.cutter, plan.first, plan.second)
    crank, limit = plan.machine.table.degrees_per_turn, DEFAULT_RIDGE[plan.machine.unit]
    steps = [step for step in _easy(groove, crank, float(limit)) if groove.apart(groove.row(step)) is None]
    last = []
    with suppress(Refused):  # these scales cannot keep the usual ridge
        step = largest_step(groove, crank, limit, whole_turns=False)
        last = [_row(groove, step, crank, limit)]
        steps = [each for each in steps if each != step]
    return [*(_row(groove, each, crank) for each in steps), *last]


def _easy(groove: Groove, crank: Fraction, limit: float) -> list[Fraction]:
    """Return the easy steps nearest to a row from coarse to fine; ridges grow with the square of the step."""
    candidates = {step: parts for parts, step in _candidates(groove, crank)}
    if not candidates:
        return []
    one = min(candidates)
    ridge = groove.even(one)
    usual = float(one) * math.sqrt(limit / ridge) if ridge > 0.0 else math.inf
    usual = min(usual, groove.widest / math.sqrt(COARSE))

    def against(step: Fraction) -> float:
        odd = (groove.helix.sweep / step).denominator != 1
        return PARTLY * ((candidates[step] > 1) + (candidates[step] > 2) + odd)

    ratio = math.sqrt(FINE / COARSE)
    targets = [usual * math.sqrt(COARSE) * ratio ** (k / (EVEN_CHOICES - 1)) for k in range(EVEN_CHOICES)]
    return nearest_to(targets, candidates, against)


def _candidates(groove: Groove, crank: Fraction) -> Iterator[tuple[int, Fraction]]:
    """Yield the steps that are easy to dial and whose cuts should meet, with the part of a turn that they are whole numbers of."""
    most = min(Fraction(groove.widest * 0.98), groove.helix.sweep / 2)
    seen = set()
    for parts in (1, *EASY):
        part = crank / parts
        if (part / groove.rim.division).denominator != 1:
            continue
        for k in range(1, math.floor(most / part) + 1):
            step = k * part
            if step not in seen and groove.count(step) <= MOST_CUTS:
                yield parts, step
            seen.add(step)


def _row(groove: Groove, step: Fraction, crank: Fraction, limit: Fraction | None = None) -> Choice:
    row = groove.row(step)
    left = row.left()
    slides = [float(groove.slide.value(slide)) for slide in row.rows[0].slides]
    along = max((b - a for a, b in pairwise(slides)), default=0.0)
    full = groove.helix.sweep // step  # equal steps by hand, each rounded
    once = groove.slide.value(groove.slide.nearest(groove.helix.lead * step / 360))
    creep = full * (once - groove.helix.lead * step / 360)
    starts = groove.helix.starts
    return Choice(
        step, step / crank, len(row.marks) * groove.grooves * groove.passes, along, row.ridges().most,
        (left.volume + groove.kept) * starts, creep, limit=limit,
    )  # fmt: skip
