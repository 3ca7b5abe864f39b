"""``stepcut again``: an old job in another size, with its notes, readings and blue."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, Save, Sets, Text, Width

if TYPE_CHECKING:
    from stepcut.acts import Card
    from stepcut.cli.begun import Begun
    from stepcut.job import Job


def _body(
    job: Annotated[int, typer.Argument(help="Number of the job; see stepcut log list.", min=1)],
    set_: Sets = None,
    all_: Annotated[bool, typer.Option("--all", help="Show what is alike too.")] = False,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Open an old job in another size: what differs first, what was kept beside it, its notes, readings and blue."""
    from stepcut.cards.log_text import carried
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.cli.begun import as_begun

    with at_machine.open_log(reading=True) as store:
        row = store.job(job)
        told = carried(store, row)
        for_next = store.for_next_time(row.shape, row.named)
    begun = as_begun(row, partly=True)
    new = _resized(begun.job, showing.parse_sets(set_), for_next, save)
    whole = showing.whole(new)
    lines = _differences(begun, new, whole, screen.width(width), all_)
    screen.show_folded("\n".join([*lines, *told]))
    showing.say_example(new.machine)
    if save is not None:
        showing.saved(save, new.kept, force)
    return 1 if whole.plan.spoils else 0


def _resized(old: Job, parts: dict[str, Any], for_next: list[str], save: Text) -> Job:
    """Return an old job in another size, with what was noted for next time; saved, it is another part under another name."""
    from pathlib import Path

    from msgspec.structs import replace

    from stepcut.job import job, job_on

    recipe = old.recipe
    notes = tuple(dict.fromkeys((*recipe.next_time, *for_next)))
    resized = replace(recipe.resized(parts), next_time=notes)
    if save is not None:  # its jobs are its own
        resized = replace(resized, title=Path(save).stem or resized.title)
    # On the machine as it was, unless another is named; one that was edited since would change numbers unsaid.
    return job(resized) if "machine" in parts else job_on(resized, old.machine, old.machine_file)


def _differences(begun: Begun, new: Job, whole: Card, columns: int, all_: bool) -> list[str]:
    """Return what differs between two jobs, what was left as it is though it may belong to what changed, and the revision."""
    from stepcut.cards.again_text import again_text, kept_text
    from stepcut.shapes import brought
    from stepcut.shop.resizing import left_behind

    old, recipe = begun.job, begun.job.recipe
    ask = brought(recipe.shape, "ask")
    behind = left_behind(getattr(ask, "TOGETHER", ()), old.values, new.values, getattr(ask, "WALLS", ()))
    return [
        again_text((begun.card, whole), columns, all_),
        *kept_text(behind, recipe.values, new.recipe.values, columns),
        f"Revision {old.revision} becomes {new.revision}."
        if old.revision != new.revision
        else "Nothing changes: the revision stays.",
    ]


def command() -> TyperCommand:
    """Return the command."""
    return one("again", _body)
