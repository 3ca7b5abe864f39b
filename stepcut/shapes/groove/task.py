"""Solving a groove on a circle: the cutter plunged at one radius, the table turned between."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.footprints import Plunge
from stepcut.kernel.marks import MOST_CUTS
from stepcut.kernel.measure import Left, measure
from stepcut.kernel.ridge import uncut
from stepcut.kernel.section import Guard, Place, Section
from stepcut.kernel.space import Count, Even, Ridge, Rule, space
from stepcut.kernel.task import Position, Task
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.groove.walls import half_width, ridge_on_walls, sections
from stepcut.shapes.groove.wanted import Groove
from stepcut.shapes.leaving import leaving
from stepcut.shapes.picture import picture_of
from stepcut.shop.chances import Clear
from stepcut.shop.clearing import clearances, safe_leave

FILED_AT_MOST = 0.5  # mm; common practice, no source: more than this on a wall is cut, and not filed
DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(2, 1000), "mm": Fraction(5, 100)}


class Spacing(Struct, frozen=True):
    """How the cuts are spaced: at most one of the three; degrees, a number, mm."""

    step: Fraction | None = None
    cuts: int | None = None
    scallop: Fraction | None = None

    def rule(self, machine: Machine) -> Rule:
        """Return the rule of spacing."""
        if self.step is not None:
            return Even(self.step)
        if self.cuts is not None:
            return Count(self.cuts)
        return Ridge(float(self.scallop or DEFAULT_RIDGE[machine.unit]))


class GrooveDetails(Struct, frozen=True):
    """What a card of a groove prints besides.

    Parameters
    ----------
    groove : Groove
        What is wanted.
    width : float
        Of the groove at the face where it is deepest, mm.
    wall : float
        Highest ridge anywhere on its walls, mm.
    land : float
        Metal between neighbouring grooves, on the circle, mm.
    """

    groove: Groove
    width: float
    wall: float
    land: float

    def clearances(self, plan: Plan) -> list[Clear]:
        """Return how far each cut of one groove stays above its wanted floor."""
        foot = Plunge(plan.cutter.outline, float(plan.cutter.radius), self.groove.radius, self.groove.radius)
        task = task_of(self.groove, foot, 0.0, plan.first, plan.second)
        return clearances(task, [task.place((s.first, s.second)) for s in plan.stops if s.start == 1])

    @property
    def whole_depth(self) -> float:
        """How deep it is where it is deepest, mm."""
        return self.groove.wanted.deepest

    @property
    def offset(self) -> Fraction:
        """The cutter's axis stands on the centre line."""
        return Fraction(0)


