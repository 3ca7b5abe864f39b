"""A cam on a machine: its guards, its sweeps, and where the first and the last cut stand."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import radians
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.footprints import Straight
from stepcut.kernel.line import Line, straight
from stepcut.kernel.search import lowest
from stepcut.kernel.task import Position, Task
from stepcut.machine import Cutter, Machine, Outline, Scale
from stepcut.plan import Plan
from stepcut.shapes.cam.follower import Ride
from stepcut.shapes.cam.section import NONE, Blade, CamGuard, CamSection
from stepcut.shapes.cam.unlowered import unlowered
from stepcut.shapes.cam.wanted import Cam, Rim, rim
from stepcut.shop.chances import Clear
from stepcut.shop.clearing import asked, clearances, safe_leave

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(2, 100)}
PROBE = 0.1  # mm: a leave that shows whether one helps at a place


class CamCutting(Struct, frozen=True):
    """How a cam is cut and spaced; lengths in mm, the step in degrees."""

    approach: Literal["end", "side"]
    cutter: Cutter
    leave: Fraction | None = Fraction(0)  # None takes it from the machine's errors
    step: Fraction | None = None
    scallop: Fraction | None = None
    blank: Fraction | None = None  # diameter

    @property
    def blade(self) -> Blade:
        """What shapes the rim."""
        return Blade(float(self.cutter.radius), self.approach == "side")


class Bench(Struct, frozen=True):
    """A cam on a machine, ready to be spaced.

    Parameters
    ----------
    task : Task
        Its section counts the whole ridge.
    spacing : Task
        Its section does not count what no cut of this cutter can lower, so that no cuts are wasted on it.
    """

    cam: Cam
    rim: Rim
    cutting: CamCutting
    machine: Machine
    task: Task
    spacing: Task
    leave: Fraction = Fraction(0)

    @property
    def first(self) -> Scale:
        """Scale of the table's rim."""
        return self.task.first

    @property
    def second(self) -> Scale:
        """Scale of the height."""
        return self.task.second

    @property
    def stands(self) -> float:
        """The greatest height that no cut of this cutter can lower, mm."""
        section = self.spacing.sections[0]
        assert isinstance(section, CamSection)  # noqa: S101  # made by prepare
        return max(section.stands, default=0.0)

    @property
    def clear(self) -> Fraction:
        """A radius outside the blank, mm, in whole divisions."""
        blank = float(self.cutting.blank) / 2 if self.cutting.blank else self.rim.largest + float(self.leave)
        return self.second.value(self.second.up(blank) + 1)


