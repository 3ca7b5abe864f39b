"""The sheets of the examples, laid out once for every test that looks at them, and the lines on them."""

from __future__ import annotations

import re
from functools import cache

import pytest

from stepcut import recipes
from stepcut.acts import Card
from stepcut.cards import pdf
from stepcut.cards.verdict_text import judged
from stepcut.cli import show
from tests import pages

PAPERS: list[pdf.Paper] = ["a4", "us-letter"]
BOTH = ["us-letter", pytest.param("a4", marks=pytest.mark.long)]
ACROSS = 60  # points: the letters of DO NOT CUT across a sheet


def one(name: str, **sets: str) -> Card:
    return show.whole(recipes.job(recipes.load(name).resized(sets)), "2026-01-01")


def printed(card: Card, paper: pdf.Paper = "us-letter") -> list[pages.Page]:
    (content,) = pdf.render(card, paper)
    return pages.pages(content)


@cache
def shipped(name: str, paper: pdf.Paper) -> tuple[Card, bytes]:
    """An example recipe's card and its PDF."""
    card = judged(one(name))
    return card, pdf.render(card, paper)[0]


def rows(page: pages.Page) -> list[tuple[pages.Word, str, str]]:
    """Every number of 11 points that has two readings right of it on its line, with them; two lines may stand side by side."""
    big = [word for word in page.words if 19 < word.size < ACROSS and re.match(r"-?\d", word.text)]
    numbers = [word for word in page.words if abs(word.size - 11) < 0.1 and re.fullmatch(r"\d+", word.text)]
    half = page.width / 2
    halves = any(word.left < half < word.right for word in big) is False and any(word.left > half for word in numbers)
    found = []
    for number in numbers:
        end = half if halves and number.left < half else page.width
        row = [w for w in big if abs(w.middle - number.middle) < 5 and number.left < w.left < end]
        if len(row) == 2:
            first, second = sorted(row, key=lambda word: word.left)
            found.append((number, first.text, second.text))
    return found
