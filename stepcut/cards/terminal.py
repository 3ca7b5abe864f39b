"""The card on a terminal: good at 80 columns, usable at 40, plain text when piped, ASCII where nothing else prints."""

from __future__ import annotations

import io
import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field
from textwrap import wrap

from rich.console import Console
from rich.text import Text

from stepcut import gate
from stepcut.cards.sheet import Row, Sheet
from stepcut.plan import Picture, Polyline

NARROW = 60  # columns; below this the crank and the handle get lines of their own
WIDE = 100  # columns; from here on the depth handle has a column too

# What a terminal that cannot print a character gets instead.
PLAIN = {
    "°": "d",
    "³": "^3",
    "×": "x",
    "·": ".",
    "█": "#",
    "░": ".",
    "–": "-",
    "−": "-",
    "…": "...",
    "²": "^2",
    "≥": ">=",
}


def plain(text: str, encoding: str | None) -> str:
    """Return text in characters that an encoding has; unknown ones become a question mark, unseen ones their codes.

    Examples
    --------
    >>> plain("12°30'", "ascii"), plain("12°30'", "utf-8")
    ("12d30'", "12°30'")
    """
    encoding = encoding or "ascii"
    text = gate.terminal(text)
    try:
        text.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        text = "".join(PLAIN.get(c, c) if not _has(c, encoding) else c for c in text)
        try:
            return text.encode(encoding, "replace").decode(encoding)
        except LookupError:
            return text.encode("ascii", "replace").decode("ascii")
    return text


def _has(character: str, encoding: str) -> bool:
    try:
        character.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


@dataclass
class _Page:
    """Lines of a card as they are put together, each plain or bold."""

    width: int
    lines: list[tuple[str, bool]] = field(default_factory=list)

    def add(self, text: str, bold: bool = False, indent: str = "", first: str | None = None) -> None:
        """Add text, wrapped, with an indent; ``first`` stands before its first line."""
        begin = indent if first is None else first
        for line in wrap(text, self.width, initial_indent=begin, subsequent_indent=indent, break_on_hyphens=False) or [
            begin
        ]:
            self.lines.append((line, bold))

    def as_is(self, text: str, bold: bool = False) -> None:
        """Add lines that are laid out already."""
        self.lines += [(line, bold) for line in text.splitlines()]

    def heading(self, title: str, rule: str = "-") -> None:
        """Add a ruled heading."""
        self.lines.append((f"{rule * 2} {title} ".ljust(self.width, rule)[: self.width], True))

    def pairs(self, pairs: Iterable[tuple[str, str]], label_width: int) -> None:
        """Add labels with their text beside them."""
        for label, text in pairs:
            self.add(text, indent=" " * (label_width + 1), first=f"{label:<{label_width}} ")

    def boxes(self, lines: Iterable[str], mark: str) -> None:
        """Add lines behind a mark."""
        for line in lines:
            self.add(line, indent=" " * len(mark), first=mark)


def render(sheet: Sheet, width: int = 80, encoding: str = "utf-8", colour: bool = False) -> str:
    """Return the card as text.

    Parameters
    ----------
    sheet : Sheet
        What to print.
    width : int
        Columns, at least 32.
    encoding : str
        Of the output; characters that it lacks are replaced.
    colour : bool
        Whether bold print may be used.
    """
    width = max(32, min(width, 160))
    page = _Page(width)
    _head(page, sheet)
    if sheet.verdict:
        page.heading("DO NOT CUT", "!")
        page.add(sheet.verdict, True)
    page.heading("Zero")
    page.boxes(sheet.zero, "  ")
    page.heading("Before cutting")
    page.boxes(sheet.before, "[ ] ")
    if sheet.picture is not None:
        page.heading("Unrolled: # to file, . metal below")
        page.as_is(_stair(sheet.picture, width - 2))
    page.heading(f"{len(sheet.rows)} cuts")
    _table(page, sheet)
    _end(page, sheet)
    return plain(_printed(page, colour), encoding)


def _printed(page: _Page, colour: bool) -> str:
    """Return the lines as rich prints them, bold where that is wanted."""
    buffer = io.StringIO()
    console = Console(
        file=buffer, width=page.width, force_terminal=colour, color_system="standard" if colour else None,
        highlight=False, emoji=False, markup=False, legacy_windows=False,
    )  # fmt: skip
    text = Text(no_wrap=True, overflow="ignore")
    for line, bold in page.lines:
        text.append(line.rstrip() + "\n", style="bold" if bold else None)
    console.print(text, end="", crop=False, soft_wrap=True)
    return buffer.getvalue()


