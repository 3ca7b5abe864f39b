"""What the keys do while a card is ticked off, the same on the screen and line by line: one act at a time, in words."""

from __future__ import annotations

from dataclasses import dataclass

from stepcut.acts import Card, Screen
from stepcut.cards.log_text import signed
from stepcut.cards.off_text import lines_of
from stepcut.cli.at_machine import reading_of
from stepcut.log.session import Session
from stepcut.log.steps import Step
from stepcut.voice import voice_of

# Keys of the bottom line, in its order: key, short word (which begins with the key), long word.
KEYS = (
    ("u", "undo", "undo"),
    ("j", "jump", "jump to a cut"),
    ("n", "note", "note"),
    ("m", "meas", "measured"),
    ("o", "off", "off or lost"),
    ("p", "pause", "pause"),
    ("q", "quit", "quit"),
)
SKIP = ("s", "skip", "skip the set-up")  # in the place of m while the set-up is shown
NEXT_KEYS = {"TURNED": "t", "CUT": "c"}


def keys(step: Step | None) -> tuple[tuple[str, str, str], ...]:
    """Return the keys that work while a step is shown."""
    if step is not None and step.what == "prepared":
        return tuple(SKIP if key[0] == "m" else key for key in KEYS)
    return KEYS


def words_of(screen: Screen) -> str:
    """Return all that a screen says, in one line."""
    readings = ", ".join(f"{reading.label} {reading.text}".strip() for reading in screen.readings)
    ask = f"{screen.ask}: {readings}" if readings else screen.ask
    return " ".join(part for part in (f"{ask.rstrip('.')}.", screen.says) if part)


def trouble(card: Card, looks: str = "") -> tuple[tuple[str, str], ...]:
    """Return what to do when something is wrong, in the card's words, with what one cut is; what the readings look like first."""
    return (
        *((("IT LOOKS LIKE", looks),) if looks else ()),
        ("CHECK OFF", card.off),
        ("TOO DEEP", card.too_deep),
        ("LOST", card.lost),
        ("OVERSHOT", card.overshot),
        ("ONE CUT", " > ".join(card.cycle)),
        *(("CARE", words) for words in card.words.cautions),
    )


@dataclass
class Ticking:
    """A card being ticked off: the session, and whether a black screen was pressed once."""

    session: Session
    card: Card
    armed: bool = False

    @property
    def step(self) -> Step | None:
        """What is shown."""
        return self.session.step

    def enter(self) -> str:
        """Do the act that is shown; a check or a change is asked about first, and done when asked again."""
        step = self.step
        if step is not None and step.screen.black and not self.armed:
            self.armed = True
            return f"{step.screen.button}? Look first; then k, or Enter again."
        return self._did(self.session.do(confirmed=self.armed))

    def press(self, key: str) -> str:
        """Do the act that a key of its own stands for, when it is the one shown."""
        step = self.step
        if step is None:
            return "Everything is done; q ends the job."
        button = step.screen.button
        wanted = "k" if step.screen.black else NEXT_KEYS.get(button, "")
        if key != wanted:
            if key == "k":
                return "No check waits."
            with_key = f"{wanted} or Enter" if wanted else "Enter"
            return f"First: {words_of(step.screen)} Then {with_key}: {button}."
        return self._did(self.session.do(confirmed=key == "k"))

    def _did(self, step: Step) -> str:
        self.armed = False
        left = self.session.shown.uncut
        passed = self.step is not None and step.of_a_cut and left and left[0] < step.n
        more = (
            f"; cut {left[0]} was passed over{self._counted(left[0])}"
            if passed and self.session.place == left[0]
            else ""
        )
        return f"ticked {step.what} {step.n}{more}"

    def undo(self) -> str:
        """Take the last tick back."""
        self.armed = False
        taken = self.session.undo()
        return f"took back {taken[1]} {taken[0]}" if taken else "nothing to take back"

    def jump(self, text: str) -> str:
        """Go to a cut."""
        self.armed = False
        n = self.session.jump(text)
        return f"at cut {n}{self._counted(n)}"

    def _counted(self, n: int) -> str:
        """Return what turns are counted from, for one who comes from elsewhere."""
        return f"; turns are counted from cut {n - 1}, so go by the readings" if n > 1 else "; go by the readings"

    def skip(self) -> str:
        """Go past the set-up."""
        self.session.past_set_up()
        return "past the set-up: its boxes stay empty here"

    def note(self, text: str) -> str:
        """Write a note."""
        self.session.note(text)
        later = text.strip().lower().startswith("next:")
        return "written down for next time" if later else f"written down at cut {self.session.place}"

    def measured(self, text: str) -> str:
        """Write down what was measured: at the end what was asked for, before that the cut ticked last."""
        if self.step is not None and self.step.what == "measured":
            self.session.found(text)
            return f"written down: {self.step.screen.ask}, found {text.strip()}"
        n = self.session.last_cut
        wanted, found = reading_of(self.card.plan, text, self.card.unit, n)
        self.session.store.reading(self.session.job.id, n, wanted, found)
        voice = voice_of(self.card.plan.machine, self.card.unit)
        more = ". Do not cut on; o says what it looks like" if self.looks() else ""
        return f"measured cut {n}: {signed(found - wanted, voice)} off{more}"

    def looks(self) -> str:
        """Return what the readings of this job so far look like, with the test that tells; empty while none is off."""
        plan = self.card.plan
        readings = [(n, wanted, found) for _, n, wanted, found, *_ in self.session.store.readings(self.session.job.id)]
        return " ".join(lines_of(plan, self.card, readings, voice_of(plan.machine, self.card.unit), 10_000))

    def asks_measured(self) -> str:
        """Return the question of a reading.

        Raises
        ------
        BadValue
            When nothing is cut yet.
        """
        if self.step is not None and self.step.what == "measured":
            return f"{self.step.screen.ask}: found"
        return f"{self.card.words.names[1]} measured at cut {self.session.last_cut}, with its unit"

    def pause(self) -> str:
        """Write a pause down."""
        self.session.pause()
        plan = self.card.plan
        clear = "tool clear" if plan.cutter.kind in ("square", "round") else "cutter clear"
        return f"paused: {clear}{', table locked' if plan.first.angular else ''}; go on with what is shown"


__all__ = ["KEYS", "Ticking", "keys", "trouble", "words_of"]
