"""``stepcut recipe``: list, show or copy the example recipes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut import gate, recipes
from stepcut.cli.ending import past_stopping
from stepcut.cli.group import several
from stepcut.cli.options import Force, RecipeName
from stepcut.cli.screen import show
from stepcut.errors import StepcutError
from stepcut.files import write_whole
from stepcut.shapes import sizes

Name = RecipeName


def _list() -> None:
    """List your own recipes with size, machine and last cut; then the examples that ship, from an invented shop."""
    own, shipped = recipes.own(), recipes.shipped()
    wide = max(len(path.stem) for path in (*own, *shipped))
    lines = []
    if own:
        last = _last_cut()
        lines.append(f"Yours, in {gate.line(str(recipes.own_folder()))}:")
        lines += [f"{gate.line(path.stem):<{wide}}  {_own_line(path, last)}" for path in own]
        lines.append("")
    lines.append("Examples from an invented shop; the parts and their sizes are made up.")
    for path in shipped:
        recipe = recipes.load(path)
        lines.append(f"{path.stem:<{wide}}  {recipe.shape:<7}  {gate.line(recipe.title)}")
    show("\n".join(lines))


def _own_line(path: Path, last: dict[tuple[str, str], str]) -> str:
    """Return shape, size, machine and last cut of an own recipe."""
    try:
        recipe = recipes.load(path)
    except StepcutError:
        return "has faults; see stepcut recipe show"
    size = sizes(recipe.shape, recipe.values)
    cut = last.get((recipe.shape, recipe.title), "")
    parts = [recipe.shape, gate.line(size), f"on {gate.line(recipe.machine or 'no machine yet')}"]
    return ", ".join([*(part for part in parts if part), f"last cut {cut}" if cut else "never cut"])


def _last_cut() -> dict[tuple[str, str], str]:
    """Return the day on which each recipe was last cut, by shape and title; none where the log cannot be read."""
    from stepcut.log.store import Store, default_path

    try:
        path = default_path()
        if not path.exists():
            return {}
        with Store(path, True) as store:
            rows, cut = store.jobs(), store.last_cuts()
    except StepcutError:
        return {}
    done = sorted((cut[row.id][:10], row.shape, row.named) for row in rows if row.id in cut)
    return {(shape, title): day for day, shape, title in done}


def _show(name: Name) -> None:
    """Print a recipe as it stands, after checking it."""
    recipes.load(name)
    show(gate.toml_text(recipes.source_text(name)))


def _copy(
    name: Name,
    to: Annotated[Path, typer.Argument(help="File to write.")],
    force: Force = False,
) -> None:
    """Copy a recipe, comments and all, to change it."""
    target = to / f"{Path(name).stem}.toml" if to.is_dir() else to
    past_stopping()
    write_whole(target, recipes.source_text(name), force)
    show(f"Wrote {gate.line(str(target))}.")


def command() -> TyperCommand:
    """Return the commands."""
    return several(
        "recipe", "Your recipes and the examples: list, show, copy.", {"list": _list, "show": _show, "copy": _copy}
    )
