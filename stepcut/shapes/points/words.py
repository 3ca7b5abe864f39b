"""The sheet of points in X and Y."""

from __future__ import annotations

import math
from itertools import pairwise

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.shapes.points.wanted import through
from stepcut.voice import Dials, Voice, nought

TOUCH = "on the face beside the cut, and set depth 0 there"  # where another cutter is set to nought
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Both slides locked before every cut; cutter up clear before either moves.",
    "Rough the waste out first: a plunge beside the line is a cut on one side only, and the cutter is drawn in.",
)
SIDES = {
    "inside": "cutter inside, the line is the wall",
    "outside": "cutter outside, the line is the wall",
    "on": "cutter's axis on the line",
}


def _what(plan: Plan, voice: Voice) -> str:
    details = plan.details
    if details.tube is not None:
        tube, onto, _ = details.tube
        return f"{voice.size(tube)} tube hollowed to sit on a {voice.size(onto)} one"
    arc = details.arc
    part = "circle" if arc.whole else f"arc of {voice.degrees(arc.span)} from {voice.degrees(arc.begin)}"
    return f"{part}, radius {voice.size(arc.radius)}"


def _set_up(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    details = plan.details
    rows: list[Fact] = [
        (f"Cutter, {plan.cutter.kind}, cutting to its centre, measured ________", voice.size(plan.cutter.diameter))
    ]
    if details.tube is not None:
        angle = details.tube[2]
        rows.append(("Tube held level along X, its axis at Y 0", "TRUE"))
        if angle != 90:
            rows.append(
                (
                    f"Tubes at {voice.degrees(angle)}: the tube's far end turned up or down from level, the end to be hollowed under the cutter",
                    voice.degrees(90 - angle),
                )
            )
        rows.append(("X 0 where the hollow is to reach the tube's edge; X grows out of its end", "0"))
    else:
        rows.append(("Part clamped square, the line well clear of the vise", "TRUE"))
        rows.append(("X, Y 0 as drawn; X grows to the right, Y away from you", "0"))
    across, along = ([scale.value(stop) for stop in at] for scale, at in (
        (plan.first, [stop.first for stop in plan.stops]), (plan.second, [stop.second for stop in plan.stops]),
    ))  # fmt: skip
    rows += [
        (f"Y is taken to be read as X is, to {voice.length(plan.second.division)}", "YES"),
        ("Come up to every X and every Y as they grow; where one falls, go back past it first", "YES"),
        (f"{_touches(plan, voice)}, spindle turning: {nought('depth', plan.machine.depth)}", "0"),
        (
            f"Dry run, cutter clear: X {voice.length(min(across))} to {voice.length(max(across))}, "
            f"Y {voice.length(min(along))} to {voice.length(max(along))}",
            "CLEAR",
        ),
    ]
    return tuple(rows)  # fmt: skip


def _touches(plan: Plan, voice: Voice) -> str:
    """Return where the cutter touches, by which the depth is set; a tube is round, and its top lies over its axis."""
    if plan.details.tube is None:
        return "Cutter touches the part"
    deepest = min(plan.first.value(stop.first) for stop in plan.stops)
    return f"At X {voice.length(deepest)}, Y 0 the cutter touches the tube's top"


def _ends(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return how long a slot comes out: the line ends at the cutter's axis, and the slot its radius farther."""
    arc, result = plan.details.arc, plan.result
    if arc.side != "on" or arc.whole or not result.scallop:
        return ()
    past = plan.cutter.radius
    more = math.degrees(2 * math.asin(float(past) / 2 / float(arc.radius)))
    return (("Ends", f"round: the slot reaches {voice.length(past)} past either end of the line, {more:.2f}° more"),)


def _through(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return how deep a mitre goes until it is cut through."""
    if plan.details.tube is None:
        return ()
    tube, _, angle = plan.details.tube
    up, down = through(tube, angle, plan.cutter.diameter)
    said = f"{voice.length(up)} from the tube's top"
    if angle != 90:
        said += f" with its far end turned up, {voice.length(down)} at most with it turned down"
    return (("Through", f"{said}; a little more to come out below"),)


def _chord(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return the distance from point to point, for dividers, where it is the same everywhere to a few divisions."""
    places = [(float(plan.first.value(stop.first)), float(plan.second.value(stop.second))) for stop in plan.stops]
    chords = [math.dist(a, b) for a, b in pairwise(places)]
    if not chords or max(chords) - min(chords) > 4 * float(plan.first.division):
        return ()
    arc = plan.details.arc
    spaces = len(places) if arc.whole else len(places) - 1
    return (
        (
            "Chord",
            f"{voice.length(2 * plan.details.way * math.sin(math.radians(float(arc.span)) / spaces / 2))} from point to point, by dividers",
        ),
    )


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what points say about themselves."""
    details, result = plan.details, plan.result
    arc, count = details.arc, len(plan.stops)
    ridge = voice.length(result.scallop)
    what = _what(plan, voice)
    walls = (
        ()
        if arc.side == "on"
        else (("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} square to the line"),)
    )
    return Words(
        size=f"{what}, {count} points",
        head=(
            ("Line", what),
            ("Middle", f"X {voice.length(arc.x)}, Y {voice.length(arc.y)}"),
            ("Cutter", f"{SIDES[arc.side]}; its axis follows radius {voice.length(details.way)}"),
            ("Cut", f"plunged {voice.size(details.depth)} deep at every point, X and Y as listed"),
            *_through(plan, voice),
            *_ends(plan, voice),
        ),
        desk=(
            ("Ridge", f"{ridge} between two points" if result.scallop else "none: the cuts do not touch each other"),
            *walls,
            *_chord(plan, voice),
            ("Worst point", f"{voice.length(details.off, 4)} from the cutter's way, rounded away from the metal that stays" if arc.side != "on" else f"{voice.length(details.off, 4)} from the line"),
            ("Leave", f"{voice.length(plan.leave)} on purpose, everywhere"),
        ),
        set_up=_set_up(plan, voice),
        after=(("Ridge, felt with a nail", f"up to {ridge}"), ("Across the middle, over two opposite places", "write it")),
        cautions=CAUTIONS,
        names=("X", "Y"),
        column="POINTS",
        ticks=("set", "cut"),
    )  # fmt: skip
