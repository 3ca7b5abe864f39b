"""``stepcut check``: everything worth knowing before the first cut, and what the blue says."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import MachineName, RecipeName, Sets, Text, UseName, Width


def _body(
    recipe: RecipeName,
    blue: Annotated[Text, typer.Option("--blue", help="Share of the ramp that shows blue, such as 60%.")] = None,
    use: UseName = None,
    gap: Annotated[Text, typer.Option("--gap", help="Gap that the handle of a clamp must open, such as 0.5mm.")] = None,
    set_: Sets = None,
    machine: MachineName = None,
    width: Width = None,
) -> int:
    """Say CUT IT, LOOK AGAIN or DO NOT CUT, and everything worth knowing before the first cut; exit 1 with DO NOT CUT."""
    from stepcut.cards.brief import blue as blue_text
    from stepcut.cards.brief import brief
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing

    the_job = showing.opened(recipe, set_, machine)
    plan, columns = showing.solved(the_job), screen.width(width)
    voice = showing.voice(the_job)
    if blue is not None:
        screen.show(blue_text(plan, parse_share(blue), voice, columns))
    else:
        open_ = at_machine.gap_of(gap)
        card = showing.whole(the_job)
        screen.show(brief(card, voice, columns, showing.use(the_job, use), open_, showing.errors(the_job)))
    return 1 if plan.spoils else 0


def parse_share(text: str) -> float:
    """Return a share from ``60%``, ``60`` or ``0.6``.

    Raises
    ------
    BadValue
        When it is not above 0 and at most 100 %.

    Examples
    --------
    >>> parse_share("60%"), parse_share("60"), parse_share("0.6")
    (0.6, 0.6, 0.6)
    """
    from stepcut.errors import BadValue
    from stepcut.quantity import parse_number

    bare = text.strip()
    percent = bare.endswith("%")
    value = float(parse_number(bare.rstrip("%"), "blue"))
    share = value / 100 if percent or value > 1 else value
    if not 0 < share <= 1:
        raise BadValue("blue", text, "must be above 0 and at most 100 %", "Write it like 60%.")
    return share


def command() -> TyperCommand:
    """Return the command."""
    return one("check", _body)
