"""Points as they lie on the table, seen from above: the line, the cutter at the first of them, and the middle."""

from __future__ import annotations

import math

from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, HEIGHT, ROOM = 64.0, 60.0, 46.0


def part(plan: Plan) -> Drawing:
    """Return the wanted line, every point, and the cutter at the first."""
    arc, size = plan.details.arc, float(plan.cutter.radius)
    places = [(float(plan.first.value(stop.first)), float(plan.second.value(stop.second))) for stop in plan.stops]
    line = [arc.point(float(arc.radius), float(arc.begin) + float(arc.span) * k / 90) for k in range(91)]
    xs, ys = [x for x, _ in [*places, *line]], [y for _, y in [*places, *line]]
    wide, tall = max(xs) - min(xs) + 2 * size, max(ys) - min(ys) + 2 * size
    scale = fitting(max(wide, tall), ROOM)
    middle = (max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2
    svg = Svg(WIDTH, HEIGHT)

    def at(x: float, y: float) -> Point:
        return WIDTH / 2 + (x - middle[0]) * scale, HEIGHT / 2 - (y - middle[1]) * scale

    svg.line([at(*point) for point in line], 0.6)
    every = max(1, math.ceil(len(places) / 90))
    for x, y in places[::every]:
        svg.circle(at(x, y), 0.35, 0.3)
    svg.circle(at(*places[0]), size * scale, 0.4, "1.2,0.8")
    cx, cy = at(float(arc.x), float(arc.y))
    if 0 < cx < WIDTH and 0 < cy < HEIGHT:
        svg.line([(cx - 1.5, cy), (cx + 1.5, cy)])
        svg.line([(cx, cy - 1.5), (cx, cy + 1.5)])
    svg.arrow([(2, HEIGHT - 6), (11, HEIGHT - 6)])
    svg.arrow([(2, HEIGHT - 6), (2, HEIGHT - 15)])
    svg.text((12, HEIGHT - 5), "X", "start", bold=True)
    svg.text((0.4, HEIGHT - 16), "Y", "start", bold=True)
    svg.text((WIDTH / 2, 3.4), "COLUMN", bold=True)
    svg.text((WIDTH / 2, HEIGHT - 1), "YOU", bold=True)
    label = "The points from above, the line solid, the cutter dashed at the first"
    return Drawing(svg.done(label), WIDTH, HEIGHT, f"{scale_text(scale)}, seen from above")
