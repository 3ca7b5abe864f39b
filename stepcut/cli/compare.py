"""``stepcut compare``: two ways of doing a job side by side."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Sets, Text, Width
from stepcut.errors import BadValue


def _body(
    first: Annotated[str, typer.Argument(help="Recipe file, or name of an example.")],
    second: Annotated[Text, typer.Argument(help="Another recipe; or change the first with --set.")] = None,
    set_: Sets = None,
    width: Width = None,
) -> int:
    """Show two ways of doing a job side by side, such as end against side of the cutter."""
    from stepcut.cards.brief import side_by_side
    from stepcut.cli import screen
    from stepcut.cli import show as showing

    if second is None and not set_:
        raise BadValue("second", None, "is missing", "Name another recipe, or change this one with --set cutter=3/8in.")
    jobs = showing.opened(first), showing.opened(second or first, set_)
    sheets = [showing.sheet(each) for each in jobs]
    plans = showing.solved(jobs[0]), showing.solved(jobs[1])
    screen.show(side_by_side(sheets[0], sheets[1], plans, screen.width(width)))
    return 0


def command() -> TyperCommand:
    """Return the command."""
    return one("compare", _body)
