"""What a cut of a round nose leaves standing for a micrometer and a depth gauge: its own diameter, and the edge where it ends.

A nose rises as an arc ahead of its middle, so that its cut ends where the arc meets what stood there, not at the leading point; and
what it turned to its own diameter may lie in front of the face, or be cut away before.  Heights are mm over the axis, of a bore
below it, so that less is always deeper.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import chain

from msgspec import Struct

from stepcut.plan import Plan
from stepcut.routine import details

LOOKS = 100  # places along the nose at which the edge is looked for before it is halved in on
HALVINGS = 40


class Pass(Struct, frozen=True):
    """What one cut clears: level at its bottom while its middle goes from low to high, an arc of the nose's radius beyond."""

    low: float
    high: float
    middle: float
    bottom: float
    to_face: bool


def passes_of(plan: Plan) -> dict[int, Pass]:
    """Return what each cut of a round nose clears, by its number; also of those before the first of a plan that goes on."""
    nose, ways, cuts = float(plan.cutter.radius), details.ways(plan), plan.details.cuts
    first = [(start, z, x) for start, each in enumerate(cuts, 1) for z, x in each.stops]
    rows = dict(enumerate(first, 1)) | {stop.n: (stop.start, stop.first, stop.second) for stop in plan.stops}
    rows = {n: rows[n] for n in sorted(rows)}
    middles = {n: float(plan.first.value(z)) - nose for n, (_, z, _) in rows.items()}
    grooves: dict[int, float] = {}
    for n, (start, *_) in rows.items():
        grooves[start] = max(grooves.get(start, -math.inf), middles[n])
    found = {}
    for n, (start, _, x) in rows.items():
        way, begin = ways[start - 1], middles[n]
        if way == "to-headstock":
            begin = -math.inf
        elif way == "to-face":
            begin = grooves[start]
        bottom = float(plan.second.value(x)) * (-1 if details.in_bore(plan, start) else 1)
        found[n] = Pass(min(begin, middles[n]), max(begin, middles[n]), middles[n], bottom, way == "to-face")
    return found


def left_by(plan: Plan, passes: Mapping[int, Pass], n: int) -> tuple[bool, float] | None:
    """Return whether the diameter of cut n stands somewhere after it, and at which z the cut ends, mm.

    None of a cut that takes nothing off: what the one before it left stands.
    """
    nose, own = float(plan.cutter.radius), passes[n]
    end = own.middle - nose if own.to_face else own.middle + nose
    near, far = min(end, own.middle), max(end, own.middle)
    blank = plan.details.blank
    sign = -1 if details.in_bore(plan, 1) else 1
    high = sign * float(blank / 2 if blank is not None else details.outermost(plan))
    before = [each for k, each in passes.items() if k < n]
    level = [each.bottom for each in before if each.low <= near and far <= each.high]
    arcs = [each for each in before if near < each.high + nose and each.low - nose < far]

    def under(each: Pass, z: float) -> float:
        off = max(each.low - z, z - each.high, 0.0)
        return each.bottom + nose - math.sqrt(nose * nose - off * off) if off <= nose else math.inf

    high = min(chain([high], level))
    arcs = [each for each in arcs if each.bottom < high]

    def over(z: float) -> float:  # how much the cut takes there
        return min(chain([high], (under(each, z) for each in arcs))) - under(own, z)

    stands = own.middle > 0 and own.bottom != 0 and over(own.middle) >= 0
    places = [end + (own.middle - end) * k / LOOKS for k in range(LOOKS + 1)]
    k = next((k for k, z in enumerate(places) if z > 0 and over(z) > 0), None)
    if k is None:
        return None
    if k == 0:
        return stands, end
    out, cut = places[k - 1], places[k]
    for _ in range(HALVINGS):
        half = (out + cut) / 2
        out, cut = (out, half) if over(half) > 0 else (half, cut)
    return stands, cut
