"""One job being ticked off: what the screens show and what their keys do, without a screen.

Every act is written to the store first; what is shown afterwards is read back from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from stepcut.errors import BadValue
from stepcut.log.store import JobRow, Store


class Line(Protocol):
    """What a session needs to know of a line of the card."""

    @property
    def n(self) -> int:
        """Number of the stop."""

    @property
    def check(self) -> str:
        """What must be read after it; empty when it closes no group."""


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

    @property
    def ticks(self) -> set[tuple[int, str]]:
        """Every (stop, what) that is ticked, read from the store."""
        return self.store.ticks(self.job.id)

    @property
    def place(self) -> int:
        """Number of the stop to do next: where it was left, or the first one that is not cut."""
        place = self.store.job(self.job.id).place
        return min(max(1, place), len(self.lines))

    @property
    def waiting(self) -> int | None:
        """Number of the last cut stop whose check is still to be confirmed; None when there is none."""
        ticks = self.ticks
        closing = [
            line.n
            for line in self.lines
            if line.check and (line.n, "cut") in ticks and (line.n, "checked") not in ticks
        ]
        return closing[-1] if closing else None

    @property
    def last_cut(self) -> int:
        """Number of the last line that is ticked as cut: the one that can be measured.

        Raises
        ------
        BadValue
            When none is.
        """
        ticks = self.ticks
        cut = [line.n for line in self.lines if (line.n, "cut") in ticks]
        if not cut:
            raise BadValue("measured", None, "no stop is cut yet", "Cut one first.")
        return cut[-1]

    @property
    def done(self) -> bool:
        """Whether every stop is cut."""
        ticks = self.ticks
        return all((line.n, "cut") in ticks for line in self.lines)

    def turned(self) -> int:
        """Tick TURNED for the stop at hand; return its number."""
        n = self.place
        self.store.tick(self.job.id, n, "turned")
        return n

    def cut(self) -> int:
        """Tick CUT for the stop at hand and go on to the next one; return its number.

        Raises
        ------
        BadValue
            When it is not turned yet.
        """
        n = self.place
        if (n, "turned") not in self.ticks:
            raise BadValue("cut", n, "this stop is not ticked as turned", "Turn the table, tick TURNED, then cut.")
        self.store.tick(self.job.id, n, "cut", min(n + 1, len(self.lines)))
        return n

    def checked(self) -> int | None:
        """Confirm the check that waits; return its stop."""
        n = self.waiting
        if n is not None:
            self.store.tick(self.job.id, n, "checked")
        return n

    def undo(self) -> tuple[int, str] | None:
        """Take back the tick set last; return it."""
        last = self.store.last_tick(self.job.id)
        if last is not None:
            n, what = last
            self.store.untick(self.job.id, n, what, n)  # type: ignore[arg-type]  # one of the three
        return last

    def jump(self, text: str) -> int:
        """Go to a stop by its number.

        Raises
        ------
        BadValue
            When there is no such stop.
        """
        word = text.strip()
        if not (word.isascii() and word.isdigit() and len(word) < 8 and 1 <= int(word) <= len(self.lines)):
            raise BadValue("jump", text, f"is no stop from 1 to {len(self.lines)}", "Give the number of a stop.")
        self.store.go_to(self.job.id, int(word))
        self.store.event(self.job.id, "jump", int(word))
        return int(word)

    def note(self, words: str, next_time: bool = False) -> None:
        """Write a note at the stop at hand; words that begin with ``next:`` are for next time."""
        text = words.strip()
        if text.lower().startswith("next:"):
            text, next_time = text[5:].strip(), True
        if text:
            self.store.note(self.job.id, text[:2000], self.place, next_time)

    def pause(self) -> None:
        """Write down that work stops here."""
        self.store.event(self.job.id, "pause", self.place)
