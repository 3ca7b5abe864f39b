"""The roundest sizes that readings of a part allow: what its drawing may have said."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from stepcut.shop.found_shape import Figure

STEPS = {
    "in": [Fraction(254, 10) * Fraction(step) for step in
           ("1/4", "1/8", "1/16", "1/10", "1/20", "1/32", "1/100", "1/200", "1/1000", "1/2000", "1/10000")],
    "mm": [Fraction(step) for step in ("10", "5", "1", "1/2", "1/4", "1/10", "1/20", "1/50", "1/100", "1/1000")],
    "deg": [Fraction(step) for step in ("30", "10", "5", "1", "1/2", "1/4", "1/10", "1/60", "1/100")],
}  # fmt: skip


def nominal(figure: Figure, kind: str) -> Fraction:
    """Return the roundest size that the readings allow, nearest the likeliest.

    Examples
    --------
    >>> nominal(Figure(2.286, 2.271, 2.301), "in") / Fraction(254, 10)
    Fraction(9, 100)
    """
    for step in STEPS[kind]:
        near = round(Fraction(figure.best) / step) * step
        if near > 0 and figure.low <= near <= figure.high:
            return near
    return Fraction(figure.best).limit_denominator(10_000)


def spanning(rise: Fraction, figures: Mapping[str, Figure]) -> Figure:
    """Return the degrees that a round rise may take: what the readings allow of the span, at a slope that they allow.

    Examples
    --------
    >>> read = {"span": Figure(140.9, 139.7, 150.2), "slope": Figure(0.0127, 0.01268, 0.01272)}
    >>> nominal(spanning(Fraction("1.778"), read), "deg")
    Fraction(140, 1)
    """
    span, slope = figures["span"], figures["slope"]
    if slope.low <= 0:
        return span
    low, high = max(span.low, float(rise) / slope.high), min(span.high, float(rise) / slope.low)
    return Figure(min(max(float(rise) / slope.best, low), high), low, high) if low <= high else span


def dwells(figures: Mapping[str, Figure], up: Fraction, down: Fraction) -> tuple[Fraction, Fraction]:
    """Return the degrees that a cam stands still after a rise and after a fall of so many degrees, the first to a whole degree.

    The second is what is left of the turn, below 0 where nothing is.
    """
    ends = (figures["fall-end"].best - figures["rise-begin"].best) % 360
    top = max(Fraction(0), Fraction(round(ends)) - up - down)
    return top, 360 - up - top - down
