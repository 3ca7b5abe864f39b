"""Indexing: whole turns and holes of a plate for a number of divisions or an angle.

One turn of the crank is 360 / ratio degrees.  Sector arms hold spaces between two holes; the arms show one hole more.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec import Struct


class Setting(Struct, frozen=True):
    """One way to set the crank.

    Parameters
    ----------
    turns : int
        Whole turns.
    spaces, circle : int
        Spaces in a circle of so many holes; 0 spaces when whole turns are enough.
    error : Fraction
        Degrees that one move is off, 0 when exact.
    """

    turns: int
    spaces: int
    circle: int
    error: Fraction

    @property
    def holes(self) -> int:
        """Holes that show between the sector arms, both ends counted."""
        return self.spaces + 1


def turns_for(ratio: Fraction, divisions: int | None = None, angle: Fraction | None = None) -> Fraction:
    """Return the turns of the crank for one division or one angle.

    Examples
    --------
    >>> turns_for(Fraction(40), divisions=42)
    Fraction(20, 21)
    """
    if divisions is not None:
        return ratio / divisions
    assert angle is not None  # noqa: S101  # one of the two is given
    return angle * ratio / 360


def settings(turns: Fraction, ratio: Fraction, circles: Sequence[int]) -> list[Setting]:
    """Return every circle that serves exactly, smallest first; else the nearest one of each circle, best first."""
    whole, rest = divmod(turns, 1)
    if not rest:
        return [Setting(int(whole), 0, 0, Fraction(0))]
    exact = [
        Setting(int(whole), int(rest * c), c, Fraction(0)) for c in sorted(set(circles)) if (rest * c).denominator == 1
    ]
    if exact:
        return exact
    near = []
    for circle in sorted(set(circles)):
        spaces = round(rest * circle)
        carry, spaces = divmod(spaces, circle)
        off = (Fraction(spaces, circle) + carry - rest) * 360 / ratio
        near.append(Setting(int(whole) + carry, spaces, circle, off))
    return sorted(near, key=lambda setting: (abs(setting.error), setting.circle))
