"""``stepcut log read-back``: what was ticked, noted and found on the phone, taken into the log."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from stepcut.cli.options import MachineName, Sets

if TYPE_CHECKING:
    from stepcut.acts import Card
    from stepcut.log.read_back import ReadBack, Said
    from stepcut.log.store import JobRow, Store, WholeJob
    from stepcut.plan import Plan


def body(
    file: Annotated[str, typer.Argument(help="File that the phone card saved, or its copied text; - reads it.")],
    recipe: Annotated[
        str | None, typer.Argument(help="Its recipe, where the log has no job of it yet; one is begun then.")
    ] = None,
    set_: Sets = None,
    machine: MachineName = None,
) -> None:
    """Take ticks with their times, notes and readings from the phone's card into the log; twice is as once."""
    from stepcut.cli import at_machine
    from stepcut.cli.begun import as_begun
    from stepcut.cli.ending import past_stopping
    from stepcut.cli.screen import say
    from stepcut.files import read_text
    from stepcut.log.read_back import parse

    back = parse(read_text(Path(file)), file)
    with at_machine.open_log() as store:
        row = _job(store, back, recipe, set_, machine)
        begun = as_begun(row, partly=True)
        ticks = _ticks(back, begun.card, file)
        readings, notes = _readings(back, begun.plan)
        past_stopping()
        new = store.take_in(row.id, ticks, notes, readings)
        left = row.stops - sum(what == "cut" for _, what in store.ticks(row.id))
    said = [
        f"{count} {word}{'' if count == 1 else 's'}"
        for count, word in zip(new, ("tick", "note", "reading"), strict=True)
    ]
    say(f"Job {row.id}: {', '.join(said)} taken in{'' if any(new) else '; all of it stood there already'}.")
    say(f"{left} of {row.stops} cuts are not ticked." if left else "Every cut is ticked.")


def _job(store: Store, back: ReadBack, recipe: str | None, sets: list[str] | None, machine: str | None) -> WholeJob:
    """Return the job that the text belongs to, the newest one; begun from its recipe when there is none."""
    from stepcut import gate
    from stepcut.cli import at_machine, show
    from stepcut.errors import BadValue

    def same(row: JobRow) -> bool:
        shown = (gate.line(row.named), gate.line(row.part), row.revision, row.piece)
        return shown == (back.title, back.part, back.revision, back.piece)

    rows = [row for row in store.jobs() if same(row)]
    if rows:
        return store.job(next((row for row in rows if row.ended is None), rows[0]).id)
    what = gate.line(f"{back.title}, part {back.part}, revision {back.revision}, piece {back.piece}")
    if recipe is None:
        raise BadValue("recipe", None, f"is wanted: the log has no job of {what}", "Name its recipe behind the file.")
    the_job = show.opened(recipe, sets, machine)
    if the_job.revision != back.revision:
        rule = f"is revision {the_job.revision}, and the phone's card is {what}"
        raise BadValue("recipe", recipe, rule, "Give the recipe, sizes and machine that the card was made of.")
    return at_machine.begun(store, the_job, back.piece)


def _ticks(back: ReadBack, card: Card, file: str) -> list[tuple[int, str, str]]:
    """Return number, word and time of what was done: the ticks that the steps of the card stand under.

    Raises
    ------
    BadValue
        When the acts are not those of this card: then the numbers would say something else.
    """
    from stepcut.errors import BadValue
    from stepcut.log.steps import steps

    keys = {tuple(act.n for act in step.screen.acts): step.key for step in steps(card)}
    if any(done.acts not in keys for done in back.done):
        way = "Use the program that made it; nothing was written."
        raise BadValue("file", file, "has other acts than the card has in this program", way)
    return [(*keys[done.acts], done.at) for done in back.done]


def _readings(back: ReadBack, plan: Plan) -> tuple[list[tuple[int, str, float, float]], list[Said]]:
    """Return the readings as numbers, and as notes what is in words or cannot be read as a number of its cut."""
    from stepcut.cli.at_machine import reading_of
    from stepcut.errors import BadValue
    from stepcut.log.read_back import Said

    numbers: list[tuple[int, str, float, float]] = []
    notes = [*back.notes, *back.troubles]
    for said in back.readings:
        if said.cut is not None and said.cut <= len(plan.stops):
            with suppress(BadValue):
                numbers.append((said.cut, said.at, *reading_of(plan, said.text, back.unit, said.cut)))
                continue
        notes.append(Said(said.at, said.cut, f"found {said.text}, which is no reading of this cut"))
    return numbers, [*notes, *back.measured]
