"""A check that is off, in words: what it looks like, the test that tells, and what to do with the rest."""

from __future__ import annotations

from textwrap import wrap

from stepcut.shop.off import Fault
from stepcut.voice import Voice

SPRING = "Go over the last cut once more at the same reading. If it takes metal off, the cutter gave way"


def off_lines(fault: Fault, voice: Voice, width: int) -> list[str]:
    """Return what the readings look like, and what to do; nothing when all is within what readings may be off."""
    by, way = voice.length(abs(fault.by)), "deep" if fault.by > 0 else "shallow"
    again = "take lighter cuts, or go over each twice; the zero is right"
    move = f"set the zero {by} {'higher' if fault.by > 0 else 'deeper'} for the rest"
    texts = {
        "within": [],
        "one": [
            f"Off by {by}, too {way}. One or two readings do not tell why: clean, measure again, then a cut before it.",
            f"{SPRING}: {again}. Bring the handle up again from the working side: if the readout then differs, it is slack.",
        ],
        "zero": [f"All are {by} too deep: the zero is off. Touch off again to be sure; then {move}."],
        "zero-or-deflection": [f"All are {by} too shallow: the zero is off, or the cutter gives way.", f"{SPRING}: {again}. If it only rubs, {move}."],
        "slip": [
            f"Right before cut {fault.since}, {by} too {way} from it on: something slipped, the part, the cutter in its holder or the zero.",
            f"Touch the part again where it was right. If it has moved, true it anew. If not, {move}, and look at the collet.",
        ],
        "grows": [
            f"Off by a share of the depth, {by} too {way} at the deepest: the scale or its unit is off, or the cutter gives way more and more.",
            f"{SPRING}: {again}. If it only rubs, check the scale against a gauge block before going on.",
        ],
        "slack": [
            f"Right at times, up to {by} too shallow at others: slack. Come up to every depth from the same side, and lock.",
            "Bring the handle up again from the working side at the last cut: if the readout then differs, it is that.",
        ],
        "unclear": [f"Off by up to {by}, in no pattern: measure again, clean and at the same places, before anything is changed."],
    }  # fmt: skip
    lines = [line for text in texts[fault.code] for line in wrap(text, width)]
    if fault.by > 0 and fault.code not in ("within", "slack"):
        lines += wrap("A cut too deep: see stepcut recover --cut N --found DEPTH before the next one.", width)
    return lines
