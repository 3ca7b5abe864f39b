"""Solving points: where the cutter's axis stands in whole divisions, and the ridge between two cuts.

A point is never rounded into the metal that stays: of the divisions round it the nearest is taken whose distance from the
middle of the circle is on the cutter's side.  The ridge stands where the circles of two neighbouring cuts meet.
No outside source: plane geometry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.marks import MOST_CUTS, too_many
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Remark, Result, Stop
from stepcut.shapes.points.left import Stands, Wall, seen
from stepcut.shapes.points.wanted import Arc, through
from stepcut.shop.chances import Clear

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(2, 1000), "mm": Fraction(5, 100)}
Point = tuple[float, float]
Tube = tuple[Fraction, Fraction, Fraction]  # of a mitre: the tube, the one that it sits on, degrees between them


class Spacing(Struct, frozen=True):
    """How the points are spaced: a number, an angle, an even move of X, or the highest ridge; degrees and mm."""

    count: int | None = None
    step: Fraction | None = None
    x_step: Fraction | None = None
    scallop: Fraction | None = None


class PointDetails(Struct, frozen=True):
    """What a card of points prints besides.

    Parameters
    ----------
    arc : Arc
        What is wanted.
    way : float
        Radius of the cutter's way, mm.
    depth : Fraction
        How deep each cut goes, mm.
    off : float
        How far the worst point stands from the cutter's way, mm.
    tube : tuple of Fraction or None
        Of a mitre: the tube, the one that it sits on, and the angle between them.
    """

    arc: Arc
    way: float
    depth: Fraction
    off: float
    tube: Tube | None = None

    @property
    def whole_depth(self) -> float:
        """How deep a slot goes into full metal, mm; an edge beside the cutter, or a mitre, is no slot."""
        return float(self.depth) if self.arc.side == "on" and self.tube is None else 0.0

    def clearances(self, plan: Plan) -> list[Clear] | None:
        """Return how far each point stays from the wanted line, and how errors of X and Y bring it there; None on a line."""
        if self.arc.side == "on":
            return None
        found, way = [], self.arc.way(float(plan.cutter.radius), 0.0)
        for stop in plan.stops:
            x, y = float(plan.first.value(stop.first) - self.arc.x), float(plan.second.value(stop.second) - self.arc.y)
            far = math.hypot(x, y)
            found.append(Clear(abs(way - far), x / far, share=abs(y) / far))
        return found


def auto_leave(arc: Arc, scale: Scale) -> Fraction:
    """Return the leave that errors of both slides ask for, where they work together most; none for a slot or holes on a line."""
    return Fraction(0) if arc.side == "on" else scale.up(math.hypot(scale.error, scale.error)) * scale.division


def _leaving(arc: Arc, scale: Scale, given: Fraction | None, leave: Fraction) -> Iterator[Remark]:
    """Yield what must be said of the leave, as ``stepcut.shapes.leaving`` does for what has a task."""
    safe = math.hypot(scale.error, scale.error)
    if arc.side == "on":
        return
    if given is None:
        yield Remark("leave-auto", {"leave": leave, "parts": (safe,)})
    elif float(leave) < safe - 1e-9:
        yield Remark("leave-small", {"leave": leave, "safe": safe, "parts": (safe,)})


def solve(
    arc: Arc,
    cutter: Cutter,
    depth: Fraction,
    given: Fraction | None,
    spacing: Spacing,
    machine: Machine,
    tube: Tube | None = None,
) -> Plan:
    """Return the plan of points on an arc.

    Raises
    ------
    Refused
        When a scale is missing, the cutter is larger than the hollow, neighbours leave metal between them, or there are too many.
    """
    if machine.slide is None or machine.depth is None:
        raise Refused("machine", "no-slide" if machine.slide is None else "no-depth", machine=machine.name)
    leave = auto_leave(arc, machine.slide) if given is None else given
    size = float(cutter.radius)
    way = arc.way(size, float(leave))
    if way <= 0:
        raise Refused("cutter", "rounder-than-hole", cutter=cutter.diameter, radius=arc.radius, leave=leave)
    first, second = machine.slide, replace(machine.slide, name="Y", handle="", handle_turns=None)
    angles = _angles(arc, way, size, float(leave), spacing, machine)
    marks = list(dict.fromkeys(_settled(arc, way, angle, first, second) for angle in angles))
    if not arc.whole and marks[0][0] > marks[-1][0]:  # the way in which X grows: its slack stays taken up
        marks.reverse()
    places = [(float(first.value(x)), float(second.value(y))) for x, y in marks]
    stands = _stands(arc, places, size)
    if stands is None and arc.side != "on":
        raise Refused("points", "points-apart", cutter=cutter.diameter, points=len(marks))
    left = stands or Stands(0.0, 0.0, 0.0, 0.0)
    off = max(abs(math.dist(place, (float(arc.x), float(arc.y))) - way) for place in places)
    ridge = left.most - float(leave)
    return Plan(
        shape="points",
        target=_target(arc, cutter, depth),
        machine=machine,
        cutter=cutter,
        approach="plunge",
        edge_behind=None,
        leave=leave,
        first=first,
        second=second,
        axes=("x", "y"),
        stops=tuple(Stop(n, 1, x, y) for n, (x, y) in enumerate(marks, 1)),
        result=Result(
            max(0.0, ridge), left.least, left.mean, left.most, 0.0, left.volume, {"per_mm_of_thickness": True, "off": off}
        ),
        remarks=(*_leaving(arc, machine.slide, given, leave), *_remarks(spacing, ridge, arc), *_not_through(tube, depth, cutter)),
        contact=None,
        picture=None,
        details=PointDetails(arc, way, depth, off, tube),
    )  # fmt: skip


def _length(arc: Arc) -> float:
    """Return the length of the wanted line, mm."""
    return float(arc.radius) * math.radians(float(arc.span))


# --- where -----------------------------------------------------------------------------------------------------------


def _angles(arc: Arc, way: float, size: float, leave: float, spacing: Spacing, machine: Machine) -> Iterator[float]:
    """Yield the angles of the points, degrees, from the beginning to the end; a whole circle ends before it comes round."""
    begin, span = float(arc.begin), float(arc.span)
    if spacing.x_step is not None:
        yield from _by_x(arc, way, float(spacing.x_step))
        return
    if spacing.count is not None:
        spaces = spacing.count if arc.whole else max(1, spacing.count - 1)
    elif spacing.step is not None:
        spaces = math.ceil(span / float(spacing.step) - 1e-9)
    else:
        limit = float(spacing.scallop or DEFAULT_RIDGE[machine.unit])
        spaces = max(1, math.ceil(span / widest(arc, way, size, limit + leave) - 1e-9))
    count = spaces + (0 if arc.whole else 1)
    if count > MOST_CUTS:
        raise too_many(count)
    for k in range(count):
        yield begin + span * k / spaces


def _by_x(arc: Arc, way: float, step: float) -> Iterator[float]:
    """Yield the angles at which X has moved on by even steps from where the arc begins."""
    (begin, _), (end, _) = (arc.point(way, float(at)) for at in (arc.begin, arc.begin + arc.span))
    low = float(arc.begin)
    upper = low % 360.0 < 180.0
    count = math.floor(abs(end - begin) / step + 1e-9)
    if count >= MOST_CUTS:
        raise too_many(count + 1)
    for k in range(count + 1):
        across = min(max((begin + math.copysign(step * k, end - begin) - float(arc.x)) / way, -1.0), 1.0)
        turn = math.degrees(math.acos(across))
        yield turn if upper else 360.0 - turn
    if count * step < abs(end - begin) - 1e-9:
        yield float(arc.begin + arc.span)


def widest(arc: Arc, way: float, size: float, limit: float) -> float:
    """Return the widest angle between two cuts whose ridge over the line stays within a limit, degrees; by halving."""
    low, high = 0.0, 2 * math.degrees(math.asin(min(1.0, size / way)))

    def ridge(turn: float) -> float:
        a, b = arc.point(way, 0.0), arc.point(way, turn)
        return _ridge(arc, a, b, size, wanted_radii(arc, way, size))

    if ridge(high * (1 - 1e-9)) <= limit:
        return high
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if ridge(middle) <= limit else (low, middle)
    return low


def _settled(arc: Arc, way: float, angle: float, first: Scale, second: Scale) -> tuple[int, int]:
    """Return the divisions nearest to a point that do not let the cutter into the metal that stays."""
    x, y = arc.point(way, angle)
    near_x, near_y = first.nearest(x), second.nearest(y)
    middle = float(arc.x), float(arc.y)

    def cost(mark: tuple[int, int]) -> tuple[bool, float]:
        place = float(first.value(mark[0])), float(second.value(mark[1]))
        far = math.dist(place, middle)
        enters = (arc.side == "inside" and far > way + 1e-9) or (arc.side == "outside" and far < way - 1e-9)
        return enters, math.dist(place, (x, y))

    return min(((near_x + i, near_y + j) for i in range(-2, 3) for j in range(-2, 3)), key=cost)


# --- what is left ----------------------------------------------------------------------------------------------------


def wanted_radii(arc: Arc, way: float, size: float) -> tuple[float | None, float | None]:
    """Return the radii of the wanted walls inside and outside of the cutter's way; None where no wall is wanted."""
    if arc.side == "on":
        return way - size, way + size
    return (None, float(arc.radius)) if arc.side == "inside" else (float(arc.radius), None)


