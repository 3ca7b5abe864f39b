"""Arguments and options that several commands have, said once."""

from __future__ import annotations

from typing import Annotated, TypeVar

import typer

Text = str | None
T = TypeVar("T", str, int)


def _recipes(incomplete: str) -> list[str]:
    from stepcut.cli.completion import recipe_names

    return recipe_names(incomplete)


def _machines(incomplete: str) -> list[str]:
    from stepcut.cli.completion import machine_names

    return machine_names(incomplete)


RecipeName = Annotated[
    str, typer.Argument(help="Recipe file, or name of your own or of an example.", autocompletion=_recipes)
]
RecipeNames = Annotated[
    list[str], typer.Argument(help="Recipe files, or names of your own or of examples.", autocompletion=_recipes)
]
RecipeOrJob = Annotated[
    Text,
    typer.Argument(help="Recipe file, or name of your own or of an example; or give --job.", autocompletion=_recipes),
]
RecipeOrLast = Annotated[
    Text,
    typer.Argument(
        help="Recipe or its name; or give --job. Left out, the job that was cut last.", autocompletion=_recipes
    ),
]
JobNumber = Annotated[
    int | None, typer.Option("--job", help="Number of a job in the log, as it was begun; see stepcut log list.", min=1)
]
UseName = Annotated[Text, typer.Option("--for", help="What it is for: clamp (must hold), dog (must let go) or lift.")]
Sets = Annotated[
    list[str] | None, typer.Option("--set", help="Change a value, such as outside=2.25in; may be repeated.")
]
MachineName = Annotated[Text, typer.Option("--machine", help="Use this machine instead.", autocompletion=_machines)]
Width = Annotated[int | None, typer.Option("--width", help="Columns to print.", min=32, max=160)]
Save = Annotated[
    Text, typer.Option("--save", help="Keep the recipe under this name (found from any folder), or as this file.")
]
Force = Annotated[bool, typer.Option("--force", help="Replace a file that stands already.")]


def called(old: str, given: T | None, new: str, value: T | None) -> T | None:
    """Return what an option says, under its own name or an old one; an old one is said to be renamed.

    Raises
    ------
    BadValue
        When both are given.
    """
    if given is None:
        return value
    from stepcut import gate
    from stepcut.cli.screen import say
    from stepcut.errors import BadValue

    if value is not None:
        raise BadValue(old, given, f"is the old name of {new}, which is given too", "Leave one of them out.")
    say(f"--{old} is now called --{new}; it was read as {new} = {gate.line(str(given))}.")
    return given
