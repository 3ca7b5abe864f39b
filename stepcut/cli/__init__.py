"""The command line: one module for each command, imported when it is called.

Each command reads its inputs, solves and shows; ``screen`` owns the terminal, ``ending`` what trouble prints and the exit status.
"""

from __future__ import annotations

import os
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

from stepcut.shapes import SHAPES

# Command, and what the list of commands says of it; the module of the same name is imported on demand.
COMMANDS = {
    "start": "Be led to a first card by a few questions.",
    **{shape: f"Solve {what}." for shape, what in SHAPES.items()},
    "gears": "Find change gears for a lead.",
    "index": "Find turns and holes for divisions or an angle.",
    "card": "Solve recipes and print or write their cards.",
    "check": "Say everything worth knowing before the first cut.",
    "compare": "Show two ways of doing a job side by side.",
    "lock": "Say whether a ramp holds, and the torque to lock and release it.",
    "tick": "Tick a card off at the machine.",
    "where": "Say which cut the dials stand at.",
    "recover": "Go on after a broken cutter or a cut that went too deep.",
    "blue": "Write a blue check down and say what still stands.",
    "log": "What was done: list, show, note, reading, export, errors.",
    "again": "Open an old job in another size.",
    "read": "Find the shape of a part from measured places and depths.",
    "recipe": "Your recipes and the examples: list, show, copy.",
    "machine": "Your own machine: make it, prove it, choose it.",
    "completion": "Let your shell complete commands and names.",
}
# How the list of commands is laid out.
GROUPS = {
    "Make a plan": ("start", *SHAPES, "read"),
    "Before cutting": ("card", "check", "compare", "lock"),
    "At the machine": ("tick", "where", "recover"),
    "Afterwards": ("blue", "log", "again"),
    "Tables": ("gears", "index"),
    "Set up": ("machine", "recipe", "completion"),
}
FIRST = """\
stepcut turns a wanted shape into positions on your own machine's scales.
First:
  stepcut machine new bench        describe your machine, once
  stepcut start                    be led to a first card
Or in one line:
  stepcut ramp --outside 1-3/4in --bore 1.40in --per 5thou/10deg --span 140deg --cutter 3/8in
Then:
  stepcut card NAME                the card again, from any folder; --out card.pdf for paper
  stepcut tick NAME                tick it off at the machine
Every command: stepcut --help
"""


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
        for title, names in GROUPS.items():
            with formatter.section(title):
                formatter.write_dl([(name, COMMANDS[name]) for name in names])


app = typer.Typer(
    cls=_OnDemand,
    invoke_without_command=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if wanted:
        from stepcut import __version__

        typer.echo(__version__)
        raise typer.Exit


_VERSION = typer.Option(False, "--version", help="Show the version and end.", is_eager=True, callback=_version)


@app.callback()
def _root(ctx: typer.Context, version: bool = _VERSION) -> None:
    """Turn a wanted shape into positions on your own machine's scales, and say what is left to file."""
    if ctx.invoked_subcommand is None:
        from stepcut.cli.screen import show

        show(FIRST)


def run(arguments: list[str], last: bool = False) -> int:
    """Run one command line and return its exit status; see :func:`stepcut.cli.ending.ended`."""
    from stepcut.cli.ending import ended

    if "_STEPCUT_COMPLETE" in os.environ:  # a shell asks; see stepcut.cli.completion
        from typer._completion_classes import completion_init

        completion_init()

    def body() -> Any:
        return typer.main.get_command(app).main(args=arguments, prog_name="stepcut", standalone_mode=False)

    return ended(body, arguments, list(COMMANDS), last)
