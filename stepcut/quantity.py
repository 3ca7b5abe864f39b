"""Text to exact numbers: the only module that knows what a written length or angle means; back to text goes `stepcut.written`.

Owns the grammar of numbers and units.  Lengths become mm, angles become degrees,
forces become newtons, all as exact fractions.  It does not know what the numbers are for.

Pint is asked about unusual units only, and is given one unit name, never the user's text: handed the text it
reads ``1 3/8 in`` as 9.5 mm and ``5,2 mm`` as 52 mm without a word, and does not return from ``9**9**9 mm``.
"""

from __future__ import annotations

import re
from fractions import Fraction
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
        if raw.count(",") > 1:
            way = "Write one number, with a point and no thousands mark."
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
