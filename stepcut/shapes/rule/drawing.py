"""A straight scale from above: every line where it stands, long lines long, numbers where they are."""

from __future__ import annotations

from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, HEIGHT, ROOM = 64.0, 30.0, 58.0
EDGE = 20.0  # where the lines begin, from the head of the picture


def part(plan: Plan) -> Drawing:
    """Return the scale along X, its edge toward you, and the way in which X grows."""
    svg, details = Svg(WIDTH, HEIGHT), plan.details
    places = [float(plan.first.value(stop.first)) for stop in plan.stops]
    lengths = [float(plan.second.value(stop.second)) for stop in plan.stops]
    scale = fitting(max(places) - min(places) or 1.0, ROOM)
    tall = min(scale, 11.0 / max(lengths))

    def at(x: float, y: float) -> Point:
        return (WIDTH - (max(places) - min(places)) * scale) / 2 + (x - min(places)) * scale, EDGE - y * tall

    svg.line([at(min(places), 0), at(max(places), 0)], 0.6)
    thin = 0.2 if len(places) > 80 else 0.35
    for place, length in zip(places, lengths, strict=True):
        svg.line([at(place, 0), at(place, length)], thin)
    numbered = [
        (stop, place, length)
        for stop, place, length in zip(plan.stops, places, lengths, strict=True)
        if stop.n in details.notes
    ]
    for stop, place, length in numbered[:: max(1, len(numbered) // 8)]:
        x, y = at(place, length)
        word = details.notes[stop.n].removeprefix("number ")
        if svg.is_free((x, y - 1.0), word):
            svg.text((x, y - 1.0), word)
    svg.arrow([(2, HEIGHT - 3), (11, HEIGHT - 3)])
    svg.text((12.5, HEIGHT - 2), "X", "start", bold=True)
    svg.text((WIDTH / 2, HEIGHT - 2), "YOU", bold=True)
    label = "The scale from above, every line where it stands"
    return Drawing(svg.done(label), WIDTH, HEIGHT, f"{scale_text(scale)} along X, seen from above")
