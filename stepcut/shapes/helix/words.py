"""The sheet of a helix."""

from __future__ import annotations

from stepcut.cards.sheet import FIRST_LINE, UNIT_WORDS, Dials, Heading, Sheet, common, rows_of, voice_of
from stepcut.plan import Plan

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
