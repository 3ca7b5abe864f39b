"""A helical groove on a cylinder: lead, angle, and the ridges that stops a step apart leave."""

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
    """

    diameter: Fraction
    lead: Fraction
    length: Fraction
    depth: Fraction
    starts: int = 1
    hand: str = "right"

    def __post_init__(self) -> None:
        for name in ("diameter", "lead", "length", "depth"):
            positive(name, getattr(self, name), "Give a size above nought.")
        if self.starts < 1:
            raise BadValue("starts", self.starts, "must be at least 1", "Give the number of grooves.")
        known("hand", self.hand, ("right", "left"))

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


def lead_angle(lead: float, pitch_diameter: float) -> float:
    """Return the lead angle of a thread, degrees: tan = lead / (pi d).

    Examples
    --------
    >>> round(lead_angle(0.25, 1.375), 4)
    3.3123
    """
    return math.degrees(math.atan(lead / (math.pi * pitch_diameter)))


def wall_ridge(spacing: float, radius: float) -> float:
    """Return the ridge on the wall of a groove between two circles of a cutter: R - sqrt(R^2 - (s/2)^2)."""
    half = spacing / 2
    return radius - math.sqrt(radius * radius - half * half) if half < radius else radius


def floor_ridge_ball(turn: float, lead: float, centre_radius: float, radius: float) -> float:
    """Return the ridge between two balls: R - sqrt(R^2 - (c/2)^2), c the chord between their centres.

    The centres lie on a helix of radius rc: c^2 = (2 rc sin(dt/2))^2 + dx^2.
    """
    chord = math.hypot(2 * centre_radius * math.sin(math.radians(turn) / 2), lead * turn / 360)
    return wall_ridge(chord, radius)
