"""A taper as it stands in the lathe: by steps as any turned profile; by whole cones the cone, and the way that the tool is fed."""

from __future__ import annotations

import math

from stepcut.cards.draw_turned import turned
from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, ROOM_WIDE, ROOM_TALL = 64.0, 40.0, 40.0
RIGHT, TOP = 50.0, 9.0


def part(plan: Plan) -> Drawing:
    """Return the taper; by whole cones with the tool's way beside the flank, work between centres slanted as it stands."""
    if not plan.coned:
        return turned(plan)
    sizes = plan.details.taper
    bore, length = sizes.side == "bore", float(sizes.length)
    large, small = float(sizes.large) / 2, float(sizes.small) / 2
    at_face, at_end = (large, small) if bore else (small, large)
    tall = max(large, float(plan.details.metal)) * (1.35 if bore else 1.0)
    scale = min(fitting(length * 1.25, ROOM_WIDE), fitting(2 * tall, ROOM_TALL))
    middle = TOP + tall * scale
    svg = Svg(WIDTH, 2 * middle + 10)

    tilted, end = plan.approach == "set-over", length * 1.25
    slope = math.radians(sizes.half_angle) if tilted else 0.0

    def at(z: float, radius: float) -> Point:
        """Turned about the end that the headstock holds; the work's other end comes toward YOU."""
        off = end - z
        along, out = off * math.cos(slope) - radius * math.sin(slope), off * math.sin(slope) + radius * math.cos(slope)
        return RIGHT - (end - along) * scale, middle + out * scale

    if bore:
        for side in (-1, 1):
            svg.area(
                [
                    at(0, side * at_face),
                    at(length, side * at_end),
                    at(end, side * at_end),
                    at(end, side * tall),
                    at(0, side * tall),
                ],
                "#e4e4e4",
                0.4,
            )
    else:
        outline = [(0.0, at_face), (length, at_end), (end, at_end)]
        svg.area([*(at(z, -r) for z, r in outline), *(at(z, r) for z, r in reversed(outline))], "#e4e4e4", 0.4)
    for side in (-1, 1):
        svg.line([at(0, side * at_face), at(length, side * at_end)], 0.6)
    svg.line([(0.5, middle), (WIDTH - 6, middle)], 0.25, "3,1,0.6,1")
    _way(svg, at, plan, bore)
    x, _ = at(0.0, 0.0)
    svg.line([(x, TOP - 3), (x, 2 * middle - TOP + 3)], 0.3, "1,1")
    svg.text((0, TOP - 5), "HEADSTOCK", "start", bold=True)
    svg.text((WIDTH / 2, svg.height - 1), "YOU", bold=True)
    feed = "carriage" if tilted else "compound"
    label = f"The cone, and the way of the {feed} along its flank"
    return Drawing(svg.done(label), WIDTH, svg.height, f"{scale_text(scale)}, from above; the arrow: the {feed}'s feed")


def _way(svg: Svg, at: object, plan: Plan, bore: bool) -> None:
    """Add the feed beside the flank on the side of YOU, from in front of the face."""
    assert callable(at)  # noqa: S101  # a function of this module
    sizes = plan.details.taper
    length, slope = float(sizes.length), math.tan(math.radians(sizes.half_angle))
    face = float(sizes.large if bore else sizes.small) / 2
    way = -slope if bore else slope
    beside = -2.0 if bore else 2.0  # mm of paper off the flank
    (x0, y0), (x1, y1) = at(-0.12 * length, face - 0.12 * length * way), at(0.8 * length, face + 0.8 * length * way)
    svg.arrow([(x0, y0 + beside), (x1, y1 + beside)])
