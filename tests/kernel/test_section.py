"""One cut in a section, and what holds it back, against a fine raster of numpy: depth, reach, where two cuts meet."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import numpy as np
import pytest

from stepcut.kernel import space as spacing
from stepcut.kernel.footprints import Lateral, Plunge, Straight
from stepcut.kernel.line import FREE, WALL, Line, line_by_motion, line_by_targets
from stepcut.kernel.marks import MOST_CUTS, arcs, closed, ends, settled, useful
from stepcut.kernel.section import Guard, Place, Section
from stepcut.kernel.space import Count, Drop, Even, space
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale
from stepcut.plan import Refused

LEVEL = line_by_targets([(0.0, 2.0), (100.0, 2.0)])
SLOPE = line_by_targets([(0.0, 1.0), (100.0, 5.0)])
FLAT, BALL, BULL = Outline(3.0, 0.0), Outline(3.0, 3.0), Outline(3.0, 1.0)


def raster(section: Section, place: Place, x: np.ndarray) -> np.ndarray:
    """Depth of a cut of a round-cornered tool beside a slide, drawn as a quarter of a circle beside a flat."""
    outline = section.foot.outline
    until = place.at if place.until is None else place.until
    beside = np.maximum(np.maximum(place.at - x, x - until), 0.0) - (outline.radius - outline.corner)
    lift = np.where(beside > 0, outline.corner - np.sqrt(np.clip(outline.corner**2 - beside**2, 0, None)), 0.0)
    return np.where(beside <= outline.corner, place.depth - lift, -np.inf)


@pytest.mark.parametrize("outline", [FLAT, BALL, BULL])
@pytest.mark.parametrize("until", [None, 60.0])
def test_a_cut_and_a_sweep_are_as_deep_as_they_are_drawn(outline: Outline, until: float | None) -> None:
    section, place = Section(LEVEL, Straight(outline), 0.0), Place(50.0, 1.5, until)
    x = np.linspace(44.0, 66.0, 2203)
    drawn = raster(section, place, x)
    for at, depth in zip(x, drawn, strict=True):
        assert section.cut(place, float(at)) == pytest.approx(depth, abs=1e-9)
    low, high = section.extent(place) or (math.nan, math.nan)
    inside = x[drawn > 0.0]
    assert (low, high) == pytest.approx((inside.min(), inside.max()), abs=0.02)
    assert section.extent(Place(50.0, 0.0, until)) is None
    assert Section(LEVEL, Straight(outline), 0.0, blank=1.5).extent(place) is None
    seams = section.seams(place)
    assert seams == ((48.0, 52.0) if outline is BULL else ())  # where its flat begins and ends


@pytest.mark.parametrize("outline", [BALL, BULL])
def test_two_round_cuts_meet_where_they_are_equally_deep(outline: Outline) -> None:
    chance = random.Random("meeting")  # noqa: S311  # repeatable cases, not secrets
    x = np.linspace(40, 70, 60_001)
    for _ in range(20):
        section = Section(LEVEL, Straight(outline), 0.0)
        before = Place(50.0, chance.uniform(1, 1.5), chance.choice([None, 52.0]))
        after = Place(chance.uniform(53.0, 55.0), chance.uniform(1, 1.5))
        low, high = after.at - 3.0, (before.until or before.at) + 3.0
        later = raster(section, after, x) >= raster(section, before, x)
        wanted = x[(x > low) & (x < high) & later].min(initial=high)
        for _ in range(2):  # the second time it is remembered
            assert section.meeting(before, after, low, high) == pytest.approx(wanted, abs=2e-3)


def test_of_two_flat_cuts_the_deeper_one_wins_at_once() -> None:
    section = Section(LEVEL, Straight(FLAT), 0.0)
    assert section.meeting(Place(50.0, 1.0), Place(54.0, 1.2), 51.0, 53.0) == 51.0
    assert section.meeting(Place(50.0, 1.2), Place(54.0, 1.2), 51.0, 53.0) == 51.0
    assert section.meeting(Place(50.0, 1.3), Place(54.0, 1.2), 51.0, 53.0) == 53.0


def test_stock_square_to_a_slope_and_its_volume() -> None:
    # A rise of 4 in 100 mm: square to it a height counts by the cosine of the slope.
    section = Section(SLOPE, Straight(FLAT), 0.1, width=2.5)
    assert section.square(50.0, 0.6) == pytest.approx(0.5 * math.cos(math.atan(0.04)))
    assert section.square(50.0, 0.05) == 0.0
    assert (section.area(50.0), section.volume(50.0, 0.4)) == (2.5, 1.0)
    # On a ring one degree is pi r / 180 mm, so the slope is so much gentler.
    ring = Section(SLOPE, Lateral(FLAT, 0.0, 20.0, 25.0), 0.0, radius=20.0, width=5.0)
    mm = math.pi * 20.0 / 180
    assert ring.square(50.0, 1.0) == pytest.approx(math.cos(math.atan(0.04 / mm)))
    assert ring.area(50.0) == pytest.approx(5 * mm)


def deepest_on_a_raster(guard: Guard, at: float) -> tuple[float, float]:
    low, high = guard.foot.window
    x = np.linspace(low + 1e-6, high - 1e-6, 4_001)
    held = np.array(
        [guard.line.depth(at + float(offset) - guard.shift) + guard.foot.least(float(offset)) for offset in x]
    )
    return float(held.min()), at + float(x[held.argmin()])


GUARDS = [
    Guard(SLOPE, Straight(BALL)), Guard(SLOPE, Straight(BULL, 1.5)), Guard(line_by_targets([(0, 3), (40, 1), (100, 5)]), Straight(BALL)),
    Guard(line_by_motion("cycloidal", 100.0, 4.0, 1.0), Lateral(BULL, 1.0, 20.0, 25.0)), Guard(SLOPE, Plunge(BALL, 3.0, 20.0, 24.0), 7.0),
    Guard(line_by_motion("parabolic", 100.0, 9.0), Lateral(FLAT, 0.0, 20.0, 25.0), 5.0),
]  # fmt: skip


@pytest.mark.parametrize("guard", GUARDS)
def test_a_cut_goes_as_deep_as_no_point_of_the_line_forbids(guard: Guard) -> None:
    for at in (-2.0, 11.0, 39.0, 47.3, 88.0, 103.0):
        touch = guard.deepest(at)
        depth, _ = deepest_on_a_raster(guard, at)
        assert touch.depth == pytest.approx(depth, abs=1e-3)
        assert touch.depth <= depth + 1e-9  # the raster may miss the tightest point, the search may not
        held = guard.line.depth(touch.where - guard.shift) + guard.foot.least(touch.where - at)
        assert held == pytest.approx(touch.depth, abs=1e-6)


def test_beside_a_wall_nothing_may_be_cut_and_beyond_a_free_end_all() -> None:
    walled = Guard(line_by_targets([(0, 1), (50, 1)], before="wall", after="free"), Straight(BALL))
    assert walled.deepest(2.9).depth == WALL
    assert walled.deepest(3.1).depth == 1.0
    assert walled.deepest(54.0).depth == FREE


def task_of(line: Line, outline: Outline = FLAT, **more: object) -> Task:
    foot = Straight(outline)
    section = Section(line, foot, float(more.get("leave", 0.0)))  # type: ignore[arg-type]  # a number
    return Task(
        (section,), (Guard(line, foot),), Scale("slide", Fraction(1, 2)), Scale("depth", Fraction(1, 10)), **more
    )  # type: ignore[arg-type]


def test_positions_are_whole_divisions_and_the_deepest_that_are_allowed() -> None:
    task = task_of(SLOPE, leave=0.25)
    for mark in range(0, 200, 7):
        # A flat end of 6 mm is held by the higher end of the slope under it, and a quarter of a millimetre stays.
        allowed = SLOPE.depth(max(0.0, mark / 2 - 3)) - 0.25
        assert task.depth(mark) == math.floor(allowed * 10 + 1e-9)
        assert task.place((mark, task.depth(mark))) == Place(mark / 2, pytest.approx(task.depth(mark) / 10))
    assert task_of(SLOPE, bottom=2.0).allowed(103.0) == 2.0
    assert task_of(SLOPE).allowed(90.0) == pytest.approx(1 + 4 * 0.87)
    free = task_of(line_by_targets([(0, 1), (50, 3)], after="free"), leave=0.5)
    assert free.allowed(60.0) == 2.5  # nothing holds it: the line's own depth, less what stays


def test_the_first_and_the_last_cut_clear_the_ends_of_the_line() -> None:
    # A flat cutter of 6 mm: its far edge at the beginning, its near edge past the end.
    assert ends(task_of(line_by_targets([(0, 0), (100, 4)]))) == (6, 206)
    assert ends(task_of(SLOPE)) == (6, 206)
    assert ends(task_of(line_by_targets([(0, 0), (100, 4)]), begin=1.3, end=90.2)) == (3, 181)
    comes_round = line_by_targets([(0, 1), (50, 3), (100, 1)], period=100.0)
    assert closed(task_of(comes_round))
    begin, end = ends(task_of(comes_round))
    assert end - begin == 200
    assert not closed(task_of(line_by_targets([(0, 1), (50, 3)], period=100.0)))


def test_sweeps_part_the_marks_and_are_one_place() -> None:
    task = task_of(LEVEL, begin=0.0, end=100.0, sweeps=((20, 40), (100, 120)))
    assert list(arcs(task)) == [(0, 20), (40, 100), (120, 200)]
    row = [(10, 20), (20, 20), (40, 20), (60, 20)]
    assert task.places(row) == [Place(5.0, 2.0), Place(10.0, 2.0, 20.0), Place(30.0, 2.0)]


def test_a_cut_wholly_beyond_a_free_end_takes_nothing() -> None:
    line = line_by_targets([(0, 1), (50, 3)], before="free", after="free")
    task = task_of(line)
    # 6 mm wide: past 53 mm, or before -3 mm, it no longer reaches the line.
    assert [task.cuts((mark, 10)) for mark in (-8, -6, -5, 50, 105, 106, 108)] == [
        False,
        False,
        True,
        True,
        True,
        False,
        False,
    ]
    assert not task.cuts((50, 0))
    assert task_of(LEVEL).cuts((-20, 10))  # level beyond its end


def test_a_flat_cut_that_its_neighbours_take_away_is_left_out() -> None:
    task = task_of(LEVEL)
    assert useful(task, [(0, 20), (6, 20), (12, 20)]) == [(0, 20), (12, 20)]  # 0 and 6 mm: they just meet
    assert useful(task, [(0, 20), (7, 20), (13, 20)]) == [(0, 20), (7, 20), (13, 20)]  # half a millimetre would stand
    assert useful(task, [(0, 20), (6, 21), (12, 20)]) == [(0, 20), (6, 21), (12, 20)]  # it is the deepest
    assert useful(task, [(0, 18), (6, 19), (12, 20)]) == [(0, 18), (6, 19), (12, 20)]  # a step of a stair
    assert useful(task_of(LEVEL, BALL), [(0, 20), (6, 20), (12, 20)]) == [(0, 20), (6, 20), (12, 20)]
    assert settled(task, [0, 6, 6, 12]) == [(0, 20), (12, 20)]


def test_even_steps_count_from_where_the_task_says() -> None:
    line = SLOPE
    marks = [mark for mark, _ in space(task_of(line, begin=3.0, end=33.0), Even(Fraction(4)))]
    assert marks == [6, 14, 22, 30, 38, 46, 54, 62, 66]
    marks = [mark for mark, _ in space(task_of(line, begin=3.0, end=33.0, counted_from=Fraction(0)), Even(Fraction(5)))]
    assert marks == [6, 10, 20, 30, 40, 50, 60, 66]
    marks = [mark for mark, _ in space(task_of(line, begin=3.0, end=33.0, musts=(25,)), Even(Fraction(10)))]
    assert marks == [6, 25, 26, 46, 66]


def test_a_count_is_kept_or_the_most_that_fit_is_said() -> None:
    task = task_of(line_by_targets([(0, 0), (100, 40)]), begin=10.0, end=60.0)
    assert len(space(task, Count(11))) == 11
    assert [mark for mark, _ in space(task, Count(3))] == [20, 70, 120]
    with pytest.raises(Refused) as refused:
        space(task, Count(102))
    assert (refused.value.code, refused.value.facts["makes"]) == ("not-so-many", 101)
    with pytest.raises(Refused) as refused:
        space(task, Count(MOST_CUTS + 1))
    assert refused.value.code == "too-many"
    with pytest.raises(Refused) as refused:
        space(task_of(line_by_targets([(0, 0), (20_000, 40)]), begin=0.0, end=20_000.0), Even(Fraction(1)))
    assert (refused.value.code, refused.value.facts["stops"]) == ("too-many", 20_001)


def test_a_cut_in_metal_that_stands_lower_already_reaches_less_far() -> None:
    # A ball of 3 mm, 1.5 deep in metal whose face is 1 mm down: half a millimetre of it bites, sqrt(9 - 2.5^2) to either side.
    section = Section(LEVEL, Straight(BALL), 0.0, blank=1.0)
    half = math.sqrt(9 - 2.5**2)
    assert section.extent(Place(50.0, 1.5)) == pytest.approx((50 - half, 50 + half))
    assert section.extent(Place(50.0, 1.5, 60.0)) == pytest.approx((50 - half, 60 + half))


def test_a_count_that_any_even_spacing_makes_is_kept() -> None:
    chance = random.Random("counts")  # noqa: S311  # repeatable cases, not secrets
    missed = 0
    for _ in range(25):
        places = sorted(chance.uniform(1, 30) for _ in range(4))
        depths = sorted(chance.choice([0.5, 1.0, chance.uniform(0, 3)]) for _ in range(6))
        line = line_by_targets(list(zip([0.0, *places, 32.0], depths, strict=True)))
        task = task_of(line)
        begin, end = ends(task)
        length = task.first.value(end) - task.first.value(begin)
        rows = {spaces: len(space(task, Even(length / spaces))) for spaces in range(1, 41)}
        for count in range(2, 14):
            if count > end - begin + 1:
                continue
            found = len(space(task, Count(count)))
            if count in rows.values():
                assert found == count
            else:
                missed += 1
                assert abs(found - count) == min(abs(made - count) for made in rows.values())
    assert missed  # some counts cannot be made: a level stretch takes cuts away


def test_by_depth_the_last_depth_is_cut_from_the_far_end_and_bridged_back_to() -> None:
    # 2 mm in 40 mm and 20 mm of floor, a cutter 6 mm wide, 0.5 mm a time.  A cut may be as deep as the line at its back edge:
    # 0.5, 1.0 and 1.5 mm stand 3 mm past 10, 20 and 30 mm.  Between and behind them cuts that just meet, 6 mm on, to 3 mm past the end.
    task = task_of(line_by_targets([(0, 0), (40, 2), (60, 2)]))
    row = [task.place(position) for position in space(task, Drop(Fraction(1, 2)))]
    assert [place.at for place in row] == [13.0, 19.0, 23.0, 29.0, 33.0, 39.0, 45.0, 51.0, 57.0, 63.0]
    assert [place.depth for place in row] == pytest.approx([0.5, 0.8, 1.0, 1.3, 1.5, 1.8, 2.0, 2.0, 2.0, 2.0])


def test_by_depth_nothing_is_cut_where_more_is_left_than_is_wanted() -> None:
    assert space(task_of(LEVEL, leave=3.0), Drop(Fraction(1, 2))) == []
    assert space(task_of(LEVEL, leave=1.5), Drop(Fraction(1, 2))) != []


def test_no_more_cuts_are_made_than_a_plan_may_have(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where half of the line is not cut at all, 99 spaces make some 50 cuts; a floor of 100 mm takes 17 of 6 mm at least."""
    monkeypatch.setattr(spacing, "MOST_CUTS", 100)
    half = task_of(line_by_targets([(0.0, 0.0), (50.0, 0.0), (100.0, 5.0)]))
    assert len(space(half, Count(40))) == 40
    assert 48 <= len(space(half, Count(60))) <= 52
    floor = task_of(line_by_targets([(0.0, 0.0), (10.0, 2.0), (110.0, 2.0)]))
    wide = space(floor, Drop(Fraction(1, 2)))
    assert 100 / 6 <= len(wide) <= 25
    monkeypatch.setattr(spacing, "MOST_CUTS", 12)
    with pytest.raises(Refused) as refused:
        space(floor, Drop(Fraction(1, 2)))
    assert refused.value.code == "too-many"
