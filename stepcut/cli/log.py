"""``stepcut log``: what was done, notes for next time, and what the readings say of the machine."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.ending import past_stopping
from stepcut.cli.group import several
from stepcut.cli.options import Force
from stepcut.errors import BadValue

Number = Annotated[int, typer.Argument(help="Number of the job.", min=1)]


def _list(binned: Annotated[bool, typer.Option("--bin", help="Those in the bin.")] = False) -> None:
    """List all jobs, the newest first: when begun, what, its size, how far."""
    from stepcut.cards.log_text import list_line
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log(reading=True) as store:
        lines = [list_line(store, row) for row in store.jobs(binned)]
    show_folded(
        "\n".join(lines) if lines else "The bin is empty." if binned else "The log is empty; stepcut tick begins a job."
    )


def _show(job: Number) -> None:
    """Show one job: times, notes, readings and blue checks."""
    from stepcut.cards.log_text import text
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log(reading=True) as store:
        show_folded(text(store, store.job(job)))


def _close(job: Number) -> None:
    """Close a job that will not be cut any further; nothing of it is lost."""
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        row = store.job(job)
        if row.ended:
            raise BadValue("job", job, "is closed already", "See stepcut log list.")
        past_stopping()
        store.end(row.id)
    show_folded(f"Job {job} is closed.")


def _rename(job: Number, title: Annotated[str, typer.Argument(help="Its new title.")]) -> None:
    """Give a job another title; its recipe still finds it, and the old title stays in its history."""
    from stepcut import gate
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    if not title.strip() or len(title) > 200:
        raise BadValue("title", title.strip(), "must be a title of 1 to 200 characters", "Write a short one.")
    with at_machine.open_log() as store:
        past_stopping()
        store.rename(store.job(job).id, title.strip())
    show_folded(f"Job {job} is now {gate.line(title.strip())}.")


def _delete(job: Number) -> None:
    """Put a job into the bin; it is kept there until stepcut log empty."""
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        row = store.job(job)
        if row.id in {each.id for each in store.jobs(binned=True)}:
            raise BadValue("job", job, "is in the bin already", "Take it out with stepcut log keep, or empty the bin.")
        past_stopping()
        store.bin(row.id)
    show_folded(f"Job {job} is in the bin. Take it out again with stepcut log keep {job}.")


def _keep(job: Number) -> None:
    """Take a job out of the bin."""
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        row = store.job(job)
        if row.id not in {each.id for each in store.jobs(binned=True)}:
            raise BadValue("job", job, "is not in the bin", "See stepcut log list --bin.")
        past_stopping()
        store.bin(row.id, out=True)
    show_folded(f"Job {job} is out of the bin.")


def _empty(
    yes: Annotated[bool, typer.Option("--yes", help="Do it; nothing in the bin can be had back.")] = False,
) -> None:
    """Empty the bin for good."""
    from stepcut.cards.log_text import list_line
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        lines = [list_line(store, row) for row in store.jobs(binned=True)]
        if lines and not yes:
            raise BadValue(
                "bin",
                None,
                f"holds {len(lines)} job{'s' if len(lines) > 1 else ''}",
                "See stepcut log list --bin; then give --yes.",
            )
        past_stopping()
        count = store.empty_bin() if lines else 0
    show_folded(f"{count} job{'' if count == 1 else 's'} removed for good." if count else "The bin is empty.")


def _merge(job: Number, other: Annotated[int, typer.Argument(help="The job to take in.", min=1)]) -> None:
    """Take ticks, notes, readings and blue of another job of the same part into a job; the other goes into the bin."""
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        into, taken = store.job(job), store.job(other)
        if into.id == taken.id:
            raise BadValue("other", other, "is the same job", "Name two jobs.")
        if (into.shape, into.part) != (taken.shape, taken.part):
            way = "Merge jobs of one part; see stepcut log show."
            raise BadValue("other", other, f"is another part than job {job}", way)
        if into.revision != taken.revision:
            rule = f"was cut from other values than job {job}, so its cuts are other cuts"
            raise BadValue("other", other, rule, "Merge jobs of one revision; see stepcut log show.")
        if into.piece != taken.piece:
            rule = f"is piece {taken.piece}, and job {job} is piece {into.piece}: two pieces are not one part"
            raise BadValue("other", other, rule, "Merge jobs of one piece; see stepcut log list.")
        for name, number in (("job", job), ("other", other)):
            if number in {each.id for each in store.jobs(binned=True)}:
                raise BadValue(name, number, "is in the bin", f"Take it out first: stepcut log keep {number}.")
        past_stopping()
        store.merge(into.id, taken.id)
    show_folded(f"Job {other} is merged into job {job}; what is left of it is in the bin.")


def _note(
    job: Number,
    words: Annotated[str, typer.Argument(help="The note.")],
    next_time: Annotated[bool, typer.Option("--next-time", help="Carry it into the next card of this recipe.")] = False,
) -> None:
    """Write a note on a job."""
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded

    with at_machine.open_log() as store:
        past_stopping()
        store.note(store.job(job).id, words.strip(), None, next_time)
    show_folded("Noted for next time." if next_time else "Noted.")


def _reading(
    job: Number,
    cut: Annotated[int, typer.Argument(help="Number of the cut.", min=1)],
    found: Annotated[str, typer.Argument(help="Depth (or x, height) that was measured there.")],
) -> None:
    """Write down a measured depth at a cut; where it is off, say what the readings so far look like and how to tell."""
    from stepcut.cards.log_text import signed
    from stepcut.cards.off_text import lines_of
    from stepcut.cli import at_machine, screen
    from stepcut.cli.begun import as_begun

    with at_machine.open_log() as store:
        row = store.job(job)
        if cut > row.stops:
            raise BadValue("cut", cut, f"is past the last cut, {row.stops}", "Give the number of a cut.")
        begun = as_begun(row, partly=True)
        wanted, value = at_machine.reading_of(begun.plan, found, begun.voice.unit, cut)
        past_stopping()
        store.reading(row.id, cut, wanted, value)
        readings = at_machine.measured(store, row)
    voice = begun.voice
    off = value - wanted
    both = f" on the radius, {signed(2 * off, voice)} on the diameter," if begun.plan.second.doubled else ""
    lines = [f"Cut {cut}: {signed(off, voice)}{both} against the plan."]
    lines += lines_of(begun.plan, begun.card, readings, voice, screen.width())
    screen.show_folded("\n".join(lines))


def _export(
    out: Annotated[str, typer.Argument(help="File to write: .csv, .json or .md; - for Markdown on standard output.")],
    job: Annotated[int | None, typer.Option("--job", help="Only this job.", min=1)] = None,
    force: Force = False,
) -> None:
    """Write the log as CSV, JSON or Markdown."""
    from stepcut import gate
    from stepcut.cards.log_export import as_csv, as_json
    from stepcut.cards.log_text import markdown
    from stepcut.cli import at_machine
    from stepcut.cli.screen import say, show
    from stepcut.files import write_whole

    kind = Path(out).suffix.lstrip(".").lower() if out != "-" else "md"
    if kind not in ("csv", "json", "md"):
        raise BadValue("out", out, "is no kind of file that the log can be written as", "Use .csv, .json or .md.")
    with at_machine.open_log(reading=True) as store:
        numbers = [job] if job is not None else [row.id for row in store.jobs()]
        rows = [store.job(number) for number in numbers]
        if kind == "csv":
            text = as_csv(store, rows)
        elif kind == "json":
            text = as_json(store, rows)
        else:
            text = "\n".join(markdown(store, row) for row in rows)
    if out == "-":
        show(text)
        return
    past_stopping()
    write_whole(Path(out), text, force)
    say(f"Wrote {gate.line(out)}.")


def _errors(
    machine: Annotated[
        str | None, typer.Option("--machine", help="The machine whose readings are taken; yours where it is left out.")
    ] = None,
    accept: Annotated[bool, typer.Option("--accept", help="Write the proposed error into the machine's file.")] = False,
) -> None:
    """Compare readings with plans: mean and spread, proposed as the machine's depth error; written only with --accept."""
    from stepcut import gate
    from stepcut.cli import at_machine
    from stepcut.cli.screen import show_folded
    from stepcut.log.history import depth_error
    from stepcut.machine import chosen
    from stepcut.machine import files as machines
    from stepcut.voice import voice_of

    machine = machine or chosen.which()
    own = machines.find(machine)
    voice, name = voice_of(own), gate.line(own.name)
    with at_machine.open_log(reading=True) as store:
        pairs = [(wanted, found) for _, _, wanted, found, whose, _ in store.readings() if whose == own.name]
    error = depth_error(pairs)
    if error is None:
        many = f"{len(pairs)} reading{'' if len(pairs) == 1 else 's'}"
        show_folded(f"{many} on {name}; three or more are needed to say something.")
        return
    lines = [f"{error.count} readings on {name}: mean {voice.length(error.mean)}, spread {voice.length(error.spread)}.",
             f"Proposed depth error (mean and two spreads): {voice.length(error.proposed)}; its file says {voice.length(own.depth.error if own.depth else 0)}."]  # fmt: skip
    last = _accepted(machine, error.proposed, voice.unit) if accept else "Nothing is changed. Accept it with --accept."
    show_folded("\n".join([*lines, last]))


