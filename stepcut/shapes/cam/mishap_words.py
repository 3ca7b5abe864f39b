"""After a mistake at a cam, in words."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.standing import Standing
from stepcut.shop.recover import TooDeep
from stepcut.voice import Voice


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of rim and height.

    Where the rim rises, the hollow before goes lower: not the lowest place tells the cut, but the metal ahead that none has cut.
    """
    name = at.second.capitalize()
    height = f"{name}: the cutter on the mandrel, or on a flat of measured height, as in the set-up: set {at.second} to what that is above the axis."
    if at.plan.approach == "end":
        return (
            height,
            f"Rim: an indicator on the flat of cut {at.n}, on the side where nothing is cut yet. {at.up}, until it reads alike all along, moved square to "
            f"the cam's axis: set {at.first} {at.where}{at.dial}.",
        )
    return (
        height,
        f"Rim: the stopped cutter beside cut {at.n}. {at.up}, the cutter moved in by hand each time, to the last place where it goes in to "
        f"{at.second} {at.deep}; past it the metal ahead holds it off: set {at.first} {at.where}{at.dial}.",
    )


def too_deep(damage: TooDeep, plan: Plan, lowered: str, voice: Voice) -> list[str]:
    """Return the ways on after a cut too deep."""
    lower = voice.length(damage.lower)
    leave = f"1. Leave it: a low place of {voice.length(damage.below)} stays there. Go on as planned, and do not file the rest down to it."
    return [
        f"{leave} The follower dips there.",
        f"2. Lower everything by {lower}: every cut from 1 on so much nearer to the axis. The lift stays; the base radius ends so much smaller, "
        "to be taken up at the follower.",
    ]
