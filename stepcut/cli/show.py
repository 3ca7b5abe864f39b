"""Solving a job and printing it: shared by every command that shows a card."""

from __future__ import annotations

import datetime as dt

from stepcut.cards.sheet import Heading, Sheet, build, voice_of
from stepcut.cards.wording import refusal
from stepcut.cli import screen
from stepcut.plan import Plan, Refused
from stepcut.recipes import Job


def screen_width(wanted: int | None = None) -> int:
    """Return how many columns to print."""
    return screen.width(wanted)


def solved(job: Job) -> Plan:
    """Return the plan of a job.

    Raises
    ------
    BadValue
        When the solver refuses; with the place in the recipe if there is one.
    """
    try:
        return job.plan
    except Refused as answer:
        problem = refusal(answer, voice_of(job.machine, job.recipe.unit))
        place = job.recipe.where(answer.key)
        raise (problem.at(place) if place else problem) from None


def heading(job: Job, date: str | None = None) -> Heading:
    """Return what the card's head says besides the plan."""
    recipe = job.recipe
    return Heading(
        title=recipe.title,
        part=recipe.part,
        revision=job.revision,
        date=dt.date.today().isoformat() if date is None else date,
        note=recipe.note,
        next_time=recipe.next_time,
        unit=voice_of(job.machine, recipe.unit).unit,
    )


def sheet(job: Job, date: str | None = None) -> Sheet:
    """Return the sheet of a job."""
    return build(solved(job), heading(job, date))


def card(job: Job, width: int | None = None, date: str | None = None) -> None:
    """Print the card of a job on the terminal."""
    from stepcut.cards.terminal import render

    screen.show(render(sheet(job, date), screen.width(width), screen.encoding(), screen.colour()))


def json_text(job: Job) -> None:
    """Print the plan of a job as JSON."""
    from stepcut.cards.json_card import render

    screen.show(render(solved(job), voice_of(job.machine, job.recipe.unit)))
