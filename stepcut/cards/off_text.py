"""A check that is off, in words: what it looks like, the test that tells, and what to do with the rest."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from textwrap import wrap

from stepcut.acts import Card
from stepcut.plan import Plan
from stepcut.shop.off import CAUSES, Cause, Causes, Code, Fault, Kind, Reading, causes, in_plan
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
            f"{SPRING}: {again}. Bring the handle up again from the working side: if its reading then differs, it is slack.",
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
            "Bring the handle up again from the working side at the last cut: if its reading then differs, it is that.",
        ),
        "unclear": (f"Off by up to {by}, in no pattern: measure again, clean and at the same places, before anything is changed.",),
    }  # fmt: skip
    if deep:
        too_deep = "A cut too deep: see stepcut recover --cut N --found DEPTH before the next one."
        texts = {code: lines if code in ("within", "slack") else (*lines, too_deep) for code, lines in texts.items()}
    return texts


# What is read elsewhere than at depths: what too deep and too shallow mean there, by the kind of the scale.
WAYS = {
    "outside": ("too deep, the part too small", "too shallow, the part too large"),
    "bore": ("too deep, the hole too wide", "too shallow, the hole too narrow"),
    "cam": ("too deep, the rim too low", "too shallow, the rim too high"),
    "groove": ("too far on", "not far enough on"),
}


def slide_texts(kind: Kind, axis: str, by: str, since: str, deep: bool) -> dict[Code, tuple[str, ...]]:
    """Return the sentences of each pattern where a diameter, a height or a place along the work was measured."""
    way = WAYS[kind][0 if deep else 1]
    tool = "cutter" if kind in ("cam", "groove") else "tool"
    spring = (
        f"Go over the last cut once more at the same reading. If it takes metal off, the {tool} or the work gave way"
    )
    again = "take lighter cuts, or go over each twice; the zero is right"
    reads = "more" if deep == (kind in ("bore", "groove")) else "less"
    move = f"set {axis} to read {by} {reads} than it does"
    back = "Bring the handle up again from the working side at the last cut: if its reading then differs, it is slack."
    texts: dict[Code, tuple[str, ...]] = {
        "within": (),
        "one": (
            f"Off by {by}, {way}. One or two readings do not tell why: clean, measure again, then a cut before it.",
            back if kind == "groove" else f"{spring}: {again}. {back}",
        ),
        "zero": (f"All are {by} {way}: the zero is off. Measure again to be sure; then {move}.",),
        "zero-or-deflection": (f"All are {by} {way}: the zero is off, or the {tool} gives way.", f"{spring}: {again}. If it only rubs, {move}."),
        "slip": (
            f"Right before cut {since}, {by} {way} from it on: something slipped, the part, the {tool} or the zero.",
            f"Measure again where it was right, without moving anything. If that is off now, the part moved: true it anew. If not, {move}.",
        ),
        "grows": (
            f"Off by a share of how far in the cut is, {by} {way} at the deepest: the scale or its unit is off"
            + ("." if kind == "groove" else f", or the {tool} gives way more and more."),
            "Check the scale against a gauge block before going on." if kind == "groove"
            else f"{spring}: {again}. If it only rubs, check the scale against a gauge block before going on.",
        ),
        "slack": (f"Right at times, up to {by} too shallow at others: slack. Come up to every reading from the same side, and lock.", back),
        "back": (f"{by} {way} wherever {axis} came from one side, right from the other: slack. Go past and come up from the same side, and lock.", back),
        "along": (
            f"Off in a straight line along z, {by} from one end to the other: the {tool} slide or the tailstock stands askew, or the work gives way at its free end.",
            "Go over both ends once more at the same readings. Metal off at the free end only: it gives way; take lighter cuts, or support it. "
            "If it only rubs, run an indicator along the work: what slipped or was set over wrong is set again, and locked.",
        ),
        "turn": (
            f"Off as much as the rim is steep, right where it is level: the part stands {by} {'behind' if deep else 'ahead'}, seen as the table is turned.",
            f"See whether the part's mark meets the rim's zero. If not, it slipped: turn the table {by} {'further on' if deep else 'back'} at a cut, and set the rim to read what it read.",
            "Where all cuts stand so, the rim is right in itself, and only the part's mark stands elsewhere.",
        ),
        "unclear": (f"Off by up to {by}, in no pattern: measure again, clean and at the same places, before anything is changed.",),
    }  # fmt: skip
    texts["turn-since"] = (
        f"Right before cut {since}. From it on: " + texts["turn"][0],
        texts["turn"][1],
        f"What those cuts took where they stood: stepcut recover --slipped N, with the cut before {since} as N.",
    )
    if deep and kind != "groove":
        too_deep = "A cut too deep: see stepcut recover --cut N --found READING before the next one."
        held = ("within", "slack", "along", "turn", "turn-since")
        texts = {code: lines if code in held else (*lines, too_deep) for code, lines in texts.items()}
    return texts


ALSO = "It may be this as well: "

# On a page that has no plan in it: after the test told the cause.
ANEW = (
    "Zero set as said? Press Set right: the readings that follow hold; cuts too shallow by it are made once more (List). Or every reading anew, at the desk: List, Log, Save the file; "
    "stepcut log read-back FILE, then stepcut recover --job N --off {causes}."
)


def texts_of(about: Causes, axis: str, by: str, since: str, deep: bool) -> dict[Code, tuple[str, ...]]:
    """Return the sentences of each pattern for a kind of scale."""
    if about.kind == "depth":
        return off_texts(by, since, deep)
    return slide_texts(about.kind, axis, by, since, deep)


def causes_of(kind: Kind) -> tuple[Cause, ...]:
    """Return the causes that are told of a kind of scale."""
    left_out: dict[Kind, tuple[Cause, ...]] = {
        "depth": ("slack", "askew", "angle"),
        "outside": ("angle",),
        "bore": ("angle",),
        "cam": ("askew",),
        "groove": ("askew", "angle", "deflection"),
    }
    return tuple(cause for cause in CAUSES if cause not in left_out[kind])


def anew_text(kind: Kind) -> str:
    """Return what a page says after what readings look like."""
    first, *others = causes_of(kind)
    return ANEW.format(causes=f"{first} (or {', '.join(others)})")


def off_lines(
    fault: Fault, voice: Voice, width: int, about: Causes | None = None, second: tuple[str, bool] = ("depth", False)
) -> list[str]:
    """Return what the readings look like, and what to do; nothing when all is within what readings may be off.

    Parameters
    ----------
    about : Causes or None
        How causes act in the plan; None for depths.
    second : (str, bool)
        What the second scale is called, and whether it shows diameters.
    """
    lines: list[str] = []
    for k, each in enumerate((fault, *fault.also)):
        by = f"{abs(each.by):.2f}°" if each.code in ("turn", "turn-since") else said(each.by, voice, second[1])
        texts = texts_of(about or Causes("depth", 1, {}), second[0], by, str(each.since), each.deep)[each.code]
        if k:
            texts = (ALSO + texts[0], *texts[1:])
        lines += [line for text in texts for line in wrap(text, width)]
    return lines


def said(mm: float, voice: Voice, doubled: bool) -> str:
    """Return an amount, on the diameter where the scale shows one."""
    return f"{voice.length(2 * abs(mm))} on the diameter" if doubled else voice.length(abs(mm))


def lines_of(plan: Plan, card: Card, readings: Sequence[Reading], voice: Voice, width: int) -> list[str]:
    """Return what the readings of a job look like, and the test that tells; nothing while none is off."""
    found = in_plan(plan, readings)
    if found is None:
        return []
    return off_lines(found, voice, width, causes(plan), (card.words.names[1], plan.second.doubled))


# What readings look like that a cause may stand behind, and what it is called.
FITS: dict[Cause, tuple[str, ...]] = {
    "zero": ("one", "zero", "zero-or-deflection"), "slip": ("one", "slip"), "scale": ("one", "grows"),
    "deflection": ("one", "zero-or-deflection", "grows", "along"),
    "slack": ("one", "slack", "back"), "askew": ("along",), "angle": ("turn", "turn-since"),
}  # fmt: skip
CALLED: dict[Cause, str] = {
    "zero": "zero that is off",
    "slip": "slip",
    "scale": "scale that is off",
    "deflection": "cutter that gives way",
    "slack": "slack",
    "askew": "slide or tailstock that stands askew",
    "angle": "part that slipped round",
}
HOLD: dict[Cause, str] = {
    "deflection": "The cutter gives way: the card's readings hold. Go over each cut twice at the same reading, from the cuts that are shallow on; "
    "and take the rest in lighter passes.",
    "slack": "Slack: the card's readings hold. Go past each reading and come up to it from the same side as the cuts that are right, then lock; "
    "make the cuts that are shallow once more that way.",
    "askew": "Something stands askew: the card's readings hold once it is true. Set it by an indicator along the work, lock it, touch off anew, "
    "and make the cuts that are shallow once more, from the first.",
}


def anew_lines(
    card: Card, found: Fault, cause: Cause, rows: list[tuple[int, Fraction]], voice: Voice, by: float, made: int = 0
) -> list[str]:
    """Return what the cuts that are left must read, for a cause that the test told: either the zero is set, or each reading.

    ``by`` is what the cause makes off: mm found more than wanted, or degrees; ``made`` is the last cut that is made.
    """
    plan, angle = card.plan, cause == "angle"
    lines: list[str] = []
    if found.code == "unclear" and not found.also:
        return [
            "Nothing can be set by readings in no pattern: a reading written down anew at a cut replaces the one before."
        ]
    if not {each.code for each in (found, *found.also)} & set(FITS[cause]):
        lines.append(f"The readings do not look like a {CALLED[cause]}: be sure of the test before you go by this.")
    if cause in HOLD:
        return [*lines, HOLD[cause]]
    if not rows:
        return [*lines, "No cut is left."]
    lines.append(_set_right(card, cause, by, voice))
    again = [n for n, _ in rows if n <= made]
    if again:
        which = f"Cut {again[0]} stands" if len(again) == 1 else f"Cuts {again[0]} to {again[-1]} stand"
        lines.append(
            f"{which} too shallow by it: make {'it' if len(again) == 1 else 'them'} once more, in order, as they stand here."
        )
    doubled = plan.second.doubled and not angle
    head = ("cut", card.words.names[0], *(() if angle else ("card",)), "set")
    table = [head]
    for n, value in rows:
        line = card.lines[n - 1]
        on_card = (line.first.reads.text,) if angle else (line.first.reads.text, line.second.reads.text)
        table.append(
            (str(n), *on_card, f"{_rim(card, value):.2f}°" if angle else _plain(2 * value if doubled else value, voice))
        )
    wide = [max(len(row[k]) for row in table) for k in range(len(head))]
    lines += ["  ".join(text.rjust(w) for text, w in zip(row, wide, strict=True)) for row in table]
    both = "One or the other, never both. " if cause != "scale" else ""
    return [*lines, f"{both}Measure the first of them before the second."]


def _set_right(card: Card, cause: Cause, by: float, voice: Voice) -> str:
    """Return the sentence before the readings: what is set once instead, where anything can be."""
    second, plan = card.words.names[1], card.plan
    if cause == "scale":
        return "The scale is off by a share of the depth. Set instead of the card's readings:"
    if cause == "angle":
        on = "further on" if by > 0 else "back"
        return (
            f"Turn the table {abs(by):.2f}° {on} at a cut, and set the rim to read what it read: the card's readings then hold for all "
            "that is left. Or leave it, and set instead:"
        )
    if plan.axes[1] == "depth":
        way = f"{voice.length(abs(by))} {'higher' if by > 0 else 'deeper'}"
        return f"Set the zero of {second} {way}: the card's readings then hold for all that is left. Or leave it, and set instead:"
    way = f"{said(by, voice, plan.second.doubled)} {'more' if by > 0 else 'less'}"
    return f"Set {second} to read {way} than it does: the card's readings then hold for all that is left. Or leave it, and set instead:"


def _rim(card: Card, value: Fraction) -> float:
    """Return what the rim reads at a place round the table, degrees."""
    table = card.plan.machine.table
    assert table is not None  # noqa: S101  # an angle is told of a table alone
    return float(value if card.plan.turning == table.counts_up else -value) % 360.0


def _plain(value: Fraction, voice: Voice) -> str:
    """Return a reading without its unit, as the card has them."""
    return voice.length(value).split(" ")[0]
