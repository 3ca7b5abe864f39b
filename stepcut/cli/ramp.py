"""``stepcut ramp``: solve a face ramp from options."""

from __future__ import annotations

from typer.core import TyperCommand


def command() -> TyperCommand:
    """Return the command."""
    from stepcut.cli.shape import command_for

    return command_for("ramp")
