"""``stepcut blue``: write a blue check down, and say what still stands and how long it may take."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.errors import BadValue

Text = str | None


def _body(
    recipe: Annotated[str, typer.Argument(help="Recipe file, or name of an example.")],
    share: Annotated[Text, typer.Argument(help="Share that shows blue, such as 60%.")] = None,
    stops: Annotated[Text, typer.Option("--stops", help="Or the stops that show blue, such as 1,2,5.")] = None,
    minutes: Annotated[Text, typer.Option("--minutes", help="Minutes filed since the last check.")] = None,
    set_: Annotated[list[str] | None, typer.Option("--set", help="Change a value of the recipe.")] = None,
) -> int:
    """Write a blue check down; say what still stands, and from this shop's history how long it takes."""
    from stepcut.cards.sheet import voice_of
    from stepcut.cli import at_machine
    from stepcut.cli import show as showing
    from stepcut.cli.card import parse_sets
    from stepcut.cli.check import parse_share
    from stepcut.cli.screen import show
    from stepcut.inputs.fields import Field, Units, read_one
    from stepcut.log.history import filing_rate
    from stepcut.quantity import parse_number
    from stepcut.recipes import job, load

    the_job = job(load(recipe).resized(parse_sets(set_)))
    plan, voice = showing.solved(the_job), voice_of(the_job.machine, the_job.recipe.unit)
    if plan.contact is None or not plan.stops:
        raise BadValue("recipe", recipe, "has no contact curve", "Blue is for shapes that are filed from steps.")
    if (share is None) == (stops is None):
        raise BadValue("share", share, "or --stops is wanted, one of the two", "Give 60%, or --stops 1,2,5.")
    if stops is not None:
        named = set(read_one(Field("stops", "counts", "", most=len(plan.stops)), stops, Units()))
        part = max(len(named) / len(plan.stops), 1e-6)
    else:
        part = parse_share(share or "")
    spent = float(parse_number(minutes, "minutes")) if minutes is not None else None
    if spent is not None and not 0 < spent < 10_000:
        raise BadValue("minutes", minutes, "must be above 0", "Give the minutes filed since the last check.")
    copies = int(plan.facts.get("copies", 1))
    height = max(0.0, plan.contact.height(part))
    left = plan.contact.volume_below(height) * copies
    with at_machine.open_log() as store:
        row = at_machine.begun(store, the_job)
        earlier = store.blues(row.id)
        before = earlier[-1][5] if earlier else plan.contact.volume_below(1e6) * copies
        store.blue(row.id, part, spent, before, left)
        rate = filing_rate(store.blues())
    goal = max(0.0, plan.contact.height(0.8))
    to_goal = max(0.0, left - plan.contact.volume_below(goal) * copies)
    lines = [
        f"Blue on {100 * part:.0f} %: it still stands {voice.length(height)} over the wanted surface, {voice.volume(left)} to file.",
        f"To 80 %: {voice.length(max(0.0, height - goal))} more, {voice.volume(to_goal)}.",
    ]
    if rate is None:
        lines.append("How long it takes: no history yet; give --minutes with each check.")
    else:
        low, high = max(0.0, rate.mean - rate.spread) * to_goal, (rate.mean + rate.spread) * to_goal
        lines.append(
            f"How long to 80 %: {rate.mean * to_goal:.0f} minutes, {low:.0f} to {high:.0f}, from {rate.count} timed check{'s' if rate.count > 1 else ''} of this shop."
        )
    show("\n".join(lines))
    return 0


def command() -> TyperCommand:
    """Return the command."""
    return one("blue", _body)
