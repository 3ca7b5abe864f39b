"""Solving a face scroll: cuts of the table and the slide, one depth for all, and what they leave on walls and floor."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS, too_many
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.leaving import before_mark
from stepcut.shapes.scroll.left import Cut, Ridges, Row, Spiral
from stepcut.shapes.scroll.wanted import Scroll
from stepcut.shop.chances import Clear

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(3, 100)}


class Spacing(Struct, frozen=True):
    """How the cuts are spaced: at most one of the three; degrees, a number, mm."""

    step: Fraction | None = None
    cuts: int | None = None
    scallop: Fraction | None = None


class ScrollDetails(Struct, frozen=True):
    """What a card of a face scroll prints besides.

    Parameters
    ----------
    scroll : Scroll
        What is wanted.
    ridges : Ridges
        On walls and floor, mm.
    width : float
        Of the groove at the face, mm.
    land : float
        Metal between neighbouring turns where it is narrowest, mm; infinite where there are none.
    path_error : float
        How far a cut stands off the spiral along X, at most, mm.
    over : Fraction
        How much stands on the floor everywhere: the leave, down to a division of the depth; mm.
    """

    scroll: Scroll
    ridges: Ridges
    width: float
    land: float
    path_error: float
    over: Fraction

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each cut of one groove stays above the wanted floor; None where nothing is left for the file.

        The depth is set anew for each cut, and its errors are told as a share of the slide's, which is the plan's second scale.
        """
        depth = plan.machine.depth
        if not plan.leave or depth is None or not plan.second.error:
            return None
        share = float(depth.error / plan.second.error)
        return [Clear(float(self.over), 0.0, share=share) for stop in plan.stops if stop.start == 1]


class Bench(Struct, frozen=True, dict=True):
    """A scroll on a machine: where its cuts stand, and what they leave.

    Parameters
    ----------
    scroll : Scroll
        What is wanted.
    cutter : Cutter
        Flat or ball.
    rim, slide, quill : Scale
        Table, X and depth.
    leave : Fraction
        Stock to leave on the floor, mm.
    """

    scroll: Scroll
    cutter: Cutter
    rim: Scale
    slide: Scale
    quill: Scale
    leave: Fraction

    @cached_property
    def deep(self) -> Fraction:
        """How deep the cuts are: whole divisions, never deeper than asked; mm."""
        return self.quill.value(self.quill.down(self.scroll.depth - self.leave))

    @cached_property
    def last(self) -> int:
        """The division of the table where the groove ends."""
        return self.rim.down(self.scroll.sweep)

    def slide_of(self, mark: int) -> int:
        """Return the division of X at one of the table."""
        return self.slide.nearest(self.scroll.radius(self.rim.value(mark)))

    def even(self, step: Fraction) -> list[int]:
        """Return the divisions of the table of equal steps, to the end."""
        count = math.ceil(self.scroll.sweep / step) + 1
        return list(dict.fromkeys(min(self.rim.nearest(k * step), self.last) for k in range(count)))

    def row(self, marks: Sequence[int]) -> Row:
        """Return the cuts at some divisions of the table."""
        turn = math.radians(self.rim.division)
        cuts = [Cut(mark * turn, float(self.slide.value(self.slide_of(mark)))) for mark in marks]
        spiral = Spiral(float(self.scroll.begin), float(self.scroll.pitch) / (2 * math.pi))
        return Row(spiral, self.cutter.outline, float(self.deep), cuts)

    def _needs(self, limit: float) -> float:
        """Return how many cuts a ridge takes at least: cuts s apart leave s^2 / 8R, and no two stand closer than a division."""
        scroll = self.scroll
        least = float(scroll.begin) * math.radians(self.rim.division)
        apart = max(math.sqrt(8 * self.cutter.outline.radius * limit), least)
        length = float((scroll.begin + scroll.end) / 2) * math.radians(scroll.sweep)
        return 0.0 if apart == least else length / apart * scroll.starts

    def within(self, limit: float) -> list[int]:
        """Return the fewest cuts whose ridges keep to a limit: each as far on as the limit allows, for ridges grow with the step.

        Raises
        ------
        Refused
            When one division more already leaves a higher ridge, or there are too many cuts.
        """
        marks, stride = [0], 1
        most = limit * (1 + 1e-9)
        needs = self._needs(limit)
        if needs > MOST_CUTS:
            raise Refused("scallop", "needs-too-many", limit=limit, needs=needs, most=MOST_CUTS)

        def fits(far: int) -> bool:
            row = self.row([marks[-1], far])
            return not row.apart(0) and row.ridges_of(0).most <= most

        while marks[-1] < self.last:
            here = marks[-1]
            low, high = 0, stride
            while here + high < self.last and fits(here + high):
                low, high = high, 2 * high
            high = min(high, self.last - here)
            if low < high and fits(here + high):
                low = high
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if fits(here + middle) else (low, middle)
            if not low:
                best = self.row([here, here + 1]).ridges_of(0).most
                raise Refused("scallop", "out-of-reach", best=best, limit=limit)
            marks.append(here + low)
            stride = low
            if len(marks) * self.scroll.starts > MOST_CUTS:
                raise too_many(len(marks) * self.scroll.starts)
        return marks


