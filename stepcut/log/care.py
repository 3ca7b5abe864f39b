"""Looking after the log's file: is it whole, a copy of it, one put back, and what can be read out of a damaged one."""

from __future__ import annotations

import contextlib
import json
import sqlite3
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from stepcut.errors import FileTrouble, StepcutError
from stepcut.files import parse_toml, write_whole
from stepcut.log.opening import unbegun
from stepcut.log.schema import MIGRATIONS, PAPER, TROUBLES, VERSION, content_of, given_too, said, stamp, version_of
from stepcut.log.store import Store

TABLES = (
    "jobs",
    "ticks",
    "events",
    "notes",
    "readings",
    "blues",
)  # those that are counted; kept has one row for each job
BY_HAND = (
    "Copy it with stepcut log backup, never by hand: the newest ticks stand in a second file, {0}-wal, until the last window "
    "is closed, and a copy without it lacks them."
)
SAID = {"kept": "recipes, plans and cards"}
MOST_PROBES = 200_000  # rows that are looked for one by one between two that can be read


@dataclass
class Found:
    """What a look at a log found: how many rows each table has, and every fault in a sentence."""

    counts: dict[str, int] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)


def copies(path: Path) -> list[Path]:
    """Return the copies that stand beside a log, the newest first."""
    found = [each for each in path.parent.glob(f"{path.name}.*") if not each.name.endswith(("-wal", "-shm"))]
    return sorted(found, key=lambda each: each.stat().st_mtime, reverse=True)


def look(path: Path) -> Found:
    """Return whether a log is whole: its pages, its references, and every job's recipe and plan.

    Raises
    ------
    FileTrouble
        When it cannot be opened at all.

    References
    ----------
    SQLite documentation, "PRAGMA integrity_check" and "PRAGMA foreign_key_check".
    """
    found = Found()
    with Store(path, reading=True) as store:
        try:
            found.faults += [text for (text,) in store.query("PRAGMA integrity_check(20)") if text != "ok"]
            for table, *_ in store.query("PRAGMA foreign_key_check")[:20]:
                found.faults.append(f"a row of {table} belongs to no job")
            for table in TABLES:
                if store.has(table):
                    found.counts[table] = int(store.query(f"SELECT count(*) FROM {table}")[0][0])  # noqa: S608  # our names
            numbers = [row.id for row in (*store.jobs(), *store.jobs(binned=True))]
            for number in sorted(numbers):
                row = store.job(number)
                try:
                    parse_toml(row.recipe, f"job {row.id}")
                    json.loads(row.plan)["stops"]
                except (StepcutError, ValueError, KeyError, TypeError):
                    found.faults.append(f"job {row.id} has a recipe or plan that cannot be read")
        except FileTrouble as trouble:
            found.faults.append(f"it {trouble.rule}")
    return found


def whole(path: Path) -> bytes:
    """Return a log as the bytes of one file, the newest ticks included.

    Raises
    ------
    FileTrouble
        When it is not whole: a damaged copy would be taken for a good one.
    """
    found = look(path)
    if found.faults:
        rule = "is damaged" if found.faults[0] == "it is damaged" else f"is damaged ({found.faults[0]})"
        raise FileTrouble(path, rule, "No copy was written; stepcut log repair saves what can be read.")
    with Store(path, reading=True) as store:
        return store.content()


def set_aside(path: Path, why: str) -> Path:
    """Give a log another name beside it, its write-ahead log with it; return the name."""
    name = f"{path.name}.{why}-{stamp()}"
    number = 1
    while path.with_name(name).exists():
        number += 1
        name = f"{path.name}.{why}-{stamp()}-{number}"
    try:
        for tail in ("-wal", "-shm", ""):
            part = path.with_name(f"{path.name}{tail}")
            if part.exists():
                part.rename(path.with_name(f"{name}{tail}"))
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FileTrouble(path, f"cannot be moved ({reason})", "Check who may write in its folder.") from None
    return path.with_name(name)


def restore(path: Path, source: Path) -> tuple[Found, Path | None]:
    """Put a copy in the place of the log; return what is in it, and where the log that stood there is now.

    Raises
    ------
    FileTrouble
        When the copy is no whole log; then nothing is changed.
    """
    if not source.exists():
        raise FileTrouble(source, "there is no such file", "Check the name and the folder.")
    if source.is_dir():
        raise FileTrouble(source, "is a folder", "Name a file in it.")
    found = look(source)
    if "jobs" not in found.counts or unbegun(source):
        raise FileTrouble(source, "is no log of stepcut", "Name a file that stepcut log backup wrote.")
    data = _numbered(whole(source), path)
    aside = set_aside(path, "before-restore") if path.exists() else None
    write_whole(path, data)
    return found, aside


def _numbered(data: bytes, path: Path) -> bytes:
    """Return the content of a log in which the numbers are given that the log at a path has given, too.

    A copy of an older schema is left as it is; it learns its numbers when it is brought up to date.
    """
    if not path.exists():
        return data
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as copy:
        copy.deserialize(data)
        if version_of(copy) != VERSION:
            return data
        with contextlib.suppress(*TROUBLES), contextlib.closing(_read_only(path)) as standing:
            given_too(copy, standing)
        return content_of(copy)


