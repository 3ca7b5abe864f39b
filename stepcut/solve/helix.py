"""Solving a helix: stops of the table and the slide."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from stepcut.finish import GAUSS_8
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Refused, Remark, Result, Stop
from stepcut.shapes.helix import Helix, floor_ridge_ball, floor_ridge_flat, wall_ridge
from stepcut.solve.positions import MOST_STOPS

DEFAULT_RIDGE = {"in": Fraction(254, 10) * Fraction(1, 1000), "mm": Fraction(3, 100)}


@dataclass(frozen=True)
class Ridges:
    """What a step leaves, mm."""

    wall: float
    floor: float

    @property
    def most(self) -> float:
        """The higher of the two."""
        return max(self.wall, self.floor)


def ridges(helix: Helix, cutter: Cutter, turn: float) -> Ridges:
    """Return the ridges on wall and floor between stops so many degrees apart."""
    radius = float(cutter.radius)
    outside = float(helix.diameter) / 2
    bottom = outside - float(helix.depth)
    wall = wall_ridge(helix.spacing(turn, outside), radius)
    if cutter.kind == "ball":
        return Ridges(wall, floor_ridge_ball(turn, float(helix.lead), bottom + radius, radius))
    return Ridges(wall, floor_ridge_flat(turn, bottom))


def solve(helix: Helix, cutter: Cutter, step: Fraction | None, scallop: Fraction | None, machine: Machine) -> Plan:
    """Return the plan of a helix.

    Raises
    ------
    Refused
        When a scale is missing, the cutter does not reach, the flats do not meet, or there are too many stops.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    if machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    rim, slide = machine.table.rim, machine.slide
    bottom = helix.diameter / 2 - helix.depth
    if bottom <= 0:
        raise Refused("depth", "too-deep", depth=helix.depth, radius=helix.diameter / 2)
    chosen = step is None and scallop is None
    limit = scallop if scallop is not None else DEFAULT_RIDGE[machine.unit]
    turn = step if step is not None else _largest_step(helix, cutter, machine, limit, whole_turns=chosen)
    if cutter.kind == "flat" and float(bottom) * math.tan(math.radians(min(float(turn), 170.0)) / 2) > float(
        cutter.radius
    ):
        widest = 2 * math.degrees(math.atan(float(cutter.radius) / float(bottom)))
        raise Refused("step", "apart", step=turn, widest=widest, cutter=cutter.diameter)
    if helix.spacing(float(turn), float(helix.diameter) / 2) > float(cutter.diameter):
        widest = float(turn) * float(cutter.diameter) / helix.spacing(float(turn), float(helix.diameter) / 2)
        raise Refused("step", "apart", step=turn, widest=widest, cutter=cutter.diameter)
    count = math.ceil(helix.sweep / turn) + 1
    if count * helix.starts > MOST_STOPS:
        raise Refused("stops", "too-many", stops=count * helix.starts, most=MOST_STOPS)
    turns = [min(rim.nearest(k * turn), rim.nearest(helix.sweep)) for k in range(count)]
    turns = list(dict.fromkeys(turns))
    if scallop is not None and ridges(helix, cutter, float(turn)).most > float(scallop) * (1 + 1e-9):
        raise Refused(
            "scallop",
            "disagree-scallop",
            scallop=scallop,
            leader="step",
            value=turn,
            makes=ridges(helix, cutter, float(turn)).most,
        )
    found = ridges(helix, cutter, float(turn))
    remarks = []
    if chosen:
        remarks.append(
            Remark("chosen-step", {"step": turn, "cranks": turn / machine.table.degrees_per_turn, "limit": limit})
        )
    if (Fraction(360, helix.starts) / rim.division).denominator != 1:
        remarks.append(Remark("sector-rounded", {"sector": Fraction(360, helix.starts), "division": rim.division}))
    return Plan(
        shape="helix",
        target={
            "diameter": float(helix.diameter), "lead": float(helix.lead), "length": float(helix.length), "depth": float(helix.depth),
            "starts": helix.starts, "hand": helix.hand, "helix_angle": helix.angle, "sweep": float(helix.sweep),
        },
        machine=machine,
        cutter=cutter,
        approach="over the top",
        edge_behind=None,
        leave=Fraction(0),
        first=rim,
        second=slide,
        axes=("table", "x"),
        stops=tuple(_stops(helix, turns, rim, slide)),
        result=_result(helix, cutter, float(turn), found),
        remarks=tuple(remarks),
        contact=None,
        picture=None,
        facts={
            "helix": helix, "ridges": found, "step": turn, "path_error": _path_error(helix, turns, rim, slide), "copies": helix.starts,
        },
    )  # fmt: skip


def _largest_step(helix: Helix, cutter: Cutter, machine: Machine, limit: Fraction, whole_turns: bool) -> Fraction:
    """Return the largest step within a ridge: in half turns of the crank when free, else in divisions of the table."""
    assert machine.table is not None  # noqa: S101  # checked by solve
    rim = machine.table.rim
    unit = machine.table.degrees_per_turn / 2 if whole_turns else rim.division
    low, high = 0, max(1, math.ceil(min(helix.sweep, Fraction(90)) / unit))
    while high - low > 1:  # ridges grow with the step
        middle = (low + high) // 2
        if ridges(helix, cutter, float(middle * unit)).most <= float(limit) * (1 + 1e-9):
            low = middle
        else:
            high = middle
    if low == 0 and whole_turns:
        return _largest_step(helix, cutter, machine, limit, whole_turns=False)
    if low == 0:
        raise Refused("scallop", "out-of-reach", best=ridges(helix, cutter, float(unit)).most, limit=limit)
    return low * unit


def _stops(helix: Helix, turns: list[int], rim: Scale, slide: Scale) -> list[Stop]:
    stops: list[Stop] = []
    for start in range(helix.starts):
        begin = rim.nearest(Fraction(360 * start, helix.starts))
        for at in turns:
            x = slide.nearest(helix.lead * rim.value(at) / 360)
            stops.append(Stop(len(stops) + 1, start + 1, begin + at, x))
    return stops


def _path_error(helix: Helix, turns: list[int], rim: Scale, slide: Scale) -> float:
    """Return how far a stop stands off the true helix along the slide, at most; mm."""
    exact = [helix.lead * rim.value(at) / 360 for at in turns]
    return float(max(abs(slide.value(slide.nearest(x)) - x) for x in exact))


def _cusp(ridge: float) -> float:
    """Return the mean of a parabola's cusps of a height: a third of it (a small arc is a parabola)."""
    return ridge / 3


def _result(helix: Helix, cutter: Cutter, turn: float, found: Ridges) -> Result:
    """Return what stands in the groove: on its floor, with both walls in the volume."""
    radius, outside = float(cutter.radius), float(helix.diameter) / 2
    bottom = outside - float(helix.depth)
    along = math.hypot(math.radians(float(helix.sweep)) * outside, float(helix.length))
    half = helix.spacing(turn, outside) / 2
    wall_mean = sum(w * (radius - math.sqrt(max(0.0, radius**2 - (half * x) ** 2))) for x, w in GAUSS_8)
    floor_mean = _cusp(found.floor)
    wall_height = float(helix.depth) - (radius if cutter.kind == "ball" else 0.0)
    volume = 2 * wall_mean * max(0.0, wall_height) * along + floor_mean * 2 * radius * along * bottom / outside
    more = {"wall_ridge": found.wall, "floor_ridge": found.floor, "helix_angle": helix.angle}
    return Result(found.most, 0.0, floor_mean, found.floor, 0.0, volume * helix.starts, more)
