"""A rim cam as it stands on the machine with the rim at 0, seen facing it, its cuts marked."""

from __future__ import annotations

from itertools import pairwise
from math import cos, radians, sin

from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, HEIGHT, ROOM = 64.0, 60.0, 46.0
MIDDLE: Point = (28.0, 31.0)


def cam(plan: Plan) -> Drawing:
    """Return the cam: the witness line at 12 o'clock, its cuts, the cutter over it, the way that the table turns.

    Angles count against the table's turning on the part.
    """
    marks = sorted((float(plan.first.value(s.first)), float(plan.second.value(s.second))) for s in plan.stops)
    largest = max(height for _, height in marks)
    scale = fitting(2 * largest, ROOM)
    svg = Svg(WIDTH, HEIGHT)
    falls = 1.0 if plan.turning == "clockwise" else -1.0

    def at(radius: float, angle: float) -> Point:
        a = radians(90 + falls * angle)
        return MIDDLE[0] + radius * scale * cos(a), MIDDLE[1] - radius * scale * sin(a)

    closed = [*marks, (marks[0][0] + 360, marks[0][1])] if marks[-1][0] - marks[0][0] > 300 else marks
    rim = [at(*reversed(point)) for a, b in pairwise(closed) for point in _between(a, b)] or [
        at(marks[0][1], marks[0][0])
    ]
    svg.area([*rim, *([] if len(closed) > len(marks) else [MIDDLE])], "#e4e4e4", 0.5)
    apart = min((b[0] - a[0] for a, b in pairwise(marks)), default=9.0)
    for n, (angle, height) in enumerate(marks):
        if radians(apart) * largest * scale > 0.8 or n % 5 == 0:
            svg.line([at(height - 2.2 / scale, angle), at(height, angle)], 0.2)
    svg.circle(MIDDLE, largest * scale, 0.25, "1,1")
    svg.line([(MIDDLE[0] - 1.5, MIDDLE[1]), (MIDDLE[0] + 1.5, MIDDLE[1])])
    svg.line([MIDDLE, at(largest + 3 / scale, 0)], 0.3, "3,1,0.6,1")
    for angle in (90, 180, 270):
        x, y = at(largest * 0.62, angle)
        svg.text((x, y + 1.1), f"{angle}°")
    svg.text((MIDDLE[0] + 1.2, MIDDLE[1] - largest * scale * 0.45), "rim 0", "start", bold=True)
    half, top = float(plan.cutter.radius) * scale, MIDDLE[1] - marks[0][1] * scale
    if plan.approach == "end":
        svg.line(
            [(MIDDLE[0] - half, 4.5), (MIDDLE[0] - half, top), (MIDDLE[0] + half, top), (MIDDLE[0] + half, 4.5)],
            0.4,
            "1.2,0.8",
        )
    else:  # its side cuts: the round of the cutter as far as the picture goes
        round_ = [(half * cos(radians(a)), half * sin(radians(a))) for a in range(0, 361, 4)]
        seen = [(MIDDLE[0] + x, top - half + y) for x, y in round_[68:] + round_[:69] if top - half + y > 4.5]
        svg.line([p for p in seen if 0 < p[0] < WIDTH - 14 or p[1] > 9], 0.4, "1.2,0.8")
    svg.text((WIDTH, 7), "cutter", "end")
    _turning(svg, plan, largest * scale + 3.0)
    svg.text((MIDDLE[0], 3.4), "UP", bold=True)
    svg.text((MIDDLE[0], HEIGHT - 1), "DOWN", bold=True)
    says = f"{scale_text(scale)}, seen facing it, rim 0"
    return Drawing(svg.done("The cam seen facing it, its cuts marked, cutter dashed"), WIDTH, HEIGHT, says)


def _between(a: tuple[float, float], b: tuple[float, float]) -> list[tuple[float, float]]:
    """Return points from one cut to before the next, not more than 3 degrees apart."""
    count = max(1, round((b[0] - a[0]) / 3))
    return [(a[0] + (b[0] - a[0]) * k / count, a[1] + (b[1] - a[1]) * k / count) for k in range(count + 1)]


def _turning(svg: Svg, plan: Plan, radius: float) -> None:
    """Add the arrow of the way in which the table turns, at the left."""
    arc = [
        (MIDDLE[0] + radius * cos(radians(a)), MIDDLE[1] - radius * sin(radians(a))) for a in range(205, 139, -5)
    ]  # upwards at the left is clockwise
    svg.arrow(arc if plan.turning == "clockwise" else arc[::-1])
    svg.text((0, 7), "table", "start")
    svg.text((0, 10.6), "turns", "start")
