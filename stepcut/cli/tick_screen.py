"""The tick-off screen: the next stop in digits that are read from a metre, one key or button for each act."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Digits, Input, Label, Static

from stepcut.cards.sheet import Sheet
from stepcut.cli.at_machine import reading_of
from stepcut.cli.big import big
from stepcut.cli.guarded import GuardedApp
from stepcut.errors import StepcutError
from stepcut.log.session import Session
from stepcut.plan import Plan


class _Ask(ModalScreen[str]):
    """One line of text, for a note, a jump or a reading."""

    BINDINGS: ClassVar = [Binding("escape", "leave", "Leave")]

    def __init__(self, question: str) -> None:
        super().__init__()
        self.question = question

    def compose(self) -> ComposeResult:
        """Lay the question out."""
        with Vertical(id="ask"):
            yield Label(Content(self.question))
            yield Input()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the answer back."""
        self.dismiss(event.value)

    def action_leave(self) -> None:
        """Go back without an answer."""
        self.dismiss("")


class TickApp(GuardedApp):
    """Tick a card off."""

    CSS = """
    Screen { layout: vertical; }
    #head { height: 1; text-style: bold; }
    .word { height: 1; color: $text-muted; }
    Digits { height: 3; width: 1fr; text-style: bold; }
    .big { height: 7; text-style: bold; }
    #readings { height: auto; }
    #readings Vertical { height: auto; width: 1fr; }
    #how { height: auto; max-height: 3; }
    #say { height: auto; max-height: 2; text-style: bold; }
    #keys { height: 3; dock: bottom; }
    #keys Button { width: 1fr; min-width: 5; }
    .low #readings { layout: horizontal; }
    .low .word { display: none; }
    #ask { height: auto; width: 90%; border: heavy $foreground; padding: 0 1; }
    _Ask { align: center middle; }
    """
    BINDINGS: ClassVar = [
        Binding("t,space", "turned", "TURNED"),
        Binding("c,enter", "cut", "CUT"),
        Binding("k", "checked", "check"),
        Binding("u", "undo", "undo"),
        Binding("j", "jump", "jump"),
        Binding("n", "note", "note"),
        Binding("m", "measure", "measured"),
        Binding("p", "pause", "pause"),
        Binding("q", "quit", "quit"),
    ]

    def __init__(self, session: Session, sheet: Sheet, plan: Plan) -> None:
        super().__init__()
        self.session, self.sheet, self.plan = session, sheet, plan
        self._seen = -1

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static(id="head")
        with Vertical(id="readings"):
            with Vertical():
                yield Static(Content(self.sheet.titles[0]), classes="word")
                yield Digits(id="first")
                yield Static(id="first-big", classes="big")
            with Vertical():
                yield Static(Content(self.sheet.titles[2]), classes="word")
                yield Digits(id="second")
                yield Static(id="second-big", classes="big")
        yield Static(id="how")
        yield Static(id="say")
        with Horizontal(id="keys"):
            yield Button(f"{self.sheet.ticks[0].upper()} t", id="turned")
            yield Button(f"{self.sheet.ticks[1].upper()} c", id="cut")
            yield Button("check k", id="checked")
            yield Button("undo u", id="undo")

    def on_mount(self) -> None:
        """Show the place, and look now and then whether another window has moved on."""
        self._show()
        self.set_interval(0.5, self._look)

    def on_resize(self) -> None:
        """Put the two readings side by side on a low screen."""
        self.screen.set_class(self.size.height < 16, "low")
        self._show()

    def _look(self) -> None:
        try:
            version = self.session.store.version()
        except StepcutError as trouble:
            self._say(str(trouble))
            return
        if version != self._seen:
            self._seen = version
            self._show()

    def _say(self, text: str) -> None:
        self.query_one("#say", Static).update(Content(text))

    def _show(self) -> None:
        """Show what the store says."""
        session, sheet = self.session, self.sheet
        try:
            session.look()
        except StepcutError as trouble:  # what was shown stays, with the reason why nothing new is
            self._say(str(trouble))
        ticks, row = session.ticks, sheet.rows[session.place - 1]
        cut = sum(what == "cut" for _, what in ticks)
        marks = " ".join(
            f"[{'x' if (row.n, what) in ticks else ' '}] {word}"
            for what, word in zip(("turned", "cut"), sheet.ticks, strict=True)
        )
        self.query_one("#head", Static).update(
            Content(f"Stop {row.n} of {len(sheet.rows)}  {marks}  ({cut} cut)  {sheet.title} {sheet.part}")
        )
        self._readings(row.first, row.second)
        waiting = session.waiting
        how = "; ".join(
            part for part in (row.note, row.crank, row.change, f"handle {row.dial}" if row.dial != "-" else "") if part
        )
        if waiting is not None:
            how = f"CHECK: {sheet.rows[waiting - 1].check}. Safe stop. Press k when it is right."
        elif session.done:
            how = "Every stop is cut. Measure and write down; q ends the job."
        self.query_one("#how", Static).update(Content(how))
        self.query_one("#turned", Button).variant = "success" if (row.n, "turned") in ticks else "default"

    def _readings(self, first: str, second: str) -> None:
        """Show the two readings as large as the screen allows: seven rows each, or three on a low screen."""
        shapes = [big(text, self.size.width) if self.size.height >= 22 else None for text in (first, second)]
        large = all(shape is not None for shape in shapes)
        for name, text, shape in zip(("first", "second"), (first, second), shapes, strict=True):
            small, tall = self.query_one(f"#{name}", Digits), self.query_one(f"#{name}-big", Static)
            small.display, tall.display = not large, large
            small.update(text)
            tall.update(Content(shape or ""))

    def _free(self) -> bool:
        """Whether ticking may go on: not while a check waits, which is then said."""
        if self.session.waiting is not None:
            self._say("First the check: press k when the readings are right.")
            return False
        return True

    def _act(self, act: str) -> None:
        try:
            if act == "turned" and self._free():
                self._say(f"Stop {self.session.turned()} turned.")
            elif act == "cut" and self._free():
                self._say(f"Stop {self.session.cut()} cut.")
            elif act == "checked":
                n = self.session.checked()
                self._say(f"Check after stop {n} is right." if n else "No check waits.")
            elif act == "undo":
                taken = self.session.undo()
                self._say(f"Took back {taken[1]} of stop {taken[0]}." if taken else "Nothing to take back.")
            elif act == "pause":
                self.session.pause()
                self._say("Paused; cutter clear, table locked. Any key goes on.")
        except StepcutError as trouble:
            self._say(str(trouble))
        self._show()

    def on_button_pressed(self, event: Button.Pressed) -> None:
        """Do what the button says."""
        self._act(event.button.id or "")

    def action_turned(self) -> None:
        """Tick TURNED."""
        self._act("turned")

    def action_cut(self) -> None:
        """Tick CUT."""
        self._act("cut")

    def action_checked(self) -> None:
        """Confirm a check."""
        self._act("checked")

    def action_undo(self) -> None:
        """Take the last tick back."""
        self._act("undo")

    def action_pause(self) -> None:
        """Write a pause down."""
        self._act("pause")

    def action_jump(self) -> None:
        """Ask for a stop and go there."""
        self._ask("Go to stop number", self._jump)

    def action_note(self) -> None:
        """Ask for a note."""
        self._ask("Note (next: ... for next time)", self.session.note)

    def action_measure(self) -> None:
        """Ask for a measured reading of the stop cut last."""
        self._ask(f"Measured {self.sheet.titles[2]} at the stop cut last, such as 0.036in", self._measure)

    def _ask(self, question: str, take: object) -> None:
        def answered(text: str | None) -> None:
            if not text:
                return
            try:
                take(text)  # type: ignore[operator]  # one of the three methods above
                self._say("Written down.")
            except StepcutError as trouble:
                self._say(str(trouble))
            self._show()

        self.push_screen(_Ask(question), answered)

    def _jump(self, text: str) -> None:
        self.session.jump(text)

    def _measure(self, text: str) -> None:
        n = self.session.last_cut
        wanted, found = reading_of(self.plan, text, self.sheet.unit, n)
        self.session.store.reading(self.session.job.id, n, wanted, found)
