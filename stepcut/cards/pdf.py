"""The card on paper: PDF, PNG and SVG, set by typst from a constant template and the card as data.

Only the fonts inside typst are used, so that the same card is the same file on every machine: DejaVu Sans Mono, whose
digits cannot be mistaken and which has Latin, Greek and Cyrillic letters.  A character that it lacks is printed as its
code, such as [U+6C34], so that nothing vanishes; a title that has such codes stands behind part and revision.
"""

from __future__ import annotations

import datetime as dt
import json
import re
import unicodedata
from importlib.resources import as_file
from importlib.resources import files as resources
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from stepcut.acts import Card, Measure
from stepcut.cards.drawing import file_map, part
from stepcut.cards.paper_table import short_turns, table
from stepcut.cards.svg import ADVANCE, Drawing

if TYPE_CHECKING:
    from typst import Compiler

Paper = Literal["us-letter", "a4"]
Format = Literal["pdf", "png", "svg"]

# Blocks of letters and signs that DejaVu Sans Mono has whole; others are printed as codes.
_HAS = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x386, 0x3CE),
    (0x400, 0x45F),
    (0x2010, 0x2027),
    (0x2030, 0x203A),
    (0x2153, 0x215E),
    (0x2190, 0x2193),
)
_ALSO = frozenset("€²³×·−≈≤≥≠∅²³½¼¾″′")
SHEETS: dict[Paper, tuple[float, float]] = {"us-letter": (215.9, 279.4), "a4": (210.0, 297.0)}  # mm
LEFT, RIGHT = 16.0, 7.0  # mm of margin; the left one to hold the sheet by
_FULL = 0.5  # of the last sheet, before its sketch
# mm round a line, and whether the last sheet is set apart
_WAYS = ((1.1, False), (0.7, False), (1.9, False), (1.1, True), (0.7, True), (2.8, False))
LONG_JOB = (
    4  # sheets from which a wide table is tried on sheets held across, which saves one there and none in shorter jobs
)
_LONG = 24  # letters without a space that always fit where text goes


def printable(text: str) -> str:
    """Return text in characters that the card's font has; others as their codes.

    Examples
    --------
    >>> printable("Шлюз 水"), printable("plain")
    ('Шлюз [U+6C34]', 'plain')
    """
    return "".join(c if _has(c) else f"[U+{ord(c):04X}]" for c in unicodedata.normalize("NFC", text))


def lacking(text: str) -> str:
    """Return the characters of a text that the card's font lacks, each once.

    Examples
    --------
    >>> lacking("Шлюз 水水门"), lacking("plain")
    ('水门', '')
    """
    return "".join(dict.fromkeys(c for c in unicodedata.normalize("NFC", text) if not _has(c)))


def _has(character: str) -> bool:
    code = ord(character)
    known = any(low <= code <= high for low, high in _HAS) and unicodedata.category(character) not in ("Cn", "Cf", "Cc")
    return known or character in _ALSO


def breakable(text: str) -> str:
    """Return text in which a word that is longer than a line may be broken: before a code, else every few letters."""
    return re.sub(rf"\S{{{_LONG},}}", lambda word: "\u200b".join(re.findall(r"\[U\+[0-9A-F]+\]|.{1,8}", word[0])), text)


def _clean(value: Any) -> Any:
    if isinstance(value, str):
        return breakable(printable(value))
    if isinstance(value, list | tuple):
        return [_clean(item) for item in value]
    if isinstance(value, dict):
        return {key: _clean(item) for key, item in value.items()}
    return value


def _drawing(drawing: Drawing | None) -> dict[str, Any] | None:
    if drawing is None:
        return None
    return {"svg": drawing.svg, "width": drawing.width, "says": drawing.says}


def _title(card: Card, room: float) -> dict[str, Any]:
    """Return the title and the size at which it stands on the sheet: one or two lines, then ever smaller."""
    shown = printable(card.title)
    coded = bool(lacking(card.title))
    wide = len(f"{shown} {card.part} {card.word} {card.unit_word}") * ADVANCE * 0.3528
    size = next((size for size, lines in ((19, 1), (16, 2), (12, 3)) if wide * size <= room * lines * 0.94), 9)
    lead = f"{card.part} · {card.revision}" if coded else ""
    return {"title": shown, "size": size, "lead": lead, "running": shown if len(shown) <= 44 else f"{shown[:43]}…"}


def _measure(item: Measure) -> dict[str, Any]:
    """Return a thing to measure, with what is cut for it before: the bar of the change, what is alike, the places."""
    change = item.change
    return {
        "what": item.what,
        "expect": item.expect,
        "bar": f"{change.clear}, THEN {change.title}" if change else "",
        "says": f"{change.text} {item.how}" if change else "",
        "places": [[short_turns(p.first.turns), p.first.dial, p.first.reads.text] for p in item.places],
    }


