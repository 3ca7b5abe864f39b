"""Upright faces below a slope, finished last with a single-angle cutter: an end mill held upright leaves their foot.

The cutter runs on a horizontal arbor along the slide square to the feed, so that its upright side is the radial plane of the face and
its conical side stands over the slope.  Its angle may be no more than what slope and face make with each other at the bore.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from stepcut.machine import Scale
from stepcut.shapes.ramp.free import BESIDE, risers, room_beside
from stepcut.shapes.ramp.wanted import Ramp


class Face(Struct, frozen=True):
    """One upright face of every ramp.

    Parameters
    ----------
    marks : tuple of int
        Whole divisions of the rim at which it is cut, one for each ramp; never past the face.
    depth : int
        Whole divisions of the depth to its foot, below the face of the ring.
    stands : Fraction
        What stands in its foot before, mm.
    angle : Fraction
        Of the cutter, degrees.
    before : bool
        Whether the metal that is cut lies before the face, uphill of it.
    """

    marks: tuple[int, ...]
    depth: int
    stands: Fraction
    angle: Fraction
    before: bool


def sharpest(ramp: Ramp) -> float | None:
    """Return the smallest angle that a slope makes with the upright face at its foot, at the bore, degrees; None without one."""
    return min((room_beside(ramp, foot) for foot in risers(ramp) if foot.slope > 0), default=None)


def faces(ramp: Ramp, angle: Fraction, stands: float, leave: Fraction, first: Scale, second: Scale) -> Iterator[Face]:
    """Yield the upright faces of a ramp below a slope; ``stands`` is the most that stands in a foot, mm."""
    for foot in risers(ramp):
        if foot.slope <= 0:
            continue
        at = Fraction(round(foot.at + (1 if foot.before else -1) * BESIDE, 9)).limit_denominator(10**9)
        places = [at + k * ramp.sector for k in range(ramp.starts)]
        marks = tuple(first.down(place) if foot.before else first.up(place) for place in places)
        depth = second.down(Fraction(round(foot.depth, 9)).limit_denominator(10**9) - leave)
        yield Face(
            marks, depth, min(Fraction(stands).limit_denominator(10**6), second.value(depth)), angle, foot.before
        )
