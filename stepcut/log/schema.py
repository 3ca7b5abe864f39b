"""The tables of the log, how an older file is brought up to date, and what SQLite's troubles mean for the person.

Before a file is changed to a newer schema a whole copy of it is put beside it.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import sqlite3
from collections.abc import Callable
from pathlib import Path

from stepcut.errors import FileTrouble
from stepcut.files import write_whole

VERSION = 6
# What a file can raise; of a damaged one the very text of SQLite's complaint may be no text.
TROUBLES = (sqlite3.Error, UnicodeDecodeError)
PAPER = "The job can go on with the paper card."

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
    # The job as it was begun: piece, the machine's file, the solved plan and its card, the program; and how often it has
    # moved on, so that an act on an old screen can be told.
    """
    ALTER TABLE jobs ADD COLUMN piece TEXT NOT NULL DEFAULT '1';
    ALTER TABLE jobs ADD COLUMN machine_file TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN as_begun TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN program TEXT NOT NULL DEFAULT '';
    ALTER TABLE jobs ADD COLUMN moves INTEGER NOT NULL DEFAULT 0;
    """,
    # The step to do next, by its word and number; empty in a job of an older program, whose place and ticks tell it.
    """
    ALTER TABLE jobs ADD COLUMN doing TEXT NOT NULL DEFAULT '';
    """,
    # What was kept when a job was begun stands in a table of its own, for SQLite writes a whole row anew when one number of it
    # changes, and that was the whole card at each tick.  A job is told apart by the title it was begun with, whatever it is
    # called since.  The table is made anew: an old SQLite cannot take a column away.
    """
    CREATE TABLE kept (
        job INTEGER PRIMARY KEY REFERENCES jobs(id), recipe TEXT NOT NULL, plan TEXT NOT NULL, machine_file TEXT NOT NULL DEFAULT '',
        as_begun TEXT NOT NULL DEFAULT ''
    );
    INSERT INTO kept SELECT id, recipe, plan, machine_file, as_begun FROM jobs;
    CREATE TABLE jobs_anew (
        id INTEGER PRIMARY KEY, revision TEXT NOT NULL, part TEXT NOT NULL, title TEXT NOT NULL, named TEXT NOT NULL,
        piece TEXT NOT NULL DEFAULT '1', shape TEXT NOT NULL, stops INTEGER NOT NULL, machine TEXT NOT NULL,
        program TEXT NOT NULL DEFAULT '', begun TEXT NOT NULL, ended TEXT, place INTEGER NOT NULL DEFAULT 1,
        doing TEXT NOT NULL DEFAULT '', moves INTEGER NOT NULL DEFAULT 0
    );
    INSERT INTO jobs_anew (id, revision, part, title, named, piece, shape, stops, machine, program, begun, ended, place, doing, moves)
        SELECT id, revision, part, title,
            coalesce((SELECT words FROM events WHERE job = jobs.id AND kind = 'renamed' ORDER BY id LIMIT 1), title),
            piece, shape, stops, machine, program, begun, ended, place, doing, moves FROM jobs;
    DROP TABLE jobs;
    ALTER TABLE jobs_anew RENAME TO jobs;
    """,
    # The highest number that a job was given, for a number stands on printed cards and is given once, also when its job is removed.
    """
    CREATE TABLE given (last INTEGER NOT NULL);
    INSERT INTO given SELECT coalesce(max(id), 0) FROM jobs;
    """,
)
LAST_GIVEN = "SELECT max(coalesce((SELECT max(last) FROM given), 0), coalesce((SELECT max(id) FROM jobs), 0))"


def give(db: sqlite3.Connection) -> int:
    """Return the number of the next job, which no job of a log in a transaction ever had, and write down that it is given."""
    (last,) = db.execute(LAST_GIVEN).fetchone()
    _given(db, int(last) + 1)
    return int(last) + 1


def given_too(db: sqlite3.Connection, other: sqlite3.Connection) -> None:
    """Write down that the numbers of another file, which this one takes the place of, are given; as far as it can be read."""
    last = 0
    for query in ("SELECT max(last) FROM given", "SELECT max(id) FROM jobs"):
        with contextlib.suppress(*TROUBLES):
            (found,) = other.execute(query).fetchone()
            last = max(last, found if isinstance(found, int) else 0)
    (own,) = db.execute(LAST_GIVEN).fetchone()
    _given(db, max(last, int(own)))


def _given(db: sqlite3.Connection, number: int) -> None:
    db.execute("DELETE FROM given")
    db.execute("INSERT INTO given VALUES (?)", (number,))


def stamp() -> str:
    """Return the local time as it stands in the name of a copy."""
    return f"{dt.datetime.now():%Y%m%d-%H%M%S}"


def content_of(db: sqlite3.Connection) -> bytes:
    """Return an open log as the bytes of one file, the newest ticks included.

    SQLite's own online backup makes the copy, in which other windows may go on writing meanwhile.  The mark of the
    write-ahead log is taken off, so that the copy opens anywhere, from a disk that cannot be written too.

    References
    ----------
    SQLite documentation, "Online Backup API"; "Database File Format", 1.3.3 (file format version numbers, bytes 18 and 19).
    """
    copy = sqlite3.connect(":memory:")
    try:
        db.backup(copy)
        data = bytearray(copy.serialize())
    finally:
        copy.close()
    if data[18:20] == b"\x02\x02":
        data[18:20] = b"\x01\x01"
    return bytes(data)


def put_aside(path: Path, data: bytes, why: str) -> Path:
    """Write a copy of a log beside it under a name that tells why; return its path."""
    name = f"{path.name}.{why}-{stamp()}"
    for number in range(1, 100):
        copy = path.with_name(name if number == 1 else f"{name}-{number}")
        if not copy.exists():
            write_whole(copy, data)
            return copy
    raise FileTrouble(path, "has a hundred copies of this second beside it", "Move them away.")


def version_of(db: sqlite3.Connection) -> int:
    """Return the schema version of an open file; 0 when it is new."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def newer(path: Path, version: int) -> FileTrouble:
    """Return the trouble of a file from a newer program."""
    rule = f"was written by a newer stepcut (schema {version}; this one knows {VERSION})"
    return FileTrouble(path, rule, f"Use the newer program. {PAPER}")


