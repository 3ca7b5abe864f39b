"""The routine: every card shows these acts, so they must be whole and in order."""

from __future__ import annotations

import json
import re

import pytest

from stepcut.acts import Card, Heading
from stepcut.cards.json_card import render
from stepcut.recipes import job, load, shipped
from stepcut.routine import acts, card
from stepcut.voice import voice_of

EXAMPLES = [path.stem for path in shipped()]


def card_of(name: str) -> Card:
    each = job(load(name))
    return card(each.plan, Heading(each.recipe.title, unit=each.recipe.unit))


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_card_shows_every_act_once_and_in_order(name: str) -> None:
    found = card_of(name)
    assert tuple(found.in_order()) == found.acts
    assert [act.n for act in found.acts] == list(range(1, len(found.acts) + 1))


@pytest.mark.parametrize("name", EXAMPLES)
def test_screens_show_every_act_once_and_in_order(name: str) -> None:
    found = card_of(name)
    assert tuple(act for screen in found.screens for act in screen.acts) == found.acts


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_cut_is_a_line_and_no_group_is_longer_than_five(name: str) -> None:
    found = card_of(name)
    assert [line.n for line in found.lines] == [stop.n for stop in found.plan.stops]
    assert all(1 <= len(group.lines) <= 6 and group.check for group in found.groups)


@pytest.mark.parametrize("name", ["sluice-clamp-ramp", "oil-groove-helix", "lever-ball-knob"])
def test_json_has_the_acts_beside_the_stops(name: str) -> None:
    plan = job(load(name)).plan
    found = json.loads(render(plan, voice_of(plan.machine)))
    assert found["acts"] == [json.loads(json.dumps(act.content())) for act in acts(plan)]
    assert set(found["acts"][0]) == {
        "n", "act", "stop", "start", "axis", "to", "way", "turns", "dial", "ends", "confirm", "text",
    }  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_how_far_to_turn_is_said_once_by_the_act_that_turns(name: str) -> None:
    # A tired reader who is told twice turns twice.
    for act in card_of(name).acts:
        told = re.sub(r"\(\d+ turns? from 0\)", "", act.text.replace("a turn", ""))  # where a dial stands, no move
        assert (act.kind in ("turn", "cut")) or not re.search(r"\d turns?\b", told), act


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_sentence_stutters(name: str) -> None:
    found = card_of(name)
    said = [act.text for act in found.acts] + list(found.cycle) + [column.alike for column in found.columns]
    for text in said:
        assert not re.search(r"\b([a-z]+),? \1\b", text), text
        assert ".." not in text.replace("...", ""), text


def test_by_depth_one_check_closes_each_depth() -> None:
    found = card_of("paddle-latch-ramps")
    assert all(group.check is not None and group.check.closes for group in found.groups)
    assert len({len(group.lines) for group in found.groups}) == 1
