"""After a mistake, in words: what can be left, what lowered, and what another cutter asks for."""

from __future__ import annotations

from stepcut.acts import Card
from stepcut.cards.astray_text import GONE, readings
from stepcut.plan import Plan
from stepcut.routine.new_cutter import touch
from stepcut.shapes import brought
from stepcut.shop.recover import UNSEEN, GoOn, TooDeep, groove_width, uses_up
from stepcut.voice import Voice


def too_deep_lines(damage: TooDeep, n: int, plan: Plan, lowered: str, voice: Voice) -> list[str]:
    """Return the ways on after a cut too deep, the mildest first, each with what it does to the part.

    ``lowered`` is the start depth that cleans up a ramp, or the depth that cleans up a groove.
    """
    if damage.over <= 0:
        return [
            f"Cut {n} is {voice.length(-damage.over)} short of its place, not too deep: nothing is lost. Cut it to its place and go on."
        ]
    if damage.past_end:
        return [
            f"Cut {n} is {voice.length(damage.over)} past its place. It reaches nothing there that is wanted: nothing is lost. Go on as planned."
        ]
    if damage.covered:
        return [f"Cut {n} is {voice.length(damage.over)} past its place; the leave covers it. Go on as planned."]
    head = f"Cut {n} is {voice.length(damage.over)} past its place, {voice.length(damage.below)} below the wanted surface; the leave does not cover it."
    if plan.grooved:
        return [head, *_groove(damage, lowered, voice)]
    if uses_up(plan, damage.lower):
        return [head, f"1. Leave it: a low place of {voice.length(damage.below)} stays there.", f"2. {GONE}"]
    tell = getattr(brought(plan.shape, "mishap_words"), "too_deep", None)
    return [head, *(_others(damage, plan, voice) if tell is None else tell(damage, plan, lowered, voice))]


def _groove(damage: TooDeep, lowered: str, voice: Voice) -> list[str]:
    """Return the ways on in a groove."""
    wide = f"it is about {voice.length(damage.wider)} wider there" if damage.wider > 5e-4 else "its width stays"
    return [
        f"1. Leave it: one deep place of {voice.length(damage.below)} in the floor; {wide}. Way and lead stay. It holds oil; a ball or key that "
        "rides on the floor dips there.",
        f"2. Deepen the whole groove by {voice.length(damage.lower)}, depth {lowered}: every cut from 1 on again, at the same rim and x. Way and "
        f"lead stay; {'it gets about ' + voice.length(damage.wider) + ' wider all along' if damage.wider > 5e-4 else 'its width stays'}, and the "
        "wall under it so much thinner.",
    ]


def _others(damage: TooDeep, plan: Plan, voice: Voice) -> list[str]:
    """Return the ways on of a turned shape or a cam."""
    lower = voice.length(damage.lower)
    leave = f"1. Leave it: a low place of {voice.length(damage.below)} stays there. Go on as planned, and do not file the rest down to it."
    if plan.target.get("side") == "bore":
        return [
            leave,
            f"2. Open everything by {lower} on the radius ({voice.length(2 * damage.lower)} on the diameter).",
        ]
    return [
        leave,
        f"2. Lower everything by {lower} on the radius: every cut from 1 on so much nearer to the axis ({voice.length(2 * damage.lower)} on the "
        "diameter). The angle stays; the part ends so much smaller.",
    ]


