"""Cuts beside their places: the part is cut again in numpy as it was really cut, and what was said of it is measured there."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from stepcut.shapes.ramp.mishap import below
from stepcut.shop.astray import Astray, mirrored, other_hand, slipped
from stepcut.shop.recover import too_deep
from tests.conftest import Run
from tests.shop.test_recover import R_IN, R_OUT, RING, cut, places, plan_of, wanted
from tests.shops import each_kind

ANGLES = np.arange(0, 360, 0.02) + 0.01
RADII = np.linspace(R_IN, R_OUT, 9)


def ring(cuts: list[tuple[float, float]], lower: float = 0.0) -> NDArray[np.float64]:
    """Stock over the wanted surface of the example ring after cuts, at a few radii; nan where nothing is wanted."""
    return np.array([wanted(ANGLES) + lower - cut(cuts, 9.525, ANGLES, radius) for radius in RADII])


def agrees(said: Astray, least: float, tolerance: float) -> None:
    assert said.below == pytest.approx(max(0.0, -least), abs=tolerance)
    assert bool(said.low) == (least < -tolerance) or abs(least) <= tolerance
    assert float(said.lower) >= said.below - 1e-9


@pytest.mark.parametrize("by", [-12, 2, *(pytest.param(by, marks=pytest.mark.long) for by in (-5, -3, 9, 25))])
@pytest.mark.parametrize(("n", "last"), [(7, 10), (18, 24), pytest.param(3, 4, marks=pytest.mark.long)])
def test_a_slip_of_the_table_takes_what_was_said_and_is_mended_as_was_said(n: int, last: int, by: int) -> None:
    plan = plan_of(RING)
    said = slipped(plan, range(n + 1, last + 1), Fraction(by))
    stray = [(at + by, deep) for at, deep in places(plan)[n:last]]
    agrees(said, float(np.nanmin(ring(stray))), 0.0005)
    # Left: the cuts are made again at their readings, and whatever the stray ones did not take is as the plan promised.
    whole = ring(places(plan) + stray)
    assert np.nanmax(whole) <= plan.result.stock_max + 1e-6
    if not said.low:
        assert np.nanmin(whole) >= -0.0005
        return
    # Lowered: the whole part from its new start depth, over what the stray cuts left.
    start = Fraction(2, 1000) + said.lower / Fraction(254, 10)
    low = plan_of(RING, start_depth=f"{start}in", span="140deg")
    lowered = ring(places(low) + stray, float(said.lower))
    assert np.nanmin(lowered) >= -1e-6
    assert np.nanmax(lowered) <= low.result.stock_max + 1e-6


@pytest.mark.parametrize("made", [1, 3, 5, 14])
def test_a_ring_turned_the_wrong_way_loses_what_was_said(made: int) -> None:
    plan = plan_of(RING)
    stray = [(-at, deep) for at, deep in places(plan)[:made]]
    agrees(mirrored(plan, range(1, made + 1)), float(np.nanmin(ring(stray))), 0.0005)
    # The part of the other hand: its wanted surface seen in a mirror.
    other = other_hand(plan, range(1, made + 1))
    mirror = np.array([wanted(360 - ANGLES) - cut(stray, 9.525, ANGLES, radius) for radius in RADII])
    assert other == pytest.approx(-np.nanmin(mirror), abs=0.0005)


def test_the_same_cut_of_every_ramp_strays_alike() -> None:
    plan = plan_of(RING, ramps="2", span="100deg", order="by-ramp")
    one, two = ([stop for stop in plan.stops if stop.start == start] for start in (1, 2))
    assert len(one) == len(two) > 3
    for a, b in zip(one[:-1], two[:-1], strict=True):  # at the last one's place the ramp has ended
        assert other_hand(plan, [b.n]) == pytest.approx(other_hand(plan, [a.n]), abs=1e-9)
        here = float(plan.first.value(a.first))
        # In its own place a cut stands the leave and less than a division above the wanted surface, on either ramp.
        assert -float(plan.leave + plan.second.division) - 1e-6 <= below(plan, a, here) <= -float(plan.leave) + 1e-6
        assert below(plan, a, here + 180) == pytest.approx(below(plan, a, here), abs=1e-9)


def test_a_cutter_with_its_axis_on_the_line_is_its_own_mirror_image() -> None:
    assert other_hand(plan_of(RING, on_line="centre"), range(1, 4)) is None


def cam_radius(angles: NDArray[np.float64]) -> NDArray[np.float64]:
    """The example cam: a spiral of constant slope (logarithmic), 3 mm in 200 degrees, a dwell of 40, down in 90 by the harmonic motion; base 15 mm."""
    a = angles % 360
    fall = 3 * (1 + np.cos(np.pi * (a - 240) / 90)) / 2
    return 15 + np.select([a < 200, a < 240, a < 330], [15 * 1.2 ** (a / 200) - 15, 3.0, fall], 0.0)


def rim(cuts: list[tuple[float, float]]) -> NDArray[np.float64]:
    """Radius after flats of a 16 mm end mill, each at an angle and a height above the axis."""
    left = np.full_like(ANGLES, 37 / 2)
    for at, height in cuts:
        beside = np.radians((ANGLES - at + 180) % 360 - 180)
        under = (np.abs(beside) < np.pi / 2) & (np.abs(height * np.tan(beside)) <= 8.0)
        left = np.where(under, np.minimum(left, height / np.cos(beside)), left)
    return left


@pytest.mark.parametrize("by", [-20, -4, 6, 40])
def test_a_slip_under_a_cam_takes_what_was_said(by: int) -> None:
    plan = plan_of("tension-release-cam")
    said = slipped(plan, range(10, 31), Fraction(by))
    stray = [(at + by, height) for at, height in places(plan)[9:30]]
    agrees(said, float(np.min(rim(stray) - cam_radius(ANGLES))), 0.002)


def test_a_cam_turned_the_wrong_way_loses_what_was_said() -> None:
    plan = plan_of("tension-release-cam")
    for made in (5, 20, len(plan.stops)):
        stray = [(-at, height) for at, height in places(plan)[:made]]
        agrees(mirrored(plan, range(1, made + 1)), float(np.min(rim(stray) - cam_radius(ANGLES))), 0.002)


@pytest.mark.parametrize("by", [-3, 2, 5])
def test_a_slip_of_the_carriage_takes_what_was_said(by: int) -> None:
    """The tool is taken out at each place, so that only its nose has cut: the stray cuts alone, inside the cone."""
    plan = plan_of("bollard-pin-taper")
    said = slipped(plan, range(31, 36), Fraction(by))
    left = np.full_like(np.arange(0, 90, 0.002), 15.5)
    z = np.arange(0, 90, 0.002)
    for at, x in [(at + by, x) for at, x in places(plan)[30:35]]:
        beside = z - (at - 1.5)
        nose = x + 1.5 - np.sqrt(np.maximum(0.0, 1.5**2 - beside**2))
        left = np.where(np.abs(beside) <= 1.5, np.minimum(left, nose), left)
    agrees(said, float(np.min(left - (30 - (90 - z) / 20) / 2)), 0.001)


def test_a_groove_cut_too_deep_is_told_by_its_depth_and_its_width() -> None:
    plan = plan_of("oil-groove-helix")
    damage = too_deep(plan, 9, Fraction(18, 10))

    def wide(depth: float) -> float:
        """A ball of 5 mm square to the way of its middle: what is as far from the bar's axis as the bar's surface, to both sides of it."""
        middle = 20 - depth + 2.5
        lean = math.atan(120 / (2 * math.pi) / middle)
        return 2 * float(
            brentq(lambda s: math.hypot(s * math.sin(lean), middle - math.sqrt(2.5**2 - s * s)) - 20, 0.5, 2.5)
        )

    # By hand: 1.5 mm is wanted.
    assert (damage.over, damage.below, float(damage.lower)) == pytest.approx((0.3, 0.3, 0.3))
    assert damage.wider == pytest.approx(wide(1.8) - wide(1.5), abs=1e-3)  # a caliper lies a little askew to it
    assert too_deep(plan_of("oil-groove-helix", cutter="5mm flat"), 9, Fraction(18, 10)).wider == 0


def said(run: Run, *words: str) -> str:
    done = run("recover", *words)
    assert done.returncode == 0, done.stderr
    return " ".join(done.stdout.split())


def test_what_is_said_of_a_lost_zero_and_of_a_slip(run: Run) -> None:
    text = said(run, RING, "--lost", "7")
    assert text.startswith("Zero is lost: cut 7 stands and gives it back. It is at rim 70°, depth 0.0450.")
    assert "set rim 70°, its crank dial 2°00'" in text
    assert "Prove it at cut 6: rim 60°, depth 0.0385." in text
    assert "Then cut 8: rim 80°, depth 0.0510." in text
    text = said(run, RING, "--slipped", "7", "--reads", "58deg", "--last", "10")
    assert "The table slipped by 12° after cut 7." in text
    assert (
        "Cuts 8 to 10 stand 12° farther on than their places. None of them goes below the wanted surface: nothing is lost."
        in text
    )
    assert "Then make cuts 8 to 10 again at the card's readings, then go on with cut 11." in text
    text = said(run, RING, "--slipped", "7", "--reads", "82deg", "--last", "10")
    assert (
        "Cuts 8 to 10 stand 12° short of their places. 3 of them went below the wanted surface, cut 10 most, by 0.0054 in."
        in text
    )
    assert "Or lower this part by 0.0055 in, start-depth 0.0075in" in text
    assert "Nothing was cut after it" in said(run, RING, "--slipped", "7", "--reads", "82deg")


CONED = ("marking-point-cone", "paddle-socket-bore")  # a pass of the compound leaves nothing of the cone before it


@pytest.mark.parametrize("name", each_kind())
def test_every_shape_finds_its_zero_again(name: str, run: Run) -> None:
    text = said(run, name, "--lost", "3")
    assert text.startswith("Zero is lost: cut 3 stands")
    assert f"Prove it at cut {3 if name in CONED else 2}" in text


def test_another_cutter_prints_what_matters_and_its_card_when_asked(run: Run) -> None:
    short = run("recover", RING, "--from", "9", "--cutter", "0.36in").stdout
    assert len(short.splitlines()) <= 16
    assert "Next: cut 9, rim 90°, depth 0.0575. 20 cuts left" in short
    assert "EACH CUT" in run("recover", RING, "--from", "9", "--cutter", "0.36in", "--all").stdout


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("paddle-quadrant-arc-slot", "until it is free all round: set X -12.000 and Y"),
        ("sluice-travel-rule", "the tool's point over line 4, under a glass"),
    ],
)
def test_a_lost_zero_of_two_slides_is_found_by_a_cut_and_not_by_a_shoulder(run: Run, name: str, words: str) -> None:
    done = run("recover", name, "--lost", "4")
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert words.split(" -12")[0] in said
    assert "shoulder" not in said and "turned by hand" not in said


@pytest.mark.parametrize("name", ["marking-point-cone", "paddle-socket-bore"])
@pytest.mark.parametrize("by", [-2, 1])
def test_a_slip_under_a_taper_by_the_compound_takes_what_was_said(name: str, by: int) -> None:
    """Each pass is a cone that begins in the plane of the face; slipped, it begins so far along the axis as the compound stands on."""
    plan = plan_of(name)
    count = len(plan.stops)
    damage = slipped(plan, range(count - 1, count + 1), Fraction(by))
    bore, slope = plan.target["side"] == "bore", np.radians(plan.target["per_side"])
    large, small, length = (plan.target[key] for key in ("large_diameter", "small_diameter", "length"))
    z = np.linspace(0, length, 20_001)
    wanted = np.interp(z, [0, length], [large / 2, small / 2] if bore else [small / 2, large / 2])
    worst = -np.inf
    for stop in plan.stops[-2:]:
        begin = by * np.cos(slope)
        end = begin + float(plan.first.value(stop.first)) * np.cos(slope)
        x = float(plan.second.value(stop.second))
        cone = x + (z - begin) * np.tan(slope) * (-1 if bore else 1)
        low = (cone - wanted if bore else wanted - cone)[(z >= begin) & (z <= end)]
        worst = max(worst, float(low.max()))
    assert damage.below == pytest.approx(max(0.0, worst), abs=0.002)


def test_a_cone_turned_on_the_other_end_of_a_short_part_takes_what_was_said() -> None:
    plan = plan_of("marking-point-cone")
    slope, length = np.radians(plan.target["per_side"]), plan.target["length"]
    damage = mirrored(plan, [len(plan.stops)], Fraction(length + 5).limit_denominator(1000))
    z = np.linspace(0, length, 20_001)
    cone = float(plan.second.value(plan.stops[-1].second)) + (length + 5 - z) * np.tan(slope)
    reached = length + 5 - z <= float(plan.first.value(plan.stops[-1].first)) * np.cos(slope)
    assert damage.below == pytest.approx(
        float((z / length * plan.target["large_diameter"] / 2 - cone)[reached].max()), abs=0.01
    )
    assert mirrored(plan, [1], Fraction(300)).beside == (1,)
