"""``stepcut again``: an old job in another size, with its notes."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, Save, Sets, Width


def _body(
    job: Annotated[int, typer.Argument(help="Number of the job; see stepcut log list.", min=1)],
    set_: Sets = None,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Open an old job in another size: old against new side by side, its notes, a new revision."""
    from dataclasses import replace

    from stepcut import gate
    from stepcut.cards.brief import side_by_side
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.recipes import job as job_from

    with at_machine.open_log() as store:
        row = store.job(job)
        notes = store.notes(row.id)
        carried = store.for_next_time(row.shape, row.title)
    recipe = at_machine.recipe_of(row)
    old = job_from(recipe)
    new_recipe = replace(
        recipe.resized(showing.parse_sets(set_)), next_time=tuple(dict.fromkeys((*recipe.next_time, *carried)))
    )
    new = job_from(new_recipe)
    sheets, plans = (showing.sheet(old), showing.sheet(new)), (showing.solved(old), showing.solved(new))
    lines = [side_by_side(sheets[0], sheets[1], plans, screen.width(width))]
    lines.append(
        f"Revision {old.revision} becomes {new.revision}."
        if old.revision != new.revision
        else "Nothing changes: the revision stays."
    )
    lines += [f"Note of job {row.id}{f', stop {n}' if n else ''}: {gate.line(words)}" for _, n, words, _ in notes]
    screen.show("\n".join(lines))
    if save is not None:
        showing.saved(save, new_recipe, force)
    return 1 if plans[1].spoils else 0


def command() -> TyperCommand:
    """Return the command."""
    return one("again", _body)
