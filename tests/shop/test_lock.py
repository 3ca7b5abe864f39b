"""Locking against published worked examples of screws: a ramp is a screw thread unrolled."""

from __future__ import annotations

import math

import pytest

from stepcut.shop.lock import Locking, friction_angle, holds, locking


def screw(
    mean: float,
    lead: float,
    force: float,
    friction: float,
    collar: float = 0.0,
    collar_friction: float = 0.0,
    flank: float = 0.0,
):  # type: ignore[no-untyped-def]
    """Torques in N m of a thread: mean diameter and lead in mm, force in N, collar mean radius in mm."""
    angle = math.degrees(math.atan(lead / (math.pi * mean)))
    found = locking(angle, mean / 2, force, friction, collar, collar_friction, flank)
    return found.lock / 1000, found.release / 1000


def test_power_screw_with_double_start() -> None:
    # Budynas & Nisbett, "Shigley's Mechanical Engineering Design", 9th ed., example 8-1 p. 417 (values from memory).
    raise_, _ = screw(30, 8, 6400, 0.08, 20, 0.08)
    assert raise_ == pytest.approx(26.176955, abs=0.01)
    assert 6400 * 8 / (2 * math.pi * raise_) / 1000 == pytest.approx(0.31129416, abs=0.001)


def test_load_raised_by_a_two_thread_screw() -> None:
    # Statics textbook, chapter 5.6, problem 2: 10,000 lb, 2 threads per inch, mean diameter 2 in, friction 0.2.
    raise_, _ = screw(2 * 25.4, 0.5 * 25.4, 10000, 0.2)
    assert raise_ / 25.4 * 1000 == pytest.approx(2840.9905, abs=1)


def test_lowering_the_same_load() -> None:
    # The same example 8-1: the thread alone would run down by itself (-0.466 N m), the collar's 10.24 N m holds it (from memory).
    _, lower = screw(30, 8, 6400, 0.08, 20, 0.08)
    assert lower == pytest.approx(9.77, abs=0.005)
    assert not locking(math.degrees(math.atan(8 / (math.pi * 30))), 15, 6400, 0.08).holds


def test_acme_screw_with_collar() -> None:
    # Norton, "Machine Design", example 15-1: 1-1/4 - 5 Acme, pitch diameter 1.15 in, 1000 lb, friction 0.15, collar 1.75 in
    # mean diameter: 122 + 131 in-lb to raise (from memory).  The flank's 14.5 degrees wedge the friction up.
    raise_, _ = screw(1.15, 0.2, 1000, 0.15, 0.875, 0.15, flank=14.5)
    assert raise_ * 1000 == pytest.approx(253.2, abs=0.3)


def test_acme_screw_of_four_threads_an_inch() -> None:
    # Wentzell, "Machine Design", chapter 18, example 18.3 p. 402: lead 1/4 in, pitch diameter 1.375 in, Acme, friction 0.15;
    # 428.13 in-lb published (the load, 2900 lb, worked back from it); a square thread would give 418.08.
    acme, _ = screw(1.375, 0.25, 2900, 0.15, flank=14.5)
    square, _ = screw(1.375, 0.25, 2900, 0.15)
    assert acme * 1000 == pytest.approx(428.13, abs=0.02)
    assert square * 1000 == pytest.approx(418.08, abs=0.02)


def test_a_collar_can_hold_what_the_thread_alone_would_not() -> None:
    # Shigley, example 8-1: "self-locking" only because of the collar; the verdict must take the collar in.
    angle = math.degrees(math.atan(8 / (math.pi * 30)))
    with_collar = locking(angle, 15, 6400, 0.08, 20, 0.08)
    assert (with_collar.holds, with_collar.leans_on_collar) == (True, True)
    assert not locking(angle, 15, 6400, 0.08).holds
    # On the other side of the tip: a collar of 0.9 mm radius adds 0.461 N m against 0.466 N m, one of 0.92 mm 0.471.
    assert not locking(angle, 15, 6400, 0.08, 0.90, 0.08).holds
    assert locking(angle, 15, 6400, 0.08, 0.92, 0.08).holds


def test_load_raised_and_lowered() -> None:
    # Khurmi & Gupta, "Theory of Machines", chapter 10, example 10.10: raising takes 4.2433 times the torque of lowering
    # (ratio published; mean diameter 50 mm, pitch 12.5 mm, friction 0.13 from memory).
    raise_, lower = screw(50, 12.5, 1.0, 0.13)
    assert raise_ / lower == pytest.approx(4.2433212, rel=1e-6)


