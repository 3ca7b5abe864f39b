"""Solving a rim cam: the same walk over the table's marks, with the cam's own deepest position and ridge.

A stop stands at a table angle with the cutter's flat (or near side) at a height above the axis.  Depth is counted from a
circle round the blank down to it, so that deeper is smaller and the common spacing serves.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import cos, degrees, radians, sin, sqrt
from typing import Literal

from stepcut.kernel import positions
from stepcut.kernel.cut import Place, where_lowest
from stepcut.kernel.finish import GAUSS_8
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Contact, Picture, Plan, Refused, Remark, Result, Stop
from stepcut.shapes.cam.wanted import Cam, Rim, rim

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(2, 100)}


@dataclass(frozen=True)
class CamCut:
    """A cam under a cutter, as the spacing sees it.

    Parameters
    ----------
    wanted : Rim
        Wanted radius.
    width : float
        Half the width of a flat (end of the cutter) or the cutter's radius (side), mm.
    side : bool
        Whether the side of the cutter cuts.
    leave, top : float
        Stock to leave, and the radius from which depth is counted; mm.
    """

    wanted: Rim
    width: float
    side: bool
    leave: float
    top: float
    lead: float = 0.0
    is_flat: bool = False
    radii: tuple[float, ...] = (0.0,)
    _touched: dict[float, tuple[float, float]] = field(default_factory=dict, repr=False, compare=False)

    @property
    def end(self) -> float:
        """Where the last stop stands, degrees."""
        return self.wanted.span

    @property
    def floor(self) -> float:
        """Depth of the last stop, mm."""
        return self.deepest(self.end)

    def reach(self, height: float) -> float:
        """Return how many degrees each way the cutter touches metal, at a height above the axis."""
        if self.side:
            return degrees(math.asin(min(1.0, self.width / (height + self.width))))
        return degrees(math.atan(self.width / height)) if height > 0 else 89.0

    def _held(self, at: float, turn: float) -> float:
        """Return the height that the wanted point `turn` degrees on from a stop asks for."""
        r = self.wanted.radius(at + turn) + self.leave
        a = radians(turn)
        if not self.side:
            return r * cos(a) if abs(r * sin(a)) <= self.width * (1 + 1e-12) else -math.inf
        inside = self.width**2 - (r * sin(a)) ** 2
        return r * cos(a) + sqrt(inside) - self.width if inside >= 0 else -math.inf

    def height(self, at: float) -> float:
        """Return the lowest height at which a stop nowhere cuts below the stock line, mm above the axis."""
        return self._touch(at)[0]

    def _touch(self, at: float) -> tuple[float, float]:
        """Return the height of a stop and the angle at which it touches the stock line."""
        if at in self._touched:
            return self._touched[at]
        r = self.wanted.radius(at) + self.leave
        reach = min(89.0, degrees(math.asin(min(1.0, self.width / r))) * 1.6 + 1.0)
        low, high = at - reach, at + reach
        if not self.wanted.whole:
            low, high = max(low, 0.0), min(high, self.wanted.span)
        inner = [b - at for b in self.wanted.begins if low < b < high]
        turn = where_lowest(lambda turn: -self._held(at, turn), low - at, high - at, 40, also=(0.0, *inner))
        self._touched[at] = self._held(at, turn), at + turn
        return self._touched[at]

    def deepest(self, at: float) -> float:
        """Return the greatest depth below the top circle, mm."""
        return self.top - self.height(at)

    def cut_radius(self, place: Place, where: float) -> float:
        """Return the radius that a stop leaves at an angle; infinite where it does not cut."""
        turn = radians((where - place[0] + 180) % 360 - 180 if self.wanted.whole else where - place[0])
        height = self.top - place[1]
        if not self.side:
            if cos(turn) <= 0 or abs(height * math.tan(turn)) > self.width * (1 + 1e-9):
                return math.inf
            return height / cos(turn)
        centre = height + self.width
        inside = self.width**2 - (centre * sin(turn)) ** 2
        return centre * cos(turn) - sqrt(inside) if inside >= 0 and cos(turn) > 0 else math.inf

    def meets(self, before: float, after: float) -> bool:
        """Whether two neighbouring cuts leave no uncut metal between them."""
        return after - before <= sum(self.reach(self.height(at)) for at in (before, after)) + 1e-9

    def crossing(self, before: Place, after: Place) -> float:
        """Return the angle at which the cuts of two neighbouring stops meet.

        Notes
        -----
        A cut touches the rim where the rim is square to the cutter, not at the stop's own angle, so the place can lie
        outside the two.  Flats p and q, a turn D apart: tan x = (q - p cos D) / (p sin D), x from the first.  Circles of
        one radius meet on the line square to their centres' line, at its middle; of the two places the inner one counts.
        No outside source: plane geometry.
        """
        turn = radians(after[0] - before[0])
        p, q = self.top - before[1], self.top - after[1]
        if self.side:
            where = before[0] + self._circles_meet(p, q, turn)
        else:
            where = before[0] + degrees(math.atan2(q - p * cos(turn), p * sin(turn)))
        return self._between(where, before, after)

    def _circles_meet(self, p: float, q: float, turn: float) -> float:
        """Return the degrees from the first stop to the inner place where two circles of the cutter meet."""
        ax, bx, by = p + self.width, (q + self.width) * cos(turn), (q + self.width) * sin(turn)
        mx, my, dx, dy = (ax + bx) / 2, by / 2, bx - ax, by
        apart = math.hypot(dx, dy)
        along = sqrt(max(0.0, self.width**2 - apart * apart / 4)) / apart
        places = [(mx - dy * along, my + dx * along), (mx + dy * along, my - dx * along)]
        x, y = min(places, key=lambda place: math.hypot(*place))
        return degrees(math.atan2(y, x))

    def _between(self, where: float, before: Place, after: Place) -> float:
        """Keep a meeting place between the places where the two stops touch; rounding can throw it far off."""
        first, last = self._touch(before[0])[1], self._touch(after[0])[1]
        if first > last:
            first = last = (first + last) / 2
        return min(max(where, first), last)

    def ridge(self, before: Place | None, after: Place) -> float:
        """Return the scallop between two stops, square to the wanted rim, above the stock line; mm."""
        if before is None:
            return 0.0
        if after[0] - before[0] > sum(self.reach(self.top - depth) for _, depth in (before, after)):
            return math.inf  # they do not meet
        most, meeting = 0.0, self.crossing(before, after)
        for where in (meeting, *self.on_the_blank(before), *self.on_the_blank(after)):
            if before[0] <= where <= after[0] or where == meeting:
                left = min(self.cut_radius(before, where), self.cut_radius(after, where), self.top)
                most = max(most, self.square(where, left - self.wanted.radius(where)))
        return most

    def on_the_blank(self, stop: Place) -> tuple[float, float]:
        """Return the two angles at which a cut comes out of the blank."""
        height = self.top - stop[1]
        if self.side:
            centre = height + self.width
            cosine = (centre * centre + self.top**2 - self.width**2) / (2 * centre * self.top)
        else:
            cosine = height / self.top
        turn = degrees(math.acos(min(1.0, max(-1.0, cosine))))
        return stop[0] - turn, stop[0] + turn

    def square(self, where: float, stock: float) -> float:
        """Return radial stock as height above the stock line, square to the rim."""
        slope = math.atan(degrees(self.wanted.rate(where)) / self.wanted.radius(where))
        return max(0.0, (stock - self.leave) * cos(slope))


@dataclass(frozen=True)
class CamCutting:
    """How a cam is cut and spaced."""

    approach: Literal["end", "side"]
    cutter: Cutter
    leave: Fraction = Fraction(0)
    step: Fraction | None = None
    scallop: Fraction | None = None
    blank: Fraction | None = None


def solve(cam: Cam, cutting: CamCutting, machine: Machine) -> Plan:
    """Return the plan of a rim cam.

    Raises
    ------
    Refused
        When a scale is missing, the side of the cutter is rounder than a hollow, or neighbours do not meet.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    second = machine.depth if cutting.approach == "end" else machine.slide
    if second is None:
        raise Refused("machine", "no-depth" if cutting.approach == "end" else "no-slide", machine=machine.name)
    wanted = rim(cam)
    largest = max(wanted.radius(wanted.span * k / 720) for k in range(721))
    blank = float(cutting.blank) / 2 if cutting.blank else largest + float(cutting.leave)
    if blank < largest + float(cutting.leave) - 1e-9:
        raise Refused("blank", "blank-small", blank=cutting.blank, needs=2 * (largest + float(cutting.leave)))
    hollow = wanted.hollow()
    width = float(cutting.cutter.radius)
    if cutting.approach == "side" and hollow < width:
        raise Refused("cutter", "too-round", corner=cutting.cutter.radius, hollow=hollow, approach="side")
    # Depth is counted from a circle of whole divisions above the blank, so that heights are whole divisions too.
    top = second.value(second.up(blank) + 1)
    cut = CamCut(wanted, width, cutting.approach == "side", float(cutting.leave), float(top))
    chosen = cutting.step is None and cutting.scallop is None
    step = _easy_step(cut, machine, second) if chosen else cutting.step
    row = _row(cut, machine, second, step, cutting.scallop)
    for a, b in pairwise(positions.places(row, machine.table.rim, second)):
        if not cut.meets(a[0], b[0]):
            widest = sum(cut.reach(float(top) - depth) for _, depth in (a, b))
            raise Refused("step", "apart", step=b[0] - a[0], widest=widest, cutter=cutting.cutter.diameter)
    row, sweeps = _with_sweeps(cam, row, machine.table.rim)
    closing = cam.whole and len(row) > 1 and row[-1][0] == machine.table.rim.nearest(Fraction(360))
    if closing and all(last != len(row) - 1 for _, last in sweeps):
        row = row[:-1]  # the first stop stands there already
    places = positions.places(row, machine.table.rim, second)
    result, contact, picture = _measure(cut, places, sweeps, float(cutting.cutter.radius))
    remarks = list(_remarks(cut, cutting, hollow, chosen, step, machine))
    return Plan(
        shape="cam",
        target={
            "base_radius": float(cam.base), "span": float(cam.span),
            "segments": [[s.kind, float(s.span), float(s.lift), s.law] for s in cam.segments],
        },
        machine=machine,
        cutter=cutting.cutter,
        approach=cutting.approach,
        edge_behind=None,
        leave=cutting.leave,
        first=machine.table.rim,
        second=second,
        axes=("table", "radius"),
        stops=tuple(Stop(n, 1, at, second.down(top) - depth) for n, (at, depth) in enumerate(row, 1)),
        result=result,
        remarks=tuple(remarks),
        contact=contact,
        picture=picture,
        facts={"cam": cam, "rim": wanted, "sweeps": sweeps, "hollow": hollow, "cut": cut, "places": tuple(places), "largest": largest},
    )  # fmt: skip


