"""One row of the table of choices, the same for every shape that offers one.

A shape that does has a module ``choices`` in its folder: ``SPACING`` (the inputs that say how cuts are spaced, so that nothing is
left to choose), ``SECOND`` (what the second handle does from cut to cut, the title of its column), ``WAYS`` (a sentence about
a column, by its title), ``none`` (whether a plan has nothing to choose from) and ``rows`` (the choices of a plan).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from fractions import Fraction

from msgspec import Struct


class Choice(Struct, frozen=True):
    """One way to step: what it costs and what it leaves; degrees, mm, mm^3."""

    step: Fraction | None  # None for the fewest-stop way
    cranks: Fraction | None
    stops: int
    drop: float  # how far the second handle goes from cut to cut, at most
    scallop: float
    volume: float
    creep: Fraction  # what equal, rounded increments of the second handle would add up to at the end
    least: str = ""  # the approach that leaves least at this step, where there are several
    limit: Fraction | None = None  # of a row that is made for a ridge: the fewest cuts within it


def nearest_to(
    targets: Iterable[float], candidates: Iterable[Fraction], against: Callable[[Fraction], float]
) -> list[Fraction]:
    """Return the steps nearest to a row of wanted ones, from coarse to fine, each once; degrees.

    Parameters
    ----------
    against : callable
        What speaks against a step besides: how hard it is to dial, that it does not go into the whole; in fourths of a
        logarithm of steps.
    """
    found = {step: against(step) for step in candidates}

    def awkward(step: Fraction, wanted: float) -> float:
        return 4 * abs(math.log(float(step) / wanted)) + found[step]

    return sorted({min(found, key=lambda step: awkward(step, wanted)) for wanted in targets}, reverse=True)
