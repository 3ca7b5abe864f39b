"""What only a face ramp remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice


def _evener(f: Mapping[str, Any]) -> str:
    """Return the ways out where bore and outside differ: the other way to stand on the centre line only where it differs less."""
    edge = f.get("on_edge")
    other = f"Put its {'axis' if edge else 'edge'} on the centre line" if f.get("helps", True) else "Take a flat end"
    return f"{other}, take a smaller {'corner radius' if edge else 'cutter'}, or allow a higher ridge."


def _corner(f: Mapping[str, Any], v: Voice) -> str:
    """Return the corner radius that would do, for an end that is too round; nothing where none would."""
    return f"a corner radius of {v.length(f['fits'])} or less, " if f["fits"] else ""


REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "chosen-span": lambda f, v: (
        f"Span {v.degrees(f['span'])} was taken: the largest that fits the {v.degrees(f['sector'])} sector with {f['needed']:.1f}° "
        "of run-out for this cutter."
    ),
    "face-stands": lambda f, v: (
        f"The first {v.degrees(f['until'])} stand as the face leaves them, less than {v.length(f['leave'])} over the wanted surface. "
        f"A start depth of {v.length(f['leave'])} or more would leave the same everywhere."
    ),
    "sweep-deep": lambda f, v: (
        f"The deepest flat is swept {v.length(f['depth'])} deep with a {v.size(f['cutter'])} cutter, in passes that "
        "the card lists. Much of it may be milled or sawn away before: then go on from the pass that touches."
    ),
    "upright-face": lambda f, v: (
        f"Beside the upright face at {v.angle(f['where'])} {v.length(f['stands'])} stands in the foot: an end mill held upright "
        f"does not reach it. Tilt the head {f['tilt']:.1f}° or more so that its end lies along the slope (tilt-head), and file what its leaning "
        f"side leaves of the face; or take a single-angle cutter of {f['included']:.1f}° or less, its upright side on the centre line (angle-cutter)."
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
}
REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
    "apart-by": lambda f, v: (
        f["value"] if f["leader"] == "stops" else v.fine(f["value"]),
        f"makes cuts {v.degrees(f['step'])} apart, and the {v.size(f['cutter'])} cutter covers {f['widest']:.1f}°: metal stands between them",
        "Give more cuts, a lower ridge or a wider cutter.",
    ),
    "all-dwell": lambda f, v: (v.degrees(f["dwell"]), f"with dwell-low leaves nothing of the {v.degrees(f['span'])} span", "Shorten the dwells."),
    "crosses-bore": lambda f, v: (
        v.size(f["cutter"]),
        f"reaches {v.length(f['far'])} downhill, across the bore (radius {v.length(f['bore'])}) to the far wall",
        f"Use {v.size(f['fits'])} or smaller." if f["fits"] else "Use a smaller cutter.",
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
    "no-room": lambda f, v: (
        v.size(f["cutter"]),
        f"needs the whole {v.degrees(f['sector'])} sector for its run-out",
        "Use a smaller cutter or fewer ramps.",
    ),
    "bore-and-outside-differ": lambda f, v: (
        v.fine(f["limit"]),
        f"cannot be kept with the cutter's {'edge' if f.get('on_edge') else 'axis'} on the centre line: bore and outside differ by "
        f"{v.length(f['uneven'], 5)}",
        _evener(f),
    ),
    "dished": lambda f, v: (
        v.fine(f["limit"]),
        f"cannot be kept by plunging: a step's edge is an arc there, and the middle of the wall is cut {v.length(f['uneven'], 5)} deeper "
        "than its edges",
        "Feed the end of the cutter across the wall, or allow a higher ridge.",
    ),
    "rounded": lambda f, v: (
        v.fine(f["limit"]),
        f"cannot be kept by plunging a round end: the middle of the wall is cut {v.length(f['uneven'])} deeper than its edges",
        f"Take a flat end, {_corner(f, v)}or feed it across the wall (cut-with = end).",
    ),
    "disagree-drop": lambda f, v: (
        v.length(f["drop"]),
        f"does not agree with step = {v.degrees(f['step'])}, which makes {v.length(f['makes'])}",
        "Leave one of them out.",
    ),
    "narrow-for-wall": lambda f, v: (
        v.size(f["cutter"]),
        f"is too narrow to be plunged over a wall of {v.size(f['wall'])}: at its edges no step is small enough",
        "Take a wider cutter, or feed it across the wall (cut-with = end).",
    ),
}  # fmt: skip
