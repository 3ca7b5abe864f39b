"""A taper cut in whole cones, by the compound slide or between centres: no stairs, but passes by the cross-slide, a look at the angle, and the end size.

The compound stands at the angle of one side and feeds along the flank; with the tailstock set over the flank stands along the ways, and
the carriage feeds.  Either is nought where the tool stands in the plane of the face.  The cross-slide is set by the diameter that is cut in
that plane: the small one outside, the large one in a bore.  Of work that stands slanted it moves square to the flank and not to the axis:
the cones of the roughing stand off by 1 / cos a more than it says, and the finish begins from a measured diameter.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.machine import Machine, Scale
from stepcut.plan import Plan, Result, Stop
from stepcut.shapes.taper.settings import REST
from stepcut.shapes.turned.bench import TaperSizes, Turning, scales
from stepcut.shop.biting import pass_depth

ROUGH, FINISH = 1, 2  # the two stages


class ConeDetails(Struct, frozen=True):
    """What a card of a taper by whole cones prints besides.

    Parameters
    ----------
    taper : TaperSizes
        What is wanted.
    metal : Fraction
        Radius of the blank, or of the hole that a bore begins as, mm.
    rest : Fraction
        Left on the radius when the angle is looked at, mm.
    long : float
        Length along the axis of the cone that stands by then, mm.
    """

    taper: TaperSizes
    metal: Fraction
    rest: Fraction
    long: float

    @property
    def in_bore(self) -> bool:
        """Whether it is cut inside a bore."""
        return self.taper.side == "bore"


def solve(turning: Turning, machine: Machine, target: dict[str, Any], sizes: TaperSizes) -> Plan:
    """Return the passes of a taper by the compound, or by a tailstock that is set over.

    Raises
    ------
    Refused
        When the machine has no compound, the blank is too small, the hole too wide, or a pass below a division.
    """
    carriage, across = scales(machine, "lathe")
    along, axis = (carriage, "z") if sizes.by == "set-over" else (_compound(machine), "compound")
    bore, leave = sizes.side == "bore", turning.leave or Fraction(0)
    end = (sizes.large if bore else sizes.small) / 2 + (-leave if bore else leave)
    metal = _metal(turning, sizes)
    last = across.down(end) if bore else across.up(end)
    rest = turning.finish if turning.finish is not None else REST[machine.unit]
    rows = list(_passes(turning, across, across.down(metal) if bore else across.up(metal), last, rest))
    slope = math.radians(sizes.half_angle)
    # A hair past the large end the cone is only larger: what stands behind it stays.
    travel = along.up(float(sizes.length) / math.cos(slope))

    def reach(x: int) -> int:
        """How far a pass is fed: until the tool runs out of the metal, or the whole length."""
        deep = abs(float(metal) - float(across.value(x)))
        return min(travel, along.up(deep / math.sin(slope)))

    stops = tuple(Stop(n, stage, reach(x), x) for n, (stage, x) in enumerate(rows, 1))
    rough = [stop for stop in stops if stop.start == ROUGH]
    return Plan(
        shape="taper", target={**target, "blank": 2 * float(metal)}, machine=machine, cutter=turning.cutter, approach="set-over" if axis == "z" else "compound", edge_behind=None, leave=leave,
        first=along, second=across, axes=(axis, "x"), stops=stops, result=_left(sizes, across.value(last), leave),
        remarks=(), contact=None, picture=None,
        details=ConeDetails(
            sizes, metal, abs(across.value(rough[-1].second) - end) if rough else Fraction(0),
            float(along.value(rough[-1].first)) * math.cos(slope) if rough else 0.0,
        ),
    )  # fmt: skip


def _compound(machine: Machine) -> Scale:
    """Return the scale of the machine's compound."""
    if machine.compound is None:
        raise Refused("machine", "no-compound", machine=machine.name)
    return machine.compound.scale


def _metal(turning: Turning, sizes: TaperSizes) -> Fraction:
    """Return the radius at which the metal begins."""
    bore = sizes.side == "bore"
    if turning.blank is None:
        return (sizes.small if bore else sizes.large) / 2
    if bore and turning.blank > sizes.small:
        raise Refused("blank", "hole-wide", blank=turning.blank, needs=sizes.small)
    if not bore and turning.blank < sizes.large:
        raise Refused("blank", "blank-small", blank=turning.blank, needs=sizes.large, part="taper")
    return turning.blank / 2


def _passes(turning: Turning, across: Scale, begin: int, last: int, rest: Fraction) -> Iterator[tuple[int, int]]:
    """Yield stage and whole divisions of the cross-slide: even passes down to the rest, then half of it, then the end size."""
    depth = turning.cut_depth or pass_depth(turning.material, turning.carbide)
    most = math.floor(depth / across.division)
    if most < 1:
        raise Refused("cut-depth", "below-division", drop=depth, division=across.division)
    way = 1 if last > begin else -1
    whole, kept = abs(last - begin), math.floor(rest / across.division)
    rough = whole - kept
    if rough > 0:
        count = -(-rough // most)
        yield from ((ROUGH, begin + way * -(-rough * k // count)) for k in range(1, count + 1))
    half = last - way * (min(kept, whole) // 2)
    if kept and half != last and min(kept, whole) > 1:
        yield FINISH, half
    yield FINISH, last


def _left(sizes: TaperSizes, cut: Fraction, leave: Fraction) -> Result:
    """Return what stands on the cone after the last pass: what was left on purpose, and less than a division of the dial, even all over."""
    bore = sizes.side == "bore"
    end = (sizes.large if bore else sizes.small) / 2
    stock = float(end - cut if bore else cut - end)
    middle = float(sizes.large + sizes.small) / 4 + (-stock if bore else stock) / 2
    over = max(0.0, stock - float(leave))  # square to the flank it is less, but for the very end
    return Result(over, stock, stock, stock, 0.0, 2 * math.pi * middle * stock * float(sizes.length))
