"""What only points in X and Y remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice

REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "points-ridge": lambda f, v: (
        f"Rounded to the slides' divisions the ridge is {v.apart(f['ridge'], f['limit'])[0]}, where "
        f"{v.apart(f['ridge'], f['limit'])[1]} was asked for."
    ),
    "mitre-short": lambda f, v: (
        f"A depth of {v.size(f['depth'])} does not come out below: as it is held, the tube is {v.length(f['needs'])} straight down. "
        "Is it to be cut in two goes? Else make the depth more than that."
    ),
}
REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
    "rounder-than-hole": lambda f, v: (
        v.size(f["cutter"]), f"does not fit into a radius of {v.size(f['radius'])}", "Take a smaller cutter."
    ),
    "points-apart": lambda f, v: (
        f["points"], f"leaves metal between two points: the {v.size(f['cutter'])} cutter does not reach from one to the next",
        "Take more points (or a smaller step), or a wider cutter.",
    ),
}  # fmt: skip
