"""A face scroll as it stands on the machine, seen from above: its cuts as circles of the cutter's width."""

from __future__ import annotations

from math import cos, radians, sin

from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan, Stop

WIDTH, HEIGHT, ROOM = 64.0, 60.0, 46.0
MIDDLE: Point = (28.0, 31.0)
MOST_CIRCLES = 400  # more run together on paper


def part(plan: Plan) -> Drawing:
    """Return the face with its groove, rim 0 at 3 o'clock under the cutter, and the way that the table turns."""
    out = 2 * (float(plan.target["end"]) + float(plan.cutter.radius))
    scale = fitting(out, ROOM)
    svg = Svg(WIDTH, HEIGHT)
    falls = 1.0 if plan.turning == "clockwise" else -1.0  # the groove runs against the turning

    def at(stop: Stop) -> Point:
        r, a = float(plan.second.value(stop.second)) * scale, radians(falls * float(plan.first.value(stop.first)))
        return MIDDLE[0] + r * cos(a), MIDDLE[1] - r * sin(a)

    wide = plan.details.width / 2 * scale
    few = plan.stops[:: max(1, len(plan.stops) // MOST_CIRCLES)]
    for stop in few:
        svg.circle(at(stop), wide, 0.2, fill="#e4e4e4")
    for start in range(1, plan.copies + 1):
        svg.line([at(stop) for stop in plan.stops if stop.start == start], 0.25)
    x, y = MIDDLE
    svg.line([(x - 1.5, y), (x + 1.5, y)])
    svg.line([(x, y - 1.5), (x, y + 1.5)])
    first = at(plan.stops[0])
    svg.circle(first, wide, 0.6)
    reach = out / 2 * scale
    svg.line([(x + 2.5, y), (min(WIDTH - 0.5, x + reach + 6), y)], 0.3, "3,1,0.6,1")
    turn = [(x + (reach + 3.2) * cos(radians(a)), y - (reach + 3.2) * sin(radians(a))) for a in range(135, 59, -5)]
    svg.arrow(turn if plan.turning == "clockwise" else turn[::-1])
    svg.text((0, 7), "table", "start")
    svg.text((0, 10.6), "turns", "start")
    svg.text((x, 3.4), "COLUMN", bold=True)
    svg.text((x, HEIGHT - 1), "YOU", bold=True)
    svg.text((WIDTH, y + 4.2), "rim 0", "end")
    svg.text((WIDTH, y - 1.5), "x →", "end")
    label = "The face seen from above, rim at 0, the cuts as circles of the groove's width"
    return Drawing(svg.done(label), WIDTH, HEIGHT, f"{scale_text(scale)}, seen from above, rim 0")
