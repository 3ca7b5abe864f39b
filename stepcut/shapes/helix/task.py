"""Solving a helix: stops of the table and the slide."""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction

from stepcut.kernel.finish import GAUSS_8
from stepcut.kernel.positions import MOST_STOPS
from stepcut.machine import Cutter, Machine, Scale
from stepcut.plan import Plan, Refused, Remark, Result, Stop
from stepcut.shapes.helix.wanted import Helix, floor_ridge_ball, floor_ridge_flat, wall_ridge

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
    found = ridges(helix, cutter, float(turn))
    if scallop is not None and found.most > float(scallop) * (1 + 1e-9):
        raise Refused("scallop", "disagree-scallop", scallop=scallop, leader="step", value=turn, makes=found.most)
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
            "helix": helix, "ridges": found, "step": turn, "path_error": _path_error(helix, turns, rim, slide),
        },
        turning=helix.turning,
        copies=helix.starts,
    )  # fmt: skip


def _largest_step(helix: Helix, cutter: Cutter, machine: Machine, limit: Fraction, whole_turns: bool) -> Fraction:
    """Return the largest step within a ridge: in half turns of the crank when free, else in divisions of the table."""
    assert machine.table is not None  # noqa: S101  # checked by solve
    rim = machine.table.rim
    unit = machine.table.degrees_per_turn / 2 if whole_turns else rim.division

    def too_high(count: int) -> bool:
        return ridges(helix, cutter, float(count * unit)).most > float(limit) * (1 + 1e-9)

    counts = range(1, math.ceil(min(helix.sweep, Fraction(90)) / unit))
    largest = bisect_left(counts, True, key=too_high)  # ridges grow with the step
    if largest == 0 and whole_turns:
        return _largest_step(helix, cutter, machine, limit, whole_turns=False)
    if largest == 0:
        raise Refused("scallop", "out-of-reach", best=ridges(helix, cutter, float(unit)).most, limit=limit)
    return largest * unit


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


def _result(helix: Helix, cutter: Cutter, turn: float, found: Ridges) -> Result:
    """Return what stands in the groove: heights on its floor, the volume of floor and walls."""
    more = {"wall_ridge": found.wall, "floor_ridge": found.floor, "helix_angle": helix.angle}
    volume = _volume(helix, cutter, turn) * helix.starts
    return Result(found.most, 0.0, _cusp(found.floor), found.floor, 0.0, volume, more)


def _cusp(ridge: float) -> float:
    """Return the mean of a parabola's cusps of a height: a third of it (a small arc is a parabola)."""
    return ridge / 3


def _volume(helix: Helix, cutter: Cutter, turn: float) -> float:
    """Return the volume that a continuous cut would take away besides, mm^3, of one groove without its ends.

    Notes
    -----
    On the cylinder of radius rho the cutter is a circle of radius w, its half width at that height over the floor.  Between
    two circles a distance s apart stands 2 (w - sqrt(w^2 - u^2)) du on both sides of the path, and all of 2 w du where they
    do not meet; summed over the path and over the depth.  A flat end leaves facets on the floor besides, and its walls begin
    where its plane meets them, (R sin b)^2 / (2 bottom) over the floor.  No outside source: derived here, checked against a solid in the tests.
    """
    outline = cutter.outline
    bottom, depth = float(helix.diameter / 2 - helix.depth), float(helix.depth)
    steps = float(helix.sweep) / turn
    spacing, across = helix.spacing(turn, bottom), math.radians(turn) * bottom
    aside = outline.radius * math.sqrt(max(0.0, 1 - (across / spacing) ** 2))
    foot = min(depth, aside * aside / (2 * bottom)) if cutter.kind == "flat" else 0.0
    walls = 0.0
    for x, weight in GAUSS_8:
        height = foot + (depth - foot) * x
        wide, half = outline.half_width(height), helix.spacing(turn, bottom + height) / 2
        left = 4 * half * sum(w * (wide - math.sqrt(max(0.0, wide**2 - (half * u) ** 2))) for u, w in GAUSS_8)
        walls += weight * (depth - foot) * steps * left
    if cutter.kind == "ball":
        return walls  # its floor is the bottom of its walls
    return walls + steps * _facets(outline.radius, bottom, spacing, across)


def _facets(radius: float, bottom: float, spacing: float, across: float) -> float:
    """Return the volume that flats leave on a floor besides a continuous cut, for one step; mm^3.

    Parameters
    ----------
    radius, bottom : float
        Of the cutter and of the floor, mm.
    spacing, across : float
        Distance of two stops along the path, and its part round the cylinder, mm.

    Notes
    -----
    A flat stands y^2 / (2 bottom) over the floor at a distance y round the cylinder from its stop.  At a place s along the
    path and v beside it, y = s cos b - v sin b, with b the path's angle from round the cylinder; each place belongs to the
    nearest flat that covers it.  A continuous cut comes as near as its disc allows.
    """
    round_share = across / spacing
    along_share = math.sqrt(max(0.0, 1 - round_share * round_share))
    total = 0.0
    for a, wide in GAUSS_8:
        for sign in (-1.0, 1.0):
            beside = sign * radius * a
            half = math.sqrt(radius * radius - beside * beside)
            nearest = max(0.0, abs(beside) * along_share - half * round_share)
            for x, weight in GAUSS_8:
                at = spacing * x
                stops = range(math.ceil((at - half) / spacing), math.floor((at + half) / spacing) + 1)
                offsets = [abs((at - k * spacing) * round_share - beside * along_share) for k in stops]
                if offsets:
                    stands = (min(offsets) ** 2 - nearest**2) / (2 * bottom)
                    total += wide * radius * weight * spacing * stands
    return total
