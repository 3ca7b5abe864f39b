"""The lock table and the contact plot as text."""

from __future__ import annotations

import math
from collections.abc import Sequence

from stepcut.plan import Contact
from stepcut.shop.lock import Locking, friction_angle
from stepcut.voice import Voice

NEWTON_MM_PER_INCH_POUND = 112.98482902761667  # exact: 4.4482216152605 N x 25.4 mm


def torque(value: float, voice: Voice) -> str:
    """Return a torque in inch-pounds or newton metres; an infinite one in words."""
    if math.isinf(value):
        return "none can"
    if voice.unit == "in":
        return f"{value / NEWTON_MM_PER_INCH_POUND:.0f} in-lb"
    return f"{value / 1000:.2f} N·m"


def lock_table(rows: Sequence[Locking], voice: Voice, width: int = 80) -> str:
    """Return what each friction means: torque to lock, to release, and whether it holds."""
    a, b, c = (10, 14, 18) if width >= 47 else (9, 10, 16)
    lines = [f"{'friction':<{a}}{'to lock':<{b}}{'to release':<{c}}holds"]
    for row in rows:
        release = torque(row.release, voice) if row.release > 0 else "opens by itself"
        holds = "yes" if row.holds else "NO"
        lines.append(f"{row.friction:<{a}.2f}{torque(row.lock, voice):<{b}}{release:<{c}}{holds}")
    return "\n".join(lines)


def lock_notes(rows: Sequence[Locking], flank: float) -> list[str]:
    """Return the sentences under the table: what the verdict rests on."""
    angles = ", ".join(f"{row.friction:.2f} is {friction_angle(row.friction, flank):.1f}°" for row in rows)
    lines = [f"A ramp alone holds where the friction angle is above the ramp angle: {angles}."]
    leaning = [f"{row.friction:.2f}" for row in rows if row.leans_on_collar]
    if leaning:
        lines.append(
            f"At friction {', '.join(leaning)} only the second face keeps it shut: keep that face dry and flat."
        )
    lines.append("Oil, vibration and wear lower friction. This is arithmetic, no promise of strength.")
    return lines


def contact_plot(contact: Contact, voice: Voice, width: int) -> str:
    """Return the contact curve: blue share along, height still standing over the wanted surface down."""
    columns = max(20, min(width - 14, 60))
    top = contact.height(1e-9)
    lines = []
    for r in range(9):
        height = top * (8 - r) / 8
        share = contact.share(max(height, 1e-9))
        lines.append(f"{voice.length(height):>10} |{'#' * round(share * columns)}")
    lines.append(f"{'':>10} +{'-' * columns}")
    ends = f"0 %{'blue shows':^{columns - 8}}100 %"
    lines.append(f"{'':>11}{ends}")
    return "\n".join(lines)
