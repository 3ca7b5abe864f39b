"""Seats for pins at the ends of a ramp: a round hollow across the wall in which a pin or roller comes to rest.

A seat is cut last, with a cutter as round as the pin: a ball cutter fed across the wall, or, table on edge, the side of one of the
pin's diameter.  Its axis stands on the centre line, so the hollow is as wide at the bore as at the outside.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from stepcut.machine import Scale
from stepcut.shapes.ramp.wanted import Ramp

End = Literal["high", "low"]


class Seat(Struct, frozen=True):
    """One seat of every ramp.

    Parameters
    ----------
    end : str
        The end of the ramp that it lies at.
    pin : Fraction
        Diameter of the pin, and of the cutter, mm.
    marks : tuple of int
        Whole divisions of the rim at which it is cut, one for each ramp.
    depth : int
        Whole divisions of the depth to its bottom, below the face.
    deep : Fraction
        How far that is below the end of the ramp, mm.
    """

    end: End
    pin: Fraction
    marks: tuple[int, ...]
    depth: int
    deep: Fraction = Fraction(0)


def seats(ramp: Ramp, pins: dict[End, Fraction | None], deep: Fraction, first: Scale, second: Scale) -> Iterator[Seat]:
    """Yield the seats of a ramp; ``deep`` is how far each goes below the ramp's end, mm."""
    for end, at in (("high", Fraction(0)), ("low", ramp.span)):
        pin = pins[end]  # type: ignore[index]  # one of the two ends
        if pin is None:
            continue
        floor = Fraction(ramp.wanted.depth(float(at))).limit_denominator(10**9)
        marks = tuple(first.up(k * ramp.sector) + first.nearest(at) for k in range(ramp.starts))
        yield Seat(end, pin, marks, second.down(floor + deep), deep)  # type: ignore[arg-type]  # one of the two ends


def overlap(ramp: Ramp, pin: Fraction, deep: Fraction) -> float:
    """Return how far the seat of a low end reaches into the next ramp's high end at the bore, mm; negative where it is clear.

    At a depth D under the face a cutter of radius r stands sqrt(r^2 - (r - D)^2) to either side there, r once it is that deep.
    """
    radius, depth = float(pin) / 2, ramp.wanted.floor + float(deep) - ramp.wanted.start
    half = math.sqrt(max(0.0, radius**2 - (radius - depth) ** 2)) if depth < radius else radius
    gap = math.radians(float(ramp.sector - ramp.span))
    return half - ramp.bore * math.sin(min(gap, math.pi / 2))
