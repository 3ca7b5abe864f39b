"""A divided part, seen facing it: every place where it stands, long lines long, numbers where they are."""

from __future__ import annotations

from math import cos, radians, sin

from stepcut.cards.svg import Drawing, Point, Svg
from stepcut.plan import Plan

WIDTH, HEIGHT, RADIUS = 64.0, 60.0, 20.0
MIDDLE: Point = (30.0, 31.0)


def part(plan: Plan) -> Drawing:
    """Return the part with its places, nought at 12 o'clock, and the way that the table turns."""
    svg = Svg(WIDTH, HEIGHT)
    details = plan.details
    falls = 1.0 if plan.turning == "clockwise" else -1.0  # the part counts against the turning

    def at(radius: float, angle: float) -> Point:
        a = radians(90 + falls * angle)
        return MIDDLE[0] + radius * cos(a), MIDDLE[1] - radius * sin(a)

    svg.circle(MIDDLE, RADIUS, 0.5)
    svg.line([(MIDDLE[0] - 1.5, MIDDLE[1]), (MIDDLE[0] + 1.5, MIDDLE[1])])
    svg.line([(MIDDLE[0], MIDDLE[1] - 1.5), (MIDDLE[0], MIDDLE[1] + 1.5)])
    longest = max((float(plan.second.value(stop.second)) for stop in plan.stops), default=1.0) or 1.0
    for stop in plan.stops:
        angle, size = float(plan.first.value(stop.first)), float(plan.second.value(stop.second)) / longest
        if plan.approach == "lines":
            svg.line([at(RADIUS, angle), at(RADIUS - 5.5 * size, angle)], 0.2 if len(plan.stops) > 72 else 0.35)
        elif plan.approach == "holes":
            svg.circle(at(RADIUS * 0.82, angle), max(0.4, min(2.0, 40 / len(plan.stops))), 0.3)
        else:
            svg.line([at(RADIUS, angle), at(RADIUS * 0.82, angle)], max(0.3, min(1.6, 30 / len(plan.stops))))
        number = details.notes.get(stop.n, "").removeprefix("number ")
        if number and len(details.notes) <= 16:
            x, y = at(RADIUS + 3.4, angle)
            svg.text((x, y + 1.1), number)
    svg.text((0, 7), "table", "start")
    svg.text((0, 10.6), "turns", "start")
    arc = [
        (MIDDLE[0] + (RADIUS + 6) * cos(radians(a)), MIDDLE[1] - (RADIUS + 6) * sin(radians(a)))
        for a in range(205, 159, -5)
    ]
    svg.arrow(arc if plan.turning == "clockwise" else arc[::-1])
    svg.text((MIDDLE[0], 3.4), "rim 0", bold=True)
    return Drawing(svg.done("The divided part seen facing it, nought at the head"), WIDTH, HEIGHT, "no scale, seen facing it, rim 0")  # fmt: skip
