"""A ramp whose line rises too, or jumps: valleys, crests, flats with a riser between, teeth with an upright face.

Its line comes round with the ramps of the ring: the ramp before and the next one hold the cutter back as the ramp itself
does, so that a cut never enters a riser from either side.  Between the end of the line and the next ramp the ring stays
level with the end.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from stepcut.kernel.envelope import Traced
from stepcut.kernel.footprints import Footprint
from stepcut.kernel.line import Line, Stretch, straight
from stepcut.kernel.marks import closed
from stepcut.kernel.measure import Left, measure
from stepcut.kernel.ridge import meet
from stepcut.kernel.section import Guard, Place
from stepcut.kernel.task import Position, Task
from stepcut.plan import Remark
from stepcut.shapes.ramp.wanted import Ramp

BESIDE = 1e-6  # degrees beside a riser, where its foot is looked at
SEEN = 1e-3  # mm that stands in a foot before it is worth a word


def free_task(ramp: Ramp, plain: Task, sweepable: bool) -> Task:
    """Return the task of a ramp with the marks that it must have, from one made as if its line only fell.

    Parameters
    ----------
    ramp : Ramp
        With targets that rise or jump.
    plain : Task
        Sections and scales; the first guard knows the cutter.
    sweepable : bool
        Whether the cutter may stay in along a flat while the table turns.
    """
    line, foot = ramp.wanted, plain.guards[0].foot
    guards: tuple[Guard, ...] = (Guard(line, foot),)
    gap = float(ramp.sector) - line.span
    whole = gap <= 1e-9
    if not whole:
        level = Line((straight(0.0, gap, line.floor, line.floor),), period=float(ramp.sector))
        guards += (Guard(level, foot, shift=line.span),)
    task = replace(plain, guards=guards, fences=(), again=None)
    marks = _Marks(ramp, task, foot, whole)
    flats = [found for s in line.stretches if s.first == s.last and (found := marks.flat(s)) is not None]
    musts = {mark for pair in flats for mark in pair} | set(marks.feet(flats))
    begin = min([task.first.up(task.first_at), *musts])
    last = begin + task.first.down(ramp.sector) if whole else max([task.first.up(task.last_at), *musts])
    musts = {mark for mark in musts if begin <= mark <= last}
    sweeps = tuple(sorted({(a, b) for a, b in flats if b > a and begin <= a and b <= last})) if sweepable else ()
    return replace(
        task, sweeps=sweeps, musts=tuple(sorted(musts)), begin=task.at(begin), end=None if whole else task.at(last)
    )


class _Marks(Struct, frozen=True):
    """Where cuts must stand."""

    ramp: Ramp
    task: Task
    foot: Footprint
    whole: bool

    def _reaches(self) -> list[tuple[float, float]]:
        """Degrees that the cutter's flat covers at bore, middle and outside, and where it covers most."""
        found = [self.foot.level]
        for radius in self.ramp.radii:
            reach = self.foot.extent(radius, 0.0)
            found.append(reach if reach is not None else self.foot.level)
        return found

    def _beside(self, at: float) -> float:
        """Return the wanted depth at a coordinate, or of the level ring between two ramps."""
        depth = self.task.line.depth(at)
        return depth if math.isfinite(depth) else self.task.line.floor

    def flat(self, s: Stretch) -> tuple[int, int] | None:
        """Return the first and the last mark that cut a flat to its full depth; one mark twice where only one does.

        None for a flat that is the face itself, or that no cut reaches.
        """
        task, first = self.task, self.task.first
        full = task.second.down(s.first - task.leave)
        if full <= 0:
            return None
        lows, highs = zip(*self._reaches(), strict=True)
        # On its open side a flat goes on under the neighbour as far as the neighbour's own cuts, held by the riser from there,
        # do not reach into every radius of the wall.
        if self._beside(s.begin - BESIDE) >= s.first:
            a = first.down(s.begin - max(lows) - (max(highs) - min(highs)))
        else:
            a = first.up(s.begin - min(lows))
        if self._beside(s.end + BESIDE) >= s.last:
            b = first.up(s.end - min(highs) + max(lows) - min(lows))
        else:
            b = first.down(s.end - max(highs))
        if a > b:
            a = b = first.nearest((s.begin + s.end - sum(self.foot.level)) / 2)
        while a < b and task.depth(a) < full:
            a += 1
        while b > a and task.depth(b) < full:
            b -= 1
        if task.depth(a) < full:
            a = b = self._best(s.begin, s.end)
        return (a, b) if task.depth(a) > 0 else None

    def feet(self, flats: list[tuple[int, int]]) -> Iterator[int]:
        """Yield the marks that reach farthest into each foot: beside a riser, and where two slopes meet at the bottom."""
        line, beside = (
            self.task.line,
            2 * float(self.task.first.division),
        )  # a cut's edge stands up to a mark from a riser
        pairs = list(pairwise(line.stretches))
        if self.whole:
            pairs.append((line.stretches[-1], line.stretches[0]))
        for a, b in pairs:
            if a.last > b.first and a.first != a.last:
                yield self._best(a.end - beside, a.end - beside, -self.foot.outline.corner)
            elif b.first > a.last and b.first != b.last:
                yield self._best(b.begin + beside, b.begin + beside, self.foot.outline.corner)
            elif a.last == b.first and a.slope(a.end) > 0 > b.slope(b.begin):
                yield self._best(a.end, a.end)

    def _best(self, begin: float, end: float, beside: float = 0.0) -> int:
        """Return the mark of the cut that goes deepest at a place, or over the middle of a narrow flat.

        Under an upright face a round end goes deepest ``beside`` it, mm: as far off as it is round, for its rim alone touches the face.
        """
        task, where = self.task, (begin + end) / 2
        low, high = self.foot.window

        def made(mark: int) -> tuple[float, float]:
            place = task.place((mark, task.depth(mark)))
            cuts = [
                max(0.0, section.cut(place, where + beside / section.foot.unit(section.radius)))
                for section in task.looked_at
            ]
            return round(sum(cuts), 7), -abs(place.at + (low + high) / 2 - where)

        marks = range(task.first.down(where - high), task.first.up(where - low) + 1)
        coarse = max(1, len(marks) // 60)
        edges = [task.first.down(where - high) + k for k in range(-2, 4)] + [
            task.first.up(where - low) + k for k in range(-3, 3)
        ]
        best = max([*marks[::coarse], *edges], key=made)  # a cut's edge beside a riser is a matter of two marks
        return max(range(best - coarse, best + coarse + 1), key=made)


def apart(task: Task, row: list[Position], allowed: float) -> tuple[float, float] | None:
    """Return the first neighbours, as coordinates, between which one more cut would take metal higher than is allowed, mm."""
    places = task.places(row)
    again = [places[0]._replace(at=places[0].at + task.line.span)] if closed(task) else []
    for a, b in pairwise([*places, *again]):
        end = a.at if a.until is None else a.until
        if meet(task, end, b.at):
            continue
        marks = range(task.first.up(end) + 1, task.first.up(b.at))
        step = max(1, len(marks) // 200)
        if any(_takes(task, a._replace(at=end, until=None), b, mark, allowed) for mark in marks[::step]):
            return end, b.at
    return None


def _takes(task: Task, before: Place, after: Place, mark: int, allowed: float) -> bool:
    """Whether a cut at a mark takes metal that neither neighbour reaches and that stands higher than is allowed, mm."""
    place = task.place((mark, task.depth(mark)))
    if place.depth <= allowed:
        return False
    for section in task.looked_at:
        at = place.at + sum(section.foot.level) / 2
        if section.line.wants(at) and max(section.cut(before, at), section.cut(after, at)) < 0.0:
            wanted = section.line.depth(at) - task.leave
            return section.cut(place, at) > max(
                allowed, wanted / 2
            )  # less is the foot of a riser, and no matter of the step
    return False


def showing(task: Task, row: list[Position]) -> list[Position]:
    """Return a row without the cuts that lie wholly in metal that other cuts remove."""
    left = measure(task, task.places(row))
    period = task.line.period or 360.0

    def known(place: Place) -> tuple[float, float]:
        return round(place.at % period, 6) % period, place.depth

    shows = {known(p.place) for each in left.traced for p in each.pieces if p.place is not None}
    swept = {mark for pair in task.sweeps for mark in pair}
    return [position for position in row if position[0] in swept or known(task.place(position)) in shows]


class Foot(NamedTuple):
    """The foot of a riser: where it is looked at, how fast the floor falls to it, how high the riser stands, how deep the foot lies.

    ``before`` tells whether the floor lies before the riser.
    """

    at: float
    slope: float
    height: float
    depth: float
    before: bool


def risers(ramp: Ramp) -> Iterator[Foot]:
    """Yield the feet of all risers, on their deeper side; the one between two ramps too."""
    line, whole = ramp.wanted, ramp.span == ramp.sector
    after = [*line.stretches[1:], *([line.stretches[0]] if whole else [])]
    for a, b in zip(line.stretches, after, strict=False):  # the last one of an open line has none after it
        if a.last > b.first:
            yield Foot(a.end - BESIDE, max(0.0, a.slope((a.begin + a.end) / 2)), a.last - b.first, a.last, True)
        elif b.first > a.last:
            yield Foot(b.begin + BESIDE, max(0.0, -b.slope((b.begin + b.end) / 2)), b.first - a.last, b.first, False)


def room_beside(ramp: Ramp, foot: Foot) -> float:
    """Return the angle of the sharpest room between an upright face and the slope that falls to its foot, at the bore, degrees.

    Notes
    -----
    A single-angle cutter goes straight across, so that beside the face it covers r sin(theta) where the slope has turned theta.  It
    clears the slope where the cone of its side stands no lower anywhere, up to a quarter turn away.  No outside source.
    """
    line, way = ramp.wanted, -1.0 if foot.before else 1.0
    begin = foot.at - way * BESIDE
    far = min(90.0, begin if foot.before else line.span - begin)
    turns = [far * k / 240 for k in range(1, 241)]
    turns += [
        abs(joint - begin)
        for joint in line.joints
        if 1e-6 < abs(joint - begin) < far and (joint < begin) == foot.before
    ]
    steepest = max((foot.depth - line.depth(begin + way * turn)) / math.sin(math.radians(turn)) for turn in turns)
    return 90.0 - math.degrees(math.atan(steepest / ramp.bore))


def upright_faces(ramp: Ramp, left: Left, leave: float, plunged: bool) -> Iterator[Remark]:
    """Yield what stands in the feet of upright faces: the worst below a slope, with the tools that reach it; and on flats.

    Notes
    -----
    A floor that falls at an angle a toward an upright face makes 90 - a with it.  An end mill held upright cannot lie on the
    floor beside the face; tilted by a it lies on the floor, and its side leans over the face by a.  A single-angle cutter
    of 90 - a or less reaches the foot with its face upright.  The slope is steepest at the bore.  No outside source.
    """
    found = [(max(_stock(each, foot.at) for each in left.traced[:3]) - leave, foot) for foot in risers(ramp)]
    sloped = [each for each in found if each[1].slope > 0 and each[0] > SEEN]
    level = [each for each in found if each[1].slope == 0 and each[0] > SEEN]
    if sloped:
        stands, foot = max(sloped)
        included = room_beside(ramp, foot)
        yield Remark(
            "upright-face", {"where": foot.at, "stands": stands, "tilt": 90.0 - included, "included": included}
        )
    if level:
        stands, foot = max(level)
        wide = max(_width(each, foot.at, leave) for each in left.traced[:3])
        yield Remark(
            "corner-stands", {"where": foot.at, "stands": stands, "wide": wide, "feet": len(level), "plunged": plunged}
        )


def _width(traced: Traced, at: float, leave: float) -> float:
    """Return how wide the metal is that stands in a foot at one radius, mm along its wall."""
    unit = traced.section.foot.unit(traced.section.radius)
    if _stock(traced, at) - leave <= SEEN:
        return 0.0
    piece = next(piece for piece in traced.pieces if piece.low <= at <= piece.high)
    return (piece.high - piece.low) * unit


def _stock(traced: Traced, at: float) -> float:
    """Return what stands at a coordinate of a traced section, mm."""
    piece = next((piece for piece in traced.pieces if piece.low <= at <= piece.high), None)
    return traced.section.line.depth(at) - (traced.depth(piece, at) if piece is not None else 0.0)
