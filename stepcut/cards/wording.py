"""Remarks and refusals of the solver in shop words and in the user's units.

Each code has one sentence: here, or in ``said`` of a shape's folder where no other shape says it; nothing else words them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.errors import BadValue
from stepcut.plan import Refused, Remark
from stepcut.shapes import SHAPES, brought
from stepcut.shapes.renamed import new_name
from stepcut.voice import Voice as Voice  # until every module takes it from stepcut.voice
from stepcut.voice import turns_text
from stepcut.written import length_text


def _s(count: int) -> str:
    return "" if count == 1 else "s"


Say = Callable[[Mapping[str, Any], Voice], str]


def _runs_into_next(f: Mapping[str, Any], v: Voice) -> str:
    into = "the next ramp" if f["starts"] > 1 else "its own high end"
    text = f"The cutter overlaps {into} by {f['overlap']:.1f}°. "
    text += (
        f"The largest standard cutter that clears is {v.size(f['fits'])}{', with cuts closer together' if f['closer'] else ''}. "
        if f["fits"]
        else "No standard cutter clears. "
    )
    if f["fitting"]:
        text += f"With this {v.size(f['cutter'])} cutter {f['fitting']} of {f['stops']} cuts fit, the last at {v.degrees(f['last'])}"
        text += f"; a span of {v.degrees(f['span'])} fits whole." if f["span"] else "."
    else:
        text += f"With this {v.size(f['cutter'])} cutter no cut fits."
    if "tilt" in f:
        text += f" For a tooth with an upright face tilt the head {f['tilt']:.1f}°, or take a single-angle cutter of {f['included']:.1f}° or less."
    return text


def hollow_text(f: Mapping[str, Any], v: Voice) -> str:
    """Return how sharp a cam's hollows are; where the rim turns up at once there is no radius to name."""
    return f"smallest radius {v.length(f['hollow'])}" if f["hollow"] < 1e6 else "corners where it turns up at once"


def _reaches_over_gap(f: Mapping[str, Any], v: Voice) -> str:
    part = "flat" if f["end"] else "side"
    text = (
        f"The cutter's {part} reaches over the {v.degrees(f['gap'])} gap into the other end of the cam, so the cuts beside it are "
        f"held back there and up to {v.length(f['stands'])} more stands: file it, or leave a gap of {f['needed']:.1f}° or more. "
    )
    if f["clears"]:
        return text + f"The largest standard cutter that clears is {v.size(f['clears'])}."
    return text + ("The side of a cutter may clear." if f["end"] else "No standard cutter clears with its side.")


def _place(f: Mapping[str, Any], v: Voice) -> str:
    """Return a coordinate: degrees from the high end, or mm along the work."""
    return v.degrees(f["where"]) if f.get("angular") else v.length(f["where"])


def _leave_parts(f: Mapping[str, Any], v: Voice) -> str:
    if len(f["parts"]) == 1:
        return f"errors of both slides together {v.length(f['parts'][0])}"
    first, second = f.get("names", ("table", "depth"))
    return f"slope x {first} error {v.length(f['parts'][0])} + {second} error {v.length(f['parts'][1])}"