class CamDetails(Struct, frozen=True):
    """What a card of a cam prints besides.

    Parameters
    ----------
    bench : Bench
        The cam on its machine.
    sweeps : tuple of (int, int)
        Numbers of the stops between which the table turns with the cutter in.
    """

    bench: Bench
    sweeps: tuple[tuple[int, int], ...] = ()
    ride: Ride | None = None
    use: str | None = None

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each cut stays above the wanted rim; None for a plan that was kept in the log."""
        bench, until = self.bench, dict(self.sweeps)
        if not asked((bench.rim.line,)):
            return None
        leave = float(bench.leave) or PROBE
        bare, probe = (
            replace(bench.task, guards=guards_of(bench.rim, bench.cutting.blade, over), leave=over)
            for over in (0.0, leave)
        )
        marks = {stop.n: stop.first for stop in plan.stops}
        ends = set(until.values())
        places = (
            bare.place((stop.first, -stop.second))._replace(
                until=bare.at(marks[until[stop.n]]) if stop.n in until else None
            )
            for stop in plan.stops
            if stop.n not in ends
        )
        # A cut that the upright face beside a gap or a step holds stands no higher for a leave: that face is not counted.
        return clearances(
            bare, [at for at in places if bare.deepest(at.at) - probe.deepest(at.at) > 0.8 * leave * self.leave_counts]
        )

    @property
    def leave_counts(self) -> float:
        """What share of a leave along the radius lies between the cutter and the rim, at least."""
        return math.cos(leans(self.rim, self.bench.cutting.blade))

    @property
    def cam(self) -> Cam:
        """What is wanted."""
        return self.bench.cam

    @property
    def rim(self) -> Rim:
        """What is wanted, ready to be asked for its radius."""
        return self.bench.rim


def prepare(cam: Cam, cutting: CamCutting, machine: Machine) -> Bench:
    """Check that this cutter can cut this cam at all on this machine, and set the bench up.

    Raises
    ------
    Refused
        When a scale is missing, the blank is too small, or the side of the cutter is rounder than a hollow.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    second = machine.depth if cutting.approach == "end" else machine.slide
    if second is None:
        raise Refused("machine", "no-depth" if cutting.approach == "end" else "no-slide", machine=machine.name)
    wanted = rim(cam)
    bare = task_of(cam, wanted, cutting, 0.0, machine.table.rim, second)
    leave = cutting.leave
    if leave is None:
        leave = second.up(sum(safe_leave(bare)) / math.cos(leans(wanted, cutting.blade))) * second.division
    # A leave that nobody asked for is no reason to refuse a blank that has the finished size.
    needs = wanted.largest + float(cutting.leave or 0)
    if cutting.blank and float(cutting.blank) / 2 < needs - 1e-9:
        raise Refused("blank", "blank-small", blank=cutting.blank, needs=2 * needs, part="cam")
    if cutting.approach == "side" and wanted.hollow < float(cutting.cutter.radius):
        raise Refused("cutter", "rounder-than-cam", cutter=cutting.cutter.diameter, hollow=wanted.hollow)
    task = task_of(cam, wanted, cutting, float(leave), machine.table.rim, second) if leave else bare
    stands = unlowered(task, wanted)
    section = task.sections[0]
    assert isinstance(section, CamSection)  # noqa: S101  # made above
    spacing = replace(task, sections=(replace(section, stands=stands),)) if any(stands) else task
    return Bench(cam, wanted, cutting, machine, task, spacing, leave)


def leans(wanted: Rim, blade: Blade) -> float:
    """Return how far beside a cut, at most, metal may hold it, in radians: a leave is worth its cosine there."""
    jumps = any(a.last != b.first for a, b in pairwise(wanted.line.stretches))
    if wanted.whole and not jumps:
        return radians(wanted.steepest_angle)
    return radians(min(blade.reach(wanted.smallest), 60.0))


def task_of(cam: Cam, wanted: Rim, cutting: CamCutting, leave: float, first: Scale, second: Scale) -> Task:
    """Return the section of the rim, its guards, its ends and its sweeps."""
    blade = cutting.blade
    blank = float(cutting.blank) / 2 if cutting.blank else NONE
    section = CamSection(wanted.line, Straight(cutting.cutter.outline), leave, blank=-blank, blade=blade)
    task = Task((section,), guards_of(wanted, blade, leave), first, second, leave, counted_from=Fraction(0))
    if not wanted.whole:
        begin, end = _end_mark(task, wanted, 0.0), _end_mark(task, wanted, wanted.span)
        task = replace(task, begin=float(first.value(begin)), end=float(first.value(max(begin, end))))
    else:
        task = replace(task, begin=0.0)
    return replace(task, sweeps=tuple(sweeps_of(task, cam, wanted)))


def guards_of(wanted: Rim, blade: Blade, leave: float, alone: bool = False) -> tuple[CamGuard, ...]:
    """Return what holds the cuts back: the rim, and in the gap of an open cam the lower of its two ends.

    ``alone`` leaves out that a rim comes round: its cuts then do not see its other end across the gap.
    """
    low = wanted.smallest + leave
    line = Line(wanted.line.stretches, before="free", after="free") if alone else wanted.line
    foot = Straight(Outline(blade.half, 0.0))
    found = [CamGuard(line, foot, leave=leave, blade=blade, low=low)]
    if not wanted.whole:
        radius, wide = min(wanted.first, wanted.last), 360.0 - wanted.span
        gap = Line((straight(0.0, wide, -radius, -radius),), period=360.0)
        found.append(CamGuard(gap, foot, wanted.span, leave=leave, blade=blade, low=low))
    return tuple(found)


