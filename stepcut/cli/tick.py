"""``stepcut tick``: tick a card off at the machine, on a screen or line by line."""

from __future__ import annotations

import sys
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import MachineName, RecipeName, Sets


def _body(
    recipe: RecipeName,
    set_: Sets = None,
    machine: MachineName = None,
    lines: Annotated[bool, typer.Option("--lines", help="Line by line instead of a screen.")] = False,
    again: Annotated[
        bool, typer.Option("--again", help="Begin anew although a job of this revision is unfinished.")
    ] = False,
) -> int:
    """Tick a card off at the machine; it begins where it was left, after a crash or a power cut too."""
    from stepcut.cli import at_machine
    from stepcut.cli import show as showing
    from stepcut.cli.screen import say
    from stepcut.errors import BadValue, WouldSpoil
    from stepcut.log.session import Session

    the_job = showing.opened(recipe, set_, machine)
    plan = showing.solved(the_job)
    if not plan.stops:
        raise BadValue("recipe", recipe, "has no steps to tick off", "Cut it by its set-up; see stepcut card.")
    with at_machine.open_log() as store:  # before the sheet, which would say the same trouble with the log once more
        sheet = showing.sheet(the_job)
        if plan.spoils:
            raise WouldSpoil("recipe", recipe, f"DO NOT CUT: {sheet.verdict.rstrip('.')}", "Mend the recipe first.")
        if not again:
            at_machine.refuse_other_values(store, the_job)
        row = at_machine.begun(store, the_job)
        if again and store.ticks(row.id):
            store.end(row.id)
            row = at_machine.begun(store, the_job)
        session = Session(store, row, sheet.rows)
        if lines or not (sys.stdin.isatty() and sys.stdout.isatty()):
            from stepcut.cli.tick_lines import run

            run(session, sheet, plan)
        else:
            from stepcut.cli.tick_screen import TickApp

            TickApp(session, sheet, plan).run_guarded()
        if session.done and session.waiting is None:
            store.end(row.id)
            say(f"Job {row.id} is done: measure, file and blue; see stepcut log show {row.id}.")
    return 0


def command() -> TyperCommand:
    """Return the command."""
    return one("tick", _body)
