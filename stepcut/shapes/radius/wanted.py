"""Turned forms of one radius: rounded edges, necks, waists, crowns, seats, and the ball with a neck of its own.

Places and depths as in :mod:`stepcut.shapes.turned.wanted`: a flank's coordinate runs from its high end toward the face, its
depth from the largest radius into the metal.  No outside source: the circle.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec.structs import replace

from stepcut.kernel.line import Beyond
from stepcut.shapes.turned.edges import ArcEdge, Edge, StraightEdge, arc
from stepcut.shapes.turned.wanted import Flank, Revolved, ball, exact

CLEAR = 1.0  # mm of a cylinder in front of a neck that is looked at; beyond, it goes on


def corner(diameter: Fraction, radius: Fraction, at: Fraction, begin: Fraction, end: Fraction) -> Revolved:
    """Return the rounded edge of a cylinder whose face stands at z = `at`: the contrary of a cove.

    At an angle t from the face (0) to the outside (90), degrees, z = at + R (1 - cos t) and the radius D/2 - R (1 - sin t).
    """
    size, turn = float(radius), math.radians(float(end))
    z_high = at + exact(size * (1 - math.cos(turn)))
    top = diameter / 2 - radius + exact(size * math.sin(turn))
    edge = arc(size, 90.0 - float(end), 90.0 - float(begin))
    rest = (arc(size, 90.0 - float(begin), 90.0, 0.0, edge.y1),) if begin > 0 else ()
    behind: Beyond = "level" if end >= 90 else "tangent"
    return Revolved("corner", (Flank((edge,), z_high, True, top, behind=behind, rest=rest),))


def bow_radius(length: Fraction, drop: Fraction) -> float:
    """Return the radius of an arc that is so high over a chord so long; mm.

    Examples
    --------
    >>> bow_radius(Fraction(8), Fraction(2))
    5.0
    """
    half, high = float(length) / 2, float(drop)
    return (half * half + high * high) / (2 * high)


def bow_height(length: Fraction, radius: Fraction) -> Fraction:
    """Return how high an arc of a radius stands over a chord so long; mm.

    Examples
    --------
    >>> bow_height(Fraction(8), Fraction(5))
    Fraction(2, 1)
    """
    half = float(length) / 2
    return exact(float(radius) - math.sqrt(float(radius) ** 2 - half * half))


def waist(diameter: Fraction, small: Fraction, length: Fraction, at: Fraction) -> Revolved:
    """Return a hollow between two equal diameters: an arc that is deepest in the middle of its length."""
    half, drop = float(length) / 2, float(diameter - small) / 2
    size = bow_radius(length, (diameter - small) / 2)
    edges = tuple(ArcEdge(a, b, half, drop - size, size, True) for a, b in ((0.0, half), (half, 2 * half)))
    front: Beyond = "level" if at > 0 else "free"
    return Revolved("waist", (Flank(edges, at + length, True, diameter / 2, front=front),))


def crown(diameter: Fraction, small: Fraction, length: Fraction, at: Fraction, straight_in: bool) -> Revolved:
    """Return a crown: an arc that is highest in the middle of its length.

    A tool that goes straight in cuts it as one flank, the corners of a square one as a flank each.
    """
    half, size = float(length) / 2, bow_radius(length, (diameter - small) / 2)
    front: Beyond = "level" if at > 0 else "free"
    if straight_in:
        edges = tuple(ArcEdge(a, b, half, size, size, False) for a, b in ((0.0, half), (half, 2 * half)))
        return Revolved("crown", (Flank(edges, at + length, True, diameter / 2, front=front),))
    edge, middle = ArcEdge(0.0, half, 0.0, size, size, False), at + length / 2
    return Revolved(
        "crown",
        (
            Flank((edge,), middle, True, diameter / 2, front=front),
            Flank((edge,), middle, False, diameter / 2, front="level"),
        ),
    )


def neck_needs(diameter: Fraction, small: Fraction, radius: Fraction) -> float:
    """Return the length that both radii of a neck take up, mm: a quarter at the shoulder, what there is of one at the shaft."""
    return float(radius) + _near(diameter, small, radius)


def _near(diameter: Fraction, small: Fraction, radius: Fraction) -> float:
    size, high = float(radius), float(diameter - small) / 2
    return size if high >= size else math.sqrt(size * size - (size - high) ** 2)


def neck(diameter: Fraction, small: Fraction, radius: Fraction, length: Fraction, at: Fraction) -> Revolved:
    """Return a groove in a shaft from z = `at` to a shoulder, so long: a level bottom with a radius up at both ends.

    The shoulder stands at least as high as the radius.  Where the shaft stands less high over the bottom than the radius, the
    arc on its side ends at the shaft.
    """
    size, high, long = float(radius), float(diameter - small) / 2, float(length)
    near = _near(diameter, small, radius)
    top = max(diameter / 2, small / 2 + radius)
    floor, shaft = float(top - small / 2), float(top - diameter / 2)
    edges = (
        ArcEdge(0.0, size, size, floor - size, size, True),
        StraightEdge(size, floor, long - near, floor),
        ArcEdge(long - near, long, long - near, floor - size, size, True),
        *((StraightEdge(long, floor - size, long, shaft),) if high > size else ()),
    )
    stays = (StraightEdge(0.0, shaft, CLEAR, shaft),)
    flank = Flank(edges, at + length, True, top, behind="wall", front="level", rest=stays, straight_in=True)
    return Revolved("neck", (flank,))


def seat(radius: Fraction, mouth: Fraction, hole: Fraction) -> Revolved:
    """Return a hollow sphere in the end of a bar, from its mouth in the face down to the hole that it is bored from.

    The middle of the sphere stands sqrt(R^2 - mouth^2/4) in front of the face.
    """
    size, small = float(radius), float(hole) / 2
    far = math.sqrt(size * size - small * small)  # of the hole's edge from the middle
    deep = far - math.sqrt(max(0.0, size * size - float(mouth) ** 2 / 4))
    edge = ArcEdge(0.0, deep, far, -small, size, True)
    return Revolved("seat", (Flank((edge,), exact(deep), True, hole / 2, side="bore"),))


def ball_on_neck(radius: Fraction, last: Fraction, length: Fraction, nose: Fraction, division: Fraction) -> Revolved:
    """Return a ball, its pole at the face, on a neck so long that is cut first, straight in: what ends it is not cut.

    The neck ends at a whole division of the carriage, and a round nose leaves its own round there.
    """
    whole = ball(2 * radius, last)
    front, back = whole.flanks
    size, round_off = float(radius), float(nose)
    behind = size * math.sin(math.radians(float(last) - 90.0))  # from the middle of the ball to where the neck begins
    floor = size - math.sqrt(size * size - behind * behind)
    begins = radius + exact(behind)
    z_end = -(-(begins + length) // division) * division
    long = float(z_end - begins)
    rest = (ArcEdge(0.0, behind, behind, size, size, False),)
    level: tuple[Edge, ...] = (StraightEdge(0.0, floor, long, floor),)
    if round_off > 0.0:
        wide = _near(2 * radius, 2 * (radius - exact(floor)), nose)
        level = (ArcEdge(0.0, wide, wide, floor - round_off, round_off, True), StraightEdge(wide, floor, long, floor))
    beyond = (ArcEdge(long, long + behind, long + behind, size, size, False),)
    first = Flank(level, z_end, True, radius, behind="wall", front="level", rest=rest, straight_in=True, near=beyond)
    back = replace(back, near=(StraightEdge(behind, floor, behind + long, floor),))
    return replace(whole, flanks=(first, front, back))
