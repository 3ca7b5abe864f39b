"""The whole card as text: good at 80 columns, usable at 40, plain when piped, ASCII where nothing else prints."""

from __future__ import annotations

from textwrap import wrap

from stepcut.acts import Card, Change, Group, Line, Measure
from stepcut.cards.half_blocks import drawing, room
from stepcut.cards.page import Page
from stepcut.cards.page import plain as plain

Told = tuple[list[str], str]
NARROW = 60  # columns; below this turns and dials get no columns of their own
WIDE = 100  # columns; from here on the depth handle has columns too


def render(card: Card, width: int = 80, encoding: str = "utf-8", colour: bool = False, told: Told | None = None) -> str:
    """Return the card as text, everything of it.

    Parameters
    ----------
    card : Card
        What to print.
    width : int
        Columns, at least 32.
    encoding : str
        Of the output; characters that it lacks are replaced.
    colour : bool
        Whether bold and reversed print may be used.
    told : tuple or None
        The verdict: its first lines, and its last line; from the card when left out.
    """
    page = Page(max(32, min(width, 160)))
    told = told or told_by(card, page.width)
    head(page, card, told)
    page.add(f"part {card.part}, revision {card.revision or '-'}, date {card.date or '-'}")
    words = card.words
    note = (("Note", card.note),) if card.note else ()
    page.pairs((*words.head, ("Machine", card.machine_line), *words.desk, *note), 14 if page.width >= NARROW else 8)
    page.heading("Care")
    page.boxes(words.cautions, "- ")
    page.heading("Set up, once")
    for item in card.set_up:
        page.led(f"[ ] {item.n:>2} ", item.what, item.answer)
    drawn, shows = drawing(card.plan, *room(card.plan, page.width - 2))
    if drawn:
        page.heading(f"The part, {shows}")
        page.as_is("\n".join(drawn))
    cuts(page, card)
    _end(page, card)
    last(page, card, told)
    return plain(page.printed(colour), encoding)


def told_by(card: Card, width: int) -> Told:
    """Return the verdict of the card alone: whether it spoils the part."""
    if not card.verdict:
        return ["CUT IT"], "CUT IT"
    return wrap(f"DO NOT CUT. {card.verdict}", width, break_on_hyphens=False), "DO NOT CUT: said at the top"


def head(page: Page, card: Card, told: Told, most: int | None = None, titled: int | None = None) -> None:
    """Add the bar at the head with the verdict's word, the part in one line, and the reasons, as many lines of it as told."""
    first, final = told
    word = final.split(":")[0]
    right = f" {card.machine} · {card.unit_word} · {word} "
    if len(card.title) + len(right) + 2 <= page.width:
        page.bar(f" {card.title}", right, _style(word))
    else:  # nothing of a title is lost
        page.bar("", right if len(right) <= page.width else f" {word}", _style(word))
        page.lines += [(line, "bold") for line in wrap(card.title, page.width, break_on_hyphens=False)[:titled]]
    page.add(card.words.size, "bold")
    if first != [word]:
        page.lines += [(line[: page.width], "bold") for line in first[:most]]


def last(page: Page, card: Card, told: Told) -> None:
    """Add the last line, which says again whether to cut."""
    final = told[1]
    bar = f" {final}: {len(card.lines)} cuts" if final == "CUT IT" else f" {final}"
    page.bar(bar, "", _style(final.split(":")[0]))


def _style(word: str) -> str:
    """Return how a verdict is printed: always reversed, and red when the part would be spoilt."""
    return "bold reverse red" if word == "DO NOT CUT" else "bold reverse"


# --- the cuts ------------------------------------------------------------------------------------------------


def columns_of(card: Card, width: int, handle: bool | None = None) -> list[tuple[str, bool]]:
    """Return the columns that fit: title, and whether they stand to the right."""
    first, second = card.words.names
    handle = width >= WIDE if handle is None else handle
    found = [("no.", True)]
    lines = card.lines
    if any(line.start != lines[0].start for column in card.columns[:1] for line in column.lines):
        found.append(("of", True))
    if width >= NARROW and any(line.first.dial for line in lines):
        found += [("turns", True), ("dial", True)]
    found.append((first, True))
    found.append((second, True))
    if any(line.second.dial for line in lines):
        if handle:
            found.append((_turned(lines[0]), True))
        if handle or (width >= NARROW and _counts_back(card)):
            found.append(("its dial", True))
    return [*found, *((tick, False) for tick in card.words.ticks)]


def _counts_back(card: Card) -> bool:
    """Whether the second handle's dial falls while its reading grows, so that nobody can read it off the position."""
    return card.plan.second.backward(card.plan.axes[1] in ("depth", "z"))


