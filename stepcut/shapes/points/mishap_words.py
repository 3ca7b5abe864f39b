"""After a mistake at points, in words."""

from __future__ import annotations

from stepcut.plan import Plan
from stepcut.shapes.standing import PAPER, Standing


def as_wide(plan: Plan) -> str | None:
    """Return what is as wide as the cutter; None where the cutter stands beside the line, whose place then stays."""
    return "slot" if plan.target.get("side") == "on" else None


def refind(at: Standing) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of both slides and of the depth."""
    return (
        f"{at.first} and {at.second}: the stopped cutter over cut {at.n}, lowered until it enters it. Move both slides the way they come up to a "
        f"cut, a little at a time, until it is free all round: set {at.first} {at.where} and {at.second} {at.deep}.",
        f"Depth: lower it until a strip of paper just drags on the floor, then by the paper ({at.voice.length(PAPER)}, measure yours): set the "
        "full depth there.",
    )
