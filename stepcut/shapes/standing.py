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


def seated(at: Standing) -> tuple[str, ...]:
    """Return the acts by which the hollow of the last cut made gives back the zeros of rim and depth.

    The cutter fits that hollow in one place alone: short of it it rides on the floor of the cut before, past it on metal that nothing
    has cut.  There is no room for paper beside it; on its floor there is.
    """
    if at.plan.cutter.kind == "ball":
        rim = (
            f"Rim: the stopped cutter over the hollow of cut {at.n}. {at.up}, the cutter let down by hand each time until it just touches, to the place "
            f"where it goes down deepest; short of it and past it it rides higher: set {at.first} {at.where}{at.dial}."
        )
    else:
        rim = (
            f"Rim: the stopped cutter over cut {at.n}. {at.up}, the cutter let down by hand each time, to the last place where it goes down to the floor of cut {at.n} "
            f"free of the walls; short of it it rides on the floor before, past it on metal that still stands: set {at.first} {at.where}{at.dial}."
        )
    paper = at.voice.length(PAPER)
    return (
        rim,
        f"Depth: there, a strip of paper on the floor. Lower it until the paper just drags, then by the paper ({paper}, measure yours): set {at.second} {at.deep}.",
    )


def fitted(at: Standing, end: str) -> str:
    """Return the act by which the end of a groove gives back rim and slide at once: the cutter that made it fits there alone.

    Short of it the ridges of the walls hold it, past it the end does.  ``end`` says where that end is looked for.
    """
    return (
        f"{at.first.capitalize()} and {at.second}: the stopped cutter over the end that cut {at.n} made, {end}. Let down by hand until it rides on metal; "
        f"then both up the way they come, a little of each by turns, to where it goes down to its full depth: it fits there alone. Set {at.first} "
        f"{at.where}{at.dial} and {at.second} {at.deep}."
    )
