"""The sheet of a rim cam."""

from __future__ import annotations

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.shapes.cam.follower import Ride
from stepcut.shapes.cam.way import Arm, Straight
from stepcut.shop.lock import FRICTIONS, holds
from stepcut.voice import Dials, Voice

CYCLE, DRAWING = {"end": "CamEnd", "side": "CamSide"}, "rim"
TOUCH = "on the blank, and set its measured radius there"  # where another cutter is set to nought

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Table locked before every cut; in a sweep a light drag on the locks, fed slowly.",
    "Turn the whole cam dry first, so that no clamp, stud or mandrel meets cutter or spindle.",
    "File only with a handle on the file, spindle stopped. No strength is promised here.",
)


def _segments(plan: Plan, voice: Voice) -> str:
    cam = plan.details.cam
    if cam.table:
        most = max(lift for _, lift in cam.table)
        return f"lift table of {len(cam.table)} rows, up to {voice.size(most)}"
    if any(s.kind == "step" for s in cam.segments):
        radii = [-s.first for s in plan.details.rim.line.stretches]
        return f"{len(radii)} sectors, radius {voice.size(radii[0])} to {voice.size(radii[-1])}"
    parts = []
    for s in cam.segments:
        motion = f" {s.law}" if s.kind in ("rise", "fall") and s.law != "uniform" else ""
        lift = f" {'down ' if s.lift < 0 else ''}{voice.size(abs(s.lift))} over" if s.kind != "dwell" else ""
        parts.append(f"{s.kind}{lift} {voice.degrees(s.span)}{motion}")
    return ", ".join(parts)


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    end = plan.approach == "end"
    return (
        (f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)),
        ("Blank on a mandrel, clamped on centre, running true", "TRUE"),
        ("Table on edge; cutter axis over the cam's axis: Y locked at" if end else "Table flat; cutter axis over its centre line: Y locked at", "0"),
        dials.way("facing it"),
        (f"Witness line under cutter, the working way: {dials.nought}", "0"),
        (
            f"{'Cutter' if end else 'Near side of cutter'} touches a mandrel or flat of measured height: "
            f"{plan.second.name} reads its height above the AXIS",
            "SET",
        ),
        (f"Dry run, spindle stopped, clear: rim {dials.rim(plan.stops[0].first)}, once round", "CLEAR"),
        ("Cuts 1 and 2: skim, measure over the mandrel, to height", "YES"),
    )  # fmt: skip


def _ride(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return what rides on the cam and how."""
    ride: Ride | None = plan.details.ride
    if ride is None:
        return ()
    follower = ride.follower
    way = follower.way
    how = "straight through the axis"
    if isinstance(way, Arm):
        runs = "from the pivot to it" if way.ahead else "to the pivot"
        how = (
            f"on an arm {voice.size(way.length)} long, pivot {voice.size(way.pivot)} from the axis, the rim runs {runs}"
        )
    elif way.offset:
        side = "from which the rim comes" if way.offset > 0 else "to which the rim goes"
        how = f"straight, {voice.size(abs(way.offset))} beside the axis on the side {side}"
    if follower.kind == "flat":
        touches = f"touches up to {voice.length(ride.face_needed / 2)} beside its middle"
        if follower.swings:
            touches = f"touches {voice.length(ride.face_from)} to {voice.length(ride.face_needed)} from the pivot"
        return (("Follower", f"flat face, {how if follower.swings else 'square to its way'}; {touches}"),)
    name = f"roller {voice.size(2 * follower.radius)}" if follower.kind == "roller" else "knife edge"
    return (("Follower", f"{name}, {how}; pressure angle up to {ride.pressure:.1f}° at {ride.pressure_at:.0f}°"),)


def _hold(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return whether a clamping cam holds, by the steepest place of its rim, and what lies past its highest one."""
    if plan.details.use != "clamp":
        return ()
    rim = plan.details.rim
    angles = [min(max(rim.span * k / 1440, 1e-9), rim.span - 1e-9) for k in range(1441)]  # its very ends among them
    steepest = rim.steepest_angle
    said = ", ".join(f"{friction:.2f} {'holds' if holds(steepest, friction) else 'SLIPS'}" for friction in FRICTIONS)
    rows = [("Hold", f"rim angle up to {steepest:.1f}°; at friction {said}; a level stretch holds at any")]
    heights = [rim.radius(at) for at in angles]
    top = max(heights)
    past = [k for k, height in enumerate(heights) if height > top - 1e-6]
    beyond = (len(heights) - 1 - past[-1]) * rim.span / 1440
    flat = (past[-1] - past[0]) * rim.span / 1440
    over = (
        f"level at {voice.length(top)} for {flat:.0f}°"
        if flat > 1
        else f"highest, {voice.length(top)}, at {angles[past[0]]:.0f}°"
    )
    if beyond > 1 and heights[-1] < top:
        over += f", then {beyond:.0f}° on over centre, {voice.length(top - heights[-1])} lower; a stop must end its way there"
    elif flat <= 1:
        over += "; nothing lies past it, so only friction keeps it shut"
    return (*rows, ("Over centre", over))


def _not_cut(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return how much of a turn a cam leaves as the blank is; nothing where it goes all round."""
    span = plan.details.rim.span
    if span == 360:
        return ()
    rest = voice.degrees(360 - span)
    return (
        (
            "Not cut",
            f"the last {rest} of the turn: the blank stands there, but for the width of the first and last cut",
        ),
    )


def _angles(plan: Plan) -> str:
    """Return where the angles of the cam count from and which way."""
    follower = plan.details.cam.follower
    count = "count against the table's turning on the part"
    if follower is None or follower.way == Straight():
        return count
    return f"{count}; 0 is on the line from the axis to the follower, as it stands at the base"


def _ridge(plan: Plan, voice: Voice) -> Fact:
    """Return what stands after the last cut: a ridge, or at the steps of a snail the corners that no cutter reaches."""
    stepped = any(segment.kind == "step" for segment in plan.details.cam.segments)
    what = "What stands in the corner beside a step" if stepped else "Ridge, felt with a nail"
    return what, f"up to {voice.length(plan.result.scallop)}"


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a cam says about itself."""
    cam, result, hollow = plan.details.cam, plan.result, plan.details.rim.hollow
    how = {
        "end": "table on edge, flats with the end of the cutter",
        "side": "table flat, arcs with the side of the cutter",
    }[plan.approach]
    turns_up = any(remark.code == "flats-in-hollow" for remark in plan.remarks)
    corners = "only corners where it turns up at once" if turns_up else "none"
    return Words(
        size=f"base radius {voice.size(cam.base)} · {_segments(plan, voice)}",
        head=(
            ("Cam", f"base radius {voice.size(cam.base)}; {_segments(plan, voice)}"),
            ("Cut", f"{how}; the height is above the axis"),
            *_ride(plan, voice),
            ("Angles", _angles(plan)),
            *_not_cut(plan, voice),
        ),
        desk=(
            ("Leave", f"{voice.length(plan.leave)} on the radius, everywhere"),
            ("Scallop", voice.length(result.scallop)),
            ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} on the radius, mean {voice.length(result.stock_mean)}"),
            *_hold(plan, voice),
            ("Hollow", f"smallest radius {voice.length(hollow)}" if hollow < 1e6 else corners),
        ),
        set_up=_set_up(plan, voice, dials),
        after=(
            ("Largest radius", voice.length(plan.details.rim.largest + float(plan.leave))),
            _ridge(plan, voice),
        ),
        cautions=CAUTIONS,
        names=("rim", "height"),
        column="CAM",
    )  # fmt: skip
