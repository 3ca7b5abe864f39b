"""Solving a face ramp: from what is wanted, how it is cut and how it is stepped, to a plan."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS
from stepcut.kernel.measure import Left, trespass
from stepcut.kernel.task import Position
from stepcut.machine import Machine, Scale
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.leaving import leaving
from stepcut.shapes.picture import picture_of
from stepcut.shapes.ramp.bench import (
    DEFAULT_SCALLOP,
    RUBS_BELOW,
    Bench,
    Cutting,
    RampDetails,
    Stepping,
    check_cutter,
    check_round,
    needed_leave,
    sector_cut,
    task_of,
)
from stepcut.shapes.ramp.finished import as_finished, with_faces
from stepcut.shapes.ramp.free import upright_faces
from stepcut.shapes.ramp.room import longest_span, run_out, spoiling
from stepcut.shapes.ramp.spacing import default_step, idle_step, spaced
from stepcut.shapes.ramp.wanted import Ramp


def prepare(ramp: Ramp, cutting: Cutting, machine: Machine) -> Bench:
    """Check that this cutter can cut this ramp at all on this machine, and set the bench up.

    Raises
    ------
    Refused
        When a scale is missing, the ring is no ring, or the cutter does not fit.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    second = machine.slide if cutting.approach == "side" else machine.depth
    if second is None:
        raise Refused("machine", "no-slide" if cutting.approach == "side" else "no-depth", machine=machine.name)
    check_cutter(ramp, cutting, machine)
    rim = machine.table.rim
    span_found = ramp.span == 0
    if span_found:
        ramp = ramp.spanning(longest_span(ramp, cutting, rim, second))
    if ramp.span > ramp.sector:
        raise Refused("span", "over-sector", span=ramp.span, sector=ramp.sector, starts=ramp.starts)
    if ramp.lead_in + ramp.lead_out >= ramp.span:
        raise Refused("lead-in", "all-dwell", span=ramp.span, dwell=ramp.lead_in + ramp.lead_out)
    check_round(ramp, cutting)
    bench = Bench(
        ramp, cutting, machine, task_of(ramp, cutting, 0.0, rim, second), Fraction(0), cutting.leave, span_found
    )
    leave = cutting.leave
    if leave is None:
        leave = second.up(sum(needed_leave(bench))) * second.division
    if leave >= ramp.deepest:
        raise Refused("leave", "nothing-to-cut", leave=leave, floor=ramp.deepest)
    return replace(bench, task=task_of(ramp, cutting, float(leave), rim, second), leave=leave)


def solve(
    ramp: Ramp,
    cutting: Cutting,
    stepping: Stepping,
    machine: Machine,
    regroup: bool = False,
    finish: tuple[Fraction | None, bool] = (None, False),
) -> Plan:
    """Return the plan of a ramp: stops on the machine's scales, what is left, and what must be said.

    With ``regroup`` cuts so thin that they would rub are put together to larger steps.  ``finish`` is the angle of the cutter that
    finishes upright faces last, degrees, and whether a tilted head does: ridges are judged as they then stand.

    Raises
    ------
    Refused
        When no plan can be made; a plan that would spoil the part is made, and says so in its remarks.
    """
    bench = with_faces(prepare(ramp, cutting, machine), *finish)
    chosen: Fraction | None = None
    given = stepping
    if stepping.free and bench.task.sweeps and all(s.first == s.last for s in ramp.wanted.stretches):
        stepping = replace(stepping, step=bench.ramp.span)  # flats that are swept need no steps between
    elif stepping.free:
        chosen = default_step(bench)
        stepping = replace(stepping, step=chosen)
    row = spaced(bench, stepping)
    thicker = regrouped(bench, row, stepping) if regroup else None
    if thicker is None:
        plan = plan_from(bench, row, stepping, chosen)
        return replace(plan, details=replace(plan.details, idle_step=idle_step(bench, given, row)))
    rule, wide = thicker
    facts = {
        "cuts": len(row),
        "drop": thickest(bench, row),
        "makes": len(wide),
        "new": thickest(bench, wide),
        "least": RUBS_BELOW,
    }
    plan = plan_from(bench, wide, rule)
    return replace(plan, remarks=(*plan.remarks, Remark("regrouped", facts)))


