"""Solving a helix: cuts of the table and the slide, and what they leave on walls and floor."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS
from stepcut.kernel.measure import GAUSS_8, Left, measure
from stepcut.kernel.section import Place
from stepcut.kernel.task import Task
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.helix.groove import Flats, Hollow, Screw, Wall
from stepcut.shapes.helix.rays import look
from stepcut.shapes.helix.wanted import Helix

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(3, 100)}


class Ridges(Struct, frozen=True):
    """What the cuts leave, mm."""

    wall: float
    floor: float
    corner: float = 0.0  # the cusp between floor and wall of a flat end, at most: square to each of the two

    @property
    def most(self) -> float:
        """The highest of them."""
        return max(self.wall, self.floor, self.corner)


class HelixDetails(Struct, frozen=True):
    """What a card of a helix prints besides.

    Parameters
    ----------
    helix : Helix
        What is wanted.
    ridges : Ridges
        On walls and floor.
    step : Fraction
        Degrees from cut to cut that were asked for or chosen.
    path_error : float
        How far a cut stands off the true helix along the slide, at most; mm.
    """

    helix: Helix
    ridges: Ridges
    step: Fraction
    path_error: float


class Groove(Struct, frozen=True, dict=True):
    """A groove on a machine: where its cuts stand, and what they leave."""

    helix: Helix
    cutter: Cutter
    rim: Scale
    slide: Scale

    @cached_property
    def screw(self) -> Screw:
        """The groove and its cutter as the sections see them."""
        helix = self.helix
        outside = float(helix.diameter) / 2
        pitch = float(helix.lead) / (2 * math.pi)
        return Screw(outside, outside - float(helix.depth), pitch, float(helix.sweep), self.cutter.outline)

    def marks(self, step: Fraction) -> list[int]:
        """Return the table's divisions of the cuts of one groove, from end to end."""
        last = self.rim.nearest(self.helix.sweep)
        count = math.ceil(self.helix.sweep / step) + 1
        return list(dict.fromkeys(min(self.rim.nearest(k * step), last) for k in range(count)))

    def slide_at(self, mark: int) -> int:
        """Return the slide's division nearest to the helix at a division of the table."""
        return self.slide.nearest(self.helix.lead * self.rim.value(mark) / 360)

    def places(self, marks: Sequence[int]) -> list[Place]:
        """Return cuts as degrees of the table and mm of the slide."""
        return [Place(float(self.rim.value(m)), float(self.slide.value(self.slide_at(m)))) for m in marks]

    # --- ridges ----------------------------------------------------------------------------------------------------

    def pairs(self, marks: Sequence[int]) -> list[tuple[tuple[Place, Place], int]]:
        """Return every kind of step, as two neighbouring cuts counted from the first of them, and how often it occurs.

        Steps of equal divisions of table and slide leave the same, but for how far the pair stands beside the helix; of
        those the one that stands farthest is taken.
        """
        pitch = self.screw.pitch
        kinds: dict[tuple[int, int], tuple[float, tuple[Place, Place], int]] = {}
        for (m, a), (n, b) in pairwise(zip(marks, self.places(marks), strict=True)):
            key = n - m, self.slide_at(n) - self.slide_at(m)
            here = pitch * math.radians(a.at)
            pair = Place(0.0, a.depth - here), Place(b.at - a.at, b.depth - here)
            off = abs(pair[0].depth)
            known = kinds.get(key)
            count = known[2] + 1 if known else 1
            kinds[key] = (off, pair, count) if known is None or off > known[0] else (known[0], known[1], count)
        return [(pair, count) for _, pair, count in kinds.values()]

    def _measured(self, sections: Sequence[object], places: Sequence[Place]) -> Left:
        return measure(Task(tuple(sections), (), self.rim, self.slide), places)  # type: ignore[arg-type]  # sections of a groove have the same methods

    def _between(self, pair: tuple[Place, Place]) -> Screw:
        """Return the stretch of groove from one cut to the next."""
        return replace(self.screw, sweep=pair[1].at)

    def ridges(self, marks: Sequence[int]) -> Ridges:
        """Return the highest ridges that cuts leave, from the cuts as they are rounded."""
        wall = floor = corner = 0.0
        for pair, _ in self.pairs(marks):
            screw = self._between(pair)
            heights = (1.0,) if self.cutter.kind == "flat" else (1.0, 0.5, 0.2)
            depth = screw.outside - screw.bottom
            walls = [Wall(screw, screw.bottom + depth * share, 0.0, side) for share in heights for side in (1, -1)]
            flat = self.cutter.kind == "flat"
            line: object = Flats(screw, 0.0, 1.0) if flat else Hollow(screw)
            wall = max(wall, self._measured(walls, pair).scallop)
            floor = max(floor, self._measured([line], pair).scallop)
            corner = max(corner, look(screw, pair).cusp if flat else 0.0)
        return Ridges(wall, floor, corner)

    def apart(self, marks: Sequence[int]) -> tuple[float, float] | None:
        """Return the first step whose cuts leave metal standing across the groove, and the widest that does not; degrees."""
        screw = self.screw
        wide = 2 * screw.outline.half_width(screw.outside - screw.bottom)
        widest = math.degrees(wide / math.hypot(screw.outside, screw.pitch))
        for a, b in pairwise(self.places(marks)):
            step = math.hypot(screw.outside * math.radians(b.at - a.at), b.depth - a.depth)
            if step > wide * (1 + 1e-9):
                return b.at - a.at, widest
        return None

    def land(self) -> float:
        """Return the width of the land between a groove and its neighbour at the surface, mm; infinite for a single one."""
        helix, screw = self.helix, self.screw
        if helix.starts == 1 and helix.length <= helix.lead:
            return math.inf
        between = float(helix.lead) / helix.starts * screw.outside / math.hypot(screw.outside, screw.pitch)
        return between - 2 * screw.outline.half_width(screw.outside - screw.bottom)

    # --- what is left ------------------------------------------------------------------------------------------------

    def left(self, marks: Sequence[int]) -> Floor:
        """Return what stands in one groove besides a continuous cut."""
        volume = floor = length = most = 0.0
        flat = self.cutter.kind == "flat"
        for pair, count in self.pairs(marks):
            screw = self._between(pair)
            bottom = self._measured([Flats(screw, 0.0, 1.0)] if flat else [Hollow(screw)], pair)
            volume += count * (look(screw, pair).volume if flat else self._measured(_walls(screw), pair).volume)
            floor += count * bottom.mean * pair[1].at
            length += count * pair[1].at
            most = max(most, bottom.most)
        return Floor(volume, floor / length if length else 0.0, most)


