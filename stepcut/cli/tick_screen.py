"""The tick-off screen: one act at a time, its number in digits that grow with the window, black where it must be confirmed."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.message import Message
from textual.widgets import Static

from stepcut.acts import Card
from stepcut.cli.guarded import GuardedApp
from stepcut.cli.tick_face import Face, face, trouble_lines
from stepcut.cli.ticking import Ticking, keys
from stepcut.errors import StepcutError
from stepcut.log.session import Session

# Like paper, and black where a check or a change must be confirmed: told apart from the handwheel without reading.
PAPER = {
    "": "#101010 on #f4f1e8", "head": "bold #101010 on #d8d2c0", "ask": "bold #101010 on #f4f1e8",
    "button": "bold #ffffff on #14365c", "keys": "#101010 on #d8d2c0", "say": "bold #7a1500 on #f4f1e8",
    "bar": "#14365c on #f4f1e8", "plain": "bold #101010 on #f4f1e8",
}  # fmt: skip
BLACK = {
    "": "#ffffff on #000000", "head": "bold #000000 on #ffd84a", "ask": "bold #ffd84a on #000000",
    "button": "bold #000000 on #ffd84a", "keys": "#ffffff on #303030", "say": "bold #ffd84a on #000000",
    "bar": "#ffd84a on #000000", "plain": "bold #ffffff on #000000",
}  # fmt: skip
ASLEEP = 0.6  # seconds in which a second press is the same press: a gloved finger bounces


class TickApp(GuardedApp):
    """Tick a card off."""

    CSS = "Screen { overflow: hidden; } #face { width: 100%; height: 100%; }"
    ENABLE_COMMAND_PALETTE: ClassVar[bool] = False

    def __init__(self, session: Session, card: Card, asleep: float = ASLEEP) -> None:
        super().__init__()
        self.ticking, self.asleep = Ticking(session, card), asleep
        self._seen, self._acted = -1, -1e9
        self._face = Face()
        self._take: Callable[[str], str] | None = None
        self.rows: list[tuple[str, str]] = []

    def compose(self) -> ComposeResult:
        """Lay the screen out: one field, drawn by :mod:`stepcut.cli.tick_face`."""
        yield Static(id="face")

    def on_mount(self) -> None:
        """Show the place, and look now and then whether another window has moved on."""
        self._show()
        self.set_interval(0.5, self._look)

    def on_resize(self) -> None:
        """Draw anew in the new size."""
        self._show()

    def _look(self) -> None:
        try:
            version = self.ticking.session.store.version()
        except StepcutError as trouble:
            self._show(message=str(trouble))
            return
        if version != self._seen:
            self._seen = version
            self._show(message=self._face.message)

    def _show(self, message: str | None = None) -> None:
        """Show what the store says."""
        try:
            before = self.ticking.session.shown.moves
            if self.ticking.session.look().moves != before:
                self.ticking.armed = False  # another window went on: what was asked about is not what is shown
        except StepcutError as trouble:  # what was shown stays, with the reason why nothing new is
            message = str(trouble)
        old = self._face
        message = old.message if message is None else message
        self._face = Face(message, old.question, old.answer, self.ticking.armed, old.lost, old.looks)
        step, size = self.ticking.step, self.size
        self.rows = face(self.ticking.session.shown, self.ticking.card, size.width, size.height, self._face)
        styles = BLACK if step is not None and step.screen.black and old.lost is None else PAPER
        text = Text(no_wrap=True, overflow="crop", end="")
        for k, (row, style) in enumerate(self.rows):
            line = Text(row, styles.get(style, styles[""]))
            if style == "keys":
                line.highlight_regex(
                    r"\b[ujnmsopq]\b|\b[ujnmsopq](?=[a-z]+\b)" if row.startswith("Enter") else r" [ujnmsopq] ",
                    "bold reverse",
                )
            text.append_text(line)
            text.append("\n" if k + 1 < len(self.rows) else "")
        self.query_one("#face", Static).update(text)

    # --- keys ----------------------------------------------------------------------------------------------------

    async def on_key(self, event: events.Key) -> None:
        """Do what a key says."""
        event.stop()
        if self._face.question is not None:
            self._typed(event)
        elif self._face.lost is not None:
            self._page(event.key in ("enter", "space", "down", "pagedown", "o"))
        else:
            self._key(event.key, event.time)

    def _key(self, key: str, when: float) -> None:
        try:
            message = self._did(key, when)
        except StepcutError as trouble:
            message = str(trouble)
        self._show(message)

    def _did(self, key: str, when: float) -> str:
        ticking = self.ticking
        if key in ("enter", "space", "t", "c", "k"):
            return self._press("enter" if key == "space" else key, when)
        if key == "q":
            self.exit()
        elif key == "j":
            return self._ask("Go to cut number", ticking.jump)
        elif key == "n":
            return self._ask("Note (next: for next time)", ticking.note)
        elif key == "s" and any(known == "s" for known, *_ in keys(ticking.step)):
            return ticking.skip()
        elif key == "m" and any(known == "m" for known, *_ in keys(ticking.step)):
            return self._ask(ticking.asks_measured(), ticking.measured)
        elif key == "u":
            return ticking.undo()
        elif key == "p":
            return ticking.pause()
        elif key == "o":
            self._face = Face(lost=0, looks=ticking.looks())
        return ""

    def _press(self, key: str, when: float) -> str:
        """Do the act that is shown; a press that follows at once, or came before the next act was there, is the same press.

        Parameters
        ----------
        key : str
            What was pressed.
        when : float
            The second at which it came, by the clock of the screen's events: a slow computer may get to it later.
        """
        if when - self._acted < self.asleep:
            return self._face.message
        try:
            if key != "enter":
                return self.ticking.press(key)
            if self.ticking.step is None:
                self.exit()
                return ""
            return self.ticking.enter()
        finally:
            self._acted = Message().time

    def _page(self, on: bool) -> None:
        """Turn the page for when something is off, or leave it."""
        looks = self._face.looks
        rows = len(trouble_lines(self.ticking.card, self.size.width, looks, self.ticking.step))
        first = (self._face.lost or 0) + max(1, self.size.height - 5)
        self._face = Face(lost=first, looks=looks) if on and first < rows else Face()
        self._show("")

    # --- a line of text ------------------------------------------------------------------------------------------

    def _ask(self, question: str, take: Callable[[str], str]) -> str:
        self._take = take
        self._face = Face(question=question)
        return ""

    def _typed(self, event: events.Key) -> None:
        answer = self._face.answer
        if event.key == "escape":
            self._face = Face()
            self._show("left as it was")
            return
        if event.key == "enter":
            self._face = Face()
            self._key_taken(answer)
            return
        if event.key == "backspace":
            answer = answer[:-1]
        elif event.key == "ctrl+u":
            answer = ""
        elif event.character and event.is_printable:
            answer += event.character
        self._face = Face(question=self._face.question, answer=answer)
        self._show("")

    def _key_taken(self, answer: str) -> None:
        message = "left as it was"
        if answer.strip() and self._take is not None:
            try:
                message = self._take(answer)
            except StepcutError as trouble:
                message = str(trouble)
        self._show(message)

    def on_paste(self, event: events.Paste) -> None:
        """Take pasted text into the answer, one line of it."""
        if self._face.question is not None:
            line = "".join(c for c in event.text.splitlines()[0] if c.isprintable()) if event.text else ""
            self._face = Face(question=self._face.question, answer=self._face.answer + line)
            self._show("")

    # --- mouse ---------------------------------------------------------------------------------------------------

    def on_click(self, event: events.Click) -> None:
        """Do what the button or the word under the mouse says."""
        if self._face.question is not None or not 0 <= event.screen_y < len(self.rows):
            return
        row, style = self.rows[event.screen_y]
        if self._face.lost is not None:
            self._page(True)
        elif style == "button":
            self._key("enter", event.time)
        elif style == "keys":
            self._key(self._under(row, event.screen_x), event.time)

    def _under(self, row: str, column: int) -> str:
        """Return the key whose word stands at a column of the bottom line."""
        found = "enter"
        for key, short, long in keys(self.ticking.step):
            begin = row.find(f"{key} {long}") if f"{key} {long}" in row else row.find(f" {short}") + 1
            if 0 <= begin <= column:
                found = key
        return found
