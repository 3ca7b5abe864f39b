"""What stands between two cuts of a helix, piece by piece: triangles with sides 3, 4, 5, cuts that lie on each other, plain sums."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest

from stepcut.machine import Outline
from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.left import Cut, Pair, _rows, end

PARTS = 60  # of a groove's depth and width that are looked at
FLAT, BALL = Outline(3.0, 0.0), Outline(5.0, 5.0)


def screw(outside: float, bottom: float, outline: Outline, pitch: float = 5.0) -> Screw:
    return Screw(outside=outside, bottom=bottom, pitch=pitch, outline=outline)


def test_how_far_round_a_cut_reaches() -> None:
    """From the top of the bar to where the cutter's end meets a circle about the axis."""
    # A flat 3 mm high over the axis meets the circle of 5 at (4, 3), one of 8 mm across it at (3, 4): its side comes first.
    assert screw(6.0, 3.0, Outline(9.0, 0.0)).window(5.0) == pytest.approx(math.atan2(4, 3))
    assert screw(6.0, 3.0, FLAT).window(5.0) == pytest.approx(math.atan2(3, 4))
    # A ball of 5 with its lowest point at 3 has its middle at 8: (3, 4) lies on it and on the circle of 5.
    assert screw(6.0, 3.0, BALL).window(5.0) == pytest.approx(math.atan2(3, 4))
    # Below the floor nothing is cut, however little.
    assert screw(6.0, 3.0, Outline(9.0, 0.0)).window(3.0 - 1e-3) == 0.0
    assert screw(6.0, 3.0, BALL).window(3.0 - 1e-3) == 0.0


@pytest.mark.parametrize("outline", [FLAT, BALL])
def test_nothing_stands_between_two_cuts_at_one_place(outline: Outline) -> None:
    pair = Pair(screw(18.0, 16.0, outline), Cut(0.0, 0.0), Cut(0.0, 0.0))
    assert pair.volume() == 0.0
    assert pair.ridges().wall == 0.0


def test_seen_from_the_other_side_and_back_all_cuts_are_where_they_were() -> None:
    others = tuple(Cut(0.1 * k, 0.01 * k) for k in (-2, -1, 2, 3))
    pair = Pair(screw(18.0, 16.0, FLAT), Cut(0.0, 0.0), Cut(0.1, 0.02), others)
    assert pair.turned().turned() == pair
    assert set(pair.turned().others) == {Cut(-cut.at, -cut.off) for cut in others}


@pytest.mark.parametrize(("summit", "highest"), [(2.4, 4.0), (0.0, 3.0)])
def test_a_summit_between_rows_is_found_though_a_row_farther_off_stands_higher(summit: float, highest: float) -> None:
    """Rows at 0 to 5 see 3.0, 1.0, 2.9 and less; a narrow summit of 4 stands between two of them, or none does."""

    def height(rho: float) -> float:
        ground = 3.0 - 2.0 * rho if rho < 1.0 else 1.0
        return max(ground, 4.0 - 2.75 * abs(rho - summit)) if summit else ground

    pair = cast("Pair", SimpleNamespace(height=height))
    assert Pair._peak(pair, [0.0, 1.0, 2.0, 3.0, 4.0, 5.0]) == pytest.approx(highest, abs=1e-3)


def test_weights_of_rows_add_up_to_lengths_and_areas() -> None:
    rows = list(_rows([3.0, 4.0, 5.0]))
    assert sum(weight for _, weight in rows) == pytest.approx(2.0)
    assert sum(weight * rho for rho, weight in rows) == pytest.approx((5**2 - 3**2) / 2)


def test_a_cut_on_the_other_side_of_the_bar_takes_nothing_of_the_floor_on_this_side() -> None:
    pair = Pair(screw(18.0, 16.0, FLAT, pitch=0.5), Cut(0.0, 0.0), Cut(math.pi, 0.0))
    assert pair._over_floor(0.0) == pytest.approx(0.0)


def last_inside(radius: float, floor: float, pitch: float, rho: np.ndarray, w: np.ndarray) -> np.ndarray:
    """How far round from a point's own angle a flat cutter of a radius still has it, radians: tried on a grid, then halved.

    The cutter's axis stands over the bar's; turned on by d the point lies rho sin d beside it, rho cos d high and w + pitch d along.
    """

    def inside(d: np.ndarray) -> np.ndarray:
        return (rho * np.cos(d) >= floor) & ((rho * np.sin(d)) ** 2 + (w + pitch * d) ** 2 <= radius**2)

    low = np.full_like(w, math.nan)
    for d in np.linspace(-0.6, 0.6, 1201):
        low = np.where(inside(np.full_like(w, d)), d, low)
    high = low + 0.001
    for _ in range(40):
        middle = (low + high) / 2
        within = inside(middle)
        low, high = np.where(within, middle, low), np.where(within, high, middle)
    return low


@pytest.mark.parametrize(("off", "side"), [(-0.06, 1), (-0.06, -1), (0.15, -1)])
def test_what_the_last_cut_leaves_in_the_round_of_the_end_is_what_fine_steps_find(off: float, side: int) -> None:
    """The running cutter goes on to the end of its way, the last cut stands beside it by what its slide is off.

    Looked at closer toward floor and wall, where all runs like a root; past its own reach the last cut ends where the wall is cut.
    """
    made = screw(18.0, 16.0, FLAT)
    middles = (np.arange(PARTS) + 0.5) / PARTS
    x, y = (each.ravel() for each in np.meshgrid(middles, middles, indexing="ij"))
    rho = 16.0 + 2.0 * x * x
    wide, turn = np.array([made.row(float(each)) for each in rho]).T
    across = side * wide * (1 - y * y)
    runs = last_inside(3.0, 16.0, 5.0, rho, across)
    last = last_inside(3.0, 16.0, 5.0, rho, across - off)
    last = np.where(np.isnan(last), -side * np.abs(turn), last)
    stands = np.nan_to_num(np.maximum(0.0, runs - max(0.0, -off / 5.0) - last))
    volume = float((stands * rho * 4.0 * x * 2 * y * wide).sum()) / PARTS**2
    assert end(made, Cut(0.3, off), side) == pytest.approx(volume, rel=0.01)
