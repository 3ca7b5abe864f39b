"""The log as one SQLite file: write-ahead log, full sync.

Every change is one transaction, committed before it is reported, and made only while the file is still the one that
was opened.  What the hands did is a tick: the number of an act and a word for it.  Setting a tick twice is setting it
once, and an act on a screen that is out of date is refused, so two windows on one job cannot get in each other's way.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from stepcut.errors import BadValue, FileTrouble
from stepcut.folders import data_folder
from stepcut.log.read_back import Said
from stepcut.log.schema import MIGRATIONS, PAPER, VERSION, content_of, migrate, newer, said, version_of

__all__ = ["MIGRATIONS", "PAPER", "VERSION", "JobRow", "MovedOn", "Store", "default_path", "now"]


# Jobs in the bin: those that were put there and not taken out again.
BINNED = """SELECT job FROM events AS e WHERE kind = 'binned' AND id =
    (SELECT max(id) FROM events WHERE job = e.job AND kind IN ('binned', 'unbinned'))"""


@dataclass(frozen=True)
class JobRow:
    """One job of the log; the fields are the columns of its table."""

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
    piece: str = "1"
    machine_file: str = ""  # text of the machine's file when it was begun; empty in a job of an older program
    as_begun: str = ""  # the solved plan and its card, frozen
    program: str = ""  # version of the program that began it
    moves: int = 0  # how often it has moved on
    doing: str = ""  # the step to do next, by word and number; empty in a job of an older program


class MovedOn(BadValue):
    """An act on a screen that is out of date: another window has gone on with the job."""

    def __init__(self, job: int) -> None:
        super().__init__("job", job, "has moved on in another window", "Nothing was ticked; look at the screen anew.")


def default_path() -> Path:
    """Return where the log stands: in the user's data folder."""
    return data_folder() / "log.sqlite3"


def now() -> str:
    """Return the local time, to the second."""
    return dt.datetime.now().astimezone().isoformat(timespec="seconds")


