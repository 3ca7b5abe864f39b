"""The command line: one module for each command, imported when it is called.

Each command reads its inputs, solves and shows; ``screen`` owns the terminal.  Errors are worded elsewhere and end here.
"""

from __future__ import annotations

import os
import sys
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup
from typer.exceptions import Abort, TyperException

from stepcut.errors import StepcutError

# Command, and what the list of commands says of it; the module of the same name is imported on demand.
COMMANDS = {
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
        command: TyperCommand = import_module(f"stepcut.cli.{cmd_name}").command()
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
    """Run one command line and return its exit status: 0 done, 1 would spoil, 2 bad input, 3 file trouble."""
    try:
        result: Any = typer.main.get_command(app).main(args=arguments, prog_name="stepcut", standalone_mode=False)
    except StepcutError as trouble:
        _complain(str(trouble))
        return trouble.exit_status
    except TyperException as trouble:
        _complain(f"{trouble.format_message()}{_hint(trouble, arguments)}")
        return 2
    except (Abort, KeyboardInterrupt):
        _complain("Stopped.")
        return 130
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115, PTH123  # the reader has gone; nothing more can be written
        return 0
    except OSError as trouble:
        _complain(
            f"{trouble.filename or 'file'}: {(trouble.strerror or str(trouble)).lower()}. Check the name, the folder and the space left."
        )
        return 3
    return result if isinstance(result, int) else 0


def _hint(trouble: TyperException, arguments: list[str]) -> str:
    from stepcut.errors import nearest

    text = trouble.format_message()
    if "No such option" in text and "Did you mean" not in text:
        return " See the command with --help."
    if "No such command" in text and arguments:
        return f"{nearest(arguments[0], list(COMMANDS))} See stepcut --help."
    return ""


def _complain(message: str) -> None:
    from stepcut.cards.terminal import plain

    print(plain(message, getattr(sys.stderr, "encoding", None)), file=sys.stderr)
