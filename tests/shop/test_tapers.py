"""Standard tapers, and what is measured over rolls and balls; their other published figures are in outside/references."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from stepcut.shop import tapers


@pytest.mark.parametrize(
    ("name", "per_foot"),
    [("Morse 1", 0.59858824), ("Morse 2", 0.59941463), ("Morse 4", 0.62326154), ("Morse 5", 0.63151807), ("Morse 6", 0.62565517)],
)  # fmt: skip
def test_end_diameters_of_morse_sockets_make_their_taper(name: str, per_foot: float) -> None:
    # Table "Dimensions of Standard Tapers": taper per foot from the two end diameters and the socket depth.
    found = tapers.standard(name)
    assert found is not None
    assert found.large is not None
    assert found.small is not None
    assert found.length is not None
    assert float((found.large - found.small) / found.length) * 12 == pytest.approx(per_foot, abs=2e-4)
    assert float(found.ratio) * 12 == pytest.approx(per_foot, abs=2e-4)


def test_jarno_sizes() -> None:
    # Lobben, "Machinists' and Draftsmen's Handbook", table 51, p. 477: n/8, n/10, n/2 inches.
    four, eight = tapers.standard("Jarno 4"), tapers.standard("jarno 8")
    assert four is not None
    assert eight is not None
    assert four.large == Fraction(127, 10)
    assert eight.large == Fraction(254, 10)


def test_rolls_and_balls_touch_the_cone() -> None:
    # A roll beside a cone on a plate: its centre is a radius from the plate and a radius from the cone's side.
    small, roll, a = 20.0, 6.0, 5.0
    reading = tapers.over_rolls(small, roll, a)
    x, y = reading / 2 - roll / 2, roll / 2
    distance = (x - small / 2) * math.cos(math.radians(a)) - y * math.sin(math.radians(a))
    assert distance == pytest.approx(roll / 2)
    # A ball in a bore: its centre on the axis is a radius from the side.
    depth = tapers.ball_depth(30.0, 24.0, 5.0)
    centre = depth + 12.0
    side = 15.0 - centre * math.tan(math.radians(5))
    assert side * math.cos(math.radians(5)) == pytest.approx(12.0)


def test_a_cone_seats_where_it_is_as_wide_as_the_bore() -> None:
    # 7/24 taper: 24 mm on make the cone 7 mm wider, whatever the small end.
    assert tapers.seat_depth(27.0, 20.0, tapers.half_angle(Fraction(7, 24))) == pytest.approx(24.0)


def test_rolls_on_blocks_touch_the_cone_higher_up() -> None:
    # The cone that stands on blocks' height is a cone of its own, as much wider as it has grown up to there.
    small, roll, a, height = 20.0, 6.0, 5.0, 30.0
    wider = small + 2 * height * math.tan(math.radians(a))
    assert tapers.over_rolls(small, roll, a, height) == pytest.approx(tapers.over_rolls(wider, roll, a))
    # From the two readings the angle comes back: half their difference over the height is its tangent.
    up = tapers.over_rolls(small, roll, a, height) - tapers.over_rolls(small, roll, a)
    assert math.degrees(math.atan(up / 2 / height)) == pytest.approx(a)


def test_an_error_of_the_angle_shows_twice_on_the_diameter() -> None:
    # A cone of 8 degrees each side that should have 7.5: over 100 mm its radius differs by the heights of two triangles.
    right, wrong = 100 * math.tan(math.radians(7.5)), 100 * math.tan(math.radians(8.0))
    assert tapers.error_on_diameter(100, 7.5, 0.5) == pytest.approx(2 * (wrong - right))


def test_pipe_threads_are_1_to_16() -> None:
    # ISO 7-1: taper 1:16 on the diameter (from memory).
    found = tapers.standard("pipe thread")
    assert found is not None
    assert found.ratio == Fraction(1, 16)