def content(card: Card, paper: Paper, across: bool = False) -> dict[str, Any]:
    """Return the card as the template's data, for a sheet held upright or across."""
    width, height = sorted(SHEETS[paper], reverse=across)
    words, room = card.words, width - LEFT - RIGHT
    size = "; ".join(part for part in (words.size, card.note) if part)
    texts = {
        "head": _title(card, room),
        "part": card.part,
        "revision": card.revision,
        "date": card.date,
        "unit": card.unit_word,
        "size": size,
        "machine": card.machine_line,
        "verdict": card.verdict,
        "word": card.word,
        "judged": card.judged,
        "last": card.last_word,
        "cautions": words.cautions,
        "setup": [(item.what, item.answer) for item in card.set_up],
        "cycle": card.cycle,
        "facts": words.head,
        "desk": words.desk,
        "trouble": [card.overshot, card.off, card.too_deep, card.lost],
        "after": [_measure(item) for item in card.after],
        "filing": card.filing,
        "mate": words.mate,
        "remarks": card.remarks,
        "next": card.next_time,
        "table": table(card, room),
    }
    return {
        **_clean(texts),
        "width": width,
        "height": height,
        "count": len(card.lines),
        "drawing": _drawing(part(card.plan)),
        "map": _drawing(file_map(card.plan, card.unit)),
    }


def render(card: Card, paper: Paper = "a4", kind: Format = "pdf", ppi: float = 144.0) -> list[bytes]:
    """Return the card as files: one PDF, or one PNG or SVG for each page.

    Parameters
    ----------
    card : Card
        What to print and draw.
    paper : str
        us-letter or a4.
    kind : str
        pdf, png or svg.
    ppi : float
        Dots to the inch of a PNG.
    """
    day = dt.date.fromisoformat(card.date) if _is_date(card.date) else dt.date(2000, 1, 1)
    with as_file(resources("stepcut") / "cards" / "card.typ") as template:
        laid_out = _best(card, paper, template)
        found: Any = laid_out.compile(format=kind, ppi=ppi, timestamp=dt.datetime.combine(day, dt.time(), dt.UTC))
    pages = found if isinstance(found, list) else [found]
    return [bytes(page) for page in pages if page is not None]


def _best(card: Card, paper: Paper, template: Path) -> Compiler:
    """Return the card laid out on sheets held upright; or across, where two columns of a wide table stand side by side only so and save a sheet."""
    upright = content(card, paper)
    count, laid_out = _laid_out(upright, template)
    # Under the reasons to look again a sheet held across has no room left for cuts, and stands half empty.
    if count >= LONG_JOB and not card.judged and upright["table"] and not upright["table"]["narrow"]:
        across = content(card, paper, across=True)
        if across["table"]["narrow"]:
            fewer, other = _laid_out(across, template)
            return other if fewer < count else laid_out
    return laid_out


def _laid_out(data: dict[str, Any], template: Path) -> tuple[int, Compiler]:
    """Return the number of sheets and the compiler that has laid the card out in the way in which its last sheets are best; it has no more to do than write.

    What follows the cuts flows on behind them; where that would leave the last sheet mostly empty, everything is set
    closer if that saves the sheet, and else the work after cutting gets a sheet of its own.
    """
    import typst

    tried: list[tuple[int, float, Compiler]] = []
    for gap, apart in _WAYS:
        inputs = {"data": json.dumps({**data, "gap": gap, "apart": apart}, ensure_ascii=False)}
        way = typst.Compiler(template, root=template.parent, ignore_system_fonts=True, sys_inputs=inputs)
        count, share = _ends(way)
        if (count == 1 or share >= _FULL) and all(count <= other for other, *_ in tried):
            return count, way
        tried.append((count, -share, way))
    count, _, way = min(tried, key=lambda each: each[:2])
    return count, way


def _ends(way: Compiler) -> tuple[int, float]:
    """Return on which sheet the content ends, and how much of that sheet it takes, without sketch and lines for notes.

    Where the last sheet is set apart, the sheet before it counts too when it is the emptier one.
    """
    told = way.query("<ends>", field="value")
    marks = {mark["what"]: mark for mark in json.loads(told)}
    end, notes, side = marks["all"], marks.get("notes"), marks.get("side")
    shares = [_share(end, notes if notes and notes["page"] == end["page"] else None)]
    if side:
        shares.append(_share(side, None) - (1 - _FULL) / 3)  # it has no sketch that fills it
    return end["page"], min(shares)


def _share(end: dict[str, Any], notes: dict[str, Any] | None) -> float:
    """Return how much of a sheet is taken by what ends at a mark, when lines for notes begin at another in its left half."""
    down: float = (end["y"] - end["top"]) / end["room"]
    left: float = (notes["y"] - end["top"]) / end["room"] if notes else 1.0
    return (down if end["left"] else left + down) / 2


def _is_date(text: str) -> bool:
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True
