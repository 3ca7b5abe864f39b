"""What stands behind readings that are off: a misread one that hides the shape, readings too few to tell, a shape too rough or bent."""

from __future__ import annotations

import numpy as np
import pytest

from stepcut.shop.doubts import rises_apart, two_lines
from stepcut.shop.found_shape import Found, Nothing
from stepcut.shop.read_cam import cam
from stepcut.shop.read_turned import turned


def test_a_reading_that_makes_a_second_lobe_of_a_rim_is_named_as_misread() -> None:
    angles = np.arange(0.0, 360.0, 10.0)
    radii = np.interp(angles, [0, 90, 150, 240, 360], [20.0, 24.0, 24.0, 20.0, 20.0])
    radii[30] += 5.0  # a slipped digit in the dwell at the base
    assert cam(angles.tolist(), radii.tolist(), "clockwise", 0.01) == Nothing("misread", place=30)


def test_a_rim_rougher_than_a_reading_may_be_off_is_no_cam() -> None:
    angles = np.arange(0.0, 360.0, 22.5)
    radii = np.interp(angles, [0, 180, 360], [20.0, 24.0, 20.0]) + 0.05 * (np.arange(16) % 3 == 0)
    assert isinstance(cam(angles.tolist(), radii.tolist(), "clockwise", 0.01, error=0.06), Found)
    rough = cam(angles.tolist(), radii.tolist(), "clockwise", 0.01, error=0.005)
    assert isinstance(rough, Nothing)
    assert rough.code == "error"


def test_five_readings_are_too_few_to_tell_a_bend_from_a_cone() -> None:
    """Two lines and the place where they meet are five figures, which any five readings give; so nothing is held against the cone."""
    found = turned([0.0, 10.0, 20.0, 30.0, 40.0], [20.01, 21.0, 22.0, 23.0, 24.01])
    assert isinstance(found, Found)
    assert found.shape == "taper"
    assert found.figures["slope"].best == pytest.approx(
        np.polyfit([0, 10, 20, 30, 40], [20.01, 21, 22, 23, 24.01], 1)[0]
    )


def test_readings_all_at_one_place_are_no_side_of_two_lines() -> None:
    """The first two readings are of one place, so that no line goes through them alone: the best break of the others is numpy's."""
    z, d = [0.0, 0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 0.4, 1.0, 2.0, 3.0, 4.0]

    def rest(x: list[float], y: list[float]) -> float:
        return float(np.sum((np.polyval(np.polyfit(x, y, 1), x) - y) ** 2))

    assert two_lines(z, d) == pytest.approx(min(rest(z[:k], d[:k]) + rest(z[k:], d[k:]) for k in (3, 4)))


def test_a_ramp_with_two_readings_has_no_rise_of_its_own() -> None:
    """Any two readings have a line through them; with a third on the other ramp rises of 1 and 2 mm are told apart."""
    shares, owners = [*np.linspace(0.0, 1.0, 12), 0.0, 1.0, 0.5], [1] * 12 + [2] * 3
    depths = [x * owner + 0.001 * (-1) ** k for k, (x, owner) in enumerate(zip(shares, owners, strict=True))]
    rest = float(np.polyfit(shares, depths, 1, full=True)[1][0])
    assert rises_apart(shares, depths, owners, rest) == pytest.approx([1.0, 2.0], abs=0.01)
    assert rises_apart(shares[:-1], depths[:-1], owners[:-1], rest) is None


def crown(scatter: float, wave: float, n: int) -> tuple[list[float], list[float]]:
    """Diameters along a crown of 200 mm radius, 20 mm long, on 20 mm."""
    z = np.linspace(-10, 10, n)
    off = np.random.default_rng(1).normal(0, scatter, n) if scatter else wave * np.sin(z * 0.9)
    return z.tolist(), (2 * (10 + np.sqrt(200**2 - z**2) - 200 + off)).tolist()


@pytest.mark.parametrize(
    ("scatter", "wave", "error", "code"), [(0.01, 0.0, 0.004, "error"), (0.0, 0.01, None, "waves")]
)
def test_a_crown_too_rough_is_called_so(scatter: float, wave: float, error: float | None, code: str) -> None:
    """A scatter beyond what one reading may be off; and readings that wave about the arc twice along it."""
    assert isinstance(turned(*crown(0.002, 0.0, 24), error=error), Found)
    found = turned(*crown(scatter, wave, 24), error=error)
    assert isinstance(found, Nothing)
    assert found.code == code


def test_two_cones_that_meet_at_a_ridge_are_no_arc() -> None:
    z = np.linspace(-10, 10, 24)
    radii = 10 - 0.1 * abs(z - 0.3) + np.random.default_rng(2).normal(0, 0.003, 24)
    found = turned(z.tolist(), (2 * radii).tolist())
    assert isinstance(found, Nothing)
    assert found.code == "bent"


def test_a_fillet_that_hardly_stands_out_of_its_scatter_is_none() -> None:
    z = np.linspace(0, 7.9, 20)
    off = np.random.default_rng(1).normal(0, 1, 20)
    curve = 12 - np.sqrt(4 - np.clip(z - 6, 0, None) ** 2)
    clear = turned(z.tolist(), (2 * (curve + 0.04 * off)).tolist())
    assert isinstance(clear, Found)
    assert clear.shape == "fillet"
    rough = turned(z.tolist(), (2 * (curve + 0.3 * off)).tolist())
    assert isinstance(rough, Nothing)
    assert rough.code == "scatter"
