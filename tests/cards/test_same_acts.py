"""Every kind of card shows the same acts in the same order: cuts, checks and changes are read out of each and compared."""

from __future__ import annotations

import csv
import io
import json
import re

import pytest

from stepcut import recipes
from stepcut.acts import Card
from stepcut.cards import csv_card, html, json_card, terminal
from stepcut.cli import show
from stepcut.voice import voice_of

Seen = list[tuple[str, str]]
EXAMPLES = [path.stem for path in recipes.shipped()]


def in_json(card: Card) -> Seen:
    """(cut, number), (check, number) and (change, what comes), in the order of the acts."""
    found = json.loads(json_card.render(card.plan, voice_of(card.plan.machine, card.unit)))["acts"]
    return _from_acts([(act["act"], act["stop"], act["text"]) for act in found])


def in_csv(card: Card) -> Seen:
    rows = list(csv.reader(io.StringIO(csv_card.render(card))))
    begin = next(k for k, row in enumerate(rows) if row[0] == "no.")
    return _from_acts([(row[1], row[2], row[8]) for row in rows[begin + 1 :]])


def _from_acts(acts: list[tuple[str, object, str]]) -> Seen:
    seen: Seen = []
    for act, stop, text in acts:
        if act == "cut" and ("cut", str(stop)) not in seen[-1:]:
            seen.append(("cut", str(stop)))
        elif act == "check":
            seen.append(("check", str(stop)))
        elif act == "change":
            seen.append(("change", text.split(":")[0]))
    return seen


def in_terminal(card: Card) -> Seen:
    seen: Seen = []
    for line in terminal.render(card, 100).splitlines():
        if line.count("[  ]") == 2:
            seen.append(("cut", line.split()[0]))
        elif line.startswith("CHECK"):
            seen.append(("check", seen[-1][1]))
        elif found := re.search(r", THEN (.*\S)", line):
            seen.append(("change", found[1]))
    return seen


def in_page(card: Card) -> Seen:
    """What the page's list shows, which is all that there is where scripts do not run."""
    seen: Seen = []
    for kind, cut, what in re.findall(
        r'<tr [^>]*data-kind="(\w+)"(?: data-cut="(\d+)")?>.*?(?:, THEN ([^:]*):|</tr>)', html.render(card)
    ):
        seen.append((kind, what if kind == "change" else cut))
    return seen


def on_phone(card: Card) -> Seen:
    """What its screens show one after the other."""
    texts = {act.n: (act.kind, act.stop, act.text) for act in card.acts}
    found = json.loads(re.findall(r'<script type="application/json" id="data">(.*?)</script>', html.render(card))[0])
    return _from_acts([texts[n] for screen in found["screens"] for n in screen["acts"]])


@pytest.mark.parametrize("read", [in_csv, in_terminal, in_page, on_phone])
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_card_shows_the_acts_that_json_has(name: str, read: object) -> None:
    card = show.whole(recipes.job(recipes.load(name)), "2026-01-01")
    assert callable(read)
    expected = in_json(card)
    assert len([kind for kind, _ in expected if kind == "cut"]) == len(card.plan.stops)
    assert read(card) == expected
