"""An act carries how far the crank turns as a value: the card's lines and screens say it, and its own text says the same."""

from __future__ import annotations

import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.routine import acts, card
from stepcut.routine.hands import STAYS


@pytest.mark.parametrize(
    "name", ["depth-stop-turret", "spring-preload-collar", "crank-face-ratchet", "sluice-clamp-ramp"]
)
def test_what_an_act_says_of_its_turn_stands_in_its_text(name: str) -> None:
    plan = recipes.job(recipes.load(name)).plan
    told = acts(plan)
    turned = [act for act in told if act.kind == "turn"]
    assert turned
    assert all(act.far in act.text for act in turned if act.far != STAYS)
    assert all((act.far == STAYS) == (not act.turns) for act in turned)
    assert all(act.far.startswith("BACK ") == (act.way == "back") for act in turned)
    assert all(act.far == "" for act in told if act.kind != "turn")
    lines = [line for column in card(plan, Heading()).columns for group in column.groups for line in group.lines]
    for line in lines:
        first = next((act for act in line.acts if act.kind == "turn" and act.way == "working"), None)
        if first is not None and not any(act.way == "back" for act in line.acts if act.kind == "turn"):
            assert line.first.turns == first.far
