"""What only a rim cam remarks or refuses, in shop words and the user's units."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from stepcut.voice import Voice

REMARKS: dict[str, Callable[[Mapping[str, Any], Voice], str]] = {
    "too-narrow": lambda f, v: (
        f"The {v.size(f['cutter'])} cutter is too narrow for its flat to lie on this cam, which needs at least {v.length(f['needs'])}: "
        "where the rim is steep only the cutter's edge cuts, and small steps leave high ridges. Take a wider cutter."
    ),
    "step-corners": lambda f, v: (
        f"Beside each step the cutter leaves {'its own round, radius ' + v.length(f['radius']) if f['side'] else 'a corner as wide as it reaches'}"
        ", for it may not enter the higher sector: file the corner where the pin must reach it."
    ),
    "wedge-up-step": lambda f, v: (
        f"Up the step at {f['at']:.0f}° the straight side of the cutter leaves a wedge too, {v.length(f['thick'])} thick at the blank's rim, for it does "
        "not run along the ray: saw or mill it off, then file."
    ),
    "fins-between": lambda f, v: (
        f"At the blank's rim the cuts lie farther apart than the {v.size(f['cutter'])} cutter is wide: {f['count']} fin{'s stand' if f['count'] > 1 else ' stands'} between them, "
        f"near {f['at']:.0f}° {v.length(f['thick'])} thick there and up to {v.length(f['high'])} over the cam. Take a wider cutter, smaller steps or a smaller blank."
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
}
REFUSALS: dict[str, Callable[[Mapping[str, Any], Voice], tuple[object, str, str]]] = {
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
}  # fmt: skip
