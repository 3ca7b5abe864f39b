"""Roughing a turned shape before it is finished: which cuts, and how the metal comes off in passes of a usual depth.

The rough cuts of a flank are cuts of the same flank with the rest left on besides, a pass apart in depth; what goes straight in stands
as far apart as the tool covers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.measure import measure
from stepcut.kernel.space import Drop, Even, space
from stepcut.machine import Machine, Scale
from stepcut.shapes.turned.bench import CutFlank, Turning, on_the_dials, scales, stands_over, task_of
from stepcut.shop.biting import pass_depth

COVERS = Fraction(
    9, 10
)  # of a square tool's width from plunge to plunge; of a round one's nose radius; common practice, no source


def most_of(turning: Turning, across: Scale) -> int | None:
    """Return the most that one pass takes, divisions on the radius; None where no depth of a pass is asked for.

    Raises
    ------
    Refused
        When it is less than a division.
    """
    depth = turning.cut_depth
    if depth is None and turning.finish is not None:
        depth = pass_depth(turning.material, turning.carbide)
    if depth is None:
        return None
    most = replace(across, origin=Fraction(0)).down(depth)
    if most < 1:
        raise Refused("cut-depth", "below-division", drop=depth, division=across.division)
    return most


def rough_flank(finished: CutFlank, turning: Turning, machine: Machine) -> CutFlank:
    """Return the rough cuts of a flank, none where the rest is as much as there is to cut.

    A blank that is larger than the shape is turned down to its largest diameter and the rest first.
    """
    assert turning.finish is not None  # noqa: S101  # the caller's condition
    flank = finished.flank
    along, across = scales(machine, turning.where)
    rest = replace(turning, leave=(turning.leave or Fraction(0)) + turning.finish)
    task = task_of(flank, rest, machine)
    if float(rest.leave or 0) >= flank.wanted.deepest + stands_over(flank, turning):
        row = []
    elif flank.plunged:
        wide = turning.width if turning.cutter.kind == "square" and turning.width else turning.cutter.radius
        row = space(task, Even(max(along.division, math.floor(wide * COVERS / along.division) * along.division)))
    else:
        row = space(task, Drop((most_of(turning, across) or 1) * across.division))
    places = tuple(task.places(row))
    stops = tuple(
        on_the_dials(flank, along, across, task.first.value(at), task.second.value(depth)) for at, depth in row
    )
    if flank.plunged:  # as the finish: from the face inward
        stops = stops[::-1]
    return CutFlank(flank, task, places, measure(task, places), stops, rough=True)


def passes_before(cut: Iterable[CutFlank], turning: Turning, across: Scale) -> dict[int, tuple[int, ...]]:
    """Return, by the number of a stop, the cross-slide positions to pass before it so that no pass is too deep."""
    most = most_of(turning, across)
    if most is None:
        return {}
    passes: dict[int, tuple[int, ...]] = {}
    n = 0
    for each in cut:
        if turning.finish is not None and not each.rough:  # the rest, and no more than a pass
            n += len(each.stops)
            continue
        bore = each.flank.side == "bore"
        high = turning.blank / 2 if turning.blank is not None else each.flank.radius_high
        begin = across.down(high) if bore else across.up(high)
        before = begin
        for _, x in each.stops:
            n += 1
            before = begin if each.flank.plunged else before
            between = range(before + most, x, most) if bore else range(before - most, x, -most)
            if len(between):
                passes[n] = tuple(between)
            before = x
    return passes
