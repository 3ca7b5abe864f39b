"""Solving a face ramp: from what is wanted, how it is cut and how it is stepped, to a plan."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from stepcut.kernel import finish, positions
from stepcut.kernel.cut import Cut, Place
from stepcut.kernel.footprints import Approach, Footprint, Lateral, Plunge
from stepcut.machine import STANDARD_CUTTERS, Cutter, Machine, Scale
from stepcut.plan import Plan, Refused, Remark, Stop
from stepcut.shapes.ramp.wanted import Ramp

OnLine = Literal["edge", "centre"]

# mm; common practice, no source: an end mill rubs below about 0.002 in.
RUBS_BELOW = Fraction(254, 10) * Fraction(2, 1000)
DEFAULT_SCALLOP = {"in": Fraction(254, 10) * Fraction(5, 1000), "mm": Fraction(12, 100)}


@dataclass(frozen=True)
class Cutting:
    """How the cutter meets the work.

    Parameters
    ----------
    approach : str
        across, plunge or side.
    on_line : str
        What stands on the radial line of a stop: the cutter's uphill edge or its centre.
    cutter : Cutter
        The cutter.
    leave : Fraction or None
        Stock to leave, mm; None takes it from the machine's errors.
    """

    approach: Approach
    on_line: OnLine
    cutter: Cutter
    leave: Fraction | None = Fraction(0)

    @property
    def far(self) -> Fraction:
        """How far the cutter reaches downhill of the radial line, mm."""
        return self.cutter.diameter - self.edge_behind

    @property
    def edge_behind(self) -> Fraction:
        """q: how far the uphill edge stands behind the radial line, mm."""
        return Fraction(0) if self.on_line == "edge" else self.cutter.radius

    def footprint(self, ramp: Ramp) -> Footprint:
        """Return what this cutter removes at a stop of a ramp."""
        q = float(self.edge_behind)
        outline = self.cutter.outline
        if self.approach == "plunge":
            return Plunge(outline, q, ramp.bore, ramp.outside)
        if self.approach == "side":
            outline = replace(outline, corner=outline.radius)
        return Lateral(outline, q, ramp.bore, ramp.outside)


@dataclass(frozen=True)
class Stepping:
    """How the stops are spaced: at most one rule leads, the others must agree with it; None means free."""

    step: Fraction | None = None  # degrees
    drop: Fraction | None = None  # mm
    stops: int | None = None  # of one ramp
    scallop: Fraction | None = None  # mm
    order: Literal["by-ramp", "by-depth"] = "by-ramp"

    @property
    def free(self) -> bool:
        """Whether nothing is said about the spacing."""
        return self.step is None and self.drop is None and self.stops is None and self.scallop is None


@dataclass(frozen=True)
class Bench:
    """A ramp on a machine, ready to be spaced: the cut and its two scales."""

    ramp: Ramp
    cutting: Cutting
    machine: Machine
    cut: Cut
    first: Scale
    second: Scale
    leave: Fraction
    given_leave: Fraction | None
    span_found: bool = False

    def places(self, row: list[positions.Position]) -> list[Place]:
        """Return positions in degrees and mm."""
        return positions.places(row, self.first, self.second)

    def scallop(self, row: list[positions.Position]) -> float:
        """Return the largest ridge of a row of stops, mm."""
        places = self.places(row)
        return max(positions.highest(self.cut, places), self.cut.ridge(None, places[0])) if places else 0.0


def needed_leave(machine: Machine, cut: Cut, second: Scale) -> tuple[float, float, float]:
    """Return the three parts of a safe leave, mm: slope x table error, depth error, and the dish or twist.

    Notes
    -----
    An error of the table of e degrees moves the cut by slope x e in depth.  Dish and twist come from the footprint: how
    much farther uphill it reaches at its worst radius than at its best, times the slope.
    """
    slope = cut.wanted.steepest
    table = slope * float(machine.table.rim.error if machine.table else 0)
    reaches = [cut.foot.reach(radius, cut.foot.half_width) for radius in cut.radii] if cut.is_flat else []
    uphill = [reach[0] for reach in reaches if reach]
    uneven = slope * (max(uphill) - min(uphill)) if uphill else 0.0
    return table, float(second.error), uneven


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
    _check_cutter(ramp, cutting, machine)
    rim = machine.table.rim
    span_found = ramp.span == 0
    if span_found:
        ramp = replace(ramp, span=_longest_span(ramp, cutting, machine, second))
    if ramp.span > ramp.sector:
        raise Refused("span", "over-sector", span=ramp.span, sector=ramp.sector, starts=ramp.starts)
    if ramp.lead_in + ramp.lead_out >= ramp.span:
        raise Refused("lead-in", "all-dwell", span=ramp.span, dwell=ramp.lead_in + ramp.lead_out)
    _check_round(ramp, cutting)
    cut = Cut(ramp.wanted, cutting.footprint(ramp), 0.0, ramp.radii)
    leave = cutting.leave
    if leave is None:
        division = second.division
        leave = second.up(sum(needed_leave(machine, cut, second))) * division
    bottom = ramp.targets[-1][1] if ramp.targets else ramp.start_depth + ramp.rise
    if leave >= bottom:
        raise Refused("leave", "nothing-to-cut", leave=leave, floor=bottom)
    cut = replace(cut, leave=float(leave))
    return Bench(ramp, cutting, machine, cut, rim, second, leave, cutting.leave, span_found)


def _check_cutter(ramp: Ramp, cutting: Cutting, machine: Machine) -> None:
    cutter = cutting.cutter
    foot = cutting.footprint(ramp)
    if cutting.approach in ("across", "side"):
        far = float(cutting.far)
        if far >= ramp.bore:
            share = cutting.far / cutter.diameter
            fits = max((d for d in STANDARD_CUTTERS[machine.unit] if d * share < ramp.bore), default=None)
            raise Refused("cutter", "crosses-bore", cutter=cutter.diameter, far=far, bore=ramp.bore, fits=fits)
    elif any(foot.reach(radius, foot.half_width) is None for radius in (ramp.bore, ramp.outside)):
        wall = ramp.outside - ramp.bore
        raise Refused("cutter", "narrower-than-wall", cutter=cutter.diameter, wall=wall)
    elif isinstance(foot, Plunge) and foot.half_width >= math.hypot(foot.middle, foot.set_over):
        raise Refused("cutter", "covers-centre", cutter=cutter.diameter, middle=foot.middle)


def _check_round(ramp: Ramp, cutting: Cutting) -> None:
    """Refuse a cutter that is rounder than a hollow of the law; the span must be known."""
    corner = cutting.footprint(ramp).half_width - cutting.footprint(ramp).flat
    hollow = ramp.hollow(ramp.bore) if corner else math.inf
    if hollow < corner:
        raise Refused("cutter", "too-round", corner=corner, hollow=hollow, approach=cutting.approach)


def _run_out(cut: Cut, ramp: Ramp, last: Place) -> float:
    """Return the degrees that a stop reaches downhill below the stock line of the next ramp's high end.

    The bore binds, since the reach is longest there; below the next ramp's high end only what lies deeper counts.
    """
    above = last[1] - (float(ramp.start_depth) - cut.leave)
    if above <= 0:
        return 0.0
    width = cut.foot.width_at(above) if not cut.is_flat else cut.foot.half_width
    reaches = [cut.foot.reach(radius, width) for radius in ramp.radii]
    return max((reach[1] for reach in reaches if reach), default=0.0)


def _longest_span(ramp: Ramp, cutting: Cutting, machine: Machine, second: Scale) -> Fraction:
    """Return the longest span, in whole divisions of the table, after which the cutter still clears the next ramp."""
    assert machine.table is not None  # noqa: S101  # checked by the caller
    rim = machine.table.rim
    leave = float(cutting.leave or 0)

    def clears(divisions: int) -> bool:
        trial = replace(ramp, span=divisions * rim.division)
        if trial.lead_in + trial.lead_out >= trial.span:
            return True
        cut = Cut(trial.wanted, cutting.footprint(trial), leave, trial.radii)
        end = float(rim.up(cut.end) * rim.division)
        return end + _run_out(cut, trial, (end, cut.floor)) <= float(ramp.sector) + 1e-9

    marks = range(1, rim.down(ramp.sector) + 1)
    longest = bisect_left(marks, True, key=lambda divisions: not clears(divisions)) * rim.division
    if longest <= ramp.lead_in + ramp.lead_out:
        raise Refused("cutter", "no-room", cutter=cutting.cutter.diameter, sector=ramp.sector, starts=ramp.starts)
    return longest


# --- spacing -------------------------------------------------------------------------------------------------


def spaced(bench: Bench, stepping: Stepping) -> list[positions.Position]:
    """Return the stops of one ramp by the rule that is given, checked against every other rule that is given.

    Raises
    ------
    Refused
        When two rules do not agree, or a rule cannot be kept on these scales.
    """
    cut, first, second = bench.cut, bench.first, bench.second
    if stepping.step is not None:
        row, leader = positions.even(cut, first, second, stepping.step), ("step", stepping.step)
    elif stepping.drop is not None:
        if stepping.drop < second.division:
            raise Refused("drop", "below-division", drop=stepping.drop, division=second.division)
        row, leader = positions.by_drop(cut, first, second, stepping.drop), ("drop", stepping.drop)
    elif stepping.stops is not None:
        row, leader = positions.by_count(cut, first, second, stepping.stops), ("stops", Fraction(stepping.stops))
    else:
        limit = stepping.scallop or DEFAULT_SCALLOP[bench.machine.unit]
        row, leader = positions.fewest(cut, first, second, float(limit)), ("scallop", limit)
    if not row:
        raise Refused(
            "rise", "nothing-to-cut", leave=bench.leave, floor=Fraction(cut.wanted.floor), division=second.division
        )
    _agree(bench, stepping, row, leader)
    _meet(bench, row)
    return row


def _agree(bench: Bench, stepping: Stepping, row: list[positions.Position], leader: tuple[str, Fraction]) -> None:
    """Refuse rules that contradict the one that led."""
    name, value = leader
    if name == "stops" and len(row) != stepping.stops:
        raise Refused("stops", "not-so-many", stops=stepping.stops, makes=len(row))
    if stepping.stops is not None and len(row) != stepping.stops:
        raise Refused("stops", "disagree-stops", stops=stepping.stops, leader=name, value=value, makes=len(row))
    if name == "step" and stepping.drop is not None and stepping.step is not None:
        makes = bench.cut.wanted.steepest * float(stepping.step)
        if abs(makes - float(stepping.drop)) > float(bench.second.division) / 2:
            raise Refused("drop", "disagree-drop", drop=stepping.drop, step=stepping.step, makes=makes)
    if stepping.scallop is not None and name != "scallop":
        makes = bench.scallop(row)
        if makes > float(stepping.scallop) * (1 + 1e-9):
            raise Refused(
                "scallop", "disagree-scallop", scallop=stepping.scallop, leader=name, value=value, makes=makes
            )


def _meet(bench: Bench, row: list[positions.Position]) -> None:
    """Refuse neighbours that leave uncut metal standing between them."""
    places = bench.places(row)
    for before, after in pairwise(places):
        if not bench.cut.meets(before[0], after[0]):
            reaches = [bench.cut.foot.reach(r, bench.cut.foot.half_width) for r in bench.cut.radii]
            widest = min(sum(reach) for reach in reaches if reach)
            raise Refused(
                "step", "apart", step=after[0] - before[0], widest=widest, cutter=bench.cutting.cutter.diameter
            )


def easy_steps(bench: Bench) -> Iterator[Fraction]:
    """Yield the easy steps of this table, from coarse to fine: whole crank turns, and half turns between them."""
    assert bench.machine.table is not None  # noqa: S101  # checked by prepare
    half = bench.machine.table.degrees_per_turn / 2
    count = int(bench.ramp.span / half)
    for k in range(count, 0, -1):
        yield k * half


def default_step(bench: Bench) -> Fraction | None:
    """Return the largest easy step that keeps the scallop within the usual limit; None when none does."""
    limit = float(DEFAULT_SCALLOP[bench.machine.unit])
    steps = list(easy_steps(bench))

    def serves(step: Fraction) -> bool:
        row = positions.even(bench.cut, bench.first, bench.second, step)
        meet = all(bench.cut.meets(a[0], b[0]) for a, b in pairwise(bench.places(row)))
        return meet and bench.scallop(row) <= limit * (1 + 1e-9)

    first = bisect_left(steps, True, key=serves)  # ridges grow with the step, and the steps go from coarse to fine
    return steps[first] if first < len(steps) else None


# --- the plan ------------------------------------------------------------------------------------------------


def solve(ramp: Ramp, cutting: Cutting, stepping: Stepping, machine: Machine) -> Plan:
    """Return the plan of a ramp: stops on the machine's scales, what is left, and what must be said.

    Raises
    ------
    Refused
        When no plan can be made; a plan that would spoil the part is made, and says so in its remarks.
    """
    bench = prepare(ramp, cutting, machine)
    chosen: Fraction | None = None
    if stepping.free:
        chosen = default_step(bench)
        stepping = replace(stepping, step=chosen)
    return plan_from(bench, spaced(bench, stepping), stepping, chosen)


def plan_from(bench: Bench, row: list[positions.Position], stepping: Stepping, chosen: Fraction | None = None) -> Plan:
    """Return the plan for stops that are already placed."""
    ramp, cut = bench.ramp, bench.cut
    places = bench.places(row)
    if len(row) * ramp.starts > positions.MOST_STOPS:
        raise Refused("stops", "too-many", stops=len(row) * ramp.starts, most=positions.MOST_STOPS)
    surface = finish.Surface(cut, tuple(places))
    left = finish.measure(surface, ramp.bore, ramp.outside, ramp.starts)
    needed = _run_out(cut, ramp, places[-1])
    available = float(ramp.sector) - places[-1][0]
    more = {
        "ramp_angle": dict(zip(("bore", "middle", "outside"), map(ramp.angle_at, ramp.radii), strict=True)),
        "run_out": {"needed": needed, "available": available},
    }
    result = replace(left, more=more)
    parts = needed_leave(bench.machine, cut, bench.second)
    remarks = _remarks(bench, row, chosen, needed, available, parts)
    reach = cut.foot.reach(ramp.bore, cut.foot.half_width)
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
        stops=tuple(_numbered(row, ramp, bench.first, stepping.order)),
        result=result,
        remarks=tuple(remarks),
        contact=finish.contact(surface, ramp.bore, ramp.outside),
        picture=finish.picture(surface, ramp.radii[1]),
        facts={
            "ramp": ramp,
            "bench": bench,
            "on_line": bench.cutting.on_line,
            "set_over": bench.cutting.cutter.radius - bench.cutting.edge_behind,
            "lead": cut.lead,
            "reach_bore": tuple(x + 0.0 for x in reach) if reach else (0.0, 0.0),
            "order": stepping.order,
            "stops_of_one": len(row),
            "cut": cut,
            "places": tuple(places),
            "leave_parts": parts,
        },
        turning=ramp.rises,  # what rises clockwise falls anticlockwise, and comes to the cutter by turning clockwise
        copies=ramp.starts,
    )


def _target(ramp: Ramp) -> dict[str, object]:
    wanted = ramp.wanted
    return {
        "outside_diameter": float(ramp.outside_diameter),
        "inside_diameter": float(ramp.inside_diameter),
        "rise": wanted.floor - wanted.start,
        "span": float(ramp.span),
        "starts": ramp.starts,
        "law": ramp.law,
        "start_depth": wanted.start,
        "lead_in": float(ramp.lead_in),
        "lead_out": float(ramp.lead_out),
        "rises": ramp.rises,
        "targets": [[float(a), float(d)] for a, d in ramp.targets],
    }


def _numbered(row: list[positions.Position], ramp: Ramp, first: Scale, order: str) -> Iterator[Stop]:
    """Yield the stops of all ramps in the order of cutting; each ramp begins on a whole division, rounded up."""
    begins = [first.up(k * ramp.sector) for k in range(ramp.starts)]
    pairs = (
        [(k, stop) for k in range(ramp.starts) for stop in row]
        if order == "by-ramp"
        else [(k, stop) for stop in row for k in range(ramp.starts)]
    )
    for n, (k, (at, depth)) in enumerate(pairs, 1):
        yield Stop(n, k + 1, begins[k] + at, depth)


def _remarks(
    bench: Bench,
    row: list[positions.Position],
    chosen: Fraction | None,
    needed: float,
    available: float,
    parts: tuple[float, float, float],
) -> Iterator[Remark]:
    ramp, cut = bench.ramp, bench.cut
    if needed > available + 1e-9:
        yield _spoiling(bench, bench.places(row), needed, available)
    if chosen is not None:
        assert bench.machine.table is not None  # noqa: S101  # checked by prepare
        cranks = chosen / bench.machine.table.degrees_per_turn
        yield Remark("chosen-step", {"step": chosen, "cranks": cranks, "limit": DEFAULT_SCALLOP[bench.machine.unit]})
    if bench.span_found:
        yield Remark("chosen-span", {"span": ramp.span, "sector": ramp.sector, "needed": needed})
    if bench.given_leave is None:
        yield Remark("leave-auto", {"leave": bench.leave, "parts": parts})
    elif float(bench.leave) < sum(parts) - 1e-9:
        yield Remark("leave-small", {"leave": bench.leave, "safe": sum(parts), "parts": parts})
    if bench.leave and cut.wanted.start < cut.leave:
        yield Remark("face-stands", {"until": cut.wanted.reach(cut.leave), "leave": bench.leave})
    drops = [b - a for (_, a), (_, b) in pairwise([(0, 0), *row])]
    if drops and 0 < max(drops) * bench.second.division < RUBS_BELOW:
        yield Remark("rubs", {"drop": max(drops) * bench.second.division, "least": RUBS_BELOW})
    if (ramp.sector / bench.first.division).denominator != 1:
        yield Remark("sector-rounded", {"sector": ramp.sector, "division": bench.first.division})


def _spoiling(bench: Bench, places: list[Place], needed: float, available: float) -> Remark:
    """Say by how much the plan runs into the next ramp, and the ways out of it."""
    ramp, cutting = bench.ramp, bench.cutting
    fits = None
    for diameter in sorted(STANDARD_CUTTERS[bench.machine.unit], reverse=True):
        if diameter >= cutting.cutter.diameter:
            continue
        corner = diameter / 2 if cutting.cutter.kind == "ball" else cutting.cutter.corner
        if corner > diameter / 2:
            continue
        smaller = replace(cutting, cutter=Cutter(cutting.cutter.kind, diameter, corner))
        try:
            _check_cutter(ramp, smaller, bench.machine)
            _check_round(ramp, smaller)
        except Refused:
            continue
        cut = replace(bench.cut, foot=smaller.footprint(ramp))
        end = float(bench.first.value(bench.first.up(cut.end)))
        if end + _run_out(cut, ramp, (end, cut.floor)) <= float(ramp.sector) + 1e-9:
            fits = diameter
            break
    fitting = [p for p in places if p[0] + _run_out(bench.cut, ramp, p) <= float(ramp.sector) + 1e-9]
    try:
        span = _longest_span(ramp, cutting, bench.machine, bench.second) if not ramp.targets else None
    except Refused:
        span = None
    facts = {
        "overlap": needed - available,
        "fits": fits,
        "fitting": len(fitting),
        "stops": len(places),
        "last": fitting[-1][0] if fitting else 0.0,
        "span": span,
        "cutter": cutting.cutter.diameter,
        "starts": ramp.starts,
    }
    return Remark("runs-into-next", facts, spoils=True)
