"""Cuts that stand elsewhere than meant: after a slip, or made the wrong way round.  What they take from the wanted surface.

The cuts themselves are as deep as the plan says; only their places are others.  Lengths are mm, angles degrees.  How far a cut at a
place stands below the wanted surface, the shape says (``mishap`` in its folder).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.plan import Plan, Stop
from stepcut.shapes import brought
from stepcut.shop.recover import UNSEEN, worked_out


class Astray(Struct, frozen=True):
    """What cuts at other places do.

    Parameters
    ----------
    below : float
        How far the worst of them stands below the wanted surface, mm; 0 when none does.
    worst : int or None
        The number of that cut.
    low : tuple of int
        Numbers of all that stand below it.
    lower : Fraction
        How much everything must be lowered to clean up, in whole divisions.
    turn : float
        How many degrees further the handle of a clamp turns when this part alone is lowered so; 0 for other shapes.
    beside : tuple of int
        Numbers of the cuts that stand past the ends of a flank or a groove, of which the plan knows nothing.
    """

    below: float = 0.0
    worst: int | None = None
    low: tuple[int, ...] = ()
    lower: Fraction = Fraction(0)
    turn: float = 0.0
    beside: tuple[int, ...] = ()


def slipped(plan: Plan, numbers: Iterable[int], by: Fraction) -> Astray:
    """Return what cuts do that stand so far on, in the plan's first coordinate, because the work slipped before them."""
    chosen = set(numbers)
    return _taken(plan, [(stop, float(plan.first.value(stop.first) + by)) for stop in plan.stops if stop.n in chosen])


def mirrored(plan: Plan, numbers: Iterable[int], length: Fraction | None = None) -> Astray:
    """Return what cuts do that were made the wrong way round.

    A table was turned the other way, about its nought; a turned part was held end for end, and ``length`` is the distance between
    its faces.
    """
    chosen, end = set(numbers), length or Fraction(0)
    other_end = getattr(brought(plan.shape, "mishap"), "below_end_for_end", None)
    if other_end is not None:
        return _summed(plan, [(other_end(plan, stop, float(end)), stop.n) for stop in plan.stops if stop.n in chosen])
    return _taken(plan, [(stop, float(end - plan.first.value(stop.first))) for stop in plan.stops if stop.n in chosen])


def other_hand(plan: Plan, numbers: Iterable[int]) -> float | None:
    """Return how far cuts made the wrong way round stand below the surface of the mirrored part, mm; None where none is."""
    tell = getattr(brought(plan.shape, "mishap"), "other_hand", None)
    return None if tell is None else tell(plan, set(numbers))


def _taken(plan: Plan, cuts: list[tuple[Stop, float]]) -> Astray:
    """Return what cuts take at given places.

    Raises
    ------
    Refused
        For a shape whose wanted surface is not one line that cuts follow.
    """
    shape = brought(plan.shape, "mishap")
    worked_out(plan, "recipe", "no-astray")
    if shape is None or not hasattr(
        shape, "below"
    ):  # a scroll works out what is too deep, and not where cuts stand astray
        raise Refused("recipe", "no-astray", shape=plan.shape)
    out = getattr(shape, "outside", None)
    past = () if out is None else tuple(stop.n for stop, where in cuts if out(plan, where))
    return _summed(plan, [(shape.below(plan, stop, where), stop.n) for stop, where in cuts], past)


def _summed(plan: Plan, found: list[tuple[float, int]], past: tuple[int, ...] = ()) -> Astray:
    """Return what cuts take, from how far each goes below the wanted surface and its number."""
    shape = brought(plan.shape, "mishap")
    beside = past or (tuple(n for below, n in found if below == -math.inf) if not plan.first.angular else ())
    low = [(below, n) for below, n in found if below > UNSEEN]
    if not low:
        return Astray(beside=beside)
    below, worst = max(low, key=lambda pair: (pair[0], -pair[1]))
    lower = plan.second.up(below) * plan.second.division
    tell = getattr(shape, "turns", None)
    return Astray(below, worst, tuple(n for _, n in low), lower, 0.0 if tell is None else tell(plan, lower), beside)