def test_spanner_force() -> None:
    # Khurmi & Gupta, "Theory of Machines", chapter 10, example 10.6 p. 274: core 22.5, pitch 5, 10 kN, arm 500 mm, collar 25.
    raise_, _ = screw(25, 5, 10000, 0.1, 25, 0.16)
    assert raise_ / 0.5 == pytest.approx(121.17764, abs=0.5)


def test_turnbuckle_with_two_ends() -> None:
    # Khurmi & Gupta, chapter 10, example 10.13 p. 284: 40 kN, mean diameter 22, pitch 3, V thread, friction 0.15 / cos 30.
    raise_, _ = screw(22, 3, 40000, 0.15 / math.cos(math.radians(30)))
    assert 2 * raise_ == pytest.approx(192.0616, abs=0.385)


def test_load_held_by_a_pull() -> None:
    # Jindal, chapter 16, example 16-4 p. 453: 300 N at 180 mm, d 28, pitch 8, friction 0.12, collar 0.15 at 31 mm.
    per_newton, _ = screw(24, 8, 1.0, 0.12, 31, 0.15)
    assert 300 * 0.18 / per_newton / 1000 == pytest.approx(7.2990421, rel=1e-3)


def test_it_holds_when_friction_exceeds_the_tangent_of_the_angle() -> None:
    # Shigley, 9th ed., p. 416, equation 8-3: f > tan(lambda); lead angle 6 against friction angle 8 holds.
    friction = math.tan(math.radians(8))
    assert locking(6, 10, 100, friction).holds
    assert not locking(8.01, 10, 100, friction).holds
    assert friction_angle(friction) == pytest.approx(8)


@pytest.mark.parametrize(
    ("drop", "friction", "lock", "release"),
    [
        # Common practice, no source: ramps of 0.005, 0.010, 0.015 in per 10 degrees at 0.75 in, 500 lbf, in inch-pounds.
        (0.005, 0.08, 44, 16), (0.005, 0.12, 60, 31), (0.005, 0.15, 71, 42), (0.010, 0.08, 59, 1), (0.010, 0.12, 74, 16),
        (0.010, 0.15, 86, 27), (0.015, 0.12, 89, 2), (0.015, 0.15, 101, 13),
    ],
)  # fmt: skip
def test_clamp_ramps(drop: float, friction: float, lock: float, release: float) -> None:
    angle = math.degrees(math.atan(drop / (0.75 * math.radians(10))))
    found = locking(angle, 0.75 * 25.4, 500 * 4.4482216152605, friction)
    assert found.lock / 112.98482902761667 == pytest.approx(lock, abs=0.6)
    assert found.release / 112.98482902761667 == pytest.approx(release, abs=0.6)
    assert found.holds


def test_the_steep_oily_ramp_opens_by_itself() -> None:
    angle = math.degrees(math.atan(0.015 / (0.75 * math.radians(10))))
    found = locking(angle, 19.05, 1000.0, 0.08)
    assert found.release < 0
    assert not found.holds


def test_a_ramp_that_no_torque_closes_is_said_to_need_an_infinite_one() -> None:
    found = locking(85, 10, 100, 0.15)  # 0.15 x tan(85 deg) is 1.71: the harder it is turned the harder it jams
    assert found.lock == math.inf
    assert not found.holds


def test_a_ramp_on_the_tip_leans_on_its_collar() -> None:
    # Neither opens nor holds by itself: what holds it is the second face.
    assert Locking(0.1, lock=5.0, release=1.0, alone=0.0).leans_on_collar
    assert not Locking(0.1, lock=5.0, release=1.0, alone=0.1).leans_on_collar
    assert not Locking(0.1, lock=5.0, release=0.0, alone=0.0).holds


def test_the_steepest_ramp_that_friction_holds_by_hand() -> None:
    # tan 45 is 1, and a flank that leans 60 degrees doubles friction, as its cosine is a half; tan 11.31 is 0.2.
    assert friction_angle(1.0) == pytest.approx(45.0)
    assert friction_angle(0.5, flank=60.0) == pytest.approx(45.0)
    assert holds(11.30, 0.2) is True
    assert holds(11.32, 0.2) is False


def test_a_ramp_that_no_torque_closes_at_whatever_size() -> None:
    # Friction 1 on a ramp of 45 degrees pushes straight along it; a little less of either, and a torque closes it.
    assert locking(45.01, 20.0, 100.0, 1.0).lock == math.inf
    assert locking(45.0, 20.0, 100.0, 1.01).lock == math.inf
    assert math.isfinite(locking(44.0, 20.0, 100.0, 1.0).lock)
    # A torque goes with the radius, however small the ramp.
    small, large = (locking(5.0, radius, 100.0, 0.15).lock for radius in (0.02, 20.0))
    assert small * 1000 == pytest.approx(large)
