"""The first screen of a card on a terminal: what matters, in 24 lines; the verdict first and last."""

from __future__ import annotations

from textwrap import wrap

from stepcut.acts import Card, Column
from stepcut.cards.half_blocks import drawing
from stepcut.cards.page import Page, leaders, plain
from stepcut.cards.terminal import NARROW, Told, cells_of, columns_of, head, last, told_by

LINES = 24
PICTURE = 26  # columns of the drawing, with the gap beside it


def render(card: Card, width: int = 80, encoding: str = "utf-8", colour: bool = False, told: Told | None = None) -> str:
    """Return at most 24 lines, the last of which leaves room for the prompt."""
    page = Page(max(32, min(width, 120)))
    told = told or told_by(card, page.width)
    head(page, card, told, most=5, titled=2)
    first_cuts = [] if card.verdict else _first_cuts(card, page.width)  # what must not be cut is not shown to be cut
    desk = [line for label, text in card.words.desk for line in wrap(f"{label.lower()} {text}", page.width)[:1]][:3]
    room = LINES - 1 - len(page.lines) - len(first_cuts) - len(desk) - 2
    _set_up(page, card, max(3, room))
    for text, style in first_cuts:
        page.as_is(text, style)
    for text in desk:
        page.as_is(text)
    more = f"{len(card.lines)} cuts. --all prints everything, --out card.pdf makes the sheet, tick begins."
    page.as_is(more[: page.width])
    page.lines = page.lines[: LINES - 2]
    last(page, card, told)
    return plain(page.printed(colour), encoding)


def _set_up(page: Page, card: Card, room: int) -> None:
    """Add the drawing with the set-up beside it, or the set-up alone where there is no room."""
    drawn, _ = drawing(card.plan, PICTURE - 4, min(room, 12)) if page.width >= NARROW + 10 else ([], "")
    beside = PICTURE if drawn else 0
    lines: list[str] = []
    for item in card.set_up:  # whole ones only, as many as there is room for
        found = leaders(_short(item.what), item.answer, page.width - beside)
        if len(lines) + len(found) > room:
            break
        lines += found
    left = drawn + [""] * (len(lines) - len(drawn))
    for k in range(min(room, max(len(left), len(lines)))):
        right = lines[k] if k < len(lines) else ""
        page.as_is(f"{left[k][:beside]:<{beside}}{right}" or " ")


def _short(what: str) -> str:
    """Return the first clause of what is to be done: the whole stands on the card."""
    return what.split("; ")[0].split(", spindle")[0].split(", come up")[0]


def _first_cuts(card: Card, width: int) -> list[tuple[str, str]]:
    """Return the first five lines of the first columns, side by side when they are alike and there is room."""
    if not card.columns:
        return []
    half = width // 2 - 1
    # Two columns only where no number and no box is cut off: between row and boxes one blank is enough.
    two = (
        card.side_by_side
        and width >= 76
        and all(len(row) <= half + 1 for column in card.columns[:2] for row in _block(card, column, width)[1:])
    )
    shown = card.columns[:2] if two else card.columns[:1]
    blocks = [_block(card, column, half if two else width) for column in shown]
    rows = []
    for k in range(max(len(block) for block in blocks)):
        cells = [block[k] if k < len(block) else "" for block in blocks]
        rows.append((f"{cells[0]:<{half}}  {cells[1]}" if two else cells[0], "bold" if k < 2 else ""))
    return rows


def _block(card: Card, column: Column, width: int) -> list[str]:
    ticks = card.words.ticks
    titles = [title for title, _ in columns_of(card, NARROW if width >= 36 else 0, handle=False) if title not in ticks]
    lines = column.groups[0].lines[:5]
    cells = [cells_of(line, titles, card) for line in lines]
    widths = [max(len(title), *(len(line[k]) for line in cells)) for k, title in enumerate(titles)]
    change = column.groups[0].change
    bar = f"{change.clear}, THEN {column.title}" if change else f"{column.title}, {column.starts}"
    rows = [" ".join(cell.rjust(wide) for cell, wide in zip(row, widths, strict=True)) for row in (titles, *cells)]
    heads = [f"{ticks[0]} {ticks[1]}", *("[ ] [ ]" for _ in cells)]
    gap = "  " if len(rows[0]) + 2 + len(heads[0]) <= width else " "
    return [bar[:width], *(f"{row}{gap}{head}"[:width] for row, head in zip(rows, heads, strict=True))]
