"""Solving a face scroll: its two walls are the sections, seen along rays from the axis."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.errors import Refused
from stepcut.kernel.footprints import Straight
from stepcut.kernel.line import Line, Stretch
from stepcut.kernel.marks import MOST_CUTS, too_many
from stepcut.kernel.measure import measure
from stepcut.kernel.section import Place, Section
from stepcut.kernel.task import Task
from stepcut.machine import Cutter, Machine, Outline
from stepcut.plan import Plan, Result, Stop
from tests.exercise.scroll.wanted import Scroll


class Wall(Section, frozen=True):
    """One wall of the groove; the coordinate is degrees, the depth mm from the middle of the groove along a ray."""

    scroll: Scroll | None = None
    side: int = 1  # 1 the outer wall, -1 the inner one

    @property
    def _scroll(self) -> Scroll:
        assert self.scroll is not None  # a default only because the fields before it have some
        return self.scroll

    @property
    def _cutter(self) -> float:
        return self.foot.outline.radius

    def _axis(self, place: Place) -> float:
        return self._scroll.radius(place.at) + place.depth - self._cutter

    def cut(self, place: Place, at: float) -> float:
        axis, turn = self._axis(place), math.radians(at - place.at)
        square = self._cutter**2 - (axis * math.sin(turn)) ** 2
        if square < 0.0:
            return -math.inf
        return self.side * (axis * math.cos(turn) - self._scroll.radius(at)) + math.sqrt(square)

    def extent(self, place: Place) -> tuple[float, float]:
        half = math.degrees(math.asin(self._cutter / self._axis(place)))
        return place.at - half, place.at + half

    def meeting(self, before: Place, after: Place, low: float, high: float) -> float:
        self._meetings.clear()  # two cuts as far apart meet elsewhere on another turn
        return super().meeting(before, after, low, high)

    def area(self, at: float) -> float:
        return math.radians(1) * (self._scroll.radius(at) + self.side * self._cutter) * self.width


def solve(scroll: Scroll, cutter: Cutter, step: Fraction, machine: Machine) -> Plan:
    """Return the plan of a face scroll."""
    if machine.table is None or machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    rim, slide = machine.table.rim, machine.slide
    if scroll.sweep / step + 2 > MOST_CUTS:
        raise too_many(int(scroll.sweep / step) + 2)
    widest = 2 * math.degrees(math.asin(float(cutter.diameter / 2 / scroll.end)))
    if step >= widest:
        raise Refused("step", "apart", step=step, widest=widest, cutter=cutter.diameter)
    steps = (rim.up(k * step) for k in range(int(scroll.sweep / step) + 1))
    marks = sorted({*steps, rim.down(scroll.sweep)})
    rows = [(mark, slide.nearest(scroll.begin + scroll.pitch * rim.value(mark) / 360)) for mark in marks]
    radius = float(cutter.diameter) / 2
    places = []
    for mark, x in rows:
        at = float(rim.value(mark))
        places.append(Place(at, radius + float(slide.value(x)) - scroll.radius(at)))

    def half(at: float) -> float:
        return scroll.half_width(at, radius)

    span = places[-1].at
    line = Line((Stretch(0.0, span, half(0.0), half(span), half, lambda _: 0.0, False),))
    foot = Straight(Outline(radius, radius))
    walls = tuple(
        Wall(line, foot, 0.0, width=float(scroll.depth), blank=-radius, scroll=scroll, side=side) for side in (1, -1)
    )
    left = measure(Task(walls, (), rim, slide), places)
    target = {
        "begin": float(scroll.begin),
        "end": float(scroll.end),
        "pitch": float(scroll.pitch),
        "depth": float(scroll.depth),
    }
    return Plan(
        shape="scroll", target=target, machine=machine, cutter=cutter, approach="plunge", edge_behind=None,
        leave=Fraction(0), first=rim, second=slide, axes=("table", "x"),
        stops=tuple(Stop(n, 1, mark, x) for n, (mark, x) in enumerate(rows, 1)),
        result=Result(left.scallop, max(0.0, left.least), left.mean, left.most, 0.0, left.volume),
        remarks=(), contact=left.contact, picture=None, details=scroll,
    )  # fmt: skip