def _turned(line: Line) -> str:
    """Return the title over the turns of the second handle: a name of its own, whatever its owner calls the handle."""
    return f"{line.second.handle} turns"


def cells_of(line: Line, titles: list[str], card: Card) -> list[str]:
    """Return the cells of a line, in the order of the titles."""
    first, second = card.words.names
    known = {
        "no.": str(line.n), "of": str(line.start), "turns": line.first.turns.replace(" turns", "").replace(" turn", ""),
        "dial": line.first.dial, first: line.first.reads.text, second: line.second.reads.text,
        _turned(line): line.second.turns, "its dial": line.second.dial,
    }  # fmt: skip
    return [known.get(title, "[  ]") if title not in card.words.ticks else "[  ]" for title in titles]


def cuts(page: Page, card: Card) -> None:
    """Add the cycle, said once, and the lines in their groups."""
    page.heading(f"{len(card.lines)} cuts")
    page.add(" > ".join(card.cycle), first="EACH CUT: ", indent="  ")
    page.add(card.overshot, indent="  ", first="")
    titled = columns_of(card, page.width)
    titles = [title for title, _ in titled]
    cells = {line.n: cells_of(line, titles, card) for line in card.lines}
    widths = [max(len(title), *(len(line[k]) for line in cells.values())) for k, title in enumerate(titles)]
    gap = "  " if page.width >= NARROW else " "

    def laid_out(line: list[str]) -> str:
        sides = zip(line, titled, widths, strict=True)
        return gap.join(cell.rjust(wide) if right else cell.ljust(wide) for cell, (_, right), wide in sides)

    for column in card.columns:
        for k, group in enumerate(column.groups):
            if group.change:
                change_bar(page, group.change)
            if k == 0:
                page.add(f"{column.title}, {column.starts}{'; ' if column.alike else ''}{column.alike}", "bold")
                page.as_is(laid_out(titles), "bold")
            _group(page, group, lambda line: laid_out(cells[line.n]))


def change_bar(page: Page, change: Change) -> None:
    """Add the bar that stands before a change: how to get clear, and what comes then."""
    page.bar(f" {change.clear}, THEN {change.title}", "", "bold reverse" if change.black else "bold")
    page.add(change.text, indent="  ", first="  [ ] ")


def _group(page: Page, group: Group, laid_out: object) -> None:
    assert callable(laid_out)  # noqa: S101  # a function of a line; spelt so for the type checker's sake
    for line in group.lines:
        if line.note:
            page.add(
                f"{line.n}: {line.note}", indent="     "
            )  # it stands above its line: the number says that it is no part of the one before
        page.as_is(laid_out(line))
    closes = f" Ends {group.check.closes}." if group.check.closes else ""
    page.add(f"CHECK [  ] {group.check.told}.{closes} May pause here.", "bold", indent="  ", first="")
    page.as_is("-" * min(page.width, 78))


# --- the end -------------------------------------------------------------------------------------------------


def _end(page: Page, card: Card) -> None:
    page.heading("After the last cut: measure, write down")
    for item in card.after:
        _cut_last(page, item)
        page.led("[ ] ", item.what, f"{item.expect}  found ______")
    if card.filing:
        _filing(page, card)
    if card.words.mate:
        page.heading("The mate")
        page.add(card.words.mate)
    if card.remarks:
        page.heading("Remarks")
        page.boxes(card.remarks, "- ")
    page.heading("When something is wrong")
    page.boxes((card.off, card.too_deep, card.lost), "- ")
    page.heading("Next time")
    page.boxes(card.next_time or ("________",), "- ")


def _cut_last(page: Page, item: Measure) -> None:
    """Add what is cut for a measure with another cutter: the change, what is alike, and a box for each place."""
    if item.change is None:
        return
    change_bar(page, item.change)
    page.add(item.how, indent="  ")
    for place in item.places:
        move = place.first
        turned = f"{move.turns}{f', to {move.dial}' if move.dial else ''}"
        page.add(f"{move.reads.label} {move.reads.text}  ({turned})", first="  [ ] ")


def _filing(page: Page, card: Card) -> None:
    page.heading("File and blue")
    wide = 15 if page.width >= NARROW else 9
    full = ("blue shows", "still stands", "left to file", "time")
    titles = full if wide == 15 else ("blue", "stands", "left", "time")
    for cells in (titles, *((*row, "______") for row in card.filing)):
        page.as_is("".join(cell.ljust(wide if k != 2 else wide + 2) for k, cell in enumerate(cells)))
