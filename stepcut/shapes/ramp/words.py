"""The sheet of a face ramp: its head, its set-up, its end."""

from __future__ import annotations

from collections.abc import Iterator

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan, Stop
from stepcut.shop.lock import FRICTIONS, holds
from stepcut.voice import Dials, Voice, nought

CYCLE, DRAWING = {"across": "Across", "plunge": "Plunge", "side": "Side"}, "ring"
ENDS = "high end", "low end"  # of its unrolled line
TOUCH = "on the face where nothing is cut yet, and set depth 0 there; where no face is left, at a cut that stands: set what its line reads"  # where another cutter is set to nought
# Shares of blue at which filing may stop, and past which it gains nothing.  A clamp is done at 40 to 60 % well spread; a dog or a lift
# slides less loaded (scraped slideways bear on 30 to 50 %).  Common practice, no source.
BLUE = {"clamp": (0.4, 0.6), "dog": (0.3, 0.5), "lift": (0.3, 0.5)}
DEPTH_READ = True  # what its cuts are measured for is the depth

APPROACHES = {
    "across": "table flat, end of the cutter fed across the wall",
    "plunge": "table flat, end of the cutter plunged at the middle of the wall",
    "side": "table on edge, side of the cutter, depth on the table slide",
}


def lock_line(plan: Plan, voice: Voice) -> str:
    """Return one line on whether the ramp holds, over a range of friction."""
    angles = plan.result.more["ramp_angle"]
    verdicts = [f"{friction:.2f} {'holds' if holds(angles['middle'], friction) else 'SLIPS'}" for friction in FRICTIONS]
    return (
        f"{angles['bore']:.1f}° bore, {angles['middle']:.1f}° middle, {angles['outside']:.1f}° outside; "
        f"by the middle radius, {voice.length(plan.details.ramp.radii[1])}, at friction {', '.join(verdicts)}"
    )


MATE = (
    "The mate is the same part: cut it from this card with the next letter, same cutter, same table direction. "
    "Face to face the two turn against each other, so they are not mirrored."
)
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Turn the whole ramp dry first, so that no clamp, stud or handle meets cutter or spindle.",
    "File only with a handle on the file, spindle stopped. No strength is promised here.",
)


def _line(plan: Plan, voice: Voice) -> str:
    """Return what a line that rises or jumps is, in a few words."""
    ramp = plan.details.ramp
    rows = [depth for _, depth in ramp.targets]
    levels = [s for s in ramp.wanted.stretches if s.first == s.last]
    deep = f"{voice.size(min(rows))} to {voice.size(max(rows))} below the face, over {voice.degrees(ramp.span)}"
    if len(levels) == len(ramp.wanted.stretches):
        return f"{len(levels)} flats, {deep}"
    return f"a line through {len(rows)} points, {deep}"


def _fall(plan: Plan, voice: Voice) -> str:
    """Return rise and span, as they are said, without a motion that is uniform."""
    ramp = plan.details.ramp
    if ramp.free:
        return _line(plan, voice)
    text = f"{voice.size(plan.target['rise'])} over {voice.degrees(ramp.span)}"
    if plan.target["law"] not in ("uniform", "targets"):
        text += f", {plan.target['law']}"
    if plan.target["start_depth"]:
        text += f", high end {voice.size(plan.target['start_depth'])} below the face"
    return text


