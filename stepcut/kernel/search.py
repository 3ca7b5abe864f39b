"""Small searches on a line: the lowest point of a curve, and where a curve crosses nought."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

Curve = Callable[[float], float]

_GOLDEN = (3 - math.sqrt(5)) / 2


def valley(curve: Curve, low: float, high: float, share: float = 1e-7) -> tuple[float, float]:
    """Return where a curve of one valley is lowest on an interval, and its value there.

    Parameters
    ----------
    curve : callable
        Falls and then rises (or only does one of the two).
    low, high : float
        Ends of the interval; the curve is not asked at them.
    share : float
        The place is found to this share of the interval; the value to the square of it.

    References
    ----------
    R. P. Brent, "Algorithms for Minimization without Derivatives", 1973, chapter 5 (from memory): a parabola through the
    three best places, and the golden section where it would leave the interval.

    Examples
    --------
    >>> round(valley(lambda x: (x - 0.3) ** 2 + 1, 0.0, 1.0)[0], 6)
    0.3
    """
    a, b = low, high
    best = second = third = a + _GOLDEN * (b - a)
    at_best = at_second = at_third = curve(best)
    move = before = 0.0
    tolerance = share * (high - low)
    for _ in range(60):
        middle = (a + b) / 2
        if abs(best - middle) <= 2 * tolerance - (b - a) / 2:
            break
        p = q = 0.0
        if abs(before) > tolerance:
            r = (best - second) * (at_best - at_third)
            q = (best - third) * (at_best - at_second)
            p = (best - third) * q - (best - second) * r
            q = 2 * (q - r)
            p = -p if q > 0 else p
            q = abs(q)
        if q and abs(p) < abs(q * before / 2) and q * (a - best) < p < q * (b - best):
            before, move = move, p / q
        else:
            before = (b if best < middle else a) - best
            move = _GOLDEN * before
        there = best + (move if abs(move) >= tolerance else math.copysign(tolerance, move))
        value = curve(there)
        if value <= at_best:
            a, b = (best, b) if there >= best else (a, best)
            third, at_third, second, at_second, best, at_best = second, at_second, best, at_best, there, value
        else:
            a, b = (there, b) if there < best else (a, there)
            if value <= at_second or second == best:
                third, at_third, second, at_second = second, at_second, there, value
            elif value <= at_third or third in (best, second):
                third, at_third = there, value
    return best, at_best


def lowest(curve: Curve, low: float, high: float, samples: int = 24, also: Sequence[float] = ()) -> tuple[float, float]:
    """Return where a curve of several valleys is lowest on an interval, ends included, and its value there.

    Every sampled valley is narrowed, so that a curve of a few smooth pieces is not misjudged; ``also`` names places where a
    narrow one may hide between the samples.

    Examples
    --------
    >>> round(lowest(lambda x: math.cos(x), 0.0, 6.0)[0], 5)
    3.14159
    """
    if high <= low:
        return low, curve(low)
    places = [low + (high - low) * k / samples for k in range(samples + 1)]
    if also:
        places = sorted({*places, *(x for x in also if low < x < high)})
    values = [curve(x) for x in places]
    best = min(zip(values, places, strict=True))
    last = len(places) - 1
    for k, value in enumerate(values):
        before, after = max(k - 1, 0), min(k + 1, last)
        if value <= values[before] and value <= values[after] and math.isfinite(value):
            where, depth = valley(curve, places[before], places[after])
            best = min(best, (depth, where))
    return best[1], best[0]


def crossing(gain: Curve, low: float, high: float, tiny: float = 1e-13, guess: float | None = None) -> float:
    """Return where a rising curve crosses nought: `low` when it is above it there, `high` when it never is.

    From a guess two or three secants find it; where they do not, and without a guess:

    False position; an end that stays is halved (Illinois), so that both ends close in.

    Examples
    --------
    >>> round(crossing(lambda x: x**3 - 0.2, 0.0, 1.0), 9)
    0.584803548
    """
    if guess is not None:
        near = _by_secants(gain, low, high, guess)
        if near is not None:
            return near
    inside = 1e-12 * max(1.0, abs(low), abs(high))  # the very edge may count as outside the cutter
    a, b = low + inside, high - inside
    at_a, at_b = gain(a), gain(b)
    if at_a >= 0:
        return low
    if at_b <= 0:
        return high
    side = 0
    for _ in range(80):
        middle = (a * at_b - b * at_a) / (at_b - at_a) if math.isfinite(at_b - at_a) else (a + b) / 2
        value = gain(middle)
        if abs(value) < tiny or b - a < inside:
            return middle
        if value > 0:
            b, at_b = middle, value
            at_a = at_a / 2 if side > 0 else at_a
            side = 1
        else:
            a, at_a = middle, value
            at_b = at_b / 2 if side < 0 else at_b
            side = -1
    return b


def _by_secants(gain: Curve, low: float, high: float, guess: float) -> float | None:
    """Return where a rising curve crosses nought near a guess; None when a few secants do not find it inside."""
    a = min(max(guess, low + 1e-6 * (high - low)), high - 1e-6 * (high - low))
    at_a = gain(a)
    b = a + (1e-3 if at_a < 0 else -1e-3) * (high - low)
    for _ in range(5):
        if not low < b < high or not math.isfinite(at_a):
            return None
        at_b = gain(b)
        if abs(at_b) < CLOSE:
            return b
        if at_b == at_a:
            return None
        a, at_a, b = b, at_b, b - at_b * (b - a) / (at_b - at_a)
    return None


CLOSE = 1e-11  # mm
