"""Upright faces below a slope, finished last: an end mill held upright leaves their foot.

A single-angle cutter runs on a horizontal arbor along the slide square to the feed, so that its upright side is the radial plane of
the face and its conical side stands over the slope.  Its angle may be no more than what slope and face make with each other at the
bore.

With the head tilted by t, no less than the slope at the bore, the end of the end mill lies along the slope and its side leans over the
face.  Where that side meets the top of a face H high, and the end the foot of it, the cutter's lowest corner stands H sin t cos t
beside the face and H sin^2 t over the foot: what stands in the triangle between is filed.  No outside source: plane geometry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from msgspec import Struct

from stepcut.machine import Scale
from stepcut.shapes.ramp.free import BESIDE, Foot, risers, room_beside
from stepcut.shapes.ramp.wanted import Ramp

HALF = Fraction(1, 2)  # degrees: a head is tilted by no finer steps


class Face(Struct, frozen=True):
    """One upright face of every ramp.

    Parameters
    ----------
    marks : tuple of int
        Whole divisions of the rim at which it is cut, one for each ramp; never past the face.
    depth : int
        Whole divisions of the depth of the cutter's lowest place, below the face of the ring.
    stands : Fraction
        What stands in its foot before, mm.
    angle : Fraction
        Of the cutter, or by which the head is tilted, degrees.
    before : bool
        Whether the metal that is cut lies before the face, uphill of it.
    beside : Fraction
        How far from the face the lowest corner of a tilted end mill stands, mm; 0 for a single-angle cutter.
    """

    marks: tuple[int, ...]
    depth: int
    stands: Fraction
    angle: Fraction
    before: bool
    beside: Fraction = Fraction(0)

    @property
    def tilted(self) -> bool:
        """Whether an end mill cuts it with the head tilted."""
        return self.beside > 0

    @property
    def slopes(self) -> tuple[float, float]:
        """How fast its cut rises from the lowest place, away from the face and toward it; mm for one mm across."""
        turn = math.tan(math.radians(self.angle))
        return (turn, 1 / turn) if self.tilted else (1 / turn, math.inf)


def sharpest(ramp: Ramp) -> float | None:
    """Return the smallest angle that a slope makes with the upright face at its foot, at the bore, degrees; None without one."""
    return min((room_beside(ramp, foot) for foot in risers(ramp) if foot.slope > 0), default=None)


def tilt_of(ramp: Ramp) -> Fraction | None:
    """Return the tilt of the head that lays the end of the cutter along the steepest slope below a face, degrees, up to the next half."""
    most = sharpest(ramp)
    return None if most is None else Fraction(math.ceil((90.0 - most) / HALF - 1e-6)) * HALF


def faces(
    ramp: Ramp, angle: Fraction, stands: float, leave: Fraction, scales: tuple[Scale, Scale], tilted: bool = False
) -> Iterator[Face]:
    """Yield the upright faces of a ramp below a slope; ``stands`` is the most that stands in a foot, mm."""
    first, second = scales
    for foot in risers(ramp):
        if foot.slope <= 0:
            continue
        at = Fraction(round(foot.at + (1 if foot.before else -1) * BESIDE, 9)).limit_denominator(10**9)
        places = [at + k * ramp.sector for k in range(ramp.starts)]
        marks = tuple(first.down(place) if foot.before else first.up(place) for place in places)
        beside, over = _corner(foot, angle, leave) if tilted else (Fraction(0), Fraction(0))
        depth = second.down(Fraction(round(foot.depth, 9)).limit_denominator(10**9) - leave - over)
        most = min(Fraction(stands).limit_denominator(10**6), second.value(depth))
        yield Face(marks, depth, most, angle, foot.before, beside)


def _corner(foot: Foot, angle: Fraction, leave: Fraction) -> tuple[Fraction, Fraction]:
    """Return how far beside a face, and how far over its foot, the lowest corner of an end mill stands with the head tilted; mm."""
    height, turn = foot.height - float(leave), math.radians(angle)
    found = (height * math.sin(turn) * math.cos(turn), height * math.sin(turn) ** 2)
    beside, over = (Fraction(value).limit_denominator(10**6) for value in found)
    return beside, over
