"""``stepcut card``: solve recipes and print or write their cards."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli import show
from stepcut.cli.group import one

Sets = Annotated[
    list[str] | None, typer.Option("--set", help="Change a value, such as outside=2.25in; may be repeated.")
]


def parse_sets(sets: list[str] | None) -> dict[str, str]:
    """Return the pairs of ``--set key=value``."""
    from stepcut.errors import BadValue

    pairs = {}
    for text in sets or []:
        key, equals, value = text.partition("=")
        if not equals or not key.strip():
            raise BadValue("set", text, "is not a key and a value", "Write it like --set outside=2.25in.")
        pairs[key.strip()] = value.strip()
    return pairs


def _body(
    recipes: Annotated[list[str], typer.Argument(help="Recipe files, or names of examples.")],
    set_: Sets = None,
    machine: Annotated[str | None, typer.Option("--machine", help="Use this machine instead.")] = None,
    date: Annotated[str | None, typer.Option("--date", help="Date to print instead of today's.")] = None,
    width: Annotated[int | None, typer.Option("--width", help="Columns to print.", min=32, max=160)] = None,
    json: Annotated[bool, typer.Option("--json", help="Print the plan as JSON.")] = False,
) -> int:
    """Solve recipes and print their cards."""
    from stepcut.recipes import job, load

    status = 0
    for name in recipes:
        the_job = job(load(name).resized(parse_sets(set_)), machine)
        if json:
            show.json_text(the_job)
        else:
            show.card(the_job, width, date)
        status = max(status, int(show.solved(the_job).spoils))
    return status


def command() -> TyperCommand:
    """Return the command."""
    return one("card", _body)
