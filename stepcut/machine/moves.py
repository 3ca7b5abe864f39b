"""A few known moves that prove a machine's file: what to do, what must then be read, and the figure that is wrong if it is not."""

from __future__ import annotations

from stepcut.machine.model import Machine, Scale
from stepcut.quantity import angle_text, near_text


def moves(machine: Machine) -> list[tuple[str, str]]:
    """Return the moves and the figure that each proves.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from stepcut.machine.model import RotaryTable
    >>> table = RotaryTable(Scale("rim", Fraction(1, 60), Fraction(5), angular=True), dial="minutes")
    >>> moves(Machine("bench", "in", table))[0][0]
    "Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read 15°00'?"
    """
    found: list[tuple[str, str]] = []
    table = machine.table
    if table is not None:
        turn, dial = table.degrees_per_turn, table.dial
        three, full = angle_text(3 * turn, dial), angle_text(turn, dial)
        found += [
            (f"Table at 0. Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read {three}?", "table.degrees-per-turn"),
            (f"Seen from above, did the table turn {table.counts_up.upper()}?", "table.counts-up"),
            (f"On the handle's dial: is one whole turn {full}, and one mark {angle_text(table.rim.division, dial, 4, True)}?", "table.division"),
        ]  # fmt: skip
    for key, scale in (("depth", machine.depth), ("slide", machine.slide)):
        if scale is not None:
            found += _of_scale(key, scale, machine)
    if machine.cross is not None:
        shown = machine.cross.division * (20 if machine.cross.doubled else 10)
        what = "diameter" if machine.cross.doubled else "radius"
        found.append((f"Wind the cross-slide in until its dial has moved {near_text(shown, machine.unit)} and cut: has the {what} shrunk by {near_text(shown, machine.unit)}?", "cross-slide.reads"))  # fmt: skip
    return found


def _of_scale(key: str, scale: Scale, machine: Machine) -> list[tuple[str, str]]:
    name = scale.name if scale.name != key else f"the {key} scale"
    lines = [(f"Is the smallest step that {name} shows {near_text(scale.division, machine.unit)}?", f"{key}.division")]
    if scale.per_turn is not None:
        lines.append((f"Set {name} to 0 and turn its handle one whole turn: does it read {near_text(scale.per_turn, machine.unit)}?", f"{key}.per-turn"))  # fmt: skip
    return lines
