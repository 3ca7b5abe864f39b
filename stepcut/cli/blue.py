"""``stepcut blue``: write a blue check down, and say what still stands and how long it may take."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import RecipeName, Sets, Text
from stepcut.errors import BadValue


def _body(
    recipe: RecipeName,
    share: Annotated[Text, typer.Argument(help="Share that shows blue, such as 60%.")] = None,
    stops: Annotated[Text, typer.Option("--stops", help="Or the stops that show blue, such as 1,2,5.")] = None,
    minutes: Annotated[Text, typer.Option("--minutes", help="Minutes filed since the last check.")] = None,
    set_: Sets = None,
) -> int:
    """Write a blue check down; say what still stands, and from this shop's history how long it takes."""
    from stepcut.cli import at_machine
    from stepcut.cli import show as showing
    from stepcut.cli.check import parse_share
    from stepcut.cli.screen import show
    from stepcut.fields import Field, Units, read_one
    from stepcut.log.history import filing_rate
    from stepcut.quantity import parse_number

    the_job = showing.opened(recipe, set_)
    plan, voice = showing.solved(the_job), showing.voice(the_job)
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
    height, left = plan.at_blue(part)
    with at_machine.open_log() as store:
        row = at_machine.begun(store, the_job)
        earlier = store.blues(row.id)
        before = earlier[-1][5] if earlier else plan.contact.volume_below(1e6) * plan.copies
        store.blue(row.id, part, spent, before, left)
        rate = filing_rate(store.blues())
    goal, at_goal = plan.at_blue(0.8)
    to_goal = max(0.0, left - at_goal)
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
