"""The fewest-stop walk against dynamic programming over every mark of the table."""

from __future__ import annotations

import math
import random
from fractions import Fraction

import pytest

from stepcut.kernel import positions
from stepcut.kernel.cut import Cut
from stepcut.kernel.footprints import Lateral
from stepcut.kernel.motions import LAWS, fall_by_law
from stepcut.machine import Outline, Scale
from stepcut.plan import Refused


def by_dynamic_programming(cut: Cut, first: Scale, second: Scale, limit: float) -> int | None:
    """Fewest stops over every mark, by a sum over predecessors; the ridge is written out here for a flat end."""
    end = first.up(cut.end)
    marks = range(first.up(cut.lead), end + 1)
    foot = cut.foot
    assert isinstance(foot, Lateral)
    radius, over = foot.outline.radius, foot.set_over
    ups = [(r, math.degrees(math.asin((radius - over) / r))) for r in cut.radii]
    downs = [math.degrees(math.asin((radius + over) / r)) for r in cut.radii]
    floor = second.down(cut.floor)
    worst = math.degrees(math.asin((radius - over) / foot.bore))
    depth = {m: min(floor, second.down(cut.wanted.depth(float(first.value(m)) - worst) - cut.leave)) for m in marks}
    depth[end] = floor

    def ridge(before: int | None, after: int) -> float:
        most = 0.0
        for (r, up), down in zip(ups, downs, strict=True):
            where = min(float(first.value(after)) - up, cut.wanted.span)
            if where <= 0:
                continue
            reached = before is not None and where <= float(first.value(before)) + down + 1e-9
            below = float(second.value(depth[before])) if before is not None and reached else 0.0
            tilt = math.atan(cut.wanted.slope(where) / math.radians(r))
            most = max(most, (cut.wanted.depth(where) - below - cut.leave) * math.cos(tilt))
        return most

    best: dict[int, int] = {}
    start = first.up(cut.lead)
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


@pytest.mark.parametrize("law", LAWS)
def test_the_walk_has_as_few_stops_as_dynamic_programming(law: str) -> None:
    chance = random.Random(f"stepcut {law}")  # noqa: S311  # repeatable cases, not secrets
    compared = 0
    while compared < 300 // len(LAWS) + 1:
        bore = chance.uniform(8, 30)
        outside = bore + chance.uniform(1, 8)
        radius = chance.uniform(1.0, 0.45 * bore)
        behind = chance.choice([0.0, radius])
        span, rise = float(chance.randrange(20, 60)), chance.uniform(0.3, 3.0)
        start = chance.choice([0.0, 0.4])
        cut = Cut(
            fall_by_law(law, span, rise, start, lead_in=chance.choice([0.0, span / 8])),
            Lateral(Outline(radius, 0.0), behind, bore, outside),
            chance.choice([0.0, 0.05]),
            (bore, (bore + outside) / 2, outside),
        )
        first = Scale("rim", Fraction(1), angular=True)
        second = Scale("depth", Fraction(chance.choice([1, 2, 5]), 100))
        limit = rise * chance.uniform(0.08, 0.5)
        expected = by_dynamic_programming(cut, first, second, limit)
        try:
            found = positions.walk(cut, first, second, limit)
        except Refused:
            assert expected is None
            continue
        assert expected is not None
        assert len(found) == expected
        assert len(positions.fewest(cut, first, second, limit)) <= expected  # less what would cut nothing
        compared += 1
