"""The stair unrolled, and under it the file map: the surface in bands of how much stands there to be filed."""

from __future__ import annotations

from bisect import bisect_right
from math import hypot, radians

from stepcut.cards.svg import LETTER, Drawing, Svg
from stepcut.plan import Picture, Plan, Polyline
from stepcut.shapes import named
from stepcut.shop.blueing import first_touch, upper_part

WIDTH, LEFT, LONG = 90.0, 1.0, 88.0
TALL, LOW = (22.0, 12.0), (10.0, 7.0)  # stair and strip: of one flank alone, and of several
BANDS = ("#ffffff", "#cfcfcf", "#8f8f8f", "#3f3f3f")
COLUMNS = 176
BLUE, TOUCHES = 2.6, 88  # a strip of first blue: mm high, and how many places it shows
_STRETCHES = (
    0.01,
    0.02,
    0.05,
    0.1,
    0.2,
    0.25,
    0.5,
    1,
    2,
    3,
    4,
    5,
    6,
    8,
    10,
    12,
    15,
    20,
    25,
    30,
    40,
    50,
    60,
    80,
    100,
    150,
    200,
    300,
    500,
    1000,
)


def at_line(line: Polyline, where: float) -> float:
    """Return the depth of a line at a coordinate, straight between its points; its ends go on level."""
    k = bisect_right(line, where, key=lambda point: point[0])
    if k == 0 or k == len(line):
        return line[min(k, len(line) - 1)][1]
    (a, da), (b, db) = line[k - 1], line[k]
    return da + (db - da) * (where - a) / (b - a)


def stands(picture: Picture, cut: Polyline, count: int = COLUMNS, square: bool = False) -> list[float]:
    """Return how much stands over the wanted line in each of so many equal lengths of the surface, mm.

    Along the depth; or square to the wanted line, as a file meets it, which counts where a line is steep.
    """
    low, high = picture.wanted[0][0], picture.wanted[-1][0]
    half = (high - low) / count / 2
    found = []
    for k in range(count):
        x = low + (2 * k + 1) * half
        here = at_line(picture.wanted, x) - at_line(cut, x)
        slope = (at_line(picture.wanted, x + half) - at_line(picture.wanted, x - half)) / (2 * half) if square else 0.0
        found.append(here / hypot(1.0, slope))
    return found


def stair(plan: Plan, picture: Picture, unit: str) -> Drawing:
    """Return the stair over its map, one below the other where a part has several flanks; the stretch is a round number and said.

    Parameters
    ----------
    plan : Plan
        What is cut.
    picture : Picture
        Its wanted line and its stair, and those of its other flanks.
    unit : str
        in or mm, of the numbers beside the bands.
    """
    flanks = (picture, *picture.more)
    square = not plan.first.angular
    rows = [_rows(each, square) for each in flanks]
    least, most = max(0.0, min(min(map(min, each)) for each in rows)), max(max(map(max, each)) for each in rows)
    edges = [least + (most - least) * k / len(BANDS) for k in range(len(BANDS) + 1)]
    high, strip = TALL if len(flanks) == 1 else LOW
    mates = plan.result.more.get("ramp_angle") is not None and plan.target.get("law", "uniform") == "uniform"
    one = high + strip + LETTER + 6.5 + (2 * BLUE + LETTER + 2.5 if mates else 0.0)
    svg = Svg(WIDTH, len(flanks) * one + LETTER + 2.0)
    for n, (each, found) in enumerate(zip(flanks, rows, strict=True)):
        top = n * one
        stretch = _stair(svg, plan, each, top, high, mates)
        _bands(svg, found, edges, top + high + 3.0, strip)
        y = top + high + strip + 3.0 + LETTER + 0.8
        ends = named(plan.shape, "ENDS") or ("start", "end")
        svg.text((LEFT, y), f"{each.name}: {ends[0]}" if each.name else ends[0], "start")
        svg.text((LEFT + LONG, y), ends[1], "end")
        svg.text((LEFT + LONG / 2, y), f"height x {stretch:g}")
        if mates:
            _first_blue(svg, plan, each, y + 1.5)
    _legend(svg, edges, svg.height - 1.2, unit)
    says = f"solid: cut, dashed: wanted{', dotted: the mate, half a step on' if mates else ''}{'; what stands is square to the surface' if square else ''}"
    label = "The unrolled stair, and the surface in bands of what stands there"
    return Drawing(svg.done(label), WIDTH, svg.height, says)


