"""Solving a job and printing it: shared by every command that shows a card."""

from __future__ import annotations

import datetime as dt
import os
import sys
from pathlib import Path
from textwrap import fill

from stepcut import door, gate
from stepcut.acts import Card, Heading
from stepcut.cli import ending, screen
from stepcut.errors import BadValue
from stepcut.job import Job, job
from stepcut.machine import Machine
from stepcut.machine.said import headline
from stepcut.plan import Plan
from stepcut.recipes import Recipe, dump, load, own_recipe
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.voice import Voice, voice_of

READINGS = 5  # readings of the shop's own, before they stand for the errors of the machine's file


def opened(name: str, sets: list[str] | None = None, machine: str | None = None) -> Job:
    """Return the job of a recipe's file or name, with values changed by ``--set``, on its machine or another."""
    recipe = load(name)
    for note in recipe.notes():
        screen.say(note)
    opened_job = job(recipe.resized(parse_sets(sets)), machine)
    if opened_job.other_machine:
        screen.say(opened_job.other_machine)
    return opened_job


def say_example(machine: Machine) -> None:
    """Print that a machine is only an example, where what is printed does not name the machine."""
    if machine.example:
        screen.show(fill(headline(machine), screen.width(None)))


def parse_sets(sets: list[str] | None) -> dict[str, str]:
    """Return the pairs of ``--set key=value``."""
    pairs = {}
    for text in sets or []:
        key, equals, value = text.partition("=")
        if not equals or not key.strip():
            raise BadValue("set", text, "is not a key and a value", "Write it like --set outside=2.25in.")
        pairs[key.strip()] = value.strip()
    return pairs


def saved(path: str, recipe: Recipe, force: bool) -> None:
    """Write a recipe under a name, whole or not at all, and say so."""
    from stepcut.files import write_whole

    target = Path(path)
    if not path.strip() or target.name in ("", ".", "..") or path.endswith(("/", "\\")) or target.is_dir():
        raise BadValue("save", path, "names no file", "Give a file name, such as ring.toml.")
    if target.suffix != ".toml" and target.name == path:  # a bare name is found again from any folder
        target = own_recipe(path)
    target = target if target.suffix == ".toml" else target.with_name(f"{target.name}.toml")
    ending.past_stopping()
    write_whole(target, dump(recipe), force)
    screen.say(f"Saved {gate.line(str(target))}.")


def use(job: Job, text: str | None = None) -> Use | None:
    """Return what a part is for: from ``--for``, or from its recipe; None where neither says it."""
    chosen = text if text is not None else job.use
    if chosen is None or chosen in ("clamp", "dog", "lift"):
        return chosen  # type: ignore[return-value]  # one of the three
    raise BadValue("for", chosen, "is not one of the choices", "Use clamp, dog or lift.")


def voice(job: Job) -> Voice:
    """Return how numbers are said on a job's cards."""
    return voice_of(job.machine, job.recipe.unit)


def solved(job: Job) -> Plan:
    """Return the plan of a job.

    Raises
    ------
    BadValue
        When the solver refuses; with the place in the recipe if there is one.
    """
    with screen.working(f"Solving {gate.line(job.recipe.title or job.recipe.shape)}"):
        return door.solved(job)


def heading(job: Job, date: str | None = None) -> Heading:
    """Return what the card's head says besides the plan."""
    recipe = job.recipe
    return Heading(
        title=recipe.title,
        part=recipe.part,
        revision=job.revision,
        date=dt.date.today().isoformat() if date is None else date,
        note=" ".join(part for part in (recipe.note, job.other_machine) if part),
        next_time=(*recipe.next_time, *_carried(job)),
        unit=voice(job).unit,
    )


def _carried(job: Job) -> tuple[str, ...]:
    """Return the notes for next time that the log has of this recipe; a log that cannot be read never stops a card."""
    if not _log_may_stand():
        return ()
    from stepcut.errors import FileTrouble
    from stepcut.log.store import Store, default_path

    try:
        path = default_path()
    except FileTrouble:  # a person without a home has no log
        return ()
    if not job.recipe.title or not path.exists():
        return ()
    try:
        with Store(path, reading=True) as store:
            found = store.for_next_time(job.recipe.shape, job.recipe.title)
    except FileTrouble as trouble:
        screen.say(str(trouble))
        return ()
    return tuple(words for words in dict.fromkeys(found) if words not in job.recipe.next_time)


def errors(job: Job) -> Errors | None:
    """Return what this machine's depth was off in the log's readings of depths, five or more; None without them."""
    if not _log_may_stand() or "depth" not in solved(job).axes:
        return None
    from stepcut.errors import FileTrouble
    from stepcut.log.history import depth_error
    from stepcut.log.store import Store, default_path
    from stepcut.shapes import SHAPES, named

    try:
        path = default_path()
        if not path.exists():
            return None
        with Store(path, reading=True) as store:
            read = {row.id for row in store.jobs() if row.shape in SHAPES and named(row.shape, "DEPTH_READ")}
            rows = [row for row in store.readings() if row[0] in read and row[4] == job.machine.name]
    except FileTrouble:
        return None
    found = depth_error([(wanted, read) for _, _, wanted, read, *_ in rows])
    if found is None or found.count < READINGS:
        return None
    return Errors(table=float(solved(job).first.error), mean=found.mean, spread=found.spread)


def _log_may_stand() -> bool:
    """Whether a log may stand in the usual place, told without loading a library; True where that is not known."""
    if sys.platform != "linux":
        return True
    home = os.environ.get("XDG_DATA_HOME") or str(Path("~/.local/share").expanduser() if os.environ.get("HOME") else "")
    return home == "" or (Path(home) / "stepcut").is_dir()


def whole(job: Job, date: str | None = None, screens: bool = True) -> Card:
    """Return the card of a job, from which every kind of card is drawn; the screens of a phone only where they are wanted."""
    from stepcut.routine import card as made

    return made(solved(job), heading(job, date), screens)


def card(
    job: Job, width: int | None = None, date: str | None = None, for_: str | None = None, all_of_it: bool = False
) -> None:
    """Print the card of a job: its first screen on a terminal, all of it when that is wanted or when piped."""
    from stepcut.cards.verdict_text import of_plan

    if all_of_it or not sys.stdout.isatty():
        from stepcut.cards.terminal import render
    else:
        from stepcut.cards.first_screen import render
    columns = screen.width(width)
    made = whole(job, date, screens=False)
    told = of_plan(made.plan, use(job, for_), voice(job), min(columns, 120), errors(job), made.acts)
    screen.show(render(made, columns, screen.encoding(), screen.colour(), told))


def json_text(job: Job, for_: str | None = None) -> None:
    """Print the plan of a job as JSON."""
    from stepcut.cards.json_card import render

    screen.show(render(solved(job), voice(job), use(job, for_), errors(job)))
