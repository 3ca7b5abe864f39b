"""The card on paper: PDF, PNG and SVG, set by typst from a constant template and the sheet as data.

Only the fonts inside typst are used, so that the same card is the same file on every machine: DejaVu Sans Mono, whose
digits cannot be mistaken and which has Latin, Greek and Cyrillic letters.  A character that it lacks is printed as its
code, such as [U+6C34], so that nothing vanishes.
"""

from __future__ import annotations

import datetime as dt
import json
import unicodedata
from importlib.resources import files as resources
from typing import Any, Literal

from stepcut.cards.drawing import drawings
from stepcut.cards.sheet import Row, Sheet
from stepcut.plan import Plan

Paper = Literal["us-letter", "a4"]
Format = Literal["pdf", "png", "svg"]

FONTS = "DejaVu Sans Mono"
# Blocks of letters and signs that DejaVu Sans Mono has whole; others are printed as codes.
_HAS = (
    (0x20, 0x7E),
    (0xA0, 0x17F),
    (0x386, 0x3CE),
    (0x400, 0x45F),
    (0x2010, 0x2027),
    (0x2030, 0x203A),
    (0x2190, 0x2193),
)
_ALSO = frozenset("€²³×·−≈≤≥≠∅²³½¼¾″′")


def printable(text: str) -> str:
    """Return text in characters that the card's font has; others as their codes.

    Examples
    --------
    >>> printable("Шлюз 水"), printable("plain")
    ('Шлюз [U+6C34]', 'plain')
    """
    return "".join(c if _has(c) else f"[U+{ord(c):04X}]" for c in unicodedata.normalize("NFC", text))


def _has(character: str) -> bool:
    code = ord(character)
    known = any(low <= code <= high for low, high in _HAS) and unicodedata.category(character) not in ("Cn", "Cf", "Cc")
    return known or character in _ALSO


def _clean(value: Any) -> Any:
    if isinstance(value, str):
        return printable(value)
    if isinstance(value, list | tuple):
        return [_clean(item) for item in value]
    return value


def _row(row: Row) -> dict[str, Any]:
    names = ("n", "start", "first", "crank", "second", "change", "check", "note")
    return {name: _clean(getattr(row, name)) for name in names}


def content(sheet: Sheet, plan: Plan, paper: Paper) -> dict[str, Any]:
    """Return the sheet as the template's data: rows in the groups that a check line closes."""
    groups: list[list[dict[str, Any]]] = [[]]
    for row in sheet.rows:
        groups[-1].append(_row(row))
        if row.check:
            groups.append([])
    names = (
        "title",
        "part",
        "revision",
        "date",
        "verdict",
        "facts",
        "zero",
        "before",
        "titles",
        "ticks",
        "after",
        "filing",
    )
    more = ("remarks", "cautions", "next_time", "mate")
    return {
        **{name: _clean(getattr(sheet, name)) for name in (*names, *more)},
        "paper": paper,
        "drawings": list(drawings(plan)),
        "groups": [group for group in groups if group],
        "count": len(sheet.rows),
        "many": len({row.start for row in sheet.rows}) > 1,
    }


def render(sheet: Sheet, plan: Plan, paper: Paper = "a4", kind: Format = "pdf") -> list[bytes]:
    """Return the card as files: one PDF, or one PNG or SVG for each page.

    Parameters
    ----------
    sheet, plan : Sheet, Plan
        What to print and draw.
    paper : str
        us-letter or a4.
    kind : str
        pdf, png or svg.
    """
    import typst

    template = (resources("stepcut") / "cards" / "card.typ").read_bytes()
    day = dt.date.fromisoformat(sheet.date) if _is_date(sheet.date) else dt.date(2000, 1, 1)
    found: Any = typst.compile(
        template,
        format=kind,
        ppi=144.0,
        sys_inputs={"data": json.dumps(content(sheet, plan, paper), ensure_ascii=False)},
        ignore_system_fonts=True,
        timestamp=dt.datetime.combine(day, dt.time(), dt.UTC),
    )
    pages = found if isinstance(found, list) else [found]
    return [bytes(page) for page in pages if page is not None]


def _is_date(text: str) -> bool:
    try:
        dt.date.fromisoformat(text)
    except ValueError:
        return False
    return True
