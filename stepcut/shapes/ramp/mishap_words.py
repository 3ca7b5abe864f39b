"""After a mistake at a ramp, in words: how zeros are found again, and what each way on does to rise, hold and travel."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.standing import Standing, seated
from stepcut.shop.astray import Astray
from stepcut.shop.recover import TooDeep
from stepcut.voice import Voice

OTHER_HAND = ", depths stay. Rise, hold and travel stay, the handle turns the other way. Face to face its mate must be of the same hand: cut both so."


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of depth and rim: by its hollow where the side of the cutter made it."""
    if at.plan.approach == "side":
        return (
            f"Rim: the stopped cutter before the hollow of cut {at.n}. {at.up}, the cutter moved in by hand each time until it just touches, to the last "
            f"place where it goes in deepest; past it it rides on metal that still stands: set {at.first} {at.where}{at.dial}.",
            f"Depth: there, as it touches: set {at.second} {at.deep}.",
        )
    return seated(at)


def offers(damage: Astray, plan: Plan, start: str, voice: Voice) -> list[str]:
    """Return the ways on after cuts at other places, the mildest first."""
    lower, low = voice.length(damage.lower), voice.length(damage.below)
    lines = [
        f"Leave it: rise, hold and travel stay; up to {low} low there, which never touches. Do not file the rest down to it."
    ]
    if plan.details.ramp.targets:
        return [*lines, f"Or lower everything by {lower}: add it to every depth of the targets."]
    return [
        *lines,
        f"Or lower this part by {lower}, start-depth {start}, every cut from 1 on so much deeper: rise and hold stay, and the handle turns "
        f"{damage.turn:.1f}° further before it is tight.",
    ]


def too_deep(damage: TooDeep, plan: Plan, start: str, voice: Voice) -> list[str]:
    """Return the ways on of a ramp: what each does to rise, hold and travel."""
    low, end = damage.stretch
    lines = [
        f"1. Leave it: rise, hold and travel stay; {100 * damage.lost:.0f} % of the faces never touches, from {voice.degrees(round(low, 1))} to "
        f"{voice.degrees(round(end, 1))} past its high end. The blue stays away from there; do not file the rest down to it.",
    ]
    if plan.details.ramp.targets:
        return [
            *lines,
            f"2. Lower this part by {voice.length(damage.lower)}: add it to every depth of the targets or flats.",
        ]
    span = float(plan.target["span"])

    def left(turn: float) -> str:
        return (
            f"{max(0.0, span - turn):.0f}° of {span:.0f}° of each ramp then bear"
            if turn < span
            else "then nothing bears any more: not this way"
        )

    return [
        *lines,
        f"2. Lower this part by {voice.length(damage.lower)}: start-depth {start}, every cut from 1 on {voice.length(damage.lower)} deeper. Rise and "
        f"hold stay; the handle turns {damage.turn:.1f}° further before it is tight, and {left(damage.turn)}.",
        f"3. Lower the mate by the same too: rise and hold stay; the handle then turns {2 * damage.turn:.1f}° further, and "
        f"{left(2 * damage.turn)}. Only to keep the two alike.",
    ]
