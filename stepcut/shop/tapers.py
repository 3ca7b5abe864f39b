"""Tapers: the ways they are given, the standard ones, and the settings that cut them.

References
----------
.. [1] Table "Dimensions of Standard Tapers", as printed in machinists' handbooks of the early 20th century: taper per foot
   and end diameters of the Morse and of the Brown & Sharpe sockets.
.. [2] P. Lobben, "Machinists' and Draftsmen's Handbook", table 51, p. 477: the Jarno taper.
.. [3] ISO 1119 (values as in GOST R 53440-2009, table 1): conical tapers; ISO 7388 for 7:24 (from memory).
"""

from __future__ import annotations

import math
import re
from fractions import Fraction

from msgspec import Struct

INCH = Fraction(254, 10)


class Standard(Struct, frozen=True):
    """A standard taper: change of diameter for a length (dimensionless), and its end diameters and length, mm, if any."""

    name: str
    ratio: Fraction
    large: Fraction | None = None
    small: Fraction | None = None
    length: Fraction | None = None


def _inch(name: str, per_foot: str, large: str = "", small: str = "", length: str = "") -> Standard:
    sizes = [Fraction(text) * INCH if text else None for text in (large, small, length)]
    return Standard(name, Fraction(per_foot) / 12, *sizes)


STANDARDS: tuple[Standard, ...] = (
    # [1]; the sizes of Morse 0, 3 and 7 from memory
    _inch("Morse 0", "0.62460", "0.3561", "0.252", "2"),
    _inch("Morse 1", "0.59858", "0.475", "0.369", "2.125"),
    _inch("Morse 2", "0.59941", "0.700", "0.572", "2.5625"),
    _inch("Morse 3", "0.60235", "0.938", "0.778", "3.1875"),
    _inch("Morse 4", "0.62326", "1.231", "1.020", "4.0625"),
    _inch("Morse 4-1/2", "0.62400"),
    _inch("Morse 5", "0.63151", "1.748", "1.475", "5.1875"),
    _inch("Morse 6", "0.62565", "2.494", "2.116", "7.25"),
    _inch("Morse 7", "0.62400", "3.270", "2.750", "10"),
    # 1, 4 and 7: [1]; the others from memory
    *(
        _inch(f"Brown & Sharpe {n}", per_foot)
        for n, per_foot in enumerate(
            ("0.5020", "0.5020", "0.5020", "0.5024", "0.5016", "0.50329", "0.5015", "0.5010", "0.50085", "0.51612", "0.5010",
             "0.49973", "0.5002"), 1)
    ),
    # [2]: large n/8, small n/10, length n/2 inches
    *(_inch(f"Jarno {n}", "0.600", f"{n}/8", f"{n}/10", f"{n}/2") for n in range(2, 21)),
    # Drill-chuck tapers of the inch series, from memory (ASME B5.10 has them)
    *(
        _inch(f"JT {n}", per_foot)
        for n, per_foot in (("0", "0.59145"), ("1", "0.92508"), ("2", "0.97861"), ("3", "0.63898"), ("4", "0.62886"),
                            ("5", "0.62010"), ("6", "0.62292"), ("33", "0.76194"))
    ),
    # [3]; spindle noses and shanks of size 30, 40, 45, 50 and 60 differ in their diameters only
    Standard("7/24", Fraction(7, 24)),
    Standard("metric 1:20", Fraction(1, 20)),
    # Taper pins: 1/4 in on the diameter per foot, and 1:50 (ISO 2339); pipe threads 1:16 (ISO 7-1); all from memory
    _inch("taper pin inch", "0.250"),
    Standard("taper pin metric", Fraction(1, 50)),
    Standard("pipe thread", Fraction(1, 16)),
)  # fmt: skip
FAMILIES = (
    "Morse 0 to 7 (MT2)", "Brown & Sharpe 1 to 13 (B&S 7)", "Jarno 2 to 20", "JT 0 to 6 and 33",
    "B10 to B24", "7/24 (ISO 40)", "metric 1:20", "taper pin inch", "taper pin metric", "pipe thread",
)  # fmt: skip

# The short drill-chuck tapers of the metric series are cut from the Morse tapers (DIN 238, from memory).
_MORSE_OF = {"b10": "1", "b12": "1", "b16": "2", "b18": "2", "b22": "3", "b24": "3"}
_SPELT = (
    (re.compile(r"(?:mt|morse|mk|cm|morsetaper|mtno|morseno)\.?#?(\d(?:[-.]\d(?:/\d)?)?)"), "morse{}"),
    (re.compile(r"(?:no\.?|#)?(\d(?:-1/2)?)(?:mt|morse|morsetaper)"), "morse{}"),
    (re.compile(r"(?:b&s|bs|brown&sharpe|brownsharpe|b&sno|brown&sharpeno)\.?#?(\d+)"), "brown&sharpe{}"),
    (re.compile(r"(?:jarno|jarnono)\.?#?(\d+)"), "jarno{}"),
    (re.compile(r"jt\.?#?(\d+)"), "jt{}"),
    (re.compile(r"(?:iso|nt|nmtb|bt|sk|int)[-.]?(?:30|40|45|50|60)"), "7/24"),
    (re.compile(r"(?:metric|me)(?:80|100|120|160|200)"), "metric1/20"),
)