def _row(
    cut: CamCut, machine: Machine, second: Scale, step: Fraction | None, scallop: Fraction | None
) -> list[positions.Position]:
    assert machine.table is not None  # noqa: S101  # checked by solve
    if step is not None:
        row = positions.even(cut, machine.table.rim, second, step)
        if scallop is not None:
            most = positions.highest(cut, positions.places(row, machine.table.rim, second))
            if most > float(scallop) * (1 + 1e-9):
                raise Refused("scallop", "disagree-scallop", scallop=scallop, leader="step", value=step, makes=most)
        return row
    return positions.fewest(cut, machine.table.rim, second, float(scallop or DEFAULT_RIDGE[machine.unit]))


def _easy_step(cut: CamCut, machine: Machine, second: Scale) -> Fraction | None:
    """Return the largest easy step within the usual ridge, in half turns of the crank; None when none serves."""
    assert machine.table is not None  # noqa: S101  # checked by solve
    half = machine.table.degrees_per_turn / 2
    limit = float(DEFAULT_RIDGE[machine.unit])
    for k in (10, 8, 6, 5, 4, 3, 2, 1):
        row = positions.even(cut, machine.table.rim, second, k * half)
        places = positions.places(row, machine.table.rim, second)
        if positions.highest(cut, places) <= limit and all(cut.meets(a[0], b[0]) for a, b in pairwise(places)):
            return k * half
    return None


