"""Sizes that readings allow: the roundest, or where none is round the likeliest."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut import recipes
from stepcut.errors import Refused
from stepcut.shop.astray import slipped
from stepcut.shop.found_shape import Figure
from stepcut.shop.round_sizes import nominal


def test_where_no_round_size_is_allowed_the_likeliest_is_taken() -> None:
    found = nominal(Figure(0.7182818, 0.7182817, 0.7182819), "mm")
    assert found == pytest.approx(0.7182818, abs=1e-7)
    assert found.denominator <= 10_000


def test_cuts_of_a_scroll_that_stand_astray_are_not_worked_out() -> None:
    plan = recipes.job(recipes.load("bellows-chuck-face-scroll")).plan
    with pytest.raises(Refused, match="no-astray"):
        slipped(plan, [3], Fraction(1))
