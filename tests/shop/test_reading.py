"""Shapes found in simulated readings: the true figures within the stated limits, and no shape in noise.

The parts are made by numpy and scipy: motions by integrating their accelerations twice, cones and arcs from their equations.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import integrate, optimize, stats

from stepcut.shop.found_shape import Found, Nothing
from stepcut.shop.read_cam import cam
from stepcut.shop.read_turned import turned
from stepcut.shop.reading import ramp

ACCELERATIONS = {
    "parabolic": lambda x: np.where(x < 0.5, 1.0, -1.0),
    "harmonic": lambda x: np.cos(np.pi * x),
    "cycloidal": lambda x: np.sin(2 * np.pi * x),
    "3-4-5": lambda x: x - 3 * x**2 + 2 * x**3,
    "4-5-6-7": lambda x: x**2 - 4 * x**3 + 5 * x**4 - 2 * x**5,
}
MOTIONS = ("uniform", "uniform", "uniform", *ACCELERATIONS)
Random = np.random.Generator


def share(motion: str, x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Share of the rise at a share of the span, by integrating the acceleration twice."""
    if motion == "uniform":
        return x
    grid = np.linspace(0, 1, 4001)
    speed = integrate.cumulative_trapezoid(ACCELERATIONS[motion](grid), grid, initial=0)
    way = integrate.cumulative_trapezoid(speed, grid, initial=0)
    return np.interp(x, grid, way / way[-1])


def a_ramp_is_right(random: Random) -> bool:
    """Measure one random ring and say whether all that is said of it is true."""
    ramps, motion = int(random.integers(1, 5)), str(random.choice(MOTIONS))
    period, way = 360 / ramps, int(random.choice([1, -1]))
    span, rise = period * random.uniform(0.4, 0.9), random.uniform(0.5, 6)
    start, high = random.uniform(0, 1), random.uniform(0, 360)
    n, scatter = int(random.integers(24, 61)), rise * random.uniform(0.002, 0.015)
    angles = np.sort(random.uniform(0, 360, n)) if random.random() < 0.5 else np.arange(n) * 360 / n
    along = np.clip((way * (angles - high)) % period / span, 0, 1)
    depths = start + rise * share(motion, along) + random.normal(0, scatter, n)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise")
    if isinstance(found, Nothing):
        return False
    figures = found.figures
    told = {"rise": rise, "span": span, "start": start, "slope": rise / span}
    within = all(figures[name].low <= true <= figures[name].high for name, true in told.items())
    placed = any(figures["high"].low <= high % period + k * period <= figures["high"].high for k in range(-8, 9))
    # A part whose depth grows clockwise falls clockwise, and rises the other way.
    hand = found.rises == ("anticlockwise" if way > 0 else "clockwise")
    return within and placed and hand and motion in found.motions and ramps in found.ramps


def a_cone_is_right(random: Random) -> bool:
    n, length = int(random.integers(5, 25)), random.uniform(15, 120)
    slope, large = random.uniform(0.02, 0.4), random.uniform(10, 80)
    places = np.sort(random.uniform(0, length, n))
    diameters = large - slope * places + random.normal(0, 0.01, n)
    found = turned(places.tolist(), diameters.tolist())
    if isinstance(found, Nothing) or found.shape != "taper":
        return False
    ends = {"large": large - slope * places[0], "small": large - slope * places[-1], "slope": slope}
    return all(found.figures[name].low <= true <= found.figures[name].high for name, true in ends.items())


def an_arc_is_right(random: Random) -> bool:
    n, radius = int(random.integers(10, 30)), random.uniform(6, 30)
    axis, centre = random.choice([0.0, radius * 1.5]), random.uniform(-5, 40)
    turn = np.sort(random.uniform(0.4, 2.4, n))
    hollow = bool(axis) and random.random() < 0.5
    places = centre + radius * np.cos(turn)
    radii = axis - radius * np.sin(turn) if hollow else axis + radius * np.sin(turn)
    found = turned(places.tolist(), (2 * (radii + random.normal(0, 0.01, n))).tolist())
    if isinstance(found, Nothing) or found.shape != "radius":
        return False
    told = {"radius": radius, "axis": axis, "centre": centre}
    within = all(found.figures[name].low <= true <= found.figures[name].high for name, true in told.items())
    return within and found.hollow == hollow


