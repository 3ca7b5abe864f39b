"""The routine: every card shows these acts, so they must be whole and in order."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from itertools import pairwise

import pytest

from stepcut.acts import Act, Card, Heading
from stepcut.cards.json_card import render
from stepcut.recipes import job, load
from stepcut.routine import acts, card
from stepcut.voice import voice_of
from tests.shops import each_kind, plan_of, thinned

EXAMPLES = each_kind()


def card_of(name: str) -> Card:
    each = job(load(name))
    return card(each.plan, Heading(each.recipe.title, unit=each.recipe.unit))


def shown(found: Card) -> Iterator[Act]:
    """The acts as a card shows them: set-up, then change, lines and check of each group, then measures."""
    for item in found.set_up:
        yield item.act
    for group in found.groups:
        if group.change:
            yield from group.change.acts
        for line in group.lines:
            yield from line.acts
        yield group.check.act
    for measure in found.after:
        yield from measure.acts
        yield measure.act


@pytest.mark.parametrize("name", thinned(EXAMPLES))
def test_a_card_shows_every_act_once_and_in_order(name: str) -> None:
    found = card_of(name)
    assert tuple(shown(found)) == found.acts
    assert [act.n for act in found.acts] == list(range(1, len(found.acts) + 1))


@pytest.mark.parametrize("name", EXAMPLES)
def test_screens_show_every_act_once_and_in_order(name: str) -> None:
    found = card_of(name)
    assert tuple(act for screen in found.screens for act in screen.acts) == found.acts


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_cut_is_a_line_and_no_group_is_longer_than_five(name: str) -> None:
    found = card_of(name)
    assert [line.n for line in found.lines] == [stop.n for stop in found.plan.stops]
    assert all(1 <= len(group.lines) <= 6 for group in found.groups)


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
    assert all(group.check.closes for group in found.groups)
    assert len({len(group.lines) for group in found.groups}) == 1


@pytest.mark.parametrize(
    "name", ["winch-dog-plunged", "hoist-lifter-ball-ramps", "oil-groove-helix", "tension-release-cam"]
)
def test_a_turn_says_that_the_table_turns_or_that_it_stays(name: str) -> None:
    turns = [act for act in acts(job(load(name)).plan) if act.kind == "turn"]
    assert len(turns) > 30
    for act in turns:
        assert act.text.startswith("The table stays: " if act.turns == 0 else "Turn "), act


@pytest.mark.parametrize(
    "name", ["winch-dog-plunged", "hoist-lifter-ball-ramps", "lever-ball-knob", "oil-groove-helix"]
)
def test_going_clear_is_asked_for_loudly_only_where_another_ramp_or_corner_comes(name: str) -> None:
    clear = [pair for pair in pairwise(acts(job(load(name)).plan)) if pair[0].kind == "clear"]
    assert {act.confirm for act, _ in clear} == {False, True}
    for act, after in clear:
        assert act.confirm == (after.kind == "change"), act
        assert act.text.split(":")[0].split(",")[0].isupper() == act.confirm, act
    for group in card_of(name).groups:
        if group.change:
            assert group.change.acts[-1].kind == "change"
            assert group.change.acts[-1].text.startswith(f"{group.change.title}: ")


@pytest.mark.parametrize(("on", "beside"), [("edge", 4.0), ("centre", 0.0)])
def test_a_sweep_begins_over_the_middle_of_the_wall(on: str, beside: float) -> None:
    # The axis of the cutter stands beside the line that is fed along, by its radius where its edge is on the line.
    flats = {
        "outside": "34mm",
        "bore": "26mm",
        "flats": ["0mm", "1mm", "2mm"],
        "span": "90deg",
        "cutter": "8mm",
        "cut-with": "end",
    }
    plan = plan_of("ramp", **flats, **{"on-centre": {"edge": "edge", "centre": "axis"}[on]})
    places = [re.search(r"then back to X ([\d.]+) and stay in", act.text) for act in acts(plan)]
    stays = {float(found[1]) for found in places if found}
    assert stays
    assert [math.hypot(stay, beside) for stay in stays] == pytest.approx([15.0] * len(stays), abs=0.006)
