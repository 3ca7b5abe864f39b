"""Shapes turned in a lathe: a radius that changes along the axis, as one or two flanks that only grow deeper.

z runs from the face into the work.  A flank is a run over which the radius only grows or only shrinks; it is cut from its
outermost place towards its innermost one, so its coordinate runs that way and its depth grows into the metal.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from stepcut.kernel.line import Beyond, Line, line_of
from stepcut.shapes.turned.edges import ArcEdge, Edge, StraightEdge, arc

Side = Literal["outside", "bore"]


class Flank(Struct, frozen=True, dict=True):
    """One run of a turned surface.

    Parameters
    ----------
    edges : tuple of Edge
        The wanted surface along the coordinate, mm, from where it stands highest: depth 0.
    z_high : Fraction
        z of the place where the coordinate is 0.
    toward_face : bool
        Whether the coordinate runs toward the face (z falls) or away from it.
    radius_high : Fraction
        Radius where the depth is 0: the largest of an outside flank.
    side : str
        outside, or bore (depth then grows outward).
    behind : str
        What stands beyond the high end: a cylinder (level), the face of a shoulder (wall), or more of the slope (tangent).
    front : str
        What stands beyond the low end: a cylinder (level), or air (free).
    rest : tuple of Edge
        More of the surface beyond the low end, counted from there, that must stay but is not cut: the rest of a fillet's arc.
    straight_in : bool
        Whether the tool must go straight in although the depth only grows: what stands in front of it must stay.
    near : tuple of Edge
        Surface of the next flank, beyond the low end, that a ridge of this one may stand nearer to.
    """

    edges: tuple[Edge, ...]
    z_high: Fraction
    toward_face: bool
    radius_high: Fraction
    side: Side = "outside"
    behind: Beyond = "level"
    front: Beyond = "free"
    rest: tuple[Edge, ...] = ()
    straight_in: bool = False
    near: tuple[Edge, ...] = ()

    @cached_property
    def wanted(self) -> Line:
        """Depth into the metal along the coordinate, mm, and what stands beyond."""
        front: Beyond = "free" if self.rest else self.front
        return line_of((edge.stretch() for edge in self.edges), before=self.behind, after=front)

    @cached_property
    def stays(self) -> Line | None:
        """What must stay beyond the low end besides, counted from there."""
        if not self.rest:
            return None
        return line_of((edge.stretch() for edge in self.rest), before="free", after=self.front)

    @cached_property
    def hollow(self) -> float:
        """Smallest radius of a hollow arc, mm; infinite when there is none."""
        arcs = [edge.radius for edge in self.edges if isinstance(edge, ArcEdge) and edge.hollow]
        return min(arcs, default=math.inf)

    @property
    def plunged(self) -> bool:
        """Whether the tool must go straight in at every place: a pass along it would cut a crest away."""
        return self.straight_in or not self.wanted.grows

    @property
    def way(self) -> str:
        """How its cuts go: straight in, or as passes toward the headstock or toward the face."""
        return "straight-in" if self.plunged else "to-headstock" if self.toward_face else "to-face"

    def radius_of(self, depth: float) -> float:
        """Return the radius at a depth, mm."""
        return self._high + (depth if self.side == "bore" else -depth)

    @cached_property
    def _high(self) -> float:
        return float(self.radius_high)

    def z_at(self, at: float) -> float:
        """Return z at a coordinate, mm."""
        return float(self.z_high) + (-at if self.toward_face else at)


class Revolved(Struct, frozen=True):
    """What is wanted of a turned shape: its flanks and what to call it."""

    name: str
    flanks: tuple[Flank, ...]


def exact(value: float) -> Fraction:
    """Return a computed place as a fraction of a size that the dials' sums can carry."""
    return Fraction(value).limit_denominator(10**9)


def taper(large: Fraction, small: Fraction, length: Fraction, side: Side) -> Revolved:
    """Return a taper between two diameters, mm: its small end at the face, or its large end for a bore."""
    edge = StraightEdge(0.0, 0.0, float(length), float(large - small) / 2)
    high = large / 2 if side == "outside" else small / 2
    return Revolved("taper", (Flank((edge,), length, True, high, side),))


