"""The jobs of the log: which there are, which one a recipe means, begun, ended, renamed, binned.

Jobs are told apart by revision, part, piece and the title they were begun with; a new title changes nothing of that.
"""

from __future__ import annotations

from typing import Any, TypeVar

from stepcut.errors import BadValue, FileTrouble
from stepcut.log.file import LogFile, now
from stepcut.log.rows import JobRow, WholeJob
from stepcut.log.schema import give, said

# Jobs in the bin: those that were put there and not taken out again.
BINNED = """SELECT job FROM events AS e WHERE kind = 'binned' AND id =
    (SELECT max(id) FROM events WHERE job = e.job AND kind IN ('binned', 'unbinned'))"""
KEPT = ("recipe", "plan", "machine_file", "as_begun")
NUMBERS = ("id", "stops", "place", "moves")
Row = TypeVar("Row", bound=JobRow)


class Jobs(LogFile):
    """The jobs."""

    @property
    def named(self) -> str:
        """The column with the title that a job was begun with; a file of an older schema, only read, has one title."""
        return "named" if "named" in self._columns else "title"

    def _jobs(self, rest: str, values: tuple[Any, ...] = ()) -> list[JobRow]:
        """Return jobs by the rest of a query, without what was kept of them, whichever schema the file has."""
        return self._read(JobRow, "jobs", set(self._columns), rest, values)

    def _read(self, kind: type[Row], table: str, columns: set[str], rest: str, values: tuple[Any, ...]) -> list[Row]:
        names = [name for name in kind.__struct_fields__ if name in columns]
        if not names:
            self.not_newer()
            raise FileTrouble(self.path, *said(TypeError("it has no jobs")))
        rows = self._rows(f"SELECT {', '.join(names)} FROM {table} {rest}", values)  # noqa: S608  # no text of the user's
        return [self._sound(kind, dict(zip(names, row, strict=True))) for row in rows]

    def _sound(self, kind: type[Row], found: dict[str, Any]) -> Row:
        """Return a row as a job; a column of the wrong kind is damage."""
        found.setdefault("named", found.get("title"))  # an older schema knows one title
        found.update({key: "" for key in KEPT if key in found and found[key] is None})  # lost in a repair
        try:
            row = kind(**found)
        except TypeError as error:
            raise FileTrouble(self.path, *said(error)) from None
        for name in kind.__struct_fields__:
            value = getattr(row, name)
            if not isinstance(value, int if name in NUMBERS else str) and not (name == "ended" and value is None):
                raise FileTrouble(self.path, *said(TypeError(name)))
        return row

    def job(self, number: int) -> WholeJob:
        """Return a job by its number, with what was kept of it.

        Raises
        ------
        BadValue
            When there is no such job.
        """
        table, columns = "jobs", set(self._columns)
        if self.has("kept"):
            table, columns = "jobs LEFT JOIN kept ON kept.job = jobs.id", columns | set(KEPT)
        rows = self._read(WholeJob, table, columns, "WHERE id = ?", (number,)) if number < 2**63 else []
        if not rows:
            raise BadValue("job", number, "is not in the log", "See stepcut log list.")
        return rows[0]

    def jobs(self, binned: bool = False) -> list[JobRow]:
        """Return all jobs, the newest first; or those in the bin."""
        return self._jobs(f"WHERE id {'' if binned else 'NOT'} IN ({BINNED}) ORDER BY id DESC")

    def recipe(self, job: int) -> str:
        """Return the recipe of a job as it was begun; empty when it is lost."""
        found = self._rows(
            "SELECT recipe FROM kept WHERE job = ?" if self.has("kept") else "SELECT recipe FROM jobs WHERE id = ?",
            (job,),
        )
        return str(found[0][0]) if found else ""

    def bin(self, job: int, out: bool = False) -> None:
        """Put a job into the bin, or take it out; nothing of it is lost until the bin is emptied."""
        self.event(job, "unbinned" if out else "binned")

    def empty_bin(self) -> int:
        """Remove every job in the bin with all that belongs to it; return how many.  Their numbers are not given again."""
        numbers = [(row.id,) for row in self.jobs(binned=True)]
        with self._change() as db:
            for table in ("ticks", "events", "notes", "readings", "blues", "kept"):
                db.executemany(f"DELETE FROM {table} WHERE job = ?", numbers)  # noqa: S608  # names of tables
            db.executemany("DELETE FROM jobs WHERE id = ?", numbers)
        return len(numbers)

    def rename(self, job: int, title: str) -> None:
        """Give a job another title; the old one stays among its events, and the one it was begun with tells it apart."""
        with self._change() as db:
            (old,) = db.execute("SELECT title FROM jobs WHERE id = ?", (job,)).fetchone()
            db.execute("UPDATE jobs SET title = ? WHERE id = ?", (title, job))
            self._event(db, job, "renamed", None, old)

    def unfinished(self, shape: str, title: str, part: str, piece: str | None = None) -> list[JobRow]:
        """Return the unfinished jobs of a piece or of all, by the title they were begun with, whatever the sizes; the newest first."""
        rest = f"WHERE ended IS NULL AND shape = ? AND {self.named} = ? AND part = ? AND id NOT IN ({BINNED}) ORDER BY id DESC"
        return [row for row in self._jobs(rest, (shape, title, part)) if piece in (None, row.piece)]

    def last(self, revision: str, part: str) -> JobRow | None:
        """Return the newest job of a revision and part, finished or not."""
        rest = f"WHERE revision = ? AND part = ? AND id NOT IN ({BINNED}) ORDER BY id DESC LIMIT 1"
        rows = self._jobs(rest, (revision, part))
        return rows[0] if rows else None

    def last_cut(self, of: tuple[str, str, str] | None = None) -> JobRow | None:
        """Return the job at which a cut was ticked last, finished or not; of one shape, title and part, or of all."""
        mine = f"shape = ? AND {self.named} = ? AND part = ? AND" if of else ""
        cut = (
            "(SELECT MAX(events.id) FROM events JOIN ticks ON ticks.job = events.job AND ticks.n = events.n AND ticks.what = events.kind "
            "WHERE events.job = jobs.id AND events.kind = 'cut')"
        )
        rows = self._jobs(
            f"WHERE {mine} id NOT IN ({BINNED}) AND {cut} IS NOT NULL ORDER BY {cut} DESC LIMIT 1", of or ()
        )
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
    ) -> WholeJob:
        """Return the unfinished job of this revision, title, part and piece; begin one when there is none."""
        with self._change() as db:
            rest = f"AND piece = ? AND ended IS NULL AND id NOT IN ({BINNED}) ORDER BY id DESC LIMIT 1"
            query = f"SELECT id FROM jobs WHERE revision = ? AND named = ? AND part = ? {rest}"  # noqa: S608  # no text of the user's
            row = db.execute(query, (revision, title, part, piece)).fetchone()
            if row is None:
                number = give(db)
                db.execute(
                    "INSERT INTO jobs (id, revision, part, title, named, shape, stops, machine, begun, piece, program) "
                    "VALUES (?,?,?,?,?,?,?,?,?,?,?)",
                    (number, revision, part, title, title, shape, stops, machine, now(), piece, program),
                )
                db.execute(
                    "INSERT INTO kept (job, recipe, plan, machine_file, as_begun) VALUES (?,?,?,?,?)",
                    (number, recipe, plan, machine_file, as_begun),
                )
                self._event(db, number, "begun")
            else:
                (number,) = row
        return self.job(number)

    def end(self, job: int) -> None:
        """Mark a job as done."""
        with self._change() as db:
            if db.execute("UPDATE jobs SET ended = ? WHERE id = ? AND ended IS NULL", (now(), job)).rowcount:
                self._event(db, job, "ended")
