"""What is wanted of a dividing job: the angles, and for graduations how long each line is."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct


class Spot(Struct, frozen=True):
    """One place on the part.

    Parameters
    ----------
    count : int
        Its number round the part, from 0; places that are skipped are counted too.
    at : Fraction
        Wanted angle from nought, degrees.
    """

    count: int
    at: Fraction


class Ranks(Struct, frozen=True):
    """How long the lines of a graduation are, mm, by their rank; None where a rank is like the one below.

    Parameters
    ----------
    line, fifth, tenth : Fraction or None
        Of every line, of each fifth and of each tenth.
    number : Fraction or None
        What one line counts; each tenth is numbered with it.  None for no numbers.
    """

    line: Fraction
    fifth: Fraction | None = None
    tenth: Fraction | None = None
    number: Fraction | None = None

    def length(self, count: int) -> Fraction:
        """Return the length of a line, mm.

        Examples
        --------
        >>> ranks = Ranks(Fraction(3), Fraction(9, 2), Fraction(6))
        >>> [float(ranks.length(count)) for count in (0, 1, 5, 10, 15)]
        [6.0, 3.0, 4.5, 6.0, 4.5]
        """
        if count % 10 == 0 and self.tenth is not None:
            return self.tenth
        if count % 5 == 0 and self.fifth is not None:
            return self.fifth
        return self.line

    def numbered(self, count: int) -> str:
        """Return the number that a line is marked with; empty for none."""
        if self.number is None or count % 10:
            return ""
        value = self.number * count
        return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"


def even(divisions: int, start: Fraction, span: Fraction) -> tuple[Spot, ...]:
    """Return evenly divided places: as many as divisions round a whole circle, one more on an arc.

    Examples
    --------
    >>> [str(spot.at) for spot in even(7, Fraction(0), Fraction(360))][:3]
    ['0', '360/7', '720/7']
    """
    count = divisions if span == 360 else divisions + 1
    return tuple(Spot(k, start + span * k / divisions) for k in range(count))


def vernier(divisions: int, main: Fraction, over: int, start: Fraction) -> tuple[Spot, ...]:
    """Return the lines of a vernier: so many divisions that together cover `over` divisions of the main scale.

    Its reading is one main division by its number of divisions, where `over` is one less or one more.
    """
    return even(divisions, start, main * over)


def listed(angles: Sequence[Fraction], start: Fraction) -> tuple[Spot, ...]:
    """Return listed places, in order of their angle."""
    return tuple(Spot(k, start + at) for k, at in enumerate(sorted(angles)))