def migrate(db: sqlite3.Connection, path: Path) -> None:
    """Bring a file up to date, with a copy of it as it was beside it.

    Raises
    ------
    FileTrouble
        When a newer program wrote it, or the copy cannot be written: then nothing is changed.
    """
    version = version_of(db)
    if version > VERSION:
        raise newer(path, version)
    if version == VERSION:
        return
    if version:
        put_aside(path, content_of(db), f"before-schema-{VERSION}")
    db.execute("BEGIN IMMEDIATE")
    try:
        version = version_of(db)  # another window may have done it meanwhile
        for script in MIGRATIONS[version:]:
            for statement in script.split(";"):
                if statement.strip():
                    db.execute(statement)
        db.execute(f"PRAGMA user_version = {VERSION}")
        db.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            db.execute("ROLLBACK")
        raise


def said(error: Exception) -> tuple[str, str]:
    """Return rule and way out for what SQLite says, or for content that no stepcut wrote."""
    text = str(error).lower()
    damaged = not isinstance(error, sqlite3.Error)
    ways: tuple[tuple[Callable[[], bool], str, str], ...] = (
        (lambda: "locked" in text or "busy" in text, "is in use by another program", "Close the other window, or wait, and try again."),
        (lambda: "readonly" in text or "unable to open" in text, "cannot be written", "Check who may write in its folder."),
        (lambda: "full" in text or "disk i/o" in text, "cannot be written: the disk is full or failing", "Make room and try again."),
        (lambda: damaged or any(mark in text for mark in ("malformed", "not a database", "no such", "utf-8", "corrupt")),
         "is damaged", "stepcut log repair saves what can be read and begins a new log with it; the damaged file is kept."),
    )  # fmt: skip
    for fits, rule, way in ways:
        if fits():
            return rule, f"{way} {PAPER}"
    return f"cannot be used ({text})", PAPER