def _accepted(machine: str, error: float, unit: str) -> str:
    """Write a depth error, mm, into the machine's file in its unit, nothing else of it changed; say where."""
    from stepcut import gate
    from stepcut.files import read_text, write_whole
    from stepcut.machine import files as machines
    from stepcut.machine.mending import with_depth_error
    from stepcut.written import fixed

    path = dict(machines.names()).get(machine, Path(machine))
    if machine in machines.SHIPPED:
        raise BadValue(
            "machine",
            machine,
            "ships with the program and is not changed",
            f"Make your own with stepcut machine new NAME --like {machine}.",
        )
    figure = f"{fixed(error / 25.4 if unit == 'in' else error, 5)}{unit}"
    mended = with_depth_error(read_text(path), figure)
    if mended is None:
        raise BadValue("machine", machine, "has no line error = ... in its [depth]", "Add one by hand.")
    past_stopping()
    write_whole(path, mended, force=True)
    return f"Written into {gate.line(str(path))}."


def command() -> TyperCommand:
    """Return the commands."""
    from stepcut.cli import log_backup, log_check, log_readback, log_repair, log_restore

    bodies: dict[str, Callable[..., int | None]] = {
        "list": _list,
        "show": _show,
        "close": _close,
        "rename": _rename,
        "delete": _delete,
        "keep": _keep,
        "empty": _empty,
        "merge": _merge,
        "note": _note,
        "reading": _reading,
        "export": _export,
        "errors": _errors,
        "check": log_check.body,
        "backup": log_backup.body,
        "restore": log_restore.body,
        "repair": log_repair.body,
        "read-back": log_readback.body,
    }
    return several("log", "What was done at the machine.", bodies)
