"""Scales round to whole divisions; a cutter's end; what sizes a shop can buy."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut.machine.model import STANDARD_CUTTERS, Cutter, Outline, RotaryTable, Scale

INCH = Fraction(254, 10)
HALF_THOU = Scale("knee", INCH / 2000)
SHIFTED = Scale("carriage", Fraction(1, 20), origin=Fraction(1, 100))  # divisions stand at 0.01, 0.06, 0.11 mm


@given(st.fractions(min_value=-500, max_value=500), st.sampled_from([HALF_THOU, SHIFTED]))
def test_down_up_and_nearest_are_the_marks_around_a_value(value: Fraction, scale: Scale) -> None:
    below, above = scale.value(scale.down(value)), scale.value(scale.up(value))
    assert below <= value <= above
    assert above - below == (0 if below == value else scale.division)
    assert abs(scale.value(scale.nearest(value)) - value) <= scale.division / 2
    assert scale.down(float(below)) == scale.up(float(below)) == scale.nearest(float(below)) == scale.down(below)


@pytest.mark.parametrize(("value", "marks"), [("0.06", 1), ("0.0849", 1), ("0.085", 2), ("0.0851", 2), ("-0.015", 0), ("-0.0151", -1)])  # fmt: skip
def test_the_nearest_mark_is_taken_upwards_from_the_middle(value: str, marks: int) -> None:
    # Marks of the shifted scale: 0 at 0.01, 1 at 0.06, 2 at 0.11; half way between the last two is 0.085.
    assert SHIFTED.nearest(Fraction(value)) == marks
    assert SHIFTED.nearest(float(value)) == marks


def test_a_float_that_is_a_mark_but_for_its_last_bits_is_that_mark() -> None:
    tenth = Scale("readout", Fraction(1, 10))
    assert (tenth.down(0.1 + 0.2), tenth.up(0.1 + 0.2)) == (3, 3)
    assert (tenth.down(0.29999), tenth.up(0.30001)) == (2, 4)


def test_a_scale_is_plain_unless_more_is_said() -> None:
    scale = Scale("quill", Fraction(1, 50))
    assert (scale.per_turn, scale.backlash, scale.error, scale.origin) == (None, 0, 0, 0)
    assert (scale.angular, scale.doubled) == (False, False)


def test_a_table_of_90_to_1_moves_4_degrees_a_turn() -> None:
    table = RotaryTable(Scale("rim", Fraction(1, 60), Fraction(4), angular=True))
    assert (table.degrees_per_turn, table.ratio) == (4, 90)


def test_the_end_of_a_bull_nose_is_a_flat_and_a_quarter_circle() -> None:
    # The quarter circle drawn point by point from its own centre: 5 mm radius, 2 mm corner.
    end = Outline(5.0, 2.0)
    for turn in np.linspace(0, math.pi / 2, 41):
        away, height = 3 + 2 * math.sin(turn), 2 - 2 * math.cos(turn)
        assert end.relief(away) == pytest.approx(height, abs=1e-7)
        assert end.half_width(height) == pytest.approx(away, abs=1e-7)
    assert (end.relief(0.0), end.relief(2.999), end.relief(5.001)) == (0.0, 0.0, math.inf)
    assert (end.half_width(0.0), end.half_width(7.0), end.half_width(-1.0)) == (3.0, 5.0, 3.0)


def test_a_pointed_end_grows_wider_by_the_tangent_of_half_its_angle_up_to_its_size() -> None:
    # By hand, 6 mm over a point of 60 degrees: at 3 mm it is 2 x 3 tan 30 = 3.4641 mm wide, and all of 6 mm from 5.1962 mm up.
    end = Outline(3.0, 0.0, math.tan(math.radians(30)))
    assert [end.half_width(height) for height in (-1.0, 0.0, 3.0, 9.0)] == pytest.approx([0.0, 0.0, 1.7320508, 3.0])


def test_the_end_of_a_flat_cutter_is_flat_up_to_its_edge() -> None:
    end = Cutter("flat", Fraction(12)).outline
    assert end == Outline(6.0, 0.0)
    assert (end.relief(6.0), end.relief(6.0001), end.half_width(0.0)) == (0.0, math.inf, 6.0)
    assert Cutter("ball", Fraction(7), Fraction(7, 2)).outline == Outline(3.5, 3.5)


def test_standard_cutters_are_those_of_the_counter() -> None:
    # Common practice, no source: by 1/32 to 1/4, by 1/16 to 1/2, by 1/8 to 1, then 1-1/4 and 1-1/2 in; preferred mm sizes.
    inch = "1/16 3/32 1/8 5/32 3/16 7/32 1/4 5/16 3/8 7/16 1/2 5/8 3/4 7/8 1 5/4 3/2"
    assert [size / INCH for size in STANDARD_CUTTERS["in"]] == [Fraction(text) for text in inch.split()]
    assert STANDARD_CUTTERS["mm"] == (1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 25, 32, 40)
