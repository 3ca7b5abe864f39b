"""``stepcut tick``: tick a card off at the machine, on a screen or line by line."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import JobNumber, MachineName, RecipeOrJob, Sets

if TYPE_CHECKING:
    from stepcut.cli.begun import Begun
    from stepcut.log.store import Store, WholeJob


def _body(
    recipe: RecipeOrJob = None,
    job: JobNumber = None,
    set_: Sets = None,
    machine: MachineName = None,
    piece: Annotated[str, typer.Option("--piece", help="Which piece, when several are cut of one recipe.")] = "1",
    lines: Annotated[bool, typer.Option("--lines", help="Line by line instead of a screen.")] = False,
    again: Annotated[bool, typer.Option("--again", help="Begin anew although a job of it is unfinished.")] = False,
) -> int:
    """Tick a card off at the machine; it begins where it was left, after a crash or a power cut too."""
    from stepcut.cli import at_machine
    from stepcut.cli.begun import as_begun
    from stepcut.errors import BadValue

    if (recipe is None) == (job is None) or (job is not None and (set_ or machine or again)):
        raise BadValue("recipe", recipe, "or a job is wanted, one of the two", "Name a recipe, or give --job alone.")
    with at_machine.open_log() as store:
        row = store.job(job) if job is not None else _row(store, str(recipe), set_, machine, piece, again)
        _tick(store, as_begun(row, partly=True), lines)
    return 0


def _row(store: Store, recipe: str, sets: list[str] | None, machine: str | None, piece: str, again: bool) -> WholeJob:
    """Return the job of a recipe that may be ticked off."""
    from stepcut.cli import show as showing
    from stepcut.cli.begun import open_or_begun
    from stepcut.errors import WouldSpoil

    the_job = showing.opened(recipe, sets, machine)
    plan = showing.solved(the_job)
    if plan.spoils:
        verdict = showing.whole(the_job).verdict.rstrip(".")
        raise WouldSpoil("recipe", recipe, f"DO NOT CUT: {verdict}", "Mend the recipe first.")
    return open_or_begun(store, the_job, recipe, piece, again)


def _tick(store: Store, begun: Begun, lines: bool) -> None:
    """Tick a job off on a screen or line by line, and end it when everything is done."""
    from stepcut.cli.screen import say
    from stepcut.log.session import Session
    from stepcut.log.steps import steps

    session = Session(store, begun.row, steps(begun.card))
    if lines or not (sys.stdin.isatty() and sys.stdout.isatty()):
        from stepcut.cli.tick_lines import run

        run(session, begun.card)
    else:
        from stepcut.cli.tick_screen import TickApp

        TickApp(session, begun.card).run_guarded()
    now = session.look()
    if now.done and now.job.ended is None:
        store.end(now.job.id)
        say(f"Job {now.job.id} is done: file and blue; see stepcut log show {now.job.id}.")


def command() -> TyperCommand:
    """Return the command."""
    return one("tick", _body)
