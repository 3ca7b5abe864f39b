"""Small drawings for a terminal: a ring seen from above, and the unrolled stair; two rows of dots in one line."""

from __future__ import annotations

import itertools
import math

from stepcut.plan import Picture, Plan, Polyline
from stepcut.shapes import named

SHADES = " ░▒▓█"  # from the air to the deepest metal; see stepcut.cards.page for what plain terminals get


def ring(plan: Plan, columns: int = 24, rows: int = 12) -> list[str]:
    """Return a ramp's ring as it stands on the table at rim 0, high end 1 at 3 o'clock: the deeper, the darker.

    A character is twice as high as it is wide, so a row is two dots high and a circle is round.

    Parameters
    ----------
    plan : Plan
        Of a ramp.
    columns, rows : int
        Room for the drawing.
    """
    outside, bore = plan.target["outside_diameter"] / 2, plan.target["inside_diameter"] / 2
    falls = 1 if plan.turning == "clockwise" else -1  # the part falls against the table's turning, seen from above
    deepest = max((float(plan.second.value(stop.second)) for stop in plan.stops), default=1.0)
    depths = sorted(
        (float(plan.first.value(stop.first)) % 360, float(plan.second.value(stop.second))) for stop in plan.stops
    )
    sector = 360 / plan.copies
    lines = []
    for row in range(rows):
        line = ""
        for column in range(columns):
            x = (column + 0.5) / columns * 2 - 1
            y = 1 - (row + 0.5) / rows * 2
            distance = math.hypot(x, y) * outside
            if not bore <= distance <= outside:
                line += SHADES[0]
                continue
            at = falls * math.degrees(math.atan2(y, x)) % 360
            before = [depth for place, depth in depths if at - sector < place <= at]
            line += SHADES[1 + min(3, int(4 * (before[-1] if before else 0.0) / (deepest * 1.001)))]
        lines.append(line.rstrip())
    return lines


def stair(picture: Picture, width: int, height: int = 6) -> list[str]:
    """Return the unrolled stair in half blocks: metal that stands after the cuts; twice as many dots as lines."""
    columns = max(20, min(width, 76))
    span = picture.wanted[-1][0]
    deepest = max(depth for _, depth in picture.wanted) or 1.0
    cuts = [_depth_at(picture.cut, (c + 0.5) / columns * span) for c in range(columns)]
    lines = []
    for row in range(height):
        upper, lower = ((2 * row + k + 0.5) / (2 * height) * deepest for k in (0, 1))
        lines.append("".join(" ▄▀█"[(lower >= cut) + 2 * (upper >= cut)] for cut in cuts).rstrip())
    return lines


def _depth_at(line: Polyline, where: float) -> float:
    for (a, da), (b, db) in itertools.pairwise(line):
        if a <= where <= b:
            return da if b == a else da + (db - da) * (where - a) / (b - a)
    return line[-1][1]


def room(plan: Plan, width: int) -> tuple[int, int]:
    """Return the columns and rows that a drawing of a plan takes on a page of a width: a ring is as high as wide."""
    return (min(width, 28), 14) if named(plan.shape, "DRAWING") == "ring" else (min(width, 76), 8)


def drawing(plan: Plan, columns: int, rows: int) -> tuple[list[str], str]:
    """Return the drawing of a plan and what it shows; empty where a shape has none."""
    if named(plan.shape, "DRAWING") == "ring" and plan.approach != "side":
        return [
            "COLUMN".center(columns).rstrip(),
            *ring(plan, columns, rows - 2),
            "YOU".center(columns).rstrip(),
        ], "from above, rim at 0"
    if plan.picture is not None:
        return stair(plan.picture, columns, rows), "unrolled, height stretched"
    return [], ""
