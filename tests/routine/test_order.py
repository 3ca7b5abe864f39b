"""Cut by depth, the table goes round the fewest times that any order allows."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations, product

import pytest

from stepcut.recipes import job, load
from stepcut.routine import acts


def turned(places: list[Fraction]) -> Fraction:
    """How far a table that only goes forward turns to visit places, degrees modulo 360, in order."""
    at = Fraction(0)
    for place in places:
        at += (place - at) % 360
    return at


@pytest.mark.parametrize(("name", "rounds"), [("paddle-latch-ramps", 4), ("sluice-clamp-ramp", 6)])
def test_no_order_of_ramps_by_depth_turns_the_table_less(name: str, rounds: int) -> None:
    plan = job(load(name).resized({"order": "by-depth"})).plan
    ramps = plan.copies
    levels = [plan.stops[k : k + ramps] for k in range(0, rounds * ramps, ramps)]
    assert all(len({stop.second for stop in level}) == 1 for level in levels)
    ours = [act.to for act in acts(plan) if act.kind == "turn"][: rounds * ramps][-1]
    choices = [list(permutations([plan.first.value(stop.first) for stop in level])) for level in levels]
    least = min(turned([place for level in order for place in level]) for order in product(*choices))
    assert ours == least


def test_every_ramp_has_every_depth_once() -> None:
    plan = job(load("paddle-latch-ramps")).plan
    depths = [sorted(stop.second for stop in plan.stops if stop.start == ramp) for ramp in (1, 2, 3)]
    assert depths[0] == depths[1] == depths[2]
