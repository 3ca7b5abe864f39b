"""The sheet of a helix."""

from __future__ import annotations

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.shapes.helix.left import Ridges
from stepcut.voice import Dials, Voice

CYCLE, DRAWING = "Helix", "cylinder"
TOUCH = "on the cylinder beside the groove, and set depth 0 there"  # where another cutter is set to nought
BACKS = True  # a cut may begin behind the end of the last one, and its line says so

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Table and slide locked before every cut; cutter raised clear before either moves.",
    "Run the whole groove dry first: table on edge, clamps, tailstock and cutter clear to both ends.",
    "Stop the spindle before you measure or brush chips; never use fingers.",
)


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    helix = plan.details.helix
    reading = "falls" if dials.counts_down else "grows"
    come_up = "the OTHER way, x falling" if plan.second.comes_up == "falls" else "that way"
    sweep = f"{float(helix.sweep):.1f}° of table, {voice.size(helix.length)} of slide"
    return (
        (f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)),
        ("Table on edge; cylinder true between table and tailstock, on one height", "TRUE"),
        ("Cutter axis over the axis of the cylinder: Y locked at", "0"),
        (f"Table turns as you face it (the rim reading {reading})", f"{plan.turning.upper()} only"),
        (f"As x grows the cutter goes along the work from the table toward the tailstock; come up to every x {come_up}", "YES"),
        ("Beginning of groove 1, at the table's end, under the cutter; come up to both the working way: rim, x and dials", "0"),
        ("Cutter touches the top of the cylinder, spindle turning: depth and its dial", "0"),
        (f"Dry run of a whole groove, spindle stopped, cutter clear: {sweep}; back to 0 the working way", "CLEAR"),
        (f"Cuts 1, 2 and the last of groove 1: skim first, and see that the groove is {helix.hand.upper()} hand", "YES"),
    )  # fmt: skip


def _ridges(ridges: Ridges, voice: Voice) -> str:
    """Return the ridges of wall and floor, and of the corner between where it is higher."""
    found = f"wall {voice.length(ridges.wall)}, floor {voice.length(ridges.floor)}"
    return found + (f", corner between {voice.length(ridges.corner)}" if ridges.corner else "")


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a helix says about itself."""
    helix, ridges, result = plan.details.helix, plan.details.ridges, plan.result
    several = f"{helix.starts} grooves" if helix.starts > 1 else "groove"
    return Words(
        size=f"{voice.size(helix.diameter)} diameter · {several} {voice.size(helix.depth)} deep, lead {voice.size(helix.lead)}",
        head=(
            ("Cylinder", f"{voice.size(helix.diameter)} diameter, groove {voice.size(helix.depth)} deep, {voice.size(helix.length)} long"),
            ("Lead", f"{voice.size(helix.lead)} a turn; groove {90 - helix.angle:.2f}° from square to the axis"),
            ("Grooves", f"{helix.starts}, {helix.hand.upper()} hand"),
            ("Cut", "table on edge, cutter over the top of the cylinder"),
        ),
        desk=(
            ("Ridges", _ridges(ridges, voice)),
            ("Off the helix", f"at most {voice.length(plan.details.path_error)}, by the slide's divisions"),
            ("To file", f"mean {voice.length(result.stock_mean)} on the floor; {voice.volume(result.volume)} with the walls"),
        ),
        set_up=_set_up(plan, voice, dials),
        after=(
            ("Groove depth", voice.size(helix.depth)),
            ("Groove width", voice.size(plan.cutter.diameter)),
            ("Edges of the groove deburred", "YES"),
        ),
        cautions=CAUTIONS,
        names=("rim", "x"),
        column="GROOVE",
        ticks=("moved", "cut"),
    )  # fmt: skip
