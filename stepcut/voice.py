"""How numbers are said: lengths in the card's unit, angles as the dial reads, readings of the machine's own scales."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from stepcut.machine import Machine, RotaryTable, Scale
from stepcut.plan import Plan
from stepcut.quantity import INCH, Dial, Unit, angle_text, decimals, length_text, size_text


@dataclass(frozen=True)
class Voice:
    """How numbers are said: the unit of lengths, and whether angles go in minutes."""

    unit: Unit
    dial: Dial = "decimal"

    def length(self, mm: float | Fraction, places: int | None = None) -> str:
        """Return a measured length."""
        return length_text(mm, self.unit, places)

    def size(self, mm: Fraction | float) -> str:
        """Return a nominal size."""
        return size_text(Fraction(mm).limit_denominator(10**6), self.unit)

    def angle(self, degrees: float | Fraction) -> str:
        """Return an angle as this dial reads."""
        return angle_text(degrees, self.dial)

    def degrees(self, degrees: float | Fraction) -> str:
        """Return an angle that is spoken of, not dialled: whole degrees without minutes or decimals."""
        whole = Fraction(degrees).limit_denominator(10**6)
        return f"{whole}°" if whole.denominator == 1 else self.angle(degrees)

    def volume(self, mm3: float) -> str:
        """Return a volume: mm^3, or cubic inches to four decimals."""
        return f"{mm3:.1f} mm³" if self.unit == "mm" else f"{mm3 / 25.4**3:.4f} in³"


def voice_of(machine: Machine, unit: str | None = None) -> Voice:
    """Return how numbers are said on this machine's cards."""
    said: Unit = "mm" if (unit or machine.unit) == "mm" else "in"
    return Voice(said, machine.table.dial if machine.table else "decimal")


def turns_text(turns: Fraction) -> str:
    """Return crank turns as a mixed fraction.

    Examples
    --------
    >>> turns_text(Fraction(5, 2)), turns_text(Fraction(1)), turns_text(Fraction(1, 2)), turns_text(Fraction(31, 30))
    ('2 1/2 turns', '1 turn', '1/2 turn', '1.033 turns')
    """
    whole, rest = divmod(turns, 1)
    if rest.denominator > 8:
        return f"{float(turns):.3f} turns"
    text = " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
    return f"{text} turn{'' if 0 < turns <= 1 else 's'}"


def volume_text(plan: Plan, voice: Voice, volume: float) -> str:
    """Return a volume of a plan; that of a cam is for each mm of its thickness."""
    return voice.volume(volume) + (" a mm" if plan.result.more.get("per_mm_of_thickness") else "")


@dataclass(frozen=True)
class Dials:
    """Readings of one plan's scales as text.

    Rim readings have whole degrees, minutes, seconds or decimals: as few as all of the plan's positions need, and never
    more than the scale shows.
    """

    plan: Plan
    unit: Unit

    @property
    def table(self) -> RotaryTable:
        """The rotary table; the caller knows that there is one."""
        assert self.plan.machine.table is not None  # noqa: S101  # a plan with a table axis has a table
        return self.plan.machine.table

    @property
    def counts_down(self) -> bool:
        """Whether the rim reading falls while the table turns."""
        return self.plan.turning != self.table.counts_up

    @cached_property
    def _whole(self) -> bool:
        """Whether every rim reading of the plan is a whole degree."""
        return all(self.plan.first.value(stop.first).denominator == 1 for stop in self.plan.stops)

    def angle(self, degrees: Fraction) -> str:
        """Return an angle to the division of the rim."""
        rim = self.table.rim
        seconds = (rim.division * 60).denominator != 1
        return angle_text(degrees, self.table.dial, decimals(rim.division), seconds)

    def rim(self, divisions: int) -> str:
        """Return what the rim must read, from 0 to below 360 degrees, in the direction of this dial."""
        return self.rim_at(self.table.rim.value(divisions))

    def rim_at(self, degrees: Fraction) -> str:
        """Return what the rim must read at a table position that may have grown past 360 degrees."""
        reading = (-degrees if self.counts_down else degrees) % 360
        if self._whole and reading.denominator == 1:
            return f"{reading}°"
        return self.angle(reading)

    def dial_at(self, degrees: Fraction) -> Fraction:
        """Return what the crank's dial reads at a table position, degrees."""
        return (-degrees if self.counts_down else degrees) % self.table.degrees_per_turn

    def crank(self, before: int, after: int) -> str:
        """Return the crank turns from one position to the next and what the crank's dial then reads."""
        rim, per_turn = self.table.rim, self.table.degrees_per_turn
        moved = rim.value(after - before)
        if self.table.hole_circles:
            return self._holes(moved / per_turn)
        position = rim.value(after)
        dial = (-position if self.counts_down else position) % per_turn
        turns = moved / per_turn
        if turns.denominator <= 8:
            return f"{turns_text(turns)}, dial {self.angle(dial)}"
        return f"{int(turns)} + {self.angle(moved - int(turns) * per_turn)}, dial {self.angle(dial)}"

    def turning(self, moved: Fraction) -> str:
        """Return the turns of the crank for a move of the table in degrees: a plain fraction, or whole turns and on.

        A move that is no plain fraction of a turn is said as the whole turns that are certain; the dial says the rest.
        """
        turns = moved / self.table.degrees_per_turn
        if self.table.hole_circles:
            return self._holes(turns)
        if turns.denominator <= 8:
            return turns_text(turns)
        whole = math.floor(turns)
        return f"{whole} turn{'' if whole == 1 else 's'} and on" if whole else "on"

    def _holes(self, turns: Fraction) -> str:
        """Return whole turns and holes in the smallest circle that gives them exactly, or the dial's nearest."""
        whole, rest = divmod(turns, 1)
        if not rest:
            return turns_text(turns)
        for circle in sorted(self.table.hole_circles):
            if (rest * circle).denominator == 1:
                return f"{whole} + {rest * circle} spaces in {circle}"
        circle = min(self.table.hole_circles, key=lambda c: abs(round(rest * c) - rest * c) / c)
        return f"{whole} + {round(rest * circle)} spaces in {circle} (nearest)"

    def length(self, scale: Scale, divisions: int, sign: bool = False) -> str:
        """Return a position or a move on a straight scale, to its division, as the scale shows it."""
        return self.at(scale, scale.value(divisions), sign)

    def at(self, scale: Scale, value: Fraction, sign: bool = False) -> str:
        """Return a position in mm on a straight scale, to its division, as the scale shows it."""
        shown = value * (2 if scale.doubled else 1)
        division = scale.division * (2 if scale.doubled else 1)
        places = decimals(division / INCH if self.unit == "in" else division)
        return length_text(shown, self.unit, places, with_unit=False, sign=sign)

    def handle(self, scale: Scale, divisions: int) -> str:
        """Return whole turns of a straight scale's handle and its dial; a dash when it has none."""
        if scale.per_turn is None:
            return "-"
        turns, rest = divmod(scale.value(divisions), scale.per_turn)
        return f"{turns} t {self.length(scale, scale.nearest(rest))}"
