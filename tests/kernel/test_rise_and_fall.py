"""Lines that rise, fall and jump: crests, valleys, waists and two depths at one place, against a raster of the cuts."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from itertools import pairwise

import numpy as np
import pytest

import stepcut.kernel.walk as walk_module
from stepcut.errors import Refused
from stepcut.kernel.footprints import Straight
from stepcut.kernel.line import Line, line_by_targets
from stepcut.kernel.measure import measure
from stepcut.kernel.ridge import ridge
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.space import Even, Ridge, space
from stepcut.kernel.task import Task
from stepcut.kernel.walk import _shallow_from, by_program, walk
from stepcut.machine import Outline, Scale
from stepcut.recipes import from_content, job

Targets = list[tuple[float, float]]


def task_of(line: Line, outline: Outline, division: Fraction, leave: float = 0.0, blank: float = 0.0) -> Task:
    foot = Straight(outline)
    first, second = Scale("slide", division), Scale("depth", Fraction(1, 100))
    return Task((Section(line, foot, leave, blank=blank),), (Guard(line, foot),), first, second, leave)


def free_targets(chance: random.Random, risers: bool = True) -> Targets:
    """Up to six places whose depth goes up and down, some of them two depths at one place."""
    at, depth = 0.0, chance.uniform(0.2, 3)
    row = [(at, depth)]
    for _ in range(chance.randint(2, 6)):
        at += chance.uniform(0.5, 4)
        depth = chance.choice([depth, chance.uniform(0.2, 3)])
        row.append((at, depth))
        if risers and chance.random() < 0.25:
            depth = chance.uniform(0.2, 3)
            row.append((at, depth))
    if row[-1][0] == row[-2][0]:
        row.append((at + 1.0, depth))
    return row


def outline_of(chance: random.Random) -> Outline:
    radius = chance.uniform(0.3, 2.0)
    return Outline(radius, chance.choice([0.0, radius, radius * chance.uniform(0.2, 0.8)]))


def as_cut(places: list[tuple[float, float]], outline: Outline, x: np.ndarray, blank: float = 0.0) -> np.ndarray:
    """Depth that the cuts leave on a raster, written out here: a flat with a quarter of a circle beside it."""
    found = np.full_like(x, blank)
    for at, depth in places:
        beside = np.abs(x - at) - (outline.radius - outline.corner)
        rise = outline.corner - np.sqrt(np.clip(outline.corner**2 - np.clip(beside, 0, None) ** 2, 0, None))
        found = np.where(np.abs(x - at) <= outline.radius, np.maximum(found, depth - rise), found)
    return found


def wanted_on(targets: Targets, x: np.ndarray) -> np.ndarray:
    """Wanted depth; the raster never stands on a riser."""
    found = np.zeros_like(x)
    for (a, p), (b, q) in pairwise(targets):
        if b > a:
            inside = (x >= a) & (x <= b)
            found = np.where(inside, p + (q - p) * (x - a) / (b - a), found)
    return found


@pytest.mark.parametrize("beyond", ["level", "free", "wall"])
@pytest.mark.parametrize(
    "seed", [pytest.param(seed, marks=pytest.mark.long) if seed > 1 else seed for seed in range(12)]
)
def test_free_targets_are_never_cut_below_and_are_measured_as_a_raster_sees_them(seed: int, beyond: str) -> None:
    chance = random.Random(f"free targets {seed}")  # noqa: S311  # repeatable cases, not secrets
    targets, outline, leave = free_targets(chance), outline_of(chance), chance.choice([0.0, 0.05])
    line = line_by_targets(targets, before=beyond, after=beyond)
    task = task_of(line, outline, Fraction(1, 20), leave)
    row = space(task, Even(Fraction(chance.choice([2, 5, 9]), 20)))
    left = measure(task, task.places(row))
    x = (np.arange(400_000) + 0.4142) * line.span / 400_000
    places = [(place.at, place.depth) for place in task.places(row)]
    stock = wanted_on(targets, x) - as_cut(places, outline, x)
    assert stock.min() >= min(leave, min(depth for _, depth in targets)) - 1e-6
    assert left.most == pytest.approx(stock.max(), abs=2e-3)
    assert left.least == pytest.approx(stock.min(), abs=2e-3)
    assert left.mean == pytest.approx(stock.mean(), abs=1e-4)
    if beyond == "wall":
        assert all(at >= outline.radius - 1e-6 and at <= line.span - outline.radius + 1e-6 for at, _ in places)


def test_a_riser_holds_a_cutter_and_is_not_cut_into() -> None:
    line = line_by_targets([(0.0, 2.0), (5.0, 2.0), (5.0, 0.5), (10.0, 0.5)])
    task = task_of(line, Outline(1.0, 0.0), Fraction(1, 10))
    assert task.depth(40) == 200  # the cutter's edge stands at the riser
    assert task.depth(41) == 50  # and here over it
    ball = task_of(line, Outline(1.0, 1.0), Fraction(1, 10))
    # A ball over the edge of the step: it touches the edge, r - sqrt(r^2 - d^2) up its side.
    assert ball.deepest(4.5) == pytest.approx(0.5 + 1 - math.sqrt(1 - 0.25), abs=1e-9)


def fewest_by_raster(task: Task, targets: Targets, outline: Outline, limit: float) -> int | None:
    """Fewest cuts over every mark, by a sum over predecessors; between two cuts the stock is looked at on a raster."""
    from stepcut.kernel.marks import ends

    begin, end = ends(task)
    x = (np.arange(6_000) + 0.4142) * task.line.span / 6_000
    wanted = wanted_on(targets, x)
    slopes = np.gradient(wanted, x)
    marks = range(begin, end + 1)
    at = {mark: float(task.first.value(mark)) for mark in marks}
    cut = {mark: as_cut([(at[mark], float(task.second.value(task.depth(mark))))], outline, x) for mark in marks}

    def within(a: int, b: int) -> bool:
        seen = (x >= at[a]) & (x <= at[b])
        stock = (wanted - np.maximum(cut[a], cut[b]) - task.leave) / np.sqrt(1 + slopes**2)
        return not seen.any() or stock[seen].max() <= limit

    best = {begin: 1}
    for mark in marks:
        ways = [best[b] + 1 for b in range(begin, mark) if b in best and within(b, mark)]
        if ways:
            best.setdefault(mark, min(ways))
    return best.get(end)


@pytest.mark.parametrize("seed", range(8))
def test_a_line_that_only_falls_away_needs_as_few_cuts_from_either_end(seed: int) -> None:
    chance = random.Random(f"mirror {seed}")  # noqa: S311  # repeatable cases, not secrets
    depths = [0.0, *sorted(chance.uniform(0, 3) for _ in range(3))]
    targets = [(3.0 * k, depth) for k, depth in enumerate(depths)]
    span = targets[-1][0]
    mirrored = [(span - at, depth) for at, depth in reversed(targets)]
    outline = outline_of(chance)
    limit = chance.uniform(0.05, 0.4)
    rows = []
    for each in (targets, mirrored):
        task = task_of(line_by_targets(each), outline, Fraction(1, 10))
        try:
            rows.append(len(space(task, Ridge(limit))))
        except Refused:
            rows.append(-1)
    assert abs(rows[0] - rows[1]) <= 1  # rounded to the marks from the other side


@pytest.mark.parametrize("seed", range(10))
def test_crests_and_valleys_take_as_few_cuts_as_dynamic_programming_finds(seed: int) -> None:
    chance = random.Random(f"program {seed}")  # noqa: S311  # repeatable cases, not secrets
    targets = free_targets(chance, risers=False)
    radius = chance.uniform(1.0, 3.0)
    outline = Outline(radius, radius)
    task = task_of(line_by_targets(targets), outline, Fraction(1, 4))
    limit = chance.uniform(0.15, 0.5)
    expected = fewest_by_raster(task, targets, outline, limit * (1 + 1e-6) + 1e-4)
    found = by_program(task, limit)
    assert found is not None
    assert len(found) <= len(walk(task, limit, []))
    if (
        expected is None
    ):  # the raster looks at the whole stretch, the program where two cuts meet: a ball does not fit a valley
        assert len(task.line.corners) > 0
    else:
        assert abs(len(found) - expected) <= 1


@pytest.mark.parametrize(("limit", "kept"), [(0.143, False), (0.144, True)])
def test_a_valley_on_marks_too_coarse_for_its_slopes_has_no_way(limit: float, kept: bool) -> None:
    """Marks of 0.5 mm on a slope of 0.3: a flat end leaves 0.15 mm from mark to mark, 0.15 cos 16.7 = 0.1437 square to it."""
    targets = [(0.0, 3.0), (10.0, 0.0), (20.0, 3.0)]
    task = task_of(line_by_targets(targets), Outline(1.0, 0.0), Fraction(1, 2))
    assert (by_program(task, limit) is not None) == kept
    if not kept:
        with pytest.raises(Refused) as refused:
            space(task, Ridge(limit))
        assert refused.value.facts["best"] == pytest.approx(0.15 * math.cos(math.atan(0.3)), abs=1e-4)


def test_the_program_looks_at_a_few_ridges_for_each_mark_of_a_hollow(monkeypatch: pytest.MonkeyPatch) -> None:
    """All pairs within a cutter's width were compared before, 150 for each of these marks; the count of the cuts stays the same."""
    asked = 0

    def counted(*between: object) -> float:
        nonlocal asked
        asked += 1
        return ridge(*between)  # type: ignore[arg-type]

    monkeypatch.setattr(walk_module, "ridge", counted)
    targets = [(0.0, 0.0), (10.0, 2.0), (20.0, 2.0), (30.0, 0.0)]
    for grain in (20, 40):
        asked = 0
        task = task_of(line_by_targets(targets), Outline(1.5, 0.0), Fraction(1, grain))
        row = by_program(task, 0.1)
        assert row is not None and asked < 40 * 30 * grain
        # By hand: 2 mm of fall by a tenth, square to a slope of 1 in 5, on either side; and the flat, a tool's 3 mm at a time.
        assert len(row) == pytest.approx(2 * 2.0 / 0.1 * math.cos(math.atan(0.2)) + 10 / 3, abs=6)


def test_uncut_metal_is_low_where_it_is_at_every_radius() -> None:
    """By hand: 10 mm in 30 degrees; square to it metal stands lower by cos a, tan a = 1 / 3 / (24 pi / 180) at the bore, / (30 pi / 180) outside."""
    content = {
        "outside": "60mm",
        "bore": "48mm",
        "cutter": "6mm",
        "rise": "10mm",
        "span": "30deg",
        "step": "5deg",
        "leave": "0mm",
    }
    task = job(from_content({"stepcut": 1, "machine": "metric", "ramp": content})).plan.details.bench.task
    steepest, flattest = (math.cos(math.atan(1 / 3 / math.radians(radius))) for radius in (24, 30))
    assert steepest < 0.79 < 0.84 < flattest
    low = _shallow_from(task, range(task.first.up(Fraction(12))), 1.62)
    assert float(task.first.value(max(low))) == pytest.approx(3 * 1.62 / flattest, abs=0.02)
