"""The log as lines and Markdown: in the job's own unit, local time, size beside the title."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Callable
from functools import cache

from stepcut import gate
from stepcut.errors import StepcutError
from stepcut.log.store import JobRow, Store, WholeJob
from stepcut.machine import files as machines
from stepcut.shapes import sizes
from stepcut.voice import Voice, voice_of


def local(at: str) -> str:
    """Return a time of the log as the clock on the wall shows it, to the minute.

    Examples
    --------
    >>> local("no time")
    'no time'
    """
    try:
        return dt.datetime.fromisoformat(at).astimezone().strftime("%Y-%m-%d %H:%M")
    except ValueError:
        return at


@cache
def _head(recipe: str) -> tuple[str, str, str]:
    """Return shape, unit and size of a recipe's text; what cannot be read is empty."""
    try:
        content = tomllib.loads(recipe)
    except (ValueError, RecursionError):
        return "", "", ""
    shape = str(content.get("shape", ""))
    table = content.get(shape)
    values = table if isinstance(table, dict) else {}
    return shape, str(content.get("unit") or ""), sizes(shape, values)


def size(recipe: str) -> str:
    """Return the sizes of a job's part as they were typed."""
    return gate.line(_head(recipe)[2])


def voice(row: WholeJob) -> Voice:
    """Return how a job's numbers are said: in its recipe's unit, else in that of its machine as it was, else as sizes are typed."""
    unit = _head(row.recipe)[1]
    try:
        kept = row.machine_file
        machine = machines.from_text(kept, row.machine, row.machine) if kept else machines.find(row.machine)
        return voice_of(machine, unit or None)
    except StepcutError:
        return Voice("mm" if unit == "mm" or (not unit and "mm" in _head(row.recipe)[2]) else "in")


def called(row: JobRow) -> str:
    """Return title, part and, where there are more of one, the piece."""
    return f"{row.title}, part {row.part}" + (f", piece {row.piece}" if row.piece != "1" else "")


def state(row: JobRow, cut: int) -> str:
    """Return how far a job is."""
    if row.ended:
        return (
            f"done {local(row.ended)[:10]}"
            if cut >= row.stops
            else f"closed {local(row.ended)[:10]}, {cut} of {row.stops} cut"
        )
    return f"{cut} of {row.stops} cut"


def following(row: JobRow) -> str:
    """Return what a job goes on with."""
    word, _, number = row.doing.partition(" ")
    named = {
        "prepared": f"box {number} of the set-up",
        "measured": f"measure {number}",
        "checked": f"the check after cut {number}",
    }
    if word.startswith("last-"):
        return f"what is cut last, for measure {number}"
    return named.get(word, f"cut {row.place}")


def list_line(store: Store, row: JobRow) -> str:
    """Return one job in one line: number, begin, title, size, how far it is."""
    cut = sum(what == "cut" for _, what in store.ticks(row.id))
    parts = [row.shape, gate.line(called(row)), size(store.recipe(row.id)), state(row, cut)]
    return f"{row.id:>4}  {local(row.begun)}  {'; '.join(part for part in parts if part)}"


def text(store: Store, row: WholeJob) -> str:
    """Return one job for the terminal."""
    return _job(store, row, gate.line, "")


def markdown(store: Store, row: WholeJob) -> str:
    """Return one job as Markdown."""
    return _job(store, row, gate.markdown, "## ")


def _machine(name: str, said: Callable[[str], str]) -> str:
    """Return the machine of a job; an example is said to be one, as on its card."""
    return f"EXAMPLE MACHINE {name}, not yours" if name in machines.SHIPPED else f"machine {said(name)}"


def _job(store: Store, row: WholeJob, said: Callable[[str], str], head: str) -> str:
    say = voice(row)
    cut = sum(what == "cut" for _, what in store.ticks(row.id))
    lines = [f"{head}Job {row.id}: {said(called(row))}", "",
             f"- {said(size(row.recipe)) or row.shape}; revision {row.revision}, {_machine(row.machine, said)}",
             f"- begun {local(row.begun)}, {'ended ' + local(row.ended) if row.ended else 'not ended'}",
             f"- {cut} of {row.stops} cut" + ("" if row.ended else f"; next is {following(row)}")]  # fmt: skip
    lines += [
        f"- {local(at)}: {kind}{f' at cut {n}' if n else ''}{f', {said(words)}' if words else ''}"
        for at, kind, n, words in store.events(row.id)
        if kind in ("pause", "jump", "renamed", "merged", "binned", "unbinned")
    ]
    notes = store.notes(row.id)
    if notes:
        lines += ["", "Notes", ""]
        lines += [
            f"- {local(at)}{f', cut {n}' if n else ''}: {said(words)}{' (next time)' if later else ''}"
            for at, n, words, later in notes
        ]
    readings = store.readings(row.id)
    if readings:
        lines += ["", "| cut | wanted | found | off |", "|---|---|---|---|"]
        lines += [
            f"| {n} | {say.length(wanted)} | {say.length(found)} | {signed(found - wanted, say)} |"
            for _, n, wanted, found, *_ in readings
        ]
    blues = store.blues(row.id)
    if blues:
        lines += ["", "| blue | when | minutes | left |", "|---|---|---|---|"]
        lines += [
            f"| {100 * share:.0f} % | {local(at)} | {'' if minutes is None else f'{minutes:g}'} | {say.volume(after)} |"
            for _, at, share, minutes, _, after in blues
        ]
    lines += ["", *(f"- {line}" for line in filed)] if (filed := _filed(store, row, say)) else []
    return "\n".join(lines) + "\n"


def _filed(store: Store, row: WholeJob, say: Voice) -> list[str]:
    """Return what each file took off the part of a job, and in how many strokes over each place."""
    return [
        f"{strokes} stroke{'' if strokes == 1 else 's'} of the {tool} over each place took {say.length(height)} off"
        for job, tool, strokes, height in store.filings()
        if job == row.id
    ]


def signed(mm: float, say: Voice) -> str:
    """Return a length with its sign."""
    return f"{'+' if mm >= 0 else '-'}{say.length(abs(mm))}"


def carried(store: Store, row: WholeJob) -> list[str]:
    """Return what an old job has to tell the next one: notes, readings, blue checks and times."""
    say = voice(row)
    lines = [
        f"Note of job {row.id}{f', cut {n}' if n else ''}: {gate.line(words)}" for _, n, words, _ in store.notes(row.id)
    ]
    last = {n: found - wanted for _, n, wanted, found, *_ in store.readings(row.id)}  # of several at one cut the last
    off = list(last.values())
    if off:
        lines.append(
            f"Readings of job {row.id}: {len(off)}, off by {signed(min(off), say)} to {signed(max(off), say)}, "
            f"{signed(sum(off) / len(off), say)} as a mean."
        )
    blues = store.blues(row.id)
    if blues:
        shares = ", ".join(f"{100 * share:.0f}" for _, _, share, _, _, _ in blues)
        spent = sum(minutes or 0 for _, _, _, minutes, _, _ in blues)
        lines.append(f"Blue of job {row.id}: {shares} %" + (f"; {spent:g} minutes filed." if spent else "."))
    lines += [f"Filing of job {row.id}: {line}." for line in _filed(store, row, say)]
    return lines
