"""A check that is off, in words: what it looks like, the test that tells, and what to do with the rest."""

from __future__ import annotations

from fractions import Fraction
from textwrap import wrap

from stepcut.acts import Card
from stepcut.shop.off import Cause, Code, Fault
from stepcut.voice import Voice

SPRING = "Go over the last cut once more at the same reading. If it takes metal off, the cutter gave way"


def off_texts(by: str, since: str, deep: bool) -> dict[Code, tuple[str, ...]]:
    """Return the sentences of each pattern, for an amount and a cut that are said so."""
    way = "deep" if deep else "shallow"
    again = "take lighter cuts, or go over each twice; the zero is right"
    move = f"set the zero {by} {'higher' if deep else 'deeper'} for the rest"
    texts: dict[Code, tuple[str, ...]] = {
        "within": (),
        "one": (
            f"Off by {by}, too {way}. One or two readings do not tell why: clean, measure again, then a cut before it.",
            f"{SPRING}: {again}. Bring the handle up again from the working side: if the readout then differs, it is slack.",
        ),
        "zero": (f"All are {by} too deep: the zero is off. Touch off again to be sure; then {move}.",),
        "zero-or-deflection": (f"All are {by} too shallow: the zero is off, or the cutter gives way.", f"{SPRING}: {again}. If it only rubs, {move}."),
        "slip": (
            f"Right before cut {since}, {by} too {way} from it on: something slipped, the part, the cutter in its holder or the zero.",
            f"Touch the part again where it was right. If it has moved, true it anew. If not, {move}, and look at the collet.",
        ),
        "grows": (
            f"Off by a share of the depth, {by} too {way} at the deepest: the scale or its unit is off, or the cutter gives way more and more.",
            f"{SPRING}: {again}. If it only rubs, check the scale against a gauge block before going on.",
        ),
        "slack": (
            f"Right at times, up to {by} too shallow at others: slack. Come up to every depth from the same side, and lock.",
            "Bring the handle up again from the working side at the last cut: if the readout then differs, it is that.",
        ),
        "unclear": (f"Off by up to {by}, in no pattern: measure again, clean and at the same places, before anything is changed.",),
    }  # fmt: skip
    if deep:
        too_deep = "A cut too deep: see stepcut recover --cut N --found DEPTH before the next one."
        texts = {code: lines if code in ("within", "slack") else (*lines, too_deep) for code, lines in texts.items()}
    return texts


# On a page that has no plan in it: after the test told the cause.
ANEW = (
    "Zero set as said? Press Set right: the readings that follow hold. Or every reading anew, at the desk: List, Log, Save the file; "
    "stepcut log read-back FILE, then stepcut recover --job N --off zero (or slip, scale, deflection)."
)


def off_lines(fault: Fault, voice: Voice, width: int) -> list[str]:
    """Return what the readings look like, and what to do; nothing when all is within what readings may be off."""
    texts = off_texts(voice.length(abs(fault.by)), str(fault.since), fault.by > 0)
    return [line for text in texts[fault.code] for line in wrap(text, width)]


# What readings look like that a cause may stand behind, and what it is called.
FITS: dict[Cause, tuple[str, ...]] = {
    "zero": ("one", "zero", "zero-or-deflection"), "slip": ("one", "slip"), "scale": ("one", "grows"), "deflection": ("one", "zero-or-deflection", "grows"),
}  # fmt: skip
CALLED: dict[Cause, str] = {
    "zero": "zero that is off",
    "slip": "slip",
    "scale": "scale that is off",
    "deflection": "cutter that gives way",
}


def anew_lines(card: Card, found: Fault, cause: Cause, rows: list[tuple[int, Fraction]], voice: Voice) -> list[str]:
    """Return what the cuts that are left must read, for a cause that the test told: either the zero is set, or each reading."""
    second = card.words.names[1]
    lines: list[str] = []
    if cause == "deflection":
        return [
            "The cutter gives way: the card's readings hold. Go over each cut twice at the same reading, from the cuts that are shallow on; "
            "and take the rest in lighter passes."
        ]
    if not rows:
        return ["No cut is left."]
    if found.code not in FITS[cause]:
        lines.append(f"The readings do not look like a {CALLED[cause]}: be sure of the test before you go by this.")
    by = voice.length(abs(found.by))
    if cause in ("zero", "slip"):
        way = "higher" if found.by > 0 else "deeper"
        lines.append(
            f"Set the zero of {second} {by} {way}: the card's readings then hold for all that is left. Or leave it, and set instead:"
        )
    else:
        lines.append("The scale is off by a share of the depth. Set instead of the card's readings:")
    head = ("cut", card.words.names[0], "card", "set")
    table = [
        head,
        *(
            (str(n), card.lines[n - 1].first.reads.text, card.lines[n - 1].second.reads.text, _plain(value, voice))
            for n, value in rows
        ),
    ]
    wide = [max(len(row[k]) for row in table) for k in range(4)]
    lines += ["  ".join(text.rjust(w) for text, w in zip(row, wide, strict=True)) for row in table]
    both = "One or the other, never both. " if cause != "scale" else ""
    return [*lines, f"{both}Measure the first of them before the second."]


def _plain(value: Fraction, voice: Voice) -> str:
    """Return a reading without its unit, as the card has them."""
    return voice.length(value).split(" ")[0]
