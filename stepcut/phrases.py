"""Phrases of the trade that say several numbers at once: 5 thou per 10 deg, 0.600in/ft, 1/2in ball, a list of pairs.

Each becomes exact numbers here; single lengths and angles are read by :mod:`stepcut.quantity`.
"""

from __future__ import annotations

import re
from contextlib import suppress
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from stepcut.errors import BadValue, nearest
from stepcut.machine import Cutter
from stepcut.quantity import INCH, parse_angle, parse_length, parse_number, plain_marks

if TYPE_CHECKING:
    from stepcut.shop import tapers

LONGEST = 200  # characters of one phrase; a list of pairs may be longer
MOST_PAIRS = 10_000


class Per(Struct, frozen=True):
    """So much depth for so many degrees: mm and degrees, as they were said."""

    drop: Fraction
    step: Fraction

    @property
    def slope(self) -> Fraction:
        """Depth for one degree, mm."""
        return self.drop / self.step


class Taper(Struct, frozen=True):
    """A taper: change of diameter over length, and the standard it was named by, if any."""

    ratio: Fraction
    standard: tapers.Standard | None = None


# --- so much per so many degrees -----------------------------------------------------------------------------

_PER = re.compile(r"\s*(?:/|\b(?:per|every|for|over|each|in|to)\b)\s*", re.I)


def parse_per(text: object, name: str, unit: str | None = None, crank: Fraction | None = None) -> Per:
    """Read how much a ramp falls for how many degrees.

    Parameters
    ----------
    text : str
        Such as ``5thou/10deg``, ``5 thou per 10 deg``, ``0.1mm every 5°`` or ``1mm per turn``.
    name : str
        What it is called in a message.
    unit : str or None
        Unit of a bare length.
    crank : Fraction or None
        Degrees for one turn of the crank.

    Examples
    --------
    >>> per = parse_per("5 thou per 10 deg", "per")
    >>> float(per.drop), per.step
    (0.127, Fraction(10, 1))
    """
    raw = plain_marks(str(text)).strip()
    for match in _PER.finditer(raw) if len(raw) <= LONGEST else ():
        left, right = raw[: match.start()], raw[match.end() :]
        right = right if re.match(r"[\d.]", right) else f"1 {right}"  # per degree, per turn
        with suppress(BadValue):
            drop, step = parse_length(left, name, unit), parse_angle(right, name, None, crank)
            if drop > 0 and step > 0:
                return Per(drop, step)
    way = "Write it like 5 thou per 10 deg, 5thou/10deg or 0.1mm every 5deg."
    raise BadValue(name, text, "is not so much for so many degrees", way)


# --- tapers --------------------------------------------------------------------------------------------------

_OVER = re.compile(r"\s*(?:/|:|\b(?:per|in|on|to)\b)\s*", re.I)
_SIDES = re.compile(r"(?P<angle>.*?)\s*(?P<word>each side|a side|per side|included|total|overall)\s*", re.I)
_WAY = "Write it like 1:20, 0.600in/ft, 3/4in per foot, 1mm per 20mm, 6deg included, 3deg each side, or a name such as MT2."


def parse_taper(text: object, name: str) -> Taper:
    """Read a taper however it is said; the change is always that of the diameter.

    Examples
    --------
    >>> parse_taper("0.600in/ft", "taper").ratio, parse_taper("1/20", "taper").ratio, parse_taper("MT2", "taper").standard.name
    (Fraction(1, 20), Fraction(1, 20), 'Morse 2')
    """
    from stepcut.shop import tapers  # here, for its table is long

    raw = plain_marks(str(text)).strip()
    if len(raw) > LONGEST:
        raise BadValue(name, text, "is not a taper", _WAY)
    known = tapers.standard(raw)
    if known is not None:
        return Taper(known.ratio, known)
    sides = _SIDES.fullmatch(raw)
    if sides:
        return Taper(_of_angle(sides["angle"], "side" in sides["word"].lower(), name, text))
    for match in _OVER.finditer(raw):
        ratio = _ratio(raw[: match.start()], raw[match.end() :], name)
        if ratio is not None:
            if not 0 < ratio < 10:
                raise BadValue(name, text, "is too blunt or too slender for a taper", _WAY)
            return Taper(ratio)
    if _is_angle(raw):
        rule = "does not say whether it is each side or total"
        raise BadValue(name, text, rule, f"Write {raw} each side, or {raw} included.")
    if re.match(r"[a-zA-Z]", raw):
        close = nearest(raw.lower(), [each.lower() for each in tapers.names()])
        way = f"Known are {', '.join(tapers.FAMILIES)}.{close}"
        raise BadValue(name, text, "is no standard taper that is known here", way)
    raise BadValue(name, text, "is not a taper", _WAY)