def within(found: Found, told: dict[str, float], turns: tuple[str, ...] = ()) -> bool:
    """Whether every true figure lies in its limits; angles that come round with a turn or more less."""
    return all(
        any(
            found.figures[name].low <= true + 360 * k <= found.figures[name].high
            for k in (range(-3, 4) if name in turns else (0,))
        )
        for name, true in told.items()
    )


def a_cam_is_right(random: Random) -> bool:
    up, down = (str(random.choice(MOTIONS)) for _ in range(2))
    base, lift, begin = random.uniform(8, 30), random.uniform(1, 8), random.uniform(0, 360)
    rise, fall = random.uniform(40, 110, 2)
    top = random.uniform(10, 80) if random.random() < 0.8 else 0.0  # one in five has no dwell
    n, scatter = int(random.integers(48, 100)), lift * random.uniform(0.002, 0.012)
    angles = np.arange(n) * 360 / n
    x = (angles - begin) % 360
    climbs, drops = share(up, np.clip(x / rise, 0, 1)), share(down, np.clip((x - rise - top) / fall, 0, 1))
    radii = base + lift * np.where(x < rise + top, climbs, 1 - drops) + random.normal(0, scatter, n)
    found = cam(angles.tolist(), radii.tolist(), "clockwise")
    if isinstance(found, Nothing):
        return False
    told = {
        "base": base,
        "lift": lift,
        "rise-begin": begin,
        "rise-span": rise,
        "fall-span": fall,
        "fall-end": begin + rise + top + fall,
    }
    return within(found, told, ("rise-begin", "fall-end")) and up in found.motions and down in found.falls


def a_fillet_is_right(random: Random) -> bool:
    base, size, at = random.uniform(6, 30), random.uniform(2, 12), random.uniform(10, 40)
    toward, n = int(random.choice([1, -1])), int(random.integers(14, 40))
    ends = sorted((at + toward * size * random.uniform(0.75, 0.95), at - toward * size * random.uniform(0.8, 2.5)))
    places = np.sort(random.uniform(*ends, n)) if random.random() < 0.5 else np.linspace(*ends, n)
    over = np.clip(toward * (places - at), 0, size)
    radii = base + size - np.sqrt(size**2 - over**2) + random.normal(0, random.uniform(0.003, 0.012), n)
    found = turned(places.tolist(), (2 * radii).tolist())
    if isinstance(found, Nothing) or found.shape != "fillet":
        return False
    return within(found, {"diameter": 2 * base, "radius": size, "at": at})


def a_dwell_is_right(random: Random) -> bool:
    """A ring whose ramps stay level at both ends: how long is as sure as the readings beside the riser are near to it."""
    ramps, way = int(random.integers(1, 4)), int(random.choice([1, -1]))
    period = 360 / ramps
    high, low = period * random.uniform(0.03, 0.25, 2)
    rise, start, begin = random.uniform(0.5, 6), random.uniform(0, 1), random.uniform(0, 360)
    n, span = int(random.integers(30, 80)), period - high - low
    angles = np.arange(n) * 360 / n
    x = (way * (angles - begin)) % period
    x = np.where(x > span + low, x - period, x)
    depths = start + rise * np.clip(x / span, 0, 1) + random.normal(0, rise * random.uniform(0.002, 0.01), n)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise")
    if isinstance(found, Nothing) or "dwell-high" not in found.figures:
        return False
    return within(found, {"dwell-high": high, "dwell-low": low, "span": span, "rise": rise, "start": start})


@pytest.mark.parametrize(
    ("kind", "parts"),
    [(a_cam_is_right, 3), (a_fillet_is_right, 8), (a_dwell_is_right, 5)]
    + [
        pytest.param(kind, 300, marks=pytest.mark.long)
        for kind in (a_cam_is_right, a_fillet_is_right, a_dwell_is_right)
    ],
)
def test_cams_fillets_and_dwells_lie_within_their_limits(kind: Callable[[Random], bool], parts: int) -> None:
    random = np.random.default_rng(25)
    right = [kind(random) for _ in range(parts)]
    # 95 of 100 is said; of a few parts as many may lie outside as chance lets once in a thousand times, of 300 none more.
    allowed = 0.05 * parts if parts >= 300 else stats.binom.ppf(0.999, parts, 0.05)
    assert parts - sum(right) <= allowed, f"{sum(right)} of {parts}"


