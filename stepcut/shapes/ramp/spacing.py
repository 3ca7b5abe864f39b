"""How the cuts of a ramp are spaced: the rule that leads, those that must agree with it, and the step where none is given."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator
from contextlib import suppress
from fractions import Fraction
from typing import NamedTuple

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.cover import covered
from stepcut.kernel.marks import closed, ends
from stepcut.kernel.measure import measure
from stepcut.kernel.ridge import uncut
from stepcut.kernel.space import Count, Drop, Even, Ridge, Rule, space
from stepcut.kernel.task import Position
from stepcut.machine import Machine
from stepcut.shapes.ramp.bench import DEFAULT_SCALLOP, Bench, Stepping, least_round, otherwise, unevenness
from stepcut.shapes.ramp.finished import as_finished, spacing_of
from stepcut.shapes.ramp.free import apart, risers, showing

ALIKE = 0.02  # of a ridge over its limit: as much higher is worth a cut less
# Times what a walk leaves where nothing keeps the ridge: not worth its many cuts, as a file goes there anyway.
UNKEPT = 1.5


class Way(NamedTuple):
    """A row of cuts with the ridge that it leaves beside the feet, mm, and how many of them take anything."""

    ridge: float
    cuts: int
    row: list[Position]


def _leading(stepping: Stepping, machine: Machine) -> tuple[Rule, str, Fraction]:
    """Return the rule that leads, its name and its value."""
    if stepping.step is not None:
        return Even(stepping.step), "step", stepping.step
    if stepping.drop is not None:
        return Drop(stepping.drop), "drop", stepping.drop
    if stepping.stops is not None:
        return Count(stepping.stops), "stops", Fraction(stepping.stops)
    limit = stepping.scallop or DEFAULT_SCALLOP[machine.unit]
    return Ridge(float(limit)), "scallop", limit


def spaced(bench: Bench, stepping: Stepping) -> list[Position]:
    """Return the positions of one ramp by the rule that is given, checked against every other rule that is given.

    Raises
    ------
    Refused
        When two rules do not agree, or a rule cannot be kept on these scales.
    """
    rule, name, value = _leading(stepping, bench.machine)
    if isinstance(rule, Drop) and rule.drop < bench.second.division:
        raise Refused("drop", "below-division", drop=rule.drop, division=bench.second.division)
    try:
        row = _by_ridge(bench, rule, stepping) if isinstance(rule, Ridge) else space(bench.task, rule)
    except Refused as refused:
        raise _with_cause(bench, refused) from None
    if bench.ramp.free:
        row = showing(bench.task, _in_turn(bench, row))
    if not row:
        floor = Fraction(bench.ramp.wanted.floor)
        raise Refused("rise", "nothing-to-cut", leave=bench.leave, floor=floor, division=bench.second.division)
    _agree(bench, stepping, row, name, value)
    apart = metal_between(bench, row, stepping)
    if apart is not None:
        widest = min(width for width in widths(bench))
        if widest <= bench.first.division:
            raise narrow_for_wall(bench)
        facts = {"step": apart[1] - apart[0], "widest": widest, "cutter": bench.cutting.cutter.diameter}
        if name != "step":  # nobody gave one
            raise Refused(name, "apart-by", value=stepping.stops if name == "stops" else value, leader=name, **facts)
        raise Refused("step", "apart", **facts)
    return row


def _by_ridge(bench: Bench, rule: Ridge, stepping: Stepping) -> list[Position]:
    """Return the positions that keep a ridge; on an open line with upright faces those that cover it, unless a walk does better.

    What stands in the foot of a face no other cut lowers.  Round a ring the walk spares it; on an open line a walk is stuck where the
    foot ends, and grinds on in vain, so that the line is covered place by place.  A walk is taken where it alone keeps the ridge beside
    the feet, or where covering leaves much more there.
    """
    spared = spacing_of(bench)
    if not _to_cover(bench):
        return space(spared, rule)

    def judged(find: Callable[[], list[Position]]) -> Iterator[Way]:
        with suppress(Refused):
            row = find()
            shown = showing(bench.task, row)
            if shown and metal_between(bench, shown, stepping) is None:
                yield Way(measure(spared, spared.places(shown)).scallop, len(shown), row)

    best = next(judged(lambda: covered(bench.task, rule.limit)), None)
    enough = rule.limit * (1 + ALIKE)
    if best is not None and best.ridge <= enough:
        return best.row
    walks = [*judged(lambda: space(spared, rule)), *judged(lambda: space(bench.task, rule))]
    least = min((way.ridge for way in walks), default=math.inf)
    if best is not None and enough < least < math.inf and best.ridge <= least * UNKEPT:
        return best.row
    serving = [way for way in walks if way.ridge <= max(enough, least * (1 + ALIKE))]
    return min(serving, key=lambda way: way.cuts).row if serving else space(spared, rule)


def _to_cover(bench: Bench) -> bool:
    """Whether a line is open and has upright faces below its slopes, no flat of it is swept, and the cutter covers some of it everywhere."""
    jumps = bench.ramp.free and not closed(bench.task) and any(foot.slope > 0 for foot in risers(bench.ramp))
    return jumps and not bench.task.sweeps and min(widths(bench)) > bench.first.division


def _in_turn(bench: Bench, row: list[Position]) -> list[Position]:
    """Return a row round a ring in the order of cutting: a walk that began with the last foot has it first."""
    task, turn = bench.task, bench.first.down(bench.ramp.sector)
    early = [mark for mark, _ in row if mark < ends(task)[0]] if closed(task) else []
    return sorted({*row[len(early) :], *((mark + turn, task.depth(mark + turn)) for mark in early)})


def metal_between(bench: Bench, row: list[Position], stepping: Stepping) -> tuple[float, float] | None:
    """Return the first pair of neighbours, degrees, that leave metal standing that a closer step would take; None if none."""
    if not bench.ramp.free:
        return uncut(bench.task, row)
    stair = bench.ramp.wanted.steepest * float(stepping.step or 0)
    ridge = 0.0 if stepping.step or stepping.stops else float(_leading(stepping, bench.machine)[2])
    return apart(bench.task, row, max(stair, ridge, float(bench.second.division)))


def widths(bench: Bench) -> Iterator[float]:
    """Yield the degrees that the cutter covers at bore, middle and outside."""
    for radius in bench.ramp.radii:
        reach = bench.foot.extent(radius, math.inf)
        if reach is not None:
            yield reach[1] - reach[0]


def narrow_for_wall(bench: Bench) -> Refused:
    """Return the refusal of a plunged cutter that is no wider than the wall: at its edges it covers nothing."""
    wall = bench.ramp.outside - bench.ramp.bore
    return Refused("cutter", "narrow-for-wall", cutter=bench.cutting.cutter.diameter, wall=wall)


def _with_cause(bench: Bench, refused: Refused) -> Refused:
    """Say what binds when a scallop cannot be kept: the scales, or the difference between bore, middle and outside.

    It is the difference where the scales alone, with radial risers, would keep the limit: what a division more leaves, less the
    difference, does; or a division of each scale does, and together with the difference does not.
    """
    if refused.code != "out-of-reach":
        return refused
    uneven, limit = unevenness(bench), float(refused.facts["limit"])
    scales = float(bench.second.division) + bench.ramp.wanted.steepest * float(bench.first.division)
    if bench.cutting.approach == "plunge" and min(widths(bench)) <= bench.first.division:
        return narrow_for_wall(bench)
    if uneven and (refused.facts["best"] - uneven <= limit or scales <= limit < uneven + scales):
        if bench.cutting.approach == "plunge":
            fits = least_round(bench, limit - scales) if bench.foot.outline.corner else None
            code = "dished" if fits is None else "rounded"
            return Refused("scallop", code, uneven=uneven, fits=fits, **refused.facts)
        on_edge = bench.cutting.on_line == "edge"
        facts = {"uneven": uneven, "on_edge": on_edge, "helps": otherwise(bench) < uneven}
        return Refused("scallop", "bore-and-outside-differ", **facts, **refused.facts)
    return refused


def _agree(bench: Bench, stepping: Stepping, row: list[Position], name: str, value: Fraction) -> None:
    """Refuse rules that contradict the one that led."""
    if name == "stops" and len(row) != stepping.stops:
        raise Refused("stops", "not-so-many", stops=stepping.stops, makes=len(row))
    if stepping.stops is not None and len(row) != stepping.stops:
        raise Refused("stops", "disagree-stops", stops=stepping.stops, leader=name, value=value, makes=len(row))
    if name == "step" and stepping.drop is not None and stepping.step is not None:
        makes = bench.ramp.wanted.steepest * float(stepping.step)
        if abs(makes - float(stepping.drop)) > float(bench.second.division) / 2:
            raise Refused("drop", "disagree-drop", drop=stepping.drop, step=stepping.step, makes=makes)
    if stepping.scallop is not None and name != "scallop":
        makes = as_finished(bench, bench.left(row)).scallop
        if makes > float(stepping.scallop) * (1 + 1e-9):
            raise Refused(
                "scallop", "disagree-scallop", scallop=stepping.scallop, leader=name, value=value, makes=makes
            )


def idle_step(bench: Bench, stepping: Stepping, row: list[Position]) -> Fraction | None:
    """Return a step that was given and moves no cut, degrees: level flats are swept from end to end, with none between; else None."""
    if stepping.step is None or not bench.task.sweeps or any(s.first != s.last for s in bench.ramp.wanted.stretches):
        return None
    try:
        same = spaced(bench, replace(stepping, step=bench.ramp.span)) == row
    except Refused:  # a flat that is not swept needs its step
        return None
    return stepping.step if same else None


def easy_steps(bench: Bench) -> Iterator[Fraction]:
    """Yield the easy steps of this table, from coarse to fine: whole crank turns, and half turns between them."""
    half = bench.half_turn
    count = int(bench.ramp.span / half)
    for k in range(count, 0, -1):
        yield k * half


def default_step(bench: Bench) -> Fraction | None:
    """Return the largest easy step that keeps the scallop within the usual limit; None when none does."""
    limit = float(DEFAULT_SCALLOP[bench.machine.unit])
    steps = list(easy_steps(bench))
    if bench.ramp.free:  # what stands in the feet of risers does not depend on the step
        slope, widest = bench.ramp.wanted.steepest, min(widths(bench))
        return next((step for step in steps if slope * float(step) <= limit and step <= widest), bench.half_turn)

    def serves(step: Fraction) -> bool:
        row = space(bench.task, Even(step))
        return uncut(bench.task, row) is None and bench.left(row).scallop <= limit * (1 + 1e-9)

    first = bisect_left(steps, True, key=serves)  # ridges grow with the step, and the steps go from coarse to fine
    return steps[first] if first < len(steps) else None