def _with_sweeps(
    cam: Cam, row: list[positions.Position], scale: Scale
) -> tuple[list[positions.Position], tuple[tuple[int, int], ...]]:
    """Turn the stops inside a dwell into one sweep: from the first stop of its full depth to the last; by index."""
    kept = list(row)
    sweeps: list[tuple[int, int]] = []
    at = Fraction(0)
    for segment in cam.segments:
        begin, end = at, at + segment.span
        at = end
        if segment.kind != "dwell":
            continue
        inside = [p for p in kept if begin <= scale.value(p[0]) <= end]
        if len(inside) < 2:
            continue
        deepest = max(depth for _, depth in inside)
        level = [p for p in inside if p[1] == deepest]
        if len(level) >= 2:
            kept = [p for p in kept if p in (level[0], level[-1]) or p not in level]
            sweeps.append((level[0][0], level[-1][0]))
    index = {p[0]: k for k, p in enumerate(kept)}
    return kept, tuple((index[a], index[b]) for a, b in sweeps)


def _measure(
    cut: CamCut, places: list[Place], sweeps: tuple[tuple[int, int], ...], radius: float
) -> tuple[Result, Contact, Picture]:
    """Return what stands over the wanted rim, per mm of thickness: radial stock, ridges where neighbours meet."""
    swept = dict(sweeps)
    segments: list[tuple[float, float, float]] = []
    line: list[tuple[float, float]] = []
    most = scallop = area = volume = 0.0
    for low, high, stops, level in _stretches(cut, places, swept):

        def left(where: float, stops: tuple[Place, ...] = stops, level: float | None = level) -> float:
            found = (
                level if level is not None else min((cut.cut_radius(stop, where) for stop in stops), default=math.inf)
            )
            return min(found, cut.top) - cut.wanted.radius(where)

        marks = [low + (high - low) * k / 8 for k in range(9)]
        hair = (high - low) * 1e-9
        marks[0], marks[-1] = low + hair, high - hair
        marks = sorted({*marks, *(x for stop in stops for x in cut.on_the_blank(stop) if low < x < high)})
        stocks = [left(mark) for mark in marks]
        for mark, stock in zip(marks, stocks, strict=True):
            line.append((mark, cut.top - cut.wanted.radius(mark) - stock))
            most = max(most, stock)
            scallop = max(scallop, cut.square(mark, stock))
        for k in range(len(marks) - 1):
            width = radians(marks[k + 1] - marks[k]) * cut.wanted.radius((marks[k] + marks[k + 1]) / 2)
            segments.append((stocks[k], stocks[k + 1], width))
        for x, weight in GAUSS_8:
            where = low + (high - low) * x
            r, stock = cut.wanted.radius(where), left(where)
            volume += weight * radians(high - low) * ((r + stock) ** 2 - r * r) / 2
            area += weight * radians(high - low) * r
    tight = min((cut.top - depth - cut.height(at) + cut.leave for at, depth in places), default=0.0)
    result = Result(
        scallop, tight if abs(tight) > 1e-12 else 0.0, volume / area, most, 0.0, volume, {"per_mm_of_thickness": True}
    )
    marks = [cut.wanted.span * k / 360 for k in range(361)]
    wanted = tuple((mark, cut.top - cut.wanted.radius(mark)) for mark in marks)
    return result, Contact(tuple(segments)), Picture(wanted, tuple(line), radius)


