"""The ring of a ramp as it stands on the machine with the rim at 0: the deeper, the darker."""

from __future__ import annotations

from math import cos, radians, sin

from stepcut.cards.svg import Drawing, Point, Svg, fitting, grey, scale_text
from stepcut.plan import Plan, Stop

WIDTH, HEIGHT, ROOM = 64.0, 60.0, 46.0
MIDDLE: Point = (28.0, 31.0)


def ring(plan: Plan) -> Drawing:
    """Return the ring with its high and low ends, rim 0, cutter, feed, and the way that the table turns.

    Table flat: seen from above, with the column at the head and high end 1 at 3 o'clock.  Table on edge: seen facing it,
    with high end 1 at 12 o'clock under the cutter.
    """
    outside, bore = (float(plan.target[key]) / 2 for key in ("outside_diameter", "inside_diameter"))
    scale = fitting(2 * outside, ROOM)
    svg, side = Svg(WIDTH, HEIGHT), plan.approach == "side"
    falls = 1.0 if plan.turning == "clockwise" else -1.0  # the part falls against the turning
    begin = 90.0 if side else 0.0

    def at(radius: float, angle: float) -> Point:
        a = radians(begin + falls * angle)
        return MIDDLE[0] + radius * cos(a), MIDDLE[1] - radius * sin(a)

    ro, rb = outside * scale, bore * scale
    _shades(svg, plan, at, ro, rb)
    svg.circle(MIDDLE, ro, 0.5)
    svg.circle(MIDDLE, rb, 0.5)
    svg.line([(MIDDLE[0] - 1.5, MIDDLE[1]), (MIDDLE[0] + 1.5, MIDDLE[1])])
    svg.line([(MIDDLE[0], MIDDLE[1] - 1.5), (MIDDLE[0], MIDDLE[1] + 1.5)])
    svg.line([at(rb * 0.35, 0), at(ro + 6, 0)], 0.3, "3,1,0.6,1")
    _cutter(svg, plan, scale, side)
    turn = [at(ro + 3.2, falls * a - begin * falls) for a in range(135, 59, -5)]
    svg.arrow(turn if plan.turning == "clockwise" else turn[::-1])
    svg.text((0, 7), "table", "start")
    svg.text((0, 10.6), "turns", "start")
    svg.text((MIDDLE[0], 3.4), "UP" if side else "COLUMN", bold=True)
    svg.text((MIDDLE[0], HEIGHT - 1), "DOWN" if side else "YOU", bold=True)
    _ends(svg, plan, at, ro, rb)
    looks = "seen facing it" if side else "seen from above"
    label = f"The ring {looks}, rim at 0, deeper is darker, cutter dashed"
    return Drawing(svg.done(label), WIDTH, HEIGHT, f"{scale_text(scale)}, {looks}, rim 0")


def _by_ramp(plan: Plan) -> list[list[Stop]]:
    """Return the stops of each ramp from its high end down."""
    ramps: dict[int, list[Stop]] = {}
    for stop in sorted(plan.stops, key=lambda stop: stop.first):
        ramps.setdefault(stop.start, []).append(stop)
    return [ramps[start] for start in sorted(ramps)]


