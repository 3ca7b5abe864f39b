"""The spindle's speed for a cutter in a material: a range from published cutting speeds, on the speeds that the machine has.

References
----------
[1] "Machine Tool Speeds and Feeds", workshop table, docslib.org/doc/5103932: recommended speeds for high-speed steel, feet a
    minute, for lathe and mill; "for carbide-tipped tools, speeds can be twice those given".  Read as an excerpt, its author
    was not seen; the row taken for stainless steel stands between tool steel and titanium, its name was not in the excerpt.
[2] "Machine Tool Fundamentals Quick Reference", protolab.certifitrax.com, U8M1-MAT-001: plastic 200 to 400 feet a minute
    with high-speed steel.
"""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec import Struct

from stepcut.plan import Plan

FOOT = Fraction(3048, 10)  # mm
Range = tuple[int, int]  # feet a minute, high-speed steel


class Speeds(Struct, frozen=True):
    """What a material is called on a card, and how fast its surface may pass a cutter of high-speed steel, ft/min."""

    called: str
    lathe: Range
    mill: Range


MATERIALS = {
    "mild-steel": Speeds("mild steel", (100, 250), (70, 120)),  # [1], as all but the last
    "alloy-steel": Speeds("hard alloy steel", (50, 150), (30, 60)),
    "tool-steel": Speeds("tool steel", (50, 150), (40, 70)),
    "stainless": Speeds("stainless steel", (60, 180), (30, 60)),
    "cast-iron": Speeds("cast iron", (100, 250), (80, 120)),
    "aluminium": Speeds("aluminium", (350, 700), (250, 500)),
    "brass": Speeds("brass", (250, 500), (150, 450)),
    "bronze": Speeds("bronze", (250, 500), (150, 450)),
    "copper": Speeds("copper", (100, 250), (100, 200)),
    "plastic": Speeds("plastic", (200, 400), (200, 400)),  # [2]
}
CARBIDE = 2  # times as fast [1]


def turns_a_minute(diameter: Fraction, feet: int) -> int:
    """Return the spindle speed for a cutting speed: the rim runs pi d in a turn; two figures are enough.

    Parameters
    ----------
    diameter : Fraction
        Of the cutter, or of the work on a lathe, mm.
    feet : int
        Cutting speed, feet a minute.

    Examples
    --------
    >>> turns_a_minute(Fraction(127, 10), 100)
    760
    """
    exact = float(feet * FOOT) / (math.pi * float(diameter))
    grain: int = 10 ** max(0, math.floor(math.log10(exact)) - 1)
    return max(1, round(exact / grain) * grain)


def of_the_machine(low: int, high: int, speeds: tuple[int, ...]) -> str:
    """Return which of the speeds that a machine has to take; empty when its file lists none.

    Examples
    --------
    >>> of_the_machine(710, 1200, (80, 325, 660, 1115, 2720)), of_the_machine(710, 1000, (80, 660, 1115))
    ('take 1115', 'take 660, the next below')
    >>> of_the_machine(50, 70, (80, 660)), of_the_machine(700, 1200, (720, 900, 1100)), of_the_machine(1, 2, ())
    ('take 80, the slowest it has', 'take 720 to 1100', '')
    """
    if not speeds:
        return ""
    inside = sorted(speed for speed in speeds if low <= speed <= high)
    if inside:
        return f"take {inside[0]}" if len(inside) == 1 else f"take {inside[0]} to {inside[-1]}"
    below = [speed for speed in speeds if speed < low]
    return f"take {max(below)}, the next below" if below else f"take {min(speeds)}, the slowest it has"


def turning_at(plan: Plan, diameter: Fraction) -> str:
    """Return what to set the spindle to for another cutter of the same material, in the material of the part."""
    material = MATERIALS[plan.material or "mild-steel"]
    low, high = (turns_a_minute(diameter, feet * (CARBIDE if plan.carbide else 1)) for feet in material.mill)
    take = of_the_machine(low, high, plan.machine.speeds)
    return f"{low} to {high} rpm{': ' if take else ''}{take}"