def _stretches(
    cut: CamCut, places: list[Place], swept: dict[int, int]
) -> Iterator[tuple[float, float, tuple[Place, ...], float | None]]:
    """Yield stretches of the rim: from crossing to crossing round each stop, and each sweep as one level."""
    span, count = cut.wanted.span, len(places)
    for k, stop in enumerate(places):
        if k in swept:
            yield stop[0], places[swept[k]][0], (stop,), cut.top - stop[1]
        round_again = cut.wanted.whole and places[-1][0] < 360
        before = places[k - 1] if k else (places[-1][0] - 360, places[-1][1]) if round_again else None
        after = places[k + 1] if k + 1 < count else (places[0][0] + 360, places[0][1]) if round_again else None
        low = 0.0 if before is None else stop[0] if k - 1 in swept else cut.crossing(before, stop)
        high = span if after is None else stop[0] if k in swept else cut.crossing(stop, after)
        near = tuple(place for place in (before, stop, after) if place is not None)
        if high > low + 1e-12:
            yield low, high, near, None


def _remarks(
    cut: CamCut, cutting: CamCutting, hollow: float, chosen: bool, step: Fraction | None, machine: Machine
) -> Iterator[Remark]:
    assert machine.table is not None  # noqa: S101  # checked by solve
    if chosen and step is not None:
        yield Remark(
            "chosen-step",
            {"step": step, "cranks": step / machine.table.degrees_per_turn, "limit": DEFAULT_RIDGE[machine.unit]},
        )
    if cutting.approach == "end" and math.isfinite(hollow):
        yield Remark("flats-in-hollow", {"hollow": hollow})
