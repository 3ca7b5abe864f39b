"""After a mistake, in words: what can be left, what lowered, and what another cutter asks for."""

from __future__ import annotations

from fractions import Fraction

from stepcut.plan import Plan
from stepcut.routine.new_cutter import TOUCH
from stepcut.shop.recover import GoOn, TooDeep
from stepcut.voice import Voice


def too_deep_lines(damage: TooDeep, n: int, plan: Plan, start: str, voice: Voice) -> list[str]:
    """Return the ways on after a cut too deep, the mildest first; ``start`` is the start depth that cleans up a ramp."""
    if damage.past_end:
        return [
            f"Cut {n} is {voice.length(damage.over)} past its place, past the low end of its ramp, in the run-out. Nothing is lost. Go on as planned."
        ]
    if damage.covered:
        return [f"Cut {n} is {voice.length(damage.over)} past its place; the leave covers it. Go on as planned."]
    head = f"Cut {n} is {voice.length(damage.over)} past its place, {voice.length(damage.below)} below the wanted surface; the leave does not cover it."
    if plan.shape != "ramp":
        return [
            head,
            f"1. Leave it: a low place of {voice.length(damage.below)} stays there. Go on as planned, and do not file the rest down to it.",
            f"2. Lower everything by {voice.length(damage.lower)} on the radius: every cut from 1 on so much nearer to the axis "
            f"({voice.length(2 * damage.lower)} on the diameter). The part ends so much smaller." if plan.target.get("side") != "bore" else
            f"2. Open everything by {voice.length(damage.lower)} on the radius ({voice.length(2 * damage.lower)} on the diameter).",
        ]  # fmt: skip
    low, end = damage.stretch
    lines = [
        head,
        f"1. Leave it: the ramp keeps its height, and {100 * damage.lost:.0f} % of the faces never touches, from {voice.degrees(round(low, 1))} to "
        f"{voice.degrees(round(end, 1))} past its high end. The blue stays away from there; do not file the rest down to it.",
    ]
    if not plan.details.ramp.targets:
        lines += [
            f"2. Lower this part by {voice.length(damage.lower)}: start-depth {start}, every cut {voice.length(damage.lower)} deeper. The rise stays "
            f"as it is, and the handle turns {damage.turn:.1f}° further for the same clamping.",
            f"3. Lower the mate by the same too: the handle then turns {2 * damage.turn:.1f}° further. Rise and hold stay as they are.",
        ]
    else:
        lines.append(f"2. Lower this part by {voice.length(damage.lower)}: add it to every depth of the targets.")
    return lines


def go_on_lines(old: Plan, new: Plan, rest: GoOn, begin: int, voice: Voice) -> list[str]:
    """Return what is to do before the first cut with another cutter: clear, touch off, offset, what is recut."""
    size = voice.size(new.cutter.diameter)
    tool = new.cutter.kind in ("square", "round")
    lost = (
        "a new tool: z 0 and x are lost with the old one."
        if tool
        else f"a {size} cutter. Its length is another: depth 0 is lost."
    )
    put_in = (
        "1. Tool clear, spindle stopped. Put it in at centre height."
        if tool
        else "1. Cutter clear, spindle stopped. Put it in; leave the table's and the slides' zeros as they are."
    )
    lines = [
        f"Go on from cut {begin} with {lost}",
        put_in,
        f"2. Touch off {TOUCH.get(old.shape, 'as in the set-up')}.",
    ]
    before, now = getattr(old.details, "offset", None), getattr(new.details, "offset", None)
    if before is not None and now is not None:
        lines.append(
            f"3. Offset: it stays {voice.length(now)} downhill."
            if before == now
            else f"3. Offset changes from {voice.length(before)} to {voice.length(now)} downhill: set it anew before the next cut."
        )
    number = len(lines)
    check = (
        f"Go to cut {begin - 1} once more and feed lightly: it must just rub. Only then cut {begin}."
        if begin > 1
        else "Nothing was cut yet."
    )
    lines.append(f"{number}. {check}")
    if old.shape == "helix" and new.cutter.diameter != old.cutter.diameter and begin > 1:
        lines.append(
            f"THE GROOVE CHANGES ITS WIDTH at cut {begin}, {voice.size(old.cutter.diameter)} before and {size} after. "
            + (
                "Cut it from 1 again for one width."
                if new.cutter.diameter > old.cutter.diameter
                else "It cannot be made narrower again."
            )
        )
    if rest.deeper:
        lines.append(f"Recut cut {', '.join(map(str, rest.deeper))}: the new cutter takes more there. Nothing else.")
    elif begin > 1:
        lines.append(f"Cuts 1 to {begin - 1} stay as they are; nothing is cut again.")
    return lines


def start_of(old: Fraction | None, lower: Fraction) -> Fraction:
    """Return the start depth that lowers a ramp by so much."""
    return (old or Fraction(0)) + lower
