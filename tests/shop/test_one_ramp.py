"""Readings laid on one ramp, against least squares of numpy and a fine lattice."""

from __future__ import annotations

import math

import numpy as np
import pytest

from stepcut.kernel.motions import MOTIONS
from stepcut.shop.one_ramp import Fit, folded
from stepcut.shop.reading import neighbours


def ring(ramps: int, motion: str, high: float, low: float, noise: float = 0.0) -> tuple[list[float], list[float]]:
    """Readings every 7 degrees of a ring of equal ramps that fall 2 mm from 0.5 mm between two places."""
    random = np.random.default_rng(5)
    angles = np.arange(0.0, 360.0, 7.0)
    along = (angles - high) % (360.0 / ramps)
    share = [MOTIONS[motion].share(min(1.0, a / (low - high))) for a in along]
    return angles.tolist(), (0.5 + 2.0 * np.array(share) + noise * random.normal(0, 1, len(angles))).tolist()


@pytest.mark.parametrize("motion", ["uniform", "harmonic", "cycloidal"])
@pytest.mark.parametrize("ramps", [1, 2])
def test_start_and_rise_for_two_places_are_those_of_least_squares(motion: str, ramps: int) -> None:
    angles, depths = ring(ramps, motion, 10.0, 130.0, noise=0.02)
    laid = folded(angles, depths, ramps, 1)
    fit = Fit(laid, motion)
    for high, low in ((10.0, 130.0), (15.0, 120.0), (20.0, 140.0)):
        found = fit.at(high, low)
        assert found is not None
        share = np.clip((np.array(laid.places) - high) / (low - high), 0, 1)
        design = np.column_stack([np.ones(len(share)), [MOTIONS[motion].share(float(x)) for x in share]])
        (start, rise), rest, *_ = np.linalg.lstsq(design, np.array(laid.depths), rcond=None)
        assert (found.start, found.rise) == pytest.approx((start, rise), abs=2e-4)  # the motion is looked up in a table
        assert found.rest == pytest.approx(float(rest[0]), rel=2e-3)
        spread = np.linalg.inv(design.T @ design)
        assert (found.per_start, found.per_rise) == pytest.approx((spread[0, 0], spread[1, 1]), rel=1e-3)
        assert found.span == low - high


def test_readings_of_a_ring_are_laid_on_one_ramp_and_cut_open_at_the_riser() -> None:
    angles, depths = ring(2, "uniform", 10.0, 130.0)
    laid = folded(angles, depths, 2, 1)
    assert laid.period == 180.0
    assert sorted(laid.order) == list(range(len(angles)))
    assert [depths[k] for k in laid.order] == list(laid.depths)
    assert list(laid.places) == sorted(laid.places)
    off = [math.remainder(place - angles[k], 180) for place, k in zip(laid.places, laid.order, strict=True)]
    assert off == pytest.approx([0] * len(off), abs=1e-9)
    assert list(laid.depths) == sorted(laid.depths)  # from the riser on it only falls
    assert laid.rest == pytest.approx(0.0, abs=1e-12)
    # Read the other way round the same ring only rises, which no falling line fits.
    assert folded(angles, depths, 2, -1).rest > 1.0
    other_way = folded([-angle for angle in angles], depths, 2, -1)
    assert (other_way.rest, other_way.way, other_way.ramps) == (pytest.approx(0.0, abs=1e-12), -1, 2)


@pytest.mark.parametrize("motion", ["uniform", "harmonic"])
def test_the_best_places_are_those_of_a_fine_lattice(motion: str) -> None:
    angles, depths = ring(1, motion, 40.0, 250.0, noise=0.01)
    fit = Fit(folded(angles, depths, 1, 1), motion)
    best = fit.best()
    assert best is not None
    assert (best.high, best.low) == pytest.approx((40.0, 250.0), abs=3.0)
    lattice = [found.rest for a in np.arange(30, 50, 0.5) for b in np.arange(240, 260, 0.5)
               if (found := fit.at(float(a), float(b))) is not None]  # fmt: skip
    assert best.rest <= min(lattice) + 1e-9
    near = fit.best((42.0, 245.0))
    assert near is not None
    assert near.rest == pytest.approx(best.rest, rel=1e-6)


def test_the_region_reaches_as_far_as_the_sum_of_squares_allows() -> None:
    angles, depths = ring(1, "uniform", 40.0, 250.0, noise=0.02)
    fit = Fit(folded(angles, depths, 1, 1), "uniform")
    best = fit.best()
    assert best is not None
    limit = 1.3 * best.rest
    inside = fit.region(best, limit)
    assert all(found.rest <= limit for found in inside)
    lattice = [found for a in np.arange(25, 55, 0.5) for b in np.arange(230, 270, 0.5)
               if (found := fit.at(float(a), float(b))) is not None and found.rest <= limit]  # fmt: skip
    for of in (lambda found: found.high, lambda found: found.low):
        seen, known = [of(found) for found in inside], [of(found) for found in lattice]
        assert min(seen) <= min(known) + 1.0
        assert max(seen) >= max(known) - 1.0
        assert min(seen) >= min(known) - 2.0
        assert max(seen) <= max(known) + 2.0


def test_places_that_say_nothing_have_no_fit() -> None:
    angles, depths = ring(1, "uniform", 40.0, 250.0)
    fit = Fit(folded(angles, depths, 1, 1), "uniform")
    assert fit.at(100.0, 100.0) is None
    assert fit.at(100.0, 106.0) is None  # less than a fiftieth of a turn: a riser, not a ramp
    assert fit.at(fit.earliest - 0.1, 200.0) is None
    assert fit.at(100.0, fit.latest + 0.1) is None
    assert fit.at(100.0, 120.0) is not None
    level = Fit(folded(angles, [1.0] * len(angles), 1, 1), "uniform")
    assert level.at(40.0, 250.0) is None
    assert level.best() is None


def test_neighbours_tell_waves_from_scatter() -> None:
    # By hand: +1, -1, +1, -1 differ by 2 three times, 12 over 4; a slow wave of n points has about (2 pi / n)^2.
    assert neighbours([1.0, -1.0, 1.0, -1.0]) == 3.0
    assert neighbours([1.0, 1.0, 1.0]) == 0.0
    wave = [math.sin(2 * math.pi * k / 100) for k in range(100)]
    assert neighbours(wave) == pytest.approx((2 * math.pi / 100) ** 2, rel=0.03)
    scatter = np.random.default_rng(3).normal(0, 1, 20_000).tolist()
    assert neighbours(scatter) == pytest.approx(2.0, abs=0.05)
    assert neighbours([0.0, 0.0]) == 2.0  # nothing is left over: no sign of waves
