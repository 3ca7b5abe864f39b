"""The table of choices that ``stepcut ramp`` prints when nothing is said about the spacing."""

from __future__ import annotations

from stepcut.cli import screen, show
from stepcut.errors import BadValue
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


def _table(rows: list[Choice], voice: Voice, width: int, plan: Plan) -> str:
    titles = ("no.", "cuts", "step", "crank", "drop", "scallop", "to file", "creep", "least left by")
    cells = [
        (
            str(n),
            str(row.stops),
            voice.angle(row.step) if row.step is not None else "uneven",
            turns_text(row.cranks) if row.cranks is not None else "as listed",
            voice.length(row.drop),
            voice.length(row.scallop),
            voice.volume(row.volume),
            voice.length(row.creep),
            "end" if row.least == "across" else row.least,
        )
        for n, row in enumerate(rows, 1)
    ]
    if width < 100:  # the two that matter least go
        keep = [
            k
            for k, title in enumerate(titles)
            if title not in (("creep", "crank", "to file") if width < 70 else ("crank",))
        ]
        titles = tuple(titles[k] for k in keep)  # type: ignore[assignment]  # fewer columns
        cells = [tuple(line[k] for k in keep) for line in cells]  # type: ignore[misc]  # the same
    widths = [max(len(title), *(len(line[k]) for line in cells)) for k, title in enumerate(titles)]
    gap = "  " if width >= 70 else " "
    lines = [
        gap.join(cell.rjust(wide) for cell, wide in zip(line, widths, strict=True)).rstrip()
        for line in (titles, *cells)
    ]
    ways = ["Take one with --choice N, or say --step, --drop, --cuts or --scallop."]
    ways.append("Scallop: ridge left for the file. Creep: what equal rounded increments would add up to at the end;")
    ways.append(
        "stepcut rounds positions, so its last line has none. The last row has the fewest cuts for its scallop."
    )
    if plan.remarks:
        from stepcut.cards.wording import remark_text

        ways += [remark_text(remark, voice) for remark in plan.remarks if remark.code != "chosen-step"]
    from textwrap import fill

    return "\n".join([fill(headline(plan.machine), width), "", *lines, "", *(fill(way, width) for way in ways)])
