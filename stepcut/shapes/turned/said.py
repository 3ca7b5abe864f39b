"""What only a turned shape remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice

REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "two-corners": lambda f, v: (
        "Two tables: the front is cut with the corner toward the headstock, the back with the corner toward the tailstock. "
        "Touch off each corner on its own."
    ),
}


def _less(facts: Mapping[str, Any], voice: Voice) -> str:
    """Return the leave in words; nothing where there is none."""
    return f", less {voice.length(facts['leave'])} to leave" if facts["leave"] else ""


REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
    "no-lathe": lambda f, v: (f["machine"], "has no carriage and cross-slide", "Name a machine that has them, or add [carriage] and [cross-slide]."),
    "no-mill": lambda f, v: (f["machine"], "has no depth scale and slide", "Name a machine that has them, or add [depth] and [slide]."),
    "mill-undercut": lambda f, v: (
        "mill", f"does not go with this {f['form']}: the side of the cutter clears all from the face down to its end, also what must stay there",
        "Cut it on the lathe, or only as far as the diameter grows from the face.",
    ),
    "nose-too-round": lambda f, v: (
        v.size(f["nose"]), f"is rounder than the {f['form']}, whose radius is {v.length(f['hollow'])}", "Take a sharper tool."
    ),
    "needs-width": lambda f, v: (
        None, f"is missing: a {f['form']} is cut straight in, by a tool as wide as you say",
        f"Give tool-width, that of a parting tool, such as {'1/8in' if v.unit == 'in' else '3mm'}; or a round nose: tool = round "
        f"{'1/16in' if v.unit == 'in' else '1.5mm'}.",
    ),
    "too-wide-below": lambda f, v: (
        v.size(f["has"]),
        f"does not reach the bottom of the hollow at {v.length(f['where'])} from the face: {v.length(f['stands'])} stands there, whatever the steps",
        f"Take {'a nose of' if f['nose'] else 'a tool'} {v.length(f['fits'])}{'' if f['nose'] else ' wide'} or less, or allow a ridge of as much (scallop).",
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
    "turned-low": lambda f, v: (
        f["value"] if isinstance(f["value"], int) else v.fine(f["value"]),
        f"can cut nothing: the shape is {v.length(f['drop'], 5)} high on the radius{_less(f, v)}, and one division of the {f['scale']} "
        f"{v.fine(f['division'])}",
        f"{'Leave less, or turn' if f['leave'] and f['drop'] > float(f['division']) * (1 + 1e-9) else 'Turn'} it to one diameter and file it from there.",
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
}  # fmt: skip
