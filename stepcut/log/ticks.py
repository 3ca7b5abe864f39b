"""Ticks: what the hands did, and where a job goes on.

A tick is the number of an act and a word for it.  Setting it twice is setting it once, and an act on a screen that is out of
date is refused, so two windows on one job cannot get in each other's way.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Mapping

from stepcut.errors import BadValue
from stepcut.log.file import now
from stepcut.log.jobs import Jobs
from stepcut.log.rows import JobRow, MovedOn


class Ticks(Jobs):
    """The ticks of the jobs."""

    def ticks(self, job: int) -> set[tuple[int, str]]:
        """Return every (number, word) that is ticked."""
        return {(n, what) for n, what in self._rows("SELECT n, what FROM ticks WHERE job = ?", (job,))}

    def last_cuts(self) -> dict[int, str]:
        """Return when each job's last cut was ticked; a job without a ticked cut is not there."""
        return dict(self._rows("SELECT job, max(at) FROM ticks WHERE what = 'cut' GROUP BY job", ()))

    def seen(self, job: int) -> tuple[JobRow, set[tuple[int, str]]]:
        """Return a job and its ticks as they are at one moment: what a screen may show."""
        with self._worded():
            self.same_file()
            self._db.execute("BEGIN")
            try:
                self.not_newer()
                rows = self._jobs("WHERE id = ?", (job,))
                if not rows:  # the bin was emptied meanwhile
                    raise BadValue("job", job, "is not in the log", "See stepcut log list.")
                return rows[0], self.ticks(job)
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
        else:
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
