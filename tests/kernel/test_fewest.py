"""The fewest-stop walk against dynamic programming over every mark of the table."""

from __future__ import annotations

import random
from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut.kernel.footprints import Lateral
from stepcut.kernel.line import Line, line_by_motion
from stepcut.kernel.marks import useful
from stepcut.kernel.motions import MOTIONS
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.task import Task
from stepcut.kernel.walk import walk
from stepcut.machine import Outline, Scale
from stepcut.plan import Refused

Row = NDArray[np.float64]


def window(foot: Lateral, r: float) -> tuple[float, ...]:
    """How far uphill and downhill of its place the cutter covers a circle, degrees: by looking where the circle lies under it."""
    around = np.linspace(-90, 90, 9001)
    across = r * np.sin(np.radians(around)) + foot.offset  # from the middle line of the cutter's way
    return tuple(float(abs(np.interp(edge, across, around))) for edge in (foot.outline.radius, -foot.outline.radius))


def ridges(x: Row, depth: Row, foot: Lateral, leave: float, r: float, places: list[tuple[float, float]]) -> Row:
    """What stands between each pair of cuts at a radius, square to the surface: a row for the cut before, the first row for none.

    On a raster along the circle: what the cut before leaves of the wanted depth, as far as the cut after does not take it.
    """
    up, down = window(foot, r)
    square = np.cos(np.arctan(np.gradient(depth, np.radians(x) * r)))
    begins = np.array([at - up for at, _ in places])
    rows = []
    for at, cut in [(-1e9, 0.0), *places]:
        taken = np.where((x >= at - up) & (x <= at + down), cut, 0.0)
        stands = np.where(x >= at - up, (depth - taken - leave) * square, 0.0)
        highest = np.maximum.accumulate(np.maximum(stands, 0.0))
        rows.append(np.where(begins > 0, np.interp(begins, x, highest), 0.0))
    return np.array(rows)


def by_dynamic_programming(
    wanted: Line, foot: Lateral, leave: float, first: Scale, second: Scale, limits: tuple[float, ...]
) -> list[int | None]:
    """Fewest stops over every mark for each limit, by a sum over predecessors, with ridges seen on a raster."""
    radii = (foot.bore, (foot.bore + foot.outside) / 2, foot.outside)
    worst = window(foot, foot.bore)[0]
    # One that begins below the face is cut to its depth there at every radius: the outside asks for the earliest place.
    opens = wanted.start > leave
    start = first.down(window(foot, foot.outside)[0]) if opens else first.up(worst)
    marks = list(range(start, first.up(wanted.span + worst) + 1))
    floor = second.down(wanted.floor - leave)
    depth = {m: min(floor, second.down(wanted.depth(float(first.value(m)) - worst) - leave)) for m in marks}
    depth[marks[-1]] = floor
    places = [(float(first.value(m)), float(second.value(depth[m]))) for m in marks]
    x = np.linspace(0, wanted.span, 2001)
    whole = np.array([wanted.depth(float(at)) for at in x])
    stands = np.max([ridges(x, whole, foot, leave, r, places) for r in radii], axis=0)
    return [_fewest(marks, depth, stands <= limit) for limit in limits]


def _fewest(marks: list[int], depth: dict[int, int], kept: NDArray[np.bool_]) -> int | None:
    best: dict[int, int] = {0: 1} if depth[marks[0]] > 0 else {}  # begins below the face, so its first place is a stop
    opens = bool(best)
    for k, m in enumerate(marks):
        if depth[m] <= 0 or k in best:
            continue
        ways = [1] if not opens and kept[0, k] else []
        ways += [count + 1 for b, count in best.items() if b < k and kept[b + 1, k]]
        if ways:
            best[k] = min(ways)
    return best.get(len(marks) - 1)


@pytest.mark.parametrize("cases", [12, pytest.param(40, marks=pytest.mark.long)])
@pytest.mark.parametrize("law", MOTIONS)
def test_the_walk_has_as_few_stops_as_dynamic_programming(law: str, cases: int) -> None:
    chance = random.Random(f"stepcut {law} {cases}")  # noqa: S311  # repeatable cases, not secrets
    compared = 0
    while compared < cases:
        bore = chance.uniform(8, 30)
        outside = bore + chance.uniform(1, 8)
        radius = chance.uniform(1.0, 0.45 * bore)
        behind = chance.choice([0.0, radius])
        span, rise = float(chance.randrange(20, 60)), chance.uniform(0.3, 3.0)
        start = chance.choice([0.0, 0.4])
        wanted = line_by_motion(law, span, rise, start, dwell_high=chance.choice([0.0, span / 8]))
        foot, leave = Lateral(Outline(radius, 0.0), behind, bore, outside), chance.choice([0.0, 0.05])
        first = Scale("rim", Fraction(1), angular=True)
        second = Scale("depth", Fraction(chance.choice([1, 2, 5]), 100))
        limit = rise * chance.uniform(0.08, 0.5)
        sections = tuple(Section(wanted, foot, leave, r) for r in (bore, (bore + outside) / 2, outside))
        task = Task(sections, (Guard(wanted, foot),), first, second, leave)
        # The raster sees a ridge to a thousandth; where that decides, nothing is asked.
        expected, *near = by_dynamic_programming(
            wanted, foot, leave, first, second, (limit, 0.999 * limit, 1.001 * limit)
        )
        if set(near) != {expected}:
            continue
        try:
            found = walk(task, limit)
        except Refused:
            assert expected is None
            continue
        assert expected is not None
        assert len(found) == expected
        assert len(useful(task, found)) <= expected  # less what would cut nothing
        compared += 1
