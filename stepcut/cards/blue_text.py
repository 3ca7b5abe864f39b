"""What a blue check says, in shop words and in the user's unit."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from stepcut.cards.wording import Voice
from stepcut.log.history import Rate
from stepcut.plan import Plan
from stepcut.shapes import named
from stepcut.shop.blueing import NO_BETTER, Use, enough, first_touch, no_better, spread, strokes, tools_of

USES = {None: "a clamp", "clamp": "a clamp", "dog": "a dog", "lift": "a lift"}
ADVICE = {
    "open": "The bore is less tapered than the plug: OPEN the angle a little.",
    "close": "The bore is more tapered than the plug: CLOSE the angle a little.",
    "open-outside": "It is less tapered than the ring: OPEN the angle a little.",
    "close-outside": "It is more tapered than the ring: CLOSE the angle a little.",
    "size": "The angle is right. If it does not go in deep enough, it is size: take the same off everywhere.",
    "barrel": "It touches in the middle and not at its ends: a barrel, the bad sign. Take the middle down, or cut it again.",
    "good": "It touches at both ends with a slight hollow between: good. Look for contact at many points along the whole length.",
}


def blue_text(
    plan: Plan,
    share: float,
    stops: Sequence[int] | None,
    earlier: Sequence[float],
    use: Use | None,
    voice: Voice,
    width: int,
    own: tuple[Sequence[tuple[str, int, float]], str] = ((), ""),
    ticked: int | None = None,
) -> list[str]:
    """Return what still stands, what to file with, whether it is enough, and when to stop.

    ``ticked`` is how many cuts are ticked; None for a job of which none is, and one that was closed: nothing is said of cuts then.
    ``earlier`` are the shares of the checks before this one of the same job; ``own`` is what this shop's files took off (tool, strokes,
    mm), and of what.
    """
    if ticked is not None and ticked < len(plan.stops):
        return wrap(_unfinished(ticked, len(plan.stops)), width)
    height, left = plan.at_blue(share)
    goal = enough(named(plan.shape, "BLUE"), use)
    lines = [
        f"Blue on {100 * share:.0f} %: it still stands {voice.length(height)} over the wanted surface, {voice.volume(left)} to file."
    ]
    thin = spread(stops, len(plan.stops) // plan.copies or 1) if stops is not None else []
    if goal is None:
        lines.append(
            "How much blue is enough for this shape has no common number: stop when no ridge is felt with a nail."
        )
        off = height
    else:
        off = max(0.0, height - plan.at_blue(goal[0])[0])
        lines.append(_enough(share, off, goal, thin, use, voice))
    if off > 1e-4:
        lines.append(_strokes(off, *own, voice))
    if no_better([*earlier, share]):
        lines.append(
            f"STOP: {NO_BETTER} blueings have brought nothing. Look for a burr, a scratch or a bent part before filing on."
        )
    lines.append("Stop too when only a thread of blue is left in every inner corner: the corners are the size.")
    return [line for text in lines for line in wrap(text, width)]


def _unfinished(ticked: int, of: int) -> str:
    """Return what blue says before the last cut: nothing yet."""
    return (
        f"NOT FINISHED: {ticked} of {of} cuts {'is' if ticked == 1 else 'are'} ticked. Blue tells what to file once every cut is made: until then it is "
        "never enough. Make the rest first, or tick what is cut already: stepcut tick."
    )


def _strokes(off: float, filed: Sequence[tuple[str, int, float]], of: str, voice: Voice) -> str:
    """Return about how many strokes of which file take a height off, and whose numbers they are."""
    found = strokes(off, tools_of(filed))
    parts = [f"{each.tool}, {each.least} to {each.most} strokes for {voice.length(each.takes)}" for each in found]
    known = {tool for tool, *_ in filed}
    own = list(dict.fromkeys(each.tool for each in found if each.tool in known))
    practice = "mild steel, land 1/4 in or 6 mm; common practice, no source"
    count = sum(tool in own for tool, *_ in filed)
    whose = f"{' and '.join(own)} by your own {count} check{'s' if count > 1 else ''} of {of}" if own else ""
    if own and len(own) < len({each.tool for each in found}):
        whose += f"; the others: {practice}"
    return f"About, over each place: {'; then '.join(parts)} ({whose or practice})."


def _enough(
    share: float, off: float, goal: tuple[float, float], thin: Sequence[str], use: Use | None, voice: Voice
) -> str:
    low, high = (f"{100 * part:.0f}" for part in goal)
    if share >= goal[0] - 1e-9 and thin:
        return f"{100 * share:.0f} % would be enough for {USES[use]}, but nothing shows at {' and '.join(thin)}: it rocks. File where it shows."
    if share >= goal[0] - 1e-9:
        more = " More gains nothing." if share >= goal[1] else ""
        return f"ENOUGH for {USES[use]} ({low} to {high} %), if it is well spread: near the start, the middle and the end, and nothing rocks.{more}"
    return f"For {USES[use]} {low} to {high} % well spread is enough: {voice.length(off)} more to take off."


def time_text(rate: Rate | None, volume: float, of: str, width: int) -> list[str]:
    """Return how long a volume takes by the shop's own history; one timed check is trusted within half to double."""
    if rate is None:
        text = f"How long it takes: no history yet of {of}; give --minutes with each check."
    elif volume <= 0:
        return []
    else:
        low, high = (
            (rate.mean / 2, rate.mean * 2)
            if rate.count == 1
            else (max(0.0, rate.mean - 2 * rate.spread), rate.mean + 2 * rate.spread)
        )
        text = f"How long: {low * volume:.0f} to {high * volume:.0f} minutes, from {rate.count} timed check{'s' if rate.count > 1 else ''} of {of}."
    return wrap(text, width)


def first_text(plan: Plan, width: int) -> str:
    """Return what the first blue of two parts as cut looks like: where they touch, at three turns of the upper part."""
    picture = plan.picture
    if picture is None or named(plan.shape, "MATE") is None:
        return "Give the share that shows blue, such as 60%."
    columns = max(20, min(width - 16, 60))
    step = (picture.wanted[-1][0] - picture.wanted[0][0]) / max(1, len(plan.stops) // plan.copies)
    text = (
        "The first blue of two parts as cut, face to face; # is where they touch. The floors of the two stairs lie flat on each "
        "other, so it shows in stripes, and other stripes a little farther on: it says nothing of the ramp yet. File both parts "
        "until the stripes stay where they are; from then on the share counts."
    )
    lines = wrap(text, width)
    lines += ["", f"{'':14}high end{'low end':>{columns - 8}}"]
    for part, name in ((0.0, "closed"), (0.5, "half a step on"), (1.0, "a step on")):
        marks = first_touch(picture.wanted, picture.cut, -part * step, columns)
        lines.append(f"{name:<14}{''.join('#' if mark else '.' for mark in marks)}")
    return "\n".join(lines)
