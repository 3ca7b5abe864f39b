"""Small sums of the shop on round numbers: triangles of 3, 4 and 5, angles of 45 degrees, an inch of work at a hundred feet a minute."""

from __future__ import annotations

import math
from fractions import Fraction
from types import SimpleNamespace
from typing import Any, cast

import pytest

from stepcut.plan import Plan, Stop
from stepcut.routine import bite
from stepcut.shop import tapers
from stepcut.shop.resizing import left_behind
from stepcut.shop.turning import of_the_machine, turning_at, turns_a_minute

THREE_IN_FOUR = math.degrees(math.atan2(3, 4))  # a cone that widens 3 mm on the radius in 4 mm


def test_cones_of_three_in_four() -> None:
    assert tapers.half_angle(Fraction(3, 2)) == pytest.approx(THREE_IN_FOUR)
    assert tapers.ratio_of(THREE_IN_FOUR) == pytest.approx(1.5)
    assert tapers.sine_block(100.0, THREE_IN_FOUR) == pytest.approx(60.0)
    # A cone whose small end is 6 sits in a sharp bore of 12 where it is 3 mm thicker on the radius: 4 mm up.
    assert tapers.seat_depth(12.0, 6.0, THREE_IN_FOUR) == pytest.approx(4.0)
    # Blocks of 10 mm lift both rolls to where the cone is 2 x 7.5 mm thicker.
    low, high = (tapers.over_rolls(20.0, 6.0, THREE_IN_FOUR, height) for height in (0.0, 10.0))
    assert high - low == pytest.approx(15.0)
    # A ball of radius 4 touches 4 / 0.8 = 5 mm off the axis's side of a wall that is 10 off at the face: 5 / 0.75 mm down.
    assert tapers.ball_depth(20.0, 8.0, THREE_IN_FOUR) == pytest.approx(5 / 0.75 - 4)
    assert tapers.sticks(THREE_IN_FOUR, 0.76)
    assert not tapers.sticks(THREE_IN_FOUR, 0.74)


def test_cones_of_45_degrees_each_side() -> None:
    # Blocks under both rolls lift them where the cone is 2 x 10 mm thicker.
    low, high = (tapers.over_rolls(20.0, 6.0, 45.0, height) for height in (0.0, 10.0))
    assert high - low == pytest.approx(20.0)
    # The roll's middle stands r / tan 22.5 degrees from the corner of plate and cone.
    assert low == pytest.approx(20 + 6 + 6 * (1 + math.sqrt(2)))
    # From 1 in 1 to 3 in 1 each side is 2 mm more for each mm of length, on both sides.
    steeper = math.degrees(math.atan(3)) - 45.0
    assert tapers.error_on_diameter(10.0, 45.0, steeper) == pytest.approx(40.0)
    assert tapers.compound_setting(40.0, "along") == 40.0
    assert tapers.compound_setting(40.0, "across") == 50.0
    assert tapers.set_over(30.0, 20.0, 50.0, 80.0) == pytest.approx(8.0)  # 1 in 10 on the radius


def test_turns_a_minute_to_two_figures() -> None:
    # The trade's rule, 12 V / pi D with inches and feet: 382, 3,820, 38.2, and 3.82 turns; never nought.
    for inches, turns in (("1", 380), ("0.1", 3800), ("10", 38), ("100", 4), ("1000", 1)):
        assert turns_a_minute(Fraction(inches) * Fraction("25.4"), 100) == turns


def test_speeds_of_the_machine_at_the_ends_of_the_range_serve() -> None:
    assert of_the_machine(500, 900, (300, 500, 1200)) == "take 500"
    assert of_the_machine(500, 900, (300, 900, 1200)) == "take 900"
    assert of_the_machine(500, 900, (500, 700, 900)) == "take 500 to 900"
    assert of_the_machine(500, 900, (300, 400, 1200)) == "take 400, the next below"


@pytest.mark.parametrize(("material", "carbide", "said"), [("", False, "890 to 1500 rpm"), ("aluminium", True, "6400 to 13000 rpm")])  # fmt: skip
def test_another_cutter_turns_as_its_own_table_says(material: str, carbide: bool, said: str) -> None:
    """7.62 mm is 0.3 in: 12 x 70 / (pi x 0.3) = 891; carbide twice as fast in aluminium, 500 to 1000 ft/min."""
    plan = SimpleNamespace(material=material, carbide=carbide, machine=SimpleNamespace(speeds=()))
    assert turning_at(cast("Plan", plan), Fraction("7.62")) == said