class Store:
    """An open log.

    Parameters
    ----------
    path : Path
        The file; it is made when there is none.
    reading : bool
        Only to read: then a file that cannot be written, on a locked disk or of an older schema, serves as it is.

    Raises
    ------
    FileTrouble
        When the file is locked, read-only, full, damaged, or made by a newer program; the message says which.
    """

    def __init__(self, path: Path, reading: bool = False) -> None:
        self.path = path
        with self._worded():
            self._db = _opened_to_read(path) if reading else _opened(path)
            self._file = _identity(path)
            try:
                self._columns = [name for _, name, *_ in self._db.execute("PRAGMA table_info(jobs)")]
                tables = self._db.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
                self._tables = {name for (name,) in tables}
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
        except sqlite3.Error as error:
            raise FileTrouble(self.path, *said(error)) from error
        except OSError as error:
            rule = f"cannot be used ({(error.strerror or str(error)).lower()})"
            raise FileTrouble(self.path, rule, f"Check the folder and who may write in it. {PAPER}") from error

    def same_file(self) -> None:
        """Refuse to go on when the file was moved, replaced or deleted since it was opened: ticks would go nowhere.

        Raises
        ------
        FileTrouble
            When it was.
        """
        if _identity(self.path) != self._file:
            way = f"Put it back, or end here and begin with stepcut tick anew. {PAPER}"
            raise FileTrouble(self.path, "was moved, replaced or deleted while it was in use", way)

    @contextlib.contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on disk whole when this returns, or not at all."""
        with self._worded():
            self.same_file()
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield self._db
                self._db.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")
                raise
            self.same_file()

    def _rows(self, query: str, values: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
        with self._worded():
            return self._db.execute(query, values).fetchall()

    def query(self, query: str) -> list[tuple[Any, ...]]:
        """Return the rows of one of the program's own queries on the file itself."""
        return self._rows(query)

    def has(self, table: str) -> bool:
        """Whether the file has a table; one of an older schema may lack some."""
        return table in self._tables

    def content(self) -> bytes:
        """Return the whole log as the bytes of one file, the newest ticks included."""
        with self._worded():
            return content_of(self._db)

    # --- jobs ---------------------------------------------------------------------------------------------------

    def _jobs(self, rest: str, values: tuple[Any, ...] = ()) -> list[JobRow]:
        """Return jobs by the rest of a query, whichever schema the file has."""
        names = [each.name for each in fields(JobRow) if each.name in self._columns]
        rows = self._rows(f"SELECT {', '.join(names)} FROM jobs {rest}", values)  # noqa: S608  # no text of the user's
        return [self._job(dict(zip(names, row, strict=True))) for row in rows]

    def _job(self, found: dict[str, Any]) -> JobRow:
        """Return a row as a job; a column of the wrong kind is damage."""
        try:
            row = JobRow(**found)
        except TypeError as error:
            raise FileTrouble(self.path, *said(error)) from None
        for each in fields(JobRow):
            value = getattr(row, each.name)
            whole = each.name in ("id", "stops", "place", "moves")
            if not isinstance(value, int if whole else str) and not (each.name == "ended" and value is None):
                raise FileTrouble(self.path, *said(TypeError(each.name)))
        return row

    def job(self, number: int) -> JobRow:
        """Return a job by its number.

        Raises
        ------
        BadValue
            When there is no such job.
        """
        rows = self._jobs("WHERE id = ?", (number,)) if number < 2**63 else []
        if not rows:
            raise BadValue("job", number, "is not in the log", "See stepcut log list.")
        return rows[0]

    def jobs(self, binned: bool = False) -> list[JobRow]:
        """Return all jobs, the newest first; or those in the bin."""
        return self._jobs(f"WHERE id {'' if binned else 'NOT'} IN ({BINNED}) ORDER BY id DESC")

    def bin(self, job: int, out: bool = False) -> None:
        """Put a job into the bin, or take it out; nothing of it is lost until the bin is emptied."""
        self.event(job, "unbinned" if out else "binned")

    def empty_bin(self) -> int:
        """Remove every job in the bin with all that belongs to it; return how many."""
        numbers = [(row.id,) for row in self.jobs(binned=True)]
        with self._change() as db:
            for table in ("ticks", "events", "notes", "readings", "blues"):
                db.executemany(f"DELETE FROM {table} WHERE job = ?", numbers)  # noqa: S608  # names of tables
            db.executemany("DELETE FROM jobs WHERE id = ?", numbers)
        return len(numbers)

    def rename(self, job: int, title: str) -> None:
        """Give a job another title; the old one stays among its events."""
        with self._change() as db:
            (old,) = db.execute("SELECT title FROM jobs WHERE id = ?", (job,)).fetchone()
            db.execute("UPDATE jobs SET title = ? WHERE id = ?", (title, job))
            self._event(db, job, "renamed", None, old)

    def merge(self, into: int, other: int) -> None:
        """Move ticks, notes, readings and blue checks of one job into another, and put what is left of it into the bin."""
        with self._change() as db:
            db.execute("INSERT OR IGNORE INTO ticks SELECT ?, n, what, at FROM ticks WHERE job = ?", (into, other))
            db.execute("DELETE FROM ticks WHERE job = ?", (other,))
            for table in ("notes", "readings", "blues"):
                db.execute(f"UPDATE {table} SET job = ? WHERE job = ?", (into, other))  # noqa: S608  # names of tables
            self._moves_on(db, into, None, None)
            self._event(db, into, "merged", None, f"job {other}")
            self._event(db, other, "merged", None, f"into job {into}")
            self._event(db, other, "binned")

    def take_in(
        self,
        job: int,
        ticks: Sequence[tuple[int, str, str]],
        notes: Sequence[Said],
        readings: Sequence[tuple[int, str, float, float]],
    ) -> tuple[int, int, int]:
        """Write what was done on another card, with its own times; what stands already is left as it is.

        Parameters
        ----------
        ticks
            Number, word and time of each.
        notes
            What was said, at a cut or not.
        readings
            Cut, time, wanted and found, mm.

        Returns
        -------
        tuple of int
            How many of each were new.
        """
        event = "INSERT INTO events (job, at, kind, n) VALUES (?,?,?,?)"
        note = """INSERT INTO notes (job, at, n, words, next_time) SELECT ?1, ?2, ?3, ?4, ?5 WHERE NOT EXISTS
            (SELECT 1 FROM notes WHERE job = ?1 AND at = ?2 AND n IS ?3 AND words = ?4)"""
        reading = """INSERT INTO readings (job, n, at, wanted, found) SELECT ?1, ?2, ?3, ?4, ?5 WHERE NOT EXISTS
            (SELECT 1 FROM readings WHERE job = ?1 AND n = ?2 AND at = ?3 AND found = ?5)"""
        new = [0, 0, 0]
        with self._change() as db:
            for n, what, at in ticks:
                if db.execute("INSERT OR IGNORE INTO ticks VALUES (?,?,?,?)", (job, n, what, at)).rowcount:
                    db.execute(event, (job, at, what, n))
                    new[0] += 1
            for said in notes:
                new[1] += db.execute(note, (job, said.at, said.cut, said.text, int(said.next_time))).rowcount
            for row in readings:
                new[2] += db.execute(reading, (job, *row)).rowcount
            if any(new):
                self._event(db, job, "read back", None, f"{new[0]} ticks, {new[1]} notes, {new[2]} readings")
            if new[0]:
                cut = {n for (n,) in db.execute("SELECT n FROM ticks WHERE job = ? AND what = 'cut'", (job,))}
                (stops,) = db.execute("SELECT stops FROM jobs WHERE id = ?", (job,)).fetchone()
                self._moves_on(db, job, None, next((n for n in range(1, stops + 1) if n not in cut), stops))
        return new[0], new[1], new[2]

    def unfinished(self, shape: str, title: str, part: str, piece: str = "1") -> list[JobRow]:
        """Return the unfinished jobs of a piece, whatever its sizes were, the newest first."""
        rest = f"WHERE ended IS NULL AND shape = ? AND title = ? AND part = ? AND id NOT IN ({BINNED}) ORDER BY id DESC"
        return [row for row in self._jobs(rest, (shape, title, part)) if row.piece == piece]

    def last(self, revision: str, part: str) -> JobRow | None:
        """Return the newest job of a revision and part, finished or not."""
        rest = f"WHERE revision = ? AND part = ? AND id NOT IN ({BINNED}) ORDER BY id DESC LIMIT 1"
        rows = self._jobs(rest, (revision, part))
        return rows[0] if rows else None

    def begin(
        self,
        revision: str,
        part: str,
        title: str,
        shape: str,
        recipe: str,
        plan: str,
        stops: int,
        machine: str,
        *,
        piece: str = "1",
        machine_file: str = "",
        as_begun: str = "",
        program: str = "",
    ) -> JobRow:
        """Return the unfinished job of this revision, title, part and piece; begin one when there is none."""
        same = (revision, title, part, piece)
        with self._change() as db:
            rest = f"AND piece = ? AND ended IS NULL AND id NOT IN ({BINNED}) ORDER BY id DESC LIMIT 1"
            query = f"SELECT id FROM jobs WHERE revision = ? AND title = ? AND part = ? {rest}"  # noqa: S608  # no text of the user's
            row = db.execute(query, same).fetchone()
            if row is None:
                values = (
                    revision, part, title, shape, recipe, plan, stops, machine, now(), piece, machine_file, as_begun, program
                )  # fmt: skip
                cursor = db.execute(
                    "INSERT INTO jobs (revision, part, title, shape, recipe, plan, stops, machine, begun, piece, machine_file, "
                    "as_begun, program) VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?)",
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
            if db.execute("UPDATE jobs SET ended = ? WHERE id = ? AND ended IS NULL", (now(), job)).rowcount:
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
        """Return every (number, word) that is ticked."""
        return {(n, what) for n, what in self._rows("SELECT n, what FROM ticks WHERE job = ?", (job,))}

    def seen(self, job: int) -> tuple[JobRow, set[tuple[int, str]]]:
        """Return a job and its ticks as they are at one moment: what a screen may show."""
        with self._worded():
            self.same_file()
            self._db.execute("BEGIN")
            try:
                return self.job(job), self.ticks(job)
            finally:
                with contextlib.suppress(sqlite3.Error):
                    self._db.execute("ROLLBACK")

    def _moves_on(
        self, db: sqlite3.Connection, job: int, seen: int | None, place: int | None, doing: str | None = None
    ) -> None:
        """Count one more move of a job, refused when the screen that asks for it is out of date."""
        (moves,) = db.execute("SELECT moves FROM jobs WHERE id = ?", (job,)).fetchone() or (0,)
        if seen is not None and moves != seen:
            raise MovedOn(job)
        if place is None:
            db.execute("UPDATE jobs SET moves = moves + 1 WHERE id = ?", (job,))
        else:  # in one: each update writes the whole row anew, plan and card with it
            change = "UPDATE jobs SET moves = moves + 1, place = ?, doing = ? WHERE id = ?"
            db.execute(change, (place, doing or "", job))

    def _opens(self, db: sqlite3.Connection, job: int) -> None:
        """Open a job again that was done or closed: something is done on it."""
        if db.execute("UPDATE jobs SET ended = NULL WHERE id = ? AND ended IS NOT NULL", (job,)).rowcount:
            self._event(db, job, "opened again")

    def tick(
        self, job: int, n: int, what: str, place: int | None = None, seen: int | None = None, doing: str | None = None
    ) -> None:
        """Set a tick, and the place where to go on; it is on disk when this returns.

        Parameters
        ----------
        job, n, what
            The job, the number of the act (or cut), and the word for what was done.
        place : int or None
            Where to go on.
        seen : int or None
            ``JobRow.moves`` of what the screen showed; None does not ask.
        doing : str or None
            The step to do next, by word and number.

        Raises
        ------
        MovedOn
            When the job has moved on since; nothing is changed.
        """
        with self._change() as db:
            self._moves_on(db, job, seen, place, doing)
            if db.execute("INSERT OR IGNORE INTO ticks VALUES (?,?,?,?)", (job, n, what, now())).rowcount:
                self._event(db, job, what, n)
                self._opens(db, job)

    def take_back(
        self, job: int, seen: int | None = None, places: Mapping[tuple[int, str], tuple[int, str]] | None = None
    ) -> tuple[int, str] | None:
        """Take back the tick set last, go back to it, and open the job again if it was done; return it.

        ``places`` tells the place and the mark of each tick's step.
        """
        with self._change() as db:
            self._moves_on(db, job, seen, None)
            last = self._last(db, job)
            if last is None:
                return None
            n, what = last
            db.execute("DELETE FROM ticks WHERE job = ? AND n = ? AND what = ?", (job, n, what))
            self._event(db, job, f"un{what}", n)
            place, doing = (places or {}).get(last, (n, ""))
            db.execute("UPDATE jobs SET place = ?, doing = ? WHERE id = ?", (place, doing, job))
            self._opens(db, job)
            return last

    @staticmethod
    def _last(db: sqlite3.Connection, job: int) -> tuple[int, str] | None:
        found: tuple[int, str] | None = db.execute(
            "SELECT ticks.n, ticks.what FROM ticks JOIN events ON events.job = ticks.job AND events.n = ticks.n AND "
            "events.kind = ticks.what WHERE ticks.job = ? ORDER BY events.id DESC LIMIT 1",
            (job,),
        ).fetchone()
        return found

    def go_to(self, job: int, place: int, seen: int | None = None, doing: str | None = None) -> None:
        """Set the place where to go on, and write down that it was jumped to."""
        with self._change() as db:
            self._moves_on(db, job, seen, place, doing)
            self._event(db, job, "jump", place)

    def version(self) -> int:
        """Return a number that changes when another window has written.

        Raises
        ------
        FileTrouble
            When the file is not the one that was opened any more.
        """
        with self._worded():
            self.same_file()
        return int(self._rows("PRAGMA data_version")[0][0])

    # --- notes, readings, blue ----------------------------------------------------------------------------------

    def note(self, job: int, words: str, n: int | None = None, next_time: bool = False) -> None:
        """Write a note; one for next time is carried into the next card of the same recipe.

        Raises
        ------
        BadValue
            When it is empty.
        """
        if not words.strip():
            raise BadValue("note", words, "is empty", "Write a few words.")
        with self._change() as db:
            db.execute(
                "INSERT INTO notes (job, at, n, words, next_time) VALUES (?,?,?,?,?)",
                (job, now(), n, words.strip(), int(next_time)),
            )

    def notes(self, job: int) -> list[tuple[str, int | None, str, int]]:
        """Return time, stop, words and whether for next time."""
        return self._rows("SELECT at, n, words, next_time FROM notes WHERE job = ? ORDER BY id", (job,))

    def for_next_time(self, shape: str, title: str) -> list[str]:
        """Return the notes for next time of every job of a recipe, told by its shape and title."""
        query = (
            "SELECT words FROM notes JOIN jobs ON jobs.id = notes.job WHERE next_time = 1 AND shape = ? AND title = ? "
        )
        query += f"AND job NOT IN ({BINNED}) ORDER BY notes.id"
        return [str(words) for (words,) in self._rows(query, (shape, title))]

    def reading(self, job: int, n: int, wanted: float, found: float) -> None:
        """Write down a measured position at a stop; mm."""
        with self._change() as db:
            db.execute(
                "INSERT INTO readings (job, n, at, wanted, found) VALUES (?,?,?,?,?)", (job, n, now(), wanted, found)
            )

    def readings(self, job: int | None = None) -> list[tuple[int, int, float, float, str]]:
        """Return job, stop, wanted, found and machine of all readings, or of one job's."""
        where = f"WHERE job NOT IN ({BINNED})" if job is None else "WHERE job = ?"
        query = f"SELECT job, n, wanted, found, machine FROM readings JOIN jobs ON jobs.id = readings.job {where} ORDER BY readings.id"  # noqa: S608  # no text of the user's
        return self._rows(query, () if job is None else (job,))

    def blue(self, job: int, share: float, minutes: float | None, before: float, after: float) -> None:
        """Write down a blue check: share, minutes filed since the last one, volume before and now, mm^3."""
        with self._change() as db:
            values = (job, now(), share, minutes, before, after)
            db.execute("INSERT INTO blues (job, at, share, minutes, before, after) VALUES (?,?,?,?,?,?)", values)

    def blues(self, job: int | None = None) -> list[tuple[int, str, float, float | None, float, float]]:
        """Return job, time, share, minutes, volume before and after."""
        if "blues" not in self._tables:  # a file of the first schema, open to be read only
            return []
        where = f"WHERE job NOT IN ({BINNED})" if job is None else "WHERE job = ?"
        query = f"SELECT job, at, share, minutes, before, after FROM blues {where} ORDER BY id"  # noqa: S608  # no text of the user's
        return self._rows(query, () if job is None else (job,))


# --- opening --------------------------------------------------------------------------------------------------------


def _identity(path: Path) -> tuple[int, int] | None:
    """Return what tells one file from another of the same name; None when there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _opened(path: Path) -> sqlite3.Connection:
    """Return a log open for writing, made or brought up to date where that is needed."""
    path.parent.mkdir(parents=True, exist_ok=True)
    db = sqlite3.connect(path, timeout=5.0, isolation_level=None)
    try:
        db.execute("PRAGMA journal_mode=WAL")
        db.execute("PRAGMA synchronous=FULL")
        db.execute("PRAGMA foreign_keys=ON")
        migrate(db, path)
    except BaseException:
        db.close()
        raise
    return db


def _opened_to_read(path: Path) -> sqlite3.Connection:
    """Return a log open for reading, which changes nothing; where SQLite may put no file beside it, as a copy in memory."""
    os.stat(path)  # noqa: PTH116  # for its message when there is no such file
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", timeout=5.0, isolation_level=None, uri=True)
    try:
        version = version_of(db)
    except sqlite3.OperationalError as error:
        db.close()
        if "locked" in str(error):
            raise
        db = _copied(path)
        version = version_of(db)
    except BaseException:
        db.close()
        raise
    if version > VERSION:
        db.close()
        raise newer(path, version)
    return db


def _copied(path: Path) -> sqlite3.Connection:
    """Return a log in memory: file and write-ahead log together, for the newest ticks stand in the second one."""
    with tempfile.TemporaryDirectory(prefix="stepcut-") as folder:
        for name in (path.name, f"{path.name}-wal"):
            with contextlib.suppress(FileNotFoundError):
                shutil.copyfile(path.with_name(name), Path(folder) / name)
        memory, db = sqlite3.connect(":memory:", isolation_level=None), sqlite3.connect(Path(folder) / path.name)
        try:
            db.backup(memory)
        except BaseException:
            memory.close()
            raise
        finally:
            db.close()
    return memory
