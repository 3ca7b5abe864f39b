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
from stepcut.cards import csv_card, html, json_card, pdf, terminal
from stepcut.cli import show
from stepcut.cli.ticking import words_of
from stepcut.log.steps import steps
from stepcut.voice import voice_of
from tests import pages
from tests.cards.sheets import BOTH, rows, shipped
from tests.conftest import Run

Seen = list[tuple[str, str]]
EXAMPLES = [path.stem for path in recipes.shipped()]


@cache
def whole(name: str) -> Card:
    return show.whole(recipes.job(recipes.load(name)), "2026-01-01")


def in_json(card: Card) -> Seen:
    """(cut, number), (check, number), (change, what comes) and (last, rim) of what is cut after the plan, in the order of the acts."""
    found = json.loads(json_card.render(card.plan, voice_of(card.plan.machine, card.unit)))["acts"]
    return _from_acts([(act["act"], act["stop"], act["text"]) for act in found])


def in_csv(card: Card) -> Seen:
    rows = list(csv.reader(io.StringIO(csv_card.render(card))))
    begin = next(k for k, row in enumerate(rows) if row[0] == "no.")
    return _from_acts([(row[1], row[2], row[8]) for row in rows[begin + 1 :]])


def _from_acts(acts: list[tuple[str, object, str]]) -> Seen:
    seen: Seen = []
    for act, stop, text in acts:
        if (
            act == "cut" and stop and ("cut", str(stop)) not in seen[-1:]
        ):  # what is cut after the last of the plan has no number
            seen.append(("cut", str(stop)))
        elif act == "check":
            seen.append(("check", str(stop)))
        elif act == "change":
            seen.append(("change", text.split(":")[0]))
        elif act == "turn" and not stop:
            seen.append(("last", re.split(r"rim (?:then )?reads ", text)[1].rstrip(".")))
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
        elif found := re.match(r"  \[ \] rim (\S+)", line):
            seen.append(("last", found[1]))
    return seen


def in_page(card: Card) -> Seen:
    """What the page's list shows, which is all that there is where scripts do not run."""
    seen: Seen = []
    for kind, cut, what, read in re.findall(
        r'<tr [^>]*data-kind="(\w+)"(?: data-cut="(\d+)")?>.*?(?:, THEN ([^:]*):|(?:class="read">([^<]*)</td>)?</tr>)',
        html.render(card),
    ):
        seen.append((kind, what or (unescape(read) if kind == "last" else cut)))
    return seen


def on_phone(card: Card) -> Seen:
    """What its screens show one after the other."""
    texts = {act.n: (act.kind, act.stop, act.text) for act in card.acts}
    found = json.loads(re.findall(r'<script type="application/json" id="data">(.*?)</script>', html.render(card))[0])
    return _from_acts([texts[n] for screen in found["screens"] for n in screen["acts"]])


def on_paper(card: Card, content: bytes) -> Seen:
    """What its sheets show, read down each column; where ramps stand side by side, two and two, each goes on from sheet to sheet."""
    found: list[tuple[tuple[float, ...], tuple[str, str]]] = []
    read = pages.pages(content)
    rights = [int(word.text) for page in read for word, _, _ in rows(page) if word.left > page.width / 2]
    beside = card.side_by_side and rights[:1] == [card.columns[1].lines[0].n]
    pairs = {str(line.n): k // 2 for k, column in enumerate(card.columns) for line in column.lines}
    after = [("change", item.change.title) for item in card.after if item.change]
    pairs |= {column.title: k // 2 for k, column in enumerate(card.columns)}
    for n, page in enumerate(read):
        numbers = [(number, ("cut", number.text)) for number, _, _ in rows(page)]
        halves = any(word.left > page.width / 2 for word, _ in numbers)
        words = page.words
        checks = [
            (word, ("check", words[k + 2].text.rstrip(":")))
            for k, word in enumerate(words[:-2])
            if word.text == "CHECK" and words[k + 1].text == "after"
        ]
        changes = [(word, ("change", _bar(page, k, halves))) for k, word in enumerate(words) if word.text == "THEN"]
        lasts = [(word, ("last", word.text)) for word in _places(page, card)]
        for word, seen in [*numbers, *checks, *changes, *lasts]:
            if seen[0] == "last" or seen in after:  # after all cuts, in the half of a sheet that the measures stand in
                found.append(((1, n, int(word.left > page.width / 2), word.middle), seen))
                continue
            half = int(halves and word.left > page.width / 2)
            pair = pairs[seen[1]] if beside else 0  # two ramps stand side by side, the next two below them
            found.append(((0, pair, half, n, word.middle) if beside else (0, n, half, word.middle), seen))
    return [seen for _, seen in sorted(found)]


def _places(page: pages.Page, card: Card) -> list[pages.Word]:
    """The rim readings of what is cut last: as large as any other, with no number of a cut on their line."""
    texts = {place.first.reads.text for item in card.after for place in item.places}
    numbers = [word for word in page.words if abs(word.size - 11) < 0.1 and re.fullmatch(r"\d+", word.text)]
    return [
        word
        for word in page.words
        if word.text in texts
        and abs(word.size - 20) < 0.1
        and not any(abs(n.middle - word.middle) < 5 for n in numbers)
    ]


def _bar(page: pages.Page, k: int, halves: bool) -> str:
    """The words of a bar after its THEN, in its own half of the sheet."""
    then = page.words[k]
    end = page.width / 2 if halves and then.left < page.width / 2 else page.width
    row = [w for w in page.words[k + 1 :] if abs(w.middle - then.middle) < 2 and then.right <= w.left < end]
    return " ".join(word.text for word in row if abs(word.size - then.size) < 0.2)


@pytest.mark.parametrize("read", [in_csv, in_terminal, in_page, on_phone])
@pytest.mark.parametrize("name", EXAMPLES)
def test_a_card_shows_the_acts_that_json_has(name: str, read: object) -> None:
    card = whole(name)
    assert callable(read)
    expected = in_json(card)
    assert len([kind for kind, _ in expected if kind == "cut"]) == len(card.plan.stops)
    assert read(card) == expected


@pytest.mark.parametrize("paper", BOTH)
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_sheets_show_the_acts_that_json_has(name: str, paper: pdf.Paper) -> None:
    card, content = shipped(name, paper)
    assert on_paper(card, content) == in_json(card)


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