def _head(page: _Page, sheet: Sheet) -> None:
    page.heading(f"{sheet.shape} step card", "=")
    page.add(f"{sheet.title}, part {sheet.part}", True)
    page.add(f"revision {sheet.revision or '-'}, date {sheet.date or '-'}")
    page.pairs(sheet.facts, 14 if page.width >= NARROW else 8)


def _columns(sheet: Sheet, width: int) -> list[tuple[str, bool]]:
    """Return the columns that fit: title, and whether they stand to the right."""
    first, crank, second, change, dial = sheet.titles
    columns = [("no.", True)]
    if len({row.start for row in sheet.rows}) > 1:
        columns.append(("of", True))
    columns.append((first, True))
    if width >= NARROW:
        columns.append((crank, False))
    columns.append((second, True))
    if width >= NARROW:
        columns.append((change, True))
    if width >= WIDE:
        columns.append((dial, True))
    return [*columns, *((tick, False) for tick in sheet.ticks)]


def _cells(row: Row, titles: list[str], sheet: Sheet) -> list[str]:
    first, crank, second, change, dial = sheet.titles
    known = {
        "no.": str(row.n), "of": str(row.start), first: row.first, crank: row.crank, second: row.second,
        change: row.change, dial: row.dial,
    }  # fmt: skip
    return [known.get(title, "[  ]") for title in titles]


def _table(page: _Page, sheet: Sheet) -> None:
    """Add the rows in groups, each closed by its check line, in columns of one width throughout."""
    if not sheet.rows:
        page.add("No steps: cut it with one of the set-ups above.")
        return
    columns = _columns(sheet, page.width)
    titles = [title for title, _ in columns]
    cells = [_cells(row, titles, sheet) for row in sheet.rows]
    widths = [max(len(title), *(len(line[k]) for line in cells)) for k, title in enumerate(titles)]
    gap = "  " if page.width >= NARROW else " "

    def laid_out(line: list[str]) -> str:
        sides = zip(line, columns, widths, strict=True)
        return gap.join(cell.rjust(wide) if right else cell.ljust(wide) for cell, (_, right), wide in sides)

    page.as_is(laid_out(titles), True)
    for row, line in zip(sheet.rows, cells, strict=True):
        if row.note:
            page.add(row.note, indent="     ")
        page.as_is(laid_out(line))
        if row.check:
            page.add(f"CHECK [  ] {row.check}. Safe stop.", True, indent="  ", first="")
            page.as_is("-" * min(page.width, 78))


def _end(page: _Page, sheet: Sheet) -> None:
    page.heading("After cutting: measure, write down")
    page.boxes((f"{what}: expect {expect}. Found ________" for what, expect in sheet.after), "[ ] ")
    if sheet.filing:
        page.heading("File and blue")
        wide = 15 if page.width >= NARROW else 9
        titles = (
            ("blue shows", "still stands", "left to file", "time") if wide == 15 else ("blue", "stands", "left", "time")
        )
        for cells in (titles, *((*row, "______") for row in sheet.filing)):
            page.as_is("".join(cell.ljust(wide if k != 2 else wide + 2) for k, cell in enumerate(cells)))
    if sheet.mate:
        page.heading("The mate")
        page.add(sheet.mate)
    if sheet.remarks:
        page.heading("Remarks")
        page.boxes(sheet.remarks, "- ")
    page.heading("Care")
    page.boxes(sheet.cautions, "- ")
    page.heading("Next time")
    page.boxes(sheet.next_time or ("________",), "- ")


def _depth_at(line: Polyline, where: float) -> float:
    for (a, da), (b, db) in itertools.pairwise(line):
        if a <= where <= b:
            return da if b == a else da + (db - da) * (where - a) / (b - a)
    return line[-1][1]


def _stair(picture: Picture, width: int, height: int = 9) -> str:
    """Return the unrolled stair: blank is cut away, # is left above the wanted line, . is metal under it."""
    columns = max(20, min(width, 76))
    span, deepest = picture.wanted[-1][0], max(depth for _, depth in picture.wanted) or 1.0
    marks = [(c + 0.5) / columns * span for c in range(columns)]
    lines = [(_depth_at(picture.cut, where), _depth_at(picture.wanted, where)) for where in marks]
    rows = []
    for r in range(height):
        level = (r + 0.5) / height * deepest
        rows.append("".join(" " if level < cut else "#" if level < wanted else "." for cut, wanted in lines))
    return "\n".join(rows)
