"""Ticking off line by line: for a plain terminal, a pipe or a screen reader.  It says all that the screen says.

Each answer is printed after its tick is on disk.
"""

from __future__ import annotations

import sys
from textwrap import fill

from stepcut.acts import Card
from stepcut.cards.page import plain
from stepcut.cli.screen import width
from stepcut.cli.ticking import NEXT_KEYS, Ticking, keys, trouble, words_of
from stepcut.errors import BadValue
from stepcut.log.session import Session

HELP = (
    "Enter does the act that is shown (also t turned, c cut); k confirms a check or a change; u undo, j N jump to a cut, "
    "s past the set-up, n WORDS note (next: for next time), m READING measured, o off or lost, p pause, q quit"
)


def _say(text: str) -> None:
    """Print within a terminal's width; a line in a pipe stays whole, for programs and screen readers."""
    if sys.stdout.isatty():
        columns = width()
        text = "\n".join(
            fill(line, columns, subsequent_indent="  ", break_on_hyphens=False) for line in text.split("\n")
        )
    print(plain(text, getattr(sys.stdout, "encoding", None)), flush=True)


def _at(ticking: Ticking) -> str:
    ticking.session.look()
    step = ticking.step
    if step is None:
        return "everything is cut and measured; q to end"
    screen = step.screen
    key = "k" if screen.black else "t or Enter" if NEXT_KEYS.get(screen.button) == "t" else "Enter"
    key = "c or Enter" if NEXT_KEYS.get(screen.button) == "c" else key
    begin = "STOP. " if screen.black else ""
    ticked = " (ticked before)" if step.key in ticking.session.ticks else ""
    return f"{screen.place}{ticked} | {begin}{words_of(screen)} | {key}: {screen.button}"


def run(session: Session, card: Card) -> None:
    """Read commands until the input ends or q."""
    ticking = Ticking(session, card)
    _say(f"job {session.job.id}: {card.title}, part {card.part}, for {card.machine}, {card.unit_word}; {HELP}")
    _say(_at(ticking))
    for line in sys.stdin:
        word, _, rest = line.strip().partition(" ")
        if word == "q":
            break
        try:
            _say(_act(ticking, word.lower(), rest))
        except BadValue as problem:
            _say(str(problem))
        _say(_at(ticking))


def _act(ticking: Ticking, word: str, rest: str) -> str:
    if word == "":
        return ticking.enter()
    if word in ("t", "c", "k"):
        return ticking.press(word)
    if word == "n":
        return ticking.note(rest)
    if word == "m":
        said, looks = ticking.measured(rest), ticking.looks()
        return f"{said}\n{looks}" if looks else said
    if word == "j":
        return ticking.jump(rest)
    if word == "o":
        return "\n".join(f"{head}: {text}" for head, text in trouble(ticking.card, ticking.looks()))
    plainly = {"u": ticking.undo, "s": ticking.skip, "p": ticking.pause}
    return plainly[word]() if word in plainly else f"{HELP}; here: {', '.join(key for key, *_ in keys(ticking.step))}"