def _is_angle(text: str) -> bool:
    try:
        return parse_angle(text) > 0
    except BadValue:
        return False


def _of_angle(text: str, each_side: bool, name: str, given: object) -> Fraction:
    from stepcut.shop.tapers import ratio_of

    half = float(parse_angle(text, name)) / (1 if each_side else 2)
    if not 0 < half < 80:
        raise BadValue(name, given, "is too blunt for a taper", "Each side must be above 0 and below 80 degrees.")
    return Fraction(ratio_of(half))


def _ratio(left: str, right: str, name: str) -> Fraction | None:
    """Return a change of diameter over a length, both said with units or both without; None when it is no such thing."""
    with suppress(BadValue):
        top, bottom = parse_number(left, name), parse_number(right, name)
        return top / bottom if bottom > 0 else None
    with suppress(BadValue):
        right = right if re.match(r"[\d.]", right) else f"1 {right}"  # per foot, per inch
        right = re.sub(r"\b(foot|feet)\b", "ft", right, flags=re.I)
        bottom = parse_length(right, name)
        # 0.600 per foot, as tables print it, means inches.
        top = parse_length(left, name, "in" if bottom == 12 * INCH else None)
        return top / bottom if bottom > 0 else None
    return None


# --- cutters -------------------------------------------------------------------------------------------------

_LENGTH = r"""(?:\d+(?:\s*-\s*|\s+))?\d+\s*/\s*\d+\s*(?:[a-zµ"]+\.?)?|(?:\d+\.?\d*|\.\d+)\s*(?:[a-zµ"]+\.?)?"""
_PIECE = re.compile(rf"(?P<length>{_LENGTH})|(?P<word>[a-z]+)", re.I)
_End = Literal["flat", "ball", "bull", "vee"]
_KINDS: dict[str, _End] = {
    "flat": "flat", "square": "flat", "endmill": "flat", "slot": "flat",
    "ball": "ball", "ballnose": "ball", "ballend": "ball", "round": "ball",
    "bull": "bull", "bullnose": "bull", "corner": "bull",
    "vee": "vee", "v": "vee", "pointed": "vee", "engraving": "vee", "countersink": "vee",
}  # fmt: skip
_PLAIN_WORDS = {
    "end", "mill", "milling", "drill", "slotdrill", "cutter", "dia", "diameter", "nose", "nosed", "ended", "radius", "r",
    "with", "a", "an", "of", "hss", "carbide",
}  # fmt: skip
_CUTTER_WAY = "Write it like 1/2in, 1/2in ball, 10mm flat or 12mm bull 1mm."
_POINT = re.compile(r"(?P<angle>\d+\.?\d*)\s*-?\s*(?:degrees?|deg|°)", re.I)  # the whole angle of a vee's point


