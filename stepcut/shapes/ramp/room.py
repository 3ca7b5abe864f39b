"""Room for the last cut of a ramp: its run-out, the longest span that fits, and the ways out when it does not."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterator
from fractions import Fraction

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.measure import trespass
from stepcut.kernel.section import Place
from stepcut.machine import STANDARD_CUTTERS, Cutter, Scale
from stepcut.plan import Remark
from stepcut.shapes.ramp.bench import Bench, Cutting, check_cutter, check_round, sector_cut, task_of
from stepcut.shapes.ramp.free import BESIDE, Foot, room_beside
from stepcut.shapes.ramp.wanted import Ramp

ENOUGH = 1e-9  # degrees


def run_out(bench: Bench, last: Place) -> float:
    """Return the degrees that a cut covers downhill below the stock line of the next ramp's high end.

    Over the whole wall: at the bore for `across` and `side`, for `plunge` where the radial line touches the circle if that
    lies in the wall.  Only what is deeper than the next ramp's high end counts.
    """
    above = last.depth - (bench.ramp.wanted.start - float(bench.leave))
    if above <= 0:
        return 0.0
    outline = bench.foot.outline
    return max(0.0, bench.foot.within(min(outline.half_width(above), outline.radius))[1])


def clears(bench: Bench) -> bool:
    """Whether the last cut of a ramp stays clear of the next one."""
    task = bench.task
    at = float(task.first.value(task.first.up(task.last_at)))
    depth = bench.ramp.wanted.floor - float(bench.leave)
    return at + run_out(bench, Place(at, depth)) <= sector_cut(bench.ramp, task.first) + ENOUGH


def longest_span(ramp: Ramp, cutting: Cutting, first: Scale, second: Scale) -> Fraction:
    """Return the longest span, in whole divisions of the table, after which the cutter still clears the next ramp.

    Raises
    ------
    Refused
        When there is none.
    """
    leave = cutting.leave or Fraction(0)

    def fits(divisions: int) -> bool:
        trial = ramp.spanning(divisions * first.division)
        if trial.lead_in + trial.lead_out >= trial.span:
            return True
        return clears(_bench(trial, cutting, leave, first, second))

    marks = range(1, first.down(ramp.sector) + 1)
    longest = bisect_left(marks, True, key=lambda divisions: not fits(divisions)) * first.division
    if longest <= ramp.lead_in + ramp.lead_out:
        raise Refused("cutter", "no-room", cutter=cutting.cutter.diameter, sector=ramp.sector, starts=ramp.starts)
    return longest


def _bench(ramp: Ramp, cutting: Cutting, leave: Fraction, first: Scale, second: Scale) -> Bench:
    """Return a bench for a trial; nothing asks it for its machine."""
    task = task_of(ramp, cutting, float(leave), first, second)
    return Bench(ramp, cutting, None, task, leave, leave)  # type: ignore[arg-type]  # a trial knows its scales only


def _on(bench: Bench, ramp: Ramp, cutting: Cutting) -> Bench:
    """Return the bench with another ramp or cutter on the same machine."""
    return replace(_bench(ramp, cutting, bench.leave, bench.first, bench.second), machine=bench.machine)


def spoiling(bench: Bench, places: list[Place], serves: Callable[[Bench], str]) -> Iterator[Remark]:
    """Yield by how much the plan runs into the next ramp, and the ways out of it; nothing when it does not.

    `serves` tells how another cutter takes the same job: "as asked", "closer" with cuts closer together, or "" not at all.
    """
    worst = trespass(bench.task.fences, places, float(bench.leave))
    if worst is None:
        return
    ramp, sector = bench.ramp, sector_cut(bench.ramp, bench.first)
    overlap = max(place.at + run_out(bench, place) - sector for place in places)
    fitting = [place for place in places if trespass(bench.task.fences, [place], float(bench.leave)) is None]
    try:
        span = longest_span(ramp, bench.cutting, bench.first, bench.second) if not ramp.targets else None
    except Refused:
        span = None
    if span is not None and not serves(_on(bench, replace(ramp, span=span), bench.cutting)):
        span = None
    fits, how = largest_clear(bench, serves)
    facts = {
        "overlap": overlap,
        "below": worst[0],
        "fits": fits,
        "closer": how == "closer",
        "fitting": len(fitting),
        "stops": len(places),
        "last": fitting[-1].at if fitting else 0.0,
        "span": span,
        "cutter": bench.cutting.cutter.diameter,
        "starts": ramp.starts,
        **_teeth(bench),
    }
    yield Remark("runs-into-next", facts, spoils=True)


TEETH = Fraction(17, 20)  # of a sector: a ramp that fills more is a tooth with an upright face


def _teeth(bench: Bench) -> dict[str, float]:
    """Return the angles of the tools that reach the foot of a tooth; nothing where a ramp leaves room for its run-out.

    See :func:`stepcut.shapes.ramp.free.upright_faces`.
    """
    ramp = bench.ramp
    if ramp.span < TEETH * ramp.sector or ramp.starts < 2:
        return {}
    foot = Foot(ramp.wanted.span - BESIDE, 0.0, float(ramp.rise), ramp.wanted.floor, True)
    included = room_beside(ramp, foot)
    return {"tilt": 90.0 - included, "included": included}


def largest_clear(bench: Bench, serves: Callable[[Bench], str]) -> tuple[Fraction | None, str]:
    """Return the largest standard cutter of this kind that clears the next ramp and serves, and how it does; None when none."""
    cutting, ramp = bench.cutting, bench.ramp
    for diameter in sorted(STANDARD_CUTTERS[bench.machine.unit], reverse=True):
        corner = diameter / 2 if cutting.cutter.kind == "ball" else cutting.cutter.corner
        if diameter >= cutting.cutter.diameter or corner > diameter / 2:
            continue
        smaller = replace(cutting, cutter=Cutter(cutting.cutter.kind, diameter, corner))
        try:
            check_cutter(ramp, smaller, bench.machine)
            check_round(ramp, smaller)
        except Refused:
            continue
        trial = _on(bench, ramp, smaller)
        if clears(trial) and (how := serves(trial)):
            return diameter, how
    return None, ""
