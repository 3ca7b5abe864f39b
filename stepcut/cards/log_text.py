"""The log as Markdown, CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Sequence
from dataclasses import asdict

from stepcut import gate
from stepcut.log.store import JobRow, Store


def markdown(store: Store, row: JobRow, escaped: Callable[[str], str] = gate.markdown) -> str:
    """Return one job as Markdown; for a terminal, where nothing is a mark, ``escaped`` is the gate's own line."""
    ticks = store.ticks(row.id)
    cut = sum(what == "cut" for _, what in ticks)
    lines = [f"## Job {row.id}: {escaped(f'{row.title}, part {row.part}')}", "",
             f"- revision {row.revision}, {row.shape}, machine {escaped(row.machine)}",
             f"- begun {row.begun}, {'ended ' + row.ended if row.ended else 'not ended'}",
             f"- {cut} of {row.stops} stops cut; next is stop {row.place}" if not row.ended else f"- {cut} of {row.stops} stops cut"]  # fmt: skip
    lines += [
        f"- {at}: {kind}{f' at stop {n}' if n else ''}"
        for at, kind, n, _ in store.events(row.id)
        if kind in ("pause", "jump")
    ]
    notes = store.notes(row.id)
    if notes:
        lines += [
            "",
            "Notes",
            "",
            *(
                f"- {at}{f', stop {n}' if n else ''}: {escaped(words)}{' (next time)' if later else ''}"
                for at, n, words, later in notes
            ),
        ]
    readings = store.readings(row.id)
    if readings:
        lines += ["", "| stop | wanted mm | found mm | off mm |", "|---|---|---|---|"]
        lines += [
            f"| {n} | {wanted:.4f} | {found:.4f} | {found - wanted:+.4f} |" for _, n, wanted, found, _ in readings
        ]
    blues = store.blues(row.id)
    if blues:
        lines += ["", "| blue | minutes | left mm³ |", "|---|---|---|"]
        lines += [
            f"| {100 * share:.0f} % | {'' if minutes is None else f'{minutes:g}'} | {after:.1f} |"
            for _, _, share, minutes, _, after in blues
        ]
    return "\n".join(lines) + "\n"


def as_json(store: Store, rows: Sequence[JobRow]) -> str:
    """Return jobs with everything that belongs to them as JSON."""
    found = []
    for row in rows:
        content = asdict(row)
        content["plan"] = json.loads(row.plan)
        content["ticks"] = sorted(store.ticks(row.id))
        content["events"] = store.events(row.id)
        content["notes"] = store.notes(row.id)
        content["readings"] = store.readings(row.id)
        content["blues"] = store.blues(row.id)
        found.append(content)
    return gate.json_text({"schema": 1, "jobs": found}) + "\n"


def as_csv(store: Store, rows: Sequence[JobRow]) -> str:
    """Return every event, note, reading and blue check as one table, lengths in mm."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")

    def write(cells: Sequence[object]) -> None:
        writer.writerow([gate.cell(each) for each in cells])

    write(
        [
            "job",
            "title",
            "part",
            "revision",
            "at",
            "what",
            "stop",
            "words",
            "wanted (mm)",
            "found (mm)",
            "share",
            "minutes",
        ]
    )
    for row in rows:
        head = [row.id, row.title, row.part, row.revision]
        for at, kind, n, words in store.events(row.id):
            write([*head, at, kind, n or "", words or "", "", "", "", ""])
        for at, n, words, later in store.notes(row.id):
            write([*head, at, "note for next time" if later else "note", n or "", words, "", "", "", ""])
        for _, n, wanted, found, _ in store.readings(row.id):
            write([*head, "", "reading", n, "", wanted, found, "", ""])
        for _, at, share, minutes, _, _ in store.blues(row.id):
            write([*head, at, "blue", "", "", "", "", share, "" if minutes is None else minutes])
    return buffer.getvalue()
