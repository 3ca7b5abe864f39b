"""Solving a rim cam: from what is wanted and how it is cut to a plan.

A stop stands at a table angle with the cutter's flat (or near side) at a height above the axis.  Inside a dwell the table is
turned with the cutter in.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stepcut.errors import Refused
from stepcut.kernel.measure import Left, measure
from stepcut.kernel.section import Place
from stepcut.kernel.space import Even, Ridge, near_ridge, space
from stepcut.kernel.task import Position
from stepcut.machine import Machine, Turning
from stepcut.plan import Picture, Plan, Remark, Result, Stop
from stepcut.shapes.cam.above import THIN, Above, stands_above
from stepcut.shapes.cam.bench import (
    DEFAULT_RIDGE,
    Bench,
    CamCutting,
    CamDetails,
    moved_on,
    narrow,
    prepare,
)
from stepcut.shapes.cam.follower import Follower, Ride, ride_of
from stepcut.shapes.cam.gap import held_by_gap
from stepcut.shapes.cam.section import CamSection
from stepcut.shapes.cam.wanted import Cam
from stepcut.shapes.cam.way import Arm
from stepcut.shapes.leaving import leaving
from stepcut.shop.lock import FRICTIONS, holds

# mm; common practice, no source: more than this is cut, and not filed.
FILED_AT_MOST = 1.0
# Degrees of pressure angle; common practice, no source.
STEEP_RIDE, STEEP_ARM = 30.0, 45.0  # of a follower that moves straight, and of one on an arm
LOOKS = 64  # places between two cuts at which the blank is compared with the stock line
ABOUT = 1.001  # a ridge as high as was asked for, but for the grain of the looks
EASY = (10, 8, 6, 5, 4, 3, 2, 1)  # half turns of the crank


def solve(
    cam: Cam, cutting: CamCutting, machine: Machine, turning: Turning = "clockwise", use: str | None = None
) -> Plan:
    """Return the plan of a rim cam; the table turns in cutting as the cam does in use, the cutter standing for the follower.

    Raises
    ------
    Refused
        When a scale is missing, the side of the cutter is rounder than a hollow, or neighbours do not meet.
    """
    bench = prepare(cam, cutting, machine)
    chosen = cutting.step is None and cutting.scallop is None
    step = easy_step(bench) if chosen else cutting.step
    row = spaced(bench, step)
    places = bench.task.places(row)
    _check_apart(bench, places)
    row = moved_on(bench, row)
    left = measure(bench.task, bench.task.places(row))
    row = _useful(bench, row, left)
    above = stands_above(bench.rim, cutting.blade, bench.task.places(row), _blank(bench))
    ride = ride_of(cam.lifts, cam.follower) if cam.follower is not None else None
    numbers = {mark: n for n, (mark, _) in enumerate(row, 1)}
    sweeps = tuple((numbers[a], numbers[b]) for a, b in bench.task.sweeps)
    return Plan(
        shape="cam",
        target=_target(cam, cutting),
        machine=machine,
        cutter=cutting.cutter,
        approach=cutting.approach,
        edge_behind=None,
        leave=bench.leave,
        first=bench.first,
        second=bench.second,
        axes=("table", "radius"),
        stops=tuple(Stop(n, 1, at, -depth) for n, (at, depth) in enumerate(row, 1)),
        result=_result(left, above),
        remarks=(
            *_remarks(bench, left, chosen, step),
            *_left_above(cam, above, cutting),
            *_ridden(ride),
            *_held(bench, use),
        ),
        contact=left.contact,
        picture=_picture(bench, left),
        details=CamDetails(bench, sweeps, ride, use),
        turning=turning,
    )


def _blank(bench: Bench) -> float:
    """Return the radius of the blank, mm; where none is told, the least that the cam can be cut from."""
    told = bench.cutting.blank
    return float(told) / 2 if told else bench.rim.largest + bench.task.leave


def _result(left: Left, above: tuple[Above, ...]) -> Result:
    """Return what is left on the rays, and with it what stands above the cuts."""
    more = sum(each.area for each in above)
    most = max((left.most, *(each.high for each in above)))
    return Result(
        left.scallop,
        left.least,
        left.mean + (more / left.area if more else 0.0),
        most,
        0.0,
        left.volume + more,
        {"per_mm_of_thickness": True},
    )


def _left_above(cam: Cam, above: tuple[Above, ...], cutting: CamCutting) -> Iterator[Remark]:
    """Yield what the straight sides of the cutter leave up the steps, and between cuts too far apart for the blank."""
    steps = cam.steps
    wedges = {step: each for each in above if each.thick > THIN for step in steps if each.beside(step)}
    if wedges:
        at = max(wedges, key=lambda step: wedges[step].thick)
        yield Remark("wedge-up-step", {"at": at, "thick": wedges[at].thick})
    fins = [each for each in above if each.thick > THIN and not any(each.beside(step) for step in steps)]
    if fins:
        worst = max(fins, key=lambda each: each.thick)
        facts = {"at": (worst.begin + worst.end) / 2, "thick": worst.thick, "high": max(each.high for each in fins)}
        yield Remark("fins-between", {**facts, "count": len(fins), "cutter": cutting.cutter.diameter}, look=True)


def _target(cam: Cam, cutting: CamCutting) -> dict[str, object]:
    target: dict[str, object] = {
        "base_radius": float(cam.base),
        "span": float(cam.span),
        "segments": [[s.kind, float(s.span), float(s.lift), s.law] for s in cam.segments],
    }
    if cam.table:
        target["table"] = [[float(at), float(lift)] for at, lift in cam.table]
    if cam.follower is not None:
        target["follower"] = {"kind": cam.follower.kind, "radius": cam.follower.radius, **_guided(cam.follower)}
    if cutting.blank:
        target["blank_diameter"] = float(cutting.blank)
    return target


def _guided(follower: Follower) -> dict[str, object]:
    """Return how a follower is guided, where that is not straight through the axis."""
    way = follower.way
    if isinstance(way, Arm):
        return {"pivot": way.pivot, "arm": way.length, "runs": "from-pivot" if way.ahead else "to-pivot"}
    return {"offset": way.offset} if way.offset else {}


# --- spacing -------------------------------------------------------------------------------------------------------


def spaced(bench: Bench, step: Fraction | None) -> list[Position]:
    """Return the positions by a step, or the fewest within the ridge that is asked for.

    Raises
    ------
    Refused
        When step and scallop do not agree, or the scallop cannot be kept on these scales.
    """
    cutting = bench.cutting
    if step is None:
        limit = float(cutting.scallop or DEFAULT_RIDGE[bench.machine.unit])
        try:
            return near_ridge(bench.spacing, limit) if cutting.scallop is None else space(bench.spacing, Ridge(limit))
        except Refused as refused:
            needs = narrow(bench)
            if refused.code == "out-of-reach" and needs is not None:
                facts = {"cutter": cutting.cutter.diameter, "needs": needs, "limit": limit}
                raise Refused("cutter", "too-narrow", **facts) from None
            raise
    row = space(bench.spacing, Even(step))
    if cutting.scallop is not None:
        makes = _ridge(bench, row)
        if makes > float(cutting.scallop) * (1 + 1e-6):
            raise Refused(
                "scallop", "disagree-scallop", scallop=cutting.scallop, leader="step", value=step, makes=makes
            )
    return row


def _useful(bench: Bench, row: list[Position], left: Left) -> list[Position]:
    """Return a row without the cuts that lie wholly in metal that other cuts remove."""

    def known(place: Place) -> tuple[float, float]:
        return round(place.at % 360.0, 6) % 360.0, place.depth

    shows = {known(piece.place) for piece in left.traced[0].pieces if piece.place is not None}
    ends = {mark for pair in bench.task.sweeps for mark in pair}
    return [position for position in row if position[0] in ends or known(bench.task.place(position)) in shows]


def _ridge(bench: Bench, row: list[Position]) -> float:
    """Return the highest ridge that more cuts would lower, mm."""
    return measure(bench.spacing, bench.spacing.places(row)).scallop


def easy_step(bench: Bench) -> Fraction | None:
    """Return the largest easy step within the usual ridge, in half turns of the crank; None when none serves."""
    table = bench.machine.table
    assert table is not None  # noqa: S101  # checked by prepare
    limit = float(DEFAULT_RIDGE[bench.machine.unit])
    for k in EASY:
        step = k * table.degrees_per_turn / 2
        row = space(bench.spacing, Even(step))
        if _ridge(bench, row) <= limit and _apart(bench, bench.task.places(row)) is None:
            return step
    return None


def _apart(bench: Bench, places: list[Place]) -> tuple[float, float] | None:
    """Return the step between the first neighbours that leave uncut metal, and what the cutter covers; degrees."""
    section = bench.task.sections[0]
    assert isinstance(section, CamSection)  # noqa: S101  # made by prepare
    after = [*places[1:], places[0]._replace(at=places[0].at + 360.0)] if bench.rim.whole else places[1:]
    for a, b in zip(places, after, strict=False):
        begin = a.at if a.until is None else a.until
        covers = sum(section.blade.reach(-place.depth) for place in (a, b))
        if b.at - begin > covers + 1e-9 and not _as_the_blank(bench, section, begin, a, b):
            return b.at - begin, covers
    return None


def _as_the_blank(bench: Bench, section: CamSection, begin: float, a: Place, b: Place) -> bool:
    """Whether the blank itself stands no more than a ridge over the stock line wherever two neighbours do not reach it.

    A dwell at the blank's own radius, and what rises to it, needs no cut.
    """
    if bench.cutting.blank is None:
        return False
    low, high = (
        begin + section.blade.reach(-a.depth, -section.blank),
        b.at - section.blade.reach(-b.depth, -section.blank),
    )
    rays = [(low + (high - low) * k / LOOKS) % 360.0 for k in range(LOOKS + 1)]
    stands = max(section.square(at, float(bench.cutting.blank) / 2 - bench.rim.radius(at)) for at in rays)
    return stands <= float(bench.cutting.scallop or DEFAULT_RIDGE[bench.machine.unit]) * ABOUT


def _check_apart(bench: Bench, places: list[Place]) -> None:
    """Refuse cuts that leave uncut metal between them."""
    found, cutter = _apart(bench, places), bench.cutting.cutter.diameter
    if found is None:
        return
    needs = narrow(bench)
    if needs is not None:
        raise Refused("cutter", "too-narrow", cutter=cutter, needs=needs, step=found[0], widest=found[1])
    raise Refused("step", "apart", step=found[0], widest=found[1], cutter=cutter)


def _held(bench: Bench, use: str | None) -> Iterator[Remark]:
    """Yield that a clamping cam slips when it is oiled."""
    if use == "clamp" and not holds(bench.rim.steepest_angle, FRICTIONS[0]):
        yield Remark("rim-slips", {"angle": bench.rim.steepest_angle, "friction": FRICTIONS[0]}, look=True)


def _ridden(ride: Ride | None) -> Iterator[Remark]:
    """Yield what a follower cannot do on this cam."""
    if ride is None:
        return
    if ride.lost:
        facts = {"lost": ride.lost, "at": ride.lost_at, "least": ride.least_base, "kind": ride.follower.kind}
        yield Remark("undercut", facts, look=True)
    usual = STEEP_ARM if ride.follower.swings else STEEP_RIDE
    if ride.pressure > usual:
        facts = {"angle": ride.pressure, "at": ride.pressure_at, "usual": usual, "swings": ride.follower.swings}
        yield Remark("pressure-steep", facts, look=True)
    face = ride.follower.face
    if face is not None and face < ride.face_needed - 1e-9:
        yield Remark(
            "face-narrow", {"face": face, "needs": ride.face_needed, "swings": ride.follower.swings}, look=True
        )


# --- what is said --------------------------------------------------------------------------------------------------


def _picture(bench: Bench, left: Left) -> Picture:
    """Return the unrolled rim, counted in from a circle round the blank."""
    top, span = float(bench.clear), bench.rim.span
    marks = sorted({*(span * k / 360 for k in range(361)), *bench.rim.line.joints})
    wanted = tuple((mark, top - bench.rim.radius(min(mark, span))) for mark in marks)
    cut = tuple((at, top + depth) for at, depth in left.traced[0].line())
    return Picture(wanted, tuple((at, max(0.0, depth)) for at, depth in cut), float(bench.cutting.cutter.radius))


def _remarks(bench: Bench, left: Left, chosen: bool, step: Fraction | None) -> Iterator[Remark]:
    cutting, machine = bench.cutting, bench.machine
    assert machine.table is not None  # noqa: S101  # checked by prepare
    if chosen and step is not None:
        cranks = step / machine.table.degrees_per_turn
        yield Remark("chosen-step", {"step": step, "cranks": cranks, "limit": DEFAULT_RIDGE[machine.unit]})
    yield from leaving(bench.task, cutting.leave, bench.leave)
    held = held_by_gap(bench)
    if held is not None:
        facts = {
            "gap": 360.0 - bench.rim.span,
            "needed": held.needed,
            "stands": held.stands,
            "clears": held.clears,
            "cutter": cutting.cutter.diameter,
            "end": cutting.approach == "end",
        }
        yield Remark("reaches-over-gap", facts, spoils=held.stands > FILED_AT_MOST)
    limit = cutting.scallop if cutting.scallop is not None else None
    if limit is not None and left.scallop > float(limit) * (1 + 1e-6):
        facts = {"limit": limit, "scallop": left.scallop, "where": left.tops[0].where, "angular": True}
        yield Remark("scallop-exceeded", facts)
    if any(segment.kind == "step" for segment in bench.cam.segments):
        yield Remark("step-corners", {"radius": cutting.cutter.radius, "side": cutting.approach == "side"})
    needs = narrow(bench)
    if needs is not None:
        yield Remark("too-narrow", {"cutter": cutting.cutter.diameter, "needs": needs})
    beside_gap = held.stands if held is not None else 0.0
    if cutting.approach == "end" and bench.stands > beside_gap + float(bench.second.division):
        yield Remark("flats-in-hollow", {"hollow": bench.rim.hollow, "stands": bench.stands})
