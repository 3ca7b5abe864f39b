"""Change gears for a lead: lead = lead of the machine x driven / drivers.

The lead of the machine is the table's ratio times the pitch of its screw (common to all handbooks; from memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations


@dataclass(frozen=True)
class Train:
    """A set of four gears, or of two with the stud's pair left out.

    Parameters
    ----------
    drivers, driven : tuple of int
        Teeth: drivers on the screw and on the stud, driven on the worm and on the stud.
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


def trains(lead: Fraction, own_lead: Fraction, gears: Sequence[int], best: int = 5) -> list[Train]:
    """Return the trains of two and of four gears on hand that come nearest to a lead, best first.

    Every pair of two-gear sets is looked at; gears that are on hand twice may be used twice.
    """
    found: dict[tuple[tuple[int, ...], tuple[int, ...]], Train] = {}
    index = range(len(gears))
    for count in (1, 2):
        for on_screw in combinations(index, count):
            free = [k for k in index if k not in on_screw]
            for on_worm in combinations(free, count):
                drivers = tuple(sorted(gears[k] for k in on_screw))
                driven = tuple(sorted(gears[k] for k in on_worm))
                if (drivers, driven) in found or (set(drivers) & set(driven) and count == 2):
                    continue
                top, bottom = 1, 1
                for teeth in driven:
                    top *= teeth
                for teeth in drivers:
                    bottom *= teeth
                found[drivers, driven] = Train(drivers, driven, own_lead * Fraction(top, bottom))
    return heapq.nsmallest(
        best,
        found.values(),
        key=lambda train: (abs(train.lead - lead), len(train.drivers), train.drivers, train.driven),
    )
