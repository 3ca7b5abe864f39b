"""From a part that exists to its shape: what fits the measured places and depths, how well, and how surely.

Places round a table are folded into one ramp; a motion is tried on every number of ramps and both hands.  Nothing is called a shape that does not stand well out of the scatter of its own readings.

Depths, diameters and places along the axis are mm, angles degrees.  Angles grow in ``turning``, seen facing the part.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from msgspec.structs import replace

from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Turning
from stepcut.shop.doubts import misread, rises_apart
from stepcut.shop.fitting import f_quantile
from stepcut.shop.found_shape import Figure, Found, Nothing
from stepcut.shop.one_ramp import TABLES, At, Fit, Fold, folded

SURE = 0.95  # all figures of a shape hold together in this share of parts measured alike
FEWEST = 8  # readings round a table; four figures and the scatter are to be found
MOST_RAMPS = 12
CLEAR = 12.0  # a rise must stand so many times out of the scatter; noise reaches about 4 in the tests
EACH = 4  # readings for each ramp, at least
WAVES = 0.7  # a ratio of neighbours' differences below this (2 when they are scatter) is a pattern, not scatter
FINE = 60.0  # with a rise so many times the scatter a pattern is no more than the steps of the cut


def ramp(
    angles: Sequence[float],
    depths: Sequence[float],
    turning: Turning,
    division: float = 0.0,
    error: float | None = None,
    ramps: int | None = None,
) -> Found | Nothing:
    """Return the ramps that fit readings of angle and depth.

    Parameters
    ----------
    angles, depths : sequence of float
        Degrees, and depth below the face in mm, in any order.
    turning : str
        The way the angles grow round the part, seen facing it.
    division : float
        Smallest mark of the depths, mm.
    error : float or None
        What one reading may be off, mm; a shape that leaves more over is none.
    ramps : int or None
        How many ramps there are, where that is known.

    Notes
    -----
    Four figures and a scatter are found, so that the region of all four is that of [2] in ``fitting``.
    """
    found = _ramp(angles, depths, turning, division, error, ramps)
    odd = misread(lambda a, d: _ramp(a, d, turning, division, error, ramps), angles, depths, found, True)
    return found if odd is None else Nothing("misread", place=odd)


def _ramp(
    angles: Sequence[float],
    depths: Sequence[float],
    turning: Turning,
    division: float,
    error: float | None,
    ramps: int | None,
) -> Found | Nothing:
    n = len(angles)
    if n < FEWEST:
        return Nothing("too-few")
    counts = _counts(angles) if ramps is None else [ramps]
    folds = [
        fold for way in (1, -1) for fold in _apart([folded(angles, depths, count, way) for count in counts], angles)
    ]
    least = min(fold.rest for fold in folds)
    floor = n * division**2 / 12
    reach = max(depths) - min(depths)
    if reach < CLEAR * math.sqrt(least / (n - 4)):  # no motion leaves less than the best falling line of any form
        return Nothing("scatter", math.sqrt(least / (n - 4)), reach)
    likely = [fold for fold in folds if fold.rest <= 6 * least + floor + n * (reach / 200) ** 2]
    found = judged(motions_of(sorted(likely, key=lambda fold: fold.rest)[:MOST_RAMPS]), turning, floor, error)
    if isinstance(found, Nothing):
        return found
    unlike = _unlike(found, angles, depths, turning)
    return unlike if unlike is not None else _with_dwells(found, angles, depths, turning)


def _unlike(found: Found, angles: Sequence[float], depths: Sequence[float], turning: Turning) -> Nothing | None:
    """Return that the ramps differ, with the rise of each; None where they are alike or not told apart."""
    if len(found.ramps) != 1 or found.ramps[0] == 1:
        return None
    way = 1 if found.rises == _other(turning) else -1
    fold = folded(angles, depths, found.ramps[0], way)
    high, span = way * found.figures["high"].best, found.figures["span"].best
    at = At(high, high + span, 0.0, 1.0, 0.0, 0.0, 0.0)
    law = MOTIONS[found.motions[0]]
    first = fold.places[0]
    shares, owners = [], []
    for angle in angles:
        ramp, past = divmod(way * angle - first, fold.period)
        x = (first + past - at.high) / at.span
        x -= round((first + fold.period / 2 - at.high - at.span / 2) / fold.period) * fold.period / at.span
        shares.append(law.share(min(max(x, 0.0), 1.0)))
        owners.append(int(ramp) % found.ramps[0])
    rises = rises_apart(shares, depths, owners, sum(left * left for left in found.left))
    if rises is None:
        return None
    for k, ramp in enumerate(sorted(set(owners))):
        own = [i for i, owner in enumerate(owners) if owner == ramp]
        one = _ramp([angles[i] for i in own], [depths[i] for i in own], turning, 0.0, None, found.ramps[0])
        rises[k] = one.figures["rise"].best if isinstance(one, Found) else rises[k]
    return Nothing("unlike", found.scatter, rises=tuple(rises))


def _apart(folds: Sequence[Fold], angles: Sequence[float]) -> list[Fold]:
    """Return folds without those that lay all readings on one ramp as another with fewer ramps does: it stands for them."""
    covered = (
        _covered(angles) + 1e-9
    )  # where a riser was read among them, they are laid in two parts, farther apart with each number
    whole = [
        fold for fold in folds
        if covered * fold.ramps <= 360.0 + 1e-6 and fold.places[-1] - fold.places[0] <= covered
    ]  # fmt: skip
    if not whole:
        return list(folds)
    kept = replace(whole[0], also=tuple(fold.ramps for fold in whole[1:]))
    return [kept, *(fold for fold in folds if fold not in whole)]


def _covered(angles: Sequence[float]) -> float:
    """Return the stretch round a table outside which there is no reading, degrees."""
    around = sorted(angle % 360.0 for angle in angles)
    return 360.0 - max(b - a for a, b in pairwise([*around, around[0] + 360.0]))


def _counts(angles: Sequence[float]) -> list[int]:
    """Return the numbers of ramps that readings can tell of: enough of them for each, or all of them on one."""
    covered = _covered(angles)
    return [n for n in range(1, MOST_RAMPS + 1) if n * EACH <= len(angles) or covered * n <= 360.0]


def motions_of(folds: Sequence[Fold]) -> list[tuple[Fit, At]]:
    """Return every motion on every fold that it fits at all."""
    fits: list[tuple[Fit, At]] = []
    for fold in folds:
        first = Fit(fold, "uniform")
        plain = first.best()
        if plain is None:
            continue
        fits.append((first, plain))
        for motion in TABLES:
            if motion != "uniform":
                curve = Fit(fold, motion)
                middle, wide = (plain.high + plain.low) / 2, plain.span * MOTIONS[motion].steepest / 2
                bent = curve.best((max(middle - wide, curve.earliest), min(middle + wide, curve.latest)))
                if bent is not None:
                    fits.append((curve, bent))
    return fits


def judged(
    fits: list[tuple[Fit, At]], turning: Turning, floor: float, error: float | None, sure: float = SURE
) -> Found | Nothing:
    """Return the best fit with all that the readings allow beside it, or why it is none."""
    if not fits:
        return Nothing("no-rise")
    fits.sort(key=lambda pair: pair[1].rest)
    fit, best = fits[0]
    n = len(fit.fold.depths)
    variance = max(best.rest, floor) / (n - 4)
    scatter = math.sqrt(variance)
    left = [depth - _depth(best, fit, place) for place, depth in zip(fit.fold.places, fit.fold.depths, strict=True)]
    seen = max(fit.fold.depths) - min(fit.fold.depths)
    if min(best.rise, seen) < CLEAR * scatter:
        return Nothing("scatter", scatter, best.rise)
    if sum(best.high < place < best.low for place in fit.fold.places) < 3:
        return Nothing("scatter", scatter, best.rise)
    if why := strays(left, best.rest, error, min(best.rise, seen) < FINE * scatter):
        return Nothing(why, scatter, best.rise)
    limit = max(best.rest, floor) + variance * 4 * f_quantile(sure, 4, n - 4)
    allowed = [(f, at) for f, at in fits if at.rest <= limit]
    figures: dict[str, list[tuple[float, float]]] = {}
    counts: set[int] = set()
    for each, at in allowed:
        for inner in each.region(at, limit):
            counts.update(each.counts(inner))
            for name, span in _spread(inner, max(0.0, limit - inner.rest)).items():
                figures.setdefault(name, []).append(span)
    centre = _spread(best, 0.0)
    down = turning if fit.fold.way > 0 else _other(turning)
    if fit.fold.way < 0:  # back to the user's angles
        figures["high"] = [(-b, -a) for a, b in figures["high"]]
        centre["high"] = (-best.high, -best.high)
    back = sorted(zip(fit.fold.order, left, strict=True))
    return Found(
        "ramp",
        {name: Figure(centre[name][0], min(a for a, _ in spans), max(b for _, b in spans)) for name, spans in figures.items()},
        tuple(-value for _, value in back),
        scatter,
        tuple(dict.fromkeys(f.motion for f, _ in allowed)),
        tuple(sorted(counts)),
        _other(down),
    )  # fmt: skip


def _with_dwells(found: Found, angles: Sequence[float], depths: Sequence[float], turning: Turning) -> Found:
    """Return a ramp with how far it stays level at its ends, degrees, where the number of ramps is known.

    The riser stands somewhere between the last reading of the ramp before and the first of this one: so far a dwell is unsure.
    """
    if len(found.ramps) != 1:
        return found
    way = 1 if found.rises == _other(turning) else -1
    fold = folded(angles, depths, found.ramps[0], way)
    high, span = found.figures["high"], found.figures["span"]
    begins = high if way > 0 else Figure(-high.best, -high.high, -high.low)
    turns = round((fold.places[0] - begins.best) / fold.period)
    first, last = (
        fold.places[0] - turns * fold.period,
        fold.places[-1] - (turns + 1) * fold.period,
    )  # the riser is between
    if begins.best < last:
        first, last = first - fold.period, last - fold.period
    ends = {
        "dwell-high": Figure(begins.best - (first + last) / 2, begins.low - first, begins.high - last),
        "dwell-low": Figure(
            (first + last) / 2 + fold.period - begins.best - span.best, last + fold.period - begins.high - span.high,
            first + fold.period - begins.low - span.low,
        ),
    }  # fmt: skip
    level = {name: Figure(max(0.0, f.best), max(0.0, f.low), max(0.0, f.high)) for name, f in ends.items()}
    return replace(found, figures={**found.figures, **level})


def _spread(at: At, slack: float) -> dict[str, tuple[float, float]]:
    """Return least and most of every figure at one pair of places, for what the sum of squares may still grow."""
    rise, start = math.sqrt(slack * at.per_rise), math.sqrt(slack * at.per_start)
    return {
        "rise": (at.rise - rise, at.rise + rise),
        "span": (at.span, at.span),
        "start": (at.start - start, at.start + start),
        "high": (at.high, at.high),
        "slope": ((at.rise - rise) / at.span, (at.rise + rise) / at.span),
    }


def _depth(at: At, fit: Fit, place: float) -> float:
    x = min(max((place - at.high) / at.span, 0.0), 1.0)
    return at.start + at.rise * MOTIONS[fit.motion].share(x)


def _other(turning: Turning) -> Turning:
    return "anticlockwise" if turning == "clockwise" else "clockwise"


def strays(left: Sequence[float], rest: float, error: float | None, coarse: bool) -> Literal["error", "waves"] | None:
    """Return why readings beside which a shape lies are none of it; None where nothing speaks against it.

    Parameters
    ----------
    left : sequence of float
        What each leaves over, in order of their places, mm.
    rest : float
        The sum of their squares, mm^2.
    error : float or None
        What one reading may be off, mm.
    coarse : bool
        Whether the shape stands so little out of the scatter that a pattern in it is no mere trace of the steps of the cut.
    """
    n = len(left)
    if error is not None and math.sqrt(rest / n) > error:
        return "error"
    return "waves" if coarse and n >= FEWEST and neighbours(left) < WAVES else None


def neighbours(left: Sequence[float]) -> float:
    """Return the sum of squared differences of neighbours over the sum of squares: 2 for scatter, near 0 for waves.

    References
    ----------
    J. von Neumann, "Distribution of the ratio of the mean square successive difference to the variance" (1941).
    """
    whole = sum(value * value for value in left)
    return sum((b - a) ** 2 for a, b in pairwise(left)) / whole if whole > 1e-18 else 2.0
