"""Numbers back to text: lengths, angles and forces as dials and cards show them, exactly and without a minus before nought.

Owns how many decimals a scale shows and how an angle is written in minutes.  What text means is known by ``stepcut.quantity``.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import isfinite
from typing import Literal

from stepcut.quantity import INCH, Dial, Unit


@lru_cache(maxsize=256)  # asked for every number of a card, of the few scales of a machine
def decimals(division: Fraction) -> int:
    """Return how many decimals a scale of this division shows, at most six.

    Examples
    --------
    >>> decimals(Fraction(1, 2000)), decimals(Fraction(1, 50)), decimals(Fraction(1))
    (4, 2, 0)
    """
    places = 0
    while places < 6 and (division * 10**places).denominator != 1:
        places += 1
    return places


def fixed(value: Fraction | float, places: int, sign: bool = False) -> str:
    """Return a number with fixed decimals, half away from nought, a leading nought, and no minus before nought.

    A computed number is taken to twelve figures first: whatever its last bits are, which differ from one Python or
    processor to the next, half a last place is half a last place.

    Examples
    --------
    >>> fixed(-0.00001, 3), fixed(Fraction(1, 8), 3, sign=True), fixed(0.05249999999999999, 3), fixed(0.0525, 3)
    ('0.000', '+0.125', '0.053', '0.053')
    """
    if isinstance(value, Fraction):
        return _ratio_fixed(value.numerator, value.denominator, places, sign)
    if isfinite(value):
        over, under = Decimal(f"{value:.12g}").as_integer_ratio()
        return _ratio_fixed(over, under, places, sign)
    return f"{value:+}" if sign else f"{value}"


def _ratio_fixed(over: int, under: int, places: int, sign: bool = False) -> str:
    """Return a ratio as :func:`fixed` does, in whole numbers: a card has tens of thousands of them."""
    scale = 10**places
    number = rounded(abs(over) * scale, under)
    before = "-" if over < 0 and number else "+" if sign and number else ""
    return f"{before}{number // scale}.{number % scale:0{places}d}" if places else f"{before}{number}"


def rounded(over: int, under: int) -> int:
    """Return a ratio of whole numbers to the nearest whole number, half upwards; both of them at least 0.

    Examples
    --------
    >>> rounded(5, 2), rounded(7, 2), rounded(8, 3)
    (3, 4, 3)
    """
    return (2 * over + under) // (2 * under)


def length_text(
    mm: Fraction | float, unit: Unit, places: int | None = None, with_unit: bool = True, sign: bool = False
) -> str:
    """Return a length in inches or mm with fixed decimals (4 for inches, 3 for mm unless given).

    Examples
    --------
    >>> length_text(Fraction(127, 1000), "in"), length_text(1.25, "mm", 2)
    ('0.0050 in', '1.25 mm')
    """
    places = (4 if unit == "in" else 3) if places is None else places
    if unit == "in" and not isinstance(mm, float):
        number = _ratio_fixed(mm.numerator * INCH.denominator, mm.denominator * INCH.numerator, places, sign)
    else:
        number = fixed(mm / 25.4 if unit == "in" else mm, places, sign)
    return f"{number} {unit}" if with_unit else number


def size_text(mm: Fraction, unit: Unit) -> str:
    """Return a nominal size the way it is spoken: an exact common fraction of an inch, or the shortest decimal.

    Examples
    --------
    >>> size_text(Fraction(127, 10), "in"), size_text(Fraction(3556, 100), "in"), size_text(Fraction(6), "mm")
    ('1/2 in', '1.4 in', '6 mm')
    """
    value = mm / INCH if unit == "in" else mm
    if unit == "in" and value.denominator in (2, 4, 8, 16, 32, 64):
        whole, rest = divmod(value, 1)
        return f"{whole} {rest} in" if whole else f"{rest} in"
    text = f"{float(value):.6f}".rstrip("0").rstrip(".")
    return f"{text} {unit}"


def near_text(mm: Fraction | float, unit: Unit) -> str:
    """Return a size for a message: a common fraction of an inch, or a decimal no longer than a scale shows.

    Examples
    --------
    >>> near_text(Fraction(1397, 40), "in"), near_text(23.741, "in"), near_text(Fraction(37), "mm")
    ('1 3/8 in', '0.9347 in', '37 mm')
    """
    value = Fraction(mm).limit_denominator(10**6)
    inches = value / INCH
    if unit == "in" and (inches.denominator not in (1, 2, 4, 8, 16, 32, 64)):
        return f"{fixed(inches, 4).rstrip('0').rstrip('.')} in" if inches else "0 in"
    return size_text(value if unit == "in" else Fraction(round(value, 4)), unit)


def angle_text(degrees: Fraction | float, dial: Dial = "decimal", places: int = 2, seconds: bool = False) -> str:
    """Return an angle as decimal degrees, or as degrees and minutes (and seconds when the dial shows them).

    Examples
    --------
    >>> angle_text(Fraction(25, 2)), angle_text(Fraction(25, 2), "minutes")
    ('12.50°', "12°30'")
    """
    if dial == "decimal":
        return f"{fixed(degrees, places)}°"
    sign = "-" if degrees < 0 else ""
    unit = 3600 if seconds else 60
    over, under = degrees.as_integer_ratio()
    total = rounded(abs(over) * unit, under)
    if seconds:
        return f"{sign}{total // 3600}°{total // 60 % 60:02d}'{total % 60:02d}\""
    return f"{sign}{total // 60}°{total % 60:02d}'"


def spoken_angle(degrees: Fraction | float, dial: Dial = "minutes") -> str:
    """Return an angle as people say it, to a second: without the parts that are nought; decimal where the dial is.

    Examples
    --------
    >>> spoken_angle(Fraction(1, 12)), spoken_angle(Fraction(5, 2)), spoken_angle(Fraction(1, 360)), spoken_angle(9)
    ("5'", "2°30'", '10"', '9°')
    >>> spoken_angle(Fraction(1, 10), "decimal"), spoken_angle(Fraction(1, 3), "decimal"), spoken_angle(0)
    ('0.1°', '0.3333°', '0°')
    """
    if dial == "decimal":
        return f"{fixed(degrees, 4).rstrip('0').rstrip('.')}°"
    seconds = round(abs(Fraction(degrees)) * 3600)
    parts = ((seconds // 3600, "°"), (seconds // 60 % 60, "'"), (seconds % 60, '"'))
    text = "".join(f"{number}{mark}" for number, mark in parts if number) or "0°"
    return f"-{text}" if degrees < 0 and seconds else text


def exact_text(value: Fraction, kind: Literal["length", "angle", "force", "number"], unit: Unit = "mm") -> str:
    """Return text that reads back as exactly this number.

    Examples
    --------
    >>> exact_text(Fraction(127, 10), "length", "in"), exact_text(Fraction(1, 3), "angle")
    ('0.5in', '1/3deg')
    """
    suffix = {"length": unit, "angle": "deg", "force": "N", "number": ""}[kind]
    number = value / INCH if kind == "length" and unit == "in" else value
    for candidate, tail in ((number, suffix), (value, "mm" if kind == "length" else suffix)):
        if (candidate * 10**9).denominator == 1:
            text = f"{candidate.numerator * 10**9 // candidate.denominator / 10**9:.9f}".rstrip("0").rstrip(".")
            if Fraction(text) == candidate:
                return f"{text}{tail}"
    sign, (whole, rest) = ("-" if number < 0 else ""), divmod(abs(number), 1)
    return f"{sign}{whole} {rest}{suffix}" if whole else f"{sign}{rest}{suffix}"
