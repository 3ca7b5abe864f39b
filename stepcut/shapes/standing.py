"""A cut that stands and gives lost zeros back, in the texts of its card: what a shape needs to say how."""

from __future__ import annotations

from typing import NamedTuple

from stepcut.plan import Plan
from stepcut.voice import Voice

PAPER = 0.1  # mm; a strip of common paper, 0.07 to 0.12; common practice, no source


class Standing(NamedTuple):
    """One cut of a plan.

    Parameters
    ----------
    plan, n
        The plan, and the number of the cut.
    first, second : str
        What the two scales are called.
    where, deep : str
        What they read there.
    dial : str
        What the crank's dial reads there, to be said behind; empty for none.
    up : str
        How one comes up to a mark.
    voice : Voice
        How numbers are said.
    """

    plan: Plan
    n: int
    first: str
    second: str
    where: str
    deep: str
    dial: str
    up: str
    voice: Voice