def thickest(bench: Bench, row: list[Position]) -> Fraction:
    """Return the largest step down of a row of cuts, mm."""
    return max((b - a for (_, a), (_, b) in pairwise([(0, 0), *row])), default=0) * bench.second.division


def regrouped(bench: Bench, row: list[Position], stepping: Stepping) -> tuple[Stepping, list[Position]] | None:
    """Return a coarser rule and its cuts where every cut of a row is so thin that it rubs; None where none is needed or serves.

    An even step stays a whole number of its own steps, so that it is as easy to dial; any other rule becomes even drops.
    """
    thin = thickest(bench, row)
    if not 0 < thin < RUBS_BELOW:
        return None
    drop = bench.second.up(RUBS_BELOW) * bench.second.division
    rules = [Stepping(drop=drop * k, order=stepping.order) for k in (1, 2)]
    if stepping.step is not None:
        times = math.ceil(RUBS_BELOW / thin)
        rules = [Stepping(step=stepping.step * k, order=stepping.order) for k in range(times, times + 3)] + rules
    for rule in rules:
        try:
            wide = spaced(bench, rule)
        except Refused:
            continue
        if thickest(bench, wide) >= RUBS_BELOW:
            return rule, wide
    return None


def plan_from(bench: Bench, row: list[Position], stepping: Stepping, chosen: Fraction | None = None) -> Plan:
    """Return the plan for positions that are already placed."""
    ramp, task = bench.ramp, bench.task
    if len(row) * ramp.starts > MOST_CUTS:
        raise Refused("stops", "too-many", stops=len(row) * ramp.starts, most=MOST_CUTS)
    places = task.places(row)
    left = bench.left(row)
    needed = 0.0 if ramp.free else run_out(bench, places[-1])  # the next ramp holds the cutter as its own line does
    available = sector_cut(ramp, bench.first) - places[-1].at
    stops, sweeps = numbered(row, bench, stepping.order)
    parts = needed_leave(bench)
    covers = bench.foot.extent(ramp.bore, math.inf) or (0.0, 0.0)
    return Plan(
        shape="ramp",
        target=_target(ramp),
        machine=bench.machine,
        cutter=bench.cutting.cutter,
        approach=bench.cutting.approach,
        edge_behind=float(bench.cutting.edge_behind),
        leave=bench.leave,
        first=bench.first,
        second=bench.second,
        axes=("table", "depth"),
        stops=stops,
        result=_result(bench, left, needed, available),
        remarks=tuple(_remarks(bench, row, left, stepping, chosen)),
        contact=left.contact,
        picture=picture_of(left, ramp.wanted, 1),
        details=RampDetails(
            bench, stepping.order, tuple(places), -bench.foot.level[0], (-covers[0] + 0.0, covers[1]), parts, sweeps
        ),
        turning=ramp.rises,  # what rises clockwise falls anticlockwise, and comes to the cutter by turning clockwise
        copies=ramp.starts,
    )


def _result(bench: Bench, left: Left, needed: float, available: float) -> Result:
    ramp = bench.ramp
    angles = dict(zip(("bore", "middle", "outside"), map(ramp.angle_at, ramp.radii), strict=True))
    return Result(
        scallop=left.scallop,
        stock_min=left.least,
        stock_mean=left.mean,
        stock_max=left.most,
        twist=left.mosts[2] - left.mosts[0],
        volume=left.volume * ramp.starts,
        more={
            **({} if ramp.free else {"ramp_angle": angles}),  # what rises and falls holds nothing
            "run_out": {"needed": needed, "available": available},
        },
    )


def _target(ramp: Ramp) -> dict[str, object]:
    wanted = ramp.wanted
    return {
        "outside_diameter": float(ramp.outside_diameter),
        "inside_diameter": float(ramp.inside_diameter),
        "rise": float(ramp.rise) if ramp.free else wanted.floor - wanted.start,
        "span": float(ramp.span),
        "starts": ramp.starts,
        "law": ramp.law,
        "start_depth": wanted.start,
        "lead_in": float(ramp.lead_in),
        "lead_out": float(ramp.lead_out),
        "rises": ramp.rises,
        "targets": [[float(a), float(d)] for a, d in ramp.targets],
    }


