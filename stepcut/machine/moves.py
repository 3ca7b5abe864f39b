"""A few known moves that prove a machine's file: what to do, what must then be read, and what the file must say if it is not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.machine.model import Machine, RotaryTable, Scale
from stepcut.quantity import angle_text, exact_text, near_text, parse_angle, parse_length

WAYS = {"cw": "clockwise", "clockwise": "clockwise", "ccw": "anticlockwise", "acw": "anticlockwise", "anticlockwise": "anticlockwise"}  # fmt: skip


@dataclass(frozen=True)
class Move:
    """One move: what to do and what must be read, the figure that it proves, and how a reading becomes that figure.

    ``figure`` takes a reading as it is typed and returns what the file must say; it raises BadValue for what is no reading.
    """

    words: str
    key: str
    figure: Callable[[str], str]


def moves(machine: Machine) -> list[Move]:
    """Return the moves that a machine's scales allow.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from stepcut.machine.model import RotaryTable
    >>> table = RotaryTable(Scale("rim", Fraction(1, 60), Fraction(5), angular=True), dial="minutes")
    >>> first = moves(Machine("bench", "in", table))[0]
    >>> first.words
    "Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read 15°00'?"
    >>> first.figure("12")
    '4deg'
    """
    found = _of_table(machine.table) if machine.table is not None else []
    for key, scale in (("depth", machine.depth), ("slide", machine.slide)):
        if scale is not None:
            found += _of_scale(key, scale, machine)
    if machine.cross is not None:
        found.append(_of_cross(machine.cross, machine))
    return found


def _of_table(table: RotaryTable) -> list[Move]:
    turn, dial = table.degrees_per_turn, table.dial
    return [
        Move(f"Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read {angle_text(3 * turn, dial)}?",
             "table.degrees-per-turn", lambda text: _angle(text, 3)),
        Move(f"Seen from above, did the table turn {table.counts_up.upper()}?", "table.counts-up", _way),
        Move(f"On its handle's dial: is the smallest mark that you can read {angle_text(table.rim.division, dial, 4, True)}?",
             "table.division", lambda text: _angle(text, 1)),
    ]  # fmt: skip


def _of_scale(key: str, scale: Scale, machine: Machine) -> list[Move]:
    name = scale.name if scale.name != key else f"the {key} scale"

    def figure(text: str) -> str:
        return exact_text(_above(parse_length(text, "reading", machine.unit), text), "length", machine.unit)

    lines = [Move(f"Is the smallest step that {name} shows {near_text(scale.division, machine.unit)}?", f"{key}.division", figure)]  # fmt: skip
    if scale.per_turn is not None:
        lines.append(Move(f"Set {name} to 0 and turn its handle one whole turn: does it read {near_text(scale.per_turn, machine.unit)}?",
                          f"{key}.per-turn", figure))  # fmt: skip
    return lines


def _of_cross(cross: Scale, machine: Machine) -> Move:
    dial = cross.division * (20 if cross.doubled else 10)  # ten marks, as the dial counts them
    what, shown = "diameter" if cross.doubled else "radius", near_text(dial, machine.unit)

    def figure(text: str) -> str:
        shrunk = _above(parse_length(text, "reading", machine.unit), text) / dial
        if not cross.doubled:
            shrunk *= 2  # what the diameter has shrunk by
        for says, share in (("diameter", 1), ("radius", 2)):
            if abs(shrunk - share) <= Fraction(1, 4):
                return says
        rule = "is neither what the dial moved nor twice nor half of it"
        raise BadValue("reading", text, rule, "Wind well past the slack, cut again, and measure again.")

    return Move(f"Wind the cross-slide in until its dial has moved {shown} and cut: has the {what} shrunk by {shown}?", "cross-slide.reads", figure)  # fmt: skip


def _angle(text: str, turns: int) -> str:
    return exact_text(_above(parse_angle(text, "reading", "deg"), text) / turns, "angle")


def _way(text: str) -> str:
    if text.lower() not in WAYS:
        raise BadValue("way", text, "is no way to turn", "Write cw or ccw, seen from above.")
    return WAYS[text.lower()]


def _above(value: Fraction, text: str) -> Fraction:
    if value <= 0:
        raise BadValue("reading", text, "must be greater than 0", "Write what it reads.")
    return value