class Floor(Struct, frozen=True):
    """What stands in one groove: the volume on walls and floor, mm^3, and mean and largest height along the floor, mm."""

    volume: float
    mean: float
    most: float


def _walls(screw: Screw) -> list[Wall]:
    """Return both walls of a ball at the heights of Gauss's rule.

    They crowd toward the bottom, where the width grows there like a root, and are parted where neighbouring cuts begin
    to meet.
    """
    depth, corner = screw.outside - screw.bottom, screw.outline.corner
    half = math.radians(screw.sweep) * math.hypot(screw.bottom, screw.pitch) / 2
    meet = min(depth, corner - math.sqrt(max(0.0, corner * corner - half * half)))
    found = []
    for low, high in ((0.0, math.sqrt(meet)), (math.sqrt(meet), math.sqrt(depth))):
        for x, weight in GAUSS_8:
            root = low + (high - low) * x
            share = weight * (high - low) * 2 * root
            found += [Wall(screw, screw.bottom + root * root, share, side) for side in (1, -1)]
    return found


def solve(helix: Helix, cutter: Cutter, step: Fraction | None, scallop: Fraction | None, machine: Machine) -> Plan:
    """Return the plan of a helix.

    Raises
    ------
    Refused
        When a scale is missing, the cutter does not reach, neighbouring cuts do not meet, neighbouring grooves do, or there
        are too many cuts.
    """
    groove = _groove(helix, cutter, machine)
    assert machine.table is not None  # noqa: S101  # checked by _groove
    chosen = step is None and scallop is None
    limit = scallop if scallop is not None else DEFAULT_RIDGE[machine.unit]
    turn = step if step is not None else _largest_step(groove, machine.table.degrees_per_turn, limit, chosen)
    marks = _checked(groove, turn)
    found = groove.ridges(marks)
    if scallop is not None and found.most > float(scallop) * (1 + 1e-6):
        raise Refused("scallop", "disagree-scallop", scallop=scallop, leader="step", value=turn, makes=found.most)
    return Plan(
        shape="helix",
        target=_target(helix),
        machine=machine,
        cutter=cutter,
        approach="over the top",
        edge_behind=None,
        leave=Fraction(0),
        first=groove.rim,
        second=groove.slide,
        axes=("table", "x"),
        stops=tuple(_stops(groove, marks)),
        result=_result(groove, marks, found),
        remarks=tuple(_remarks(groove, turn, limit, chosen, machine)),
        contact=None,
        picture=None,
        details=HelixDetails(helix, found, turn, _path_error(groove, marks)),
        turning=helix.turning,
        copies=helix.starts,
    )


