"""The table of cuts as it goes on paper: which columns it has, how wide they are, and what is said once above them."""

from __future__ import annotations

from typing import Any

from msgspec import Struct

from stepcut.acts import Card, Change, Check, Column, Group, Line
from stepcut.cards.svg import ADVANCE

MM = 0.3528  # of a point
LEAST_BIG = 20.0  # points: a digit of 21 is 5.4 mm high
DIAL, NUMBER, SMALL = 14.0, 11.0, 9.0
MOST_GAP = 2.4  # mm
GUTTER = 5.0
SPARE = 0.2
FRACTIONS = {
    "1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾", "1/5": "⅕", "2/5": "⅖", "3/5": "⅗", "4/5": "⅘", "1/6": "⅙", "5/6": "⅚",
    "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞",
}  # fmt: skip
CHECK_GUTTER = 1.2  # mm before what stands at its end, though that be nothing
CHECK_BOX, PAUSE = 4.2 + 1.2 + SPARE, 8.0  # mm: its box, and the line to write on why one paused
CLOSE = -0.06  # of the size, between letters of a check
APART = 0.8  # more room before a dial, so that turns and dial are not read as one number
TWO = 1.3  # and before the second reading


class Cell(Struct, frozen=True):
    """A column of the table: its heading, what it shows of a line, its size in points (0: as large as the readings)."""

    title: str
    which: str
    points: float
    bold: bool = True


def short_turns(text: str) -> str:
    """Return turns without the word, for a column that is called so.

    Examples
    --------
    >>> short_turns("12 1/2 turns"), short_turns("1 turn"), short_turns("1/4 turn"), short_turns("8 turns and on")
    ('12½', '1', '¼', '8+')

    A fraction that has no sign of its own stays apart from the whole turns, so that 7 1/16 is not read as 71/16.

    >>> short_turns("4 2/3 turns"), short_turns("7 1/16 turns"), short_turns("7 1/8 turns and on")
    ('4⅔', '7 1/16', '7⅛+')
    """
    for words, sign in ((" and on", "+"), (" turns", ""), (" turn", "")):
        text = text.replace(words, sign)
    whole, _, part = text.rstrip("+").rpartition(" ")
    if part not in FRACTIONS:
        return text
    return f"{whole}{FRACTIONS[part]}{'+' if text.endswith('+') else ''}"


def _shown(line: Line, which: str) -> str:
    move = line.first if which.startswith("first") else line.second
    part = which.partition(".")[2]
    if part == "turns":
        return short_turns(move.turns)
    return move.dial if part == "dial" else move.reads.text


def _same_dial(lines: tuple[Line, ...]) -> bool:
    """Whether the dial of the second handle shows just what its reading is, on every line."""
    return all(not line.second.dial or line.second.dial == line.second.reads.text for line in lines)


def _dial_alike(lines: tuple[Line, ...]) -> bool:
    """Whether the crank's dial comes back to the same mark on every line: whole turns and no more."""
    return len(lines) > 1 and len({line.first.dial for line in lines}) == 1


def cells(card: Card) -> list[Cell]:
    """Return the columns between the number and the boxes; what is alike on every line has none."""
    lines, names = card.lines, card.words.names
    found = []
    if any(line.first.dial for line in lines):
        straight = not card.plan.first.angular
        if straight or any(not column.alike for column in card.columns):
            found.append(Cell("turns", "first.turns", DIAL))
        if straight or not _dial_alike(lines):
            found.append(Cell("dial", "first.dial", DIAL))
    found.append(Cell(names[0], "first.reads", 0))
    if not _same_dial(lines):
        found += [Cell("turns", "second.turns", DIAL), Cell("dial", "second.dial", DIAL)]
    found.append(Cell(names[1], "second.reads", 0))
    return found


class Fit(Struct, frozen=True):
    """How close a line is set: readings in points, boxes and room between cells in mm, room between letters over their size."""

    big: float
    box: float = 5.8
    gap: float = 0.7
    track: float = 0.0


FITS = (
    Fit(21.0),
    Fit(20.5),
    Fit(LEAST_BIG),
    Fit(LEAST_BIG, box=5.2, gap=1.3, track=-0.05),
    Fit(LEAST_BIG, box=4.8, gap=1.3, track=-0.05),
)


def _width(text: str, points: float, track: float = 0.0) -> float:
    return len(text) * points * (ADVANCE + track) * MM + SPARE


def widths(card: Card, found: list[Cell], fit: Fit) -> list[float]:
    """Return the widths of number, cells and two boxes, mm."""
    numbers = [_width(str(max((line.n for line in card.lines), default=1)), NUMBER)]
    for cell in found:
        longest = max((_shown(line, cell.which) for line in card.lines), key=len, default="")
        apart = APART if cell.which.endswith("dial") else TWO if cell.which == "second.reads" else 0.0
        if fit.track and cell.which == "second.turns":
            apart = TWO  # so that these are not read as the end of the first reading
        numbers.append(_width(longest, cell.points or fit.big, fit.track) + apart)
    return [*numbers, fit.box, fit.box]