@pytest.mark.parametrize("cases", [6, pytest.param(300, marks=pytest.mark.long)])
def test_noise_round_a_rim_and_a_cam_of_two_lobes_are_no_cam(cases: int) -> None:
    random = np.random.default_rng(26)
    for case in range(cases):
        n = int(random.integers(16, 80))
        noise = (random.normal(0, 1, n), random.uniform(0, 1, n), random.laplace(0, 1, n))[case % 3]
        angles = np.sort(random.uniform(0, 360, n))
        assert isinstance(cam(angles.tolist(), (20 + noise).tolist(), "clockwise"), Nothing)
    angles = np.arange(0, 360, 5.0)
    for count in (2, 3, 6):
        lobes = 20 + np.clip(3 * np.sin(np.radians(count * angles)), 0, None) + random.normal(0, 0.01, 72)
        assert cam(angles.tolist(), lobes.tolist(), "clockwise") == Nothing("lobes")


def test_a_cam_of_which_a_part_was_measured_is_none() -> None:
    random = np.random.default_rng(27)
    for reaches in (100, 140, 265):  # up, up and down, and all but its base
        angles = np.arange(0, reaches, 4.0)
        radii = np.interp(angles, [0, 100, 150], [20.0, 24.0, 20.0]) + random.normal(0, 0.01, len(angles))
        assert cam(angles.tolist(), radii.tolist(), "clockwise") == Nothing("part-rim")
    angles = np.arange(0, 360, 5.0)
    radii = np.interp(angles, [0, 100, 150], [20.0, 24.0, 20.0]) + random.normal(0, 0.01, 72)
    assert isinstance(cam(angles.tolist(), radii.tolist(), "clockwise"), Found)


@pytest.mark.long
def test_the_true_figures_lie_within_the_limits_of_300_parts() -> None:
    random = np.random.default_rng(20)
    right = [a_ramp_is_right(random) for _ in range(180)]
    right += [a_cone_is_right(random) for _ in range(70)]
    right += [an_arc_is_right(random) for _ in range(50)]
    assert len(right) == 300
    assert sum(right) >= 285, f"{sum(right)} of 300"
    for kind in (right[:180], right[180:250], right[250:]):
        assert sum(kind) >= 0.94 * len(kind)


@pytest.mark.parametrize("cases", [4, pytest.param(80, marks=pytest.mark.long)])
def test_noise_is_given_no_shape(cases: int) -> None:
    random = np.random.default_rng(21 + cases)
    claimed = []
    for case in range(cases):
        n = int(random.integers(8, 60))
        noise = [random.normal(0, 1, n), random.uniform(0, 1, n), random.exponential(1, n), random.laplace(0, 1, n)][
            case % 4
        ]
        angles, places = np.sort(random.uniform(0, 360, n)), np.sort(random.uniform(0, 80, n))
        answers = (
            ramp(angles.tolist(), noise.tolist(), "clockwise"),
            turned(places.tolist(), (20 + 0.1 * noise).tolist()),
        )
        claimed += [answer for answer in answers if isinstance(answer, Found)]
    assert claimed == []


def test_a_ring_that_runs_out_is_no_ramp() -> None:
    # A faced ring held askew: the depth swings as a sine round the ring, down and up again, without a riser.
    random = np.random.default_rng(22)
    angles = np.arange(0, 360, 10.0)
    for turns in (1, 2, 3):
        depths = 0.2 * np.sin(np.radians(turns * angles)) + random.normal(0, 0.003, 36)
        assert isinstance(ramp(angles.tolist(), depths.tolist(), "clockwise"), Nothing)