def _groove(helix: Helix, cutter: Cutter, machine: Machine) -> Groove:
    """Return the groove on this machine, if it can be cut at all."""
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    if machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    if helix.depth >= helix.diameter / 2:
        raise Refused("depth", "too-deep", depth=helix.depth, radius=helix.diameter / 2)
    groove = Groove(helix, cutter, machine.table.rim, machine.slide)
    land = groove.land()
    if land <= 0.0:
        raise Refused("cutter", "no-land", cutter=cutter.diameter, land=-land, lead=helix.lead, starts=helix.starts)
    return groove


def _checked(groove: Groove, turn: Fraction) -> list[int]:
    """Return the marks of a step, if neighbouring cuts meet and there are not too many."""
    count = (math.ceil(groove.helix.sweep / turn) + 1) * groove.helix.starts
    if count > MOST_CUTS:
        raise Refused("stops", "too-many", stops=count, most=MOST_CUTS)
    marks = groove.marks(turn)
    apart = groove.apart(marks)
    if apart is not None:
        raise Refused("step", "apart", step=apart[0], widest=apart[1], cutter=groove.cutter.diameter)
    return marks


def _largest_step(groove: Groove, crank: Fraction, limit: Fraction, whole_turns: bool) -> Fraction:
    """Return the largest step within a ridge: in half turns of the crank when free, else in divisions of the table."""
    unit = crank / 2 if whole_turns else groove.rim.division

    def too_high(count: int) -> bool:
        marks = groove.marks(count * unit)
        return groove.apart(marks) is not None or groove.ridges(marks).most > float(limit) * (1 + 1e-9)

    counts = range(1, max(2, math.ceil(min(groove.helix.sweep, Fraction(90)) / unit)))
    largest = bisect_left(counts, True, key=too_high)  # ridges grow with the step
    if largest == 0 and whole_turns:
        return _largest_step(groove, crank, limit, whole_turns=False)
    if largest == 0:
        raise Refused("scallop", "out-of-reach", best=groove.ridges(groove.marks(unit)).most, limit=limit)
    return largest * unit


def _target(helix: Helix) -> dict[str, object]:
    return {
        "diameter": float(helix.diameter),
        "lead": float(helix.lead),
        "length": float(helix.length),
        "depth": float(helix.depth),
        "starts": helix.starts,
        "hand": helix.hand,
        "helix_angle": helix.angle,
        "sweep": float(helix.sweep),
    }


def _stops(groove: Groove, marks: Sequence[int]) -> Iterator[Stop]:
    n = 0
    for start in range(groove.helix.starts):
        begin = groove.rim.nearest(Fraction(360 * start, groove.helix.starts))
        for mark in marks:
            n += 1
            yield Stop(n, start + 1, begin + mark, groove.slide_at(mark))


def _path_error(groove: Groove, marks: Sequence[int]) -> float:
    """Return how far a cut stands off the true helix along the slide, at most; mm."""
    exact = [groove.helix.lead * groove.rim.value(mark) / 360 for mark in marks]
    return float(max(abs(groove.slide.value(groove.slide.nearest(x)) - x) for x in exact))


def _result(groove: Groove, marks: Sequence[int], found: Ridges) -> Result:
    """Return what stands in the groove: heights on its floor, the volume of floor and walls."""
    left = groove.left(marks)
    more = {
        "wall_ridge": found.wall,
        "floor_ridge": found.floor,
        "corner_ridge": found.corner,
        "helix_angle": groove.helix.angle,
    }
    return Result(found.most, 0.0, left.mean, left.most, 0.0, left.volume * groove.helix.starts, more)


def _remarks(groove: Groove, turn: Fraction, limit: Fraction, chosen: bool, machine: Machine) -> Iterator[Remark]:
    assert machine.table is not None  # noqa: S101  # checked before
    if chosen:
        cranks = turn / machine.table.degrees_per_turn
        yield Remark("chosen-step", {"step": turn, "cranks": cranks, "limit": limit})
    sector = Fraction(360, groove.helix.starts)
    if (sector / groove.rim.division).denominator != 1:
        yield Remark("sector-rounded", {"sector": sector, "division": groove.rim.division})
