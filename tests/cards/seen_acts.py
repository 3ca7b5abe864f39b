"""The acts of a card as (cut, number), (check, number) and (change, what comes), read out of JSON and of its sheets."""

from __future__ import annotations

import json
import re

from stepcut.acts import Card
from stepcut.cards import json_card
from stepcut.voice import voice_of
from tests import pages
from tests.cards.sheets import rows

Seen = list[tuple[str, str]]


def in_json(card: Card) -> Seen:
    """(cut, number), (check, number), (change, what comes) and (last, rim) of what is cut after the plan, in the order of the acts."""
    found = json.loads(json_card.render(card.plan, voice_of(card.plan.machine, card.unit)))["acts"]
    return from_acts([(act["act"], act["stop"], act["text"]) for act in found])


def from_acts(acts: list[tuple[str, object, str]]) -> Seen:
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
