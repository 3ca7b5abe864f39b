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

from stepcut.log.schema import VERSION, migrate, newer, version_of


def identity(path: Path) -> tuple[int, int] | None:
    """Return what tells one file from another of the same name; None when there is none."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def opened(path: Path) -> sqlite3.Connection:
    """Return a log open for writing, made or brought up to date where that is needed."""
    path.parent.mkdir(parents=True, exist_ok=True)
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
