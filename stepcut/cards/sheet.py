"""The sheet: a plan as rows of finished text, which every card prints in its own way.

Here the readings of the user's own scales are worded: rim angle in the direction of the dial, crank turns, depth and its
handle.  Each shape adds its own head, set-up and end in ``shapes/<shape>/words``; nothing here solves anything.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from importlib import import_module
from typing import Any

from stepcut import gate
from stepcut.cards.wording import Voice, remark_text, turns_text
from stepcut.machine import Machine, RotaryTable, Scale
from stepcut.plan import Picture, Plan, Stop
from stepcut.quantity import INCH, Unit, angle_text, decimals, length_text

CHECK_EVERY = 5


@dataclass(frozen=True)
class Row:
    """One line of the table: finished text, and what must be read after it when it closes a group."""

    n: int
    start: int
    first: str
    crank: str
    second: str
    change: str
    dial: str
    check: str = ""
    note: str = ""


@dataclass(frozen=True)
class Sheet:
    """Everything that is printed, in order."""

    shape: str
    title: str
    part: str
    revision: str
    date: str
    verdict: str  # empty, or why it must not be cut
    facts: tuple[tuple[str, str], ...]
    zero: tuple[str, ...]
    before: tuple[str, ...]
    titles: tuple[str, str, str, str, str]  # first, crank, second, change, dial
    ticks: tuple[str, str]
    rows: tuple[Row, ...]
    after: tuple[tuple[str, str], ...]  # what to measure, what to expect
    filing: tuple[tuple[str, str, str], ...]  # blue shows, still stands, volume left
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    next_time: tuple[str, ...]
    picture: Picture | None
    unit: Unit
    mate: str = ""


@dataclass(frozen=True)
class Heading:
    """What is printed at the head besides the plan."""

    title: str = ""
    part: str = "A"
    revision: str = ""
    date: str = ""
    note: str = ""
    next_time: tuple[str, ...] = ()
    unit: Unit | None = None


def voice_of(machine: Machine, unit: str | None = None) -> Voice:
    """Return how numbers are said on this machine's cards."""
    said: Unit = "mm" if (unit or machine.unit) == "mm" else "in"
    return Voice(said, machine.table.dial if machine.table else "decimal")


@dataclass(frozen=True)
class Dials:
    """Readings of one plan's scales as text."""

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

    def angle(self, degrees: Fraction) -> str:
        """Return an angle to the division of the rim."""
        rim = self.table.rim
        seconds = (rim.division * 60).denominator != 1
        return angle_text(degrees, self.table.dial, decimals(rim.division), seconds)

    def rim(self, divisions: int) -> str:
        """Return what the rim must read, from 0 to below 360 degrees, in the direction of this dial."""
        degrees = self.table.rim.value(divisions)
        return self.angle((-degrees if self.counts_down else degrees) % 360)

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
        value = scale.value(divisions) * (2 if scale.doubled else 1)
        division = scale.division * (2 if scale.doubled else 1)
        places = decimals(division / INCH if self.unit == "in" else division)
        return length_text(value, self.unit, places, with_unit=False, sign=sign)

    def handle(self, scale: Scale, divisions: int) -> str:
        """Return whole turns of a straight scale's handle and its dial; a dash when it has none."""
        if scale.per_turn is None:
            return "-"
        turns, rest = divmod(scale.value(divisions), scale.per_turn)
        return f"{turns} t {self.length(scale, scale.nearest(rest))}"


def rows_of(plan: Plan, dials: Dials, words: tuple[str, str]) -> tuple[Row, ...]:
    """Return the table's rows, with a check after every fifth stop and after the last one.

    Parameters
    ----------
    words : tuple of str
        What the two readings are called in a check line.
    """
    rows: list[Row] = []
    angular = plan.first.angular
    before: Stop | None = None
    for stop in plan.stops:
        first = dials.rim(stop.first) if angular else dials.length(plan.first, stop.first)
        second = dials.length(plan.second, stop.second)
        from_first, from_second = (before.first, before.second) if before else (0, 0)
        crank = (
            dials.crank(from_first, stop.first) if angular else dials.length(plan.first, stop.first - from_first, True)
        )
        change = dials.length(plan.second, stop.second - from_second, sign=True)
        closes = stop.n % CHECK_EVERY == 0 or stop.n == len(plan.stops)
        check = f"{words[0]} must read {first}, {words[1]} must read {second}" if closes else ""
        rows.append(
            Row(stop.n, stop.start, first, crank, second, change, dials.handle(plan.second, stop.second), check)
        )
        before = stop
    return tuple(rows)


def build(plan: Plan, heading: Heading) -> Sheet:
    """Return the sheet of a plan; the shape's own module words its head, set-up and end.

    Every text of it has been through the gate, so that no card prints what a recipe or a machine hides in a name.
    """
    module = import_module(f"stepcut.shapes.{plan.shape}.words")
    flowing = replace(
        heading, note=gate.prose(heading.note), next_time=tuple(gate.prose(words) for words in heading.next_time)
    )
    sheet: Sheet = module.sheet(plan, flowing)
    return gate.everywhere(sheet)


def verdict_of(plan: Plan, voice: Voice) -> str:
    """Return why a plan must not be cut; empty when it may."""
    return " ".join(remark_text(remark, voice) for remark in plan.remarks if remark.spoils)


def filing_of(plan: Plan, voice: Voice) -> tuple[tuple[str, str, str], ...]:
    """Return the rows of the filing table: what blue shows, what still stands, what is left to file."""
    if plan.contact is None:
        return ()
    rows = []
    for share in (0.2, 0.4, 0.6, 0.8):
        height, volume = plan.at_blue(share)
        rows.append((f"{100 * share:.0f} %", voice.length(height), volume_text(plan, voice, volume)))
    return tuple(rows)


def volume_text(plan: Plan, voice: Voice, volume: float) -> str:
    """Return a volume of a plan; that of a cam is for each mm of its thickness."""
    return voice.volume(volume) + (" a mm" if plan.result.more.get("per_mm_of_thickness") else "")


def title_of(title: str, shape: str) -> str:
    """Return the title that a card shows."""
    return title or f"Untitled {shape}"


def common(plan: Plan, heading: Heading, voice: Voice) -> dict[str, Any]:
    """Return the fields of a sheet that are alike for every shape."""
    return {
        "shape": plan.shape,
        "title": title_of(heading.title, plan.shape),
        "part": heading.part,
        "revision": heading.revision,
        "date": heading.date,
        "verdict": verdict_of(plan, voice),
        "filing": filing_of(plan, voice),
        "remarks": tuple(remark_text(remark, voice) for remark in plan.remarks if not remark.spoils),
        "next_time": heading.next_time,
        "picture": plan.picture,
        "unit": voice.unit,
    }


UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
FIRST_LINE = "Local rules, the machine's manual and licensed practice come before this card."
