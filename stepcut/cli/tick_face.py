"""How a step looks on a screen of any size: rows of text with a style each, laid out without a toolkit.

From the top: where in the job, the cuts as a bar where there is room, what to do, the number as large as it goes, what is
said, the one button, and on the bottom line every key.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

from stepcut.acts import Card, Reading, Screen
from stepcut.cli.big import big
from stepcut.cli.ticking import keys, trouble, words_of
from stepcut.log.session import View
from stepcut.log.steps import Step

Row = tuple[str, str]  # text and style: head, bar, ask, number, label, says, say, button, keys
ENTER = "Enter"


@dataclass(frozen=True)
class Face:
    """What is to be drawn besides the job itself."""

    message: str = ""
    question: str | None = None  # asked for on the line above the button
    answer: str = ""
    armed: bool = False
    lost: int | None = None  # first line of the page for when something is off
    looks: str = ""  # what the readings so far look like, first on that page


def face(view: View, card: Card, width: int, height: int, shown: Face) -> list[Row]:
    """Return exactly ``height`` rows of exactly ``width`` columns."""
    step = view.step
    screen = step.screen if step else Screen((), "DONE", "Every cut is cut and measured", (), "q ends the job.", "Done")
    foot = _foot(step, screen, width, height, shown)
    top: list[Row] = [(_ends(screen.place, f"{card.title} {card.part}, {card.unit_word}", width), "head")]
    if height >= 16:
        top.append((_bar(view, card, width), "bar"))
    room = height - len(top) - len(foot)
    body = (
        _trouble(trouble_lines(card, width, shown.looks, step), room, shown.lost)
        if shown.lost is not None
        else _body(screen, step, view, width, room, shown.armed)
    )
    rows = [*top, *body, *foot]
    return [(text[:width].ljust(width), style) for text, style in rows]


def _ends(left: str, right: str, width: int) -> str:
    """Return two texts at the ends of a line; the right one gives way."""
    room = width - len(left) - 4
    right = right if len(right) <= room else f"{right[: room - 1]}…" if room > 6 else ""
    return f" {left}{' ' * max(1, width - len(left) - len(right) - 2)}{right} "


def _bar(view: View, card: Card, width: int) -> str:
    """Return all cuts as a bar: done, at hand, to do, with a gap at each change; where they are too many, in proportion."""
    marks = []
    for group in card.groups:
        if group.change:
            marks.append(" ")
        for line in group.lines:
            here = view.place == line.n and view.step is not None and view.step.of_a_cut
            done = (line.n, "cut") in view.ticks
            marks.append("█" if done else "▄" if here else "·")
    room = width - 2
    if len(marks) > room:
        marks = [marks[k * len(marks) // room] for k in range(room)]
    wide = max(1, min(4, room // max(1, len(marks))))
    return " " + "".join(mark * (wide - 1) + (mark if wide == 1 else " ") for mark in marks)


def _foot(step: Step | None, screen: Screen, width: int, height: int, shown: Face) -> list[Row]:
    """Return message or question, the button, and the keys."""
    rows: list[Row] = []
    if shown.question is not None:
        asked = f" {shown.question}: {shown.answer}"
        lines = wrap(asked, width - 2, break_on_hyphens=False, drop_whitespace=False) or [""]
        rows += [(line, "say") for line in lines[-3:-1]] + [(f"{lines[-1]}_", "say")]
        button, line = f" {ENTER}  write it down", f" {ENTER} write it down   Esc leave it"
    else:
        tells = shown.armed or (shown.message.startswith("ticked") and ";" not in shown.message)
        quiet = height < 16 and tells  # the step or the button tells it
        said = "" if quiet else shown.message
        rows += [(f" {line}", "say") for line in wrap(said, width - 2, break_on_hyphens=False)[:3]]
        button = f" {ENTER}  {screen.button}" if not shown.armed else f" k or {ENTER} again  {screen.button}"
        line = _keys(keys(step), width)
    if shown.lost is not None:
        button, line = f" {ENTER}  next lines, then back to the job", f" {ENTER} on   Esc back"
    blank: list[Row] = [("", "button")] if height >= 20 else []
    rows += [*blank, (button, "button"), *blank]
    rows.append((line, "keys"))
    return rows


def _keys(known: tuple[tuple[str, str, str], ...], width: int) -> str:
    """Return every key on one line: in whole words where there is room, else in words that begin with the key."""
    lines = (
        f" {ENTER}   " + "   ".join(f"{key} {words}" for key, _, words in known),
        f" {ENTER}  " + "  ".join(f"{key} {word}" for key, word, _ in known),
    )
    return next((line for line in lines if len(line) < width), " ".join((ENTER, *(word for _, word, _ in known))))


AFTER = f"What comes then: after {ENTER}."


def _body(screen: Screen, step: Step | None, view: View, width: int, room: int, armed: bool) -> list[Row]:
    """Return what to do, the numbers, and what is said, in so many rows.

    Where a check with the change after it is too much for a small screen, the numbers come first and the words when it was pressed once.
    """
    ask: list[Row] = [(f" {line}", "ask") for line in wrap(screen.ask, width - 2, break_on_hyphens=False)]
    if step is not None and step.key in view.ticks:
        ask[-1] = (f"{ask[-1][0]}  (ticked before)", "ask")
    says: list[Row] = [(f" {line}", "says") for line in wrap(screen.says, width - 2, break_on_hyphens=False)]
    left = room - len(ask) - len(says)
    numbers = _numbers(screen, ask, width, left)
    check = any(act.kind == "check" for act in screen.acts)  # the last screen of all has no act
    if check and not armed and all(style == "plain" for _, style in numbers):
        large = _numbers(screen, ask, width, room - len(ask) - 1)
        if any(style == "number" for _, style in large):
            numbers, says = large, [(f" {AFTER}", "says")]
    rows = [*ask, *numbers, *says]
    if len(rows) > room:
        rows = [*rows[: room - 1], (f"{rows[room - 1][0][: width - 10]}… o: more", "says")]
    gap = room - len(rows)
    return [*ask, *_blank(gap // 2), *numbers, *_blank(gap - gap // 2), *says][:room] if gap > 0 else rows


def _blank(count: int) -> list[Row]:
    return [("", "number")] * count


def _numbers(screen: Screen, ask: list[Row], width: int, room: int) -> list[Row]:
    """Return the readings: all large, or the first one large and the others beside the question, or all in plain lines."""
    readings, equal = screen.readings, screen.black
    if not readings:
        return []
    first = readings[0]
    if len(readings) == 1:
        rows = _large(first, width, room - 1)
        return _labelled(first, rows) if rows else [(f"   {_said(first)}", "plain")]
    found = _all_large(readings, width, room, equal)
    if found:
        return found
    others = "   ".join(_said(reading) for reading in readings[1:])
    named = first.label.lower() in ask[-1][0].lower()
    beside = f"{ask[-1][0]}{'' if named else f' {first.label}'}   {others}"
    if not equal and len(beside) < width:
        rows = _large(first, width, room)
        if rows:
            ask[-1] = (beside, "ask")
            return rows
    rows = _large(first, width, room - 2 if equal else room - 1)
    if rows:
        return [*(_labelled(first, rows) if equal else rows), (f" {others}", "plain")]
    return [(f"   {_said(reading)}", "plain") for reading in readings]


def _all_large(readings: Sequence[Reading], width: int, room: int, equal: bool) -> list[Row]:
    """Return all readings large, alike or the first one largest; nothing where there is no room for that."""
    labels = len(readings)
    if room < (4 * labels + labels if equal else 7 + 4 + 2):
        return []
    first = (room - labels) // labels if equal else room - labels - max(4, (room - labels) // 3)
    rest = room - labels - first if not equal else first
    each = rest // (1 if equal else labels - 1)
    large = [_large(reading, width, each if k else first) for k, reading in enumerate(readings)]
    if not all(large):
        return []
    return [row for reading, rows in zip(readings, large, strict=True) for row in _labelled(reading, rows)]


def _labelled(reading: Reading, rows: list[Row]) -> list[Row]:
    """Return large digits with what they read above their left edge."""
    if not reading.label:
        return rows
    indent = min(len(text) - len(text.lstrip()) for text, _ in rows)
    return [(" " * indent + reading.label, "label"), *rows]


def _said(reading: Reading) -> str:
    return f"{reading.label} {reading.text}".strip()


def _large(reading: Reading, width: int, room: int) -> list[Row]:
    """Return a reading in large digits, in the middle; empty where it does not fit."""
    if room < 4:
        return []
    rows = big(reading.text, width - 2, room)
    number, _, unit = reading.text.partition(" ")
    if rows is None and number[:1].isdigit() and unit in ("in", "mm"):  # the number alone, its unit beside its foot
        rows = big(number, width - 3 - len(unit), room)
        rows = rows and [*(f"{row}{' ' * (len(unit) + 1)}" for row in rows[:-1]), f"{rows[-1]} {unit}"]
    if rows is None:
        return []
    indent = " " * max(1, (width - len(rows[0])) // 2)
    return [(f"{indent}{row}", "number") for row in rows]


LONG = 4  # lines of words, of which a small screen does not show the last


def trouble_lines(card: Card, width: int, looks: str = "", step: Step | None = None) -> list[Row]:
    """Return the page for when something is off, whole; first the words of the act where a small screen cuts them short."""
    rows: list[Row] = []
    act = words_of(step.screen) if step is not None else ""
    this = (("THIS ACT", act),) if len(act) > LONG * width else ()
    for head, text in (*this, *trouble(card, looks)):
        lines = wrap(f"{head}  {text}", width - 2, subsequent_indent="  ", break_on_hyphens=False)
        rows += [(f" {line}", "ask" if k == 0 else "says") for k, line in enumerate(lines)]
    return rows


def _trouble(lines: list[Row], room: int, first: int) -> list[Row]:
    rows = lines[first : first + room]
    return [*rows, *[("", "says")] * (room - len(rows))]
