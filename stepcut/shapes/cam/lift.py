"""A lift table: rows of angle and lift joined by a smooth curve, level at its dwells.

Notes
-----
From dwell to dwell the rows are joined by a cubic spline, so that neither the slope nor the bend of the lift jumps: a follower's
rim follows both.  A highest lift between two rows is found and becomes a row.  Where the spline would swing between rows that
only rise or only fall, that rise or fall takes the slopes of Fritsch and Butland instead, which never do.

References
----------
.. [1] C. de Boor, "A Practical Guide to Splines", chapter IV: cubic spline interpolation with given end slopes.
.. [2] F. N. Fritsch, J. Butland, "A Method for Constructing Local Monotone Piecewise Cubic Interpolants", SIAM Journal on
   Scientific and Statistical Computing 5 (1984), equation 5.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise

from stepcut.kernel.line import Stretch, straight

Row = tuple[float, float]  # degrees, mm
Knot = tuple[float, float, float]  # degrees, mm, mm a degree


def knots(rows: Sequence[Row], closed: bool) -> list[Knot]:
    """Return the rows with their slopes, and a row more for each highest or lowest lift between two.

    Parameters
    ----------
    rows : sequence of Row
        From angle 0 on.
    closed : bool
        Whether the last row is the first one, a turn on.
    """
    dwells = [k for k, (a, b) in enumerate(pairwise(rows)) if a[1] == b[1]]
    if closed and not dwells:  # a turn before and a turn after: the ends of three turns do not matter in the middle one
        turns = [(at + 360.0 * turn, lift) for turn in (-1, 0, 1) for at, lift in rows[:-1]]
        whole = [*turns, (720.0, rows[0][1])]
        return [knot for knot in _group(whole, 0.0, 0.0) if -1e-9 <= knot[0] <= 360.0 + 1e-9]
    found: list[Knot] = []
    begin = 0
    for k in [*dwells, len(rows) - 1]:
        if k > begin:
            group = rows[begin : k + 1]
            first = 0.0 if begin > 0 or rows[-1][0] >= 360.0 else _end_slope(group)
            last = 0.0 if k < len(rows) - 1 or rows[-1][0] >= 360.0 else _end_slope(group[::-1])
            found += _group(group, first, last)
        else:
            found.append((*rows[k], 0.0))
        begin = k + 1
    return found


def _end_slope(rows: Sequence[Row]) -> float:
    """Return the slope of a parabola through the first three rows at the first, where nothing says that it is level."""
    if len(rows) < 3:
        return (rows[1][1] - rows[0][1]) / (rows[1][0] - rows[0][0])
    (a, p), (b, q), (c, r) = rows[:3]
    near, far = (q - p) / (b - a), (r - q) / (c - b)
    return near + (near - far) * (b - a) / (c - a)


def _group(rows: Sequence[Row], first: float, last: float) -> list[Knot]:
    """Return the rows between two dwells with their slopes; those at both ends are given."""
    rates = _spline(rows, first, last)
    for begin, end in runs(rows):
        if any(_swings(rows, rates, k, begin, end) for k in range(begin, end)):
            calm = _calm(rows[begin : end + 1])
            kept = slice(begin + (begin == 0), end + (end < len(rows) - 1))
            rates[kept] = calm[kept.start - begin : kept.stop - begin]
    found: list[Knot] = []
    for k, (at, lift) in enumerate(rows):
        found.append((at, lift, rates[k]))
        if k + 1 < len(rows):
            found += _turns(rows, rates, k)
    return found


def _spline(rows: Sequence[Row], first: float, last: float) -> list[float]:
    """Return the slopes of the cubic spline with given slopes at both ends; by elimination. [1]"""
    count = len(rows)
    if count < 3:
        return [first, last]
    steps = [b[0] - a[0] for a, b in pairwise(rows)]
    rises = [b[1] - a[1] for a, b in pairwise(rows)]
    upper, right = [0.0] * count, [first, *[0.0] * (count - 2), last]
    for k in range(1, count - 1):
        below, above = 1 / steps[k - 1], 1 / steps[k]
        middle = 2 * (below + above) - below * upper[k - 1]
        upper[k] = above / middle
        right[k] = (3 * (rises[k - 1] * below**2 + rises[k] * above**2) - below * right[k - 1]) / middle
    for k in range(count - 2, 0, -1):
        right[k] -= upper[k] * right[k + 1]
    return right


def _roots(rows: Sequence[Row], rates: Sequence[float], k: int) -> list[float]:
    """Return where, as shares of the way from a row to the next, the curve is level."""
    step = rows[k + 1][0] - rows[k][0]
    a, b, rise = rates[k] * step, rates[k + 1] * step, rows[k + 1][1] - rows[k][1]
    # slope(t) = a + t (6 rise - 4 a - 2 b) + t^2 (3 a + 3 b - 6 rise)
    p, q = 3 * (a + b) - 6 * rise, 6 * rise - 4 * a - 2 * b
    if abs(p) < 1e-12:
        found = [-a / q] if abs(q) > 1e-12 else []
    else:
        inside = q * q - 4 * p * a
        if inside <= 0:
            return []
        found = [(-q + way * math.sqrt(inside)) / (2 * p) for way in (1, -1)]
    return sorted(t for t in found if 1e-6 < t < 1 - 1e-6)


def _swings(rows: Sequence[Row], rates: Sequence[float], k: int, begin: int, end: int) -> bool:
    """Whether the curve turns between two rows where the rows do not: next to a highest or lowest row it may turn once."""
    roots = _roots(rows, rates, k)
    turns = (k == begin and begin > 0) or (k + 1 == end and end < len(rows) - 1)
    return len(roots) > 1 or (len(roots) == 1 and not turns)


def _turns(rows: Sequence[Row], rates: Sequence[float], k: int) -> Iterator[Knot]:
    """Yield the place between two rows where the curve is highest or lowest."""
    curve = Curve(rows[k : k + 2], rates[k : k + 2])
    for share in _roots(rows, rates, k):
        at = rows[k][0] + share * (rows[k + 1][0] - rows[k][0])
        yield at, curve.lift(at), 0.0


def _calm(rows: Sequence[Row]) -> list[float]:
    """Return slopes of one rise or fall that never swing: a weighted harmonic mean, level at both ends. [2]"""
    steps = [b[0] - a[0] for a, b in pairwise(rows)]
    rates = [(b[1] - a[1]) / step for (a, b), step in zip(pairwise(rows), steps, strict=True)]
    inner = []
    for before, after, low, high in zip(rates, rates[1:], steps, steps[1:], strict=False):
        a, b = 2 * high + low, high + 2 * low
        inner.append((a + b) / (a / before + b / after))
    return [0.0, *inner, 0.0]


class Curve:
    """The rows of one rise or fall with their curve; asked for lift and slope at an angle."""

    def __init__(self, rows: Sequence[Row], rates: Sequence[float]) -> None:
        self.begins = [at for at, _ in rows][:-1]
        self.pieces = [
            (a[0], b[0] - a[0], a[1], b[1], p, q)
            for (a, b), (p, q) in zip(pairwise(rows), pairwise(rates), strict=True)
        ]

    def lift(self, at: float) -> float:
        """Return the lift at an angle, mm."""
        begin, length, a, b, first, last = self.pieces[max(bisect_right(self.begins, at) - 1, 0)]
        t = (at - begin) / length
        u = 1 - t
        return a * (1 + 2 * t) * u * u + b * (3 - 2 * t) * t * t + length * t * u * (first * u - last * t)

    def slope(self, at: float) -> float:
        """Return its change, mm a degree."""
        begin, length, a, b, first, last = self.pieces[max(bisect_right(self.begins, at) - 1, 0)]
        t = (at - begin) / length
        ends = first * (1 - t) * (1 - 3 * t) + last * t * (3 * t - 2)
        return 6 * (b - a) / length * t * (1 - t) + ends


def stretches(rows: Sequence[Row], base: float, closed: bool) -> Iterator[Stretch]:
    """Yield a table as stretches of depth, mm below nought: one for each rise and fall, a level one for each dwell."""
    made = knots(rows, closed)
    places = [(at, lift) for at, lift, _ in made]
    for begin, end in runs(places):
        (a, low), (b, high) = places[begin], places[end]
        if low == high and end == begin + 1:
            yield straight(a, b, -(base + low), -(base + low))
            continue
        curve = Curve(places[begin : end + 1], [rate for *_, rate in made[begin : end + 1]])

        def depth(x: float, curve: Curve = curve) -> float:
            return -(base + curve.lift(x))

        def slope(x: float, curve: Curve = curve) -> float:
            return -curve.slope(x)

        yield Stretch(a, b, -(base + low), -(base + high), depth, slope, False)


def runs(rows: Sequence[Row]) -> Iterator[tuple[int, int]]:
    """Yield the first and the last row of each rise, fall and dwell.

    Examples
    --------
    >>> list(runs([(0.0, 0.0), (10.0, 1.0), (20.0, 2.0), (30.0, 2.0), (40.0, 0.0)]))
    [(0, 2), (2, 3), (3, 4)]
    """

    def way(k: int) -> int:
        a, b = rows[k][1], rows[k + 1][1]
        return (b > a) - (b < a)

    begin = 0
    for k in range(1, len(rows) - 1):
        if way(k) != way(k - 1):
            yield begin, k
            begin = k
    yield begin, len(rows) - 1
