"""The table of choices that a shape's command prints when nothing is said about the spacing."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from msgspec import Struct

from stepcut.cli import screen, show
from stepcut.errors import BadValue, StepcutError
from stepcut.guided import GOOD
from stepcut.job import Job
from stepcut.machine.said import headline
from stepcut.plan import Plan
from stepcut.shapes.choice import Choice
from stepcut.voice import Voice, turns_text
from stepcut.written import exact_text


def _of(shape: str) -> Any:
    return import_module(f"stepcut.shapes.{shape}.choices")


def choose(the_job: Job, number: int | None, width: int) -> Job | None:
    """Print the table and return None, or return the job with the spacing of one row.

    A job that says how it is spaced is returned as it is.

    Raises
    ------
    BadValue
        When there is no such row, or a row is asked for beside a spacing.
    """
    shape = _of(the_job.recipe.shape)
    given = [key for key in shape.SPACING if the_job.values[key] is not None]
    if (given or the_job.values.get("per")) and number is None:
        return the_job
    if given:
        raise BadValue("choice", number, f"does not go with {given[0]}", "Leave one of them out.")
    voice = show.voice(the_job)
    plan = show.solved(the_job)
    if shape.none(plan) and number is None:
        return the_job
    rows = shape.rows(plan)
    if plan.spoils and number is None:
        return the_job  # the card says DO NOT CUT and why
    if number is None:
        screen.show(_table(rows, voice, width, plan))
        return None
    if number > len(rows):
        raise BadValue("choice", number, f"is past the last row, {len(rows)}", "Leave --choice out to see them all.")
    row = rows[number - 1]
    if row.limit is not None:
        text = {"scallop": exact_text(row.limit, "length", voice.unit)}
    else:
        assert row.step is not None  # noqa: S101  # a row is made by a step or for a limit
        text = {"step": exact_text(row.step, "angle")}
    return the_job.resized(text)


class Pace(Struct, frozen=True):
    """How long this shop takes, from its own log: minutes a cut, and minutes for a mm^3 of filing, where it is filed to blue."""

    cut: float
    filing: float | None


def _pace(shape: str, filed: bool) -> Pace | None:
    """Return the pace of this shop for a shape; None until its log has enough jobs, and blue checks where it is filed to blue."""
    from stepcut.log.history import JOBS_NEEDED, cutting_pace, filing_rate
    from stepcut.log.store import Store, default_path

    try:
        path = default_path()
        if not path.exists():
            return None
        with Store(path, True) as store:
            rows = {row.id: row for row in store.jobs() if row.shape == shape}
            cut = cutting_pace([[(at, kind) for at, kind, *_ in store.events(n)] for n in rows])
            checks = [check for check in store.blues() if check[0] in rows]
    except StepcutError:
        return None
    if cut is not None and not filed:
        return Pace(cut, None)
    rate = filing_rate(checks)
    if cut is None or rate is None or len({check[0] for check in checks if check[3]}) < JOBS_NEEDED:
        return None
    return Pace(cut, rate.mean)


def _advised(rows: list[Choice], pace: Pace | None, voice: Voice) -> tuple[int, str]:
    """Return the row to take, from 0, and one sentence that says why."""
    if pace is not None and pace.filing is not None:
        minutes = [row.stops * pace.cut + row.volume * pace.filing for row in rows]
        best = min(range(len(rows)), key=lambda n: minutes[n])
        return best, f"Row {best + 1} takes least in all, about {minutes[best]:.0f} minutes by your own log."
    good = float(GOOD[voice.unit])
    fine = [n for n, row in enumerate(rows) if row.scallop <= good * 1.02]
    if not fine:
        best = min(range(len(rows)), key=lambda n: rows[n].scallop)
        return best, f"Row {best + 1} leaves the least that these steps can."
    best = min(
        fine, key=lambda n: (rows[n].stops, rows[n].step is None)
    )  # of as many cuts the even ones, easier to dial
    reason = f"the fewest cuts whose ridges a few strokes of the file take off ({voice.size(GOOD[voice.unit])} or less)"
    even = min((n for n in fine if rows[n].step is not None), key=lambda n: rows[n].stops, default=None)
    beside = ""
    if rows[best].step is None and even is not None:
        beside = f" Its steps are uneven, each read from the card; row {even + 1} is even and easier to dial, with {rows[even].stops} cuts."
    return best, f"Row {best + 1} is advised: {reason}.{beside}"


def _table(rows: list[Choice], voice: Voice, width: int, plan: Plan) -> str:
    from textwrap import fill

    from stepcut.cards.wording import remark_text

    shape = _of(plan.shape)
    pace = _pace(plan.shape, plan.contact is not None)
    best, advice = _advised(rows, pace, voice)
    columns = {
        title: cells for title, cells in _columns(rows, pace, voice, best, shape.SECOND).items() if _fits(title, width)
    }
    *others, last = (f"--{key}" for key in shape.SPACING)
    ways = [advice, f"Take one with --choice N, or say {', '.join(others)} or {last}."]
    ways += [said for title, said in shape.WAYS.items() if title in columns]
    ways += [remark_text(remark, voice) for remark in plan.remarks if remark.code != "chosen-step"]
    told = (fill(way, width) for way in ways)
    return "\n".join([fill(headline(plan.machine), width), "", *_set(columns, width), "", *told])


def _columns(rows: list[Choice], pace: Pace | None, voice: Voice, best: int, second: str) -> dict[str, list[str]]:
    """Return the cells of the table by the title of their column, a star at the advised row; what no row has is left out."""
    columns: dict[str, list[str]] = {
        "no.": [f"{'*' if n == best else ' '}{n + 1}" for n in range(len(rows))],
        "cuts": [str(row.stops) for row in rows],
        "step": [voice.angle(row.step) if row.step is not None else "uneven" for row in rows],
        "handle": [turns_text(row.cranks) if row.cranks is not None else "as listed" for row in rows],
        second: [voice.length(row.drop) for row in rows],
        "scallop": [voice.length(row.scallop) for row in rows],
        "to file": [voice.volume(row.volume) for row in rows],
    }
    if any(row.creep for row in rows):  # equal rounded steps by hand would miss the end by so much; positions do not
        columns["creep"] = [voice.length(row.creep) for row in rows]
    if pace is not None:
        columns["cutting"] = [f"{row.stops * pace.cut:.0f} min" for row in rows]
    if pace is not None and pace.filing is not None:
        columns["filing"] = [f"{row.volume * pace.filing:.0f} min" for row in rows]
    if any(row.least for row in rows):
        columns["least left by"] = ["end" if row.least == "across" else row.least for row in rows]
    return columns


def _fits(title: str, width: int) -> bool:
    """Whether a column is shown in so many characters: what is wanted least goes first."""
    if width >= 100:
        return True
    return title not in (
        ("handle", "least left by") if width >= 70 else ("handle", "least left by", "creep", "to file")
    )


def _set(columns: dict[str, list[str]], width: int) -> list[str]:
    """Return the lines of a table, every column flush right."""
    gap = "  " if width >= 70 else " "
    whole = [[title, *cells] for title, cells in columns.items()]
    padded = [[cell.rjust(max(map(len, column))) for cell in column] for column in whole]
    return [gap.join(line).rstrip() for line in zip(*padded, strict=True)]
