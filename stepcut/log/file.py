"""The log's file, open: one transaction for each change, on disk before it is reported, and its troubles in words.

A change is made only while the file is still the one that was opened.
"""

from __future__ import annotations

import contextlib
import datetime as dt
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Self

from stepcut.errors import FileTrouble
from stepcut.log.opening import identity, opened, opened_to_read
from stepcut.log.schema import PAPER, TROUBLES, VERSION, content_of, newer, said, version_of


def now() -> str:
    """Return the local time, to the second."""
    return dt.datetime.now().astimezone().isoformat(timespec="seconds")


class LogFile:
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
            self._db = opened_to_read(path) if reading else opened(path)
            self._file = identity(path)
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

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextlib.contextmanager
    def _worded(self) -> Iterator[None]:
        """Turn what SQLite says into what the person can do."""
        try:
            yield
        except TROUBLES as error:
            self.not_newer()
            raise FileTrouble(self.path, *said(error)) from error
        except OSError as error:
            rule = f"cannot be used ({(error.strerror or str(error)).lower()})"
            raise FileTrouble(self.path, rule, f"Check the folder and who may write in it. {PAPER}") from error

    def not_newer(self) -> None:
        """Refuse to go on when a newer program has changed the file to its own schema since it was opened: it is not damaged.

        Raises
        ------
        FileTrouble
            When it has.
        """
        db: sqlite3.Connection | None = getattr(self, "_db", None)  # none while it is opened
        if db is None:
            return
        try:
            version = version_of(db)
        except TROUBLES:
            return
        if version > VERSION:
            raise newer(self.path, version)

    def same_file(self) -> None:
        """Refuse to go on when the file was moved, replaced or deleted since it was opened: ticks would go nowhere.

        Raises
        ------
        FileTrouble
            When it was.
        """
        if identity(self.path) != self._file:
            way = f"Put it back, or end here and begin with stepcut tick anew. {PAPER}"
            raise FileTrouble(self.path, "was moved, replaced or deleted while it was in use", way)

    @contextlib.contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on disk whole when this returns, or not at all."""
        with self._worded():
            self.same_file()
            self._db.execute("BEGIN IMMEDIATE")
            try:
                self.not_newer()
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

    def version(self) -> int:
        """Return a number that changes when another window has written.

        Raises
        ------
        FileTrouble
            When the file is not the one that was opened any more.
        """
        with self._worded():
            self.same_file()
            self.not_newer()
        return int(self._rows("PRAGMA data_version")[0][0])

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
