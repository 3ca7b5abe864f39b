"""From a part that exists to its shape: what fits the measured places and depths, how well, and how surely.

Places round a table are folded into one ramp; a motion is tried on every number of ramps and both hands.  Turned places are
tried as a cone and as an arc.  Nothing is called a shape that does not stand well out of the scatter of its own readings.

Depths, diameters and places along the axis are mm, angles degrees.  Angles grow in ``turning``, seen facing the part.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Turning
from stepcut.shop.fitting import circle, f_quantile, straight
from stepcut.shop.one_ramp import TABLES, At, Fit, Fold, folded
from stepcut.shop.read_fillet import Fillet, fillet

SURE = 0.95  # all figures of a shape hold together in this share of parts measured alike
FEWEST = 8  # readings round a table; four figures and the scatter are to be found
MOST_RAMPS = 12
CLEAR = 12.0  # a rise must stand so many times out of the scatter; noise reaches about 4 in the tests
EACH = 4  # readings for each ramp, at least
WAVES = 0.7  # a ratio of neighbours' differences below this (2 when they are scatter) is a pattern, not scatter
FINE = 60.0  # with a rise so many times the scatter a pattern is no more than the steps of the cut


class Figure(Struct, frozen=True):
    """One number of a shape: the likeliest, and the least and most that the readings allow."""

    best: float
    low: float
    high: float


class Found(Struct, frozen=True):
    """A shape that fits.

    Parameters
    ----------
    shape : str
        ramp, taper, radius, fillet or cam.
    motions : tuple of str
        Motions that the readings allow, the likeliest first; empty for turned shapes.
    ramps : tuple of int
        Numbers of ramps that they allow.
    rises : str or None
        The hand of a ramp, seen facing it.
    figures : mapping
        By name: rise, span, start (depth of the high end), high (place of the high end of one ramp), slope (mm a degree);
        slope (change of diameter over length), large, small, length; radius, centre (along the axis), axis (centre above it); of
        a fillet diameter, radius, at (where it begins); of a cam base, lift, rise-begin, rise-span, fall-span, fall-end.
    left : tuple of float
        What each reading stands over (+) the shape or under it, mm.
    scatter : float
        Their spread, mm (one standard deviation).
    """

    shape: str
    figures: dict[str, Figure]
    left: tuple[float, ...]
    scatter: float
    motions: tuple[str, ...] = ()
    ramps: tuple[int, ...] = ()
    rises: Turning | None = None
    hollow: bool = False  # of an arc: it bends toward the axis
    falls: tuple[str, ...] = ()  # of a cam: motions that its fall allows; the others are those of its rise


class Nothing(Struct, frozen=True):
    """No shape: why, and the figures of the sentence."""

    code: str
    scatter: float = 0.0
    rise: float = 0.0


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
    n = len(angles)
    if n < FEWEST:
        return Nothing("too-few")
    counts = range(1, min(MOST_RAMPS, n // EACH) + 1) if ramps is None else (ramps,)
    folds = [folded(angles, depths, count, way) for count in counts for way in (1, -1)]
    least = min(fold.rest for fold in folds)
    floor = n * division**2 / 12
    reach = max(depths) - min(depths)
    if reach < CLEAR * math.sqrt(least / (n - 4)):  # no motion leaves less than the best falling line of any form
        return Nothing("scatter", math.sqrt(least / (n - 4)), reach)
    likely = [fold for fold in folds if fold.rest <= 6 * least + floor + n * (reach / 200) ** 2]
    found = judged(motions_of(sorted(likely, key=lambda fold: fold.rest)[:6]), turning, floor, error)
    return found if isinstance(found, Nothing) else _with_dwells(found, angles, depths, turning)


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
    if error is not None and math.sqrt(best.rest / n) > error:
        return Nothing("error", scatter, best.rise)
    if n >= FEWEST and neighbours(left) < WAVES and min(best.rise, seen) < FINE * scatter:
        return Nothing("waves", scatter, best.rise)
    limit = max(best.rest, floor) + variance * 4 * f_quantile(sure, 4, n - 4)
    allowed = [(f, at) for f, at in fits if at.rest <= limit]
    figures: dict[str, list[tuple[float, float]]] = {}
    for each, at in allowed:
        for inner in each.region(at, limit):
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
        tuple(sorted({f.fold.ramps for f, _ in allowed})),
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


def neighbours(left: Sequence[float]) -> float:
    """Return the sum of squared differences of neighbours over the sum of squares: 2 for scatter, near 0 for waves.

    References
    ----------
    J. von Neumann, "Distribution of the ratio of the mean square successive difference to the variance" (1941).
    """
    whole = sum(value * value for value in left)
    return sum((b - a) ** 2 for a, b in pairwise(left)) / whole if whole > 1e-18 else 2.0


def turned(
    places: Sequence[float], diameters: Sequence[float], division: float = 0.0, error: float | None = None
) -> Found | Nothing:
    """Return the cone or the arc that fits readings of place along the axis and diameter.

    Notes
    -----
    A cone has two figures, an arc three; the arc is taken only where it leaves so much less over that chance would do it
    once in a thousand cones.
    """
    n = len(places)
    if n < 5:
        return Nothing("too-few")
    line = straight(places, diameters)
    if line is None:
        return Nothing("no-rise")
    radii = [diameter / 2 for diameter in diameters]
    floor = n * division**2 / 12
    arc = circle(places, radii)
    rest = max(line.rest, floor)
    bent = fillet(places, radii) if n >= FEWEST else None
    if bent is not None and arc is not None:
        less = max(4 * bent.rest, floor)
        if all(
            (other - less) / (less / (n - 3)) > f_quantile(0.999, 1, n - 3)
            for other in (rest, max(4 * arc.rest, floor))
        ):
            return _fillet(places, radii, bent, (floor / 4, error))
    if arc is not None and n >= 6:
        less = max(4 * arc.rest, floor)
        if (rest - less) / (less / (n - 3)) > f_quantile(0.999, 1, n - 3):
            return _arc(places, radii, floor / 4, error)
    variance = rest / (n - 2)
    scatter, length = math.sqrt(variance), max(places) - min(places)
    left = [d - line.at(z) for z, d in zip(places, diameters, strict=True)]
    odds = line.slope**2 / (variance * line.per_slope)
    if odds < f_quantile(0.9999, 1, n - 2) or abs(line.slope) * length < CLEAR / 3 * scatter:
        return Nothing("no-slope", scatter, abs(line.slope) * length)
    if error is not None and math.sqrt(line.rest / n) > error:
        return Nothing("error", scatter, abs(line.slope) * length)
    ordered = [value for _, value in sorted(zip(places, left, strict=True))]
    if n >= FEWEST and neighbours(ordered) < WAVES and abs(line.slope) * length < FINE * scatter:
        return Nothing("waves", scatter, abs(line.slope) * length)
    wide = variance * 2 * f_quantile(SURE, 2, n - 2)
    ends = []
    for z in (min(places), max(places)):
        half = math.sqrt(wide * (line.per_level + (z - line.middle) ** 2 * line.per_slope))
        ends.append(Figure(line.at(z), line.at(z) - half, line.at(z) + half))
    tilt = math.sqrt(wide * line.per_slope)
    ends.sort(key=lambda figure: figure.best)
    slope = abs(line.slope)
    figures = {
        "slope": Figure(slope, slope - tilt, slope + tilt),
        "large": ends[1],
        "small": ends[0],
        "length": Figure(length, length, length),
    }
    return Found("taper", figures, tuple(left), scatter)


def _fillet(
    places: Sequence[float], radii: Sequence[float], bent: Fillet, limits: tuple[float, float | None]
) -> Found | Nothing:
    n, (floor, error) = len(places), limits
    variance = max(bent.rest, floor) / (n - 3)
    scatter, grows = math.sqrt(variance), max(radii) - min(radii)
    left = [r - bent.at(z) for z, r in zip(places, radii, strict=True)]
    if grows < CLEAR * scatter:
        return Nothing("scatter", scatter, grows)
    if error is not None and math.sqrt(bent.rest / n) > error:
        return Nothing("error", scatter, grows)
    ordered = [value for _, value in sorted(zip(places, left, strict=True))]
    if neighbours(ordered) < WAVES and grows < FINE * scatter:
        return Nothing("waves", scatter, grows)
    wide = variance * 3 * f_quantile(SURE, 3, n - 3)
    base, begins, size = (math.sqrt(wide * per) for per in bent.spread)
    figures = {
        "diameter": Figure(2 * bent.base, 2 * (bent.base - base), 2 * (bent.base + base)),
        "at": Figure(bent.begins, bent.begins - begins, bent.begins + begins),
        "radius": Figure(bent.radius, bent.radius - size, bent.radius + size),
    }
    return Found("fillet", figures, tuple(left), scatter, hollow=True, rises=None)


def _arc(places: Sequence[float], radii: Sequence[float], floor: float, error: float | None) -> Found | Nothing:
    arc = circle(places, radii)
    assert arc is not None  # noqa: S101  # the caller has one
    n = len(places)
    variance = max(arc.rest, floor) / (n - 3)
    scatter = math.sqrt(variance)
    left = [math.hypot(z - arc.x, r - arc.y) - arc.radius for z, r in zip(places, radii, strict=True)]
    bulge = max(abs(r - _chord(places, radii, z)) for z, r in zip(places, radii, strict=True))
    if bulge < CLEAR * scatter:
        return Nothing("scatter", scatter, bulge)
    if error is not None and math.sqrt(arc.rest / n) > error:
        return Nothing("error", scatter, bulge)
    ordered = [value for _, value in sorted(zip(places, left, strict=True))]
    if n >= FEWEST and neighbours(ordered) < WAVES and bulge < FINE * scatter:
        return Nothing("waves", scatter, bulge)
    wide = variance * 3 * f_quantile(SURE, 3, n - 3)
    figures = {
        name: Figure(value, value - math.sqrt(wide * per), value + math.sqrt(wide * per))
        for (name, value), per in zip(
            (("centre", arc.x), ("axis", arc.y), ("radius", arc.radius)), arc.spread, strict=True
        )
    }
    hollow = arc.y > sum(radii) / n
    return Found("radius", figures, tuple(-value if hollow else value for value in left), scatter, hollow=hollow)


def _chord(places: Sequence[float], radii: Sequence[float], z: float) -> float:
    first, last = min(zip(places, radii, strict=True)), max(zip(places, radii, strict=True))
    return first[1] + (last[1] - first[1]) * (z - first[0]) / (last[0] - first[0])
