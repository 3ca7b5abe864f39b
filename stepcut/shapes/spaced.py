"""Places that are put on a scale one by one, each rounded for itself: what they are off, and which are left out."""

from __future__ import annotations

from fractions import Fraction
from typing import Protocol, TypeVar

from msgspec import Struct

from stepcut.errors import BadValue
from stepcut.fields import Values


class Counted(Protocol):
    """A place or line that knows which one it is."""

    @property
    def count(self) -> int:
        """Which one of all it is, from 0, those that are left out counted too."""


Each = TypeVar("Each", bound=Counted)


class Rounded(Struct, frozen=True, kw_only=True):
    """How far places stand from what was wanted.

    Parameters
    ----------
    off : tuple of Fraction
        How far each place stands from what was wanted, in its scale's unit: mm or degrees.
    spacing : Fraction
        The largest error from one place to the next, in the same unit.
    """

    off: tuple[Fraction, ...]
    spacing: Fraction

    @property
    def worst(self) -> Fraction:
        """The largest error of any place."""
        return max(map(abs, self.off))

    @property
    def worst_at(self) -> int:
        """The number of the cut that is farthest off."""
        return max(range(len(self.off)), key=lambda k: abs(self.off[k])) + 1


def kept(values: Values, places: tuple[Each, ...], called: str) -> tuple[Each, ...]:
    """Return the places that are not skipped; ``called`` is what the shape calls them.

    Raises
    ------
    BadValue
        When more are skipped than there are, or all.
    """
    skip = set(values["skip"] or ())
    beyond = [number for number in skip if number > len(places)]
    if beyond:
        raise BadValue("skip", beyond[0], f"is more than the {len(places)} {called}", "Count from 1.")
    left = tuple(place for place in places if place.count + 1 not in skip)
    if not left:
        raise BadValue("skip", values.said("skip"), "leaves nothing to make", "Leave some of them in.")
    return left


def covered(values: Values) -> int:
    """Return how many divisions of the main scale a vernier covers, one less than its own when that is left out.

    Raises
    ------
    BadValue
        When it would not read one main division by its number of divisions.
    """
    count, over = values["vernier"], values["over"] or values["vernier"] - 1
    if over < 1 or ((over + 1) % count and (over - 1) % count):
        rule = f"must be one more or one less than {count}, or than a multiple of it"
        raise BadValue("over", over, rule, f"Give {count - 1} or {2 * count - 1}.")
    return int(over)
