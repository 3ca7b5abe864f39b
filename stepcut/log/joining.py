"""What was done elsewhere comes into a job: on another card of it, or in another job of the same part."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from stepcut.log.read_back import Said
from stepcut.log.ticks import Ticks

# The ticks of a job in the order in which they were set: their times are to the second, and a clock may go back.
IN_ORDER = """SELECT ticks.n, ticks.what, ticks.at FROM ticks LEFT JOIN events ON events.job = ticks.job AND events.n = ticks.n
    AND events.kind = ticks.what WHERE ticks.job = ? GROUP BY ticks.n, ticks.what ORDER BY max(events.id)"""


class Joining(Ticks):
    """Taking in."""

    def merge(self, into: int, other: int) -> None:
        """Move ticks, notes, readings and blue checks of one job into another, and put what is left of it into the bin."""
        with self._change() as db:
            ticks = db.execute(IN_ORDER, (other,)).fetchall()
            new = self._take_ticks(db, into, ticks)
            db.execute("DELETE FROM ticks WHERE job = ?", (other,))
            db.execute("UPDATE events SET job = ? WHERE job = ? AND kind = 'filed'", (into, other))
            for table in ("notes", "readings", "blues"):
                db.execute(f"UPDATE {table} SET job = ? WHERE job = ?", (into, other))  # noqa: S608  # names of tables
            self._goes_on(db, into, moved=bool(new))
            self._event(db, into, "merged", None, f"job {other}")
            self._event(db, other, "merged", None, f"into job {into}")
            self._event(db, other, "binned")

    @staticmethod
    def _take_ticks(db: sqlite3.Connection, job: int, ticks: Sequence[tuple[int, str, str]]) -> int:
        """Set ticks with their own times, each with its line in the history, by which it can be taken back; return how many are new."""
        event, new = "INSERT INTO events (job, at, kind, n) VALUES (?,?,?,?)", 0
        for n, what, at in ticks:
            if db.execute("INSERT OR IGNORE INTO ticks VALUES (?,?,?,?)", (job, n, what, at)).rowcount:
                db.execute(event, (job, at, what, n))
                new += 1
        return new

    def _goes_on(self, db: sqlite3.Connection, job: int, moved: bool) -> None:
        """Let a job into which ticks came go on at its first cut that is not ticked."""
        if not moved:
            self._moves_on(db, job, None, None)
            return
        cut = {n for (n,) in db.execute("SELECT n FROM ticks WHERE job = ? AND what = 'cut'", (job,))}
        (stops,) = db.execute("SELECT stops FROM jobs WHERE id = ?", (job,)).fetchone()
        self._moves_on(db, job, None, next((n for n in range(1, stops + 1) if n not in cut), stops))

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
        note = """INSERT INTO notes (job, at, n, words, next_time) SELECT :job, :at, :n, :words, :next WHERE NOT EXISTS
            (SELECT 1 FROM notes WHERE job = :job AND at = :at AND n IS :n AND words = :words)"""
        reading = """INSERT INTO readings (job, n, at, wanted, found) SELECT :job, :n, :at, :wanted, :found WHERE NOT EXISTS
            (SELECT 1 FROM readings WHERE job = :job AND n = :n AND at = :at AND found = :found)"""
        new = [0, 0, 0]
        with self._change() as db:
            new[0] = self._take_ticks(db, job, ticks)
            for said in notes:
                row = {"job": job, "at": said.at, "n": said.cut, "words": said.text, "next": int(said.next_time)}
                new[1] += db.execute(note, row).rowcount
            for cut, at, wanted, found in readings:
                row = {"job": job, "n": cut, "at": at, "wanted": wanted, "found": found}
                new[2] += db.execute(reading, row).rowcount
            if any(new):
                self._event(db, job, "read back", None, f"{new[0]} ticks, {new[1]} notes, {new[2]} readings")
            if new[0]:
                self._goes_on(db, job, moved=True)
        return new[0], new[1], new[2]
