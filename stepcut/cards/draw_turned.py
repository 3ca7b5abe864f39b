"""A turned profile as it stands in the lathe: headstock at the left, the face with Z 0 at the right, the tool's corner."""

from __future__ import annotations

from stepcut.cards.svg import Drawing, Point, Svg, fitting, scale_text
from stepcut.plan import Plan

WIDTH, ROOM_WIDE, ROOM_TALL = 64.0, 46.0, 44.0
RIGHT, TOP = 52.0, 8.0


def turned(plan: Plan) -> Drawing:
    """Return both outlines of the wanted profile about its axis, the steps at the side of YOU, and the tool at cut 1."""
    sides = [[(each.flank.z_at(x), each.flank.radius_of(d)) for x, d in _outline(each)] for each in plan.details.cuts]
    zs = [z for side in sides for z, _ in side]
    radii = [radius for side in sides for _, radius in side]
    first = plan.stops[0]
    tool = float(plan.first.value(first.first)), float(plan.second.value(first.second))
    long, thick = max([*zs, tool[0]]) - min([*zs, 0.0]), max([*radii, tool[1]])
    scale = min(fitting(long, ROOM_WIDE), fitting(2 * thick, ROOM_TALL))
    middle = TOP + thick * scale
    svg = Svg(WIDTH, 2 * middle + 8)

    def at(z: float, radius: float) -> Point:
        return RIGHT - z * scale, middle + radius * scale

    for side in sides:
        upper, lower = [at(z, -radius) for z, radius in side], [at(z, radius) for z, radius in reversed(side)]
        svg.area([*upper, *lower], "#e4e4e4" if plan.details.cuts[0].flank.side == "outside" else "#fff", 0.0)
        svg.line(upper, 0.5)
        svg.line(lower, 0.5)
        for z, radius in (side[0], side[-1]):
            if z in (max(zs), min(zs)):
                svg.line([at(z, -radius), at(z, radius)], 0.25)
    svg.line([(0.5, middle), (WIDTH - 8, middle)], 0.25, "3,1,0.6,1")
    _steps(svg, plan, at)
    _tool(svg, plan, at(*tool), scale)
    x, _ = at(0.0, 0.0)
    svg.line([(x, TOP - 3), (x, 2 * middle - TOP + 3)], 0.3, "1,1")
    svg.text((x, TOP - 4), "Z 0", bold=True)
    svg.text((0, TOP - 4), "HEADSTOCK", "start", bold=True)
    svg.text((WIDTH / 2, svg.height - 1), "YOU", bold=True)
    says = f"{scale_text(scale)}, from above, cut 1"
    return Drawing(svg.done("The wanted profile and the tool's corner at the first cut"), WIDTH, svg.height, says)


def _outline(cut: object) -> list[Point]:
    """Return the wanted line of a flank as (coordinate, depth), close enough for paper."""
    line = cut.flank.wanted  # type: ignore[attr-defined]  # a CutFlank; cards do not import shapes
    marks = sorted({*(line.span * k / 60 for k in range(61)), *line.joints})
    return [(x, line.depth(x)) for x in marks]


def _steps(svg: Svg, plan: Plan, at: object) -> None:
    """Add the place of every cut at the side of YOU."""
    assert callable(at)  # noqa: S101  # a function of this module
    every = max(1, len(plan.stops) // 60)
    for stop in plan.stops[::every]:
        x, y = at(float(plan.first.value(stop.first)), float(plan.second.value(stop.second)))
        svg.line([(x, y), (x, y + 1.2)], 0.2)


def _tool(svg: Svg, plan: Plan, tip: Point, scale: float) -> None:
    """Add the tool with its corner at a place: its body on the side that the corner leaves free, as wide as it is said to be."""
    flank = plan.details.cuts[0].flank
    way = 1.0 if flank.toward_face else -1.0  # the body stands away from the metal, toward the face
    down = 1.0 if flank.side == "outside" else -1.0
    x, y = tip
    if plan.details.width and plan.cutter.kind == "square":
        wide = float(plan.details.width) * scale
        far = x + way * wide
        svg.area([(x, y), (far, y), (far, y + down * 9), (x, y + down * 9)], "#fff", 0.5)
        svg.text((max(x, far) + 1, y + down * 8.5), "tool", "start")
        return
    if plan.cutter.kind == "round":
        svg.circle((x + way * 1.5, y + down * 1.5), 1.5, 0.4, fill="#fff")
    body = [(x, y), (x + way * 5, y + down * 0.8), (x + way * 5, y + down * 7), (x + way * 1, y + down * 7)]
    svg.area(body, "#fff", 0.5)
    svg.text((x + way * 8, y + down * 5.5), "tool", "start")
