"""``stepcut again``: an old job in another size, with its notes, readings and blue."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, Save, Sets, Width


def _body(
    job: Annotated[int, typer.Argument(help="Number of the job; see stepcut log list.", min=1)],
    set_: Sets = None,
    all_: Annotated[bool, typer.Option("--all", help="Show what is alike too.")] = False,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Open an old job in another size: what differs first, what was kept beside it, its notes, readings and blue."""
    from pathlib import Path

    from msgspec.structs import replace

    from stepcut.cards.again_text import again_text, kept_text
    from stepcut.cards.log_text import carried
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.cli.begun import as_begun
    from stepcut.job import job as job_from
    from stepcut.job import job_on
    from stepcut.shapes import brought
    from stepcut.shop.resizing import left_behind

    with at_machine.open_log(reading=True) as store:
        row = store.job(job)
        told = carried(store, row)
        for_next = store.for_next_time(row.shape, row.named)
    begun = as_begun(row, partly=True)
    old, recipe = begun.job, begun.job.recipe
    new_recipe = replace(
        recipe.resized(showing.parse_sets(set_)), next_time=tuple(dict.fromkeys((*recipe.next_time, *for_next)))
    )
    if save is not None:  # another part under another name: its jobs are its own
        new_recipe = replace(new_recipe, title=Path(save).stem or new_recipe.title)
    parts = showing.parse_sets(set_)
    # On the machine as it was, unless another is named; one that was edited since would change numbers unsaid.
    new = job_from(new_recipe) if "machine" in parts else job_on(new_recipe, old.machine, old.machine_file)
    cards = begun.card, showing.whole(new)
    columns = screen.width(width)
    lines = [again_text(cards, columns, all_)]
    lines += kept_text(
        left_behind(getattr(brought(recipe.shape, "ask"), "TOGETHER", ()), old.values, new.values),
        recipe.values,
        new_recipe.values,
        columns,
    )
    lines.append(
        f"Revision {old.revision} becomes {new.revision}."
        if old.revision != new.revision
        else "Nothing changes: the revision stays."
    )
    screen.show_folded("\n".join([*lines, *told]))
    showing.say_example(new.machine)
    if save is not None:
        showing.saved(save, new.kept, force)
    return 1 if cards[1].plan.spoils else 0


def command() -> TyperCommand:
    """Return the command."""
    return one("again", _body)
