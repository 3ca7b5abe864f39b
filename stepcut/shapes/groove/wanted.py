"""What is wanted of a groove on a circle: how deep its middle is along the angle.

Angles run from the shallow or first end in the direction in which the groove is cut; ``rises`` is said as of a ramp.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from stepcut.kernel.line import Line, line_by_motion, line_by_targets
from stepcut.machine import Turning


class Groove(Struct, frozen=True, dict=True):
    """One or several equal grooves on one circle.

    Parameters
    ----------
    circle : Fraction
        Diameter of the circle that the cutter's axis follows, mm.
    span : Fraction
        Degrees that its middle runs.
    start_depth, rise : Fraction
        Depth where it begins, and how much deeper it is at its end; mm.
    count : int
        Number of equal grooves.
    motion : str
        How the depth grows, or ``targets``.
    targets : tuple of (Fraction, Fraction)
        Degrees and depth, mm, when the motion is ``targets``; they may rise again.
    rises : str
        The way it rises to its shallow end, seen facing it.
    """

    circle: Fraction
    span: Fraction
    start_depth: Fraction
    rise: Fraction
    count: int = 1
    motion: str = "uniform"
    targets: tuple[tuple[Fraction, Fraction], ...] = ()
    rises: Turning = "clockwise"

    @property
    def radius(self) -> float:
        """Radius of the circle, mm."""
        return float(self.circle) / 2

    @property
    def sector(self) -> Fraction:
        """Degrees from one groove to the next."""
        return Fraction(360, self.count)

    @cached_property
    def wanted(self) -> Line:
        """The wanted depth along the angle, on the circle; beyond its ends it goes on level."""
        if self.targets:
            return line_by_targets(tuple((float(a), float(d)) for a, d in self.targets))
        return line_by_motion(self.motion, float(self.span), float(self.rise), float(self.start_depth))