def parse_cutter(text: object, name: str, unit: str | None = None) -> Cutter:
    """Read a cutter: its diameter, and what its end is like where it is not flat.

    Parameters
    ----------
    text : str
        Such as ``1/2in``, ``1/2in ball``, ``10mm end mill``, ``12mm bull 1mm`` (the second length is the corner radius) or
        ``10mm vee 90deg`` (the whole angle of its point).

    Examples
    --------
    >>> ball = parse_cutter("1/2in ball", "cutter")
    >>> ball.kind, ball.diameter, ball.corner
    ('ball', Fraction(127, 10), Fraction(127, 20))
    >>> vee = parse_cutter("10mm 90deg vee", "cutter")
    >>> vee.kind, vee.angle
    ('vee', Fraction(90, 1))
    """
    marked = plain_marks(str(text)).strip()
    if unit is None and marked[-1:].isalpha() and len(marked) <= LONGEST and with_unit(marked, "in") != marked:
        raise BadValue(name, text, "needs a unit", f"Write {with_unit(marked, 'in')} or {with_unit(marked, 'mm')}.")
    points = [] if len(marked) > LONGEST else _POINT.findall(marked)
    raw = with_unit(" ".join(_POINT.sub(" ", marked).split()) if points else marked, unit)
    lengths, kinds = _pieces(raw, text, name)
    if points or kinds == {"vee"}:
        return _vee(lengths, kinds, points, text, name, unit)
    kind = next(iter(kinds), "bull" if len(lengths) == 2 else "flat")
    if not lengths or len(kinds) > 1 or len(lengths) > 2:
        if not lengths:
            parse_length(text, name, unit)  # says what is wrong with a single length
        raise BadValue(name, text, "is not a cutter", _CUTTER_WAY)
    diameter = parse_length(lengths[0], name, unit)
    if diameter <= 0:
        raise BadValue(name, text, "must be greater than 0", "Give a size above nought.")
    if kind != "bull":
        if len(lengths) == 2:
            raise BadValue(name, text, f"a {kind} cutter has no corner radius of its own", _CUTTER_WAY)
        return Cutter(kind, diameter, diameter / 2 if kind == "ball" else Fraction(0))
    if len(lengths) < 2:
        rule = "is a bull nose without its corner radius"
        raise BadValue(name, text, rule, f"Write {raw} 1/32in, or {raw} 1mm." if "in" in raw else f"Write {raw} 1mm.")
    corner = parse_length(lengths[1], name, unit)
    if not 0 < corner * 2 <= diameter:
        raise BadValue(name, text, "has a corner radius of more than half its diameter", "Check both sizes.")
    return Cutter("bull", diameter, corner)


def _vee(lengths: list[str], kinds: set[_End], points: list[str], text: object, name: str, unit: str | None) -> Cutter:
    """Return a pointed cutter of the pieces that were read.

    Raises
    ------
    BadValue
        When its diameter or its angle is missing, or another end has an angle.
    """
    if kinds != {"vee"} or len(lengths) != 1:
        raise BadValue(
            name,
            text,
            "is not a cutter",
            "Write a pointed one like 10mm vee 90deg: diameter, and the whole angle of its point.",
        )
    if len(points) != 1:
        rule = "is a vee without the angle of its point"
        raise BadValue(name, text, rule, f"Write {lengths[0]} vee 90deg, the whole angle.")
    diameter, angle = parse_length(lengths[0], name, unit), Fraction(points[0])
    if diameter <= 0:
        raise BadValue(name, text, "must be greater than 0", "Give a size above nought.")
    if not 10 <= angle <= 150:
        raise BadValue(
            name,
            text,
            "has a point of less than 10 or more than 150 degrees",
            "Give the whole angle, from flank to flank.",
        )
    return Cutter("vee", diameter, angle=angle)


def with_unit(text: str, unit: str | None) -> str:
    """Return a cutter's words with the shop's unit behind a bare diameter.

    Examples
    --------
    >>> with_unit("1/4 ball", "in"), with_unit("3/8", "in"), with_unit("10", "mm"), with_unit("12mm bull 1mm", "in")
    ('1/4in ball', '3/8in', '10mm', '12mm bull 1mm')
    """
    kinds = "|".join(sorted({*_KINDS, *_PLAIN_WORDS}, key=len, reverse=True))
    bare = re.fullmatch(rf"((?:\d+(?:-|\s+))?\d+/\d+|\d+\.?\d*|\.\d+)((?:[\s-]+(?:{kinds})\b)*)", text.strip(), re.I)
    return f"{bare[1]}{unit}{bare[2]}" if bare and unit else text


