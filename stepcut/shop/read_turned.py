"""From readings of place along the axis and diameter to a cone, an arc, or a fillet; all lengths mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from stepcut.shop.doubts import breaks, misread
from stepcut.shop.fitting import circle, f_quantile, straight
from stepcut.shop.found_shape import Figure, Found, Nothing
from stepcut.shop.read_fillet import Fillet, fillet
from stepcut.shop.reading import CLEAR, FEWEST, FINE, SURE, strays


def turned(
    places: Sequence[float], diameters: Sequence[float], division: float = 0.0, error: float | None = None
) -> Found | Nothing:
    """Return the cone or the arc that fits readings of place along the axis and diameter.

    Notes
    -----
    A cone has two figures, an arc three; the arc is taken only where it leaves so much less over that chance would do it
    once in a thousand cones.
    """
    found = _turned(places, diameters, division, error)
    odd = misread(lambda z, d: _turned(z, d, division, error), places, diameters, found, False)
    return found if odd is None else Nothing("misread", place=odd)


def _turned(
    places: Sequence[float], diameters: Sequence[float], division: float, error: float | None
) -> Found | Nothing:
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
    if breaks(places, diameters, rest, 2, floor):
        return Nothing("bent", math.sqrt(rest / (n - 2)))
    variance = rest / (n - 2)
    scatter, length = math.sqrt(variance), max(places) - min(places)
    left = [d - line.at(z) for z, d in zip(places, diameters, strict=True)]
    odds = line.slope**2 / (variance * line.per_slope)
    grows = abs(line.slope) * length
    if odds < f_quantile(0.9999, 1, n - 2) or grows < (CLEAR / 3 if n >= FEWEST else CLEAR) * scatter:
        return Nothing("no-slope", scatter, grows)
    if why := strays(_in_order(places, left), line.rest, error, grows < FINE * scatter):
        return Nothing(why, scatter, grows)
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
    if breaks(places, radii, bent.rest, 3, floor):
        return Nothing("bent", scatter, grows)
    if grows < CLEAR * scatter:
        return Nothing("scatter", scatter, grows)
    if why := strays(_in_order(places, left), bent.rest, error, grows < FINE * scatter):
        return Nothing(why, scatter, grows)
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
    if bulge >= CLEAR * scatter and breaks(places, radii, arc.rest, 3, floor):
        return Nothing("bent", scatter, bulge)
    if bulge < CLEAR * scatter:
        return Nothing("scatter", scatter, bulge)
    if why := strays(_in_order(places, left), arc.rest, error, bulge < FINE * scatter):
        return Nothing(why, scatter, bulge)
    wide = variance * 3 * f_quantile(SURE, 3, n - 3)
    figures = {
        name: Figure(value, value - math.sqrt(wide * per), value + math.sqrt(wide * per))
        for (name, value), per in zip(
            (("centre", arc.x), ("axis", arc.y), ("radius", arc.radius)), arc.spread, strict=True
        )
    }
    hollow = arc.y > sum(radii) / n
    return Found("radius", figures, tuple(-value if hollow else value for value in left), scatter, hollow=hollow)


def _in_order(places: Sequence[float], left: Sequence[float]) -> list[float]:
    return [value for _, value in sorted(zip(places, left, strict=True))]


def _chord(places: Sequence[float], radii: Sequence[float], z: float) -> float:
    first, last = min(zip(places, radii, strict=True)), max(zip(places, radii, strict=True))
    return first[1] + (last[1] - first[1]) * (z - first[0]) / (last[0] - first[0])
