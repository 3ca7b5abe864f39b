"""What only a helical groove remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice

REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "walls-lean": lambda f, v: (
        f"The walls of sweeps lean in: {v.size(f['width'])} apart at the surface, {v.length(f['low'])} toward the floor. A roller or key of "
        f"{v.size(f['width'])} goes down to the floor where groove-width is {v.length(f['free'])}."
    ),
}  # fmt: skip
REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
    "too-deep": lambda f, v: (v.length(f["depth"]), f"reaches the axis of the cylinder (radius {v.length(f['radius'])})", "Make it shallower."),
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
}  # fmt: skip
