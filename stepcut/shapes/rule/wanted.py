"""What is wanted of a straight scale: where every line stands, and how long it is."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct

from stepcut.shapes.divide.wanted import (
    Ranks as Ranks,
)  # long and short lines, and their numbers, are those of a divided circle


class Line(Struct, frozen=True):
    """One line of a scale.

    Parameters
    ----------
    count : int
        Its number along the scale, from 0; lines that are skipped are counted too.
    at : Fraction
        Where it is wanted, from nought, mm.
    """

    count: int
    at: Fraction


def even(divisions: int, pitch: Fraction, start: Fraction) -> tuple[Line, ...]:
    """Return evenly spaced lines: one more than divisions.

    Examples
    --------
    >>> [float(line.at) for line in even(4, Fraction(1, 2), Fraction(3))]
    [3.0, 3.5, 4.0, 4.5, 5.0]
    """
    return tuple(Line(k, start + pitch * k) for k in range(divisions + 1))


def vernier(divisions: int, main: Fraction, over: int, start: Fraction) -> tuple[Line, ...]:
    """Return the lines of a vernier: so many divisions that together cover `over` divisions of the main scale.

    It reads one main division by its number of divisions, where `over` is one less or one more (or one less than a multiple).
    """
    return even(divisions, main * over / divisions, start)


def listed(places: Sequence[Fraction], start: Fraction) -> tuple[Line, ...]:
    """Return listed lines, in order."""
    return tuple(Line(k, start + at) for k, at in enumerate(sorted(places)))