def _per_gives(f: Mapping[str, Any], v: Voice) -> str:
    """Say which of the scales could not follow so much for so many degrees."""
    said = []
    if f["uneven"]["drop"]:
        low, high = (f["drop"] // f["depth"] + k for k in (0, 1))
        said.append(
            f"the depth scale shows {v.length(f['depth'])}, so a step goes down {v.length(low * f['depth'])} or "
            f"{v.length(high * f['depth'])} by turns"
        )
    if f["uneven"]["step"]:
        said.append(f"the rim shows {v.degrees(f['rim'])}, so a step turns a mark more or less")
    if f["uneven"]["last"]:
        said.append(f"{v.degrees(f['moving'])} is no whole number of steps, so the last one is {v.degrees(f['last'])}")
    drop = length_text(f["drop"], v.unit, 5 if f["uneven"]["drop"] else None)
    return f"{drop} for {v.degrees(f['step'])} does not come out even: {'; '.join(said)}. The total is kept."


REMARKS: dict[str, Say] = {
    "runs-into-next": _runs_into_next,
    "chosen-step": lambda f, v: (
        f"Step {v.degrees(f['step'])} ({turns_text(f['cranks'])} of the crank) was chosen: the largest of whole and half turns "
        f"that keeps the scallop within {v.length(f['limit'])}."
    ),
    "scallop-exceeded": lambda f, v: (
        f"The ridge of {v.apart(f['limit'], f['scallop'])[0]} is not kept everywhere: at {_place(f, v)} "
        f"{v.apart(f['limit'], f['scallop'])[1]} stands, and "
        "no cut of this cutter lowers it. Take a smaller or a sharper cutter, or file more there."
    ),
    "leave-auto": lambda f, v: (
        f"Leave {v.length(f['leave'])} from the machine: {_leave_parts(f, v)}"
        f"{', up to the next mark of the depth' if v.length(sum(f['parts'])) != v.length(f['leave']) else ''}."
    ),
    "leave-small": lambda f, v: (
        f"Leave {v.length(f['leave'])} is less than this machine's errors can cut too deep, {v.length(f['safe'])}: "
        f"{_leave_parts(f, v)}. Leave auto takes it from the machine."
    ),
    "rubs": lambda f, v: (
        f"The largest step down is {v.length(f['drop'])}; an end mill rubs below about {v.length(f['least'])}. "
        "Rough nearly to depth first, or take larger steps: --regroup puts cuts together."
    ),
    "regrouped": lambda f, v: (
        f"{f['cuts']} thin cuts of a ramp, {v.length(f['drop'])} down at most, were put together to {f['makes']} of up to {v.length(f['new'])}: an end "
        f"mill rubs below about {v.length(f['least'])}. Their ridges are higher."
    ),
    "flats-in-hollow": lambda f, v: (
        f"The cam has hollows ({hollow_text(f, v)}); a flat leaves metal standing in them, up to {v.length(f['stands'])} that no cut "
        f"lowers. {'The side of a cutter no rounder than the hollow' if f['hollow'] < 1e6 else 'A file'} reaches in."
    ),
    "reaches-over-gap": _reaches_over_gap,
    "per-gives": lambda f, v: _per_gives(f, v),
    "fewer-cuts": lambda f, v: (
        f"One flank takes {f['makes'] or 'no'} cut{_s(f['makes'])} and not {f['cuts']}: more would cut nothing on these scales."
    ),
    "before-mark": lambda f, v: (
        f"Depth {v.length(f['depth'])} is no mark of the {f['scale']}: it is set to {v.length(f['set'])}, and the floor stands {v.length(f['over'])} "
        "higher than wanted. Set it by an indicator or a block under the stop, or take a depth that it shows."
    ),
    "sector-rounded": lambda f, v: (
        f"A sector of {float(f['sector']):.4f}° is no whole number of divisions; each ramp begins on the next mark."
    ),
}


def remark_text(remark: Remark, voice: Voice) -> str:
    """Return the sentence of a remark."""
    say: Say = REMARKS.get(remark.code) or _of_a_shape("REMARKS", remark.code)
    return say(remark.facts, voice)


def _of_a_shape(table: str, code: str) -> Any:
    """Return the sentence of a code that one shape has for itself, from ``said`` in its folder."""
    for shape in SHAPES:
        found = getattr(brought(shape, "said"), table, {}).get(code)
        if found is not None:
            return found
    raise KeyError(code)


Refusal = Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]


def _value(f: Mapping[str, Any], v: Voice) -> str:
    value = f["value"]
    if f["leader"] == "stops":
        return str(value)
    return v.degrees(value) if f["leader"] == "step" else v.length(value)