def _plain(name: str) -> str:
    return "".join(name.lower().split()).replace("and", "&").replace(":", "/")


def names() -> list[str]:
    """Return the names of the standard tapers."""
    return [each.name for each in STANDARDS]


def standard(name: str) -> Standard | None:
    """Return a standard taper by its name or one of its usual spellings, whatever the capitals and spaces.

    Examples
    --------
    >>> [standard(text).name for text in ("MT2", "2 MT", "No. 2 Morse", "B&S 7", "B16", "ISO 40")]
    ['Morse 2', 'Morse 2', 'Morse 2', 'Brown & Sharpe 7', 'Morse 2', '7/24']
    """
    wanted = _plain(name)
    if wanted in _MORSE_OF:
        wanted = f"morse{_MORSE_OF[wanted]}"
    for spelt, plain in _SPELT:
        match = spelt.fullmatch(wanted)
        if match:
            wanted = plain.format(*match.groups()).replace("4.5", "4-1/2")
            break
    return next((each for each in STANDARDS if _plain(each.name) == wanted), None)


def half_angle(ratio: Fraction | float) -> float:
    """Return the angle each side, degrees, of a taper given as change of diameter over length.

    Examples
    --------
    >>> round(half_angle(Fraction(7, 24)), 4)
    8.2971
    """
    return math.degrees(math.atan(float(ratio) / 2))


def ratio_of(angle: float) -> float:
    """Return change of diameter over length for an angle each side, degrees."""
    return 2 * math.tan(math.radians(angle))


def set_over(large: float, small: float, taper_length: float, work_length: float) -> float:
    """Return how far the tailstock is set over, mm: half the taper over the whole length between the centres.

    Examples
    --------
    >>> set_over(3.0, 2.0, 12.0, 12.0)
    0.5
    """
    return (large - small) / 2 * work_length / taper_length


def compound_setting(angle: float, zero: str) -> float:
    """Return the compound's graduation, degrees, for an angle each side: from the ways, or from across them."""
    return angle if zero == "along" else 90.0 - angle


def sine_block(length: float, angle: float) -> float:
    """Return the height of the blocks under a sine bar, in the unit of its length.

    Examples
    --------
    >>> round(sine_block(5.0, 23.68333), 6)
    2.008407
    """
    return length * math.sin(math.radians(angle))


def error_on_diameter(length: float, angle: float, error: float) -> float:
    """Return what an error of the angle each side does to the diameter over a length."""
    return 2 * length * (math.tan(math.radians(angle + error)) - math.tan(math.radians(angle)))


def over_rolls(small: float, roll: float, angle: float, height: float = 0.0) -> float:
    """Return the reading over two equal rolls beside a cone that stands on its small end.

    Parameters
    ----------
    small : float
        Diameter at the small end, on the plate.
    roll : float
        Diameter of the rolls.
    angle : float
        Each side, degrees.
    height : float
        Height of the blocks under both rolls.

    Notes
    -----
    Plate and cone make an angle of 90 - a beside the roll, whose centre therefore stands roll/2 / tan((90 - a)/2) from the
    corner: reading = small + 2 h tan a + roll (1 + cot((90 - a)/2)).  No outside source: derived here.
    """
    corner = math.radians(90 - angle) / 2
    return small + 2 * height * math.tan(math.radians(angle)) + roll * (1 + 1 / math.tan(corner))


def ball_depth(large: float, ball: float, angle: float) -> float:
    """Return the depth of the top of a ball below the face of a tapered bore; negative when it stands out.

    The ball of radius r touches where its centre is at depth (R - r / cos a) / tan a below a face of bore radius R.
    """
    a = math.radians(angle)
    centre = (large / 2 - ball / 2 / math.cos(a)) / math.tan(a)
    return centre - ball / 2


def sticks(angle: float, friction: float) -> bool:
    """Whether a taper of this angle each side sticks at a friction: tan a < f."""
    return math.tan(math.radians(angle)) < friction


def seat_depth(bore: float, small: float, angle: float) -> float:
    """Return how far from the small end a cone sits in the sharp edge of a bore."""
    return (bore - small) / 2 / math.tan(math.radians(angle))