def test_a_spread_beyond_what_a_reading_may_be_off_is_no_shape() -> None:
    # Uniform, 2 mm in 150 degrees of two ramps, read to 0.02 mm: within 0.03 mm a ramp, within 0.01 mm none.
    random = np.random.default_rng(23)
    angles = np.arange(0, 360, 9.0)
    depths = 2 * np.clip(angles % 180 / 150, 0, 1) + random.normal(0, 0.02, 40)
    assert isinstance(ramp(angles.tolist(), depths.tolist(), "clockwise", error=0.03), Found)
    assert ramp(angles.tolist(), depths.tolist(), "clockwise", error=0.01).code == "error"  # type: ignore[union-attr]


def test_a_part_read_on_one_ramp_only_leaves_their_number_open() -> None:
    random = np.random.default_rng(24)
    angles = np.arange(0, 110, 5.0)
    depths = 0.3 + 1.5 * np.clip((angles - 10) / 80, 0, 1) + random.normal(0, 0.005, 22)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise")
    assert isinstance(found, Found)
    assert found.ramps == (1, 2, 3)
    known = ramp(angles.tolist(), depths.tolist(), "clockwise", ramps=2)
    assert isinstance(known, Found)
    assert known.ramps == (2,)


def one_of_many(random: Random) -> bool:
    """One ramp of two to six is measured, with few readings or many, its low end at times not: the number stays open, the rest is true."""
    ramps, motion = int(random.integers(2, 7)), str(random.choice(MOTIONS))
    period = 360 / ramps
    span, rise, high = period * random.uniform(0.4, 0.9), random.uniform(0.5, 4), random.uniform(0, period * 0.05)
    n = int(random.integers(12, 26))
    angles = np.linspace(0, high + span * random.uniform(0.75, 1.02), n)
    if random.random() < 0.5:  # from the middle of one to the middle of the next: there is a riser among the readings
        angles = np.linspace(high + 0.4 * span, high + 0.4 * span + 0.97 * period, n)
    along = np.where(angles > period, angles - period, angles)
    depths = 0.3 + rise * share(motion, np.clip((along - high) / span, 0, 1)) + random.normal(0, 0.003 * rise, n)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise")
    return (
        isinstance(found, Found) and ramps in found.ramps and within(found, {"rise": rise, "span": span, "start": 0.3})
    )


@pytest.mark.parametrize("parts", [3, pytest.param(60, marks=pytest.mark.long)])
def test_of_one_ramp_of_several_nothing_is_said_that_is_not_so(parts: int) -> None:
    random = np.random.default_rng(41)
    right = sum(one_of_many(random) for _ in range(parts))
    assert parts - right <= stats.binom.ppf(0.999, parts, 0.05), f"{right} of {parts}"


def a_cone_misread(random: Random) -> Found | Nothing:
    n, slope = int(random.integers(8, 25)), random.uniform(0.02, 0.4)
    z = np.sort(random.uniform(0, 80, n))
    d = 40 - slope * z + random.normal(0, 0.01, n)
    d[int(random.integers(n))] += random.choice([-1, 1]) * random.choice([0.5, 1.0, 5.0])
    return turned(z.tolist(), d.tolist())


def a_ring_misread(random: Random) -> Found | Nothing:
    n, period = int(random.integers(30, 50)), 360 / int(random.integers(1, 3))
    angles = np.arange(n) * 360 / n
    depths = 2 * np.clip((angles - 20) % period / (0.7 * period), 0, 1) + random.normal(0, 0.008, n)
    depths[int(random.integers(n))] += random.choice([-1, 1]) * random.choice([0.5, 1.0, 10.0])
    return ramp(angles.tolist(), depths.tolist(), "clockwise")


def a_rim_misread(random: Random) -> Found | Nothing:
    n = int(random.integers(60, 90))
    angles = np.arange(n) * 360 / n
    radii = np.interp(angles, [0, 30, 110, 150, 260, 360], [20, 20, 24, 24, 20, 20]) + random.normal(0, 0.01, n)
    radii[int(random.integers(n))] *= random.choice([0.1, 0.9, 1.1])
    return cam(angles.tolist(), radii.tolist(), "clockwise")