def table(card: Card, room: float) -> dict[str, Any]:
    """Return the table for a sheet of which so many mm may be written on, as data for the template.

    Two columns stand on a sheet where the readings of 20 points or more leave room for it; else one.
    """
    found = cells(card)
    half = (room - GUTTER) / 2
    for fit in FITS:
        wide = widths(card, found, fit)
        narrow = sum(wide) + fit.gap * (len(wide) - 1) <= half and (fit is not FITS[-1] or _checks(card, half).words)
        if narrow:
            break
    else:
        fit = FITS[0]
        wide = widths(card, found, fit)
    checks = _checks(card, half if narrow else room)
    return {
        "big": fit.big,
        "box": fit.box,
        "track": fit.track,
        "narrow": narrow,
        "width": half if narrow else room,
        "widths": wide,
        "gap": max(fit.gap, min(MOST_GAP, (half - sum(wide)) / len(wide))) if narrow else MOST_GAP,
        "readings": [cell.points == 0 for cell in found],
        "titles": ["", *(cell.title for cell in found), *card.words.ticks],
        "columns": [_column(card, column, found, checks, k == 0) for k, column in enumerate(card.columns)],
        "pause": checks.pause,
        "side": narrow and card.side_by_side,
    }


class Checks(Struct, frozen=True):
    """How the checks of a card stand on one line each: with room to write why one paused, and with all words."""

    pause: bool
    words: bool

    def line(self, check: Check) -> str:
        """Return what stands behind the box; that it is measured is said once, above."""
        title = check.title if self.words else check.title.replace("after ", "")
        return f"{title}: {check.text}"


def _checks(card: Card, room: float) -> Checks:
    """Return the fullest way in which every check of a card stands on one line of so many mm."""
    found = [group.check for group in card.groups]
    pause = len("pause ") * SMALL * (ADVANCE + CLOSE) * MM + PAUSE + 1.2
    for way, free in ((Checks(True, True), room - pause), (Checks(False, True), room - CHECK_GUTTER)):
        longest = max((len(way.line(check)) for check in found), default=0)
        if CHECK_BOX + longest * SMALL * (ADVANCE + CLOSE) * MM <= free:
            return way
    return Checks(False, False)


def _column(card: Card, column: Column, found: list[Cell], checks: Checks, opens: bool) -> dict[str, Any]:
    opening = column.groups[0].change
    bar = f"{opening.clear}, THEN {column.title}" if opening else f"{column.title} · {column.starts}"
    said = [_change(opening)] if opening else []
    alike = column.alike
    said += [part for part in (alike, *(_once(card, checks) if opens else ())) if part]
    groups = [_group(group, found, checks, group.change if k else None) for k, group in enumerate(column.groups)]
    return {"bar": bar, "black": opening is not None, "said": said, "groups": groups}


def _once(card: Card, checks: Checks) -> list[str]:
    """Return what is said once: a dial that is alike on every line, the handles' names, what a dial shows, what a check is."""
    lines, said = card.lines, []
    if card.plan.first.angular and lines[0].first.dial and _dial_alike(lines):
        said.append(f"crank dial on {lines[0].first.dial} at every line")
    more = next((line.first.turns for line in lines if line.first.turns.endswith(" and on")), "")
    if more and any(cell.which == "first.turns" for cell in cells(card)):
        said.append(f"turns {short_turns(more)}: {more}, to the dial")
    for move in (lines[0].first, lines[0].second):
        if not move.dial or move.handle == "crank":
            continue
        alike = move is lines[0].second and _same_dial(lines)
        shows = f"the dial reads the same as {move.reads.label}" if alike else "whole turns from 0, then the dial"
        said.append(f"{move.handle}: {shows}")
    found = [group.check for group in card.groups]
    if any(check.measured for check in found):
        size = next((check.readings[0].label for check in found if len(check.readings) > 1), None)
        said.append(f"CHECK: measure {f'{size} and step' if size else 'the step'}; may pause")
    elif found and not checks.pause:
        said.append("may pause at every CHECK")
    return said


def _change(change: Change) -> str:
    """Return how to get clear and how far to go, without the first words, which stand in the bar."""
    rest = change.text.removeprefix(change.clear).lstrip(",: ")
    return rest[:1].upper() + rest[1:]


def _group(group: Group, found: list[Cell], checks: Checks, change: Change | None) -> dict[str, Any]:
    return {
        "bar": f"{change.clear}, THEN {change.title}" if change else "",
        "black": change is not None and change.black,
        "change": _change(change) if change else "",
        "rows": [_row(line, found) for line in group.lines],
        "check": checks.line(group.check),
    }


def _row(line: Line, found: list[Cell]) -> dict[str, Any]:
    shown = []
    for cell in found:
        move = line.first if cell.which.startswith("first") else line.second
        alike = move.reads.alike if cell.which.endswith("reads") else 0
        text = _shown(line, cell.which)
        shown.append([text[:alike], text[alike:], cell.points])  # light, bold
    # What is cut first stands before its line: at the end of it one would read it when the cut is made.
    first = sum(act.kind == "cut" for act in line.acts) > 1
    return {"n": str(line.n), "note": line.note, "first": first, "cells": shown}
