"""The verdict in words: one sentence a reason, worded here and nowhere else; and a clamp's use."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import Any

from msgspec.structs import replace

from stepcut.acts import Act, Card
from stepcut.cards.odd_text import ODD, Say, called, is_it
from stepcut.cards.wording import hollow_text, remark_text
from stepcut.plan import Plan
from stepcut.routine import acts, reach
from stepcut.shop.blueing import Use
from stepcut.shop.chances import Errors
from stepcut.shop.lock import FRICTIONS, Locking, holds
from stepcut.shop.odd import upright
from stepcut.shop.verdict import Reason, Swing, Verdict, below, held, swing, verdict
from stepcut.voice import Voice, voice_of

HALF = 0.5  # of the face of a clamp that should bear when it is open; common practice, no source
GAP = {"in": 0.020 * 25.4, "mm": 0.5}  # a usual gap to let go: 0.010 to 0.030 in; common practice, no source


def odds(share: float) -> str:
    """Return a chance as people say it.

    Examples
    --------
    >>> odds(0.0), odds(0.00001), odds(0.0825), odds(0.5), odds(0.764), odds(0.97)
    ('none', 'less than 1 in 1000', '1 in 12', '1 in 2', '8 in 10', 'nearly every time')
    """
    if share <= 0:
        return "none"
    if share < 0.001:
        return "less than 1 in 1000"
    if share > 0.9:
        return "nearly every time"
    return f"1 in {round(1 / share)}" if share <= 0.5 else f"{round(10 * share)} in 10"


def _up(mm: float, voice: Voice) -> str:
    """Return a length that is enough: rounded up in its last place."""
    last = 0.0001 * 25.4 if voice.unit == "in" else 0.001
    return voice.length(math.ceil(mm / last - 1e-6) * last)


def _slips(f: Mapping[str, Any], v: Voice) -> str:
    text = (
        f"It slips when oiled: {f['angle']:.2f}° at the middle radius {v.length(f['radius'])}, and friction {f['friction']:.2f} holds "
        f"up to {f['limit']:.2f}°."
    )
    return text if f["said"] else f"{text} If it is no clamp, say so with --for dog or --for lift."


REASONS: dict[str, Say] = ODD | {
    "spoils": lambda f, v: remark_text(f["remark"], v),
    "slips": _slips,
    "dog-holds": lambda f, v: (
        f"A dog must let go, and this holds when dry: {f['angle']:.2f}° at the middle radius {v.length(f['radius'])}; friction "
        f"{f['friction']:.2f} holds up to {f['limit']:.2f}°."
    ),
    "compound-short": lambda f, v: (
        f"The compound is too short: the taper needs {v.length(f['travel'])} of travel, and it has {v.length(f['has'])}."
    ),
    "travel-short": lambda f, v: (
        f"The {called(f['scale'])} cannot go so far: this job needs {v.length(f['needs'])} from end to end, and it moves "
        f"{v.length(f['has'])} from stop to stop. Set the work or the {called(f['scale'])} anew, or use another scale."
    ),
    "slope-far": lambda f, v: (
        f"{f['angle']:.2f}° is steep for a clamp, usually {f['limit']:.0f}° at most. Is the rise {v.length(f['perhaps'])} or "
        f"{v.length(f['rise'])}?"
    ),
    "rise-far": lambda f, v: (
        f"The rise is more than the wall, {v.length(f['wall'])}. {is_it(f, 'rise', v.length)}"
    ),
    "deep-bite": lambda f, v: (
        f"The last cuts stand {v.length(f['depth'])} deep in full metal at the downhill edge, more than the {v.size(f['cutter'])} cutter "
        "is wide. The card goes down in passes; the flutes must be longer than that."
    ),
    "deep-groove": lambda f, v: (
        f"The groove is {v.length(f['depth'])} deep, more than the {v.size(f['cutter'])} cutter is wide; its flutes must be longer than that. "
        f"{is_it(f, 'depth', v.length)}"
    ),
    "rubs": lambda f, v: (
        f"Cuts thinner than a hair: the largest step down is {v.length(f['drop'])}, and an end mill rubs below about "
        f"{v.length(f['least'])}. Take larger steps (--regroup puts cuts together), or rough nearly to depth first."
    ),
    "may-cut-below": lambda f, v: (
        f"The chance that some place is cut below the wanted surface is {odds(f['chance'])}, with leave {v.length(f['leave'])}. For 1 in "
        f"100 leave {_up(f['enough'], v)}."
    ),
    "leave-small": lambda f, v: (
        f"Leave {v.length(f['leave'])} is less than this machine's errors can cut too deep, {v.length(f['safe'])}."
    ),
    "leave-far": lambda f, v: (
        f"Leave {v.length(f['leave'])} is much to file off, usually {v.length(f['much'])} at most"
        + (": this machine's errors ask for it. Read that scale by an indicator, and write its smaller error into the machine's file."
           if f.get("asked") else f". {is_it(f, 'leave', v.length)}")
    ),
    "look": lambda f, v: remark_text(f["remark"], v),
    "scallop-exceeded": lambda f, v: (
        f"A ridge of {v.apart(f['scallop'], f['limit'])[0]} stands where {v.apart(f['scallop'], f['limit'])[1]} was asked for."
    ),
    "flats-in-hollow": lambda f, v: (
        f"Flats leave metal standing in the hollows ({hollow_text(f, v)}). "
        f"{'The side of the cutter' if f['hollow'] < 1e6 else 'A file'} reaches them."
    ),
}  # fmt: skip


def head(found: Verdict) -> str:
    """Return the verdict in one line, for the last line."""
    if found.word == "CUT IT":
        return "CUT IT"
    count = len(found.reasons)
    return f"{found.word}: {count} reason{'s' if count > 1 else ''}, said at the top"


def judge(
    plan: Plan, use: Use | None = None, errors: Errors | None = None, done: Sequence[Act] | None = None
) -> Verdict:
    """Return what a plan comes to, with how far its acts wind each slide; ``done`` are they, where somebody has them already."""
    return verdict(plan, use, errors, lambda: reach(plan, acts(plan) if done is None else done))


def verdict_lines(found: Verdict, voice: Voice, width: int) -> list[str]:
    """Return the verdict with its reasons, worst first, for the first lines."""
    if not found.reasons:
        return ["CUT IT"]
    told = [_told(reason, voice) for reason in found.reasons]
    if len(told) == 1:
        return wrap(f"{found.word}. {told[0]}", width, break_on_hyphens=False)
    lines: list[str] = [found.word]
    for number, text in enumerate(told, 1):
        lines += wrap(text, width, initial_indent=f"{number}. ", subsequent_indent="   ", break_on_hyphens=False)
    return lines


def judged(card: Card, use: Use | None = None, errors: Errors | None = None) -> Card:
    """Return a card with the reasons to look again; as it is where it must not be cut, which it says itself."""
    found = judge(card.plan, use, errors, card.acts)
    if found.word != "LOOK AGAIN":
        return card
    voice = voice_of(card.plan.machine, card.unit)
    return replace(card, judged=tuple(_told(reason, voice) for reason in found.reasons))


def _told(reason: Reason, voice: Voice) -> str:
    """Return a reason's sentence."""
    return REASONS[reason.code](reason.facts, voice).rstrip()


