"""The spindle's speed for a cutter: a range from a published table of cutting speeds.

References
----------
[1] "Machine Tool Speeds and Feeds", workshop table, docslib.org/doc/5103932, recommended speeds for high-speed steel, feet a
    minute; column for milling; read as an excerpt, its author was not seen: mild steel 70 to 120.  For aluminium it has
    250 to 500, about four times as much.
"""

from __future__ import annotations

import math
from fractions import Fraction

FOOT = Fraction(3048, 10)  # mm
MILD_STEEL = (70, 120)  # feet a minute [1]


def turns_a_minute(diameter: Fraction, feet: int) -> int:
    """Return the spindle speed for a cutting speed: the rim of the cutter runs pi d in a turn; two figures are enough.

    Parameters
    ----------
    diameter : Fraction
        Of the cutter, mm.
    feet : int
        Cutting speed, feet a minute.

    Examples
    --------
    >>> turns_a_minute(Fraction(127, 10), 100)
    760
    """
    exact = float(feet * FOOT) / (math.pi * float(diameter))
    grain: int = 10 ** max(0, math.floor(math.log10(exact)) - 1)
    return round(exact / grain) * grain


def speed_line(diameter: Fraction) -> tuple[str, str]:
    """Return what to set the spindle to, and the range."""
    low, high = (turns_a_minute(diameter, feet) for feet in MILD_STEEL)
    metres = "21 to 37 m/min"  # 70 and 120 feet
    what = (
        f"Spindle, high-speed steel in mild steel at {MILD_STEEL[0]} to {MILD_STEEL[1]} ft/min ({metres}, a published workshop "
        "table); aluminium about four times"
    )
    return what, f"{low} to {high} rpm"
