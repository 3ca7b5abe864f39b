"""The chance that a scale's errors cut some place below the wanted surface, and the leave that makes it small.

Each cut is off by the depth scale's error and by the slope times the table's.  The machine's file says the largest error of a
reading: it is taken as anything up to that, alike likely, and other at every cut.  Errors of the shop's own readings are taken
as normal about their mean.  Lengths are mm, slopes mm a degree.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from msgspec import Struct

ALLOWED = 0.01  # one part in a hundred


class Clear(Struct, frozen=True):
    """One cut: how far its deepest place stays above the wanted surface, mm, and the slope there, mm a degree."""

    above: float
    slope: float


class Errors(Struct, frozen=True):
    """What one cut may be off: largest error of depth (mm) and table (degrees); or mean and spread of the shop's readings."""

    depth: float = 0.0
    table: float = 0.0
    mean: float = 0.0  # of readings, found less wanted: above 0 is too deep
    spread: float | None = None  # one standard deviation; None when only the machine's file is known


def deeper(by: float, errors: Errors, slope: float) -> float:
    """Return the chance that one cut is deeper than meant by more than so much.

    Notes
    -----
    Of two evenly spread errors up to a and b, a the larger, the sum is above c with (a + b - c)^2 / (8 a b) where c is at
    least a - b, and with (a - c) / (2 a) below that: areas of a trapezium.  No outside source: derived above.

    Examples
    --------
    >>> deeper(0.01, Errors(depth=0.02), 0.0), deeper(0.03, Errors(depth=0.02), 0.0)
    (0.25, 0.0)
    """
    if errors.spread is not None:
        reach = math.hypot(errors.spread, slope * errors.table / math.sqrt(3))  # an even spread up to e has e / sqrt 3
        if reach <= 0:
            return float(by < errors.mean)
        return 0.5 * math.erfc((by - errors.mean) / reach / math.sqrt(2))
    if by < 0:
        return 1 - deeper(-by, errors, slope)
    a, b = sorted((errors.depth, abs(slope) * errors.table), reverse=True)
    if by >= a + b:
        return 0.0
    if by >= a - b:
        return (a + b - by) ** 2 / (8 * a * b) if b > 0 else 0.0
    return (a - by) / (2 * a)


def chance(cuts: Sequence[Clear], errors: Errors, more: float = 0.0) -> float:
    """Return the chance that any cut of a part goes below the wanted surface, with so much more leave than it has."""
    return _chance(Counter((cut.above, cut.slope) for cut in cuts), errors, more)


def _chance(alike: Mapping[tuple[float, float], int], errors: Errors, more: float) -> float:
    """Return the chance for cuts that are counted by how far above they stay and by their slope."""
    none = sum(
        count * math.log1p(-min(deeper(above + more, errors, slope), 1 - 1e-15))
        for (above, slope), count in alike.items()
    )
    return -math.expm1(none)


def more_leave(cuts: Sequence[Clear], errors: Errors, allowed: float = ALLOWED) -> float:
    """Return how much the leave must change, mm, for the chance to be what is allowed; below 0 when it may be less."""
    alike = Counter((cut.above, cut.slope) for cut in cuts)
    low = -max((cut.above for cut in cuts), default=0.0) - 1.0
    high = 1.0 + 8 * (errors.depth + errors.table + abs(errors.mean) + (errors.spread or 0.0))
    for _ in range(60):
        middle = (low + high) / 2
        if _chance(alike, errors, middle) > allowed:
            low = middle
        else:
            high = middle
    return high
