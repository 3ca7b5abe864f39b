"""The laws against the cam books and against integration."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad

from stepcut.kernel.line import line_by_motion as fall_by_law
from stepcut.kernel.line import line_by_targets as fall_by_targets
from stepcut.kernel.motions import MOTIONS


@pytest.mark.parametrize(
    ("law", "velocity"),
    [
        # Norton, "Design of Machinery", cam chapter, table "Factors for peak velocity and acceleration"; from memory.
        ("parabolic", 2.0), ("cycloidal", 2.0), ("3-4-5", 15 / 8), ("4-5-6-7", 35 / 16),
        ("modified-sine", 4 * math.pi / (4 + math.pi)), ("modified-trapezoid", 2.0), ("harmonic", math.pi / 2), ("uniform", 1.0),
    ],
)  # fmt: skip
def test_peak_velocity_factors(law: str, velocity: float) -> None:
    xs = np.linspace(0, 1, 20001)
    assert max(MOTIONS[law].rate(x) for x in xs) == pytest.approx(velocity, abs=5e-4)
    assert MOTIONS[law].steepest == pytest.approx(velocity, abs=1e-12)


@pytest.mark.parametrize(
    ("law", "acceleration"),
    [
        # The same table, from memory.
        ("parabolic", 4.0), ("modified-sine", 4 * math.pi**2 / (4 + math.pi)), ("modified-trapezoid", 8 * math.pi / (2 + math.pi)),
        ("cycloidal", 2 * math.pi), ("3-4-5", 10 / math.sqrt(3)),
    ],
)  # fmt: skip
def test_peak_acceleration_factors(law: str, acceleration: float) -> None:
    xs, step = np.linspace(0.0005, 0.9995, 9991), 1e-6
    found = max(
        (MOTIONS[law].rate(x + step) - MOTIONS[law].rate(x - step)) / (2 * step)
        for x in xs
        if all(abs(x - joint) > 1e-5 for joint in MOTIONS[law].joints)
    )
    assert found == pytest.approx(acceleration, abs=5e-3)


@pytest.mark.parametrize("law", MOTIONS)
def test_the_rate_integrates_to_the_share(law: str) -> None:
    for x in (0.05, 0.125, 0.3, 0.5, 0.77, 0.875, 0.96, 1.0):
        points = [joint for joint in MOTIONS[law].joints if joint < x]
        area, _ = quad(MOTIONS[law].rate, 0, x, points=points or None, limit=200)
        assert MOTIONS[law].share(x) == pytest.approx(area, abs=1e-9)
    assert MOTIONS[law].share(0.0) == pytest.approx(0, abs=1e-12)
    assert MOTIONS[law].share(1.0) == pytest.approx(1, abs=1e-12)


def test_parabolic_rises_by_the_drafting_rule() -> None:
    # Six equal steps rise 1:3:5:5:3:1 of 18 (drafting-room rule for uniformly accelerated cams; French; from memory).
    shares = [MOTIONS["parabolic"].share(k / 6) for k in range(7)]
    assert np.diff(shares) == pytest.approx(np.array([1, 3, 5, 5, 3, 1]) / 18)


def test_harmonic_peak_acceleration_of_worked_cams() -> None:
    # a = h/2 (pi w / beta)^2.  Sarkar, "Theory of Machines", chapter 9, illustration 2 p. 247: 4 cm in 60 degrees at 300 rpm,
    # 177.65 m/s^2; Khurmi & Gupta's exercise (Sarkar illustration 3 p. 249 prints 6.2): 5 cm in 120 degrees at 100 rpm.
    for lift, beta, rpm, expected in ((0.04, 60, 300, 177.65288), (0.05, 120, 100, 6.1685028)):
        law = MOTIONS["harmonic"]
        step = 1e-5
        factor = (law.rate(step) - law.rate(0.0)) / step
        omega = rpm * 2 * math.pi / 60
        assert lift * factor * (omega / math.radians(beta)) ** 2 == pytest.approx(expected, rel=1e-3)


def test_parabolic_peak_acceleration_of_a_worked_cam() -> None:
    # Sarkar, chapter 9, illustration 5: 2.5 cm in 90 degrees at 1000 rpm, 44444 cm/s^2.
    law, omega = MOTIONS["parabolic"], 1000 * 2 * math.pi / 60
    factor = (law.rate(0.2) - law.rate(0.1)) / 0.1
    assert 2.5 * factor * (omega / math.radians(90)) ** 2 == pytest.approx(44444.444, abs=5)


@pytest.mark.parametrize("law", MOTIONS)
def test_reach_is_the_inverse_of_depth(law: str) -> None:
    fall = fall_by_law(law, 180.0, 2.0, 0.5, 10.0, 20.0)
    for depth in (0.6, 1.0, 1.77, 2.4999):
        assert fall.depth(fall.reach(depth)) == pytest.approx(depth, abs=1e-9)
    assert fall.reach(0.5) == 0
    assert fall.depth(5.0) == 0.5
    assert fall.depth(170.0) == 2.5
    assert math.isinf(fall.reach(2.6))


def test_targets_are_joined_by_straight_lines() -> None:
    fall = fall_by_targets(((0.0, 0.0), (30.0, 1.0), (90.0, 1.0), (120.0, 3.0)))
    assert [fall.depth(x) for x in (-5, 0, 15, 60, 105, 500)] == [0, 0, 0.5, 1, 2, 3]
    assert [fall.slope(x) for x in (15, 30, 60, 105)] == pytest.approx([1 / 30, 1 / 30, 0, 2 / 30])
    assert fall.steepest == pytest.approx(2 / 30)