def test_a_tenth_is_a_correction_and_more_is_another_size() -> None:
    pair = [("outside", "bore")]
    for now, left in ((44, []), (45, pair), (36, []), (35, pair)):
        assert left_behind(pair, {"outside": 40, "bore": 30}, {"outside": now, "bore": 30}) == left
    assert left_behind(pair, {"outside": 40}, {"outside": 60}) == []
    assert left_behind(pair, {"outside": None, "bore": 30}, {"outside": 60, "bore": 30}) == []


def cutting(diameter: int, material: str = "mild-steel", division: str = "0.05") -> Any:
    second = SimpleNamespace(division=Fraction(division))
    return SimpleNamespace(
        cutter=SimpleNamespace(diameter=Fraction(diameter)), material=material, second=second, carbide=False
    )


@pytest.mark.parametrize(
    ("deep", "before", "wide", "material", "levels"),
    [
        (6, 0, 10.0, "mild-steel", [2, 4]),  # a slot of 10 in passes of 2.5 at the most: three
        (6, 0, 10.0, "brass", [3]),  # of 5 at the most: two
        (5, 0, 10.0, "mild-steel", [Fraction(5, 2)]), (Fraction(5, 2), 0, 10.0, "mild-steel", []),
        (6, 4, 5.0, "mild-steel", [3]),  # half of it new: 5 x 6 and 5 x 2 make 40 of 25: two
        (6, 6, 5.0, "mild-steel", [3]), (6, 9, 4.0, "mild-steel", []), (6, 9, 4.5, "mild-steel", [3]), (6, 0, 5.0, "mild-steel", [2, 4]),  # 30 of 25; 24 of 25
        (25, 25, 0.1, "mild-steel", [Fraction(166, 20), Fraction(333, 20)]),  # never more than a diameter deep
        (6, 0, 40.0, "mild-steel", [2, 4]),  # no wider than the cutter
    ],
)  # fmt: skip
def test_passes_of_a_cutter_of_10_mm(deep: Any, before: int, wide: float, material: str, levels: list[Any]) -> None:
    assert list(bite.milled(cutting(10, material), Fraction(deep), Fraction(before), wide)) == levels


def test_plunges_of_half_a_diameter() -> None:
    assert bite.plunges(cutting(10), Fraction(12), Fraction(1, 20)) == (4, 8)
    assert bite.plunges(cutting(10), Fraction(5), Fraction(1, 20)) == ()
    assert bite.deeper(cutting(10), Fraction("12.03"), Fraction(4), Fraction(1, 20)) == (8, 12)


def test_passes_of_a_turned_cut() -> None:
    """200 divisions of 0.01 mm in passes of 0.762 mm at the most: three, of 67 at the most; outward in a bore."""
    plan = cutting(10, division="0.01")
    assert bite.turned(plan, 1250, Stop(1, 1, 0, 1050)) == (1183, 1116)
    assert bite.turned(plan, 1050, Stop(1, 1, 0, 1250)) == (1117, 1184)
    assert bite.turned(plan, 1250, Stop(1, 1, 0, 1174)) == ()
    assert bite.turned(plan, 1250, Stop(1, 1, 0, 1173)) == (1211,)
    assert bite.turned(cutting(10, division="0.7"), 10, Stop(1, 1, 0, 7)) == (9, 8)  # no more than a division at a time
    assert bite.turned(cutting(10, division="0.8"), 10, Stop(1, 1, 0, 7)) == ()  # a scale too coarse for any pass


def test_passes_end_on_divisions_and_none_of_them_is_nought() -> None:
    assert bite.levels(Fraction(2), 3, Fraction(1, 20)) == (Fraction("0.65"), Fraction("1.3"))
    assert bite.levels(Fraction("0.12"), 3, Fraction(1, 20)) == (Fraction("0.05"),)


def test_a_list_that_changed_at_all_is_another_size() -> None:
    pair = [("sectors", "cutter")]
    assert left_behind(pair, {"sectors": (1, 2), "cutter": 3}, {"sectors": (1, 3), "cutter": 3}) == pair
    assert left_behind(pair, {"sectors": (1, 2), "cutter": 3}, {"sectors": (1, 2), "cutter": 3}) == []
