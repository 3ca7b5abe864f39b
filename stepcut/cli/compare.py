"""``stepcut compare``: two ways of doing a job side by side."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.errors import BadValue

Text = str | None


def _body(
    first: Annotated[str, typer.Argument(help="Recipe file, or name of an example.")],
    second: Annotated[Text, typer.Argument(help="Another recipe; or change the first with --set.")] = None,
    set_: Annotated[list[str] | None, typer.Option("--set", help="Change a value on the second side.")] = None,
    width: Annotated[int | None, typer.Option("--width", help="Columns to print.", min=32, max=160)] = None,
) -> int:
    """Show two ways of doing a job side by side, such as end against side of the cutter."""
    from stepcut.cards.brief import side_by_side
    from stepcut.cli import screen
    from stepcut.cli import show as showing
    from stepcut.cli.card import parse_sets
    from stepcut.recipes import job, load

    if second is None and not set_:
        raise BadValue("second", None, "is missing", "Name another recipe, or change this one with --set cutter=3/8in.")
    jobs = job(load(first)), job(load(second or first).resized(parse_sets(set_)))
    sheets = [showing.sheet(each) for each in jobs]
    plans = showing.solved(jobs[0]), showing.solved(jobs[1])
    screen.show(side_by_side(sheets[0], sheets[1], plans, screen.width(width)))
    return 0


def command() -> TyperCommand:
    """Return the command."""
    return one("compare", _body)
