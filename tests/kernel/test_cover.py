"""Open lines with upright faces take about the fewest cuts that keep a ridge wherever any cut can: against an integer programme.

Which places a cut brings within the ridge is asked of the program, and so is not proved here (the whole-part model does that); which
of all cuts are fewest is found by another way, scipy's ``milp`` over every mark of the rim.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix

from stepcut.errors import Refused
from stepcut.kernel import cover
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Task
from stepcut.plan import Plan
from stepcut.shapes.ramp.bench import Bench
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.shops import plan_of

Rows = list[tuple[float, float]]
APART = 0.04  # degrees from place to place that is looked at
# Teeth of a ring 32 mm over a bore of 21 mm, cutter, ridge; how many cuts each took when only neighbours were compared.
JOBS: dict[str, tuple[Rows, str, float, int]] = {
    "two slopes": ([(0, 0), (7.71, 1.245), (7.71, 0.553), (15.74, 1.561)], "2mm", 0.3, 70),
    "a ball": ([(0, 0), (8.6, 2.308), (8.6, 0.056), (13.7, 2.328), (13.7, 0.032), (22.55, 0.683)], "2mm ball", 0.3, 45),
    "a small ridge": ([(0, 0), (18.13, 0.861), (18.13, 0.544), (35.69, 2.296)], "3mm", 0.1, 72),
    "one that rises": ([(0, 0), (7.98, 2.07), (7.98, 0.472), (17.17, 1.536), (17.17, 0.262), (26.03, 0.661)], "2mm ball", 0.1, 62),
    "a row of teeth": ([(0, 0), (6.11, 1.613), (6.11, 0.399), (15.13, 0.855), (15.13, 0.314), (19.59, 1.58), (19.59, 0.414), (27.61, 2.247)], "3mm", 0.5, 34),
}  # fmt: skip
QUICK = ("two slopes", "a ball")


def solved(name: str) -> tuple[Plan, float]:
    rows, cutter, limit, _ = JOBS[name]
    targets = [[front.deg(at), front.mm(depth)] for at, depth in rows]
    return plan_of(
        "ramp", outside="32mm", bore="21mm", ramps="2", cutter=cutter, leave="0mm", scallop=f"{limit}mm", targets=targets
    ), limit  # fmt: skip


def enough(section: Section, place: Place | None, places: np.ndarray, limit: float) -> np.ndarray:
    """Which places a cut, or None for none, leaves within the limit."""
    reach = None if place is None else section.extent(place)
    found = []
    for at in map(float, places):
        inside = place is not None and reach is not None and reach[0] < at < reach[1]
        deep = max(section.blank, section.cut(place, at)) if inside and place is not None else section.blank
        found.append(section.square(at, section.line.depth(at) - deep) <= limit * (1 + 1e-6))
    return np.array(found)


def fewest(bench: Bench, limit: float) -> int:
    """The fewest cuts by which every place that any cut brings within the limit is within it."""
    task, first = bench.task, bench.first
    wide = task.guards[0].width
    places = np.arange(APART / 2, task.line.span, APART)
    bare = np.concatenate([enough(section, None, places, limit) for section in task.looked_at])
    columns = []
    for mark in range(first.up(-wide), first.up(task.line.span + wide), 2):
        place = task.place((mark, task.depth(mark)))
        if place.depth > 0:
            columns.append(
                np.concatenate([enough(section, place, places, limit) for section in task.looked_at]) & ~bare
            )
    table = np.array(columns).T
    table = np.unique(table[table.any(axis=1)], axis=0).astype(float)
    ones = np.ones(table.shape[1])
    found = milp(ones, constraints=LinearConstraint(csr_matrix(table), lb=1), integrality=ones, bounds=Bounds(0, 1))
    return round(found.fun)


@pytest.mark.long
@pytest.mark.parametrize("name", JOBS)
def test_a_line_that_jumps_takes_no_more_cuts_than_its_ridge_needs(name: str) -> None:
    plan, limit = solved(name)
    bench = plan.details.bench
    assert isinstance(bench, Bench)
    assert len(plan.stops) // 2 <= 1.1 * fewest(bench, limit) + 2  # one for a foot


@pytest.mark.parametrize(
    "name", [name if name in QUICK else pytest.param(name, marks=pytest.mark.long) for name in JOBS]
)
def test_they_are_far_fewer_than_when_only_neighbours_were_compared(name: str) -> None:
    assert len(solved(name)[0].stops) // 2 < 0.7 * JOBS[name][3]


def test_what_they_leave_is_what_the_whole_part_shows() -> None:
    rows, cutter, limit, _ = JOBS["a ball"]
    targets = [[front.deg(at), front.mm(depth)] for at, depth in rows]
    plan = front.solved("ramp", outside="32mm", bore="21mm", ramps="2", cutter=cutter, leave="0mm", scallop=f"{limit}mm", targets=targets)  # fmt: skip
    assert disagreements(plan, whole_part.see(plan)) == []


def test_what_stands_in_a_foot_that_no_cut_clears_is_lowered_as_far_as_one_reaches() -> None:
    """Down 8 mm to a face whose other side lies 0.5 mm deep: a cutter over that edge takes half a millimetre off what stands in the foot."""
    rows = [(0.0, 0.0), (20.0, 8.0), (20.0, 0.5), (40.0, 6.0)]
    targets = [[front.deg(at), front.mm(depth)] for at, depth in rows]
    plan = plan_of("ramp", outside="150mm", bore="140mm", cutter="12mm", leave="0mm", scallop="0.4mm", targets=targets)
    assert plan.result.stock_max == pytest.approx(7.5, abs=0.02)


def _bare() -> tuple[Task, float]:
    rows, cutter, limit, _ = JOBS["two slopes"]
    targets = [[front.deg(at), front.mm(depth)] for at, depth in rows]
    plan = plan_of(
        "ramp", outside="32mm", bore="21mm", ramps="2", cutter=cutter, leave="0mm", step="2deg", targets=targets
    )
    return plan.details.bench.task, limit


def test_more_cuts_than_a_plan_may_have_are_refused_while_they_are_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    task, limit = _bare()
    monkeypatch.setattr(cover, "MOST_WALKED", 4)
    with pytest.raises(Refused) as refused:
        cover.covered(task, limit)
    assert refused.value.code == "needs-too-many"
    assert refused.value.facts["needs"] > 4


def test_where_no_cut_keeps_the_other_radii_the_farthest_that_is_enough_is_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    task, limit = _bare()
    looked = cover._Cover(task, limit)
    section, other = task.looked_at[0], task.looked_at[-1]
    at = looked.front(section, 0.0)
    assert at is not None
    kept = looked.farthest(section, at, [])
    monkeypatch.setattr(cover._Cover, "_kept", lambda *_: False)
    assert looked.farthest(section, at, [(other, at)]) == kept
    marks = looked.marks(section, at)
    assert kept == max(mark for mark in marks if looked._mark_enough(section, mark, at))
