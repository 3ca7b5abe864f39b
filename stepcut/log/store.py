"""The log as one SQLite file: write-ahead log, full sync, a schema version with migrations.

Every change is one transaction, committed before it is reported.  Setting a tick twice is setting it once, so two windows
on one job cannot double it.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from stepcut.errors import BadValue, FileTrouble
from stepcut.folders import data_folder

VERSION = 2
PAPER = "The job can go on with the paper card."
What = Literal["turned", "cut", "checked"]

# One script for each step of the schema; a new store runs them all, an older one those that it lacks.
MIGRATIONS = (
    """
    CREATE TABLE jobs (
        id INTEGER PRIMARY KEY, revision TEXT NOT NULL, part TEXT NOT NULL, title TEXT NOT NULL, shape TEXT NOT NULL,
        recipe TEXT NOT NULL, plan TEXT NOT NULL, stops INTEGER NOT NULL, machine TEXT NOT NULL,
        begun TEXT NOT NULL, ended TEXT, place INTEGER NOT NULL DEFAULT 1
    );
    CREATE TABLE ticks (
        job INTEGER NOT NULL REFERENCES jobs(id), n INTEGER NOT NULL, what TEXT NOT NULL, at TEXT NOT NULL,
        PRIMARY KEY (job, n, what)
    ) WITHOUT ROWID;
    CREATE TABLE events (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id), at TEXT NOT NULL, kind TEXT NOT NULL,
        n INTEGER, words TEXT
    );
    CREATE TABLE notes (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id), at TEXT NOT NULL, n INTEGER, words TEXT NOT NULL,
        next_time INTEGER NOT NULL DEFAULT 0
    );
    CREATE TABLE readings (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id), n INTEGER NOT NULL, at TEXT NOT NULL,
        wanted REAL NOT NULL, found REAL NOT NULL
    );
    """,
    """
    CREATE TABLE blues (
        id INTEGER PRIMARY KEY, job INTEGER NOT NULL REFERENCES jobs(id), at TEXT NOT NULL, share REAL NOT NULL,
        minutes REAL, before REAL NOT NULL, after REAL NOT NULL
    );
    """,
)


@dataclass(frozen=True)
class JobRow:
    """One job of the log."""

    id: int
    revision: str
    part: str
    title: str
    shape: str
    recipe: str
    plan: str
    stops: int
    machine: str
    begun: str
    ended: str | None
    place: int


def default_path() -> Path:
    """Return where the log stands: in the user's data folder."""
    return data_folder() / "log.sqlite3"


def now() -> str:
    """Return the local time, to the second."""
    return dt.datetime.now().astimezone().isoformat(timespec="seconds")


