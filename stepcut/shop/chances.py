"""The chance that a scale's errors cut some place below the wanted surface, and the leave that makes it small.

Each cut is off by the depth scale's error and by the slope times the table's (or the first slide's).  The machine's file says the largest error of a
reading: it is taken as anything up to that, alike likely, and other at every cut.  Errors of the shop's own readings are taken
as normal about their mean.  Lengths are mm, slopes mm a degree.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct

ALLOWED = 0.01  # one part in a hundred
TINY = 1e-9


class Clear(Struct, frozen=True):
    """One cut: how far its deepest place stays above the wanted surface, mm, and the slope there, mm a degree or a mm.

    Parameters
    ----------
    above : float
        How much deeper the cut may be before it meets the wanted surface.
    slope : float
        How much that grows while the first scale reads more.
    back : float or None
        How much it grows while the first scale reads less, where a corner makes it other; None where it falls by the slope.
    share : float
        Share of the second scale's error that goes into the surface: less than 1 where it moves past it at an angle.
    """

    above: float
    slope: float
    back: float | None = None
    share: float = 1.0


class Errors(Struct, frozen=True):
    """What one cut may be off: largest error of depth (mm) and table (degrees); or mean and spread of the shop's readings."""

    depth: float = 0.0
    table: float = 0.0  # of the first scale: mm where it is a slide
    mean: float = 0.0  # of readings, found less wanted: above 0 is too deep
    spread: float | None = None  # one standard deviation; None when only the machine's file is known


def deeper(by: float, errors: Errors, slope: float, back: float | None = None, share: float = 1.0) -> float:
    """Return the chance that one cut is deeper than meant by more than so much.

    Notes
    -----
    The first scale is as likely to read too much as too little, by up to its error.  On each side the chance is the mean, over
    that error, of what the second scale's error brings.  No outside source: plain integrals of an even and a normal spread.

    Examples
    --------
    >>> deeper(0.01, Errors(depth=0.02), 0.0), deeper(0.03, Errors(depth=0.02), 0.0)
    (0.25, 0.0)
    """
    back = -slope if back is None else back
    return (_one_way(by, errors, slope * errors.table, share) + _one_way(by, errors, back * errors.table, share)) / 2


def _one_way(by: float, errors: Errors, gains: float, share: float) -> float:
    """Return the chance when the first scale errs one way, up to where it has gained so much clearance (or lost it)."""
    if errors.spread is None:
        wide, middle, gathered, at = 2 * errors.depth * share, errors.depth * share, _gathered_even, _even
    else:
        wide, middle, gathered, at = errors.spread * share, errors.mean * share, _gathered_normal, _normal
    if wide <= 0:
        if abs(gains) < TINY:
            return float(by < middle)
        return min(1.0, max(0.0, (middle - by) / gains if gains > 0 else 1 - (middle - by) / gains))
    first, last = (middle - by) / wide, (middle - by - gains) / wide
    if abs(first - last) < TINY:
        return at(first)
    return (gathered(first) - gathered(last)) / (first - last)


def _even(x: float) -> float:
    return min(1.0, max(0.0, x))


def _gathered_even(x: float) -> float:
    return 0.0 if x <= 0 else x * x / 2 if x < 1 else x - 0.5


def _normal(x: float) -> float:
    return 0.5 * math.erfc(-x / math.sqrt(2))


def _gathered_normal(x: float) -> float:
    return x * _normal(x) + math.exp(-x * x / 2) / math.sqrt(2 * math.pi)


def chance(cuts: Sequence[Clear], errors: Errors, more: float = 0.0) -> float:
    """Return the chance that any cut of a part goes below the wanted surface, with so much more leave than it has."""
    return _chance(Counter(cuts), errors, more)


def _chance(alike: Mapping[Clear, int], errors: Errors, more: float) -> float:
    """Return the chance for cuts of which equal ones are counted."""
    none = sum(
        count * math.log1p(-min(deeper(cut.above + more, errors, cut.slope, cut.back, cut.share), 1 - 1e-15))
        for cut, count in alike.items()
    )
    return -math.expm1(none)


def more_leave(cuts: Sequence[Clear], errors: Errors, allowed: float = ALLOWED) -> float:
    """Return how much the leave must change, mm, for the chance to be what is allowed; below 0 when it may be less."""
    alike = Counter(cuts)
    low = -max((cut.above for cut in cuts), default=0.0) - 1.0
    high = 1.0 + 8 * (errors.depth + errors.table + abs(errors.mean) + (errors.spread or 0.0))
    for _ in range(60):
        middle = (low + high) / 2
        if _chance(alike, errors, middle) > allowed:
            low = middle
        else:
            high = middle
    return high
