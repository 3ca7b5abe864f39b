"""How the log's file is opened: to write, to read only, and which file it is.

The write-ahead log is synced to the disk at every commit, so that what was acknowledged outlives a power cut.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import tempfile
from pathlib import Path

from stepcut.errors import FileTrouble
from stepcut.log.schema import PAPER, VERSION, migrate, newer, version_of


def identity(path: Path) -> tuple[int, int] | None:
    """Return what tells one file from another of the same name; None when there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def not_torn(path: Path) -> None:
    """Refuse a file of no bytes with a write-ahead log beside it: SQLite would take it for new, and throw away the ticks in there.

    Raises
    ------
    FileTrouble
        When it is one.
    """
    with contextlib.suppress(OSError):
        beside = path.with_name(f"{path.name}-wal")
        if path.stat().st_size == 0 and beside.stat().st_size > 0:
            way = f"Put a copy back with stepcut log restore, or move both away to begin a new log. {PAPER}"
            raise FileTrouble(path, f"is empty, but {beside.name} beside it is not", way)


def unbegun(path: Path) -> bool:
    """Whether a file is a log in which nothing was ever written: empty, or just made by a program that was killed in its first moment."""
    uri = f"{path.absolute().as_uri()}?mode=ro"
    with contextlib.suppress(sqlite3.Error), contextlib.closing(sqlite3.connect(uri, uri=True)) as db:
        return _bare(db)
    return False


def _bare(db: sqlite3.Connection) -> bool:
    return version_of(db) == 0 and db.execute("SELECT count(*) FROM sqlite_master").fetchone() == (0,)


def opened(path: Path) -> sqlite3.Connection:
    """Return a log open for writing, made or brought up to date where that is needed."""
    path.parent.mkdir(parents=True, exist_ok=True)
    not_torn(path)
    db = sqlite3.connect(path, timeout=5.0, isolation_level=None)
    try:
        db.execute("PRAGMA journal_mode=WAL")
        db.execute("PRAGMA synchronous=FULL")
        migrate(db, path)  # before references are looked after: a migration may make a table anew
        db.execute("PRAGMA foreign_keys=ON")
    except BaseException:
        db.close()
        raise
    return db


def opened_to_read(path: Path) -> sqlite3.Connection:
    """Return a log open for reading, which changes nothing; where SQLite may put no file beside it, as a copy in memory.

    One in which nothing was ever written serves as a new log, in memory.
    """
    os.stat(path)  # noqa: PTH116  # for its message when there is no such file
    not_torn(path)
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
    if _bare(db):
        db.close()
        db = sqlite3.connect(":memory:", isolation_level=None)
        migrate(db, path)
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
