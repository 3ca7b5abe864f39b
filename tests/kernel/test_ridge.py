"""What stands between two cuts, against a raster of both; and that no cut is forgotten which would lower a ridge."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import numpy as np
import pytest

from stepcut.kernel.footprints import Straight
from stepcut.kernel.line import Line, line_by_targets
from stepcut.kernel.marks import ends, useful
from stepcut.kernel.measure import measure
from stepcut.kernel.ridge import meet, ridge, uncut
from stepcut.kernel.section import Guard, Place, Section
from stepcut.kernel.space import Ridge, space
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale
from tests.kernel.test_section import BALL, BULL, FLAT, LEVEL, SLOPE, raster

FALLING = line_by_targets([(0.0, 5.0), (100.0, 1.0)])


def task_of(
    line: Line, outline: Outline, leave: float = 0.0, division: Fraction = Fraction(1, 20), **more: object
) -> Task:
    foot = Straight(outline)
    scales = Scale("slide", division), Scale("depth", Fraction(1, 200))
    return Task((Section(line, foot, leave),), (Guard(line, foot),), *scales, leave, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("outline", [FLAT, BALL, BULL])
@pytest.mark.parametrize("leave", [0.0, 0.05])
def test_a_ridge_between_two_cuts_is_what_the_earlier_one_leaves_before_the_later_takes_over(
    outline: Outline, leave: float
) -> None:
    chance = random.Random(f"ridge {outline} {leave}")  # noqa: S311  # repeatable cases, not secrets
    task = task_of(SLOPE, outline, leave)
    (section,) = task.sections
    square = math.cos(math.atan(0.04))
    for _ in range(12):
        at = chance.uniform(3, 92)
        places = [Place(x, task.allowed(x)) for x in (at, at + chance.uniform(0.5, 5))]
        x = np.linspace(at - (outline.radius - outline.corner), at + 3, 40_001)  # from where its flat begins
        earlier, later = (raster(section, place, x) for place in places)
        stock = np.interp(x, [0, 100], [1, 5]) - np.maximum(earlier, 0.0) - leave
        own = stock[(earlier >= later) & (earlier > 0)]
        assert ridge(task, *places) == pytest.approx(max(0.0, own.max()) * square, abs=2e-4)


def test_metal_that_neither_of_two_cuts_reaches_stands_at_its_whole_height() -> None:
    task = task_of(LEVEL, FLAT)
    assert ridge(task, Place(40.0, 2.0), Place(50.0, 2.0)) == 2.0
    assert ridge(task, Place(40.0, 2.0), Place(46.0, 2.0)) == 0.0
    assert (meet(task, 40.0, 46.0), meet(task, 40.0, 46.1)) == (True, False)
    row = [(mark, 400) for mark in (800, 920, 1042, 1100)]  # 40, 46, 52.1 and 55 mm
    assert uncut(task, row) == (pytest.approx(46.0), pytest.approx(52.1))
    assert uncut(task, row[:2]) is None
    # Before the first cut all of it stands: on a slope the highest of it is where that cut begins.
    sloping = task_of(SLOPE, FLAT)
    square = math.cos(math.atan(0.04))
    assert ridge(sloping, None, Place(23.0, 1.8)) == pytest.approx((1 + 0.04 * 20) * square, abs=1e-6)
    # A cut of no depth leaves what it covers: on a line that falls away it stands highest where its cutter begins.
    falling = task_of(FALLING, FLAT)
    assert ridge(falling, Place(50.0, 0.0), Place(60.0, 2.0)) == pytest.approx((5 - 0.04 * 47) * square, abs=1e-6)
    assert ridge(falling, Place(50.0, 2.0), Place(60.0, 0.0)) == pytest.approx((5 - 0.04 * 53) * square, abs=1e-6)
    assert ridge(falling, Place(50.0, 0.0), Place(60.0, 0.0)) == pytest.approx((5 - 0.04 * 47) * square, abs=1e-6)


def test_two_cuts_that_meet_beyond_an_end_leave_what_the_nearer_leaves_there() -> None:
    # Balls of 3 mm, 1 mm apart, meet half way: at -0.5, in front of the line; at 0 the later one stands 1 - circle over its depth.
    task = task_of(LEVEL, BALL)
    inside, middle = Place(0.0, 2.0), 3 - math.sqrt(9 - 1.0**2)
    assert ridge(task, Place(-1.0, 2.0), inside) == pytest.approx(0.0, abs=1e-9)
    assert ridge(task, Place(-1.0, 2.0), Place(1.0, 2.0)) == pytest.approx(middle, abs=1e-6)
    assert ridge(task, Place(-3.0, 2.0), Place(1.0, 2.0)) == pytest.approx(middle, abs=1e-6)
    # Where the nearer one's lowest point lies out there too, its neighbour on the other side takes the end away.
    assert ridge(task, Place(-3.0, 2.0), Place(-0.5, 2.0)) == 0.0
    assert ridge(task, Place(99.0, 2.0), Place(103.0, 2.0)) == pytest.approx(middle, abs=1e-6)
    assert ridge(task, Place(100.5, 2.0), Place(103.0, 2.0)) == 0.0


def test_where_a_line_that_comes_round_wants_nothing_two_cuts_leave_no_ridge() -> None:
    # A ring of 14 mm of which 10 are wanted: balls meet half way, at 12 mm in its gap, or at 8.5 mm in the line itself.
    task = task_of(line_by_targets([(0.0, 2.0), (10.0, 2.0)], period=14.0), BALL)
    assert ridge(task, Place(11.0, 2.0), Place(13.0, 2.0)) == 0.0
    assert ridge(task, Place(8.0, 2.0), Place(9.0, 2.0)) == pytest.approx(3 - math.sqrt(9 - 0.5**2), abs=1e-6)
    # Once round they are the same two cuts.
    assert ridge(task, Place(22.0, 2.0), Place(23.0, 2.0)) == pytest.approx(3 - math.sqrt(9 - 0.5**2), abs=1e-6)


@pytest.mark.parametrize("seed", [1, 2, 4])  # of 0 to 9 those whose ridge stays too high
def test_where_a_ridge_stays_too_high_no_cut_at_any_mark_would_lower_it(seed: int) -> None:
    chance = random.Random(f"mended {seed}")  # noqa: S311  # repeatable cases, not secrets
    places = [0.0]
    for _ in range(4):
        places.append(places[-1] + chance.uniform(2, 8))
    depths = (
        sorted(chance.uniform(0.2, 5) for _ in range(5)) if seed % 2 else [chance.uniform(0.2, 3) for _ in range(5)]
    )
    line = line_by_targets(list(zip(places, depths, strict=True)))
    outline = Outline(1.5, (1.5, 0.6, 1.5, 0.3)[seed % 4])
    task = task_of(line, outline, division=Fraction(1, 10))
    limit = chance.uniform(0.02, 0.1)
    row = space(task, Ridge(limit))
    left = measure(task, task.places(row))
    (top,) = left.tops
    assert top.scallop > limit * (1 + 1e-6)
    begin, end = ends(task)
    stands = line.depth(top.where) - max(task.sections[0].cut(place, top.where) for place in task.places(row))
    for mark in range(begin, end + 1):
        lower = line.depth(top.where) - task.sections[0].cut(task.place((mark, task.depth(mark))), top.where)
        assert lower > stands - float(task.second.division) / 2 - 1e-9


def test_the_ends_of_a_sweep_are_kept_though_others_cover_them() -> None:
    task = task_of(LEVEL, FLAT, division=Fraction(1, 2), begin=0.0, end=50.0, sweeps=((6, 12),))
    row = [(0, 400), (6, 400), (12, 400), (18, 400), (24, 400)]
    assert useful(task, row) == [(0, 400), (6, 400), (12, 400), (24, 400)]
