"""Making a command from a function, or a small group of them, the same way everywhere."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import typer
from typer.core import TyperCommand


def one(name: str, body: Callable[..., Any]) -> TyperCommand:
    """Return a command made from a function's signature."""
    app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
    app.command(name)(body)
    built: TyperCommand = typer.main.get_command(app)  # type: ignore[assignment]  # one command, so no group
    return built


def several(help_text: str, bodies: Mapping[str, Callable[..., Any]]) -> TyperCommand:
    """Return a group of commands by name."""
    app = typer.Typer(
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        help=help_text,
        no_args_is_help=True,
    )
    app.callback()(lambda: None)
    for name, body in bodies.items():
        app.command(name)(body)
    built: TyperCommand = typer.main.get_command(app)  # type: ignore[assignment]  # typer gives a group, which is called alike
    return built
