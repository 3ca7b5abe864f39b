"""One job being ticked off: what the screens show and what their keys do, without a screen.

Every act is written to the store first; what is shown afterwards is read back from it.  An act goes with what the screen
showed: when another window has gone on meanwhile it is refused, and the screen is drawn anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Protocol

from stepcut.errors import BadValue
from stepcut.log.store import JobRow, MovedOn, Store


class Line(Protocol):
    """What a session needs to know of a line of the card."""

    @property
    def n(self) -> int:
        """Number of the stop."""

    @property
    def check(self) -> str:
        """What must be read after it; empty when it closes no group."""


@dataclass(frozen=True)
class View:
    """A job as it is at one moment, read from the store at once: what a screen shows, and what its keys act on."""

    job: JobRow
    ticks: frozenset[tuple[int, str]]
    lines: Sequence[Line]

    @property
    def moves(self) -> int:
        """Number that an act carries, to be refused when the job has moved on."""
        return self.job.moves

    @property
    def place(self) -> int:
        """Number of the stop to do next: where it was left, or the first one that is not cut."""
        return min(max(1, self.job.place), len(self.lines))

    @property
    def waiting(self) -> int | None:
        """Number of the last cut stop whose check is still to be confirmed; None when there is none."""
        closing = [
            line.n
            for line in self.lines
            if line.check and (line.n, "cut") in self.ticks and (line.n, "checked") not in self.ticks
        ]
        return closing[-1] if closing else None

    @property
    def last_cut(self) -> int | None:
        """Number of the last line that is ticked as cut; None when none is."""
        cut = [line.n for line in self.lines if (line.n, "cut") in self.ticks]
        return cut[-1] if cut else None

    @property
    def done(self) -> bool:
        """Whether every stop is cut."""
        return all((line.n, "cut") in self.ticks for line in self.lines)


@dataclass
class Session:
    """A job on the store.

    Parameters
    ----------
    store : Store
        The log.
    job : JobRow
        The job.
    lines : sequence of Line
        The lines of its card, in order.
    """

    store: Store
    job: JobRow
    lines: Sequence[Line]
    shown: View = field(init=False)

    def __post_init__(self) -> None:
        self.look()

    def look(self) -> View:
        """Read the job anew, for the screen; what its keys do next belongs to this."""
        row, ticks = self.store.seen(self.job.id)
        self.shown = View(row, frozenset(ticks), self.lines)
        return self.shown

    @property
    def ticks(self) -> frozenset[tuple[int, str]]:
        """Every (stop, what) that is ticked, as shown."""
        return self.shown.ticks

    @property
    def place(self) -> int:
        """Number of the stop to do next, as shown."""
        return self.shown.place

    @property
    def waiting(self) -> int | None:
        """Number of the stop whose check waits, as shown."""
        return self.shown.waiting

    @property
    def done(self) -> bool:
        """Whether every stop is cut, as shown."""
        return self.shown.done

    @property
    def last_cut(self) -> int:
        """Number of the last line that is ticked as cut: the one that can be measured.

        Raises
        ------
        BadValue
            When none is.
        """
        n = self.shown.last_cut
        if n is None:
            raise BadValue("measured", None, "nothing is cut yet", "Make a cut first.")
        return n

    def did(self, n: int, what: str, place: int | None = None) -> int:
        """Write down that act (or cut) ``n`` was done, under a word for it; return the number.

        Raises
        ------
        MovedOn
            When the job is not as it was shown any more; it is shown anew then.
        """
        try:
            self.store.tick(self.job.id, n, what, place, seen=self.shown.moves)
        finally:
            self.look()
        return n

    def turned(self) -> int:
        """Tick TURNED for the stop at hand; return its number."""
        return self.did(self.place, "turned")

    def cut(self) -> int:
        """Tick CUT for the stop at hand and go on to the next one; return its number.

        Raises
        ------
        BadValue
            When it is not turned yet.
        """
        n = self.place
        if (n, "turned") not in self.ticks:
            raise BadValue("cut", n, "this one is not ticked as turned", "Turn the table, tick TURNED, then cut.")
        return self.did(n, "cut", min(n + 1, len(self.lines)))

    def checked(self) -> int | None:
        """Confirm the check that waits; return its stop."""
        n = self.waiting
        return None if n is None else self.did(n, "checked")

    def undo(self) -> tuple[int, str] | None:
        """Take back the tick set last, of a finished job too; return it."""
        try:
            return self.store.take_back(self.job.id, seen=self.shown.moves)
        finally:
            self.look()

    def jump(self, text: str) -> int:
        """Go to a stop by its number.

        Raises
        ------
        BadValue
            When there is no such stop.
        """
        word = text.strip()
        if not (word.isascii() and word.isdigit() and len(word) < 8 and 1 <= int(word) <= len(self.lines)):
            raise BadValue("jump", text, f"is no cut from 1 to {len(self.lines)}", "Give the number of a cut.")
        try:
            self.store.go_to(self.job.id, int(word), seen=self.shown.moves)
        finally:
            self.look()
        return int(word)

    def note(self, words: str, next_time: bool = False) -> None:
        """Write a note at the stop at hand, whole; words that begin with ``next:`` are for next time.

        Raises
        ------
        BadValue
            When there are no words.
        """
        text = words.strip()
        if text.lower().startswith("next:"):
            text, next_time = text[5:].strip(), True
        self.store.note(self.job.id, text, self.place, next_time)

    def pause(self) -> None:
        """Write down that work stops here."""
        self.store.event(self.job.id, "pause", self.place)


__all__ = ["Line", "MovedOn", "Session", "View"]
