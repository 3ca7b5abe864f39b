"""A sheet to draw on: elements of one SVG picture, in mm of the paper, y growing downwards."""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct, field

FONT = "DejaVu Sans Mono"
LETTER = 3.2  # mm: a little over 9 points
ADVANCE = 0.602  # width of a letter of the font over its size
_SCALES = (20.0, 10.0, 5.0, 4.0, 3.0, 2.0, 1.0, 1 / 2, 1 / 2.5, 1 / 4, 1 / 5, 1 / 10, 1 / 20, 1 / 50)

Point = tuple[float, float]


class Drawing(Struct, frozen=True):
    """A finished picture.

    Parameters
    ----------
    svg : str
        The picture.
    width, height : float
        Its own size on paper, mm.
    says : str
        Its scale, and how one looks at the part.
    """

    svg: str
    width: float
    height: float
    says: str


def fitting(size: float, room: float) -> float:
    """Return the largest usual scale at which something fits, both in mm.

    Examples
    --------
    >>> fitting(44.0, 46.0), fitting(20.0, 46.0), fitting(100.0, 46.0)
    (1.0, 2.0, 0.4)
    """
    return next((scale for scale in _SCALES if size * scale <= room), room / size)


def scale_text(scale: float) -> str:
    """Return a scale in words.

    Examples
    --------
    >>> scale_text(1.0), scale_text(2.0), scale_text(0.2)
    ('full size', 'scale 2:1', 'scale 1:5')
    """
    if scale == 1.0:
        return "full size"
    return f"scale {scale:g}:1" if scale > 1 else f"scale 1:{1 / scale:.4g}"


def grey(share: float) -> str:
    """Return a grey for a depth from 0 to 1: white to dark, never so dark that black lines vanish in it."""
    level = round(250 - 150 * min(1.0, max(0.0, share)))
    return f"#{level:02x}{level:02x}{level:02x}"


class Svg(Struct):
    """Elements of one drawing."""

    width: float
    height: float
    parts: list[str] = field(default_factory=list)
    arrows: list[tuple[float, float, float, float]] = field(
        default_factory=list
    )  # left, top, right, bottom round their points
    boxes: list[tuple[float, float, float, float]] = field(
        default_factory=list
    )  # of its words: left, top, right, bottom

    def line(self, points: Iterable[Point], width: float = 0.3, dash: str = "", fill: str = "none") -> None:
        """Add a polyline."""
        self._shape("polyline", points, width, dash, fill)

    def area(self, points: Iterable[Point], fill: str, width: float = 0.2, dash: str = "") -> None:
        """Add a closed shape; without a line round it when the width is 0."""
        self._shape("polygon", points, width, dash, fill)

    def _shape(self, name: str, points: Iterable[Point], width: float, dash: str, fill: str) -> None:
        shown = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        stroke = f'stroke="#000" stroke-width="{width}"' if width else 'stroke="none"'
        self.parts.append(f'<{name} points="{shown}" fill="{fill}" {stroke}{dashes}/>')

    def circle(self, at: Point, radius: float, width: float = 0.3, dash: str = "", fill: str = "none") -> None:
        """Add a circle."""
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<circle cx="{at[0]:.2f}" cy="{at[1]:.2f}" r="{radius:.2f}" fill="{fill}" stroke="#000" '
            f'stroke-width="{width}"{dashes}/>'
        )

    def text(self, at: Point, words: str, anchor: str = "middle", bold: bool = False) -> None:
        """Add fixed words or a number, held inside the picture; a white rim keeps them clear of lines and greys."""
        left, _, _, y = box = self._box(at, words, anchor)
        self.boxes.append(box)
        weight = ' font-weight="bold"' if bold else ""
        self.parts.append(
            f'<text x="{left:.2f}" y="{y:.2f}" font-family="{FONT}, monospace" font-size="{LETTER}"{weight} '
            f'stroke="#fff" stroke-width="0.9" stroke-linejoin="round" paint-order="stroke">{words}</text>'
        )

    def is_free(self, at: Point, words: str, anchor: str = "middle") -> bool:
        """Whether words would stand clear of all those that stand already, by half a letter at least on one line, and of arrows."""
        left, top, right, bottom = self._box(at, words, anchor)
        left, right = left - LETTER / 3, right + LETTER / 3
        return not any(
            left < r and lft < right and top < b and t < bottom for lft, t, r, b in (*self.boxes, *self.arrows)
        )

    def _box(self, at: Point, words: str, anchor: str) -> tuple[float, float, float, float]:
        wide = len(words) * LETTER * ADVANCE
        left = at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        left = max(0.0, min(left, self.width - wide))
        y = max(LETTER, min(at[1], self.height - 0.8))
        return left, y - LETTER * 0.76, left + wide, y

    def arrow(self, points: list[Point], width: float = 0.7) -> None:
        """Add a line with a head at its last point; no word that asks whether it is free stands on it."""
        self.line(points, width)
        self.arrows += [(x - 0.8, y - 0.8, x + 0.8, y + 0.8) for x, y in points]
        (x0, y0), (x, y) = points[-2:]
        bearing = math.atan2(y - y0, x - x0)
        wings = [(x - 2.4 * math.cos(bearing + s), y - 2.4 * math.sin(bearing + s)) for s in (0.45, -0.45)]
        self.area([(x, y), *wings], "#000", 0.2)

    def done(self, label: str) -> str:
        """Return the whole drawing."""
        size = f"0 0 {self.width:.2f} {self.height:.2f}"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{size}" role="img" aria-label="{label}">'
            f'<rect width="{self.width:.2f}" height="{self.height:.2f}" fill="#fff"/>'
        )
        return head + "".join(self.parts) + "</svg>"