def go_on_lines(card: Card, new: Plan, rest: GoOn, begin: int, voice: Voice) -> list[str]:
    """Return what is to do before the first cut with another cutter: clear, touch off, offset, what is recut."""
    old = card.plan
    size = voice.size(new.cutter.diameter)
    tool = new.cutter.kind in ("square", "round")
    lost = (
        "a new tool: z 0 and x are lost with the old one."
        if tool
        else f"a {size} cutter. Its length is another: depth 0 is lost."
    )
    acts = [
        "Tool clear, spindle stopped. Put it in at centre height." if tool
        else "Cutter clear, spindle stopped. Put it in; leave the table's and the slides' zeros as they are.",
        f"Touch off {touch(old.shape, 'as in the set-up')}.",
    ]  # fmt: skip
    before, now = getattr(old.details, "offset", None), getattr(new.details, "offset", None)
    if before is not None and now is not None:
        acts.append(
            f"Offset: it stays {voice.length(now)} downhill."
            if before == now
            else f"Offset changes from {voice.length(before)} to {voice.length(now)} downhill: set it anew before the next cut."
        )
    if begin == 1:
        acts.append("Nothing was cut yet: begin at cut 1.")
    elif rest.anew or rest.changed:  # where the old cutter stood, the new one may take what is wanted
        acts.append("Cut the next one, then stop and measure it: it must be as the new card says. Only then go on.")
    else:
        acts.append(
            f"Go to cut {begin - 1} once more, {readings(card, begin - 1)}, and feed lightly: it must just rub. Only then cut {begin}."
        )
    lines = [f"Go on from cut {begin} with {lost}"]
    lines += [f"{k}. {act}" for k, act in enumerate(acts, 1)]
    lines += _section_changes(old, new, begin, voice)
    if rest.deeper:
        lines.append(f"Recut cut {', '.join(map(str, rest.deeper))}: the new cutter takes more there. Nothing else.")
    elif begin > 1:
        stay = "Cut 1 stays as it is" if begin == 2 else f"Cuts 1 to {begin - 1} stay as they are"
        lines.append(
            f"{stay}. With this cutter the cuts stand elsewhere and are numbered anew; the first ones may find little left to take."
            if rest.anew
            else f"{stay}; nothing is cut again."
        )
    return lines


def _section_changes(old: Plan, new: Plan, begin: int, voice: Voice) -> list[str]:
    """Return what another cutter makes of a groove that the first one has begun: another width at the surface, another floor."""
    if begin == 1:
        return []
    if not old.grooved:
        return _as_wide(old, new, begin, voice)
    lines, (before, after) = [], (groove_width(old), groove_width(new))
    if "width" not in old.target and abs(before - after) > UNSEEN:  # else its walls stay where they are
        lines.append(
            f"THE GROOVE CHANGES ITS WIDTH at cut {begin}, {voice.length(before)} before and {voice.length(after)} after. "
            + ("Cut it from 1 again for one width." if after > before else "It cannot be made narrower again.")
        )
    if old.cutter.kind != new.cutter.kind:
        lines.append(
            f"ITS FLOOR CHANGES at cut {begin}: as a {old.cutter.kind} cutter leaves it before, as a {new.cutter.kind} one after."
        )
    return lines


def _as_wide(old: Plan, new: Plan, begin: int, voice: Voice) -> list[str]:
    """Return that what is cut is as wide as its cutter, where it is so and the cutters differ."""
    tell = getattr(brought(old.shape, "mishap_words"), "as_wide", None)
    what = None if tell is None else tell(old)
    before, after = old.cutter.diameter, new.cutter.diameter
    if what is None or not before or before == after:
        return []
    return [
        f"THE {what.upper()} IS AS WIDE AS ITS CUTTER: {voice.size(before)} up to cut {begin - 1}, {voice.size(after)} from cut {begin} on. "
        + ("Cut from 1 again for one width." if after > before else "What is cut cannot be made narrower again.")
    ]


def left_lines(made: Card, voice: Voice, whole: bool, anew: bool = False) -> list[str]:
    """Return what is left to cut with the new cutter, in short; what spoils the part comes before it.

    ``anew`` says that its cuts have numbers of their own.
    """
    if made.verdict:
        return [f"DO NOT CUT: {made.verdict}"]
    first, second = made.words.names
    at = f"{first} {made.lines[0].first.reads.text}, {second} {made.lines[0].second.reads.text}"
    count = len(made.lines)
    lines = [
        f"Next: cut {made.lines[0].n}{' of the new card' if anew else ''}, {at}. {count} cut{'' if count == 1 else 's'} left; ridge then up to {voice.length(made.plan.result.scallop)}."
    ]
    return lines if whole else [*lines, "Their card: the same command with --all; keep the recipe with --save."]
