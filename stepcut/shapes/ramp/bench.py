"""A ramp on a machine: how the cutter meets it, its sections, and whether the cutter fits it at all."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from typing import Literal, get_args

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import BadValue, Refused
from stepcut.kernel.footprints import CutWith, Footprint, Lateral, Plunge
from stepcut.kernel.line import Line, straight
from stepcut.kernel.measure import GAUSS_8, Left, measure
from stepcut.kernel.search import valley
from stepcut.kernel.section import Guard, Place, Section
from stepcut.kernel.task import Position, Task
from stepcut.machine import STANDARD_CUTTERS, Cutter, Machine, Scale
from stepcut.machine.model import known, plain, positive
from stepcut.plan import Plan
from stepcut.shapes.ramp.faces import Face
from stepcut.shapes.ramp.free import free_task
from stepcut.shapes.ramp.seats import Seat
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.shop.chances import Clear
from stepcut.shop.clearing import clearances, safe_leave

OnLine = Literal["edge", "centre"]

# mm; common practice, no source: an end mill rubs below about 0.002 in.
RUBS_BELOW = Fraction(254, 10) * Fraction(2, 1000)
# A plunged cutter with round corners leaves the wall's edges standing where it is shallow: parts of the wall, each weighed at
# eight radii, see where.  More of them where there are few cuts, so that chance does not even out what a radius misses.
DISHED, FEW = 4, 300
DEFAULT_SCALLOP = {"in": Fraction(254, 10) * Fraction(5, 1000), "mm": Fraction(12, 100)}


class Cutting(Struct, frozen=True):
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

    approach: CutWith
    on_line: OnLine
    cutter: Cutter
    leave: Fraction | None = Fraction(0)

    def __post_init__(self) -> None:
        known("cut-with", self.approach, get_args(CutWith))
        known("on-centre", self.on_line, get_args(OnLine))
        if self.leave is not None and self.leave < 0:
            raise BadValue("leave", plain(self.leave), "must not be negative", "Give what is to stay for the file.")

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


class Stepping(Struct, frozen=True):
    """How the stops are spaced: at most one rule leads, the others must agree with it; None means free."""

    step: Fraction | None = None  # degrees
    drop: Fraction | None = None  # mm
    stops: int | None = None  # of one ramp
    scallop: Fraction | None = None  # mm
    order: Literal["by-ramp", "by-depth"] = "by-ramp"

    def __post_init__(self) -> None:
        for name in ("step", "drop", "scallop"):
            value = getattr(self, name)
            if value is not None:
                positive(name, value, "Give a size above nought, or leave it out.")
        if self.stops is not None and self.stops < 1:
            raise BadValue("cuts", self.stops, "must be at least 1", "Give the number of cuts of one ramp.")
        known("order", self.order, ("by-ramp", "by-depth"))

    @property
    def free(self) -> bool:
        """Whether nothing is said about the spacing."""
        return self.step is None and self.drop is None and self.stops is None and self.scallop is None


class Bench(Struct, frozen=True, dict=True):
    """A ramp on a machine, ready to be spaced."""

    ramp: Ramp
    cutting: Cutting
    machine: Machine
    task: Task
    leave: Fraction
    given_leave: Fraction | None
    span_found: bool = False
    faces: tuple[Face, ...] = ()  # upright faces that are finished last, which no cut of the end mill needs to reach

    @property
    def first(self) -> Scale:
        """Scale of the table's rim."""
        return self.task.first

    @property
    def second(self) -> Scale:
        """Scale of the depth."""
        return self.task.second

    @property
    def foot(self) -> Footprint:
        """What the cutter removes at a place."""
        return self.task.guards[0].foot

    @property
    def half_turn(self) -> Fraction:
        """Degrees of the table for half a turn of its crank."""
        assert self.machine.table is not None  # noqa: S101  # checked by prepare
        return self.machine.table.degrees_per_turn / 2

    def left(self, row: list[Position]) -> Left:
        """Return what a row of cuts leaves of one ramp."""
        places = self.task.places(row)
        return self._between_radii(places, measure(self.fine if len(row) < FEW else self.task, places))

    @cached_property
    def fine(self) -> Task:
        """The task with more radii to weigh, where single cuts of a plunged cutter begin and end between radii."""
        if self.cutting.approach != "plunge":
            return self.task
        parts = 2 * DISHED if self.foot.outline.corner else DISHED
        return replace(self.task, sections=sections_of(self.ramp, self.foot, float(self.leave), parts))

    def _between_radii(self, places: Sequence[Place], left: Left) -> Left:
        """Return what is left with its highest ridge looked for between the radii of the sections too.

        A ridge is highest at an edge of the wall, but where a neighbour's cut takes its top away there.
        """
        sections = tuple(traced.section for traced in left.traced)
        radii = sorted(section.radius for section in sections)
        top = max(range(len(left.tops)), key=lambda k: left.tops[k].scallop)
        radius = sections[top].radius
        k = radii.index(radius)
        if k in (0, len(radii) - 1):
            return left
        found: dict[float, Left] = {}

        def lack(at: float) -> float:
            section = replace(sections[top], radius=at, width=0.0)
            found[at] = measure(replace(self.task, sections=(section,)), places)
            return -found[at].scallop

        valley(lack, radii[k - 1], radii[k + 1], 1e-3)
        return replace(
            left,
            scallop=max(left.scallop, *(one.scallop for one in found.values())),
            most=max(left.most, *(one.most for one in found.values())),
        )


