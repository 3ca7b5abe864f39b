"""What is written down beside the ticks: notes, readings, blue checks."""

from __future__ import annotations

import re

from stepcut.errors import BadValue
from stepcut.log.file import now
from stepcut.log.jobs import BINNED, Jobs

FILED = re.compile(r"([a-z -]{1,40});(\d{1,6});(\d{1,3}\.\d{1,20}(?:e-?\d{1,2})?)")


class Records(Jobs):
    """Notes, readings and blue checks of the jobs."""

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
        """Return the notes for next time of every job of a recipe, told by its shape and the title it was begun with."""
        query = (
            f"SELECT words FROM notes JOIN jobs ON jobs.id = notes.job WHERE next_time = 1 AND shape = ? AND {self.named} = ? "  # noqa: S608  # no text of the user's
            f"AND job NOT IN ({BINNED}) ORDER BY notes.id"
        )
        return [str(words) for (words,) in self._rows(query, (shape, title))]

    def reading(self, job: int, n: int, wanted: float, found: float) -> None:
        """Write down a measured position at a stop; mm."""
        with self._change() as db:
            db.execute(
                "INSERT INTO readings (job, n, at, wanted, found) VALUES (?,?,?,?,?)", (job, n, now(), wanted, found)
            )

    def readings(self, job: int | None = None) -> list[tuple[int, int, float, float, str, str]]:
        """Return job, stop, wanted, found, machine and time of all readings of one job; of all jobs, the last one of each cut.

        What is told of the machine's errors comes from all jobs: a reading that was mistyped and written anew must not count there.
        """
        last = "readings.id IN (SELECT MAX(id) FROM readings GROUP BY job, n)"
        where = f"WHERE job NOT IN ({BINNED}) AND {last}" if job is None else "WHERE job = ?"
        query = f"SELECT job, n, wanted, found, machine, at FROM readings JOIN jobs ON jobs.id = readings.job {where} ORDER BY readings.id"  # noqa: S608  # no text of the user's
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

    def filed(self, job: int, tool: str, strokes: int, height: float) -> None:
        """Write down with what a height was taken off, mm, and in how many strokes over each place."""
        self.event(job, "filed", words=f"{tool};{strokes};{height!r}")

    def filings(self) -> list[tuple[int, str, int, float]]:
        """Return job, tool, strokes and height taken off, mm, of every job; what cannot be read is left out."""
        query = f"SELECT job, words FROM events WHERE kind = 'filed' AND job NOT IN ({BINNED}) ORDER BY id"  # noqa: S608  # no text of the user's
        found = []
        for job, words in self._rows(query, ()):
            match = FILED.fullmatch(str(words))
            if match is not None:
                found.append((int(job), match[1], int(match[2]), float(match[3])))
        return found
