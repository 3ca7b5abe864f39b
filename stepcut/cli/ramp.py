"""``stepcut ramp``: solve a ramp from options."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typer.core import TyperCommand


def command() -> TyperCommand:
    """Return the command."""
    from stepcut.cli.shape import command_for

    return command_for("ramp")
