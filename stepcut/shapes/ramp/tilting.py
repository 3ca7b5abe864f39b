"""Which way a cutter stands that finishes an upright face, and how a head is tilted and looked at; in shop words."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.plan import Plan
from stepcut.shapes.ramp.faces import Face
from stepcut.voice import Voice


def toward(plan: Plan, face: Face) -> str:
    """Return where the metal that is cut lies, seen from its face: there stands the body of a single-angle cutter.

    The part is cut at 3 o'clock: downhill is toward the column for a ramp that rises clockwise.
    """
    downhill_at_column = plan.details.ramp.rises == "clockwise"
    return "YOU" if downhill_at_column == face.before else "the COLUMN"


def leans(plan: Plan, face: Face) -> str:
    """Return where the top of a tilted head leans: over the face, so that its end lies along the slope."""
    return "YOU" if toward(plan, face) == "the COLUMN" else "the COLUMN"


def tilting(plan: Plan, face: Face, voice: Voice) -> tuple[str, str, str]:
    """Return how the head is tilted, how that is looked at, and where the cutter's lowest corner is set."""
    away, outside = toward(plan, face), plan.details.ramp.outside_diameter / 2
    run = Fraction(25) if voice.unit == "mm" else Fraction(254, 10)
    runs = float(run) * math.sin(math.radians(face.angle))
    side = "front, toward YOU" if away == "YOU" else "back, toward the COLUMN"
    return (
        f"head tilted {voice.degrees(face.angle)} square to the feed, its top toward {leans(plan, face)}",
        f"indicator in the spindle against an upright square on the table, quill fed {voice.size(run)}: it runs {voice.length(runs)}; then the quill "
        "stays locked up, for it now moves aslant",
        f"Cutter's lowest corner touched against the ring's {side} (X 0), then the saddle wound toward {away} by {voice.length(float(outside - face.beside))}: it stands "
        f"{voice.length(float(face.beside))} from the centre line toward {away}; lock Y",
    )