def content(
    plan: Plan,
    voice: Voice,
    use: Use | None = None,
    errors: Errors | None = None,
    done: Sequence[Act] | None = None,
) -> dict[str, Any]:
    """Return the verdict as plain data: its word, and code and sentence of each reason."""
    found = judge(plan, use, errors, done)
    return {
        "word": found.word,
        "reasons": [{"code": reason.code, "text": _told(reason, voice)} for reason in found.reasons],
    }


def of_plan(
    plan: Plan,
    use: Use | None,
    voice: Voice,
    width: int,
    errors: Errors | None = None,
    done: Sequence[Act] | None = None,
) -> tuple[list[str], str]:
    """Return first lines and last line of a plan's verdict; ``errors`` are those of the shop's own readings, if any."""
    found = judge(plan, use, errors, done)
    return verdict_lines(found, voice, width), head(found)


def chance_line(plan: Plan, voice: Voice, errors: Errors | None = None) -> str:
    """Return one sentence on the chance of cutting below the wanted surface; empty where it is not known."""
    told = below(plan, errors)
    if told is None:
        return ""
    whose = "errors of your own readings" if told["readings"] else "errors of the machine's file"
    steep = ""
    if plan.axes == ("z", "x") and not plan.coned:
        steep = "; faces steeper than 45°, which no leave on the radius guards, are not counted"
    elif upright(plan):
        steep = "; upright faces, which no leave guards, are not counted"
    return (
        f"the chance that some place is cut below the wanted surface is {odds(told['chance'])}; for 1 in 100 leave "
        f"{_up(told['enough'], voice)}; {whose}, each cut for itself{steep}"
    )


