"""After a mistake at a cam, in words."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.standing import PAPER, Standing
from stepcut.shop.recover import TooDeep
from stepcut.voice import Voice


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of rim and height."""
    return (
        f"Rim: an indicator along the flat of cut {at.n}. {at.up}, until it reads alike at both edges of the rim's face, moved along its slide: "
        f"set {at.first} {at.where}{at.dial}." if at.plan.approach == "end" else
        f"Rim: the stopped cutter beside the hollow of cut {at.n}. {at.up}, until it lies in it and a strip of paper drags alike on both sides: "
        f"set {at.first} {at.where}{at.dial}.",
        f"{at.second.capitalize()}: the cutter on that flat with paper, then by the paper ({at.voice.length(PAPER)}, measure yours): set {at.second} {at.deep} there.",
    )  # fmt: skip


def too_deep(damage: TooDeep, plan: Plan, lowered: str, voice: Voice) -> list[str]:
    """Return the ways on after a cut too deep."""
    lower = voice.length(damage.lower)
    leave = f"1. Leave it: a low place of {voice.length(damage.below)} stays there. Go on as planned, and do not file the rest down to it."
    return [
        f"{leave} The follower dips there.",
        f"2. Lower everything by {lower}: every cut from 1 on so much nearer to the axis. The lift stays; the base radius ends so much smaller, "
        "to be taken up at the follower.",
    ]