def _pieces(raw: str, text: object, name: str) -> tuple[list[str], set[_End]]:
    """Return the lengths and the kinds that a cutter's text names."""
    lengths: list[str] = []
    kinds: set[_End] = set()
    if len(raw) > LONGEST:
        raise BadValue(name, text, "is not a cutter", _CUTTER_WAY)
    if re.search(r"[-+]\s*[\d.]", raw.split()[0] if raw.split() else "") and raw[:1] in "-+":
        parse_length(raw, name)
        raise BadValue(name, text, "must be greater than 0", "Give a size above nought.")
    left = raw
    for match in _PIECE.finditer(raw):
        left = left.replace(match[0], " ", 1)
        if match["length"]:
            lengths.append(match["length"].strip())
        elif match["word"].lower() in _KINDS:
            kinds.add(_KINDS[match["word"].lower()])
        elif match["word"].lower() not in _PLAIN_WORDS:
            if not lengths:
                parse_length(text, name)
            close = nearest(match["word"].lower(), list(_KINDS))
            raise BadValue(name, text, f"{match['word']} is no kind of cutter that is known here", _CUTTER_WAY + close)
    if left.strip(" -,;"):
        parse_length(text, name)  # words what cannot be read in a length
        raise BadValue(name, text, "is not a cutter", _CUTTER_WAY)
    return lengths, kinds


def resized_cutter(old: object, new: str) -> str:
    """Return the words of a new cutter, which keeps the end of the old one when it says a diameter alone.

    Examples
    --------
    >>> resized_cutter("1/2in ball", "3/8in"), resized_cutter("1/2in ball", "3/8in flat")
    ('3/8in ball', '3/8in flat')
    """
    with suppress(BadValue):
        parse_length(new, "cutter", "mm")
        tail = re.search(r"\b(?:ball|bull|flat|square|corner|vee|v)\b.*", plain_marks(str(old)), re.I)
        return f"{new} {tail[0]}" if tail else new
    return new


# --- lists of pairs ------------------------------------------------------------------------------------------

_SIGNED = r"[-+]?(?:(?:\d+(?:-|\s+))?\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:e-?\d{1,2})?)"
_DMS = r"""[-+]?\d+\s*(?:°|degrees?|degs?|d)\s*[\d.]+\s*(?:'|min|m\b)(?:\s*[\d.]+\s*(?:"|sec|s\b))?"""
_QUANTITY = rf"{_DMS}|{_SIGNED}\s*(?:[a-zµ]+\b\.?|[°'\"])?"  # compiled where a list of pairs is read
_BETWEEN = re.compile(r"(?:[\s,;:=|()\[\]]|\bat\b|\bto\b|\band\b)*", re.I)


def split_pairs(text: str, name: str) -> list[list[str]]:
    """Return the pairs of an inline list such as ``0deg 0, 90deg 0.045in``, each as two texts.

    Raises
    ------
    BadValue
        When something between the numbers cannot be read, or one number is left over.

    Examples
    --------
    >>> split_pairs("0deg 0, 90deg 0.045in", "targets")
    [['0deg', '0'], ['90deg', '0.045in']]
    """
    raw = plain_marks(text)
    way = "Write pairs like 0deg 0, 90deg 0.045in, or name a file with one pair a line."
    found: list[str] = []
    at = 0
    for match in re.finditer(_QUANTITY, raw, re.I):
        if not _BETWEEN.fullmatch(raw[at : match.start()]):
            break
        found.append(match[0].strip())
        at = match.end()
    if not _BETWEEN.fullmatch(raw[at:]):
        raise BadValue(name, raw[at : at + 40].strip(" ,;"), "cannot be read in a list of pairs", way)
    if not found or len(found) % 2:
        raise BadValue(name, text, "is not a list of pairs of place and depth", way)
    if len(found) > 2 * MOST_PAIRS:
        raise BadValue(name, f"{len(found) // 2} pairs", f"is more than {MOST_PAIRS}", "Thin the list out.")
    return [found[k : k + 2] for k in range(0, len(found), 2)]