def held_text(rows: Sequence[Locking], angle: float, radius: float, use: Use | None, voice: Voice) -> str:
    """Return whether a ramp does what it is for, by a lock table from the oily end to the dry one; one without a use is judged as a clamp."""
    oily, dry = min(rows, key=lambda row: row.friction), max(rows, key=lambda row: row.friction)
    facts = {"angle": angle, "radius": radius}
    for reason in held((oily.friction, oily.holds), (dry.friction, dry.holds), facts, use):
        return f"LOOK AGAIN. {_told(reason, voice)}"
    if use == "clamp":
        return f"For a clamp: it holds, at friction {oily.friction:.2f} too."
    if use == "dog":
        return f"For a dog: it lets go, at friction {dry.friction:.2f} too."
    return "For a lift it may hold or slip: see below where it does." if use == "lift" else ""


def judged_as(plan: Plan, use: Use | None) -> str:
    """Return as what a ramp is judged whose recipe does not say what it is for, where another use would be judged otherwise."""
    found = swing(plan, GAP["mm"]) if use is None else None
    if found is None or not holds(float(plan.result.more["ramp_angle"]["middle"]), FRICTIONS[-1]):
        return ""
    return "a clamp, for its recipe does not say what it is for; it holds when dry too, and a dog must let go: if it is one, say --for dog"


def use_line(plan: Plan, use: Use | None, voice: Voice, gap: float | None = None) -> str:
    """Return how a clamp is used: handle, contact, stop pins, pull; empty for another use or shape."""
    if use in ("dog", "lift"):
        return ""
    found = swing(plan, GAP[voice.unit] if gap is None else gap)
    if found is None:
        return ""
    return _swing_text(found, plan.copies, voice)


def _pin(found: Swing) -> float:
    """Return where the open stop pin goes, degrees: where half of the face still bears, or as far as the gap asks."""
    return max(found.turned, HALF * found.most)


def _swing_text(found: Swing, ramps: int, voice: Voice) -> str:
    if found.turned >= found.most:
        return (
            f"a gap of {voice.length(found.gap)} is more than the whole rise gives, {voice.degrees(round(found.most))}"
        )
    text = (
        f"a gap of {voice.length(found.gap)} takes {found.turned:.0f}° of the handle, and {100 * found.contact:.0f} % of the face still "
        f"bears then; stop pins where it is shut, at 0°, and at {_pin(found):.0f}° of {found.most:.0f}°"
    )
    if found.contact < HALF:
        text += ", and less than half of the face bears: a wider span or a smaller gap is better"
    else:
        text += ", past which less than half of the face bears"
    if ramps == 1:
        return f"{text}; one ramp pushes on one side once it has turned and tips the sleeve: two or three pull straight"
    return text
