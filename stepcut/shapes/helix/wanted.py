"""A helical groove on a cylinder: its lead, its angle, and which way it turns."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import BadValue
from stepcut.machine import Turning
from stepcut.machine.model import known, positive


class Helix(Struct, frozen=True):
    """A groove of one or more starts.

    Parameters
    ----------
    diameter, lead, length, depth : Fraction
        Of the cylinder, of one turn, of the groove along the axis, of the groove; mm.
    starts : int
        Number of equal grooves.
    hand : str
        right or left.
    width : Fraction or None
        Of the groove at the surface, square to its way, mm; None when it is as wide as its cutter.
    cross : bool
        Whether as many grooves of the other hand cross them.
    leave : Fraction
        What is to stay on the floor for the file, and on both walls of a groove wider than its cutter; mm.
    """

    diameter: Fraction
    lead: Fraction
    length: Fraction
    depth: Fraction
    starts: int = 1
    hand: str = "right"
    width: Fraction | None = None
    leave: Fraction = Fraction(0)
    cross: bool = False

    def __post_init__(self) -> None:
        for name in ("diameter", "lead", "length", "depth"):
            positive(name, getattr(self, name), "Give a size above nought.")
        if self.starts < 1:
            raise BadValue("starts", self.starts, "must be at least 1", "Give the number of grooves.")
        known("hand", self.hand, ("right", "left"))
        if self.width is not None:
            positive("width", self.width, "Give a size above nought.")
        if not 0 <= self.leave < self.depth:
            raise BadValue("leave", float(self.leave), "must be less than the depth", "Leave less.")

    @property
    def sweep(self) -> Fraction:
        """Degrees of the table from end to end."""
        return 360 * self.length / self.lead

    @property
    def turning(self) -> Turning:
        """The way the table turns, seen facing it, while the work goes away from the person who looks.

        A right-hand groove runs clockwise away from whoever looks along it.  It begins at the table, so the cutter comes
        nearer along it and the work turns clockwise.
        """
        return "clockwise" if self.hand == "right" else "anticlockwise"

    @property
    def angle(self) -> float:
        """Helix angle from the axis, degrees: tan = pi D / lead."""
        return math.degrees(math.atan(math.pi * float(self.diameter) / float(self.lead)))
