"""Least squares and their limits against scipy and numpy."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import optimize, special, stats

from stepcut.shop.fitting import beta_share, circle, f_quantile, rising_rest, straight
from stepcut.shop.read_fillet import fillet


@pytest.mark.parametrize("share", [0.5, 0.95, 0.999, 0.9999])
def test_quantiles_of_f(share: float) -> None:
    for a in (1, 2, 3, 4):
        for b in (1, 2, 4, 9, 30, 200):
            assert f_quantile(share, a, b) == pytest.approx(stats.f.ppf(share, a, b), rel=1e-6)


def test_the_incomplete_beta_function() -> None:
    random = np.random.default_rng(1)
    for a, b, x in zip(
        random.uniform(0.5, 60, 300), random.uniform(0.5, 60, 300), random.uniform(0, 1, 300), strict=True
    ):
        assert beta_share(x, a, b) == pytest.approx(special.betainc(a, b, x), abs=1e-11)


def test_the_best_line_that_never_falls() -> None:
    random = np.random.default_rng(2)
    for n in (3, 8, 20):
        values = random.normal(0, 1, n) + np.arange(n) * 0.2
        fitted = optimize.isotonic_regression(values).x
        assert rising_rest(list(values)) == pytest.approx(float(np.sum((values - fitted) ** 2)), abs=1e-9)


def test_a_straight_line() -> None:
    random = np.random.default_rng(3)
    xs = random.uniform(0, 90, 20)
    ys = 12 + 0.05 * xs + random.normal(0, 0.01, 20)
    slope, level = np.polyfit(xs, ys, 1)
    line = straight(list(xs), list(ys))
    assert line is not None
    assert line.slope == pytest.approx(slope)
    assert line.at(0) == pytest.approx(level)
    assert straight([3.0, 3.0], [1.0, 2.0]) is None


def test_a_circle() -> None:
    random = np.random.default_rng(4)
    turn = random.uniform(0.3, 1.6, 25)
    xs = 5 + 12 * np.cos(turn) + random.normal(0, 0.02, 25)
    ys = -2 + 12 * np.sin(turn) + random.normal(0, 0.02, 25)
    best = optimize.least_squares(lambda p: np.hypot(xs - p[0], ys - p[1]) - p[2], (4.0, -1.0, 10.0), xtol=1e-14)
    found = circle(list(xs), list(ys))
    assert found is not None
    assert (found.x, found.y, found.radius) == pytest.approx(tuple(best.x), abs=1e-6)
    assert found.rest == pytest.approx(2 * best.cost, rel=1e-6)
    assert found.spread == pytest.approx(tuple(np.diag(np.linalg.inv(best.jac.T @ best.jac))), rel=1e-5)


def test_the_incomplete_beta_function_is_nought_below_and_one_above() -> None:
    assert [beta_share(x, 2.0, 3.0) for x in (-0.5, 0.0, 1.0, 1.5)] == [0.0, 0.0, 1.0, 1.0]
    for a, b in ((0.5, 0.5), (1.0, 40.0), (30.0, 2.5), (200.0, 210.0)):
        for x in (1e-6, 0.03, 0.5, 0.97, 1 - 1e-6):
            assert beta_share(x, a, b) == pytest.approx(float(special.betainc(a, b, x)), rel=1e-9, abs=1e-12)


def test_three_readings_are_no_fillet() -> None:
    """Three figures make one, so that nothing would be left to judge it by."""
    assert fillet([0.0, 1.0, 2.0], [10.0, 10.0, 11.0]) is None


def test_a_fillet_is_that_of_scipy_with_its_variances() -> None:
    random = np.random.default_rng(5)
    z = np.linspace(0.0, 30.0, 61)

    def shape(base: float, begins: float, size: float) -> np.ndarray:
        over = np.clip(z - begins, 0.0, 0.999 * size)
        return base + size - np.sqrt(size**2 - over**2)

    radii = shape(13.0, 21.5, 10.5) + random.normal(0, 0.004, 61)
    best = optimize.least_squares(lambda p: shape(*p) - radii, (13.0, 21.0, 11.0), xtol=1e-14, ftol=1e-14)
    found = fillet(list(z), list(radii))
    assert found is not None
    assert (found.base, found.begins, found.radius) == pytest.approx(tuple(best.x), abs=1e-4)
    assert found.spread == pytest.approx(tuple(np.diag(np.linalg.inv(best.jac.T @ best.jac))), rel=0.01)
