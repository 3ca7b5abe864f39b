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


def test_every_number_of_a_family_is_there_and_none_beside() -> None:
    # Lobben, table 51, p. 477: a Jarno taper has n/8, n/10 and n/2 inches, and 0.6 in per foot.
    for n in range(2, 21):
        found = tapers.standard(f"Jarno {n}")
        assert found is not None
        assert (found.large, found.small, found.length) == tuple(n * Fraction(254, 10) / d for d in (8, 10, 2))
        assert found.ratio == Fraction(6, 10) / 12
    # Brown & Sharpe: half an inch per foot but for number 10 and some thousandths (from memory).
    for n in range(1, 14):
        found = tapers.standard(f"B&S {n}")
        assert found is not None
        assert float(found.ratio * 12) == pytest.approx(0.5161 if n == 10 else 0.501, abs=0.0025)
    for name in ("Jarno 1", "Jarno 21", "B&S 0", "B&S 14", "MT8", "JT7", "ISO 35", "1/21"):
        assert tapers.standard(name) is None
    # ISO 7388 and ISO 2339, and 1:20 of the large metric shanks (from memory).
    for name, ratio in (
        ("ISO 40", "7/24"),
        ("metric 80", "1/20"),
        ("taper pin metric", "1/50"),
        ("taper pin inch", "1/48"),
    ):
        found = tapers.standard(name)
        assert found is not None
        assert found.ratio == Fraction(ratio)


@pytest.mark.parametrize(
    ("spelt", "name"),
    [
        ("MT 2", "Morse 2"), ("mt2", "Morse 2"), ("MK2", "Morse 2"), ("CM2", "Morse 2"), ("Morse No. 2", "Morse 2"), ("#2 MT", "Morse 2"),
        ("No. 4-1/2 Morse", "Morse 4-1/2"), ("MT4.5", "Morse 4-1/2"), ("Brown and Sharpe 7", "Brown & Sharpe 7"), ("BS #9", "Brown & Sharpe 9"),
        ("Jarno no 6", "Jarno 6"), ("JT 33", "JT 33"), ("b12", "Morse 1"), ("B10", "Morse 1"), ("B18", "Morse 2"), ("B22", "Morse 3"),
        ("B24", "Morse 3"), ("NMTB-50", "7/24"), ("BT30", "7/24"), ("SK 60", "7/24"), ("metric 1/20", "metric 1:20"), ("ME 200", "metric 1:20"),
    ],
)  # fmt: skip
def test_the_usual_spellings_of_a_taper(spelt: str, name: str) -> None:
    found = tapers.standard(spelt)
    assert found is not None
    assert found.name == name
    assert found.name in tapers.names()


def test_a_slow_taper_sticks_and_a_steep_one_lets_go() -> None:
    # Common practice, no source: Morse tapers drive by sticking, 7/24 was made to let go; steel on steel is 0.15 or so.
    morse, steep = tapers.standard("MT3"), tapers.standard("ISO 40")
    assert morse is not None
    assert steep is not None
    assert tapers.sticks(tapers.half_angle(morse.ratio), 0.12)
    assert not tapers.sticks(tapers.half_angle(steep.ratio), 0.14)
    assert not tapers.sticks(math.degrees(math.atan(0.125)), math.tan(math.atan(0.125)))  # on the tip it does not hold


def test_settings_of_the_lathe() -> None:
    # 8.5 degrees each side: the compound shows 8.5 from the ways, 81.5 where its nought lies across them.
    assert (tapers.compound_setting(8.5, "along"), tapers.compound_setting(8.5, "across")) == (8.5, 81.5)
    # A shaft of 300 mm between centres with a taper of 2 mm in its last 100: as if the taper went on over all 300, half of 6 mm.
    assert tapers.set_over(30.0, 28.0, 100.0, 300.0) == pytest.approx(3.0)
    # A right triangle of 3, 4, 5: blocks of 3 under a bar of 5.
    assert tapers.sine_block(5.0, math.degrees(math.atan(3 / 4))) == pytest.approx(3.0)
    assert tapers.ratio_of(math.degrees(math.atan(1 / 4))) == pytest.approx(0.5)
    assert tapers.half_angle(0.5) == pytest.approx(math.degrees(math.atan(1 / 4)))
