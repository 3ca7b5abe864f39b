"""Grooves of both hands on one cylinder: where they cross, and the diamonds of land between.

Unrolled, grooves of one hand are lines x = k t + c, those of the other x = -k t + c; n of each begin at the same places, so that
they cross in rows so far apart along the axis as half a lead divided by n, n crossings in each.  No outside source: derived
here, and compared with rays in the tests.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from stepcut.shapes.helix.left import Crossed
from stepcut.shapes.helix.wanted import Helix


class Diamonds(NamedTuple):
    """What is left between the grooves: along the axis and round the cylinder from corner to corner, and across; mm."""

    along: float
    round: float
    across: float


def rows(helix: Helix) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where grooves cross: mm along the axis, and degrees of the table of the first crossing there; others follow a start apart."""
    apart = helix.lead / (2 * helix.starts)
    for k in range(int(helix.length / apart) + 1):
        yield k * apart, Fraction(180 * k, helix.starts) % Fraction(360, helix.starts)


def diamonds(helix: Helix, width: float, slant: float) -> Diamonds:
    """Return the diamonds between grooves of a width, square to them; ``slant`` is mm along the axis for one square to them."""
    along = float(helix.lead) / helix.starts - width * slant
    return Diamonds(along, along * math.pi * float(helix.diameter / helix.lead), along / slant)


def crossed(helix: Helix, spread: float) -> Crossed:
    """Return which share of a groove lies inside those of the other hand.

    A line along a groove is inside a strip that is a long along the axis for a / 2 of its way along it; a crossing at an end is
    only half there.
    """
    crossings = sum(0.5 if x in (0, helix.length) else 1.0 for x, _ in rows(helix))
    return Crossed(crossings / 2 / float(helix.length), spread)
