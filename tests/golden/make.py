"""Write the golden cards again, after they have been looked at: python tests/golden/make.py"""

from __future__ import annotations

from pathlib import Path

from stepcut import recipes
from stepcut.cards.terminal import render
from stepcut.cli import show

if __name__ == "__main__":
    sheet = show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01")
    for width in (40, 80, 120):
        (Path(__file__).parent / f"ramp-{width}.txt").write_text(render(sheet, width), "utf-8")
    for name in ("bollard-pin-taper", "lever-ball-knob", "oil-groove-helix", "tension-release-cam"):
        sheet = show.whole(recipes.job(recipes.load(name)), "2026-01-01")
        (Path(__file__).parent / f"{name}-80.txt").write_text(render(sheet, 80), "utf-8")
