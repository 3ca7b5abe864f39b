"""The table of choices that ``stepcut ramp`` prints when nothing is said about the spacing."""

from __future__ import annotations

from msgspec import Struct

from stepcut.cli import screen, show
from stepcut.errors import BadValue, StepcutError
from stepcut.guided import GOOD
from stepcut.job import Job
from stepcut.machine.said import headline
from stepcut.plan import Plan
from stepcut.quantity import exact_text
from stepcut.shapes.ramp.choices import Choice
from stepcut.voice import Voice, turns_text

SPACING = ("step", "drop", "cuts", "scallop")


def choose(the_job: Job, number: int | None, width: int) -> Job | None:
    """Print the table and return None, or return the job with the spacing of one row.

    A job that says how it is spaced is returned as it is.

    Raises
    ------
    BadValue
        When there is no such row, or a row is asked for beside a spacing.
    """
    given = [key for key in SPACING if the_job.values[key] is not None]
    if (given or the_job.values["per"]) and number is None:
        return the_job
    if given:
        raise BadValue("choice", number, f"does not go with {given[0]}", "Leave one of them out.")
    voice = show.voice(the_job)
    plan = show.solved(the_job)
    if plan.details.ramp.free and number is None:
        return the_job  # what stands in feet and corners does not depend on the step: there is nothing to choose from
    rows = _choices(plan)
    if plan.spoils and number is None:
        return the_job  # the card says DO NOT CUT and why
    if number is None:
        screen.show(_table(rows, voice, width, plan))
        return None
    if number > len(rows):
        raise BadValue("choice", number, f"there are {len(rows)} rows", "Leave --choice out to see them.")
    row = rows[number - 1]
    if row.step is not None:
        text = {"step": exact_text(row.step, "angle")}
    else:
        assert row.limit is not None  # noqa: S101  # the fewest-stop row is made for a limit
        text = {"scallop": exact_text(row.limit, "length", voice.unit)}
    return the_job.resized(text)


def _choices(plan: Plan) -> list[Choice]:
    from stepcut.shapes.ramp.choices import choices

    return choices(plan.details.bench)


class Pace(Struct, frozen=True):
    """How long this shop takes, from its own log: minutes a cut, and minutes for a mm^3 of filing."""

    cut: float
    filing: float


def _pace(shape: str) -> Pace | None:
    """Return the pace of this shop for a shape; None until its log has enough jobs and blue checks of it."""
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
    rate = filing_rate(checks)
    if cut is None or rate is None or len({check[0] for check in checks if check[3]}) < JOBS_NEEDED:
        return None
    return Pace(cut, rate.mean)


def _advised(rows: list[Choice], pace: Pace | None, voice: Voice) -> tuple[int, str]:
    """Return the row to take, from 0, and one sentence that says why."""
    if pace is not None:
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

    pace = _pace(plan.shape)
    best, advice = _advised(rows, pace, voice)
    columns: dict[str, list[str]] = {
        "no.": [f"{'*' if n == best else ' '}{n + 1}" for n in range(len(rows))],
        "cuts": [str(row.stops) for row in rows],
        "step": [voice.angle(row.step) if row.step is not None else "uneven" for row in rows],
        "handle": [turns_text(row.cranks) if row.cranks is not None else "as listed" for row in rows],
        "drop": [voice.length(row.drop) for row in rows],
        "scallop": [voice.length(row.scallop) for row in rows],
        "to file": [voice.volume(row.volume) for row in rows],
    }
    if any(row.creep for row in rows):  # equal rounded steps by hand would miss the end by so much; positions do not
        columns["creep"] = [voice.length(row.creep) for row in rows]
    if pace is not None:
        columns["cutting"] = [f"{row.stops * pace.cut:.0f} min" for row in rows]
        columns["filing"] = [f"{row.volume * pace.filing:.0f} min" for row in rows]
    columns["least left by"] = ["end" if row.least == "across" else row.least for row in rows]
    gone = (
        ()
        if width >= 100
        else ("handle", "least left by")
        if width >= 70
        else ("handle", "least left by", "creep", "to file")
    )
    shown = [[title, *cells] for title, cells in columns.items() if title not in gone]
    gap = "  " if width >= 70 else " "
    padded = [[cell.rjust(max(map(len, column))) for cell in column] for column in shown]
    lines = [gap.join(line).rstrip() for line in zip(*padded, strict=True)]
    ways = [advice, "Take one with --choice N, or say --step, --drop, --cuts or --scallop."]
    ways.append("Scallop: ridge left for the file. The last row has the fewest cuts for its scallop.")
    if "creep" in columns and "creep" not in gone:
        ways.append("Creep: what equal rounded steps by hand would add up to at the end; positions have none.")
    ways += [remark_text(remark, voice) for remark in plan.remarks if remark.code != "chosen-step"]
    return "\n".join([fill(headline(plan.machine), width), "", *lines, "", *(fill(way, width) for way in ways)])
