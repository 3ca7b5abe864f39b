"""``stepcut where``: which cut the dials stand at, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import JobNumber, MachineName, RecipeOrJob, Sets, Text
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from fractions import Fraction

    from stepcut.plan import Plan
    from stepcut.shop.finding import Told


def _body(
    recipe: RecipeOrJob = None,
    table: Annotated[Text, typer.Option("--table", "--z", help="What the rim (or z) reads.")] = None,
    depth: Annotated[
        Text, typer.Option("--depth", "--x", "--height", help="What the depth (or x, or height) reads.")
    ] = None,
    job: JobNumber = None,
    set_: Sets = None,
    machine: MachineName = None,
) -> int:
    """Say which cut the dials stand at, whether it is turned or cut, and what to do next; status 2 when the readings fit nothing."""
    from stepcut.cards.place_text import place_text
    from stepcut.cli import at_machine
    from stepcut.cli import show as showing
    from stepcut.cli.begun import asked
    from stepcut.cli.screen import show_folded

    if table is None and depth is None:
        raise BadValue(
            "table",
            None,
            "or depth is wanted",
            "Give --table 70deg, --depth 0.036in, or both; on the lathe --z and --x.",
        )
    about = asked(recipe, job, set_, machine, partly=True)
    plan = about.plan
    unit = about.voice.unit  # a reading is in the unit of the card
    at = at_machine.first_reading(plan, table, unit) if table is not None else None
    deep = at_machine.second_reading(plan, depth, unit) if depth is not None else None
    told = _place(plan, at, deep, at_machine.ticks_of(about.job if job is None else job))
    show_folded(place_text(told, about.card, deep, about.voice))
    showing.say_example(plan.machine)
    return 0 if told.fits else 2


def _place(plan: Plan, at: Fraction | None, deep: Fraction | None, ticks: set[tuple[int, str]]) -> Told:
    """Return where readings of the two scales stand among the cuts, and what the ticks say of it."""
    from fractions import Fraction

    from stepcut.shop.finding import clear_of, falling, find, with_ticks

    turn = Fraction(360) if plan.first.angular else None
    place = find(plan.stops, plan.first, plan.second, at, deep, turn, clear_of(plan))
    return with_ticks(place, plan.stops, plan.first, at, turn, ticks, falling(plan))


def command() -> TyperCommand:
    """Return the command."""
    return one("where", _body)
