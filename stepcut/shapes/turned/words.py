"""The sheets of turned shapes: taper, radius and profile."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.shapes.turned.sides import whole
from stepcut.voice import Dials, Voice, nought

CYCLE, DRAWING = {"lathe": "Turned", "mill": "Milled"}, "turned"

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; sleeves rolled up, no rings, no gloves, chuck key out of the chuck.",
    "Stop the spindle before you measure; let the work cool before the final size.",
    "File left-handed with a handle on the file, carriage and tool post clear. Emery: hold it by its two ends.",
)
MILL_CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Turn the table a full turn dry first, so that no clamp or stud meets cutter or spindle.",
    "Feed the table against the cutter, a light drag on its locks; raise the cutter before you stop.",
)


def dial_word(plan: Plan) -> str:
    """Return what the cross-slide shows, in capitals."""
    return "DIAMETER" if plan.second.doubled else "RADIUS"


def _tool(plan: Plan, voice: Voice) -> str:
    if plan.cutter.kind == "square":
        wide = plan.details.width
        return f"square{f', {voice.size(wide)} wide' if wide else ''}; its corner is set to Z and X"
    return f"round nose, radius {voice.size(plan.cutter.radius)}; Z is its leading point, X its point {'farthest from' if plan.details.in_bore else 'nearest'} the axis"


def form_text(target: Mapping[str, Any], voice: Voice) -> str:
    """Return the sizes of a turned form as a drawing would name them."""
    form, radius = target["form"], voice.size(target["radius"])
    size = {key: voice.size(target[key]) for key in ("diameter", "small", "length", "hole", "at") if key in target}
    if form == "neck":
        return f"neck, {size['small']} DIAMETER in a {size['diameter']} shaft, {size['length']} long from {size['at']} to the shoulder, radius {radius}"
    if form in ("waist", "crown"):
        first, then = ("ends", "middle") if form == "waist" else ("middle", "edges")
        return f"{form}, {first} {size['diameter']} DIAMETER, {then} {size['small']}, {size['length']} long from {size['at']}; radius {voice.length(target['radius'])}"
    if form == "seat":
        return f"seat for a ball of radius {radius}, mouth {size['diameter']} DIAMETER, from a hole of {size['hole']}"
    if form != "ball":
        return f"{form}, radius {radius} on {size['diameter']} DIAMETER, from {target['from_angle']:g}° to {target['to_angle']:g}°"
    neck = f"; its neck {voice.length(target['length'])} long is cut first" if "length" in size else ""
    return f"ball, radius {radius}, from {target['from_angle']:g}° to {target['to_angle']:g}°{neck}"


def _form_sizes(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return what is measured of a form once it is filed."""
    if plan.shape != "radius":
        return ()
    target = plan.target
    form = target["form"]
    size = {key: voice.length(target[key]) for key in ("diameter", "small", "length", "radius") if key in target}
    rows: dict[str, tuple[Fact, ...]] = {
        "ball": (("Ball DIAMETER, across its middle, filed", size["diameter"]),),
        "neck": (
            ("Neck DIAMETER, filed", size.get("small", "")),
            ("Neck, long to the shoulder", size.get("length", "")),
        ),
        "waist": (("Middle DIAMETER, filed", size.get("small", "")), ("Ends DIAMETER", size["diameter"])),
        "crown": (("Middle DIAMETER, filed", size["diameter"]), ("Edges DIAMETER, both alike", size.get("small", ""))),
        "seat": (
            ("Mouth DIAMETER, filed", size["diameter"]),
            (f"A ball of {size['radius']} radius, blued, shows", "all round"),
        ),
    }
    return rows.get(form, ((f"Radius gauge of {size['radius']}, held to the light, fits", "no light"),))


def _head(plan: Plan, voice: Voice) -> tuple[tuple[str, str], ...]:
    target = plan.target
    if plan.shape == "radius":
        return (("Form", form_text(target, voice)),)
    last = target["targets"][-1]
    return (
        (
            "Profile",
            f"{len(target['targets'])} targets, to {voice.size(last[1])} DIAMETER at {voice.size(last[0])} from the face",
        ),
    )


def _desk(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    result = plan.result
    return (
        ("Leave", f"{voice.length(plan.leave)} on the radius, everywhere"),
        ("Scallop", f"{voice.length(result.scallop)}"),
        ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} on the radius, mean "
                    f"{voice.length(result.stock_mean)}; {voice.volume(result.volume)}"),
    )  # fmt: skip


