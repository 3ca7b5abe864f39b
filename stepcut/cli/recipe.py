"""``stepcut recipe``: list, show or copy the example recipes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut import gate, recipes
from stepcut.cli.group import several
from stepcut.cli.options import Force
from stepcut.cli.screen import show
from stepcut.files import write_whole

Name = Annotated[str, typer.Argument(help="Name of an example, or a recipe file.")]


def _list() -> None:
    """List the example recipes that ship; their scenario is invented."""
    lines = ["Examples from an invented shop; the parts and their sizes are made up."]
    paths = recipes.shipped()
    wide = max(len(path.stem) for path in paths)
    for path in paths:
        recipe = recipes.load(path)
        lines.append(f"{path.stem:<{wide}}  {recipe.shape:<7}  {gate.line(recipe.title)}")
    show("\n".join(lines))


def _show(name: Name) -> None:
    """Print a recipe as it stands, after checking it."""
    recipes.load(name)
    show(recipes.source_text(name))


def _copy(
    name: Name,
    to: Annotated[Path, typer.Argument(help="File to write.")],
    force: Force = False,
) -> None:
    """Copy a recipe, comments and all, to change it."""
    target = to / f"{Path(name).stem}.toml" if to.is_dir() else to
    write_whole(target, recipes.source_text(name), force)
    show(f"Wrote {gate.line(str(target))}.")


def command() -> TyperCommand:
    """Return the commands."""
    return several("List, show or copy the example recipes.", {"list": _list, "show": _show, "copy": _copy})
