"""How numbers are said: lengths in the card's unit, angles as the dial reads, readings of the machine's own scales."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property, lru_cache

from msgspec import Struct

from stepcut.machine import Machine, RotaryTable, Scale
from stepcut.plan import Plan
from stepcut.quantity import INCH, Dial, Unit
from stepcut.written import angle_text, decimals, length_text, size_text


class Voice(Struct, frozen=True):
    """How numbers are said: the unit of lengths, and whether angles go in minutes."""

    unit: Unit
    dial: Dial = "decimal"

    def length(self, mm: float | Fraction, places: int | None = None) -> str:
        """Return a measured length."""
        return length_text(mm, self.unit, places)

    def fine(self, mm: float | Fraction) -> str:
        """Return a length to five decimals, and one that would be nought in them to two figures.

        Examples
        --------
        >>> Voice("in").fine(Fraction(1, 20)), Voice("in").fine(0.000002), Voice("mm").fine(0.0)
        ('0.00197 in', '0.000000079 in', '0.00000 mm')
        """
        value = abs(float(mm)) / (25.4 if self.unit == "in" else 1.0)
        return self.length(mm, 5 if value == 0 or value >= 5e-6 else 1 - math.floor(math.log10(value)))

    def apart(self, one: float | Fraction, other: float | Fraction) -> tuple[str, str]:
        """Return two different lengths with as many decimals as tell them apart, at most two more than usual.

        Examples
        --------
        >>> Voice("mm").apart(0.0104, 0.01), Voice("mm").apart(0.013, 0.01)
        (('0.0104 mm', '0.0100 mm'), ('0.013 mm', '0.010 mm'))
        """
        usual = 4 if self.unit == "in" else 3
        for places in (usual, usual + 1, usual + 2):
            said = self.length(one, places), self.length(other, places)
            if said[0] != said[1]:
                break
        return said

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


def nought(name: str, scale: Scale | None) -> str:
    """Return what is set to nought at a scale: its reading, and the dial of its handle where it has one.

    Examples
    --------
    >>> nought("depth", Scale("quill", Fraction(1, 100))), nought("depth", Scale("knee", Fraction(1, 100), Fraction(2)))
    ('depth', 'depth and dial')
    """
    return name if scale is None or scale.per_turn is None else f"{name} and dial"


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


class Dials(Struct, frozen=True, dict=True):
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

    @cached_property
    def _seconds(self) -> bool:
        """Whether any position of the plan stands between two minutes; where none does, seconds say nothing."""
        if (self.table.rim.division * 60).denominator == 1 or not self.plan.first.angular:
            return False
        return any(60 % self.plan.first.value(stop.first).denominator != 0 for stop in self.plan.stops)

    def angle(self, degrees: Fraction) -> str:
        """Return an angle to the division of the rim; with seconds where some position of the plan has any."""
        shows_seconds, places = self._rim
        seconds = shows_seconds and (self._seconds or 60 % degrees.denominator != 0)
        return angle_text(degrees, self.table.dial, places, seconds)

    @cached_property
    def _rim(self) -> tuple[bool, int]:
        """Whether the rim shows seconds, and its decimals."""
        division = self.table.rim.division
        return 60 % division.denominator != 0, decimals(division)

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

    @cached_property
    def circle(self) -> int | None:
        """The hole circle of the whole job: the one whose worst place is nearest; None for a table with a dial.

        Places are counted in holes from nought, each rounded for itself, so that no error builds up.  Where a hole would stand
        half a mark of the rim or more from its place, the rim could not agree with it: the dial is read then.
        """
        if not self.table.hole_circles or not self.plan.first.angular:
            return None
        per_turn = self.table.degrees_per_turn
        turns = {self.plan.first.value(stop.first) / per_turn for stop in self.plan.stops}
        worst = {c: max((_off(turn, c) for turn in turns), default=Fraction(0)) for c in self.table.hole_circles}
        best = min(worst, key=lambda c: (worst[c], c))
        return best if worst[best] * per_turn * 2 < self.plan.first.division else None

    @property
    def circle_error(self) -> Fraction:
        """How far the worst place of the job stands from its hole, degrees."""
        if self.circle is None:
            return Fraction(0)
        per_turn, circle = self.table.degrees_per_turn, self.circle
        places = (self.plan.first.value(stop.first) / per_turn for stop in self.plan.stops)
        return max((_off(place, circle) for place in places), default=Fraction(0)) * per_turn

    def hole(self, degrees: Fraction) -> int:
        """Return the hole of the job's circle nearest to a table position, counted from nought over all turns."""
        assert self.circle is not None  # noqa: S101  # asked only of a table with plates
        return math.floor(degrees / self.table.degrees_per_turn * self.circle + Fraction(1, 2))

    @property
    def crank(self) -> str:
        """What the crank is set by: a hole of the job's circle, its dial, or the rim alone where it has no dial."""
        return "hole" if self.circle is not None else "dial" if self.table.crank_dial else "rim"

    @property
    def label(self) -> str:
        """What is read at the crank: its pin where it stands in a hole, else its dial."""
        return "pin" if self.circle is not None else "dial"

    @property
    def cranked(self) -> str:
        """The turn of a cut in a few words."""
        return "crank on until the rim reads it" if self.crank == "rim" else f"crank to the {self.crank}, rim agrees"

    @property
    def nought(self) -> str:
        """What is set to nought where the table begins."""
        return "rim and dial" if self.table.crank_dial else "rim"

    def way(self, seen: str) -> tuple[str, str]:
        """Return which way the table comes to every mark, seen from where, as a box of the set-up.

        It is not said to turn that way only: in the passes of a sweep, and when a mark is overshot, it goes back with the cutter clear.
        """
        return (
            f"Table turns to each mark (rim {'falls' if self.counts_down else 'grows'}), {seen}",
            self.plan.turning.upper(),
        )

    def landing(self, degrees: Fraction) -> str:
        """Return where the crank lands at a table position: what its dial reads, or the hole of the job's circle; empty without one."""
        if self.circle is not None:
            return f"hole {self.hole(degrees) % self.circle} of {self.circle}"
        return self.angle(self.dial_at(degrees)) if self.table.crank_dial else ""

    def landed(self, degrees: Fraction) -> str:
        """Return crank and rim at a table position: ``dial 2°, rim 70°``."""
        there = self.landing(degrees)
        return (
            f"{'' if self.circle is not None else 'dial '}{there}, rim {self.rim_at(degrees)}"
            if there
            else f"rim {self.rim_at(degrees)}"
        )

    def turning(self, at: Fraction, to: Fraction) -> str:
        """Return the turns of the crank from one table position on to another: a plain fraction, or whole turns and on.

        A move that is no plain fraction of a turn is said as the whole turns that are certain; the dial says the rest.
        With plates it is whole turns and spaces between holes.
        """
        if self.circle is not None:
            whole, spaces = divmod(self.hole(to) - self.hole(at), self.circle)
            text = turns_text(Fraction(whole)) if whole or not spaces else ""
            return " + ".join(
                part for part in (text, f"{spaces} space{'s' if spaces > 1 else ''}" if spaces else "") if part
            )
        turns = (to - at) / self.table.degrees_per_turn
        if turns.denominator <= 8:
            return turns_text(turns)
        whole = math.floor(turns)
        return f"{whole} turn{'' if whole == 1 else 's'} and on" if whole else "on"

    def length(self, scale: Scale, divisions: int, sign: bool = False) -> str:
        """Return a position or a move on a straight scale, to its division, as the scale shows it."""
        return self.at(scale, scale.value(divisions), sign)

    def at(self, scale: Scale, value: Fraction, sign: bool = False) -> str:
        """Return a position in mm on a straight scale, to its division, as the scale shows it."""
        division = scale.division
        places = _places(division.numerator, division.denominator, scale.doubled, self.unit)
        return length_text(value * 2 if scale.doubled else value, self.unit, places, with_unit=False, sign=sign)


@lru_cache(maxsize=64)  # asked for every number of a card; whole numbers are found again faster than a fraction is
def _places(over: int, under: int, doubled: bool, unit: Unit) -> int:
    """Return the decimals of a straight scale whose division is over / under mm."""
    division = Fraction(over * (2 if doubled else 1), under)
    return decimals(division / INCH if unit == "in" else division)


def _off(turns: Fraction, circle: int) -> Fraction:
    """Return how far a place, in turns of the crank, stands from the nearest hole of a circle; turns."""
    holes = turns * circle
    return abs(holes - math.floor(holes + Fraction(1, 2))) / circle
