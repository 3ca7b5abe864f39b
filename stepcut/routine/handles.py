"""Which handle moves what, and which way: one line of the set-up for each straight scale whose file says it."""

from __future__ import annotations

from stepcut import gate
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
        if axis == "depth":
            lines += _beside(hands)
    return lines


def _beside(hands: Hands) -> list[Fact]:
    """Return what is done with the depth scales beside the trusted one: what does not move the depth is locked."""
    trusted = hands.scale("depth")
    said = f"{trusted.name} {trusted.handle}".lower()
    moves = next((name for name in ("knee", "quill") if name in said), None)
    lines: list[Fact] = []
    for other in hands.plan.machine.more_depths:
        name = gate.line(other.name)
        moved = next((each for each in ("knee", "quill") if each in name.lower()), None)
        if moved and moves and moved != moves:
            lines.append(
                (
                    f"{name[0].upper()}{name[1:]} locked: the depth is moved by the {hands.handle('depth')} alone",
                    "LOCKED",
                )
            )
        else:
            apart = hands.voice.size(trusted.error + other.error)
            lines.append(
                (
                    f"{name[0].upper()}{name[1:]}, where it shows the same depth: set to 0 with it; the two agree within",
                    apart,
                )
            )
    return lines


def _other(way: str) -> str:
    return "anticlockwise" if way == "clockwise" else "clockwise"
