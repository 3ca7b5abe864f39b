"""The log as CSV and JSON: lengths and volumes in each job's own unit, times with their zone."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from msgspec.structs import asdict

from stepcut import gate
from stepcut.cards.log_text import voice
from stepcut.log.store import Store, WholeJob

SCHEMA = 2  # since 2 readings and blue checks have names, and lengths the job's unit
PLACES = 6  # of a length: a thousandth of the finest scale there is
HEAD = ("job", "title", "part", "piece", "revision", "at", "what", "cut", "words", "wanted", "found", "unit", "share", "minutes", "left")  # fmt: skip


def _length(mm: float, unit: str) -> float:
    return round(mm / 25.4, PLACES) if unit == "in" else round(mm, PLACES)


def _volume(mm3: float, unit: str) -> float:
    return round(mm3 / 25.4**3, PLACES) if unit == "in" else round(mm3, PLACES)


def as_json(store: Store, rows: Sequence[WholeJob]) -> str:
    """Return jobs with everything that belongs to them as JSON; the plan in it is that of ``stepcut card --json``, in mm."""
    return gate.json_text({"schema": SCHEMA, "jobs": [_content(store, row) for row in rows]}) + "\n"


def _content(store: Store, row: WholeJob) -> dict[str, Any]:
    content, unit = asdict(row), voice(row).unit
    del content["as_begun"]  # the same plan once more, packed for the program
    try:
        content["plan"] = json.loads(row.plan)
    except ValueError:  # damaged: the rest is worth having
        content["plan"] = None
    content["unit"] = unit
    content["ticks"] = sorted(store.ticks(row.id))
    content["events"] = store.events(row.id)
    content["notes"] = store.notes(row.id)
    content["readings"] = [
        {"cut": n, "at": at, "wanted": _length(wanted, unit), "found": _length(found, unit)}
        for _, n, wanted, found, _, at in store.readings(row.id)
    ]
    content["blues"] = [
        {"at": at, "share": share, "minutes": minutes, "before": _volume(before, unit), "left": _volume(after, unit)}
        for _, at, share, minutes, before, after in store.blues(row.id)
    ]
    return content


def as_csv(store: Store, rows: Sequence[WholeJob]) -> str:
    """Return every event, note, reading and blue check as one table; ``unit`` is that of wanted and found, its cube that of left."""
    buffer = io.StringIO()
    writer = csv.writer(buffer, lineterminator="\r\n")
    writer.writerow(HEAD)
    for row in rows:
        for line in _lines(store, row):
            writer.writerow([gate.cell(line.get(name, "")) for name in HEAD])
    return buffer.getvalue()


def _lines(store: Store, row: WholeJob) -> list[dict[str, object]]:
    unit = voice(row).unit
    found: list[dict[str, object]] = [
        {"at": at, "what": kind, "cut": n or "", "words": words or ""} for at, kind, n, words in store.events(row.id)
    ]
    found += [
        {"at": at, "what": "note for next time" if later else "note", "cut": n or "", "words": words}
        for at, n, words, later in store.notes(row.id)
    ]
    found += [
        {
            "at": at,
            "what": "reading",
            "cut": n,
            "wanted": _length(wanted, unit),
            "found": _length(read, unit),
            "unit": unit,
        }
        for _, n, wanted, read, _, at in store.readings(row.id)
    ]
    found += [
        {"at": at, "what": "blue", "share": share, "minutes": "" if minutes is None else minutes,
         "left": _volume(after, unit), "unit": unit}
        for _, at, share, minutes, _, after in store.blues(row.id)
    ]  # fmt: skip
    head = {"job": row.id, "title": row.title, "part": row.part, "piece": row.piece, "revision": row.revision}
    return [head | line for line in found]
