"""Remarks and refusals of the solver in shop words and in the user's units.

Each code has one sentence here; nothing else in the program words them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.errors import BadValue
from stepcut.plan import Refused, Remark
from stepcut.quantity import length_text
from stepcut.shapes.renamed import new_name
from stepcut.voice import Voice as Voice  # until every module takes it from stepcut.voice
from stepcut.voice import turns_text


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
    "chosen-span": lambda f, v: (
        f"Span {v.degrees(f['span'])} was taken: the largest that fits the {v.degrees(f['sector'])} sector with {f['needed']:.1f}° "
        "of run-out for this cutter."
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
    "face-stands": lambda f, v: (
        f"The first {v.degrees(f['until'])} stand as the face leaves them, less than {v.length(f['leave'])} over the wanted surface. "
        f"A start depth of {v.length(f['leave'])} or more would leave the same everywhere."
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
    "too-narrow": lambda f, v: (
        f"The {v.size(f['cutter'])} cutter is too narrow for its flat to lie on this cam, which needs at least {v.length(f['needs'])}: "
        "where the rim is steep only the cutter's edge cuts, and small steps leave high ridges. Take a wider cutter."
    ),
    "sweep-deep": lambda f, v: (
        f"The deepest flat is swept {v.length(f['depth'])} deep with a {v.size(f['cutter'])} cutter, in passes that "
        "the card lists. Much of it may be milled or sawn away before: then go on from the pass that touches."
    ),
    "step-corners": lambda f, v: (
        f"Beside each step the cutter leaves {'its own round, radius ' + v.length(f['radius']) if f['side'] else 'a corner as wide as it reaches'}"
        ", for it may not enter the higher sector: file the corner where the pin must reach it."
    ),
    "rim-slips": lambda f, v: (
        f"As a clamp it SLIPS when oiled: its rim stands up to {f['angle']:.1f}° to its turning, and friction {f['friction']:.2f} holds "
        "less. Lengthen the rise, lift less, or add a level stretch."
    ),
    "undercut": lambda f, v: (
        f"The cam is UNDERCUT: up to {v.length(f['lost'])} of lift is lost near {f['at']:.0f}°, for there the rim cannot fill the "
        f"{f['kind']} follower's every place. "
        + (
            f"A base radius of {v.length(f['least'])} or more loses none."
            if f["least"]
            else f"Take a larger base radius{' or a smaller roller' if f['kind'] == 'roller' else ''}."
        )
    ),
    "pressure-steep": lambda f, v: (
        f"The pressure angle reaches {f['angle']:.1f}° at {f['at']:.0f}°; a follower {'on an arm' if f['swings'] else 'that slides straight'} may jam above about "
        f"{f['usual']:.0f}°. Take a larger base radius, or a longer rise."
    ),
    "face-narrow": lambda f, v: (
        f"The {v.length(f['face'])} face is too short: this cam touches it up to {v.length(f['needs'])} from the pivot. Make it that long or more."
        if f["swings"]
        else f"The {v.length(f['face'])} face is too narrow: this cam touches it up to {v.length(f['needs'] / 2)} beside its middle, so "
        f"it must be {v.length(f['needs'])} wide or more."
    ),
    "points-ridge": lambda f, v: (
        f"Rounded to the slides' divisions the ridge is {v.apart(f['ridge'], f['limit'])[0]}, where "
        f"{v.apart(f['ridge'], f['limit'])[1]} was asked for."
    ),
    "per-gives": lambda f, v: _per_gives(f, v),
    "two-corners": lambda f, v: (
        "Two tables: the front is cut with the corner toward the headstock, the back with the corner toward the tailstock. "
        "Touch off each corner on its own."
    ),
    "fewer-cuts": lambda f, v: (
        f"One flank takes {f['makes'] or 'no'} cut{_s(f['makes'])} and not {f['cuts']}: more would cut nothing on these scales."
    ),
    "upright-face": lambda f, v: (
        f"Beside the upright face at {v.angle(f['where'])} {v.length(f['stands'])} stands in the foot: an end mill held upright "
        f"does not reach it. Tilt the head or the table {f['tilt']:.1f}° so that its end lies along the slope, and file the face, which "
        f"then leans as much; or take a single-angle cutter of {f['included']:.1f}° or less, its upright face on the centre line."
    ),
    "corner-stands": lambda f, v: (
        f"Beside {'the upright face' if f['feet'] == 1 else 'upright faces, the worst'} at {v.angle(f['where'])} a corner "
        f"{v.length(f['wide'])} wide and {v.length(f['stands'])} high is left: "
        + (
            "a plunged cutter leaves it round. File it."
            if f["plunged"]
            else "the far edge of the cutter does not run along the radial line. File it, or move the saddle until that edge stands on "
            "the centre line and feed across once more there."
        )
    ),
    "sector-rounded": lambda f, v: (
        f"A sector of {float(f['sector']):.4f}° is no whole number of divisions; each ramp begins on the next mark."
    ),
}


def remark_text(remark: Remark, voice: Voice) -> str:
    """Return the sentence of a remark."""
    return REMARKS[remark.code](remark.facts, voice)


Refusal = Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]


def _value(f: Mapping[str, Any], v: Voice) -> str:
    value = f["value"]
    if f["leader"] == "stops":
        return str(value)
    return v.degrees(value) if f["leader"] == "step" else v.length(value)


REFUSALS: dict[str, Refusal] = {
    "no-table": lambda f, v: (f["machine"], "has no rotary table", "Name a machine that has one, or add [table] to its file."),
    "no-depth": lambda f, v: (f["machine"], "has no depth scale", "Name a machine that has one, or add [depth] to its file."),
    "no-lathe": lambda f, v: (f["machine"], "has no carriage and cross-slide", "Name a machine that has them, or add [carriage] and [cross-slide]."),
    "no-compound": lambda f, v: (f["machine"], "has no compound slide", "Name a machine that has one, or add [compound] to its file."),
    "no-mill": lambda f, v: (f["machine"], "has no depth scale and slide", "Name a machine that has them, or add [depth] and [slide]."),
    "no-slide": lambda f, v: (f["machine"], "has no table slide", "Name a machine that has one, or add [slide] to its file."),
    "over-sector": lambda f, v: (
        v.degrees(f["span"]),
        f"must not be more than the sector of {f['starts']} ramp{_s(f['starts'])}, {v.degrees(f['sector'])}",
        "Shorten the span or use fewer ramps.",
    ),
    "all-dwell": lambda f, v: (v.degrees(f["dwell"]), f"with dwell-low leaves nothing of the {v.degrees(f['span'])} span", "Shorten the dwells."),
    "nothing-to-cut": lambda f, v: (
        v.length(f["leave"] if "division" not in f else f["floor"]),
        f"leaves nothing to cut: the low end is {v.length(f['floor'])} deep" if "division" not in f
        else f"is less than one {v.length(f['division'])} division after the {v.length(f['leave'])} to leave",
        "Leave less, or make it deeper.",
    ),
    "crosses-bore": lambda f, v: (
        v.size(f["cutter"]),
        f"reaches {v.length(f['far'])} downhill, across the bore (radius {v.length(f['bore'])}) to the far wall",
        f"Use {v.size(f['fits'])} or smaller." if f["fits"] else "Use a smaller cutter.",
    ),
    "covers-centre": lambda f, v: (
        v.size(f["cutter"]), "covers the centre of the table when plunged", "Use a smaller cutter."
    ),
    "narrower-than-wall": lambda f, v: (
        v.size(f["cutter"]), f"does not reach both edges of the {v.length(f['wall'])} wall when plunged",
        "Use a wider cutter, or cut-with = end.",
    ),
    "too-round": lambda f, v: (
        v.size(f["cutter"]),
        f"has a round of {v.size(f['corner'])}, and the hollow of this motion has {v.length(f['hollow'])} at the bore",
        "Use a smaller corner or cutter, a gentler motion, or cut-with = end with a flat end.",
    ),
    "no-astray": lambda f, v: (
        None, f"is a {f['shape']}, and what cuts beside their places take from one is not worked out", "Measure them; see --lost for the zero."
    ),
    "only-ramps": lambda f, v: (None, f"is worked out for ramps, helices and turned parts, and this is a {f['shape']}", "Measure what is left there, and set that cut by hand."),
    "too-deep": lambda f, v: (v.length(f["depth"]), f"reaches the axis of the cylinder (radius {v.length(f['radius'])})", "Make it shallower."),
    "blank-small": lambda f, v: (
        v.length(f["blank"]), f"is smaller than the {f['part']}, which needs {v.length(f['needs'])}", "Take a larger blank."
    ),
    "hole-wide": lambda f, v: (
        v.length(f["blank"]), f"is wider than the narrow end of the bore, {v.length(f['needs'])}", "Begin with a smaller hole."
    ),
    "nose-too-round": lambda f, v: (
        v.size(f["nose"]), f"is rounder than the {f['form']}, whose radius is {v.length(f['hollow'])}", "Take a sharper tool."
    ),
    "needs-width": lambda f, v: (
        None, f"is missing: a {f['form']} is cut straight in, by a tool as wide as you say",
        f"Give tool-width, that of a parting tool, such as {'1/8in' if v.unit == 'in' else '3mm'}; or a round nose: tool = round "
        f"{'1/16in' if v.unit == 'in' else '1.5mm'}.",
    ),
    "edge-fouls": lambda f, v: (
        v.degrees(f["has"]), f"is too slanted: the edge toward the {f['side']} would touch what stays beside the nose, from {f['needs']:.1f}° it is clear",
        f"Grind or swing the tool so that this edge stands {-int(-(f['needs'] - 1e-3) // 1)}° or more from the axis, or take another tool.",
    ),
    "wider-than-neck": lambda f, v: (
        v.size(f["wide"] / 2 if f["nose"] else f["wide"]),
        f"makes the tool {v.size(f['wide'])} wide, more than the neck is long, {v.length(f['length'])}: it begins there to cut the back of the ball",
        "Take a narrower tool, or a longer neck.",
    ),
    "turned-leave": lambda f, v: (
        v.length(f["leave"]), f"leaves nothing to cut: the shape is only {v.length(f['drop'])} high on the radius", "Leave less."
    ),
    "no-cut-needed": lambda f, v: (
        v.length(f["limit"]),
        f"needs no cut: turned to its largest diameter the part stands only {v.length(f['ridge'], 5)} over the shape",
        "Allow a smaller ridge, or file it from there.",
    ),
    "step-over-length": lambda f, v: (
        v.length(f["step"]), f"is no step within the length of {v.length(f['span'])} that cuts anything", "Take a smaller step."
    ),
    "step-below-division": lambda f, v: (
        v.fine(f["step"]), f"is less than one division of the {f['scale']}, {v.length(f['division'])}",
        "Give a step of at least one division.",
    ),
    "thin-roller": lambda f, v: (
        v.fine(f["roller"]), f"is thinner than a roller of this cam can be, {v.length(f['least'])}", "Check the number and its unit."
    ),
    "rounder-than-cam": lambda f, v: (
        v.size(f["cutter"]),
        f"is rounder than the cam's hollow, whose smallest radius is {v.length(f['hollow'])}",
        f"Use a cutter of at most {v.length(2 * f['hollow'])}, or a gentler motion.",
    ),
    "too-narrow": lambda f, v: (
        v.size(f["cutter"]),
        f"is too narrow for flats on this cam, which needs at least {v.length(f['needs'])}: only its edge touches where the rim is steep",
        "Take a wider cutter, or its side.",
    ),
    "rounder-than-hole": lambda f, v: (
        v.size(f["cutter"]), f"does not fit into a radius of {v.size(f['radius'])}", "Take a smaller cutter."
    ),
    "points-apart": lambda f, v: (
        f["points"], f"leaves metal between two points: the {v.size(f['cutter'])} cutter does not reach from one to the next",
        "Take more points (or a smaller step), or a wider cutter.",
    ),
    "no-room": lambda f, v: (
        v.size(f["cutter"]),
        f"needs the whole {v.degrees(f['sector'])} sector for its run-out",
        "Use a smaller cutter or fewer ramps.",
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
    "no-diamond": lambda f, v: (
        v.size(f["cutter"]),
        f"leaves no land between crossing grooves: those of one hand overlap by {v.length(f['land'])}",
        "Take a narrower groove, a longer lead or fewer starts.",
    ),
    "width-close": lambda f, v: (
        v.size(f["width"]),
        f"is only {v.length(f['beside'])} more than the cutter" + (" and the leave on both walls" if f["leave"] else "")
        + f", less than the ridges of {v.length(f['ridge'])} that these steps leave",
        "Take a narrower cutter or smaller steps, or leave groove-width out: it is then the cutter's.",
    ),
    "bore-and-outside-differ": lambda f, v: (
        v.fine(f["limit"]),
        f"cannot be kept with the cutter's axis on the centre line: bore and outside differ by {v.length(f['uneven'], 5)}",
        "Put its edge on the centre line, take a smaller cutter, or allow a higher ridge.",
    ),
    "dished": lambda f, v: (
        v.fine(f["limit"]),
        f"cannot be kept by plunging: a step's edge is an arc there, and the middle of the wall is cut {v.length(f['uneven'], 5)} deeper "
        "than its edges",
        "Feed the end of the cutter across the wall, or allow a higher ridge.",
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
    "disagree-drop": lambda f, v: (
        v.length(f["drop"]),
        f"does not agree with step = {v.degrees(f['step'])}, which makes {v.length(f['makes'])}",
        "Leave one of them out.",
    ),
    "disagree-scallop": lambda f, v: (
        v.length(f["scallop"]),
        f"does not agree with {new_name(f['leader'])} = {_value(f, v)}, which leaves {v.length(f['makes'])}",
        "Leave one of them out.",
    ),
    "narrow-for-wall": lambda f, v: (
        v.size(f["cutter"]),
        f"is too narrow to be plunged over a wall of {v.size(f['wall'])}: at its edges no step is small enough",
        "Take a wider cutter, or feed it across the wall (cut-with = end).",
    ),
    "apart": lambda f, v: (
        v.degrees(f["step"]),
        f"leaves uncut metal between neighbours: the {v.size(f['cutter'])} cutter covers {f['widest']:.1f}°",
        "Take a smaller step or a wider cutter.",
    ),
}  # fmt: skip


def refusal(answer: Refused, voice: Voice) -> BadValue:
    """Return a refusal of the solver as a message for the user."""
    value, rule, way = REFUSALS[answer.code](answer.facts, voice)
    return BadValue(new_name(answer.key), value, rule, way)
