"""What heavy blue in one place of a taper says."""

from __future__ import annotations

import pytest

from stepcut.shop.blueing import Wins, taper_advice


# A plug that touches a bore at its large end only finds it less tapered than itself: common practice, no source.
@pytest.mark.parametrize(
    ("side", "wins", "advice"),
    [
        ("bore", "large", "open"), ("bore", "small", "close"), ("outside", "large", "close"), ("outside", "small", "open"),
        ("bore", "even", "size"), ("outside", "middle", "barrel"), ("bore", "ends", "good"),
    ],
)  # fmt: skip
def test_blue_in_one_place_of_a_taper(side: str, wins: Wins, advice: str) -> None:
    assert taper_advice(side, wins) == advice