def _first_blue(svg: Svg, plan: Plan, picture: Picture, top: float) -> None:
    """Add two strips, shut and half a step on: black where two parts as cut touch first, and so show blue."""
    first, last = picture.wanted[0][0], picture.wanted[-1][0]
    half = (last - first) / max(1, len(plan.stops) // plan.copies) / 2
    for n, turned in enumerate((0.0, -half)):
        y = top + n * BLUE
        touches = first_touch(picture.wanted, picture.cut, turned, TOUCHES)
        for k, touch in enumerate(touches):
            x0, x1 = (LEFT + LONG * j / TOUCHES for j in (k, k + 1))
            if touch:
                svg.area([(x0, y), (x1, y), (x1, y + BLUE), (x0, y + BLUE)], "#000000", 0.0)
        svg.line([(LEFT, y), (LEFT + LONG, y), (LEFT + LONG, y + BLUE), (LEFT, y + BLUE), (LEFT, y)], 0.3)
    svg.text((LEFT + LONG / 2, top + 2 * BLUE + LETTER), "first blue, as cut: shut; half a step on")


def _stair(svg: Svg, plan: Plan, picture: Picture, top: float, room: float, mates: bool = False) -> float:
    """Add the wanted line and the stair of a flank, and of its mate; return by how much their height is stretched."""
    low, high = picture.wanted[0][0], picture.wanted[-1][0]
    inside = [(x, d) for x, d in picture.cut if low <= x <= high]
    depths = [depth for _, depth in (*picture.wanted, *inside)]
    least, tall = min(depths), (max(depths) - min(depths)) or 1.0
    radius = picture.radius or float(plan.second.value(plan.stops[0].second))
    long = (high - low) * (radians(1) * radius if plan.first.angular else 1.0)
    along = LONG / long
    stretch = max([n for n in _STRETCHES if n * along * tall <= room * 1.001], default=0.01)

    def place(x: float, depth: float) -> tuple[float, float]:
        down = (depth - least) * along * min(stretch, room / tall / along)
        return LEFT + (x - low) / (high - low) * LONG, top + 1.0 + down

    svg.line([place(x, d) for x, d in inside], 0.4)
    svg.line([place(x, d) for x, d in picture.wanted], 0.3, "1.4,0.9")
    if mates:
        half = (high - low) / max(1, len(plan.stops) // plan.copies) / 2
        rests = upper_part(picture.cut, low, high, -half)
        svg.line([place(x, min(max(d, least), least + tall)) for x, d in rests], 0.3, "0.3,0.7")
    return stretch


def _rows(picture: Picture, square: bool) -> list[list[float]]:
    """Return what stands in each column of the strip, a row for each radius that was traced, the outside first."""
    cuts = [cut for _, cut in sorted(picture.rows, reverse=True)] or [picture.cut]
    return [stands(picture, cut, square=square) for cut in cuts]


def _bands(svg: Svg, rows: list[list[float]], edges: list[float], top: float, high: float) -> None:
    """Add the strip: every row in patches of the shades of its bands."""
    deep = high / len(rows)
    for n, row in enumerate(rows):
        names = [min(len(BANDS) - 1, max(0, bisect_right(edges, value + 1e-9) - 1)) for value in row]
        begin = 0
        for k in range(1, len(names) + 1):
            if k == len(names) or names[k] != names[begin]:
                x0, x1 = (LEFT + LONG * j / len(names) for j in (begin, k))
                y0, y1 = top + n * deep, min(top + (n + 1) * deep + 0.1, top + high)  # no gap between rows
                svg.area([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], BANDS[names[begin]], 0.0)
                begin = k
    svg.line([(LEFT, top), (LEFT + LONG, top), (LEFT + LONG, top + high), (LEFT, top + high), (LEFT, top)], 0.4)


def _legend(svg: Svg, edges: list[float], y: float, unit: str) -> None:
    """Add a patch for each band with the most that stands there, in the card's unit."""
    size, digits = (25.4, 4) if unit == "in" else (1.0, 3)
    step = (LONG - 13) / len(BANDS)
    svg.text((LEFT, y), "up to", "start")
    for k, shade in enumerate(BANDS):
        x = LEFT + 12 + k * step
        svg.area([(x, y - 2.8), (x + 4, y - 2.8), (x + 4, y + 0.4), (x, y + 0.4)], shade, 0.3)
        svg.text((x + 4.8, y), f"{edges[k + 1] / size:.{digits}f}", "start")
