"""What is wanted: a flat spiral, so much farther from the axis in every turn."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct


class Scroll(Struct, frozen=True):
    """A spiral groove of the cutter's width, mm and degrees.

    Parameters
    ----------
    begin, end : Fraction
        Radii of the middle of the groove where it begins and ends.
    pitch : Fraction
        How much farther out it is one turn on.
    depth : Fraction
        Depth of the groove.
    """

    begin: Fraction
    end: Fraction
    pitch: Fraction
    depth: Fraction

    @property
    def sweep(self) -> Fraction:
        """Degrees of table from beginning to end."""
        return (self.end - self.begin) / self.pitch * 360

    def radius(self, at: float) -> float:
        """Return the radius of the middle of the groove at an angle."""
        return float(self.begin) + float(self.pitch) * at / 360

    def half_width(self, at: float, cutter: float) -> float:
        """Return how far a wall stands from the middle along a ray, mm; the cutter's radius is square to the groove."""
        return cutter * math.hypot(1.0, float(self.pitch) / (2 * math.pi) / self.radius(at))
