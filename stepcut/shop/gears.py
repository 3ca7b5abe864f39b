"""Change gears for a lead: lead = lead of the machine x driven / drivers.

The lead of the machine is the table's ratio times the pitch of its screw (common to all handbooks; from memory).

A train of four is listed only in an order that can be mounted.  On the stud the first driven and the second driver turn
together::

    screw  first driver  x  first driven
                            second driver (same stud)  x  second driven  worm

The second driver must pass the screw's shaft, and the first driven the worm's, so that each mesh reaches past the other
gear of the stud by half a shaft and its hub: ``SHAFT`` teeth.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations, permutations

from msgspec import Struct

SHAFT = 15  # teeth that a mesh must reach past the stud's other gear; common practice for shafts and hubs, no source
FAR = Fraction(1, 100)  # a lead that is off by more than this share is no match; common practice, no source


class Train(Struct, frozen=True):
    """A set of four gears, or of two with the stud's pair left out.

    Parameters
    ----------
    drivers, driven : tuple of int
        Teeth in the order of mounting: the driver on the screw and the one on the stud; the driven on the stud and the one
        on the worm.
    lead : Fraction
        The lead it gives, mm.
    """

    drivers: tuple[int, ...]
    driven: tuple[int, ...]
    lead: Fraction


def machine_lead(ratio: Fraction, pitch: Fraction) -> Fraction:
    """Return the lead with equal gears, mm.

    Examples
    --------
    >>> machine_lead(Fraction(40), Fraction(254, 40)) / Fraction(254, 10)
    Fraction(10, 1)
    """
    return ratio * pitch


def mountable(drivers: tuple[int, ...], driven: tuple[int, ...]) -> bool:
    """Whether no gear of a train of four lies across a shaft; two gears always go, with idlers between them.

    Examples
    --------
    >>> mountable((24, 86), (28, 40)), mountable((86, 24), (28, 40))
    (False, True)
    """
    if len(drivers) < 2:
        return True
    (on_screw, second), (first, on_worm) = drivers, driven
    return on_screw + first >= second + SHAFT and second + on_worm >= first + SHAFT


def order(drivers: tuple[int, ...], driven: tuple[int, ...]) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
    """Return the gears in the first order that can be mounted; None when there is none."""
    for first in permutations(drivers):
        for second in permutations(driven):
            if mountable(first, second):
                return first, second
    return None


def trains(lead: Fraction, own_lead: Fraction, gears: Sequence[int], best: int = 5) -> list[Train]:
    """Return the trains of two and of four gears on hand that come nearest to a lead and can be mounted, best first.

    Every set is looked at; gears that are on hand twice may be used twice.
    """
    sets: dict[tuple[tuple[int, ...], tuple[int, ...]], Fraction] = {}
    index = range(len(gears))
    for count in (1, 2):
        for on_screw in combinations(index, count):
            drivers = tuple(sorted(gears[k] for k in on_screw))
            free = [k for k in index if k not in on_screw]
            for on_worm in combinations(free, count):
                driven = tuple(sorted(gears[k] for k in on_worm))
                if (drivers, driven) not in sets and not (count == 2 and set(drivers) & set(driven)):
                    sets[drivers, driven] = own_lead * Fraction(math.prod(driven), math.prod(drivers))

    def nearness(entry: tuple[tuple[tuple[int, ...], tuple[int, ...]], Fraction]) -> tuple[Fraction, int, object]:
        (drivers, driven), made = entry
        return abs(made - lead), len(drivers), (drivers, driven)

    found: list[Train] = []
    for (drivers, driven), made in sorted(sets.items(), key=nearness):
        placed = order(drivers, driven)
        if placed is not None:
            found.append(Train(*placed, made))
        if len(found) == best:
            break
    return found


def near(train: Train, lead: Fraction) -> bool:
    """Whether a train gives a lead to one part in a hundred."""
    return abs(train.lead - lead) <= FAR * lead