# --- repair ---------------------------------------------------------------------------------------------------------


def repair(path: Path) -> tuple[Found, Path]:
    """Read what can be read of a damaged log into a new one; return what that has, and where the damaged one is now.

    Raises
    ------
    FileTrouble
        When nothing at all can be read; then nothing is changed.
    """
    saved = sqlite3.connect(":memory:", isolation_level=None)
    try:
        for script in MIGRATIONS:
            saved.executescript(script)
        saved.execute(f"PRAGMA user_version = {VERSION}")
        found = _salvage(path, saved)
        if not found.counts.get("jobs"):
            names = ", ".join(each.name for each in copies(path)[:3])
            way = (
                f"Put a copy back with stepcut log restore ({names} beside it)."
                if names
                else "Move it away to begin a new log."
            )
            raise FileTrouble(path, "is damaged so that no job in it can be read", f"{way} {PAPER}")
        data = content_of(saved)
    finally:
        saved.close()
    aside = set_aside(path, "damaged")
    write_whole(path, data)
    return found, aside


def _salvage(path: Path, saved: sqlite3.Connection) -> Found:
    """Put every row that can be read into the new log; a row that fits no table of ours, or belongs to no job, is lost."""
    found = Found()
    try:
        damaged = _read_only(path)
        damaged.text_factory = lambda data: data.decode("utf-8", "replace")
    except sqlite3.Error as error:
        raise FileTrouble(path, *said(error)) from None
    with contextlib.closing(damaged):
        for table in (*TABLES, "kept"):
            rows, broken = _rows(damaged, table)
            if broken:
                found.faults.append(f"some of {SAID.get(table, table)} could not be read")
            count = sum(_put(saved, table, row) for row in rows)
            if table == "jobs":  # before schema 5 the recipe, plan and card of a job stood in its own row
                for row in rows:
                    _put(saved, "kept", {**row, "job": row.get("id")})
            if table in TABLES:
                found.counts[table] = count
        given_too(saved, damaged)
        if any(fault.startswith("some of ticks") for fault in found.faults):
            found.counts["ticks"] = _ticks_from_events(saved)
    return found


def _read_only(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)


def _rows(damaged: sqlite3.Connection, table: str) -> tuple[list[dict[str, Any]], bool]:
    """Return the rows of a table from its beginning up to the damage, from its end back to it, and those between."""
    key = {"ticks": "job, n, what", "kept": "job"}.get(table, "id")
    found: dict[tuple[Any, ...], dict[str, Any]] = {}
    broken = False
    for order in (key, ", ".join(f"{name} DESC" for name in key.split(", "))):
        try:
            cursor = damaged.execute(f"SELECT * FROM {table} ORDER BY {order}")  # noqa: S608  # our names
            names = [name for name, *_ in cursor.description]
            for row in cursor:
                each = dict(zip(names, row, strict=True))
                found[tuple(each.get(name) for name in key.split(", "))] = each
        except TROUBLES as error:
            broken = broken or "no such table" not in str(error) or table not in ("blues", "kept")
    if broken and table != "ticks" and found:
        numbers = [number for (number,) in found if isinstance(number, int)]
        for number in range(1, min(max(numbers, default=0) + 1000, MOST_PROBES)):
            if (number,) in found:
                continue
            with contextlib.suppress(*TROUBLES):
                cursor = damaged.execute(f"SELECT * FROM {table} WHERE {key} = ?", (number,))  # noqa: S608  # our names
                row = cursor.fetchone()
                if row is not None:
                    found[(number,)] = dict(zip([name for name, *_ in cursor.description], row, strict=True))
    return list(found.values()), broken


def _put(saved: sqlite3.Connection, table: str, row: dict[str, Any]) -> bool:
    """Put a row into the new log; whether it fits there."""
    known = [name for _, name, *_ in saved.execute(f"PRAGMA table_info({table})")]
    if table == "jobs":  # before schema 5 a job had one title
        row = {"named": row.get("title"), **row}
    names = [name for name in known if name in row]
    if table == "kept" and "recipe" not in names:
        return False
    if table != "jobs" and not saved.execute("SELECT 1 FROM jobs WHERE id = ?", (row.get("job"),)).fetchone():
        return False
    marks = ", ".join("?" * len(names))
    try:
        query = f"INSERT OR IGNORE INTO {table} ({', '.join(names)}) VALUES ({marks})"  # noqa: S608  # our names
        return bool(saved.execute(query, [row[name] for name in names]).rowcount)
    except sqlite3.Error:
        return False


def _ticks_from_events(saved: sqlite3.Connection) -> int:
    """Set the ticks that the history tells of beside those that could be read, and take back what it took back."""
    for job, kind, n, at in saved.execute("SELECT job, kind, n, at FROM events ORDER BY id").fetchall():
        if n is None or not isinstance(kind, str) or kind in ("jump", "pause"):
            continue
        saved.execute("DELETE FROM ticks WHERE job = ? AND n = ? AND what = ?", (job, n, kind.removeprefix("un")))
        if not kind.startswith("un"):
            saved.execute("INSERT OR IGNORE INTO ticks VALUES (?,?,?,?)", (job, n, kind, at))
    return int(saved.execute("SELECT count(*) FROM ticks").fetchone()[0])
