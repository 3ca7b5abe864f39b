"""The wanted line against numpy's interpolation: depth, slope and what lies beyond, cut off and round again."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest

from stepcut.kernel.line import FREE, WALL, Line, line_by_motion, line_by_targets, straight

UP_AND_DOWN = [(0.0, 1.0), (10.0, 1.0), (30.0, 4.0), (45.0, 2.5), (60.0, 2.5), (90.0, 6.0)]
AT, DEPTH = (np.array(column) for column in zip(*UP_AND_DOWN, strict=True))


def as_numpy(line: Line, low: float, high: float) -> list[tuple[float, float, float, float]]:
    return [(s.begin, s.end, s.first, s.last) for s in line.over(low, high)]


def test_depth_and_slope_are_those_of_straight_lines_between_the_places() -> None:
    line = line_by_targets(UP_AND_DOWN)
    for x in np.linspace(0, 90, 181):
        assert line.depth(float(x)) == pytest.approx(np.interp(x, AT, DEPTH), abs=1e-12)
    for x in (5.0, 17.0, 40.0, 50.0, 77.0):
        rise = np.interp(x + 0.1, AT, DEPTH) - np.interp(x - 0.1, AT, DEPTH)
        assert line.slope(x) == pytest.approx(rise / 0.2, abs=1e-9)
    assert line.slope(30.0) == pytest.approx(3 / 20)  # at a place itself what leads up to it counts
    assert (line.slope(-1.0), line.slope(91.0)) == (0.0, 0.0)
    assert (line.span, line.start, line.floor, line.deepest) == (90.0, 1.0, 6.0, 6.0)
    assert line_by_targets(UP_AND_DOWN[:4]).deepest == 4.0
    assert line.steepest == pytest.approx(3 / 20)
    assert line_by_targets([(0, 5), (1, 0), (9, 2)]).steepest == 5.0  # a fall counts as a rise does
    assert line.joints == (10.0, 30.0, 45.0, 60.0)
    assert line.straight
    assert not line_by_motion("harmonic", 90.0, 2.0).straight


def test_a_line_grows_when_no_part_of_it_falls_or_jumps_back() -> None:
    assert line_by_targets([(0, 0), (5, 0), (9, 2)]).grows
    assert line_by_targets([(0, 0), (5, 1), (5, 2), (9, 2)]).grows
    assert not line_by_targets(UP_AND_DOWN).grows
    assert not line_by_targets([(0, 0), (5, 2), (5, 1), (9, 2)]).grows
    assert not line_by_targets([(0, 0), (9, 2)], period=20.0).grows


@pytest.mark.parametrize(
    ("beyond", "early", "late"),
    [("level", 1.0, 6.0), ("free", FREE, FREE), ("wall", WALL, WALL), ("tangent", 1.0, 6.0 + 3.5 / 30 * 10)],
)
def test_what_lies_beyond_the_ends(beyond: str, early: float, late: float) -> None:
    line = line_by_targets(UP_AND_DOWN, before=beyond, after=beyond)
    assert (line.depth(-10.0), line.depth(100.0)) == pytest.approx((early, late))
    mirrored = line_by_targets([(90 - x, y) for x, y in reversed(UP_AND_DOWN)], before=beyond, after=beyond)
    assert (mirrored.depth(-10.0), mirrored.depth(100.0)) == pytest.approx((late, early))
    for each in (line, mirrored):
        low, *_, high = [*as_numpy(each, -10.0, 0.0), None, *as_numpy(each, 90.0, 100.0)]
        if beyond == "free":  # left out, but for the place where the line itself begins
            assert as_numpy(each, -10.0, -1.0) == as_numpy(each, 91.0, 100.0) == []
            assert [s for s in as_numpy(each, -10.0, 100.0) if s[0] < 0 or s[1] > 90] == []
        else:
            assert low is not None and high is not None
            assert low[:2] == (-10.0, 0.0) and high[:2] == (90.0, 100.0)
            assert low[2:] == pytest.approx((each.depth(-10.0), WALL if beyond == "wall" else each.start))
            assert high[2:] == pytest.approx((WALL if beyond == "wall" else each.floor, each.depth(100.0)))
            assert as_numpy(each, -10.0, -4.0)[0][:2] == (-10.0, -4.0)
            assert as_numpy(each, 95.0, 100.0)[0][:2] == (95.0, 100.0)


def test_stretches_cut_off_anywhere_have_the_area_of_the_line_under_them() -> None:
    chance = random.Random("over")  # noqa: S311  # repeatable cases, not secrets
    line, moved = line_by_targets(UP_AND_DOWN), line_by_motion("cycloidal", 90.0, 3.0, 0.5, 10.0, 20.0)
    for _ in range(40):
        low, high = sorted(chance.uniform(-20, 110) for _ in range(2))
        for each in (line, moved):
            x = np.linspace(low, high, 20_001)
            wanted = np.trapezoid([each.depth(float(at)) for at in x[::20]], x[::20])
            pieces = list(each.over(low, high))
            area = sum(np.trapezoid([s.depth(float(at)) for at in y], y)
                       for s in pieces for y in [np.linspace(s.begin, s.end, 501)])  # fmt: skip
            assert area == pytest.approx(wanted, abs=2e-3 * (high - low))
            assert pieces[0].begin == low and pieces[-1].end == high
            for s in pieces:
                assert (s.first, s.last) == pytest.approx((s.depth(s.begin), s.depth(s.end)), abs=1e-9)


def test_a_line_that_comes_round_is_itself_on_every_turn() -> None:
    line = line_by_targets([(0, 1), (100, 3), (300, 1)], period=360.0)
    for turn in (-720.0, -360.0, 0.0, 360.0):
        for x in (0.0, 50.0, 100.0, 250.0, 300.0):
            assert line.depth(x + turn) == pytest.approx(np.interp(x, [0, 100, 300], [1, 3, 1]))
        assert line.depth(330.0 + turn) == FREE
        assert (line.wants(310.0 + turn), line.wants(299.0 + turn)) == (False, True)
        assert line.slope(50.0 + turn) == pytest.approx(0.02)
        assert line.slope(200.0 + turn) == pytest.approx(-0.01)
    assert as_numpy(line, -120.0, -20.0) == [pytest.approx((-120.0, -60.0, 1.6, 1.0))]
    assert as_numpy(line, 350.0, 480.0) == [pytest.approx((360.0, 460.0, 1, 3)), pytest.approx((460.0, 480.0, 3, 2.8))]
    bent = Line(line_by_motion("harmonic", 360.0, 2.0).stretches, period=360.0)
    (piece,) = (s for s in bent.over(400.0, 500.0))
    assert (piece.first, piece.last, piece.depth(450.0)) == pytest.approx(
        (bent.depth(40), bent.depth(140), bent.depth(90))
    )
    assert piece.slope(450.0) == pytest.approx(bent.slope(90.0))
    assert not piece.straight


def test_a_line_without_a_period_is_wanted_from_end_to_end() -> None:
    line = line_by_targets(UP_AND_DOWN)
    assert [line.wants(x) for x in (-0.1, -1e-9, 0.0, 45.0, 90.0, 90.1)] == [False, True, True, True, True, False]


def test_at_a_riser_the_shallower_depth_counts() -> None:
    for ends in ((1.0, 3.0), (3.0, 1.0)):
        line = line_by_targets([(0, ends[0]), (10, ends[0]), (10, ends[1]), (20, ends[1])])
        assert [line.depth(x) for x in (9.99, 10.0, 10.01)] == [ends[0], 1.0, ends[1]]
        assert line.corners == (10.0,)  # a round cutter leaves metal beside it either way


def test_a_round_cutter_leaves_metal_where_the_depth_stops_growing_so_fast() -> None:
    # Depth grows into the work: steep and then level is an inner corner, level and then steep an outer one.
    assert line_by_targets([(0, 0), (10, 5), (20, 5), (30, 9)]).corners == (10.0,)
    assert line_by_targets([(0, 0), (10, 5), (20, 10)]).corners == ()
    assert line_by_targets([(0, 0), (10, -5), (20, -5)]).corners == ()
    assert line_by_targets([(0, 0), (10, 5), (20, 5 + 4.99)]).corners == (10.0,)


@pytest.mark.parametrize("name", ["uniform", "parabolic", "harmonic", "modified-sine"])
def test_the_first_place_that_is_so_deep(name: str) -> None:
    line = line_by_motion(name, 100.0, 4.0, 1.0, 20.0, 10.0)
    x = np.linspace(0, 100, 200_001)
    depth = np.array([line.depth(float(at)) for at in x[::20]])
    for wanted in (1.0, 1.5, 3.0, 4.7, 5.0):
        first = x[::20][np.argmax(depth >= wanted - 1e-9)]
        assert line.reach(wanted) == pytest.approx(first, abs=0.011 if wanted < 5 else 0.5)
        assert line.depth(line.reach(wanted)) == pytest.approx(wanted, abs=1e-9)
    assert (line.reach(0.5), line.reach(5.001)) == (0.0, math.inf)
    stairs = line_by_targets([(0, 1), (10, 1), (10, 3), (20, 3)])
    assert (stairs.reach(2.0), stairs.reach(3.0)) == (10.0, 10.0)


def test_stretches_of_no_length_are_left_out() -> None:
    assert len(line_by_motion("uniform", 90.0, 2.0).stretches) == 1
    assert len(line_by_motion("uniform", 90.0, 2.0, 0.0, 10.0, 20.0).stretches) == 3
    assert line_by_motion("modified-sine", 80.0, 1.0, 0.0, 8.0).stretches[0].last == 0.0
    assert straight(1.0, 3.0, 2.0, 5.0).slope(2.0) == 1.5
    assert straight(1.0, 1.0, 2.0, 5.0).depth(1.0) == 2.0
