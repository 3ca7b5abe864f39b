"""The sheet of a helix."""

from __future__ import annotations

from stepcut.acts import Fact, Heading, Words
from stepcut.cards.sheet import FIRST_LINE, UNIT_WORDS, Sheet, common, rows_of
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice, voice_of

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Table and slide locked before every cut; cutter raised clear before either moves.",
    "Run the whole groove dry first: table on edge, clamps, tailstock and cutter clear to both ends.",
    "Stop the spindle before you measure or brush chips; never use fingers.",
)


def sheet(plan: Plan, heading: Heading) -> Sheet:
    """Return the sheet of a helix."""
    voice = voice_of(plan.machine, heading.unit)
    helix = plan.facts["helix"]
    dials = Dials(plan, voice.unit)
    ridges = plan.facts["ridges"]
    facts = [
        (
            "Cylinder",
            f"{voice.size(helix.diameter)} DIAMETER, groove {voice.length(helix.depth)} deep, {voice.length(helix.length)} long",
        ),
        (
            "Lead",
            f"{voice.length(helix.lead)} a turn; helix angle {helix.angle:.3f}° from the axis; {float(helix.sweep):.2f}° of table end to end",
        ),
        ("Grooves", f"{helix.starts}, {helix.hand.upper()} hand"),
        (
            "Table turns",
            f"{plan.turning.upper()} as you face it, while the slide carries the work away from you; only this way",
        ),
        ("Machine", f"{plan.machine.name}; table on edge; units {UNIT_WORDS[voice.unit].upper()}"),
        ("Cutter", f"{voice.size(plan.cutter.diameter)} {plan.cutter.kind}, over the top of the cylinder"),
        ("Ridges", f"wall {voice.length(ridges.wall)}, floor {voice.length(ridges.floor)}"),
        (
            "Off the helix",
            f"a stop stands at most {voice.length(plan.facts['path_error'])} off, by the slide's divisions",
        ),
        ("Table swing", f"{helix.angle:.2f}° only for a disc cutter; none for an end mill over the top"),
        (
            "To file",
            f"mean {voice.length(plan.result.stock_mean)} on the floor; {voice.volume(plan.result.volume)} with the walls",
        ),
    ]
    if heading.note:
        facts.append(("Note", heading.note))
    return Sheet(
        **common(plan, heading, voice),
        facts=tuple(facts),
        zero=(
            "Rim 0 and X 0: the beginning of groove 1, at its table end, under the cutter.",
            "Cutter AXIS over the axis of the cylinder; depth from the top of the cylinder.",
        ),
        before=(
            "Cylinder true between table and tailstock, on centre height.",
            f"Depth {voice.length(helix.depth)} set at every stop: down, cut, up, then move.",
            f"Dry run of a whole groove, cutter clear: {float(helix.sweep):.1f}° of table and {voice.length(helix.length)} of slide.",
            "Approach every position from the same side, table and slide.",
        ),
        titles=("rim", "crank", "x", "x change", "handle"),
        ticks=("moved", "cut"),
        rows=rows_of(plan, dials, ("rim", "x")),
        after=(
            ("Groove depth", voice.length(helix.depth)),
            ("Groove width", voice.size(plan.cutter.diameter)),
            ("Cutter used, its measured size", voice.size(plan.cutter.diameter)),
            ("How the part sat in the holding", "sketch or photo"),
        ),
        cautions=CAUTIONS,
    )


# --- the card's words ----------------------------------------------------------------------------------------


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    helix = plan.facts["helix"]
    reading = "falls" if dials.counts_down else "grows"
    sweep = f"{float(helix.sweep):.1f}° of table, {voice.size(helix.length)} of slide"
    return (
        (f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)),
        ("Table on edge; cylinder true between table and tailstock, on one height", "TRUE"),
        ("Cutter axis over the axis of the cylinder: Y locked at", "0"),
        (f"Table turns as you face it (the rim reading {reading})", f"{plan.turning.upper()} only"),
        ("Slide carries the work away from you as x grows; come up to every x that way", "YES"),
        (
            "Beginning of groove 1, at the table's end, under the cutter, come up to both the working way: rim, x and dials",
            "0",
        ),
        ("Cutter touches the top of the cylinder, spindle turning: depth and its dial", "0"),
        (f"Dry run of a whole groove, cutter clear: {sweep}", "CLEAR"),
        ("Cuts 1 and 2: skim only, look that the groove goes the right way", "YES"),
    )


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a helix says about itself."""
    helix, ridges, result = plan.facts["helix"], plan.facts["ridges"], plan.result
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
            ("Ridges", f"wall {voice.length(ridges.wall)}, floor {voice.length(ridges.floor)}"),
            ("Off the helix", f"at most {voice.length(plan.facts['path_error'])}, by the slide's divisions"),
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
