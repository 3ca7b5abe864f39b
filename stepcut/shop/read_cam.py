"""From readings round a rim to the cam: a dwell, a rise, a dwell and a fall, each way up fitted as one ramp.

The rim is cut open where it is highest and where it is lowest.  The way up is fitted as it stands, the way down from its low end,
so that both grow from the base; what both say of base and lift must go together.  Angles are degrees, radii mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from stepcut.machine import Turning
from stepcut.shop.doubts import misread
from stepcut.shop.fitting import rising_rest
from stepcut.shop.found_shape import Figure, Found, Nothing
from stepcut.shop.one_ramp import Fold
from stepcut.shop.reading import EACH, FEWEST, SURE, judged, motions_of

NEAR = 0.15  # share of the lift: what lies so near to the highest or lowest reading is looked at as its dwell
BEYOND = 0.3  # share of a half that its ends may lie outside it: where there is no dwell it is cut beside the peak
UNSEEN = 90.0  # degrees: what was not measured of a rim may hide a lobe when it is more than a quarter
BETTER = 1.1  # a cut beside the middle of a dwell must leave so many times less to be taken


class _Cut(NamedTuple):
    """Where the rim is cut open: indices of the first reading of the way up and of the way down."""

    low: int
    high: int


def cam(
    angles: Sequence[float],
    radii: Sequence[float],
    turning: Turning,
    division: float = 0.0,
    error: float | None = None,
) -> Found | Nothing:
    """Return the cam that fits readings of angle and radius round a whole rim; one rise and one fall.

    Parameters
    ----------
    angles, radii : sequence of float
        Degrees round the part, and mm from its axis.
    turning : str
        The way the angles grow round the part, seen facing it.
    division, error : float
        Smallest mark of the radii, and what one reading may be off, mm.

    Notes
    -----
    Either way is held in the square root of 95 of 100, so that both together are in 95.
    """
    found = _cam(angles, radii, turning, division, error)
    odd = misread(lambda a, r: _cam(a, r, turning, division, error), angles, radii, found, True)
    return found if odd is None else Nothing("misread", place=odd)


def _cam(
    angles: Sequence[float], radii: Sequence[float], turning: Turning, division: float, error: float | None
) -> Found | Nothing:
    n = len(angles)
    if n >= EACH and _widest_gap(angles) > UNSEEN:
        return Nothing("part-rim")
    if n < 2 * FEWEST:
        return Nothing("too-few")
    row = sorted((angle % 360.0, radius) for angle, radius in zip(angles, radii, strict=True))
    cut = _cut(row)
    if cut is None:
        return Nothing("lobes")
    ways = []
    for way, first, last in ((1, cut.low, cut.high), (-1, cut.high, cut.low)):
        half = _half(row, first, last, way)
        if len(half.places) < FEWEST:
            return Nothing("too-few")
        found = judged(motions_of([half]), turning, len(half.places) * division**2 / 12, error, SURE**0.5)
        if isinstance(found, Nothing):
            return found
        ways.append(found)
    return _joined(ways[0], ways[1], sorted(range(n), key=lambda k: angles[k] % 360.0), cut)


def _widest_gap(angles: Sequence[float]) -> float:
    """Return the widest stretch of the rim without a reading, degrees."""
    around = sorted(angle % 360.0 for angle in angles)
    return max(after - before for before, after in pairwise([*around, around[0] + 360.0]))


def _cut(row: list[tuple[float, float]]) -> _Cut | None:
    """Return where to cut a rim open; None where it has more than one highest or lowest stretch."""
    n = len(row)
    reach = max(1, n // 24)
    smooth = [sum(row[(k + i) % n][1] for i in range(-reach, reach + 1)) / (2 * reach + 1) for k in range(n)]
    low, high = min(smooth), max(smooth)
    share = NEAR * (high - low)
    tops = _stretch([value >= high - share for value in smooth])
    feet = _stretch([value <= low + share for value in smooth])
    if tops is None or feet is None:
        return None

    def rest(cut: _Cut) -> float:
        return sum(rising_rest(_half(row, *ends).depths) for ends in ((cut.low, cut.high, 1), (cut.high, cut.low, -1)))

    best = _Cut(feet[len(feet) // 2], tops[len(tops) // 2])
    for name, places in (("high", tops), ("low", feet)):
        other = min((best._replace(**{name: k}) for k in places), key=rest)
        if rest(best) > BETTER * rest(other):
            best = other
    return best


def _stretch(marks: list[bool]) -> list[int] | None:
    """Return the indices of the one stretch of marks round a circle, in order; None when there are several, or all are one."""
    n = len(marks)
    begins = [k for k in range(n) if marks[k] and not marks[k - 1]]
    if len(begins) != 1:
        return None
    found = []
    k = begins[0]
    while marks[k % n]:
        found.append(k % n)
        k += 1
    return found


def _half(row: list[tuple[float, float]], first: int, last: int, way: int) -> Fold:
    """Return the readings from one index to before another, round the circle, in the way in which the radius grows."""
    n = len(row)
    count = (last - first) % n or n
    picked = [((first + k) % n, row[(first + k) % n][0] + (360.0 if first + k >= n else 0.0)) for k in range(count)]
    picked = picked if way > 0 else [(k, -at) for k, at in reversed(picked)]
    places = tuple(at for _, at in picked)
    depths = tuple(row[k][1] for k, _ in picked)
    return Fold(
        1,
        way,
        places,
        depths,
        tuple(range(count)) if way > 0 else tuple(range(count))[::-1],
        (1 + BEYOND) * (places[-1] - places[0]),
        rising_rest(depths),
    )


def _joined(up: Found, down: Found, order: list[int], cut: _Cut) -> Found | Nothing:
    """Return one cam of its two ways, with what each reading stands over it in the order of the readings."""
    figures: dict[str, Figure] = {}
    for name, own in (("base", "start"), ("lift", "rise")):
        one, two = up.figures[own], down.figures[own]
        low, high = max(one.low, two.low), min(one.high, two.high)
        if low > high:
            return Nothing("waves", max(up.scatter, down.scatter), one.best)
        figures[name] = Figure(min(max((one.best + two.best) / 2, low), high), low, high)
    figures["rise-begin"], figures["rise-span"] = up.figures["high"], up.figures["span"]
    figures["fall-end"], figures["fall-span"] = down.figures["high"], down.figures["span"]
    n = len(order)
    laid = {(cut.low + k) % n: -value for k, value in enumerate(up.left)}
    laid |= {(cut.high + k) % n: -value for k, value in enumerate(down.left)}
    left = [0.0] * n
    for k, index in enumerate(order):
        left[index] = laid[k]
    return Found("cam", figures, tuple(left), max(up.scatter, down.scatter), up.motions, falls=down.motions)