def solve(groove: Groove, cutter: Cutter, given: Fraction | None, spacing: Spacing, machine: Machine) -> Plan:
    """Return the plan of a groove on a circle.

    Raises
    ------
    Refused
        When a scale is missing, the cutter covers the table's centre, grooves overlap, or a rule cannot be kept.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    if machine.depth is None:
        raise Refused("machine", "no-depth", machine=machine.name)
    if float(cutter.radius) >= groove.radius:
        raise Refused("cutter", "covers-centre", cutter=cutter.diameter, middle=groove.radius)
    leave = given
    if leave is None:
        bare = task_of(
            groove,
            Plunge(cutter.outline, float(cutter.radius), groove.radius, groove.radius),
            0.0,
            machine.table.rim,
            machine.depth,
        )
        leave = machine.depth.up(sum(safe_leave(bare))) * machine.depth.division
    if float(leave) >= groove.wanted.deepest:
        raise Refused("leave", "nothing-to-cut", leave=leave, floor=groove.wanted.deepest)
    first, second = machine.table.rim, machine.depth
    foot = Plunge(cutter.outline, float(cutter.radius), groove.radius, groove.radius)
    task = task_of(groove, foot, float(leave), first, second)
    row = space(task, spacing.rule(machine))
    if len(row) * groove.count > MOST_CUTS:
        raise Refused("stops", "too-many", stops=len(row) * groove.count, most=MOST_CUTS)
    _check(groove, task, row, spacing, cutter)
    places = task.places(row)
    land = land_of(groove, foot, places)
    if land < 0:
        raise Refused("cutter", "no-land", cutter=cutter.diameter, land=-land)
    left = measure(task, places)
    walls = measure(replace_sections(task, foot, float(leave)), places)
    plan = _plan(groove, cutter, (given, leave), machine, task, row, (left, walls), land)
    return replace(plan, remarks=(*plan.remarks, *_exceeded(left, spacing.scallop), *_standing(plan, groove)))


def _standing(plan: Plan, groove: Groove) -> Iterator[Remark]:
    """Yield that the walls stand between the cuts of a nearly level floor, and the step of the usual ridge: p^2 = 8 R h."""
    stands = float(plan.details.wall)
    if stands > FILED_AT_MOST:
        pitch = math.sqrt(8 * float(plan.cutter.radius * DEFAULT_RIDGE[plan.machine.unit]))
        step = math.floor(10 * math.degrees(pitch / (groove.radius + float(plan.cutter.radius)))) / 10
        yield Remark("walls-stand", {"stands": stands, "step": step}, look=True)


def _exceeded(left: Left, limit: Fraction | None) -> Iterator[Remark]:
    """Yield where a ridge stands higher than was asked for: in a corner of the line, or where the first cut does not reach."""
    top = max(left.tops, key=lambda top: top.scallop)
    if limit is not None and left.scallop > float(limit) * (1 + 1e-6):
        yield Remark("scallop-exceeded", {"limit": limit, "scallop": left.scallop, "where": top.where, "angular": True})


def task_of(groove: Groove, foot: Plunge, leave: float, first: Scale, second: Scale) -> Task:
    """Return the circle of a groove as a task: one section, and the same line as its guard."""
    line = groove.wanted
    return Task((Section(line, foot, leave, groove.radius),), (Guard(line, foot),), first, second, leave)


def replace_sections(task: Task, foot: Plunge, leave: float) -> Task:
    """Return a task whose sections are the radii across the groove."""
    return replace(task, sections=sections(task, foot, leave))


def land_of(groove: Groove, foot: Plunge, places: list[Place]) -> float:
    """Return the metal between the end of a groove and the beginning of the next, on the circle at the face, mm."""
    ends = []
    for place in (places[0], places[-1]):
        reach = foot.extent(groove.radius, place.depth) or (0.0, 0.0)
        ends.append((place.at + reach[0], place.at + reach[1]))
    gap = float(groove.sector) + ends[0][0] - ends[1][1]
    return math.radians(gap) * groove.radius


def _check(groove: Groove, task: Task, row: list[Position], spacing: Spacing, cutter: Cutter) -> None:
    """Refuse a row without cuts, another number than was asked for, and metal between neighbours."""
    if not row:
        raise Refused(
            "rise", "nothing-to-cut", leave=task.leave, floor=groove.wanted.deepest, division=task.second.division
        )
    if spacing.cuts is not None and len(row) != spacing.cuts:
        raise Refused("stops", "not-so-many", stops=spacing.cuts, makes=len(row))
    apart = uncut(task, row)
    if apart is not None:
        reach = task.guards[0].foot.window
        raise Refused("step", "apart", step=apart[1] - apart[0], widest=reach[1] - reach[0], cutter=cutter.diameter)


def _plan(
    groove: Groove,
    cutter: Cutter,
    leaves: tuple[Fraction | None, Fraction],
    machine: Machine,
    task: Task,
    row: list[Position],
    lefts: tuple[Left, Left],
    land: float,
) -> Plan:
    (given, leave), (left, walls) = leaves, lefts
    foot = task.guards[0].foot
    assert isinstance(foot, Plunge)  # noqa: S101  # made by solve
    reach = foot.extent(groove.radius, task.places(row)[-1].depth) or (0.0, 0.0)
    half = half_width(foot, groove.wanted.deepest)
    ridge = ridge_on_walls(foot, task.places(row))
    details = GrooveDetails(groove, 2 * half, ridge, land)
    return Plan(
        shape="groove",
        target=_target(groove, half),
        machine=machine,
        cutter=cutter,
        approach="plunge",
        edge_behind=float(cutter.radius),
        leave=leave,
        first=task.first,
        second=task.second,
        axes=("table", "depth"),
        stops=tuple(_numbered(row, groove, task.first)),
        result=Result(
            left.scallop, left.least, left.mean, left.most, 0.0, walls.volume * groove.count,
            {"wall_ridge": ridge, "land": land, "run_out": {"needed": reach[1], "available": float(groove.sector)}},
        ),
        remarks=tuple(leaving(task, given, leave)),
        contact=left.contact,
        picture=picture_of(left, groove.wanted, 0),
        details=details,
        turning=groove.rises,
        copies=groove.count,
    )  # fmt: skip


def _numbered(row: list[Position], groove: Groove, first: Scale) -> Iterator[Stop]:
    n = 0
    for k in range(groove.count):
        begins = first.up(k * groove.sector)
        for at, depth in row:
            n += 1
            yield Stop(n, k + 1, begins + at, depth)


def _target(groove: Groove, half: float) -> dict[str, Any]:
    wanted = groove.wanted
    return {
        "circle": float(groove.circle),
        "outside_diameter": float(groove.circle) + 2 * half,
        "inside_diameter": float(groove.circle) - 2 * half,
        "span": float(groove.span),
        "start_depth": wanted.start,
        "rise": wanted.floor - wanted.start,
        "starts": groove.count,
        "law": groove.motion,
        "targets": [[float(a), float(d)] for a, d in groove.targets],
        "rises": groove.rises,
    }
