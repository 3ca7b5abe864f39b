"""What is wanted: part of a circle in X and Y, and on which side of it the metal stays.

Angles run anticlockwise from the direction in which X grows; X and Y of the middle are counted from the nought of the slides.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

from msgspec import Struct

Side = Literal["inside", "outside", "on"]


class Arc(Struct, frozen=True):
    """Part of a circle, or all of it.

    Parameters
    ----------
    radius : Fraction
        Of the finished line, mm; of the cutter's way when the side is ``on``.
    begin, span : Fraction
        Degrees; a span of 360 is the whole circle.
    x, y : Fraction
        Its middle, mm.
    side : str
        Where the cutter stands: inside a hole or hollow, outside of a boss, or on the line, as for a slot or holes.
    """

    radius: Fraction
    begin: Fraction
    span: Fraction
    x: Fraction = Fraction(0)
    y: Fraction = Fraction(0)
    side: Side = "inside"

    @property
    def whole(self) -> bool:
        """Whether it comes round."""
        return self.span == 360

    def way(self, cutter: float, leave: float) -> float:
        """Return the radius that the cutter's axis follows for a cutter of a radius and a stock to leave, mm."""
        size = float(self.radius)
        if self.side == "on":
            return size
        return size - cutter - leave if self.side == "inside" else size + cutter + leave

    def point(self, radius: float, degrees: float) -> tuple[float, float]:
        """Return the point at an angle on a circle of another radius about the same middle, mm."""
        turn = math.radians(degrees)
        return float(self.x) + radius * math.cos(turn), float(self.y) + radius * math.sin(turn)


def mitre(tube: Fraction, onto: Fraction) -> Arc:
    """Return the hollow in the end of a tube that sits on another: seen along that other one, part of its circle.

    The tube lies along X with its end at X 0, its axis at Y 0; the hollow is cut into it, toward smaller X.  What is said of the
    angle between the tubes is how the tube is held: the other one always stands upright.

    Examples
    --------
    >>> hollow = mitre(Fraction(27), Fraction(36))
    >>> float(hollow.radius), round(float(hollow.span), 2), round(float(hollow.x), 3)
    (18.0, 97.18, 11.906)
    """
    radius, half = onto / 2, math.degrees(math.asin(float(tube / onto)))
    span = Fraction(2 * half).limit_denominator(10**6)
    deep = Fraction(float(radius) * math.cos(math.radians(half))).limit_denominator(10**6)
    return Arc(radius, 180 - span / 2, span, deep, Fraction(0), "inside")


def through(tube: Fraction, angle: Fraction, cutter: Fraction) -> tuple[float, float]:
    """Return how deep a mitre goes before all of it is cut, from where the cutter first touches the tube; mm.

    First with the tube's far end turned up from level: the cutter, over the middle of the hollow, then touches first where the hollow is
    deepest, and from there the tube is as long straight down as it is thick, divided by the cosine of its lean.  Then with it turned
    down, where the other side of the cutter touches first, higher by as much as the tube rises under it, at the most.

    Examples
    --------
    >>> [round(deep, 3) for deep in through(Fraction(27), Fraction(60), Fraction(10))]
    [31.177, 36.95]
    """
    lean = math.radians(90 - angle)
    straight = float(tube) / math.cos(lean)
    return straight, straight + float(cutter) * math.tan(lean)
