"""The sheet of a groove on a circle."""

from __future__ import annotations

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice, nought

CYCLE = "Plunge"  # turn, lock, down to the depth, up
TOUCH = "on the face beside the groove, and set depth 0 there"  # where another cutter is set to nought
DEPTH_READ = True  # what its cuts are measured for is the depth
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Table locked before every cut; cutter up clear before the table turns.",
    "Turn the whole groove dry first, so that no clamp, stud or handle meets cutter or spindle.",
)


def _line(plan: Plan, voice: Voice) -> str:
    groove, wanted = plan.details.groove, plan.details.groove.wanted
    if groove.targets:
        depths = [depth for _, depth in groove.targets]
        return f"{voice.size(min(depths))} to {voice.size(max(depths))} deep through {len(depths)} points, over {voice.degrees(groove.span)}"
    motion = "" if groove.motion == "uniform" else f", {groove.motion}"
    deep = f"{voice.size(wanted.start)} to {voice.size(wanted.floor)} deep"
    return f"{deep} over {voice.degrees(groove.span)}{motion}"


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    stops = plan.stops
    places = " ".join(dials.rim(stop.first) for stop in dict.fromkeys([stops[0], stops[len(stops) // 2], stops[-1]]))
    return (
        (f"Cutter, {plan.cutter.kind}, cutting to its centre, measured ________", voice.size(plan.cutter.diameter)),
        ("Part clamped on centre, face true; clamps clear", "TRUE"),
        ("Table centre under the spindle: X and Y", "0"),
        ("Y 0, locked. Cutter axis over circle, X locked: X", voice.length(plan.details.groove.radius)),
        dials.way("facing it"),
        (f"Groove 1 start to 3 o'clock, the working way: {dials.nought}", "0"),
        (f"Cutter touches the face, spindle turning: {nought('depth', plan.machine.depth)}", "0"),
        (f"Dry run, cutter clear: rim {places}", "CLEAR"),
        ("Cuts 1 and 2: skim only, then measure; then to depth", "YES"),
    )


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a groove says about itself."""
    details, result = plan.details, plan.result
    groove = details.groove
    several = f"{groove.count} grooves" if groove.count > 1 else "1 groove"
    size = f"{several} on a {voice.size(groove.circle)} circle, {_line(plan, voice)}"
    deepest = max(plan.stops, key=lambda stop: stop.second)
    return Words(
        size=size,
        head=(
            ("Circle", f"{voice.size(groove.circle)} diameter, {several}"),
            ("Groove", _line(plan, voice)),
            ("Width", f"{voice.length(details.width)} at the face, where it is deepest"),
            ("Cut", "table flat, cutter plunged over the circle"),
        ),
        desk=(
            ("Land", f"{voice.length(details.land)} between neighbours, on the circle" if groove.count > 1 else f"{voice.length(details.land)} from its end round to its beginning"),
            ("Leave", f"{voice.length(plan.leave)} on purpose, everywhere"),
            ("Scallop", f"{voice.length(result.scallop)} along its middle, {voice.length(details.wall)} on its walls"),
            ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} along its middle; {voice.volume(result.volume)}"),
        ),
        set_up=_set_up(plan, voice, dials),
        after=(
            (f"Depth of the middle, at rim {dials.rim(deepest.first)}", voice.length(plan.second.value(deepest.second))),
            ("Width at the face, where it is deepest", voice.length(details.width)),
        ),
        cautions=CAUTIONS,
        names=("rim", "depth"),
        column="GROOVE",
    )  # fmt: skip