@pytest.mark.parametrize("kind", [a_cone_misread, a_ring_misread, a_rim_misread])
@pytest.mark.parametrize("parts", [2, pytest.param(40, marks=pytest.mark.long)])
def test_one_misread_number_makes_no_other_shape(kind: Callable[[Random], Found | Nothing], parts: int) -> None:
    random = np.random.default_rng(42)
    answers = [kind(random) for _ in range(parts)]
    # A number off by half a millimetre beside a riser may be of either ramp; elsewhere it is named, or at least nothing is claimed.
    claimed = [answer for answer in answers if isinstance(answer, Found)]
    assert len(claimed) <= 0.05 * parts
    assert sum(isinstance(answer, Nothing) and answer.code == "misread" for answer in answers) >= 0.8 * parts


def a_step(random: Random, z: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(z < z.max() * random.uniform(0.3, 0.7), 10.0, 10 + random.uniform(0.5, 4))


def a_cone_on_a_cylinder(random: Random, z: NDArray[np.float64]) -> NDArray[np.float64]:
    return 10 + np.clip(z - z.max() * random.uniform(0.3, 0.7), 0, None) * random.uniform(0.05, 0.3)


@pytest.mark.parametrize("kind", [a_step, a_cone_on_a_cylinder])
@pytest.mark.parametrize("parts", [6, pytest.param(100, marks=pytest.mark.long)])
def test_a_step_and_a_bend_are_no_cone_and_no_fillet(
    kind: Callable[[Random, NDArray[np.float64]], NDArray[np.float64]], parts: int
) -> None:
    random = np.random.default_rng(43)
    claimed = 0
    for _ in range(parts):
        n = int(random.integers(8, 30))
        z = np.linspace(0, random.uniform(15, 60), n)
        claimed += isinstance(turned(z.tolist(), (2 * kind(random, z) + random.normal(0, 0.01, n)).tolist()), Found)
    assert claimed <= 0.02 * parts


def test_too_few_readings_are_said_to_be_too_few() -> None:
    assert ramp([0.0, 90.0, 180.0], [0.0, 1.0, 2.0], "clockwise") == Nothing("too-few")
    assert turned([0.0, 10.0], [5.0, 6.0]) == Nothing("too-few")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_limits_of_a_cone_are_the_working_hotelling_band(seed: int) -> None:
    # H. Working, H. Hotelling (1929): a band that holds along a whole straight line, from F with 2 and n - 2 degrees of freedom.
    random = np.random.default_rng(seed)
    z = np.sort(random.uniform(0, 60, 25))
    d = 20 + 0.08 * z + random.normal(0, 0.01, 25)
    found = turned(z.tolist(), d.tolist())
    assert isinstance(found, Found)
    slope, level = np.polyfit(z, d, 1)
    variance = np.sum((d - level - slope * z) ** 2) / 23
    wide = np.sqrt(2 * stats.f.ppf(0.95, 2, 23) * variance)
    spread = np.sum((z - z.mean()) ** 2)
    for name, at in (("small", z.min()), ("large", z.max())):
        half = wide * np.sqrt(1 / 25 + (at - z.mean()) ** 2 / spread)
        figure = found.figures[name]
        assert (figure.best, figure.low, figure.high) == pytest.approx(
            (level + slope * at, level + slope * at - half, level + slope * at + half), abs=1e-6
        )
    tilt = wide / np.sqrt(spread)
    assert (found.figures["slope"].low, found.figures["slope"].high) == pytest.approx(
        (slope - tilt, slope + tilt), abs=1e-6
    )
    assert found.scatter == pytest.approx(np.sqrt(variance))
    assert list(found.left) == pytest.approx((d - level - slope * z).tolist())
    assert found.figures["length"].best == pytest.approx(z.max() - z.min())
    # Readings that no more than a division tells apart scatter by the twelfth of its square at least.
    exact = turned(z.tolist(), (20 + 0.08 * z).tolist(), division=0.02)
    assert isinstance(exact, Found)
    assert exact.scatter == pytest.approx(0.02 / np.sqrt(12) * np.sqrt(25 / 23))


def test_a_cone_is_claimed_where_its_slope_is_beyond_doubt_only() -> None:
    z = np.linspace(0, 60, 25)
    noise = np.random.default_rng(4).normal(0, 0.01, 25)
    assert isinstance(turned(z.tolist(), (20 + 0.002 * z + noise).tolist()), Found)
    level = turned(z.tolist(), (20 + 0.00005 * z + noise).tolist())
    assert isinstance(level, Nothing)
    assert level.code == "no-slope"
    _, (residue,), *_ = np.polyfit(z, 20 + 0.00005 * z + noise, 1, full=True)
    assert level.scatter == pytest.approx(np.sqrt(residue / 23))
    beyond = turned(z.tolist(), (20 + 0.08 * z + noise).tolist(), error=0.002)
    assert isinstance(beyond, Nothing)
    assert (beyond.code, beyond.rise) == ("error", pytest.approx(0.08 * 60, rel=0.01))
    waves = turned(z.tolist(), (20 + 0.002 * z + 0.01 * np.sin(z / 60 * 2 * np.pi)).tolist())
    assert isinstance(waves, Nothing)
    assert turned([5.0] * 8, [20.0] * 8) == Nothing("no-rise")
    assert turned([1.0, 2.0, 3.0, 4.0], [20.0, 20.1, 20.2, 20.3]) == Nothing("too-few")


def test_an_arc_is_told_from_a_cone_and_a_hollow_from_a_ball() -> None:
    random = np.random.default_rng(7)
    z = np.linspace(2, 22, 30)
    for hollow in (False, True):
        r = 40 - np.sqrt(30**2 - (z - 12) ** 2) if hollow else -10 + np.sqrt(30**2 - (z - 12) ** 2)
        found = turned(z.tolist(), (2 * (r + random.normal(0, 0.004, 30))).tolist())
        assert isinstance(found, Found)
        assert (found.shape, found.hollow) == ("radius", hollow)
        for name, true in (("centre", 12.0), ("axis", 40.0 if hollow else -10.0), ("radius", 30.0)):
            figure = found.figures[name]
            assert figure.low < figure.best < figure.high
            assert figure.low - 0.05 < true < figure.high + 0.05
        # Above the arc is metal still to file, on a ball and in a hollow alike.
        out = np.array(found.left)
        lifted = turned(z.tolist(), (2 * (r + 0.015 * (np.arange(30) == 10) + random.normal(0, 0.004, 30))).tolist())
        assert isinstance(lifted, Found)
        assert np.argmax(lifted.left) == 10
        assert abs(out.mean()) < 0.005


def test_a_ring_read_the_other_way_round_is_the_same_ring_mirrored() -> None:
    random = np.random.default_rng(9)
    angles = np.arange(3.0, 360.0, 8.0)
    depths = 0.4 + 2.0 * np.clip((angles - 40) / 200, 0, 1) + random.normal(0, 0.01, len(angles))
    one = ramp(angles.tolist(), depths.tolist(), "clockwise")
    other = ramp((-angles).tolist(), depths.tolist(), "clockwise")
    assert isinstance(one, Found)
    assert isinstance(other, Found)
    assert one.figures["high"].low < 40 < one.figures["high"].high
    mirrored = other.figures["high"]
    assert (mirrored.low, mirrored.best, mirrored.high) == pytest.approx(
        tuple(-value for value in (one.figures["high"].high, one.figures["high"].best, one.figures["high"].low)),
        abs=0.05,
    )
    assert {one.rises, other.rises} == {"clockwise", "anticlockwise"}
    for name in ("rise", "span", "start"):
        assert other.figures[name].best == pytest.approx(one.figures[name].best, rel=1e-3)


def test_an_arc_is_taken_where_an_f_test_of_scipy_says_that_a_cone_leaves_too_much() -> None:
    # The arc has one figure more: it is taken where chance would leave so much less once in a thousand cones.
    z = np.linspace(0.0, 30.0, 13)
    noise = np.random.default_rng(12).normal(0, 0.01, 13)
    answers = set()
    for bulge in np.linspace(0.0, 0.04, 11):
        r = 15 + 0.1 * z - bulge * (z / 15 - 1) ** 2 + noise
        slope, level = np.polyfit(z, r, 1)
        cone = np.sum((r - level - slope * z) ** 2)
        far = optimize.least_squares(
            lambda p: np.hypot(z - p[0], r - p[1]) - p[2],  # noqa: B023
            (15.0, -1000.0, 1016.0) if bulge < 0.01 else (15.0, 15 - 112.5 / bulge, 112.5 / bulge), x_scale=(1.0, 100.0, 100.0), max_nfev=400,
        )  # fmt: skip
        arc = np.sum(far.fun**2)
        odds = (cone - arc) / (arc / 10)
        if abs(odds / stats.f.ppf(0.999, 1, 10) - 1) < 0.05:
            continue  # the two distances, square to the arc and to the axis, differ by as much
        found = turned(z.tolist(), (2 * r).tolist())
        # An arc that hardly stands out of the scatter is taken for one, and then not claimed.
        answer = found.shape if isinstance(found, Found) else {"scatter": "radius"}[found.code]
        answers.add(answer)
        assert answer == ("radius" if odds > stats.f.ppf(0.999, 1, 10) else "taper")
    assert answers == {"radius", "taper"}


def a_fillet(scatter: float, wave: float = 0.0) -> tuple[list[float], list[float]]:
    """Diameters along a fillet of 3 mm at z = 6, on 20 mm."""
    random, z = np.random.default_rng(1), np.linspace(0, 8.6, 44)
    radii = (
        10 + 3 - np.sqrt(9 - np.clip(z - 6, 0, None) ** 2) + random.normal(0, 1, 44) * scatter + wave * np.sin(z * 2.5)
    )
    return z.tolist(), (2 * radii).tolist()


def a_crown(scatter: float, wave: float = 0.0) -> tuple[list[float], list[float]]:
    """Diameters along a crown of 200 mm radius, 20 mm long, on 20 mm."""
    random, z = np.random.default_rng(1), np.linspace(-10, 10, 60)
    radii = 10 + np.sqrt(200**2 - z**2) - 200 + random.normal(0, 1, 60) * scatter + wave * np.sin(z * 1.5)
    return z.tolist(), (2 * radii).tolist()


@pytest.mark.parametrize(
    ("part", "wave", "rough"), [(a_fillet, 0.1, 0.3), pytest.param(a_crown, 0.03, 0.08, marks=pytest.mark.long)]
)
def test_what_is_too_rough_for_its_shape_is_called_so(
    part: Callable[..., tuple[list[float], list[float]]], wave: float, rough: float
) -> None:
    """A scatter beyond what one reading may be off; readings that wave about the shape; a scatter as large as the shape."""
    assert isinstance(turned(*part(0.003)), Found)
    assert isinstance(turned(*part(0.0, wave / 100)), Found)  # so fine a pattern may be the steps of the cut
    for more, error, code in (((0.02,), 0.004, "error"), ((0.0, wave), None, "waves"), ((rough,), None, "scatter")):
        found = turned(*part(*more), error=error)
        assert isinstance(found, Nothing)
        assert found.code == code, more


def test_a_rim_with_few_readings_on_one_way_is_read_too_seldom() -> None:
    assert cam([0.0, 120.0, 240.0], [20.0, 24.0, 22.0], "clockwise") == Nothing("too-few")
    angles = [*np.linspace(0, 300, 40), 330.0]
    found = cam(angles, np.interp(angles, [0, 300, 360], [20.0, 24.0, 20.0]).tolist(), "clockwise")
    assert found == Nothing("too-few")


def test_a_level_face_is_no_ramp() -> None:
    found = ramp([20.0 * k for k in range(18)], [1.0] * 18, "clockwise")
    assert isinstance(found, Nothing)
    assert found.code == "no-rise"


def test_one_step_down_is_no_ramp() -> None:
    """Two levels have no slope between them that a reading stands on."""
    found = ramp([20.0 * k for k in range(18)], [0.0] * 9 + [2.0] * 9, "clockwise", ramps=1)
    assert isinstance(found, Nothing)
    assert found.code == "scatter"


def test_waves_along_a_ramp_are_told_from_scatter() -> None:
    angles = np.arange(60) * 6.0
    depths = np.clip(3 * (angles - 20) / 240, 0, 3) + 0.15 * np.sin(np.arange(60) / 6)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise", ramps=1)
    assert isinstance(found, Nothing)
    assert found.code == "waves"


def test_a_ramp_that_is_level_for_more_than_half_a_turn_has_its_dwells() -> None:
    """Level from 40 degrees on for 200, then 3 mm in 100, then level for 60: readings every five degrees."""
    angles = np.arange(72) * 5.0
    depths = 3 * np.clip(((angles - 40) % 360 - 200) / 100, 0, 1)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise")
    assert isinstance(found, Found)
    for name, true in (("dwell-high", 200.0), ("dwell-low", 60.0)):
        figure = found.figures[name]
        assert figure.low - 0.01 <= true <= figure.high + 0.01
        assert figure.high - figure.low < 6.0


def test_a_rim_that_ends_higher_than_it_began_is_no_cam() -> None:
    """Up by 3 mm, down by 2, and a step of 1: its two ways stand on two bases."""
    angles = np.arange(72) * 5.0
    radii = np.where(angles < 180, 20 + 3 * np.clip(angles / 120, 0, 1), 23 - 2 * np.clip((angles - 180) / 90, 0, 1))
    found = cam(angles.tolist(), radii.tolist(), "clockwise")
    assert isinstance(found, Nothing)
    assert found.code == "waves"


def test_of_eight_readings_two_ramps_are_the_most_that_are_thought_of() -> None:
    """A ramp is known by four readings, so that any eight say nothing of three."""
    random = np.random.default_rng(12)
    seen = set()
    for _ in range(20):
        found = ramp([45.0 * k for k in range(8)], random.uniform(0, 3, 8).round(2).tolist(), "clockwise", 0.01)
        seen |= set(found.ramps) if isinstance(found, Found) else set()
    clean = ramp([45.0 * k + 3 for k in range(8)], [0.1 + 0.25 * (k % 4) for k in range(8)], "clockwise", 0.01)
    assert isinstance(clean, Found)
    assert max(seen | set(clean.ramps)) <= 2


def test_a_rim_read_on_past_a_turn_is_the_same_rim() -> None:
    """Round a rim 370 degrees are 10; and with eight readings on either way, the fewest, a cam is found."""
    up, down = [20 + 4 * k / 8 for k in range(9)], [24 - 4 * k / 8 for k in range(9)]
    radii = [*up[:-1], *down[:-1]]
    angles = [22.5 * k for k in range(16)]
    plain = cam(angles, radii, "clockwise", 0.01)
    turned_on = cam([at + (360.0 if k % 3 == 0 else 0.0) for k, at in enumerate(angles)], radii, "clockwise", 0.01)
    assert isinstance(plain, Found)
    assert isinstance(turned_on, Found)
    assert turned_on.figures == plain.figures
    assert turned_on.left == plain.left


def test_the_limits_of_an_arc_are_those_of_three_figures_by_scipy() -> None:
    random = np.random.default_rng(8)
    turn = np.linspace(0.5, 1.5, 9)
    z, r = 3 + 40 * np.cos(turn), -20 + 40 * np.sin(turn) + random.normal(0, 0.004, 9)
    best = optimize.least_squares(lambda p: np.hypot(z - p[0], r - p[1]) - p[2], (4.0, -19.0, 39.0), xtol=1e-14)
    variance = 2 * best.cost / (9 - 3)
    per = np.linalg.inv(best.jac.T @ best.jac)[2, 2]
    half = np.sqrt(variance * 3 * stats.f.ppf(0.95, 3, 9 - 3) * per)
    found = turned(z.tolist(), (2 * r).tolist())
    assert isinstance(found, Found)
    assert found.shape == "radius"
    figure = found.figures["radius"]
    assert (figure.high - figure.best, figure.best - figure.low) == pytest.approx((half, half), rel=0.02)


def test_the_likeliest_size_of_a_ramp_is_that_of_the_best_line_through_it() -> None:
    """Readings on a straight ramp, two of them off by a hundredth: rise and slope are numpy's, between dwells of no length."""
    angles = np.arange(5.0, 355.0, 10.0)
    depths = 0.2 + 2.4 * angles / 360 + 0.01 * (np.arange(35) % 5 == 0)
    found = ramp(angles.tolist(), depths.tolist(), "clockwise", 0.01, ramps=1)
    assert isinstance(found, Found)
    slope, _ = np.polyfit(angles, depths, 1)
    assert found.figures["slope"].best == pytest.approx(slope, rel=0.02)
    assert found.figures["rise"].best == pytest.approx(slope * found.figures["span"].best, rel=0.02)