def _head(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    ramp = plan.details.ramp
    ring = f"{voice.size(ramp.outside_diameter)} outside, {voice.size(ramp.inside_diameter)} bore"
    orders = {"by-ramp": "one ramp after the other", "by-depth": "each depth on every ramp"}
    order = f", {orders[plan.details.order]}" if ramp.starts > 1 else ""
    return (
        ("Ring", ring),
        ("Ramp", _fall(plan, voice)),
        ("Ramps", f"{ramp.starts}{order}; rises {ramp.rises.upper()}, seen facing it"),
        ("Cut", APPROACHES[plan.approach]),
        *_not_used(plan, voice),
    )


def _not_used(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return what was given and is of no use, said where somebody looks for it."""
    step = plan.details.idle_step
    swept = "each flat is swept from end to end with the cutter in"
    return (("Not used", f"step = {voice.degrees(step)}: {swept}"),) if step is not None else ()


def _desk(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    result, covers = plan.result, plan.details.covers
    uneven = f"; bore and outside differ by {voice.length(result.twist)}" if result.twist > 1e-9 else ""
    free = plan.details.ramp.free
    run_out = f"needs {result.more['run_out']['needed']:.1f}°, has {result.more['run_out']['available']:.1f}°"
    finish = "with the head tilted" if "tilt" in plan.target else "with the single-angle cutter"
    before = f"; upright faces finished {finish}" if plan.details.faces else ""
    before += "; without what the seats take" if plan.details.seats else ""
    return (
        *(() if free else (("Run-out", run_out),)),
        ("Cutter covers", f"{covers[0]:.1f}° uphill, {covers[1]:.1f}° downhill, at the bore"),
        ("Leave", f"{voice.length(plan.leave)} on purpose, everywhere"),
        ("Scallop", f"{voice.length(result.scallop)}{uneven}"),
        ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)}, mean "
                    f"{voice.length(result.stock_mean)}; {voice.volume(result.volume)}{before}"),
        *(() if free else (("Will it hold", lock_line(plan, voice)),)),
    )  # fmt: skip


def _offset(plan: Plan, voice: Voice) -> Fact:
    """Return where the cutter stands beside the centre line: which handle, which way, how far.

    The part is cut at 3 o'clock, so downhill is toward the column for a ramp that rises clockwise.  The saddle carries the
    work: wound toward you, it leaves the cutter nearer the column.
    """
    over = plan.details.offset
    if plan.approach == "side":
        if not over:
            return ("Cutter axis crosses table axis, locked: Y stays at", voice.length(0))
        return ("Cutter toward the low side of the wall, then Y locked: Y from 0 by", voice.length(over))
    if not over:
        return ("Cutter AXIS on the centre line, locked: Y stays at", voice.length(0))
    column = plan.details.ramp.rises == "clockwise"
    saddle, nearer = ("YOU", "COLUMN") if column else ("the COLUMN", "YOU")
    return (
        f"Wind the saddle toward {saddle}: the cutter then stands nearer {'the ' if column else ''}{nearer}. Lock it. "
        "Y from 0 by",
        voice.length(over),
    )


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    places = _dry_run(plan, dials)
    mark = "12 o'clock" if plan.approach == "side" else "3 o'clock"
    how = {
        "across": (),
        "plunge": (("Centre-cutting mill over mid-wall, locked: X",
                    voice.length((float(plan.target["outside_diameter"]) + float(plan.target["inside_diameter"])) / 4)),),
        "side": (("Cutter through the wall, far wall clear, quill locked", "CLEAR"),),
    }[plan.approach]  # fmt: skip
    return (
        (f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)),
        ("Part clamped, faced, running true; clamps clear", "TRUE"),
        _centre(plan),
        _offset(plan, voice),
        dials.way("facing it"),
        (
            f"Ramp 1 {'start' if plan.details.ramp.free else 'HIGH end'} to {mark}, the working way: {dials.nought}",
            "0",
        ),
        *how,
        (f"{'Side of cutter touches' if plan.approach == 'side' else 'Cutter touches the'} face, spindle turning: {nought('depth', plan.machine.depth)}", "0"),
        (f"Dry run, spindle stopped, cutter clear: rim {places}, on to rim 0", "CLEAR"),
        ("Cuts 1 and 2: skim, measure, then to depth; 2 is deeper", "YES"),
    )  # fmt: skip


def _centre(plan: Plan) -> Fact:
    """Return where the spindle stands when the scales of the slides are set to nought."""
    if plan.approach == "side":
        return ("Table on edge, axis along X; spindle over that axis: Y", "0")
    return ("Table centre under the spindle: X and Y", "0")


def _dry_run(plan: Plan, dials: Dials) -> str:
    """Return four rim readings of one way round the job, in the order in which the table comes to them."""
    places = sorted({stop.first for stop in plan.stops})
    few = dict.fromkeys(places[k] for k in (0, len(places) // 4, len(places) // 2, -1))
    return ", ".join(dials.rim(place) for place in few)


def _seats(plan: Plan, voice: Voice) -> Iterator[Fact]:
    """Yield how deep each seat lies, which is cut after the ramps."""
    for seat in plan.details.seats:
        yield f"Seat at the {seat.end} end, its bottom below the face", voice.length(plan.second.value(seat.depth))


def _measures(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    return (*_seats(plan, voice), *_faces(plan, voice), *_sizes(plan, voice, dials))


def _faces(plan: Plan, voice: Voice) -> Iterator[Fact]:
    """Yield how deep the foot of each upright face lies, which is finished after the ramps."""
    for face in plan.details.faces:
        yield (
            ("Lowest place of the tilted cuts" if face.tilted else "Foot of the upright faces") + ", below the face",
            voice.length(plan.second.value(face.depth)),
        )


def _sizes(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    if plan.details.ramp.free:
        deepest = max(plan.stops, key=lambda stop: stop.second)
        made = " that the end mill makes" if plan.details.faces else ""
        where = f"Lowest place below the face{made}, at rim {dials.rim(deepest.first)}"
        rows = [(where, voice.length(plan.second.value(deepest.second)))]
        return (
            *rows,
            ("What stands beside upright faces and in corners", f"up to {voice.length(plan.result.stock_max)}"),
        )
    last: Stop = plan.stops[-1]
    high = max(0.0, plan.target["start_depth"] - float(plan.leave))
    rows = [("Floor below the face, past the last cut", voice.length(plan.second.value(last.second)))]
    if high:
        rows.append(("High end below the face", voice.length(high)))
    return (*rows, ("Ridge, felt with a nail, at the outside", f"up to {voice.length(plan.result.scallop)}"))


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a ramp says about itself."""
    ramp = plan.details.ramp
    several = f"{ramp.starts} ramps, " if ramp.starts > 1 else ""
    fall = f"{voice.size(plan.target['rise'])} over {voice.degrees(ramp.span)}"
    size = (
        f"{voice.size(ramp.outside_diameter)} × {voice.size(ramp.inside_diameter)} bore · {several}"
        f"{_line(plan, voice) if ramp.free else fall}"
    )
    return Words(
        size=size,
        head=_head(plan, voice),
        desk=_desk(plan, voice),
        set_up=_set_up(plan, voice, dials),
        after=_measures(plan, voice, dials),
        cautions=CAUTIONS,
        names=("rim", "depth"),
        column="RAMP",
        mate="" if ramp.free else MATE,
    )