REFUSALS: dict[str, Refusal] = {
    "no-table": lambda f, v: (f["machine"], "has no rotary table", "Name a machine that has one, or add [table] to its file."),
    "no-depth": lambda f, v: (f["machine"], "has no depth scale", "Name a machine that has one, or add [depth] to its file."),
    "no-slide": lambda f, v: (f["machine"], "has no table slide", "Name a machine that has one, or add [slide] to its file."),
    "over-sector": lambda f, v: (
        v.degrees(f["span"]),
        f"must not be more than the sector of {f['starts']} ramp{_s(f['starts'])}, {v.degrees(f['sector'])}",
        "Shorten the span or use fewer ramps.",
    ),
    "nothing-to-cut": lambda f, v: (
        v.length(f["leave"] if "division" not in f else f["floor"]),
        f"leaves nothing to cut: the low end is {v.length(f['floor'])} deep" if "division" not in f
        else f"is less than one {v.length(f['division'])} division after the {v.length(f['leave'])} to leave",
        "Leave less, or make it deeper.",
    ),
    "covers-centre": lambda f, v: (
        v.size(f["cutter"]), "covers the centre of the table when plunged", "Use a smaller cutter."
    ),
    "no-astray": lambda f, v: (
        None, f"is for {f['shape']}, and what cuts beside their places take is not worked out there", "They stay where they are: your drawing says whether they may. Find the zero again by --lost, then make each at the card's readings."
    ),
    "only-ramps": lambda f, v: (None, f"is worked out for ramps, grooves, cams and turned parts, and this recipe is for {f['shape']}", "What is too deep or too long stays: measure it; your drawing says whether it may. Prove the zeros by --lost, then go on at the card's readings."),
    "blank-small": lambda f, v: (
        v.length(f["blank"]), f"is smaller than the {f['part']}, which needs {v.length(f['needs'])}", "Take a larger blank."
    ),
    "hole-wide": lambda f, v: (
        v.length(f["blank"]), f"is wider than the narrow end of the bore, {v.length(f['needs'])}", "Begin with a smaller hole."
    ),
    "below-division": lambda f, v: (
        v.fine(f["drop"]),
        f"is less than one division of the depth scale, {v.length(f['division'])}",
        "Give a drop of at least one division.",
    ),
    "too-many": lambda f, v: (f["stops"], f"is more than a plan may have ({f['most']})", "Take larger steps, or allow a higher ridge."),
    "no-land": lambda f, v: (
        v.size(f["cutter"]),
        f"leaves no land between neighbouring grooves: they overlap by {v.length(f['land'])}",
        "Take a smaller cutter, a longer lead or fewer starts.",
    ),
    "out-of-reach": lambda f, v: (
        v.fine(f["limit"]) if f["limit"] is not None else None,
        f"cannot be kept on these scales: one division more already leaves {v.length(f['best'], 5)}",
        "Allow a higher ridge.",
    ),
    "needs-too-many": lambda f, v: (
        v.fine(f["limit"]),
        f"needs about {f['needs']:.0f} cuts, more than can be found by a ridge ({f['most']})",
        "Allow a higher ridge, or give a step.",
    ),
    "not-so-many": lambda f, v: (
        f["stops"],
        f"cannot be made evenly on these scales: the nearest is {f['makes']}, the rest would cut nothing",
        f"Give {f['makes']}, or a step.",
    ),
    "cuts-of-helix": lambda f, v: (f["cuts"], "is no groove from end to end", "Give at least 2, or a step."),
    "disagree-stops": lambda f, v: (
        f["stops"],
        f"does not agree with {new_name(f['leader'])} = {_value(f, v)}, which makes {f['makes']} cut{_s(f['makes'])}",
        "Leave one of them out.",
    ),
    "disagree-scallop": lambda f, v: (
        v.length(f["scallop"]),
        f"does not agree with {new_name(f['leader'])} = {_value(f, v)}, which leaves {v.length(f['makes'])}",
        "Leave one of them out.",
    ),
    "apart": lambda f, v: (
        v.degrees(f["step"]),
        f"leaves uncut metal between neighbours: the {v.size(f['cutter'])} cutter covers {f['widest']:.1f}°",
        "Take a smaller step or a wider cutter.",
    ),
}  # fmt: skip


def refusal(answer: Refused, voice: Voice) -> BadValue:
    """Return a refusal of the solver as a message for the user."""
    say: Refusal = REFUSALS.get(answer.code) or _of_a_shape("REFUSALS", answer.code)
    value, rule, way = say(answer.facts, voice)
    return BadValue(new_name(answer.key), value, rule, way)
