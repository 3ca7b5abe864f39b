"""After a mistake at a turned part, in words: how its zeros are found again from what stands of it.

A step is a cylinder up to a shoulder: the tool touches the one with paper, the other where no face is left to touch.  Paper lies flat
on a cylinder and on a face.  In a hollow as round as the nose, and on a shoulder lower than paper is thick, it does not: there the
tool comes in until it just scrapes ink.
"""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.standing import PAPER, Standing

CORNER = 1.0  # mm of radius that the face must have left, for a corner to be seen touching it
SHALLOW = 0.25  # of the nose's radius: in a hollow no deeper its walls are no steeper than 41 degrees
STEP = 1.0  # mm of cylinder that a nose can be brought against


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a turned part gives back the zeros of z and x."""
    plan = at.plan
    along, across = _along(at), _across(at)
    # Against a shoulder x must be right before z can be found; by the face it is the other way round.
    return (along, across) if _face_stands(plan, at.n) else (across, along)


def _way(plan: Plan, n: int) -> str:
    """Return how a cut goes: to-headstock, to-face or straight-in."""
    way: str = plan.details.flanks[plan.stops[n - 1].start - 1]
    return way


def _in_bore(plan: Plan) -> bool:
    return plan.target.get("side") == "bore"


def _nose(plan: Plan) -> float:
    """Return the radius of a round tool's nose, mm; 0 of a square tool."""
    return float(plan.cutter.radius) if plan.cutter.kind == "round" else 0.0


def _face_stands(plan: Plan, n: int) -> bool:
    """Whether the side of the tool that leads can touch the face after a cut: each pass toward the headstock turns it smaller."""
    if _way(plan, n) == "to-face":
        return False
    nose = _nose(plan)
    left = [
        float(plan.second.value(stop.second))
        for stop in plan.stops[:n]
        if _way(plan, stop.n) == "to-headstock" or (nose and float(plan.first.value(stop.first)) <= 2 * nose)
    ]
    return _in_bore(plan) or min(left, default=nose + CORNER) >= nose + CORNER


def _along(at: Standing) -> str:
    """Return how z is found: by the face, or by the shoulder of the cut where the face is turned away."""
    what = "the leading side of the nose" if _nose(at.plan) else "the corner that cuts"
    if _face_stands(at.plan, at.n):
        where = " beside the hole" if _in_bore(at.plan) else ""
        return (
            f"{at.first}: {what} against the face{where}, spindle stopped, paper between, coming up the way the cuts were made; then by the paper "
            f"({_paper(at)}, measure yours): set {at.first} 0."
        )
    return (
        f"{at.first}: {'the wall' if _nose(at.plan) else 'the shoulder'} of cut {at.n} inked, {at.second} at {at.deep}, work turned by hand. {what[:1].upper()}{what[1:]} "
        f"comes up the way the cuts were made until it just scrapes the ink there: set {at.first} {at.where}."
    )


def _cylinder(plan: Plan, n: int) -> float:
    """Return how much of its own cylinder a nose's cut toward the headstock has left, mm: behind the face, and behind what was roughed deeper."""
    stop, inward = plan.stops[n - 1], 1 if _in_bore(plan) else -1
    deeper = [
        float(plan.first.value(each.first))
        for each in plan.stops[: n - 1]
        if (each.second - stop.second) * inward > 0 and _way(plan, each.n) == "to-headstock"
    ]
    return float(plan.first.value(stop.first)) - _nose(plan) - max(deeper, default=0.0)


def _across(at: Standing) -> str:
    """Return how x is found: by the step of the cut, by its hollow, or by a round that can be measured."""
    plan, n = at.plan, at.n
    deep, nose = abs(float(plan.second.value(plan.stops[n - 1].second)) - float(plan.details.begins)), _nose(plan)
    way, side = _way(plan, n), "bore" if _in_bore(plan) else "part"
    if (not nose and way != "straight-in") or (way == "to-headstock" and _cylinder(plan, n) >= STEP):
        near = ", a little nearer the face than where it ends" if nose else ""
        return (
            f"{at.second}: {'the nose' if nose else 'the tool'} against the step of cut {n} in the {side}{near}, work turned by hand, paper between; then by the "
            f"paper ({_paper(at)}, measure yours): set {at.second} {at.deep}."
        )
    if way == "straight-in" and deep <= SHALLOW * nose:
        return (
            f"{at.second}: at {at.first} {at.where} the floor of cut {n} inked, work turned by hand, the nose in until it just scrapes the ink: set "
            f"{at.second} {at.deep}."
        )
    what = (
        "the hole where it is as it was bored" if _in_bore(plan) else "a round that is not cut yet or was turned before"
    )
    shown = "its DIAMETER" if plan.second.doubled else "half of that"
    return (
        f"{at.second}: {what}, measured. The {'nose' if nose else 'tool'} against it, work turned by hand, paper between; then by the paper ({_paper(at)}, measure yours): set "
        f"{at.second} to {shown}."
    )


def _paper(at: Standing) -> str:
    return at.voice.length(PAPER)
