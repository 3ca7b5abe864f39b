"""Which handle moves what, and which way: one line of the set-up for each straight scale whose file says it."""

from __future__ import annotations

from stepcut.acts import Fact
from stepcut.routine.hands import Hands

INWARD = {"depth": "deeper", "z": "further from the face"}


def handle_lines(hands: Hands) -> list[Fact]:
    """Return, for each straight axis of the plan, its handle, the way it turns, and how its dial counts; none unsaid."""
    lines: list[Fact] = []
    for axis in hands.axes:
        if axis == "table":
            continue
        scale, name = hands.scale(axis), hands.names[axis]
        told = []
        if scale.handle_turns is not None:
            # Its reading grows that way; the position does so too, unless its dial counts backward.
            grows = scale.handle_turns if not hands.backward(axis) else _other(scale.handle_turns)
            told.append(f"{grows.upper()} as {name} grows")
        if scale.per_turn is not None and hands.backward(axis):
            told.append(f"its dial FALLS as {name} grows")
        if told or scale.handle:
            handle = hands.handle(axis)
            turned = f"{name} is moved by the {handle}" + (f": {', '.join(told)}" if told else "")
            lines.append((turned[0].upper() + turned[1:], "TRIED"))
    return lines


def _other(way: str) -> str:
    return "anticlockwise" if way == "clockwise" else "clockwise"
