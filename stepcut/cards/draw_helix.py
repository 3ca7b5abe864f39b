"""A helical groove unrolled, seen from outside: its cuts as circles of the cutter's width."""

from __future__ import annotations

from math import pi

from stepcut.cards.svg import Drawing, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, ROOM = 64.0, 51.0
LEFT, TOP = 2.0, 5.0


def helix(plan: Plan) -> Drawing:
    """Return the cylinder cut open at rim 0 and laid flat: x to the right, one turn of the rim from edge to edge.

    A right-hand groove, its axis laid level, falls to the right; so the rim grows downwards for one, upwards for the other.
    """
    round_, length = pi * float(plan.target["diameter"]), float(plan.target["length"])
    scale = fitting(max(round_, length * ROOM / (WIDTH - 4)), ROOM)
    tall, wide = round_ * scale, length * scale
    svg = Svg(WIDTH, TOP + tall + 5.5)
    down = plan.turning == "clockwise"
    svg.area([(LEFT, TOP), (LEFT + wide, TOP), (LEFT + wide, TOP + tall), (LEFT, TOP + tall)], "#fff", 0.4)
    deep = float(plan.target["depth"]) - float(plan.leave)
    radius = plan.cutter.outline.half_width(deep) * scale
    for stop in plan.stops:
        share = float(plan.first.value(stop.first)) % 360 / 360
        y = TOP + tall * (share if down else 1 - share)
        x = LEFT + float(plan.second.value(stop.second)) * scale
        svg.circle((x, y), radius, 0.2, fill="#e4e4e4")
    for stop in plan.stops:
        share = float(plan.first.value(stop.first)) % 360 / 360
        y = TOP + tall * (share if down else 1 - share)
        svg.circle((LEFT + float(plan.second.value(stop.second)) * scale, y), 0.25, 0.2, fill="#000")
    at_head, at_foot = ("rim 0°", "rim 360°") if down else ("rim 360°", "rim 0°")
    svg.text((LEFT, TOP - 1.2), at_head, "start", bold=True)
    svg.text((LEFT, TOP + tall + 4), at_foot, "start")
    svg.text((LEFT + max(wide, 40.0), TOP + tall + 4), "x grows →", "end")
    says = f"{scale_text(scale)}, unrolled, from outside"
    return Drawing(svg.done("The groove unrolled, its cuts as circles"), svg.width, svg.height, says)
