"""Logs as older programs wrote them, made by the scripts of their schema."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import asdict

from stepcut.log.rows import WholeJob
from stepcut.log.schema import MIGRATIONS


def older(
    path: Path, schema: int, jobs: Sequence[WholeJob], ticks: Sequence[tuple[int, int, str]] = (), **changed: object
) -> None:
    """Write a log of a schema with these jobs, of each what its table had then, and ticks (job, number, word) with their events."""
    db = sqlite3.connect(path)
    db.executescript(";".join(MIGRATIONS[:schema]))
    db.execute(f"PRAGMA user_version = {schema}")
    known = [name for _, name, *_ in db.execute("PRAGMA table_info(jobs)")]
    for job in jobs:
        values = {**asdict(job), **changed}
        db.execute(
            f"INSERT INTO jobs ({', '.join(known)}) VALUES ({', '.join('?' * len(known))})",  # noqa: S608  # names of columns
            [values[name] for name in known],
        )
        if schema > 4:  # from there on what was kept stands in a table of its own
            row = (job.id, *(values[name] for name in ("recipe", "plan", "machine_file", "as_begun")))
            db.execute("INSERT INTO kept (job, recipe, plan, machine_file, as_begun) VALUES (?,?,?,?,?)", row)
        db.execute("INSERT INTO events (job, at, kind) VALUES (?, ?, 'begun')", (job.id, job.begun))
    for number, n, what in ticks:
        db.execute("INSERT INTO ticks VALUES (?, ?, ?, '2020-01-01T10:00:00+00:00')", (number, n, what))
        db.execute(
            "INSERT INTO events (job, at, kind, n) VALUES (?, '2020-01-01T10:00:00+00:00', ?, ?)", (number, what, n)
        )
    db.commit()
    db.close()