class RampDetails(Struct, frozen=True):
    """What a card of a ramp prints besides.

    Parameters
    ----------
    bench : Bench
        The ramp on its machine.
    order : str
        by-ramp or by-depth.
    places : tuple of Place
        The cuts of one ramp, degrees from its high end and mm.
    lead : float
        How far past a place its cut stands, degrees.
    covers : tuple of float
        Degrees that the cutter covers at the bore, uphill and downhill of its place.
    leave_parts : tuple of float
        What a safe leave is made of: slope x table error, depth error; mm.
    sweeps : tuple of (int, int)
        Numbers of the stops between which the table turns with the cutter in.
    seats : tuple of Seat
        Hollows for pins at the ends, cut last.
    faces : tuple of Face
        Upright faces that are finished last with a single-angle cutter.
    idle_step : Fraction or None
        A step that was given and moves no cut, degrees.
    """

    bench: Bench
    order: str
    places: tuple[Place, ...]
    lead: float
    covers: tuple[float, float]
    leave_parts: tuple[float, ...]
    sweeps: tuple[tuple[int, int], ...] = ()
    seats: tuple[Seat, ...] = ()
    faces: tuple[Face, ...] = ()
    idle_step: Fraction | None = None

    @property
    def in_metal(self) -> tuple[str, ...]:
        """The ways of cutting in which the end of the cutter stands in full metal at its downhill edge."""
        return "across", "plunge"

    @property
    def ramp(self) -> Ramp:
        """What is wanted."""
        return self.bench.ramp

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each cut of one ramp stays above the wanted surface.

        None for a plan that was kept in the log: the functions of its wanted line are not kept.
        """
        if not all(isinstance(place, Place) for place in self.places):
            return None
        return clearances(self.bench.task, self.places)

    @property
    def offset(self) -> Fraction:
        """How far the cutter axis stands beside the centre line, downhill; mm."""
        return self.bench.cutting.cutter.radius - self.bench.cutting.edge_behind


def task_of(ramp: Ramp, cutting: Cutting, leave: float, first: Scale, second: Scale) -> Task:
    """Return one ramp as a task: its sections, its line as a guard, and the next ramp's high end as a fence."""
    line, foot = ramp.wanted, cutting.footprint(ramp)
    dished = cutting.approach == "plunge" and foot.outline.corner
    high = Line((straight(0.0, 360.0, line.start, line.start),), before="free", after="free")
    task = Task(
        sections=sections_of(ramp, foot, leave, DISHED if dished else 1),
        guards=(Guard(line, foot),),
        first=first,
        second=second,
        leave=leave,
        fences=(Guard(high, foot, shift=sector_cut(ramp, first)),),
        again=float(ramp.sector),
    )
    return free_task(ramp, task, may_sweep(ramp, cutting)) if ramp.free else task


def sections_of(ramp: Ramp, foot: Footprint, leave: float, parts: int) -> tuple[Section, ...]:
    """Return bore, middle and outside to look at, and eight radii of each part of the wall to weigh."""
    wall = (ramp.outside - ramp.bore) / parts
    edges = tuple(Section(ramp.wanted, foot, leave, radius, 0.0) for radius in ramp.radii)
    weighed = tuple(
        Section(ramp.wanted, foot, leave, ramp.bore + wall * (k + x), wall * weight)
        for k in range(parts)
        for x, weight in GAUSS_8
    )
    return edges + weighed


def may_sweep(ramp: Ramp, cutting: Cutting) -> bool:
    """Whether the cutter may stay in along a flat while the table turns: it must cover the wall, and have a flat end."""
    wide = float(cutting.cutter.diameter) >= ramp.outside - ramp.bore
    return cutting.approach == "side" or (cutting.cutter.corner == 0 and wide)


def sector_cut(ramp: Ramp, first: Scale) -> float:
    """Return the degrees from one ramp to the next as cut: beginnings are rounded up to whole divisions."""
    begins = [first.value(first.up(k * ramp.sector)) for k in range(ramp.starts)] + [Fraction(360)]
    return float(min(b - a for a, b in pairwise(begins)))


