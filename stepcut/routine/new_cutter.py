"""Going on in the middle of a job with another cutter: what is set up again, and the change itself."""

from __future__ import annotations

from stepcut.acts import Fact, Words
from stepcut.plan import Plan
from stepcut.routine.cycles import Cycle
from stepcut.routine.hands import Hands
from stepcut.shapes import named


def touch(shape: str, else_: str) -> str:
    """Return where another cutter is set to nought on a part of this shape."""
    return str(named(shape, "TOUCH") or else_)


def goes_on(plan: Plan) -> bool:
    """Whether the cuts of a plan go on where others were made before."""
    return plan.stops[0].n > 1


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
    begins = f"Go on at cut {plan.stops[0].n}." if plan.stops[0].n > 1 else ""
    size = f", {hands.voice.size(plan.cutter.diameter)}" if tool == "CUTTER" and plan.cutter.diameter else ""
    hands.write(
        "change",
        f"NEW {tool}: put it in{size}. Touch off {touch(plan.shape, 'as at the start')}. {begins}",
        start=plan.stops[0].start,
        confirm=True,
    )
    hands.unplaced = True