def numbered(row: list[Position], bench: Bench, order: str) -> tuple[tuple[Stop, ...], tuple[tuple[int, int], ...]]:
    """Return the stops of all ramps, and the numbers of those between which the table turns with the cutter in."""
    stops = tuple(_numbered(row, bench.ramp, bench.first, order))
    places = {mark: k for k, (mark, _) in enumerate(row)}
    sweeps = tuple(
        (ramp * len(row) + places[a] + 1, ramp * len(row) + places[b] + 1)
        for ramp in range(bench.ramp.starts)
        for a, b in bench.task.sweeps
        if a in places and b in places
    )
    return stops, sweeps


def _numbered(row: list[Position], ramp: Ramp, first: Scale, order: str) -> Iterator[Stop]:
    """Yield the stops of all ramps in the order of cutting; each ramp begins on a whole division, rounded up.

    By depth, each round begins with the ramp that the round before ended with: the table, which only turns one way, then
    goes on by one step instead of by a whole sector, and no order needs fewer turns of the crank.
    """
    begins = [first.up(k * ramp.sector) for k in range(ramp.starts)]
    pairs = (
        [(k, stop) for k in range(ramp.starts) for stop in row]
        if order == "by-ramp"
        else [((k - j) % ramp.starts, stop) for j, stop in enumerate(row) for k in range(ramp.starts)]
    )
    for n, (k, (at, depth)) in enumerate(pairs, 1):
        yield Stop(n, k + 1, begins[k] + at, depth)


def serves(bench: Bench, stepping: Stepping) -> str:
    """Say how a bench takes cuts spaced by a rule: as asked, with cuts closer together, or not at all."""
    ways = [("as asked", stepping)]
    if stepping.scallop is None and not stepping.free:
        ways.append(("closer", Stepping()))
    for how, rule in ways:
        try:
            step = default_step(bench) if rule.free else rule.step
            row = spaced(bench, replace(rule, step=step))
        except Refused:
            continue
        if trespass(bench.task.fences, bench.task.places(row), float(bench.leave)) is None:
            return how
    return ""


def _remarks(
    bench: Bench, row: list[Position], left: Left, stepping: Stepping, chosen: Fraction | None
) -> Iterator[Remark]:
    ramp = bench.ramp
    asked = Stepping() if chosen is not None else stepping
    yield from spoiling(bench, bench.task.places(row), lambda trial: serves(trial, asked))
    if chosen is not None:
        cranks = chosen / (2 * bench.half_turn)
        yield Remark("chosen-step", {"step": chosen, "cranks": cranks, "limit": DEFAULT_SCALLOP[bench.machine.unit]})
    if bench.span_found:
        needed = run_out(bench, bench.task.places(row)[-1])
        yield Remark("chosen-span", {"span": ramp.span, "sector": ramp.sector, "needed": needed})
    limit, done = stepping.scallop, as_finished(bench, left)
    if limit is not None and done.scallop > float(limit) * (1 + 1e-6):
        top = max(done.tops, key=lambda top: top.scallop)
        yield Remark("scallop-exceeded", {"limit": limit, "scallop": done.scallop, "where": top.where, "angular": True})
    yield from leaving(bench.task, bench.given_leave, bench.leave)
    if bench.task.sweeps:
        swept = {mark for pair in bench.task.sweeps for mark in pair}
        deepest = max((depth for mark, depth in row if mark in swept), default=0) * bench.second.division
        if deepest > bench.cutting.cutter.diameter / 4:
            yield Remark("sweep-deep", {"depth": deepest, "cutter": bench.cutting.cutter.diameter})
    if ramp.free:
        yield from upright_faces(ramp, left, float(bench.leave), bench.cutting.approach == "plunge")
    elif bench.leave and ramp.wanted.start < float(bench.leave):
        yield Remark("face-stands", {"until": ramp.wanted.reach(float(bench.leave)), "leave": bench.leave})
    if 0 < thickest(bench, row) < RUBS_BELOW:
        yield Remark("rubs", {"drop": thickest(bench, row), "least": RUBS_BELOW})
    if (ramp.sector / bench.first.division).denominator != 1:
        yield Remark("sector-rounded", {"sector": ramp.sector, "division": bench.first.division})
