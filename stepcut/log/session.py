"""One job being ticked off: what the screens show and what their keys do, without a screen.

Every act is written to the store first; what is shown afterwards is read back from it.  An act goes with what the screen
showed: when another window has gone on meanwhile it is refused, and the screen is drawn anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from stepcut.errors import BadValue
from stepcut.log.steps import Step
from stepcut.log.store import JobRow, MovedOn, Store

END = "end"  # mark of a job whose steps are all done


@dataclass(frozen=True)
class View:
    """A job as it is at one moment, read from the store at once: what a screen shows, and what its keys act on."""

    job: JobRow
    ticks: frozenset[tuple[int, str]]
    steps: Sequence[Step]

    @property
    def moves(self) -> int:
        """Number that an act carries, to be refused when the job has moved on."""
        return self.job.moves

    @property
    def stops(self) -> int:
        """How many cuts there are."""
        return max((step.n for step in self.steps if step.what == "cut"), default=0)

    @property
    def at(self) -> int:
        """Index of the step to do next; the number of steps when all are done.

        A job of an older program has no mark: its place and its ticks tell it.
        """
        if self.job.doing == END:
            return len(self.steps)
        marked = [k for k, step in enumerate(self.steps) if step.mark == self.job.doing]
        return marked[0] if marked else self._told()

    def _told(self) -> int:
        """Return where an unmarked job stands: at a check that waits, or behind the last ticked step of its place."""
        if not self.ticks and self.job.place <= 1:
            return 0
        waiting = [k for k, step in enumerate(self.steps) if self._waits(step)]
        if waiting:
            return waiting[-1]
        first = self.begins(self.place)
        ticked = [
            k for k in range(first, len(self.steps)) if self._of(k, self.place) and self.steps[k].key in self.ticks
        ]
        return ticked[-1] + 1 if ticked else first

    def _waits(self, step: Step) -> bool:
        """Whether a step is the check after the cut that was ticked last."""
        cut = step.what == "checked" and (step.n, "cut") in self.ticks and step.key not in self.ticks
        return cut and step.place == self.place and (step.n == self.place or not self._begun(self.place))

    def _of(self, k: int, n: int) -> bool:
        """Whether a step belongs to a cut: the change before it, its moves, the check after it."""
        step = self.steps[k]
        return step.n == n and step.of_a_cut

    def _begun(self, n: int) -> bool:
        return any(self._of(k, n) and step.key in self.ticks for k, step in enumerate(self.steps))

    def begins(self, n: int) -> int:
        """Index of the first step of a cut, the change before it included."""
        return next(k for k in range(len(self.steps)) if self._of(k, n))

    @property
    def step(self) -> Step | None:
        """The step to do next; None when all are done."""
        return self.steps[self.at] if self.at < len(self.steps) else None

    @property
    def place(self) -> int:
        """Number of the cut to do next."""
        return min(max(1, self.job.place), self.stops)

    @property
    def waiting(self) -> int | None:
        """Number of the cut whose check is the step to do next; None when it is another step."""
        return self.step.n if self.step is not None and self.step.what == "checked" else None

    @property
    def last_cut(self) -> int | None:
        """Number of the last cut that is ticked; None when none is."""
        return max((n for n, what in self.ticks if what == "cut"), default=None)

    @property
    def uncut(self) -> tuple[int, ...]:
        """Numbers of the cuts that are not ticked."""
        return tuple(step.n for step in self.steps if step.what == "cut" and step.key not in self.ticks)

    @property
    def done(self) -> bool:
        """Whether every cut is cut and nothing is left to do."""
        return self.at == len(self.steps) and not self.uncut


@dataclass
class Session:
    """A job on the store.

    Parameters
    ----------
    store : Store
        The log.
    job : JobRow
        The job.
    steps : sequence of Step
        The steps of its card, in order.
    """

    store: Store
    job: JobRow
    steps: Sequence[Step]
    shown: View = field(init=False)

    def __post_init__(self) -> None:
        self.look()

    def look(self) -> View:
        """Read the job anew, for the screen; what its keys do next belongs to this."""
        row, ticks = self.store.seen(self.job.id)
        self.shown = View(row, frozenset(ticks), self.steps)
        return self.shown

    @property
    def ticks(self) -> frozenset[tuple[int, str]]:
        """Every (number, what) that is ticked, as shown."""
        return self.shown.ticks

    @property
    def step(self) -> Step | None:
        """The step to do next, as shown."""
        return self.shown.step

    @property
    def place(self) -> int:
        """Number of the cut to do next, as shown."""
        return self.shown.place

    @property
    def waiting(self) -> int | None:
        """Number of the cut whose check waits, as shown."""
        return self.shown.waiting

    @property
    def done(self) -> bool:
        """Whether everything is done, as shown."""
        return self.shown.done

    @property
    def last_cut(self) -> int:
        """Number of the last cut that is ticked: the one that can be measured.

        Raises
        ------
        BadValue
            When none is.
        """
        n = self.shown.last_cut
        if n is None:
            raise BadValue("measured", None, "nothing is cut yet", "Make a cut first.")
        return n

    def do(self, confirmed: bool = False) -> Step:
        """Tick the step that is shown and go on to the next one; return it.

        Raises
        ------
        BadValue
            When nothing is left, or it is a check or a change and was not confirmed.
        MovedOn
            When the job is not as it was shown any more; it is shown anew then.
        """
        step = self.shown.step
        if step is None:
            raise BadValue("job", self.job.id, "has nothing left to do", "End with q.")
        if step.screen.black and not confirmed:
            raise BadValue("confirm", step.screen.button, "is to be confirmed", "Look first; then k.")
        following = self._following(step)
        place, mark = (following.place, following.mark) if following else (self.shown.stops, END)
        try:
            self.store.tick(self.job.id, step.n, step.what, place, seen=self.shown.moves, doing=mark)
        finally:
            self.look()
        return step

    def _following(self, step: Step) -> Step | None:
        """Return the step after one; before measuring, those of a cut that was passed over."""
        k = self.shown.at + 1
        following = self.steps[k] if k < len(self.steps) else None
        if not step.ends and (following is None or following.ends):
            left = [n for n in self.shown.uncut if (n, "cut") != step.key]
            if left:
                return self.steps[self.shown.begins(left[0])]
        return following

    def turned(self) -> int:
        """Tick TURNED for the cut at hand; return its number."""
        return self._do_if("turned")

    def cut(self) -> int:
        """Tick CUT for the cut at hand; return its number.

        Raises
        ------
        BadValue
            When something else comes first.
        """
        return self._do_if("cut")

    def _do_if(self, what: str) -> int:
        step = self.shown.step
        if step is None or step.what != what:
            wanted = "nothing is left" if step is None else f"first {step.screen.ask}: {step.screen.button}"
            raise BadValue(what, self.place, f"is not what comes next ({wanted})", "Do what is shown.")
        return self.do().n

    def checked(self) -> int | None:
        """Confirm the check or the change that is shown; return its cut, None when there is none."""
        step = self.shown.step
        return self.do(confirmed=True).n if step is not None and step.screen.black else None

    def undo(self) -> tuple[int, str] | None:
        """Take back the tick set last, of a finished job too; return it."""
        places = {step.key: (step.place, step.mark) for step in self.steps}
        try:
            return self.store.take_back(self.job.id, seen=self.shown.moves, places=places)
        finally:
            self.look()

    def jump(self, text: str) -> int:
        """Go to a cut by its number, to the change before it where there is one.

        Raises
        ------
        BadValue
            When there is no such cut.
        """
        word, total = text.strip(), self.shown.stops
        if not (word.isascii() and word.isdigit() and len(word) < 8 and 1 <= int(word) <= total):
            raise BadValue("jump", text, f"is no cut from 1 to {total}", "Give the number of a cut.")
        return self._go(int(word))

    def past_set_up(self) -> int:
        """Go past the set-up to the first cut, when it was done from another card.

        Raises
        ------
        BadValue
            When the set-up is not what is shown.
        """
        if self.shown.step is None or self.shown.step.what != "prepared":
            raise BadValue("set-up", None, "is past", "Do what is shown.")
        return self._go(1)

    def _go(self, n: int) -> int:
        try:
            mark = self.steps[self.shown.begins(n)].mark
            self.store.go_to(self.job.id, n, seen=self.shown.moves, doing=mark)
        finally:
            self.look()
        return n

    def note(self, words: str, next_time: bool = False) -> None:
        """Write a note at the cut at hand, whole; words that begin with ``next:`` are for next time.

        Raises
        ------
        BadValue
            When there are no words.
        """
        text = words.strip()
        if text.lower().startswith("next:"):
            text, next_time = text[5:].strip(), True
        self.store.note(self.job.id, text, self.place, next_time)

    def found(self, words: str) -> None:
        """Write down what was measured at the end, beside what was expected."""
        step = self.shown.step
        assert step is not None and step.what == "measured"  # noqa: S101  # asked for only there
        if not words.strip():
            raise BadValue("measured", words.strip(), "is empty", "Write what you found.")
        expected = ", ".join(reading.text for reading in step.screen.readings)
        self.store.note(self.job.id, f"{step.screen.ask}: found {words.strip()}, expected {expected}", None)

    def pause(self) -> None:
        """Write down that work stops here."""
        self.store.event(self.job.id, "pause", self.place)


__all__ = ["END", "MovedOn", "Session", "View"]