def _set_up_acts(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    """Return what is done before the first cut."""
    lathe, bore = plan.approach == "lathe", plan.details.in_bore
    corner = "tailstock" if plan.details.flanks[0] == "to-face" else "headstock"
    tool = (
        f"Square tool's {f'{corner} ' if lathe else ''}corner"
        if plan.cutter.kind == "square"
        else f"Leading point of the {voice.size(plan.cutter.radius)} nose"
    )
    hold = "Part held, running true; tool at centre height" if lathe else "Part on the table's centre, running true"
    deepest = max(stop.first for stop in plan.stops)
    hole = (
        (
            (
                f"Hole drilled, {voice.size(plan.target['hole'])} DIAMETER: at least so deep",
                voice.length(plan.details.cuts[0].flank.z_at(0.0)),
            ),
        )
        if "hole" in plan.target
        else ()
    )
    dry = (
        f"Dry run, spindle stopped, tool clear: z to {dials.at(plan.first, plan.first.value(deepest))}, out"
        if lathe
        else "Dry run, spindle stopped, cutter clear: the table once round"
    )
    return (
        (hold, "TRUE"),
        *hole,
        *_beside_the_tool(plan, dials),
        (f"{tool} touches the face: {nought('z', plan.first)}", "0"),
        *_blank(plan, voice, dials),
        (f"Cuts go {'away from' if bore else 'toward'} the axis; come up to every x that way", "YES"),
        (dry, "CLEAR"),
        ("Cut 1: skim, measure, set the dial, then to size", "YES"),
    )  # fmt: skip


def _beside_the_tool(plan: Plan, dials: Dials) -> tuple[Fact, ...]:
    """Return how the tool must stand beside its nose or its corner, so that it touches nothing that stays."""
    shape = plan.details
    if shape.in_bore:
        return (
            (("Boring tool and its bar pass into the hole, heel and back of the tool clear of it all round", "CLEAR"),)
            if plan.approach == "lathe"
            else ()
        )
    if "to-face" in shape.flanks and plan.cutter.kind == "square" and "straight-in" not in shape.flanks:
        start = shape.flanks.index("to-face") + 1
        groove = max(stop.first for stop in plan.stops if stop.start == start)
        what = "Groove as wide as the tool behind the back: nothing that stays stands there from z"
        return ((what, dials.at(plan.first, plan.first.value(groove))),)
    edges = [
        (side, whole(angle))
        for side, angle in (("tailstock", shape.tailstock), ("headstock", shape.headstock))
        if angle > 1
    ]
    if not edges:
        return ()
    *others, (side, angle) = edges
    first = f"{others[0][0]} {others[0][1]}° or more, " if others else ""
    return (
        (
            f"Tool's edges from axis (90° square): {first}{side}",
            f"{angle}° or more",
        ),
    )


def _blank(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    """Return how large the blank is before cut 1, and how the cross-slide is set by it.

    A hole that is drilled is not measured but cut: what a light cut makes it is what the cross-slide is set to.
    """
    if "hole" in plan.target:
        return (_measured(plan, dials, "Light cut, stop, measure; set the"),)
    what = "Hole bored" if plan.details.in_bore else "Blank turned"
    size = (f"{what} true by this tool, measured: DIAMETER", voice.length(2 * plan.details.begins))
    return (size, _measured(plan, dials, "Set the"))


def _measured(plan: Plan, dials: Dials, how: str) -> Fact:
    """Return how the cross-slide is set to what was measured; a dial that counts backward by what is still to come off."""
    scale = plan.second
    if scale.per_turn is None or not scale.backward(False):
        if how == "Set the":
            return f"{scale.name[:1].upper()}{scale.name[1:]} set to what you measured: it shows the", dial_word(plan)
        return f"{how} {scale.name} to the", dial_word(plan)
    x, off = scale.value(plan.stops[0].second), 10 * scale.division
    less, before = ("and", x - off) if plan.details.in_bore else ("less", x + off)
    dial, example = (dials.at(scale, -at % scale.per_turn) for at in (x, before))
    return (
        f"{how} {scale.name} dial, which FALLS as x grows, to {dial} {less} what is still to come off "
        f"to x {dials.at(scale, x)} ({dials.at(scale, off)} to come off: dial {example}); x is the",
        dial_word(plan),
    )


def words(plan: Plan, voice: Voice, dials: Dials, head: tuple[Fact, ...] = (), sizes: tuple[Fact, ...] = ()) -> Words:
    """Return what a turned shape says about itself.

    Parameters
    ----------
    plan, voice, dials
        What is cut, and how it is said.
    head, sizes : tuple of Fact
        Of a taper: what is told of it in place of the form, and what is measured besides.
    """
    lathe = plan.approach == "lathe"
    head = head or _head(plan, voice)
    sizes = sizes or _form_sizes(plan, voice)
    how = "lathe, carriage and cross-slide" if lathe else "mill, quill and slide, a full turn of the table each cut"
    return Words(
        size=head[0][1],
        head=(*head, ("Cut", how), *_stages(plan, voice), ("Tool", _tool(plan, voice)), dial_fact(plan)),
        desk=_desk(plan, voice),
        set_up=_set_up_acts(plan, voice, dials),
        after=(*sizes, ("Ridge, felt with a nail", f"up to {voice.length(plan.result.scallop)}")),
        cautions=CAUTIONS if lathe else MILL_CAUTIONS,
        names=("z", "x"),
        column=plan.details.column,
        ticks=("set", "cut"),
    )


def _stages(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return what is roughed and what finishes, where the job is cut so."""
    rough, last = plan.details.rough, len(plan.details.cuts)
    if not rough:
        rest = plan.details.finish
        return (("Not used", f"finish = {voice.length(rest)}: no cut has more than that to take off"),) if rest else ()
    roughed = "stage 1 roughs" if rough == 1 else f"stages 1 to {rough} rough"
    finishes = f"stage {last} takes" if last == rough + 1 else f"stages {rough + 1} to {last} take"
    return (("Finish", f"{roughed}, {voice.length(plan.details.finish)} left on the radius; {finishes} it off"),)


def dial_fact(plan: Plan) -> Fact:
    """Return what the cross-slide shows."""
    return ("Dial", f"{plan.second.name} shows {dial_word(plan)}")
