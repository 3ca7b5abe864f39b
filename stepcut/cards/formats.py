"""The kinds of card, by the ending of their file: each is drawn from one card, and none does sums."""

from __future__ import annotations

import os
from typing import Literal, cast

from stepcut.acts import Card
from stepcut.errors import BadValue
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.voice import voice_of

KINDS = ("pdf", "png", "svg", "html", "csv", "json", "txt")
PIPED_WIDTH = 80
Paper = Literal["us-letter", "a4"]


def rendered(
    card: Card,
    kind: str,
    paper: str | None = None,
    width: int | None = None,
    unit: str | None = None,
    use: Use | None = None,
    errors: Errors | None = None,
) -> list[bytes]:
    """Return a card as the bytes of its files: one, or one for each page of a picture.

    Parameters
    ----------
    card : Card
        What to print.
    kind : str
        One of :data:`KINDS`.
    paper : str or None
        letter or a4; by the locale's country when None.
    width : int or None
        Columns of a text card.
    unit : str or None
        Unit of the words in a JSON card: in or mm; the machine's own when None.
    use : str or None
        What the part is for, by which it is judged: clamp, dog or lift.
    errors : Errors or None
        What a cut may be off; from the machine when None.
    """
    if kind == "json":
        from stepcut.cards import json_card

        return [json_card.render(card.plan, voice_of(card.plan.machine, unit), use, errors).encode()]
    from stepcut.cards.verdict_text import judged, of_plan

    card = judged(card, use, errors)
    if kind in ("pdf", "png", "svg"):
        from stepcut.cards.pdf import render

        return render(card, paper_of(paper), cast(Literal["pdf", "png", "svg"], kind))
    if kind == "html":
        from stepcut.cards import html

        return [html.render(card).encode()]
    if kind == "csv":
        from stepcut.cards import csv_card

        return [b"\xef\xbb\xbf" + csv_card.render(card).encode()]  # the mark makes spreadsheets read it as UTF-8
    if kind == "txt":
        from stepcut.cards.terminal import render as as_text

        columns = width or PIPED_WIDTH
        told = of_plan(card.plan, use, voice_of(card.plan.machine, card.unit), min(columns, 120), errors, card.acts)
        return [as_text(card, columns, told=told).encode()]
    raise BadValue("kind", kind, "is no kind of card that is known here", f"Use one of {', '.join(KINDS)}.")


def paper_of(text: str | None) -> Paper:
    """Return the paper that is asked for, or the one that the locale's country uses."""
    if text is not None:
        word = text.strip().lower()
        if word not in ("letter", "a4"):
            raise BadValue("paper", text, "is not one of the choices", "Use letter or a4.")
        return "us-letter" if word == "letter" else "a4"
    place = next((os.environ[name] for name in ("LC_ALL", "LC_PAPER", "LANG") if os.environ.get(name)), "")
    return "us-letter" if any(f"_{country}" in place for country in ("US", "CA", "MX", "PH", "CL", "CO")) else "a4"
