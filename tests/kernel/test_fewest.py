"""The fewest-stop walk against dynamic programming over every mark of the table."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest

from stepcut.kernel.footprints import Lateral
from stepcut.kernel.line import Line, line_by_motion
from stepcut.kernel.marks import useful
from stepcut.kernel.motions import MOTIONS
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.task import Task
from stepcut.kernel.walk import walk
from stepcut.machine import Outline, Scale
from stepcut.plan import Refused


def by_dynamic_programming(
    wanted: Line, foot: Lateral, leave: float, first: Scale, second: Scale, limit: float
) -> int | None:
    """Fewest stops over every mark, by a sum over predecessors; the ridge is written out here for a flat end."""
    radii = (foot.bore, (foot.bore + foot.outside) / 2, foot.outside)
    radius, over = foot.outline.radius, foot.offset
    worst = math.degrees(math.asin((radius - over) / foot.bore))
    end = first.up(wanted.span + worst)
    # One that begins below the face is cut to its depth there at every radius: the outside asks for the earliest place.
    opens = wanted.start > leave
    start = first.down(math.degrees(math.asin((radius - over) / foot.outside))) if opens else first.up(worst)
    marks = range(start, end + 1)
    ups = [(r, math.degrees(math.asin((radius - over) / r))) for r in radii]
    downs = [math.degrees(math.asin((radius + over) / r)) for r in radii]
    floor = second.down(wanted.floor - leave)
    depth = {m: min(floor, second.down(wanted.depth(float(first.value(m)) - worst) - leave)) for m in marks}
    depth[end] = floor

    def ridge(before: int | None, after: int) -> float:
        most = 0.0
        for (r, up), down in zip(ups, downs, strict=True):
            where = min(float(first.value(after)) - up, wanted.span)
            if where <= 0:
                continue
            reached = before is not None and where <= float(first.value(before)) + down + 1e-9
            below = float(second.value(depth[before])) if before is not None and reached else 0.0
            tilt = math.atan(wanted.slope(where) / math.radians(r))
            most = max(most, (wanted.depth(where) - below - leave) * math.cos(tilt))
        return most

    best: dict[int, int] = {}
    if depth[start] > 0:
        best[start] = 1  # begins below the face, so its first place is a stop
    for m in marks:
        if depth[m] <= 0 or m == start:
            continue
        ways = [] if start in best else ([1] if ridge(None, m) <= limit * (1 + 1e-9) else [])
        ways += [best[b] + 1 for b in marks if b < m and b in best and ridge(b, m) <= limit * (1 + 1e-9)]
        if ways:
            best[m] = min(ways)
    return best.get(end)


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
        expected = by_dynamic_programming(wanted, foot, leave, first, second, limit)
        try:
            found = walk(task, limit)
        except Refused:
            assert expected is None
            continue
        assert expected is not None
        assert len(found) == expected
        assert len(useful(task, found)) <= expected  # less what would cut nothing
        compared += 1
