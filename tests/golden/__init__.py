"""Cards as they were looked at, in full: every shipped recipe, and some of them changed."""

from __future__ import annotations

from pathlib import Path

from stepcut import recipes
from stepcut.cards.terminal import render
from stepcut.cli import show

HERE = Path(__file__).parent
# By the name of the file: recipe, and what is changed in it.
CHANGED: dict[str, tuple[str, dict[str, str]]] = {
    "taper-set-over": ("bollard-pin-taper", {"by": "set-over", "work-length": "200mm"}),
    "taper-sine-bar": ("bollard-pin-taper", {"by": "sine-bar", "sine-bar": "125mm"}),
    "taper-on-the-mill": ("bollard-pin-taper", {"on": "mill"}),
    "taper-bore": ("bollard-pin-taper", {"side": "bore", "blank": "22mm"}),
    "ball-round-tool": ("lever-ball-knob", {"tool": "round", "nose": "1/32in"}),
    "cam-by-the-side": ("tension-release-cam", {"cut-with": "side"}),
    "ramp-by-depth": ("sluice-clamp-ramp", {"order": "by-depth"}),
    "ramp-in-brass": ("sluice-clamp-ramp", {"material": "brass", "cutter-material": "carbide"}),
    "ramp-spoils": ("sluice-clamp-ramp", {"cutter": "5/8in"}),
    "helix-left-hand": ("oil-groove-helix", {"hand": "left", "starts": "3"}),
}  # fmt: skip


def cards() -> dict[str, tuple[str, dict[str, str], int]]:
    """Every card by the name of its file: recipe, what is changed in it, width."""
    plain = {f"{path.stem}-80": (path.stem, {}, 80) for path in recipes.shipped()}
    changed = {f"{name}-80": (recipe, sets, 80) for name, (recipe, sets) in CHANGED.items()}
    return {**plain, **changed, **{f"ramp-{width}": ("sluice-clamp-ramp", {}, width) for width in (40, 120)}}


def printed(name: str) -> str:
    """The card as it is printed now, on a fixed day."""
    recipe, sets, width = cards()[name]
    return render(show.whole(recipes.job(recipes.load(recipe).resized(sets)), "2026-01-01"), width)
