"""Going on in the middle of a job with another cutter: what is set up again, and the change itself."""

from __future__ import annotations

from stepcut.acts import Fact, Words
from stepcut.plan import Plan
from stepcut.routine.cycles import Cycle
from stepcut.routine.hands import Hands

TOUCH = {
    "ramp": "on the face where nothing is cut yet, and set depth 0 there; where no face is left, at a cut that stands: set what its line reads",
    "helix": "on the cylinder beside the groove, and set depth 0 there",
    "taper": "on the face for z 0, and on the largest diameter for x",
    "radius": "on the face for z 0, and on the cylinder for x",
    "profile": "on the face for z 0, and on a diameter that you have measured for x",
    "cam": "on the blank, and set its measured radius there",
}


def goes_on(plan: Plan) -> bool:
    """Whether the cuts of a plan go on where others were made before."""
    return bool(plan.stops) and plan.stops[0].n > 1


def set_up(words: Words, more: list[Fact]) -> tuple[Fact, ...]:
    """Return what is set up again: the cutter and how it is fed; part, table and slides stay as they are."""
    again = [fact for fact in words.set_up if fact[0].startswith("Cutter, ")]
    offset = [fact for fact in words.set_up if "Y from 0 by" in fact[0] or "AXIS on the centre line" in fact[0]]
    stays = (
        "Part, table and slides stay as they are, with their zeros; nothing was moved while the cutter was out",
        "YES",
    )
    return (stays, *again, *offset, *more)


def change(hands: Hands, cycle: Cycle) -> None:
    """Write the change: clear, the new cutter in, touched off; how far the table then turns, only its rim tells."""
    plan = hands.plan
    tool = "TOOL" if plan.cutter.kind in ("square", "round") else "CUTTER"
    hands.write("clear", f"{cycle.clear_words}: spindle stopped.", confirm=True)
    touch = TOUCH.get(plan.shape, "as at the start")
    begins = f"Go on at cut {plan.stops[0].n}." if plan.stops[0].n > 1 else ""
    size = f", {hands.voice.size(plan.cutter.diameter)}" if tool == "CUTTER" and plan.cutter.diameter else ""
    hands.write(
        "change", f"NEW {tool}: put it in{size}. Touch off {touch}. {begins}", start=plan.stops[0].start, confirm=True
    )
    hands.unplaced = True
