"""The sheet of a face scroll."""

from __future__ import annotations

from stepcut.acts import FIRST_LINE, Words
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice

CYCLE = "Helix"  # table and slide to their places, down to the depth, up


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a face scroll says about itself."""
    scroll, result = plan.details, plan.result
    radii = f"radius {voice.size(scroll.begin)} to {voice.size(scroll.end)}, {voice.size(scroll.pitch)} a turn"
    return Words(
        size=f"face scroll, {radii}",
        head=(("Groove", f"{radii}, {voice.size(scroll.depth)} deep"), ("Cut", "table flat, end of the cutter plunged")),
        desk=(("Ridges", f"walls {voice.length(result.scallop)}"), ("To file", voice.volume(result.volume))),
        set_up=(
            (f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)),
            ("Disc true on the table, table flat", "TRUE"),
            ("Cutter axis over the table's axis: x", "0"),
            (f"Table turns, seen from above (the rim reading {'falls' if dials.counts_down else 'grows'})", f"{plan.turning.upper()} only"),
            ("Cutter touches the face, spindle turning: depth and its dial", "0"),
        ),
        after=(("Groove depth", voice.size(scroll.depth)), ("Groove width", voice.size(plan.cutter.diameter))),
        cautions=(
            FIRST_LINE,
            "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
            "Table and slide locked before every cut; cutter raised clear before either moves.",
            "Run the whole groove dry first: clamps clear of the cutter.",
        ),
        names=("rim", "x"),
        column="SCROLL",
        ticks=("moved", "cut"),
    )  # fmt: skip
