"""What the commands at the machine share: the log, the job of a recipe, readings as they stand on the dials."""

from __future__ import annotations

import json
from fractions import Fraction

from msgspec.structs import replace

from stepcut import __version__
from stepcut.acts import title_of
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.errors import BadValue, FileTrouble
from stepcut.files import parse_toml
from stepcut.job import Job, job, job_on
from stepcut.log.frozen import freeze
from stepcut.log.store import JobRow, Store, WholeJob, default_path
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.quantity import parse_angle, parse_length
from stepcut.recipes import Recipe, dump, from_content
from stepcut.shop.blueing import Use


def open_log(reading: bool = False) -> Store:
    """Return the user's log; only to read, one serves that cannot be written."""
    path = default_path()
    return Store(path, reading and path.exists())


def begun(store: Store, the_job: Job, piece: str = "1") -> WholeJob:
    """Return the unfinished job of a recipe, begun now if there is none.

    The whole job as it is begun goes into the log: recipe, machine, solved plan and card, so that nothing that happens to a file or
    to the program changes it under the hand.
    """
    plan, recipe = show.solved(the_job), the_job.recipe
    text = json.dumps(content(plan, show.voice(the_job)), ensure_ascii=False)
    return store.begin(
        the_job.revision,
        recipe.part,
        title_of(recipe.title, plan.shape),
        plan.shape,
        dump(the_job.kept),
        text,
        len(plan.stops),
        the_job.machine.name,
        piece=piece,
        machine_file=the_job.machine_file,
        as_begun=freeze({"card": show.whole(the_job)}),
        program=__version__,
    )


def ticks_of(the_job: Job | int) -> set[tuple[int, str]]:
    """Return what is ticked of a job by its number, or of a recipe's unfinished one; nothing where the log cannot be read."""
    try:
        with open_log(reading=True) as store:
            if isinstance(the_job, int):
                return store.ticks(the_job)
            rows = store.unfinished(
                the_job.recipe.shape, title_of(the_job.recipe.title, the_job.recipe.shape), the_job.recipe.part
            )
            same = [row for row in rows if row.revision == the_job.revision]
            return store.ticks(same[0].id) if same else set()
    except FileTrouble:
        return set()


def measured(store: Store, row: JobRow | None) -> list[tuple[int, float, float]]:
    """Return what was measured at a job: cut, meant and read; nothing of a job that was never begun."""
    return [] if row is None else [(n, meant, read) for _, n, meant, read, *_ in store.readings(row.id)]


def last_or_begun(store: Store, the_job: Job) -> JobRow:
    """Return the last job of a recipe, finished or not, whatever the time since; begun now only when there is none."""
    row = store.last(the_job.revision, the_job.recipe.part)
    return row if row is not None else begun(store, the_job)


def gap_of(text: str | None) -> float | None:
    """Return the gap that a clamp's handle must open, mm, from ``--gap``; None when it is not given."""
    gap = float(parse_length(text, "gap")) if text is not None else None
    if gap is not None and gap <= 0:
        raise BadValue("gap", text, "must be greater than 0", "Give the gap that lets go, such as 0.5mm.")
    return gap


def use_of(text: str | None) -> Use | None:
    """Return what a part is for, from ``--for``."""
    if text is None or text in ("clamp", "dog", "lift"):
        return text  # type: ignore[return-value]  # one of the three
    raise BadValue("for", text, "is not one of the choices", "Use clamp, dog or lift.")


def recipe_of(row: WholeJob) -> Recipe:
    """Return the recipe as it was cut.

    Raises
    ------
    FileTrouble
        When it was lost with a part of the log.
    """
    if not row.recipe:
        raise damaged(row)
    return from_content(parse_toml(row.recipe, f"job {row.id}"), row.recipe, f"job {row.id}")


def damaged(row: JobRow) -> FileTrouble:
    """Return the trouble of a job whose recipe, plan or card cannot be read in the log."""
    return FileTrouble(
        f"job {row.id}", "is damaged in the log", "See stepcut log check, and go on with the paper card."
    )


def job_of(row: WholeJob) -> Job:
    """Return a job of the log, ready to solve again."""
    recipe = recipe_of(row)
    if not row.machine_file:  # begun by a program that did not keep it
        return job(recipe, recipe.machine or row.machine)
    machine = machines.from_text(row.machine_file, row.machine, f"machine of job {row.id}")
    machine = replace(machine, example=row.machine in machines.SHIPPED)
    return job_on(recipe, machine, row.machine_file, recipe.machine or row.machine)


def first_reading(plan: Plan, text: str, unit: str | None, key: str | None = None) -> Fraction:
    """Return a reading of the first scale in the coordinate of the stops: rim angle in the direction of the dial, or z.

    ``key`` is what it was given as, to be named when it cannot be read.
    """
    if not plan.first.angular:
        return parse_length(text, key or "z", unit)
    table = plan.machine.table
    assert table is not None  # noqa: S101  # an angular plan has a table
    degrees = parse_angle(text, key or "table", "deg", table.degrees_per_turn)  # a rim shows degrees and nothing else
    return degrees if plan.turning == table.counts_up else -degrees


def second_reading(plan: Plan, text: str, unit: str | None) -> Fraction:
    """Return a reading of the second scale as a position: half of it where the dial shows a diameter."""
    value = parse_length(text, plan.axes[1], unit)
    return value / 2 if plan.second.doubled else value


def reading_of(plan: Plan, text: str, unit: str | None, n: int) -> tuple[float, float]:
    """Return wanted and found position of a stop, mm.

    Raises
    ------
    BadValue
        When the reading is nowhere near it; a wrong unit is the usual reason.
    """
    found = second_reading(plan, text, unit)
    return near(plan, found, text, n), float(found)


def near(plan: Plan, found: Fraction, text: str, n: int) -> float:
    """Return what a cut wants, mm.

    Raises
    ------
    BadValue
        When what was found there is nowhere near it; a wrong unit or a slipped decimal point is the usual reason.
    """
    wanted = plan.second.value(plan.stops[n - 1].second)
    if abs(found - wanted) > max(Fraction(2), wanted / 2):
        raise BadValue("found", text, f"is far from what cut {n} wants", "Check the number and its unit.")
    return float(wanted)