class Store:
    """An open log.

    Raises
    ------
    FileTrouble
        When the file is locked, read-only, full, damaged, or made by a newer program; the message says which.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        with self._worded():
            path.parent.mkdir(parents=True, exist_ok=True)
            self._db = sqlite3.connect(path, timeout=5.0, isolation_level=None)
            try:
                self._db.execute("PRAGMA journal_mode=WAL")
                self._db.execute("PRAGMA synchronous=FULL")
                self._db.execute("PRAGMA foreign_keys=ON")
                self._migrate()
            except BaseException:
                self._db.close()
                raise

    def close(self) -> None:
        """Close the file."""
        self._db.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextlib.contextmanager
    def _worded(self) -> Iterator[None]:
        """Turn what SQLite says into what the person can do."""
        try:
            yield
        except sqlite3.DatabaseError as error:
            raise FileTrouble(self.path, *_said(error)) from error
        except OSError as error:
            rule = f"cannot be used ({(error.strerror or str(error)).lower()})"
            raise FileTrouble(self.path, rule, f"Check the folder and who may write in it. {PAPER}") from error

    def _migrate(self) -> None:
        (version,) = self._db.execute("PRAGMA user_version").fetchone()
        if version > VERSION:
            rule = f"was written by a newer stepcut (schema {version}; this one knows {VERSION})"
            raise FileTrouble(self.path, rule, f"Use the newer program. {PAPER}")
        if version == VERSION:
            return
        self._db.execute("BEGIN IMMEDIATE")
        try:
            (version,) = self._db.execute("PRAGMA user_version").fetchone()  # another window may have done it meanwhile
            for script in MIGRATIONS[version:]:
                for statement in script.split(";"):
                    if statement.strip():
                        self._db.execute(statement)
            self._db.execute(f"PRAGMA user_version = {VERSION}")
            self._db.execute("COMMIT")
        except BaseException:
            with contextlib.suppress(sqlite3.DatabaseError):
                self._db.execute("ROLLBACK")
            raise

    @contextlib.contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on disk whole when this returns, or not at all."""
        with self._worded():
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield self._db
                self._db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.DatabaseError):
                    self._db.execute("ROLLBACK")
                raise

    def _rows(self, query: str, values: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
        with self._worded():
            return self._db.execute(query, values).fetchall()

    # --- jobs ---------------------------------------------------------------------------------------------------

    def job(self, number: int) -> JobRow:
        """Return a job by its number.

        Raises
        ------
        BadValue
            When there is no such job.
        """
        rows = self._rows("SELECT * FROM jobs WHERE id = ?", (number,)) if number < 2**63 else []
        if not rows:
            raise BadValue("job", number, "is not in the log", "See stepcut log list.")
        return JobRow(*rows[0])

    def jobs(self) -> list[JobRow]:
        """Return all jobs, the newest first."""
        return [JobRow(*row) for row in self._rows("SELECT * FROM jobs ORDER BY id DESC")]

    def open_job(self, revision: str, part: str) -> JobRow | None:
        """Return the unfinished job of a revision and part, if there is one."""
        rows = self._rows(
            "SELECT * FROM jobs WHERE revision = ? AND part = ? AND ended IS NULL ORDER BY id DESC LIMIT 1",
            (revision, part),
        )
        return JobRow(*rows[0]) if rows else None

    def last(self, revision: str, part: str) -> JobRow | None:
        """Return the newest job of a revision and part, finished or not."""
        rows = self._rows(
            "SELECT * FROM jobs WHERE revision = ? AND part = ? ORDER BY id DESC LIMIT 1", (revision, part)
        )
        return JobRow(*rows[0]) if rows else None

    def begin(
        self, revision: str, part: str, title: str, shape: str, recipe: str, plan: str, stops: int, machine: str
    ) -> JobRow:
        """Return the unfinished job of this revision and part; begin one when there is none."""
        with self._change() as db:
            row = db.execute(
                "SELECT id FROM jobs WHERE revision = ? AND part = ? AND ended IS NULL ORDER BY id DESC LIMIT 1",
                (revision, part),
            ).fetchone()
            if row is None:
                values = (revision, part, title, shape, recipe, plan, stops, machine, now())
                cursor = db.execute(
                    "INSERT INTO jobs (revision, part, title, shape, recipe, plan, stops, machine, begun) VALUES (?,?,?,?,?,?,?,?,?)",
                    values,
                )
                number = int(cursor.lastrowid or 0)
                self._event(db, number, "begun")
            else:
                (number,) = row
        return self.job(number)

    def end(self, job: int) -> None:
        """Mark a job as done."""
        with self._change() as db:
            db.execute("UPDATE jobs SET ended = ? WHERE id = ? AND ended IS NULL", (now(), job))
            self._event(db, job, "ended")

    def _event(
        self, db: sqlite3.Connection, job: int, kind: str, n: int | None = None, words: str | None = None
    ) -> None:
        db.execute("INSERT INTO events (job, at, kind, n, words) VALUES (?,?,?,?,?)", (job, now(), kind, n, words))

    def event(self, job: int, kind: str, n: int | None = None, words: str | None = None) -> None:
        """Write down that something happened, such as a pause."""
        with self._change() as db:
            self._event(db, job, kind, n, words)

    def events(self, job: int) -> list[tuple[str, str, int | None, str | None]]:
        """Return time, kind, stop and words of everything that happened."""
        return self._rows("SELECT at, kind, n, words FROM events WHERE job = ? ORDER BY id", (job,))

    # --- ticks --------------------------------------------------------------------------------------------------

    def ticks(self, job: int) -> set[tuple[int, str]]:
        """Return every (stop, what) that is ticked."""
        return {(n, what) for n, what in self._rows("SELECT n, what FROM ticks WHERE job = ?", (job,))}

    def tick(self, job: int, n: int, what: What, place: int | None = None) -> None:
        """Set a tick, and the place where to go on; it is on disk when this returns."""
        with self._change() as db:
            changed = db.execute("INSERT OR IGNORE INTO ticks VALUES (?,?,?,?)", (job, n, what, now())).rowcount
            if changed:
                self._event(db, job, what, n)
            if place is not None:
                db.execute("UPDATE jobs SET place = ? WHERE id = ?", (place, job))

    def untick(self, job: int, n: int, what: What, place: int | None = None) -> None:
        """Take a tick back."""
        with self._change() as db:
            if db.execute("DELETE FROM ticks WHERE job = ? AND n = ? AND what = ?", (job, n, what)).rowcount:
                self._event(db, job, f"un{what}", n)
            if place is not None:
                db.execute("UPDATE jobs SET place = ? WHERE id = ?", (place, job))

    def last_tick(self, job: int) -> tuple[int, str] | None:
        """Return the stop and kind of the tick set last and not taken back."""
        ticked = self.ticks(job)
        for _, kind, n, _ in reversed(self.events(job)):
            if n is not None and (n, kind) in ticked:
                return n, kind
        return None

    def go_to(self, job: int, place: int) -> None:
        """Set the place where to go on."""
        with self._change() as db:
            db.execute("UPDATE jobs SET place = ? WHERE id = ?", (place, job))

    def version(self) -> int:
        """Return a number that changes when another window has written."""
        return int(self._rows("PRAGMA data_version")[0][0])

    # --- notes, readings, blue ----------------------------------------------------------------------------------

    def note(self, job: int, words: str, n: int | None = None, next_time: bool = False) -> None:
        """Write a note; one for next time is carried into the next card of the same recipe."""
        with self._change() as db:
            db.execute(
                "INSERT INTO notes (job, at, n, words, next_time) VALUES (?,?,?,?,?)",
                (job, now(), n, words, int(next_time)),
            )

    def notes(self, job: int) -> list[tuple[str, int | None, str, int]]:
        """Return time, stop, words and whether for next time."""
        return self._rows("SELECT at, n, words, next_time FROM notes WHERE job = ? ORDER BY id", (job,))

    def for_next_time(self, shape: str, title: str) -> list[str]:
        """Return the notes for next time of every job of a recipe, told by its shape and title."""
        query = "SELECT words FROM notes JOIN jobs ON jobs.id = notes.job WHERE next_time = 1 AND shape = ? AND title = ? ORDER BY notes.id"
        return [words for (words,) in self._rows(query, (shape, title))]

    def reading(self, job: int, n: int, wanted: float, found: float) -> None:
        """Write down a measured position at a stop; mm."""
        with self._change() as db:
            db.execute(
                "INSERT INTO readings (job, n, at, wanted, found) VALUES (?,?,?,?,?)", (job, n, now(), wanted, found)
            )

    def readings(self, job: int | None = None) -> list[tuple[int, int, float, float, str]]:
        """Return job, stop, wanted, found and machine of all readings, or of one job's."""
        where = "" if job is None else "WHERE job = ?"
        query = f"SELECT job, n, wanted, found, machine FROM readings JOIN jobs ON jobs.id = readings.job {where} ORDER BY readings.id"  # noqa: S608  # no text of the user's
        return self._rows(query, () if job is None else (job,))

    def blue(self, job: int, share: float, minutes: float | None, before: float, after: float) -> None:
        """Write down a blue check: share, minutes filed since the last one, volume before and now, mm^3."""
        with self._change() as db:
            values = (job, now(), share, minutes, before, after)
            db.execute("INSERT INTO blues (job, at, share, minutes, before, after) VALUES (?,?,?,?,?,?)", values)

    def blues(self, job: int | None = None) -> list[tuple[int, str, float, float | None, float, float]]:
        """Return job, time, share, minutes, volume before and after."""
        where = "" if job is None else "WHERE job = ?"
        query = f"SELECT job, at, share, minutes, before, after FROM blues {where} ORDER BY id"  # noqa: S608  # no text of the user's
        return self._rows(query, () if job is None else (job,))


def _said(error: sqlite3.DatabaseError) -> tuple[str, str]:
    """Return rule and way out for what SQLite says."""
    text = str(error).lower()
    ways: tuple[tuple[Callable[[], bool], str, str], ...] = (
        (lambda: "locked" in text or "busy" in text, "is in use by another program", "Close the other window, or wait, and try again."),
        (lambda: "readonly" in text or "unable to open" in text, "cannot be written", "Check who may write in its folder."),
        (lambda: "full" in text or "disk i/o" in text, "cannot be written: the disk is full or failing", "Make room and try again."),
        (lambda: "malformed" in text or "not a database" in text, "is damaged", "Move it away to begin a new log; keep it, its ticks may be saved by a specialist."),
    )  # fmt: skip
    for fits, rule, way in ways:
        if fits():
            return rule, f"{way} {PAPER}"
    return f"cannot be used ({text})", PAPER
