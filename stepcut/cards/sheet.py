"""The card as rows of text, for the cards that still print a table of rows: all of it taken from :class:`~stepcut.acts.Card`."""

from __future__ import annotations

from msgspec import Struct

from stepcut.acts import Card, Group, Heading, Line
from stepcut.plan import Picture, Plan
from stepcut.quantity import Unit
from stepcut.routine import card


class Row(Struct, frozen=True):
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


class Sheet(Struct, frozen=True):
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


def build(plan: Plan, heading: Heading) -> Sheet:
    """Return the sheet of a plan."""
    return sheet_of(card(plan, heading))


def sheet_of(whole: Card) -> Sheet:
    """Return a card as a sheet of rows."""
    words = whole.words
    head = (*words.head, ("Machine", whole.machine_line), *words.desk)
    return Sheet(
        shape=whole.shape,
        title=whole.title,
        part=whole.part,
        revision=whole.revision,
        date=whole.date,
        verdict=whole.verdict,
        facts=head + ((("Note", whole.note),) if whole.note else ()),
        zero=(" > ".join(whole.cycle),),
        before=tuple(f"{item.what} ... {item.answer}" for item in whole.set_up),
        titles=(words.names[0], "crank" if whole.plan.first.angular else "handle", words.names[1], "change", "dial"),
        ticks=words.ticks,
        rows=tuple(row for group in whole.groups for row in _rows(group)),
        after=tuple((item.what, item.expect) for item in whole.after),
        filing=whole.filing,
        remarks=whole.remarks,
        cautions=words.cautions,
        next_time=whole.next_time,
        picture=whole.plan.picture,
        unit=whole.unit,
        mate=words.mate,
    )


def _rows(group: Group) -> list[Row]:
    rows = []
    for line in group.lines:
        change = group.change if line is group.lines[0] else None
        note = "; ".join(part for part in (change.text if change else "", line.note) if part)
        check = group.check if group.check and line is group.lines[-1] else None
        must = ", ".join(f"{reading.label} must read {reading.text}" for reading in check.readings) if check else ""
        rows.append(_row(line, must, note))
    return rows


def _row(line: Line, check: str, note: str) -> Row:
    first, second = line.first, line.second
    crank = f"{first.turns}, dial {first.dial}" if first.dial else "-"
    dial = f"{second.turns}, dial {second.dial}" if second.dial else "-"
    return Row(line.n, line.start, first.reads.text, crank, second.reads.text, line.change or "-", dial, check, note)
