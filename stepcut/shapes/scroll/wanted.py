"""What is wanted of a face scroll: a flat spiral, so much farther from the axis in every turn."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import BadValue
from stepcut.machine import Turning
from stepcut.machine.model import known, positive


class Scroll(Struct, frozen=True):
    """A spiral groove of the cutter's width, of one or more starts.

    Parameters
    ----------
    begin, end : Fraction
        Radii of the middle of the groove where it begins and ends, mm.
    pitch : Fraction
        How much farther out it is one turn on, mm.
    depth : Fraction
        Depth of its middle, mm.
    starts : int
        Number of equal grooves.
    winds : str
        Which way it runs outward, seen facing it.
    """

    begin: Fraction
    end: Fraction
    pitch: Fraction
    depth: Fraction
    starts: int = 1
    winds: Turning = "anticlockwise"

    def __post_init__(self) -> None:
        for name in ("begin", "end", "pitch", "depth"):
            positive(name, getattr(self, name), "Give a size above nought.")
        if self.end <= self.begin:
            raise BadValue("end", float(self.end), "must be farther out than begin", "A scroll runs outward.")
        if self.starts < 1:
            raise BadValue("starts", self.starts, "must be at least 1", "Give the number of grooves.")
        known("winds", self.winds, ("clockwise", "anticlockwise"))

    @property
    def sweep(self) -> Fraction:
        """Degrees of table from beginning to end."""
        return (self.end - self.begin) / self.pitch * 360

    @property
    def turning(self) -> Turning:
        """The way the table turns, seen from above: the cutter runs the other way over the face."""
        return "clockwise" if self.winds == "anticlockwise" else "anticlockwise"

    def radius(self, degrees: Fraction) -> Fraction:
        """Return the radius of the middle of the groove at an angle, mm."""
        return self.begin + self.pitch * degrees / 360

    @property
    def apart(self) -> float:
        """Distance of neighbouring turns, square to both, mm; it is least where the groove begins.

        A spiral leans tan a = pitch / (2 pi r) to the circle.  No outside source: derived here.
        """
        lean = math.atan(float(self.pitch) / (2 * math.pi * float(self.begin)))
        return float(self.pitch) / self.starts * math.cos(lean)
