"""A few known moves that prove a machine's file: what to do, what must then be read, and what the file must say if it is not."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import BadValue
from stepcut.machine.model import Machine, RotaryTable, Scale
from stepcut.quantity import parse_angle, parse_length
from stepcut.written import exact_text, near_text, spoken_angle

WAYS = {"cw": "clockwise", "clockwise": "clockwise", "ccw": "anticlockwise", "acw": "anticlockwise", "anticlockwise": "anticlockwise"}  # fmt: skip
GOES = {"grows": "grows", "grow": "grows", "growing": "grows", "falls": "falls", "fall": "falls", "falling": "falls"}
INWARD = {
    "depth": "Take the cutter deeper", "depth-2": "Take the cutter deeper", "depth-3": "Take the cutter deeper",
    "carriage": "Move the carriage toward the headstock", "cross-slide": "Move the cross-slide toward the axis of the lathe",
    "compound": "Move the compound into the work",
}  # fmt: skip


class Move(Struct, frozen=True):
    """One move: what to do and what must be read, the figure that it proves, what that is now, and how a reading becomes it.

    ``figure`` takes a reading as it is typed and returns what the file must say; it raises BadValue for what is no reading.
    """

    words: str
    key: str
    now: str
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
    'Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read 15°?'
    >>> first.figure("12")
    '4deg'
    """
    found = _of_table(machine.table) if machine.table is not None else []
    for key, scale in _scales(machine):
        if key == "cross-slide":
            found.append(_of_cross(scale, machine))
        found += _of_scale(key, scale, machine)
    return found


def _scales(machine: Machine) -> list[tuple[str, Scale]]:
    more = [(f"depth-{number}", scale) for number, scale in enumerate(machine.more_depths, 2)]
    compound = machine.compound.scale if machine.compound is not None else None
    every = [
        ("depth", machine.depth), *more, ("slide", machine.slide), ("cross-slide", machine.cross),
        ("carriage", machine.carriage), ("compound", compound),
    ]  # fmt: skip
    return [(key, scale) for key, scale in every if scale is not None]


def _of_table(table: RotaryTable) -> list[Move]:
    turn, dial, mark = table.degrees_per_turn, table.dial, table.rim.division
    where = "its handle's dial" if table.crank_dial else "its rim"
    return [
        Move(f"Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read {spoken_angle(3 * turn, dial)}?",
             "table.degrees-per-turn", exact_text(turn, "angle"), lambda text: _angle(text, 3)),
        Move(f"Seen from above, did the table turn {table.counts_up.upper()}?", "table.counts-up", table.counts_up, _way),
        Move(f"On {where}: is the smallest mark that you can read {spoken_angle(mark, dial)}?",
             "table.division", exact_text(mark, "angle"), _mark),
    ]  # fmt: skip


def _of_scale(key: str, scale: Scale, machine: Machine) -> list[Move]:
    unit, shows = machine.unit, 2 if scale.doubled else 1
    name = f"the {scale.name}" if scale.name != key or key in ("cross-slide", "carriage", "compound") else f"the {key} scale"  # fmt: skip

    def figure(text: str) -> str:
        return exact_text(_above(parse_length(text, "reading", unit), text), "length", unit)

    mark = scale.division * shows
    lines = [Move(f"Is the smallest step that {name} shows {near_text(mark, unit)}?", f"{key}.division", exact_text(mark, "length", unit), figure)]  # fmt: skip
    handle = f"the {scale.handle}" if scale.handle else f"the handle of {name}"
    if scale.per_turn is not None:
        turn = scale.per_turn * shows
        lines.append(Move(f"Set {name} to 0 and turn {'its handle' if not scale.handle else handle} one whole turn: does it read {near_text(turn, unit)}?",
                          f"{key}.per-turn", exact_text(turn, "length", unit), figure))  # fmt: skip
    if scale.handle_turns is not None:
        lines.append(Move(f"Face {handle} and turn it {scale.handle_turns.upper()}: does the reading grow?", f"{key}.handle-turns",
                          scale.handle_turns, _way))  # fmt: skip
    if scale.inward is not None:
        lines.append(Move(f"{INWARD[key]} by its handle: is it so that its dial {scale.inward.upper()}?", f"{key}.inward", scale.inward, _goes))  # fmt: skip
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

    return Move(f"Wind the cross-slide in until its dial has moved {shown} and cut: has the {what} shrunk by {shown}?", "cross-slide.reads", what, figure)  # fmt: skip


def _angle(text: str, turns: int) -> str:
    return exact_text(_above(parse_angle(text, "reading", "deg"), text) / turns, "angle")


def _mark(text: str) -> str:
    if parse_angle(text, "reading", "deg") > 10:
        raise BadValue("reading", text, "must be at most 10 degrees", "Give one mark, not what it reads.")
    return _angle(text, 1)


def _way(text: str) -> str:
    if text.lower() not in WAYS:
        raise BadValue("way", text, "is no way to turn", "Write cw or ccw, seen from above.")
    return WAYS[text.lower()]


def _goes(text: str) -> str:
    if text.lower() not in GOES:
        raise BadValue("dial", text, "is neither grows nor falls", "Write grows or falls.")
    return GOES[text.lower()]


def _above(value: Fraction, text: str) -> Fraction:
    if value <= 0:
        raise BadValue("reading", text, "must be greater than 0", "Write what it reads.")
    return value