# --- the two ends of an open cam ---------------------------------------------------------------------------------


def best_at(guards: tuple[CamGuard, ...], blade: Blade, where: float, tie: float = 0.0) -> tuple[float, float]:
    """Return the place of the cut that leaves least at an angle, degrees, and the radius that it leaves, mm.

    Of places that leave the same the one nearest to ``tie`` is taken.
    """
    guard = guards[0]

    def leaves(at: float) -> float:
        depth = min(each.deepest(at).depth for each in guards) - guard.leave
        left = blade.leaves(-depth, radians(where - at)) if math.isfinite(depth) else math.inf
        return left + 1e-9 * abs(at - tie)

    reach = guard.width / 2
    at, left = lowest(leaves, where - reach, where + reach, 64, (where,))
    return at, left


def _end_mark(task: Task, wanted: Rim, where: float) -> int:
    """Return the mark of the cut that leaves least at an end of an open cam."""
    section = task.sections[0]
    assert isinstance(section, CamSection)  # noqa: S101  # made by task_of
    inner = where + (1e-9 if where == 0.0 else -1e-9)
    at, _ = best_at(guards_of(wanted, section.blade, task.leave), section.blade, inner, where)
    near = task.first.down(at)

    def leaves(mark: int) -> float:
        place = task.place((mark, task.depth(mark)))
        return section.blade.leaves(-place.depth, radians(inner - place.at))

    return min((near - 1, near, near + 1, near + 2), key=lambda mark: (round(leaves(mark), 7), abs(mark - near)))


# --- sweeps --------------------------------------------------------------------------------------------------------


def sweeps_of(task: Task, cam: Cam, wanted: Rim) -> Iterator[tuple[int, int]]:
    """Yield for each dwell the marks between which its full depth is allowed; dwells that meet at one level are one."""
    row: list[tuple[int, int]] = []
    for begin, end in cam.dwells:
        turned = Fraction(cam.turned(float(begin + end) / 2))
        low, high = task.first.up(begin + turned), task.first.down(end + turned)
        middle = (low + high) // 2
        full = task.second.down(wanted.line.depth(float((begin + end) / 2 + turned)) - task.leave)
        if high <= low or task.depth(middle) < full or not task.cuts((middle, full)):
            continue  # the last: the blank itself stands at that radius
        first = _full_from(task, full, low, middle)
        last = -_full_from(task, full, -high, -middle, -1)
        if {task.depth(first), task.depth(last)} != {full}:
            continue  # an undercut reaches into the dwell: its rim is no circle there
        if row and first <= row[-1][1] + 1 and task.depth(row[-1][0]) == full:
            row[-1] = (row[-1][0], last)
        elif last > first:
            row.append((first, last))
    yield from row


def _full_from(task: Task, full: int, low: int, high: int, way: int = 1) -> int:
    """Return the first of some marks, counted up (or down, with negative numbers), that may be cut to a full depth."""
    return low + bisect_left(range(low, high), True, key=lambda mark: task.depth(way * mark) >= full)


# --- what is asked of a row -----------------------------------------------------------------------------------------


def narrow(bench: Bench) -> float | None:
    """Return the least width of a flat, mm, that lies on the rim where it touches, when this cutter's is less."""
    if bench.cutting.approach == "side" or bench.rim.flat_needed <= float(bench.cutting.cutter.diameter):
        return None
    return bench.rim.flat_needed


def moved_on(bench: Bench, row: list[Position]) -> list[Position]:
    """Return a row whose cuts before the beginning stand a turn on, at its end, so that the crank is never turned back."""
    turn = bench.first.up(Fraction(360))
    early = [position for position in row if position[0] < 0]
    return row[len(early) :] + [(mark + turn, bench.task.depth(mark + turn)) for mark, _ in early]
