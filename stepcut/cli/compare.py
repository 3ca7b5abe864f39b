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
    all_: Annotated[bool, typer.Option("--all", help="Show what is alike too.")] = False,
    width: Width = None,
) -> int:
    """Show what differs between two ways of doing a job, such as end against side of the cutter."""
    from stepcut.cards.brief import compared
    from stepcut.cli import screen
    from stepcut.cli import show as showing

    if second is None and not set_:
        raise BadValue(
            "second",
            None,
            "is missing: two ways are compared",
            "Name another recipe, or change this one with --set cutter=3/8in.",
        )
    jobs = showing.opened(first), showing.opened(second or first, set_)
    for name in dict.fromkeys(each.machine_name for each in jobs):  # a machine that is alike on both is not shown
        showing.say_example(next(each.machine for each in jobs if each.machine_name == name))
    screen.show(compared(showing.whole(jobs[0]), showing.whole(jobs[1]), screen.width(width), all_))
    return 0


def command() -> TyperCommand:
    """Return the command."""
    return one("compare", _body)
