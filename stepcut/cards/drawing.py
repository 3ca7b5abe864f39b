"""Drawings of a plan as SVG, to scale: the ring seen from above, and the unrolled stair against the wanted line.

Black lines only, so that any printer serves.  Text in a drawing is numbers and fixed words, never the user's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from math import cos, radians, sin

from stepcut.plan import Picture, Plan, Polyline

SIZE = 100.0  # units of a drawing's height
FONT = "DejaVu Sans Mono"


@dataclass
class _Svg:
    """Elements of one drawing; y grows downwards."""

    width: float
    height: float
    parts: list[str] = field(default_factory=list)

    def line(
        self, points: Polyline | list[tuple[float, float]], width: float = 0.4, dash: str = "", fill: str = "none"
    ) -> None:
        """Add a polyline."""
        shown = " ".join(f"{x:.3f},{y:.3f}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(f'<polyline points="{shown}" fill="{fill}" stroke="#000" stroke-width="{width}"{dashes}/>')

    def circle(self, x: float, y: float, radius: float, width: float = 0.4, dash: str = "") -> None:
        """Add a circle."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{radius:.3f}" fill="none" stroke="#000" stroke-width="{width}"{dashes}/>'
        )

    def text(self, x: float, y: float, words: str, size: float = 5.0, anchor: str = "middle") -> None:
        """Add fixed words or a number."""
        self.parts.append(
            f'<text x="{x:.3f}" y="{y:.3f}" font-family="{FONT}, monospace" font-size="{size}" text-anchor="{anchor}">{words}</text>'
        )

    def done(self, label: str) -> str:
        """Return the whole drawing."""
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {self.width:.0f} {self.height:.0f}" role="img" aria-label="{label}">'
            f'<rect width="{self.width:.0f}" height="{self.height:.0f}" fill="#fff"/>'
        )
        return head + "".join(self.parts) + "</svg>"


def drawings(plan: Plan) -> tuple[str, ...]:
    """Return the drawings that belong to a plan: a ramp's ring, and the stair where there is one."""
    found = []
    if plan.shape == "ramp":
        found.append(ring(plan))
    if plan.picture is not None:
        found.append(stair(plan.picture, "degrees" if plan.first.angular else "mm"))
    return tuple(found)


def ring(plan: Plan) -> str:
    """Return the ring seen from above: stops numbered, the cutter at the first stop with its set-over, hand and direction."""
    ramp, svg = plan.details.ramp, _Svg(SIZE, SIZE)
    middle = SIZE / 2
    cutter = float(plan.cutter.radius)
    scale = 38.0 / (ramp.outside + (cutter * 0.6 if plan.approach != "side" else 0))
    # Seen from above, a ramp that rises clockwise falls anticlockwise; y grows downwards on paper.
    sign = -1.0 if ramp.rises == "clockwise" else 1.0

    def at(radius: float, degrees: float) -> tuple[float, float]:
        a = radians(degrees) * sign
        return middle + radius * scale * cos(a), middle + radius * scale * sin(a)

    svg.circle(middle, middle, ramp.outside * scale, 0.7)
    svg.circle(middle, middle, ramp.bore * scale, 0.7)
    svg.line([(middle - 2, middle), (middle + 2, middle)], 0.3)
    svg.line([(middle, middle - 2), (middle, middle + 2)], 0.3)
    every = 1 if len(plan.stops) <= 24 else 5
    for stop in plan.stops:
        degrees = float(plan.first.value(stop.first))
        svg.line([at(ramp.bore, degrees), at(ramp.outside, degrees)], 0.25)
        if stop.n == 1 or stop.n % every == 0 or stop.n == len(plan.stops):
            x, y = at(ramp.outside + 4.5 / scale, degrees)
            svg.text(x, y + 1.2, str(stop.n), 3.2)
    for start in range(ramp.starts):
        svg.line(
            [at(ramp.bore * 0.9, start * float(ramp.sector)), at(ramp.outside * 1.03, start * float(ramp.sector))], 0.9
        )
    first = float(plan.first.value(plan.stops[0].first))
    if plan.approach != "side":
        over, radius = float(plan.details.offset), (ramp.bore + ramp.outside) / 2
        turn = math.degrees(math.atan2(over, radius))
        x, y = at(math.hypot(radius, over), first + turn)
        svg.circle(x, y, cutter * scale, 0.5, "1.5,1")
    _arrow(svg, middle, -sign)
    svg.text(middle, SIZE - 1.5, f"rises {ramp.rises}; table turns {plan.turning}", 3.6)
    return svg.done("The ring seen from above, stops numbered, cutter dashed at stop 1")


def _arrow(svg: _Svg, middle: float, sign: float) -> None:
    """Draw the way the table turns as an arc with a head, inside the bore; sign 1 is clockwise on paper."""
    points = [(middle + 11 * cos(sign * radians(a)), middle + 11 * sin(sign * radians(a))) for a in range(-150, -29, 6)]
    svg.line(points, 0.8)
    x, y = points[-1]
    bearing = sign * radians(-30) + sign * math.pi / 2
    for spread in (2.6, -2.6):
        svg.line([(x, y), (x + 4 * cos(bearing + spread), y + 4 * sin(bearing + spread))], 0.8)


def stair(picture: Picture, unit: str) -> str:
    """Return the unrolled stair: solid what is cut, dashed what is wanted; depth is drawn larger than length."""
    svg = _Svg(160.0, SIZE * 0.62)
    left, top, width, height = 8.0, 6.0, 146.0, 42.0
    low, high = picture.wanted[0][0], picture.wanted[-1][0]
    depths = [depth for _, depth in (*picture.wanted, *picture.cut)]
    least, most = min(depths), max(depths)
    tall = (most - least) or 1.0

    def place(point: tuple[float, float]) -> tuple[float, float]:
        return left + (point[0] - low) / (high - low) * width, top + (point[1] - least) / tall * height

    svg.line([place(point) for point in picture.cut], 0.6)
    svg.line([place(point) for point in picture.wanted], 0.4, "2,1.2")
    svg.line([(left, top + height + 3), (left + width, top + height + 3)], 0.3)
    svg.text(left, top + height + 9, "0", 4.2, "start")
    svg.text(left + width, top + height + 9, f"{high - low:.4g} {unit}", 4.2, "end")
    svg.text(left + width / 2, top + height + 9, "solid: cut, dashed: wanted", 4.2)
    return svg.done("The unrolled stair against the wanted line")