def ball(diameter: Fraction, last: Fraction) -> Revolved:
    """Return a ball with its pole at the face, from there to an angle of its axis (90: the equator), degrees.

    Past the equator the back of the ball is a second flank, cut with the other corner of a square tool, down to a neck that
    is a cylinder.
    """
    radius = diameter / 2
    size = float(radius)
    if last <= 90:
        begin = 90.0 - float(last)
        z_high = exact(size * (1 - math.sin(math.radians(begin))))
        top = exact(size * math.cos(math.radians(begin)))
        return Revolved("ball", (Flank((arc(size, begin, 90.0),), z_high, True, top),))
    front = Flank((arc(size, 0.0, 90.0),), radius, True, radius)
    back = Flank((arc(size, 0.0, float(last) - 90.0),), radius, False, radius, front="level")
    return Revolved("ball", (front, back))


def fillet(shaft: Fraction, radius: Fraction, at: Fraction, begin: Fraction, end: Fraction) -> Revolved:
    """Return a fillet between a shaft and a shoulder: tangent to the shaft at z = `at`, rising away from the face.

    ``begin`` and ``end`` are angles along the arc from the shaft (0) to the shoulder (90), degrees.  At 90 degrees the face
    of the shoulder stands behind it; a fillet that ends earlier goes on along its slope.
    """
    turn = math.radians(float(end))
    z_high = at + exact(float(radius) * math.sin(turn))
    top = shaft / 2 + exact(float(radius) * (1 - math.cos(turn)))
    return Revolved("fillet", (_hollow(radius, begin, end, z_high, top, "wall", "level"),))


def cove(diameter: Fraction, radius: Fraction, begin: Fraction, end: Fraction) -> Revolved:
    """Return a hollow quarter round the corner of a cylinder: centre on the corner at z = 0.

    Angles run from the face (0) to the outside (90), degrees.  At an angle t from the face z = R sin t, the radius is
    D/2 - R cos t and the slope tan t: a fillet's arc in another place.  A whole one ends at the cylinder.
    """
    turn = math.radians(float(end))
    z_high = exact(float(radius) * math.sin(turn))
    top = diameter / 2 - exact(float(radius) * math.cos(turn))
    return Revolved("cove", (_hollow(radius, begin, end, z_high, top, "level", "free"),))


def _hollow(
    radius: Fraction, begin: Fraction, end: Fraction, z_high: Fraction, top: Fraction, behind: Beyond, front: Beyond
) -> Flank:
    """Return the flank of a hollow arc between two angles from its flat end, and the rest of it in front."""
    edge = arc(float(radius), float(end), float(begin))
    rest = (arc(float(radius), float(begin), 0.0, 0.0, edge.y1),) if begin > 0 else ()
    return Flank((edge,), z_high, True, top, behind=behind if end >= 90 else "tangent", front=front, rest=rest)


def profile(targets: tuple[tuple[Fraction, Fraction], ...], corners: bool = True) -> Revolved:
    """Return a profile through (z, diameter) targets, joined by straight lines.

    Two diameters at one place are the face of a step.  In front of a profile that begins within the work a cylinder stands.
    Where the diameter grows all the way the profile is one flank.  A crest is cut by the `corners` of a square tool from both
    sides, a flank for each; a round nose, or a parting tool in a waist, cuts all of it as one flank, plunging at every place.
    """
    front: Beyond = "level" if targets[0][0] > 0 else "free"
    largest = max(diameter for _, diameter in targets)
    tops = [k for k, (_, diameter) in enumerate(targets) if diameter == largest]
    if not corners or tops[-1] == len(targets) - 1:
        return Revolved("profile", (_line_of(targets, largest, front),))
    back_targets = targets[tops[-1] :]
    points = [(float(z - back_targets[0][0]), float(largest - d) / 2) for z, d in back_targets]
    edges = tuple(StraightEdge(*a, *b) for a, b in pairwise(points))
    back = Flank(edges, back_targets[0][0], False, largest / 2, front="level")
    if tops[-1] == 0:
        return Revolved("profile", (back,))
    return Revolved("profile", (_line_of(targets[: tops[-1] + 1], largest, front), back))


def _line_of(targets: tuple[tuple[Fraction, Fraction], ...], largest: Fraction, front: Beyond) -> Flank:
    """Return targets as one flank from the farthest toward the face; depth counts from the largest diameter."""
    last_z = targets[-1][0]
    points = [(float(last_z - z), float(largest - d) / 2) for z, d in reversed(targets)]
    edges = tuple(StraightEdge(*a, *b) for a, b in pairwise(points))
    return Flank(edges, last_z, True, largest / 2, front=front)
