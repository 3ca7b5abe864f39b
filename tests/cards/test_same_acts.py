"""Every kind of card shows the same acts in the same order: cuts, checks and changes are read out of each and compared."""

from __future__ import annotations

import csv
import io
import json
import re
from functools import cache
from html import unescape

import pytest

from stepcut import recipes
from stepcut.acts import Card
from stepcut.cards import csv_card, html, pdf, terminal
from stepcut.cli import show
from stepcut.cli.ticking import words_of
from stepcut.log.steps import steps
from tests.cards.seen_acts import Seen, from_acts, in_json, on_paper
from tests.conftest import Run
from tests.shops import each_kind, thinned

EXAMPLES = each_kind()


@cache
def whole(name: str) -> Card:
    return show.whole(recipes.job(recipes.load(name)), "2026-01-01")


@cache
def told(name: str) -> Seen:
    return in_json(whole(name))


PAGES: dict[int, tuple[Card, str]] = {}  # by the card's identity, with the card, so that no other one takes its place


def web_page(card: Card) -> str:
    if id(card) not in PAGES:
        PAGES[id(card)] = (card, html.render(card))
    return PAGES[id(card)][1]


def in_csv(card: Card) -> Seen:
    rows = list(csv.reader(io.StringIO(csv_card.render(card))))
    begin = next(k for k, row in enumerate(rows) if row[0] == "no.")
    return from_acts([(row[1], row[2], row[8]) for row in rows[begin + 1 :]])


def in_terminal(card: Card) -> Seen:
    seen: Seen = []
    for line in terminal.render(card, 100).splitlines():
        if line.count("[  ]") == 2:
            seen.append(("cut", line.split()[0]))
        elif line.startswith("CHECK"):
            seen.append(("check", seen[-1][1]))
        elif found := re.search(r", THEN (.*\S)", line):
            seen.append(("change", found[1]))
        elif found := re.match(r"  \[ \] rim (\S+)", line):
            seen.append(("last", found[1]))
    return seen


def in_page(card: Card) -> Seen:
    """What the page's list shows, which is all that there is where scripts do not run."""
    seen: Seen = []
    for kind, cut, what, read in re.findall(
        r'<tr [^>]*data-kind="(\w+)"(?: data-cut="(\d+)")?>.*?(?:, THEN ([^:]*):|(?:class="read">([^<]*)</td>)?</tr>)',
        web_page(card),
    ):
        seen.append((kind, what or (unescape(read) if kind == "last" else cut)))
    return seen


def on_phone(card: Card) -> Seen:
    """What its screens show one after the other."""
    texts = {act.n: (act.kind, act.stop, act.text) for act in card.acts}
    found = json.loads(re.findall(r'<script type="application/json" id="data">(.*?)</script>', web_page(card))[0])
    return from_acts([texts[n] for screen in found["screens"] for n in screen["acts"]])


@pytest.mark.parametrize("read", [in_csv, in_terminal, in_page, on_phone])
@pytest.mark.parametrize("name", thinned(EXAMPLES))
def test_a_card_shows_the_acts_that_json_has(name: str, read: object) -> None:
    assert callable(read)
    assert len([kind for kind, _ in told(name) if kind == "cut"]) == len(whole(name).plan.stops)
    assert read(whole(name)) == told(name)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_steps_of_tick_are_all_acts_in_order_each_under_a_tick_of_its_own(name: str) -> None:
    card = whole(name)
    ticked = steps(card)
    assert [act for step in ticked for act in step.screen.acts] == list(card.acts)
    assert len({step.key for step in ticked}) == len(ticked)
    assert [step.n for step in ticked if step.what == "cut"] == [stop.n for stop in card.plan.stops]
    for step in ticked:
        assert step.screen.black == any(act.confirm for act in step.screen.acts)
        assert all(act.stop in (None, step.n) for act in step.screen.acts)


def test_tick_line_by_line_shows_the_acts_in_order(run: Run) -> None:
    card = show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01")
    out = run("tick", "sluice-clamp-ramp", "--lines", input="\n" * (2 * len(card.screens)) + "q\n").stdout
    seen = [line for line in out.splitlines() if " | " in line]
    shown = [line for k, line in enumerate(seen) if k == 0 or line != seen[k - 1]]  # a black one is asked twice
    assert [line.split(" | ")[0] for line in shown] == [screen.place for screen in card.screens]
    assert all(words_of(screen) in line for screen, line in zip(card.screens, shown, strict=True))


def test_what_is_cut_last_stands_on_every_card_place_by_place() -> None:
    """Two seats for pins, each with a cutter of its own: a change and two places each, between the last check and its measure."""
    sizes = {"outside": "60mm", "bore": "46mm", "rise": "3mm", "span": "40deg", "ramps": "2", "cutter": "12mm", "step": "10deg", "leave": "0mm",
             "seat-low": "8mm", "seat-high": "5mm", "seat-depth": "0.6mm"}  # fmt: skip
    made = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": sizes}))
    card = show.whole(made, "2026-01-01")
    expected = in_json(card)
    assert expected[-6:] == [
        ("change", "SEAT, high end"), ("last", "0°"), ("last", "180°"), ("change", "SEAT, low end"), ("last", "40°"), ("last", "220°"),
    ]  # fmt: skip
    for read in (in_csv, in_terminal, in_page, on_phone):
        assert read(card) == expected
    assert on_paper(card, pdf.render(card, "us-letter")[0]) == expected
    ticked = steps(card)
    assert len({step.key for step in ticked}) == len(ticked)
    # A change, then for each place: turn and lock, set and feed, clear; a measure behind them.
    closing = [step.what for step in ticked if step.ends]
    assert closing == [
        *(f"last-{k}" for k in range(1, 8)),
        "measured",
        *(f"last-{k}" for k in range(1, 8)),
        "measured",
        "measured",
        "measured",
    ]
    assert all(len(step.screen.acts) <= 2 for step in ticked if step.ends)