def solve(scroll: Scroll, cutter: Cutter, leave: Fraction, spacing: Spacing, machine: Machine) -> Plan:
    """Return the plan of a face scroll.

    Raises
    ------
    Refused
        When a scale is missing, a rule cannot be kept, neighbouring cuts do not meet, or there are too many.
    """
    bench = bench_of(scroll, cutter, leave, machine)
    marks = _marks(bench, spacing, machine.unit)
    row = bench.row(marks)
    _check_meeting(bench, row)
    ridges = row.ridges()
    if spacing.scallop is not None and ridges.most > float(spacing.scallop) * (1 + 1e-6):
        leader, value = ("stops", spacing.cuts) if spacing.cuts is not None else ("step", spacing.step)
        raise Refused(
            "scallop", "disagree-scallop", scallop=spacing.scallop, leader=leader, value=value, makes=ridges.most
        )
    over = scroll.depth - bench.deep
    return Plan(
        shape="scroll",
        target=_target(scroll),
        machine=machine,
        cutter=cutter,
        approach="plunge",
        edge_behind=None,
        leave=leave,
        first=bench.rim,
        second=bench.slide,
        axes=("table", "x"),
        stops=tuple(_stops(bench, marks)),
        result=_result(row, ridges, over, scroll.starts, _path_error(bench, marks)),
        remarks=tuple(_remarks(bench)),
        contact=None,
        picture=None,
        details=ScrollDetails(
            scroll, ridges, 2 * row.wide(float(bench.deep)), land_of(scroll, row), _path_error(bench, marks), over
        ),
        turning=scroll.turning,
        copies=scroll.starts,
    )


def bench_of(scroll: Scroll, cutter: Cutter, leave: Fraction, machine: Machine) -> Bench:
    """Return a scroll on a machine, if it can be cut there at all."""
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    if machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    if machine.depth is None:
        raise Refused("machine", "no-depth", machine=machine.name)
    if leave >= scroll.depth or machine.depth.down(scroll.depth - leave) < 1:
        raise Refused("leave", "nothing-to-cut", leave=leave, floor=scroll.depth, division=machine.depth.division)
    return Bench(scroll, cutter, machine.table.rim, machine.slide, machine.depth, leave)


def land_of(scroll: Scroll, row: Row) -> float:
    """Return the metal between neighbouring turns where it is narrowest, mm; infinite where no groove lies beside another."""
    if scroll.starts == 1 and scroll.sweep <= 360:
        return math.inf
    return scroll.apart - 2 * row.wide(row.deep)


def _marks(bench: Bench, spacing: Spacing, unit: str) -> list[int]:
    """Return the divisions of the table at which one groove is cut."""
    step = spacing.step
    if spacing.cuts is not None:
        if spacing.cuts < 2:
            raise Refused("stops", "cuts-of-helix", cuts=spacing.cuts)
        step = bench.rim.value(bench.last) / (spacing.cuts - 1)
    if step is None:
        return bench.within(float(spacing.scallop or DEFAULT_RIDGE[unit]))
    count = (math.ceil(bench.scroll.sweep / step) + 1) * bench.scroll.starts
    if count > MOST_CUTS:
        raise too_many(count)
    marks = bench.even(step)
    if spacing.cuts is not None and len(marks) != spacing.cuts:
        raise Refused("stops", "not-so-many", stops=spacing.cuts, makes=len(marks))
    return marks


def _check_meeting(bench: Bench, row: Row) -> None:
    """Refuse cuts that leave metal standing across the groove."""
    wide = row.wide(row.deep)
    for k, cut in enumerate(row.cuts[:-1]):
        if row.apart(k):
            step = math.degrees(row.cuts[k + 1].at - cut.at)
            widest = 2 * math.degrees(math.asin(min(1.0, wide / float(bench.scroll.end))))
            raise Refused("step", "apart", step=step, widest=widest, cutter=bench.cutter.diameter)


def _stops(bench: Bench, marks: Sequence[int]) -> Iterator[Stop]:
    n = 0
    for start in range(bench.scroll.starts):
        begin = bench.rim.nearest(Fraction(360 * start, bench.scroll.starts))
        for mark in marks:
            n += 1
            yield Stop(n, start + 1, begin + mark, bench.slide_of(mark))


def _result(row: Row, ridges: Ridges, over: Fraction, starts: int, off: float) -> Result:
    most, mean = row.floor()
    rest = float(over)
    more = {"wall_ridge": ridges.wall, "floor_ridge": ridges.floor, "off_spiral": off}
    return Result(ridges.most, rest, rest + mean, rest + most, 0.0, row.volume(rest) * starts, more)


def _path_error(bench: Bench, marks: Sequence[int]) -> float:
    """Return how far a cut stands off the spiral along X, at most; mm."""
    return float(
        max(abs(bench.slide.value(bench.slide_of(mark)) - bench.scroll.radius(bench.rim.value(mark))) for mark in marks)
    )


def _remarks(bench: Bench) -> Iterator[Remark]:
    sector = Fraction(360, bench.scroll.starts)
    if (sector / bench.rim.division).denominator != 1:
        yield Remark("sector-rounded", {"sector": sector, "division": bench.rim.division})
    yield from before_mark(bench.scroll.depth - bench.leave, bench.quill)


def _target(scroll: Scroll) -> dict[str, object]:
    return {
        "begin": float(scroll.begin),
        "end": float(scroll.end),
        "pitch": float(scroll.pitch),
        "depth": float(scroll.depth),
        "starts": scroll.starts,
        "winds": scroll.winds,
        "sweep": float(scroll.sweep),
    }
