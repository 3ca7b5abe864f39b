"""Errors as chances, against 100,000 parts cut with errors in numpy."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from stepcut import recipes
from stepcut.shop.chances import Clear, Errors, chance, deeper, more_leave
from stepcut.shop.verdict import below

PARTS = 100_000


@pytest.mark.parametrize(
    ("depth", "table", "slope"), [(0.02, 0.0, 0.0), (0.02, 0.3, 0.05), (0.01, 0.5, 0.06), (0.0, 0.4, 0.05)]
)
def test_the_chance_of_one_cut(depth: float, table: float, slope: float) -> None:
    random = np.random.default_rng(7)
    off = random.uniform(-depth, depth, 400_000) + slope * random.uniform(-table, table, 400_000)
    for by in (-0.015, 0.0, 0.004, 0.012, 0.025, 0.05):
        assert deeper(by, Errors(depth, table), slope) == pytest.approx(float((off > by).mean()), abs=0.004)


def test_the_chance_of_one_cut_by_the_shops_own_readings() -> None:
    random = np.random.default_rng(8)
    off = random.normal(0.004, 0.006, 400_000)
    for by in (-0.01, 0.0, 0.004, 0.02):
        told = deeper(by, Errors(mean=0.004, spread=0.006), 0.0)
        assert told == pytest.approx(float((off > by).mean()), abs=0.003)


@pytest.mark.parametrize("leave", ["0.3thou", "0.4thou", "0.45thou", "0.5thou"])
def test_100_000_parts_cut_with_errors(leave: str) -> None:
    """Cut the example ring so often, each cut off by what its scales may be, and count the parts that go below."""
    plan = recipes.job(recipes.load("sluice-clamp-ramp").resized({"leave": leave})).plan
    # The ring from its recipe, in mm and degrees: 0.090 in fall in 140 degrees from 0.002 in, two ramps 180 degrees apart;
    # the cutter's edge stands on the line, so a cut meets the ramp at its own place.
    places = np.array([float(plan.first.value(stop.first)) - 180 * (stop.start - 1) for stop in plan.stops])
    depths = np.array([float(plan.second.value(stop.second)) for stop in plan.stops])
    random = np.random.default_rng(9)
    spoiled = 0
    for _ in range(10):
        turned = places + random.uniform(-1 / 60, 1 / 60, (PARTS // 10, len(places)))  # the table's error: 1'
        low = depths + random.uniform(-0.0127, 0.0127, turned.shape)  # the readout's: 0.0005 in
        wanted = 25.4 * (0.002 + 0.090 * np.clip(turned / 140, 0, 1))
        spoiled += int((low > wanted).any(axis=1).sum())
    told = below(plan)
    assert told is not None
    share = spoiled / PARTS
    assert told["chance"] == pytest.approx(share, abs=4 * math.sqrt(max(share * (1 - share), 1e-5) / PARTS) + 1e-4)


def test_the_leave_for_one_in_a_hundred_makes_it_so_whatever_the_scale_rounds() -> None:
    recipe = recipes.load("sluice-clamp-ramp")
    told = below(recipes.job(recipe.resized({"leave": "0in"})).plan)
    assert told is not None
    assert told["chance"] > 0.9
    again = below(recipes.job(recipe.resized({"leave": f"{told['enough']:.6f}mm"})).plan)
    assert again is not None
    assert again["chance"] <= 0.01


def test_more_leave_is_the_least_that_serves() -> None:
    cuts = [Clear(0.0, 0.03)] * 40
    for errors in (Errors(0.01, 0.1), Errors(mean=0.002, spread=0.004)):
        more = more_leave(cuts, errors)
        assert chance(cuts, errors, more) <= 0.01 + 1e-9
        assert chance(cuts, errors, more * 0.99) > 0.01


def test_a_ramp_without_a_leave_takes_it_from_the_machine() -> None:
    # Table 1' on a slope of 0.090 in in 140 degrees, and 0.0005 in of depth: 0.00051 in, up to the next division 0.0010 in.
    plan = recipes.job(recipes.load("sluice-clamp-ramp").resized({"leave": ""})).plan
    assert plan.leave == Fraction(254, 10_000)
    told = below(plan)
    assert told is not None
    assert told["chance"] <= 0.01


def test_errors_that_do_not_spread_go_too_deep_for_sure_or_never() -> None:
    always = Errors(mean=0.004, spread=0.0)
    assert [deeper(by, always, 0.0) for by in (0.003, 0.0039, 0.0041, 0.01)] == [1.0, 1.0, 0.0, 0.0]