def _ridge(arc: Arc, a: Point, b: Point, size: float, walls: tuple[float | None, float | None]) -> float:
    """Return how high the ridge between two cuts stands over the wanted walls, mm; infinite when they do not meet."""
    apart = math.dist(a, b)
    if apart >= 2 * size:
        return math.inf
    rise = math.sqrt(size * size - apart * apart / 4)
    mx, my = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    ux, uy = (b[1] - a[1]) / apart, -(b[0] - a[0]) / apart
    far = [math.hypot(mx + way * rise * ux - float(arc.x), my + way * rise * uy - float(arc.y)) for way in (1, -1)]
    inner, outer = walls
    found = [0.0]
    if outer is not None:
        found.append(outer - max(far))
    if inner is not None:
        found.append(min(far) - inner)
    return max(found)


def _stands(arc: Arc, places: list[Point], size: float) -> Stands | None:
    """Return what stands along the wanted wall, nothing for a line but its higher ridge; None when two cuts do not meet."""
    pairs = pairwise([*places, places[0]] if arc.whole else places)
    if any(math.dist(a, b) >= 2 * size for a, b in pairs):
        return None
    begin, span = math.radians(arc.begin), math.radians(arc.span)
    cuts = seen([(x - float(arc.x), y - float(arc.y)) for x, y in places], begin + span / 2, arc.whole)
    inner, outer = wanted_radii(arc, arc.way(size, 0.0), size)
    found = [
        Wall(radius, size, side).stands(cuts, begin, begin + span)
        for radius, side in ((outer, 1), (inner, -1))
        if radius is not None
    ]
    if arc.side == "on":
        top = max(0.0, *(one.most for one in found))
        return Stands(top, 0.0, top / 3, top / 3 * _length(arc))
    return found[0]


def _remarks(spacing: Spacing, ridge: float, arc: Arc) -> Iterator[Remark]:
    if spacing.scallop is not None and ridge > float(spacing.scallop) * (1 + 1e-6):
        yield Remark("points-ridge", {"limit": spacing.scallop, "ridge": ridge})


def _not_through(tube: Tube | None, depth: Fraction, cutter: Cutter) -> Iterator[Remark]:
    """Yield the remark of a mitre whose cuts do not come out below."""
    if tube is not None:
        needs = through(tube[0], tube[2], cutter.diameter)[0]
        if depth < needs - 1e-6:
            yield Remark("mitre-short", {"depth": depth, "needs": needs}, look=True)


def _target(arc: Arc, cutter: Cutter, depth: Fraction) -> dict[str, Any]:
    return {
        "radius": float(arc.radius), "begin": float(arc.begin), "span": float(arc.span), "x": float(arc.x), "y": float(arc.y),
        "side": arc.side, "depth": float(depth),
    }  # fmt: skip
