"""The log: one SQLite file with the jobs, their ticks, and what was written down beside them."""

from __future__ import annotations

from pathlib import Path

from stepcut.folders import data_folder
from stepcut.log.file import now
from stepcut.log.joining import Joining
from stepcut.log.records import Records
from stepcut.log.rows import JobRow, MovedOn, WholeJob
from stepcut.log.schema import MIGRATIONS, PAPER, VERSION

__all__ = ["MIGRATIONS", "PAPER", "VERSION", "JobRow", "MovedOn", "Store", "WholeJob", "default_path", "now"]


def default_path() -> Path:
    """Return where the log stands: in the user's data folder."""
    return data_folder() / "log.sqlite3"


class Store(Joining, Records):
    """An open log, with everything in it."""
