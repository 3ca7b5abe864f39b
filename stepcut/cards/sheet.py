"""The sheet: a plan as rows of finished text, which every card prints in its own way.

Here the readings of the user's own scales are worded: rim angle in the direction of the dial, crank turns, depth and its
handle.  Each shape adds its own head, set-up and end in ``shapes/<shape>/words``; nothing here solves anything.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from importlib import import_module
from typing import Any

from stepcut import gate
from stepcut.acts import Heading
from stepcut.cards.wording import remark_text
from stepcut.plan import Picture, Plan, Stop
from stepcut.quantity import Unit
from stepcut.voice import Dials, Voice, volume_text

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
