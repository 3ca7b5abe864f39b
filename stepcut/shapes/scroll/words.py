"""The sheet of a face scroll."""

from __future__ import annotations

import math

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice, nought

CYCLE = "Helix"  # table and slide to their places, down to the depth, up
TOUCH = "on the face beside the groove, and set depth 0 there"  # where another cutter is set to nought
ALONG = "pitch", "along a ray"  # what its way advances in one turn, and where to
TAKEN_DOWN = "face this one off below the groove when it may be thinner"
BACKS = True  # a groove begins behind the end of the one before, and its line says so
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Table and slide locked before every cut; cutter raised clear before either moves.",
    "Run the whole groove dry first, so that no clamp, stud or handle meets cutter or spindle.",
    "Stop the spindle before you measure or brush chips; never use fingers.",
)


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    scroll = plan.details.scroll
    come_up = "from outside, x falling" if plan.second.comes_up == "falls" else "from inside, x growing"
    first = voice.length(plan.second.value(plan.stops[0].second))
    way = f"{float(scroll.sweep):.1f}° of table, X {first} to {voice.length(plan.second.value(plan.stops[-1].second))}"
    return (
        (f"Cutter, {plan.cutter.kind}, cutting to its centre, measured ________", voice.size(plan.cutter.diameter)),
        ("Disc clamped on centre, face true; clamps clear", "TRUE"),
        ("Table centre under the spindle: X and Y", "0"),
        ("Y stays at 0, locked", "LOCKED"),
        dials.way("from above"),
        (f"x grows outward; up to every x {come_up}", "YES"),
        (f"Groove 1 start to 3 o'clock, the working way: {dials.nought}", "0"),
        (f"Cutter touches the face, spindle turning: {nought('depth', plan.machine.depth)}", "0"),
        (f"Dry run of a groove, spindle stopped, cutter clear: {way}, then to its beginning the working way", "CLEAR"),
        (f"Skim cuts 1, 2, groove 1's last: it runs outward {scroll.winds.upper()}", "YES"),
    )  # fmt: skip


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a face scroll says about itself."""
    details, result = plan.details, plan.result
    scroll = details.scroll
    several = f"{scroll.starts} grooves" if scroll.starts > 1 else "1 groove"
    radii = f"radius {voice.size(scroll.begin)} to {voice.size(scroll.end)}, {voice.size(scroll.pitch)} a turn"
    land = (
        "nothing beside it"
        if math.isinf(details.land)
        else f"{voice.length(details.land)} between its turns, least where it begins"
    )
    deep = voice.length(scroll.depth - details.over)
    return Words(
        size=f"face scroll, {radii}, {voice.size(scroll.depth)} deep",
        head=(
            ("Groove", f"{radii}; {several}"),
            ("Depth", f"{voice.size(scroll.depth)}; {voice.length(details.width)} wide at the face"),
            ("Winds", f"outward {scroll.winds.upper()}, seen facing it"),
            ("Cut", "table flat, cutter plunged, table and X moved between"),
        ),
        desk=(
            ("Land", land),
            ("Leave", f"{voice.length(plan.leave)} on the floor; the walls are as the cutter leaves them"),
            ("Ridges", f"wall {voice.length(details.ridges.wall)}, floor {voice.length(details.ridges.floor)}"),
            ("Off the spiral", f"at most {voice.length(details.path_error)}, by the slide's divisions"),
            ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} on the floor; {voice.volume(result.volume)} with the walls"),
        ),
        set_up=_set_up(plan, voice, dials),
        after=(
            ("Groove depth, as cut", deep),
            ("Groove width at the face", voice.length(details.width)),
            ("Pitch: from turn to turn along one ray", voice.size(scroll.pitch)) if scroll.sweep > 360 else ("Radius where it ends", voice.length(plan.second.value(plan.stops[-1].second))),
            ("Edges of the groove deburred", "YES"),
        ),
        cautions=CAUTIONS,
        names=("rim", "x"),
        column="GROOVE",
        ticks=("moved", "cut"),
    )  # fmt: skip
