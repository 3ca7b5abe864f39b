"""The command line: one module for each command, imported when it is called.

Each command reads its inputs, solves and shows; ``screen`` owns the terminal, ``ending`` what trouble prints and the exit status.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

from stepcut.shapes import SHAPES

# Command, and what the list of commands says of it; the module of the same name is imported on demand.
COMMANDS = {
    "start": "Be led to a first card by a few questions.",
    "ramp": "Solve a face ramp from options.",
    "helix": "Solve a helical groove from options.",
    "taper": "Solve a taper and its set-ups from options.",
    "radius": "Solve a turned ball, fillet or cove from options.",
    "profile": "Solve a turned profile from a list of targets.",
    "cam": "Solve a rim cam from its segments.",
    "gears": "Find change gears for a lead.",
    "index": "Find turns and holes for divisions or an angle.",
    "card": "Solve recipes and print or write their cards.",
    "check": "Say everything worth knowing before the first cut.",
    "compare": "Show two ways of doing a job side by side.",
    "lock": "Say whether a ramp holds, and the torque to lock and release it.",
    "tick": "Tick a card off at the machine.",
    "where": "Say which stop the dials stand at.",
    "recover": "Go on after a broken cutter or a stop cut too deep.",
    "blue": "Write a blue check down and say what still stands.",
    "log": "What was done: list, show, note, reading, export, errors.",
    "again": "Open an old job in another size.",
    "read": "Find the shape of a part from measured places and depths.",
    "recipe": "List, show or copy the example recipes.",
    "machine": "List, show or make a machine.",
}


class _OnDemand(TyperGroup):
    """Commands that are imported only when they are called, so that a start costs one of them."""

    def list_commands(self, ctx: Any) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: Any, cmd_name: str) -> TyperCommand | None:
        if cmd_name not in COMMANDS:
            return None
        if cmd_name in SHAPES:
            from stepcut.cli.shape import command_for

            command = command_for(cmd_name)
        else:
            command = import_module(f"stepcut.cli.{cmd_name}").command()
        command.name = cmd_name
        return command

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


app = typer.Typer(
    cls=_OnDemand, no_args_is_help=True, add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False
)


def _version(wanted: bool) -> None:
    if wanted:
        from stepcut import __version__

        typer.echo(__version__)
        raise typer.Exit


_VERSION = typer.Option(False, "--version", help="Show the version and end.", is_eager=True, callback=_version)


@app.callback()
def _root(version: bool = _VERSION) -> None:
    """Turn a wanted shape into positions on your own machine's scales, and say what is left to file."""


def run(arguments: list[str]) -> int:
    """Run one command line and return its exit status; see :mod:`stepcut.cli.ending`."""
    from stepcut.cli.ending import ended

    def body() -> Any:
        return typer.main.get_command(app).main(args=arguments, prog_name="stepcut", standalone_mode=False)

    return ended(body, arguments, list(COMMANDS))
