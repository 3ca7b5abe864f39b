"""Asking at the terminal, or of answers that are piped in: one line a question, every answer can be taken back."""

from __future__ import annotations

import sys
from textwrap import fill, wrap

from stepcut import gate
from stepcut.cli.screen import show, width
from stepcut.quantity import plain_marks

BACK, LEAVE, HOW = ("back", "b", "<"), ("quit", "leave", "q"), ("?", "how")
NOTHING = ("none", "no", "n", "-", "no idea", "don't know", "dont know", "dunno", "unknown")
WORDS = "back takes an answer back, ? says how to find it out, quit leaves; empty where it says so."


class LeftOff(Exception):  # it is no error: the person has left, or the answers have ended
    """The person has left; ``ended`` when the answers that were piped in have ended."""

    def __init__(self, ended: bool) -> None:
        self.ended = ended
        super().__init__()


def line(question: str) -> str:
    """Show a question and return the answer, without its line end.

    Raises
    ------
    LeftOff
        When there is no answer any more, or it says to leave.
    """
    columns = width()
    wrapped = [
        part for each in gate.lines(question).split("\n") for part in wrap(each, columns, drop_whitespace=False) or [""]
    ]
    show("\n".join(part.rstrip() for part in wrapped))
    sys.stdout.write("> ")
    sys.stdout.flush()
    text = sys.stdin.readline(4000)
    if not text:
        show("")
        raise LeftOff(True)
    text = text.rstrip("\r\n")
    if not sys.stdin.isatty():
        show(gate.line(text))  # what was piped in stands where it would have been typed
    if text.strip().lower() in LEAVE:
        raise LeftOff(False)
    return text


def yes(question: str) -> bool:
    """Ask for yes or no until it is one of them.

    Raises
    ------
    LeftOff
        When there is no answer any more, or it says to leave.
    """
    while True:
        word = line(question).strip().lower()
        if word in ("y", "yes", "n", "no"):
            return word.startswith("y")
        told("Write yes or no.")


def say(words: str) -> None:
    """Show a sentence within the terminal's width."""
    show(fill(gate.line(words), width(), break_on_hyphens=False))


def told(words: str) -> None:
    """Show what an answer was understood as, or why it was not, set in under the answer."""
    show(fill(gate.line(words), width(), initial_indent="  ", subsequent_indent="  ", break_on_hyphens=False))


def is_back(text: str) -> bool:
    """Whether an answer takes the one before it back."""
    return text.strip().lower() in BACK


def is_how(text: str) -> bool:
    """Whether an answer asks how to find it out."""
    return text.strip().lower() in HOW


def is_none(text: str) -> bool:
    """Whether an answer says in words what an empty one says: that there is none, or that it is not known."""
    return plain_marks(text).strip().lower() in NOTHING