def needed_leave(bench: Bench) -> tuple[float, float]:
    """Return the two parts of a safe leave, mm: slope x table error, and depth error.

    How far the cutter covers uphill is no part of it: every cut stands where its whole edge is clear of the wanted surface.
    """
    return safe_leave(bench.task)


def unevenness(bench: Bench) -> float:
    """Return how much higher the worst radius of the wall is left than the best one, by the cutter's edge: dish or twist; mm.

    Fed across, a flat end is held by its uphill edge.  A round one is held where its lowest flat begins, which for a ball is its
    very axis: what stands beside the radial line is turned farther at the bore than at the outside.
    """
    steepest = bench.ramp.wanted.steepest
    corner = bench.foot.outline.corner
    if bench.cutting.approach == "across" and corner:
        return steepest * _turned_apart(bench, float(bench.cutting.edge_behind))
    if bench.cutting.approach == "plunge" and corner:
        return dished_by(bench, corner)
    if not bench.task.guards[0].stepped:
        return 0.0
    reaches = [bench.foot.extent(radius, math.inf) for radius in bench.ramp.radii]
    uphill = [-reach[0] for reach in reaches if reach]
    return steepest * (max(uphill) - min(uphill)) if uphill else 0.0


def dished_by(bench: Bench, corner: float) -> float:
    """Return how much higher the edges of the wall are left than its middle by a plunged end of a corner radius, both mm.

    Cuts ever closer together leave at a radius what the steepest slope less the end's own curve has least; no outside source.
    """
    ramp, steepest = bench.ramp, bench.ramp.wanted.steepest
    outline = replace(bench.foot.outline, corner=corner)
    foot = Plunge(outline, float(bench.cutting.edge_behind), ramp.bore, ramp.outside)

    def stands(radius: float) -> float:
        low, high = foot.extent(radius, math.inf) or (0.0, 0.0)
        return valley(lambda offset: steepest * offset + foot.relief(radius, offset), low, high)[1]

    found = [stands(radius) for radius in ramp.radii]
    return max(found) - min(found)


def least_round(bench: Bench, most: float) -> Fraction | None:
    """Return the largest corner radius, in tenths of a millimetre, whose plunged end dishes the wall by no more, mm; None where not even a flat end does."""
    tenth = 0.1
    count = int(bench.foot.outline.corner / tenth)
    fitting = bisect_right(range(count + 1), most, key=lambda k: dished_by(bench, k * tenth))
    return Fraction(fitting - 1, 10) if fitting else None


def otherwise(bench: Bench) -> float:
    """Return the same for a cutter fed across that stands with its edge on the centre line in place of its axis, or the other way; mm."""
    behind = bench.foot.outline.radius if bench.cutting.on_line == "edge" else 0.0
    return bench.ramp.wanted.steepest * _turned_apart(bench, behind)


def _turned_apart(bench: Bench, behind: float) -> float:
    """Return how much farther than at the best radius the place that holds the cutter is turned at the worst; degrees.

    The axis stands R - q beside the line, q behind, and the flat begins R - corner before it.
    """
    beside = bench.foot.outline.corner - behind
    turns = [math.degrees(math.asin(min(1.0, max(-1.0, beside / radius)))) for radius in bench.ramp.radii]
    return max(turns) - min(turns)


def check_cutter(ramp: Ramp, cutting: Cutting, machine: Machine) -> None:
    """Refuse a cutter that crosses the bore, is narrower than the wall or covers the table's centre."""
    cutter = cutting.cutter
    if cutting.approach in ("across", "side"):
        far = float(cutting.far)
        if far >= ramp.bore:
            share = cutting.far / cutter.diameter
            fits = max((d for d in STANDARD_CUTTERS[machine.unit] if d * share < ramp.bore), default=None)
            raise Refused("cutter", "crosses-bore", cutter=cutter.diameter, far=far, bore=ramp.bore, fits=fits)
        return
    foot = cutting.footprint(ramp)
    assert isinstance(foot, Plunge)  # noqa: S101  # the only other footprint
    if any(foot.extent(radius, math.inf) is None for radius in (ramp.bore, ramp.outside)):
        wall = ramp.outside - ramp.bore
        raise Refused("cutter", "narrower-than-wall", cutter=cutter.diameter, wall=wall)
    if foot.outline.radius >= math.hypot(foot.middle, foot.offset):
        raise Refused("cutter", "covers-centre", cutter=cutter.diameter, middle=foot.middle)


def check_round(ramp: Ramp, cutting: Cutting) -> None:
    """Refuse a cutter that is rounder than a hollow of the motion; the span must be known."""
    corner = cutting.footprint(ramp).outline.corner
    hollow = ramp.hollow(ramp.bore) if corner else math.inf
    if hollow < corner:
        raise Refused("cutter", "too-round", corner=corner, hollow=hollow, cutter=cutting.cutter.diameter)
