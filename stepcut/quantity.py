"""Text to exact numbers and back: the only module that knows how a length or an angle is written.

Owns the grammar of numbers and units and the printing of readings.  Lengths become mm, angles become degrees,
forces become newtons, all as exact fractions.  It does not know what the numbers are for.

Pint is asked about unusual units only, and is given one unit name, never the user's text: handed the text it
reads ``1 3/8 in`` as 9.5 mm and ``5,2 mm`` as 52 mm without a word, and does not return from ``9**9**9 mm``.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from stepcut.errors import BadValue, nearest
from stepcut.rare_units import factor_of

if TYPE_CHECKING:
    from collections.abc import Mapping

Unit = Literal["in", "mm"]
Dial = Literal["decimal", "minutes"]

INCH = Fraction(254, 10)  # mm; exact by definition (international inch, 1959)
POUND_FORCE = Fraction(45359237, 10**8) * Fraction(980665, 10**5)  # N; exact by definition

LENGTH_UNITS: dict[str, Fraction] = {
    "in": INCH, "inch": INCH, "inches": INCH, '"': INCH,
    "thou": INCH / 1000, "thous": INCH / 1000, "tenth": INCH / 10000, "tenths": INCH / 10000,
    "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "um": Fraction(1, 1000), "µm": Fraction(1, 1000),
    "ft": 12 * INCH,
}  # fmt: skip
ANGLE_UNITS: dict[str, Fraction] = {
    "deg": Fraction(1), "degs": Fraction(1), "degree": Fraction(1), "degrees": Fraction(1), "°": Fraction(1),
    "d": Fraction(1),
    "'": Fraction(1, 60), "min": Fraction(1, 60), "minute": Fraction(1, 60), "minutes": Fraction(1, 60),
    "arcmin": Fraction(1, 60),
    '"': Fraction(1, 3600), "sec": Fraction(1, 3600), "second": Fraction(1, 3600), "seconds": Fraction(1, 3600),
    "arcsec": Fraction(1, 3600),
    "turn": Fraction(360), "turns": Fraction(360),
}  # fmt: skip
FORCE_UNITS: dict[str, Fraction] = {
    "N": Fraction(1), "kN": Fraction(1000), "lbf": POUND_FORCE, "lb": POUND_FORCE, "kgf": Fraction(980665, 100000),
}  # fmt: skip
PLAIN: dict[str, Mapping[str, Fraction]] = {"length": LENGTH_UNITS, "angle": ANGLE_UNITS, "force": FORCE_UNITS}
BASE_UNIT = {"length": "mm", "angle": "degree", "force": "newton"}
EXAMPLES = {"length": ("in", "mm"), "angle": ("deg",), "force": ("lbf", "N")}
WHOLE_EXAMPLES = {"length": "1-3/8in, 0.005in or 37mm", "angle": "10deg or 12°30'", "force": "500lbf or 2kN"}
INCHES = {
    unit for unit, worth in LENGTH_UNITS.items() if worth % (INCH / 10000) == 0
}  # a message keeps to the user's unit

# What word processors and the keyboards of phones put in the place of the plain marks.
MARKS = str.maketrans({
    "“": '"', "”": '"', "„": '"', "″": '"', "˝": '"', "‘": "'", "’": "'", "‛": "'", "′": "'", "´": "'", "ʹ": "'",
    "‐": "-", "‑": "-", "‒": "-", "–": "-", "—": "-", "−": "-", "⁄": "/", "∕": "/", "º": "°", "˚": "°",
    "\u00a0": " ", "\u2009": " ", "\u202f": " ",
})  # fmt: skip
COMMON = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}

LONGEST_NUMBER = 24  # characters; no dial shows more, and it keeps every later sum small
SMALLEST = Fraction(1, 10**6)  # mm, degrees or newtons: below this nothing is read, and later sums would divide by it
LARGEST = {"length": Fraction(100_000), "angle": Fraction(360_000), "force": Fraction(10**7)}

_DECIMAL = r"(?:\d+\.?\d*|\.\d+)"
_NUMBER = re.compile(
    rf"""\s*(?P<sign>[-+]?)\s*
    (?:(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<num>\d+)\s*/\s*(?P<den>\d+)   # 3/8, 1 3/8, 1-3/8
     |(?P<decimal>{_DECIMAL}(?:[eE][-+]?\d{{1,2}})?))                       # 0.005, .005, 5
    \s*(?P<unit>.*?)\s*""",
    re.VERBOSE | re.DOTALL,
)
_DMS = re.compile(
    rf"""\s*(?P<sign>[-+]?)\s*(?P<d>\d+)\s*(?:°|degrees?|degs?|d)\s*
    (?:(?P<m>{_DECIMAL})\s*(?:'|minutes?|min|m))?\s*
    (?:(?P<s>{_DECIMAL})\s*(?:"|seconds?|sec|s))?\s*""",
    re.VERBOSE,
)


def plain_marks(text: str) -> str:
    """Return a text with plain quotes, dashes, spaces and fractions in the place of a phone's.

    Examples
    --------
    >>> plain_marks("1–3/8”"), plain_marks("1⅜″"), plain_marks("12°30’")
    ('1-3/8"', '1 3/8"', "12°30'")
    """
    if text.isascii():
        return text.replace("''", '"')
    text = text.translate(MARKS).replace("''", '"')
    for mark, fraction in COMMON.items():
        text = re.sub(rf"(?<=\d){mark}", f" {fraction}", text).replace(mark, fraction)
    return text


def parse_length(text: object, name: str = "length", default_unit: str | None = None) -> Fraction:
    """Read a length and return it exactly in mm.

    Parameters
    ----------
    text : str
        Such as ``1-3/8in``, ``5 thou``, ``.005"`` or ``37 mm``.
    name : str
        What the length is called in a message.
    default_unit : str or None
        Unit of a bare number; without one a bare number is refused.

    Raises
    ------
    BadValue
        When the text is no length; the message says how to write one.

    Examples
    --------
    >>> parse_length("1-3/8in")
    Fraction(1397, 40)
    >>> float(parse_length("5 thou"))
    0.127
    """
    return _parse(str(text), "length", name, default_unit)


def parse_angle(
    text: object, name: str = "angle", default_unit: str | None = None, crank: Fraction | None = None
) -> Fraction:
    """Read an angle and return it exactly in degrees.

    Parameters
    ----------
    text : str
        Such as ``10deg``, ``12°30'``, ``12d30m15s``, ``90'``, ``2.5 turns`` (of the table, 360 degrees each) or
        ``2.5 cranks`` (turns of the table's crank).
    crank : Fraction or None
        Degrees for one turn of the crank; without it ``cranks`` is refused.

    Examples
    --------
    >>> parse_angle("12d30m15s")
    Fraction(3001, 240)
    >>> parse_angle("2.5 cranks", crank=Fraction(4))
    Fraction(10, 1)
    """
    raw = str(text)
    dms = _DMS.fullmatch(plain_marks(raw)) if len(raw) <= 3 * LONGEST_NUMBER else None
    if dms and (dms["m"] or dms["s"]):
        minutes, seconds = Fraction(dms["m"] or 0), Fraction(dms["s"] or 0)
        if minutes >= 60 or seconds >= 60:
            raise BadValue(name, raw, "minutes and seconds must be below 60", "Carry them into the degrees.")
        value = int(dms["d"]) + minutes / 60 + seconds / 3600
        return _within(-value if dms["sign"] == "-" else value, "angle", name, raw)
    extra = {} if crank is None else {"crank": crank, "cranks": crank}
    return _parse(raw, "angle", name, default_unit, extra)


def parse_force(text: object, name: str = "force", default_unit: str | None = None) -> Fraction:
    """Read a force and return it exactly in newtons.

    Examples
    --------
    >>> round(float(parse_force("500 lbf")), 1)
    2224.1
    """
    return _parse(str(text), "force", name, default_unit)


def parse_number(text: object, name: str = "number") -> Fraction:
    """Read a plain number without unit: ``0.12``, ``1/20`` or ``1 1/2``."""
    value, unit = _split(str(text), name)
    if unit:
        raise BadValue(name, text, "must be a plain number, without a unit", f"Leave out {unit}.")
    if value and not SMALLEST <= abs(value) <= 10**6:
        raise BadValue(name, text, "is no number that has a use here", "Check the number.")
    return value


def unit_of(text: object) -> Unit | None:
    """Return the unit that a length is said in, inches or mm; None when it says none.

    Examples
    --------
    >>> unit_of("5 thou"), unit_of("37mm"), unit_of("12")
    ('in', 'mm', None)
    """
    match = _NUMBER.fullmatch(plain_marks(str(text))) if len(str(text)) <= 4 * LONGEST_NUMBER else None
    unit = match["unit"].lower().rstrip(".") if match else ""
    return ("in" if unit in INCHES else "mm") if unit in LENGTH_UNITS else None


def _parse(
    raw: str, kind: str, name: str, default_unit: str | None, extra: Mapping[str, Fraction] | None = None
) -> Fraction:
    value, unit = _split(raw, name, kind)
    if not unit:
        if value == 0:
            return value  # nought is nought in every unit
        if default_unit is None:
            number = raw.strip()
            raise BadValue(name, raw, "needs a unit", f"Write {' or '.join(number + u for u in EXAMPLES[kind])}.")
        unit = default_unit
    units = {**PLAIN[kind], **(extra or {})}
    factor = units.get(unit) or units.get(unit.lower().rstrip("."))
    if factor is None:
        factor = _unusual(unit, kind, name, raw, list(units))
    return _within(value * factor, kind, name, raw, "in" if unit.lower().rstrip(".") in INCHES else "mm")


def _split(raw: str, name: str, kind: str = "length") -> tuple[Fraction, str]:
    """Return the number and whatever follows it."""
    if "," in raw:
        rule, way = "a comma is not read", f"Write {raw.replace(',', '.').strip()} with a point, no thousands mark."
        raise BadValue(name, raw, rule, way)
    match = _NUMBER.fullmatch(plain_marks(raw)) if len(raw) <= 4 * LONGEST_NUMBER else None
    if match is None or re.match(r"[\d./*^+-]", match["unit"]):
        digits = re.match(r"\s*[-+]?[\d.]*", raw)
        if digits and len(digits[0].strip()) > LONGEST_NUMBER:
            raise BadValue(name, raw, f"a number of more than {LONGEST_NUMBER} characters", "Write fewer digits.")
        raise BadValue(name, raw, "is not a number with a unit", f"Write it like {WHOLE_EXAMPLES[kind]}.")
    if max(len(part or "") for part in match.groupdict().values()) > LONGEST_NUMBER:
        raise BadValue(name, raw, f"a number of more than {LONGEST_NUMBER} characters", "Write fewer digits.")
    if match["decimal"]:
        value = Fraction(match["decimal"])
    elif int(match["den"]) == 0:
        raise BadValue(name, raw, "divides by nought", "Give a fraction such as 1/8.")
    else:
        value = int(match["whole"] or 0) + Fraction(int(match["num"]), int(match["den"]))
    return (-value if match["sign"] == "-" else value), match["unit"]


def _within(value: Fraction, kind: str, name: str, raw: str, unit: Unit = "mm") -> Fraction:
    if abs(value) > LARGEST[kind]:
        most = f"{LARGEST[kind]} {BASE_UNIT[kind]}"
        if kind == "length":
            most = f"{LARGEST[kind] // (INCH if unit == 'in' else 1)} {unit}"
        raise BadValue(name, raw, f"is larger than anything on a machine ({most})", "Check the number and its unit.")
    if 0 < abs(value) < SMALLEST:
        least = f"0.000001 {'mm' if kind == 'length' else BASE_UNIT[kind]}"
        raise BadValue(name, raw, f"is smaller than anything on a machine ({least})", "Check the number and its unit.")
    return value


def _unusual(unit: str, kind: str, name: str, raw: str, known: list[str]) -> Fraction:
    """Ask pint what one unit is worth; the number never goes near it."""
    for other, table in PLAIN.items():
        if unit in table and other != kind:
            article = "an" if kind == "angle" else "a"
            way = f"Give {article} {kind} such as {WHOLE_EXAMPLES[kind]}."
            raise BadValue(name, raw, f"{unit} is a unit of {other}, and {article} {kind} is wanted", way)
    factor = None
    if re.fullmatch(r"[A-Za-zµ_]{1,24}", unit):
        factor = factor_of(unit, kind, BASE_UNIT[kind])
    if factor is None:
        way = f"Use one of {', '.join(u for u in known if u.isascii() and u.isalpha())}.{nearest(unit, known)}"
        raise BadValue(name, raw, f"{unit} is no unit of {kind} that is known here", way)
    return factor


# --- numbers back to text ------------------------------------------------------------------------------------


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
    """Return a number with fixed decimals, a leading nought, and no minus before nought.

    Examples
    --------
    >>> fixed(-0.00001, 3), fixed(Fraction(1, 8), 3, sign=True)
    ('0.000', '+0.125')
    """
    if isinstance(value, Fraction):
        return _ratio_fixed(value.numerator, value.denominator, places, sign)
    text = f"{value:+.{places}f}" if sign else f"{value:.{places}f}"
    return text.replace("-", "").replace("+", "") if not text.strip("+-0.") else text


def _ratio_fixed(over: int, under: int, places: int, sign: bool = False) -> str:
    """Return a ratio as :func:`fixed` does, rounded half to even, in whole numbers: a card has tens of thousands of them."""
    scale = 10**places
    number = rounded(abs(over) * scale, under)
    before = "-" if over < 0 and number else "+" if sign and number else ""
    return f"{before}{number // scale}.{number % scale:0{places}d}" if places else f"{before}{number}"


def rounded(over: int, under: int) -> int:
    """Return a ratio of whole numbers to the nearest whole number, half to even; both of them at least 0.

    Examples
    --------
    >>> rounded(5, 2), rounded(7, 2), rounded(8, 3)
    (2, 4, 3)
    """
    whole, rest = divmod(over, under)
    return whole + 1 if 2 * rest > under or (2 * rest == under and whole & 1) else whole


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