def _shades(svg: Svg, plan: Plan, at: object, ro: float, rb: float) -> None:
    """Add a grey field for each floor: from its stop to the next, the last one as far as the cutter runs out."""
    assert callable(at)  # noqa: S101  # a function of this module
    deepest = max((float(plan.second.value(stop.second)) for stop in plan.stops), default=1.0) or 1.0
    run_out = float(plan.result.more["run_out"]["needed"])
    for ramp in _by_ramp(plan):
        stops = ramp[:: max(1, len(ramp) // 60)]  # fields that paper can show
        places = [float(plan.first.value(stop.first)) for stop in stops]
        ends = [*places[1:], places[-1] + run_out]
        apart = min((b - a for a, b in zip(places, ends, strict=True)), default=1.0)
        edge = 0.15 if radians(apart) * ro > 0.8 else 0.0  # lines that would run together are left out
        for stop, a, b in zip(stops, places, ends, strict=True):
            count = max(1, round((b - a) / 3))
            angles = [a + (b - a) * k / count for k in range(count + 1)]
            field = [at(ro, x) for x in angles] + [at(rb, x) for x in reversed(angles)]
            svg.area(field, grey(float(plan.second.value(stop.second)) / deepest), edge)


def _ends(svg: Svg, plan: Plan, at: object, ro: float, rb: float) -> None:
    """Mark where each ramp is high and where it is low, in the bore where there is room, else outside."""
    assert callable(at)  # noqa: S101  # a function of this module
    sector, span = 360 / plan.copies, float(plan.target["span"])
    for start in range(plan.copies):
        high = start * sector
        svg.line([at(rb - 1, high), at(ro + 1.5, high)], 0.7)
        svg.line([at(rb - 1, high + span), at(ro + 1.5, high + span)], 0.3)
    if plan.copies > 4:
        return
    inward = rb > 15
    outside, within, wall = (ro + 9.0, ro + 3.0), (rb - 7.6, rb - 3.0), ((ro + rb) / 2, (ro + rb) / 2)

    def beside(angle: float, reach: tuple[float, float]) -> Point:
        (x, y), (cx, cy) = at(1.0, angle), MIDDLE
        below = 1.1
        if abs(y - cy) < 0.3 and x > cx:  # clear of the line of rim 0; outside the ring, of its word too
            below = 4.2 if reach[0] < ro else 7.8 if plan.turning == "clockwise" else -5.1
        return cx + (x - cx) * reach[0], cy + (y - cy) * reach[1] + below

    def free(angle: float, word: str) -> Point | None:
        wheres = [beside(angle, reach) for reach in ((within, outside) if inward else (outside, within, wall))]
        return next((where for where in wheres if svg.is_free(where, word)), None)

    for start in range(plan.copies):
        word = f"HIGH {start + 1}"
        if inward or start or span < sector:  # else two ramps meet there, and at rim 0 its own word stands
            svg.text(free(start * sector, word) or beside(start * sector, wall), word, bold=True)
    for start in range(plan.copies):
        where = free(start * sector + span, word := f"low {start + 1}")
        if span < sector and where:
            svg.text(where, word)


def _cutter(svg: Svg, plan: Plan, scale: float, side: bool) -> None:
    """Add the cutter over the high end, with the feed."""
    radius = float(plan.cutter.radius) * scale
    over = float(plan.details.offset) * scale
    outside, bore = (float(plan.target[key]) / 2 * scale for key in ("outside_diameter", "inside_diameter"))
    up = 1.0 if plan.turning == "clockwise" else -1.0  # downhill is toward the column when the table turns clockwise
    x, y = MIDDLE
    if side:
        left = x - up * over
        low = y - max(bore - 2.0, 0.0)
        box = [(left - radius, 5.5), (left - radius, low), (left + radius, low), (left + radius, 5.5)]
        svg.line(box, 0.4, "1.2,0.8")
        svg.text((WIDTH, 12), "cutter", "end")
        svg.text((WIDTH, y - outside * 0.75), "rim 0", "end")
        return
    middle, axis = x + (outside + bore) / 2, y - up * over
    svg.circle((middle, axis), radius, 0.4, "1.2,0.8")
    svg.line([(middle - 1, axis), (middle + 1, axis)])
    svg.line([(middle, axis - 1), (middle, axis + 1)])
    svg.text((WIDTH, y + 4.2 if up > 0 else y - 1.5), "rim 0", "end")
    if plan.approach == "across":
        begin = max(middle + radius + 1.0, x + outside + 2.0)
        tip = begin + 0.6
        svg.arrow([(min(tip + 8.0, WIDTH - 0.5), axis - up * 0.2), (tip, axis - up * 0.2)])
        svg.text((WIDTH, axis - 2.6 if up > 0 else axis + 5.0), "feed", "end")
    else:
        svg.text((WIDTH, axis - 2.6 if up > 0 else axis + 5.0), "down", "end")
