"""Small searches against scipy's and against a fine grid."""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from stepcut.kernel.search import crossing, lowest, valley

Curve = Callable[[float], float]


def valleys(at: float, steep: float) -> list[Curve]:
    return [lambda x: steep * (x - at) ** 2 + 1, lambda x: math.cosh(steep * (x - at)), lambda x: abs(x - at) ** 1.5]


def rising(at: float, steep: float, power: int) -> list[Curve]:
    return [lambda x: steep * (x - at + (x - at) ** power), lambda x: math.expm1(steep * (x - at)),
            lambda x: math.atan(steep * (x - at))]  # fmt: skip


def test_the_bottom_of_a_valley_is_that_of_scipy() -> None:
    chance = random.Random("valley")  # noqa: S311  # repeatable cases, not secrets
    for _ in range(60):
        low, bottom, steep = chance.uniform(-5, 5), chance.uniform(-0.2, 1.2), chance.uniform(0.3, 3)
        high = low + chance.uniform(0.1, 9)
        at = low + bottom * (high - low)
        for curve in valleys(at, steep):
            asked: list[float] = []

            def looked(x: float, curve=curve, asked=asked) -> float:  # type: ignore[no-untyped-def]
                asked.append(x)
                return float(curve(x))

            where, value = valley(looked, low, high)
            found = minimize_scalar(curve, bounds=(low, high), method="bounded", options={"xatol": 1e-9})
            assert where == pytest.approx(found.x, abs=2e-6 * (high - low) + 1e-7)
            assert value == pytest.approx(curve(where), rel=1e-12)
            assert value <= found.fun + (1e-9 if 0 < bottom < 1 else 1e-4)
            assert all(low < x < high for x in asked)  # at the ends it is not asked
            assert len(asked) <= 61


def test_of_several_valleys_the_lowest_is_found_and_ends_count() -> None:
    chance = random.Random("lowest")  # noqa: S311  # repeatable cases, not secrets
    for _ in range(30):
        waves, phase, lean = chance.uniform(0.5, 4), chance.uniform(0, 6), chance.uniform(-0.4, 0.4)

        def curve(x: float, waves: float = waves, phase: float = phase, lean: float = lean) -> float:
            return math.sin(waves * x + phase) + lean * x

        x = np.linspace(-1, 5, 600_001)
        y = np.sin(waves * x + phase) + lean * x
        where, value = lowest(curve, -1.0, 5.0)
        assert value == pytest.approx(y.min(), abs=1e-9)
        assert where == pytest.approx(x[y.argmin()], abs=2e-5)
    assert lowest(lambda x: x, 2.0, 3.0) == (2.0, 2.0)
    assert lowest(lambda x: -x, 2.0, 3.0) == (3.0, -3.0)
    assert lowest(lambda x: x * x, 2.0, 2.0) == (2.0, 4.0)
    assert lowest(lambda x: x * x, 2.0, 1.0) == (2.0, 4.0)


def test_a_valley_between_the_samples_is_found_where_it_is_named() -> None:
    def curve(x: float) -> float:
        return min(1.0, 1e5 * (x - 0.4321) ** 2)  # 6 thousandths wide, in samples of 1/4

    assert lowest(curve, 0.0, 1.0, 4)[1] == 1.0
    assert lowest(curve, 0.0, 1.0, 4, (0.4321, 7.0)) == (0.4321, 0.0)


def test_infinite_parts_of_a_curve_are_passed_over() -> None:
    where, value = lowest(lambda x: math.inf if x < 1 else (x - 2) ** 2, 0.0, 4.0)
    assert (where, value) == pytest.approx((2.0, 0.0), abs=1e-6)
    assert lowest(lambda x: math.inf, 0.0, 4.0)[1] == math.inf


@pytest.mark.parametrize("guessed", [None, -0.03, 0.0, 0.4])
def test_a_crossing_is_that_of_scipy(guessed: float | None) -> None:
    chance = random.Random("crossing")  # noqa: S311  # repeatable cases, not secrets
    for _ in range(60):
        at, power, steep = chance.uniform(0.05, 0.95), chance.choice([1, 3, 5]), chance.uniform(0.5, 20)
        for curve in rising(at, steep, power):
            wanted = brentq(curve, 0.0, 1.0, xtol=1e-15)
            guess = None if guessed is None else wanted + guessed
            assert crossing(curve, 0.0, 1.0, guess=guess) == pytest.approx(wanted, abs=1e-9)


def test_a_curve_that_does_not_cross_gives_the_end_where_it_comes_nearest() -> None:
    assert crossing(lambda x: x + 1, 0.0, 2.0) == 0.0
    assert crossing(lambda x: x - 3, 0.0, 2.0) == 2.0
    assert crossing(lambda x: x + 1, 0.0, 2.0, guess=1.0) == 0.0
    assert crossing(lambda x: x - 3, 0.0, 2.0, guess=1.0) == 2.0
    assert crossing(lambda x: 1.0, 0.0, 2.0, guess=1.0) == 0.0
    assert crossing(lambda x: -1.0, 0.0, 2.0, guess=1.0) == 2.0


def test_an_end_outside_the_cutter_does_not_stop_the_search() -> None:
    # Outside a cutter its depth is minus infinity: the difference of two cuts is then infinite at one end.
    assert crossing(lambda x: -math.inf if x < 0.5 else x - 0.75, 0.0, 1.0) == pytest.approx(0.75, abs=1e-9)
    assert crossing(lambda x: math.inf if x > 0.5 else x - 0.25, 0.0, 1.0) == pytest.approx(0.25, abs=1e-9)
    assert crossing(lambda x: math.inf if x > 0.5 else x - 0.25, 0.0, 1.0, guess=0.9) == pytest.approx(0.25, abs=1e-9)
    assert crossing(lambda x: -1.0 if x < 0.3 else 1.0, 0.0, 1.0) == pytest.approx(0.3, abs=1e-9)  # a jump
