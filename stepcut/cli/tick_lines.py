"""Ticking off line by line: for a plain terminal, a pipe or a screen reader.

Each answer is printed after its tick is on disk.
"""

from __future__ import annotations

import sys

from stepcut.cards.sheet import Sheet
from stepcut.cards.terminal import plain
from stepcut.cli.at_machine import reading_of
from stepcut.errors import BadValue
from stepcut.log.session import Session
from stepcut.plan import Plan

HELP = "t turned, c cut, k check is right, u undo, j N jump, n WORDS note (next: for next time), m READING measured, p pause, q quit"


def _say(text: str) -> None:
    print(plain(text, getattr(sys.stdout, "encoding", None)), flush=True)


def _at(session: Session, sheet: Sheet) -> str:
    session.look()
    waiting = session.waiting
    if waiting is not None:
        return f"check: {sheet.rows[waiting - 1].check}; k when it is right"
    if session.done:
        return "every stop is cut; q to end"
    row = sheet.rows[session.place - 1]
    turned = (row.n, "turned") in session.ticks
    return f"next {row.n} of {len(sheet.rows)}: {sheet.titles[0]} {row.first}, {sheet.titles[2]} {row.second}, {'cut' if turned else sheet.ticks[0]}?"


def run(session: Session, sheet: Sheet, plan: Plan) -> None:
    """Read commands until the input ends or q."""
    _say(f"job {session.job.id}: {sheet.title}, part {sheet.part}, for {plan.machine.called}; {HELP}")
    _say(_at(session, sheet))
    for line in sys.stdin:
        word, _, rest = line.strip().partition(" ")
        if word == "q":
            break
        try:
            _say(_act(session, sheet, plan, word.lower(), rest))
        except BadValue as problem:
            _say(str(problem))
        _say(_at(session, sheet))


def _act(session: Session, sheet: Sheet, plan: Plan, word: str, rest: str) -> str:
    if word in ("t", "c") and session.waiting is not None:
        return "first the check"
    if word == "t":
        return f"ticked turned {session.turned()}"
    if word == "c":
        return f"ticked cut {session.cut()}"
    if word == "k":
        return f"ticked checked {session.checked()}"
    if word == "u":
        taken = session.undo()
        return f"took back {taken[1]} {taken[0]}" if taken else "nothing to take back"
    if word == "j":
        return f"at {session.jump(rest)}"
    if word == "n":
        session.note(rest)
        return "noted"
    if word == "m":
        n = session.last_cut
        wanted, found = reading_of(plan, rest, sheet.unit, n)
        session.store.reading(session.job.id, n, wanted, found)
        return f"measured stop {n}: {found - wanted:+.4f} mm off"
    if word == "p":
        session.pause()
        return "paused"
    return HELP
