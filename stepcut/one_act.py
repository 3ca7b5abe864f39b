"""One act of the hands, and one number that it reads or dials: see :mod:`stepcut.acts`."""

from __future__ import annotations

from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct

Kind = Literal["prepare", "clear", "turn", "lock", "set", "cut", "check", "change", "measure"]
Axis = Literal["table", "depth", "slide", "x", "y", "z", "radius", "compound"]
Way = Literal["working", "back"]


class Act(Struct, frozen=True):
    """One thing that the hands do.

    Parameters
    ----------
    n : int
        Number in the order of doing, from 1.
    kind : str
        prepare, clear, turn, lock, set, cut, check, change or measure.
    stop : int or None
        The cut that it belongs to (``Stop.n`` of the plan).
    start : int or None
        The ramp, groove or tool corner, from 1.
    axis : str or None
        What moves: table, depth, slide, x, y, z, radius (of a cam), or compound (slide of a lathe).  Positions of the plan are called as in ``Plan.axes``.
    to : Fraction or None
        Where it ends, mm or degrees; that of the table grows in the working direction without wrapping at 360.
    way : str or None
        working, or back: against the direction that takes the slack up.
    turns : Fraction or None
        Turns of the handle for this move, never negative.
    dial : Fraction or None
        What the handle's dial then reads, mm or degrees (a diameter where the scale shows one).
    ends : str or None
        Of a cut: whether the cutter then stands clear of the work or still in it.
    confirm : bool
        Whether a screen must turn black and have it confirmed.
    text : str
        The whole act in words.
    far : str
        Of a turn of the table: how far the crank is turned, as the text says it; empty of any other act.
    """

    n: int
    kind: Kind
    stop: int | None = None
    start: int | None = None
    axis: Axis | None = None
    to: Fraction | None = None
    way: Way | None = None
    turns: Fraction | None = None
    dial: Fraction | None = None
    ends: Literal["clear", "in"] | None = None
    confirm: bool = False
    text: str = ""
    far: str = ""

    def content(self) -> dict[str, Any]:
        """Return the act as plain data for JSON."""
        numbers = {
            name: None if value is None else float(value)
            for name, value in (("to", self.to), ("turns", self.turns), ("dial", self.dial))
        }
        return {
            "n": self.n,
            "act": self.kind,
            "stop": self.stop,
            "start": self.start,
            "axis": self.axis,
            "to": numbers["to"],
            "way": self.way,
            "turns": numbers["turns"],
            "dial": numbers["dial"],
            "ends": self.ends,
            "confirm": self.confirm,
            "text": self.text,
        }


class Reading(Struct, frozen=True):
    """One number to read or dial.

    Parameters
    ----------
    label : str
        What reads it: rim, dial, depth, x, z, height.
    text : str
        The number as the scale shows it, without a unit.
    alike : int
        How many leading characters are those of the line before: print them light, the rest bold.
    """

    label: str
    text: str
    alike: int = 0
