"""After a mistake at a groove round a face, in words."""

from __future__ import annotations

from fractions import Fraction

from stepcut.acts import Card
from stepcut.plan import Plan
from stepcut.shapes.standing import Standing, seated
from stepcut.shop.astray import Astray
from stepcut.shop.recover import TooDeep
from stepcut.voice import Voice


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of rim and depth."""
    return seated(at)


def too_deep(damage: TooDeep, plan: Plan, lowered: str, voice: Voice) -> list[str]:
    """Return the ways on after a cut too deep."""
    return [
        f"1. Leave it: a low place of {voice.length(damage.below)} in the floor. A ball that rolls over it dips there; go on as planned.",
        f"2. {_deeper(damage.lower, plan, voice)} Rise and span stay, the groove gets wider, and what rides in it sits {voice.length(damage.lower)} lower.",
    ]


def offers(damage: Astray, plan: Plan, start: str, voice: Voice) -> list[str]:
    """Return the ways on after cuts at other places, the mildest first."""
    return [
        f"Leave it: up to {voice.length(damage.below)} low there. A ball that rolls over it dips.",
        f"Or: {_deeper(damage.lower, plan, voice)} What rides in it sits so much lower.",
    ]


def _deeper(lower: Fraction, plan: Plan, voice: Voice) -> str:
    by = voice.length(lower)
    how = (
        "add it to every depth of the targets"
        if plan.target["targets"]
        else "begin-depth and end-depth both so much deeper"
    )
    return f"Deepen every groove by {by}, every cut from 1 on again: {how}."


def wrong_way(card: Card, made: int, voice: Voice) -> list[str]:
    """Return the ways on from a groove that was begun of the wrong hand: it stands where the face should be whole."""
    plan = card.plan
    turns = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}[plan.turning]
    deep = max(plan.second.value(stop.second) for stop in plan.stops[:made])
    cuts = "Cut 1 was" if made == 1 else f"Cuts 1 to {made} were"
    return [
        f"{cuts} made with the table turned the wrong way: the groove is of the other hand so far, where the card wants the face whole.",
        f"A. Make it of the other hand: go on turning {turns}; each rim reading is 360° less the card's, depths stay. Face to face its mate must be of "
        "the same hand: cut both so.",
        f"B. Face the part off by {voice.length(deep)}, when it may be so much thinner, touch off anew and begin at cut 1.",
        "C. Take a new blank.",
    ]
