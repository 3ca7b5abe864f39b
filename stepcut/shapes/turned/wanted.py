"""Shapes turned in a lathe: a radius that changes along the axis, as one or two monotone flanks.

z runs from the face into the work.  A flank is a run over which the radius only grows or only shrinks; it is cut from its
outermost place towards its innermost one, so its coordinate runs that way and its depth grows into the metal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from stepcut.kernel.fall import Fall, fall_by_targets
from stepcut.kernel.motions import Motion

Side = Literal["outside", "bore"]


@dataclass(frozen=True)
class Flank:
    """One monotone run of a turned surface.

    Parameters
    ----------
    wanted : Fall
        Depth into the metal, mm, along the coordinate, mm: 0 where the flank stands highest.
    z_high : Fraction
        z of the place where the coordinate is 0.
    toward_face : bool
        Whether the coordinate runs toward the face (z falls) or away from it.
    radius_high : Fraction
        Radius where the depth is 0.
    side : str
        outside, or bore (depth then grows outward).
    """

    wanted: Fall
    z_high: Fraction
    toward_face: bool
    radius_high: Fraction
    side: Side = "outside"

    def radius_at(self, at: float) -> float:
        """Return the wanted radius at a coordinate, mm."""
        depth = self.wanted.depth(at)
        return float(self.radius_high) + (depth if self.side == "bore" else -depth)

    def z_at(self, at: float) -> float:
        """Return z at a coordinate, mm."""
        return float(self.z_high) + (-at if self.toward_face else at)


@dataclass(frozen=True)
class Revolved:
    """What is wanted of a turned shape: its flanks and what to call it."""

    name: str
    flanks: tuple[Flank, ...]


def arc_fall(radius: float, begin: float, end: float, hollow: bool) -> Fall:
    """Return the depth along a circular arc that falls from level to steep (convex) or from steep to level (hollow).

    Parameters
    ----------
    radius : float
        Of the arc, mm.
    begin, end : float
        Slope angle of the arc at its high and at its low end, degrees from level: 0 <= begin < end <= 90 for a convex arc,
        90 >= begin > end >= 0 for a hollow one.
    hollow : bool
        Whether the arc's centre is on the metal's outer side.

    Notes
    -----
    With a the slope angle, the arc's place along the axis is R sin a (convex) or -R sin a (hollow), its height R cos a or
    -R cos a.  No outside source: the circle.
    """
    a, b = math.radians(begin), math.radians(end)
    length = radius * abs(math.sin(b) - math.sin(a))
    drop = radius * abs(math.cos(a) - math.cos(b))
    first = math.sin(a)

    def angle_sine(x: float) -> float:
        s = first + x * (math.sin(b) - first)
        return min(1.0, max(-1.0, s))

    def share(x: float) -> float:
        here = math.sqrt(max(0.0, 1 - angle_sine(x) ** 2))
        return radius * abs(math.cos(a) - here) / drop

    def rate(x: float) -> float:
        s = angle_sine(x)
        slope = s / math.sqrt(max(1e-24, 1 - s * s))
        return slope * length / drop

    steepest = math.tan(min(max(a, b), math.radians(89.9999))) * length / drop
    name = "hollow arc" if hollow else "arc"
    return Fall((0.0, length), (0.0, drop), Motion(name, share, rate, steepest))


def taper(large: Fraction, small: Fraction, length: Fraction, side: Side) -> Revolved:
    """Return a taper between two diameters, mm: its small end at the face, or its large end for a bore."""
    drop = float(large - small) / 2
    wanted = Fall((0.0, float(length)), (0.0, drop))
    high = large / 2 if side == "outside" else small / 2
    return Revolved("taper", (Flank(wanted, length, True, high, side),))


def ball(diameter: Fraction, last: Fraction) -> Revolved:
    """Return a ball with its pole at the face, from there to an angle of its axis (90: the equator), degrees.

    Past the equator the back of the ball is a second flank, cut with the other corner of a square tool.
    """
    radius = diameter / 2
    front = Flank(arc_fall(float(radius), 0.0, 90.0, False), radius, True, radius)
    if last <= 90:
        begin = 90.0 - float(last)
        front_arc = arc_fall(float(radius), begin, 90.0, False)
        z_high = Fraction(float(radius) * (1 - math.sin(math.radians(begin)))).limit_denominator(10**6)
        top = Fraction(float(radius) * math.cos(math.radians(begin))).limit_denominator(10**6)
        return Revolved("ball", (Flank(front_arc, z_high, True, top),))
    back = Flank(arc_fall(float(radius), 0.0, float(last) - 90.0, False), radius, False, radius)
    return Revolved("ball", (front, back))


def fillet(shaft: Fraction, radius: Fraction, at: Fraction, begin: Fraction, end: Fraction) -> Revolved:
    """Return a fillet between a shaft and a shoulder: tangent to the shaft at z = `at`, rising away from the face.

    ``begin`` and ``end`` are angles along the arc from the shaft (0) to the shoulder (90), degrees.
    """
    r, low, high = float(radius), math.radians(float(begin)), math.radians(float(end))
    wanted = arc_fall(r, math.degrees(high), math.degrees(low), True)
    z_high = at + Fraction(r * math.sin(high)).limit_denominator(10**6)
    top = shaft / 2 + Fraction(r * (1 - math.cos(high))).limit_denominator(10**6)
    return Revolved("fillet", (Flank(wanted, z_high, True, top),))


def cove(diameter: Fraction, radius: Fraction, begin: Fraction, end: Fraction) -> Revolved:
    """Return a hollow quarter round the corner of a cylinder: centre on the corner at z = 0.

    Angles run from the face (0) to the outside (90), degrees.
    """
    r, low, high = float(radius), math.radians(float(begin)), math.radians(float(end))
    # At angle t from the face z = R sin t, radius = D/2 - R cos t, slope tan t: a fillet's arc in another place.
    wanted = arc_fall(r, math.degrees(high), math.degrees(low), True)
    z_high = Fraction(r * math.sin(high)).limit_denominator(10**6)
    top = diameter / 2 - Fraction(r * math.cos(high)).limit_denominator(10**6)
    return Revolved("cove", (Flank(wanted, z_high, True, top),))


def profile(targets: tuple[tuple[Fraction, Fraction], ...]) -> Revolved:
    """Return a profile through (z, diameter) targets, joined by straight lines; the diameter must not shrink with z."""
    last_z, last_d = targets[-1]
    points = tuple((float(last_z - z), float(last_d - d) / 2) for z, d in reversed(targets))
    return Revolved("profile", (Flank(fall_by_targets(points), last_z, True, last_d / 2),))
