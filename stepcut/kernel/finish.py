"""What is left: ridges, stock, twist, volume and contact, computed from the cutter's real footprint.

At each of a few radii the as-cut surface is the upper envelope of the footprints at their stops: a row of pieces, each cut
by one stop.  Stock is integrated piece by piece with Gauss's rule, and over the wall with Gauss's rule again; ridges stand
where pieces meet.  No outside source: derived here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from stepcut.kernel.cut import Cut, Place, where_lowest
from stepcut.plan import Contact, Picture, Polyline, Result

# Gauss-Legendre abscissae and weights on [0, 1]: M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions",
# table 25.4 (n = 4 and n = 8, moved from [-1, 1]); checked against numpy in the tests.
GAUSS_1 = ((0.5, 1.0),)  # exact for a straight line
GAUSS_4 = (
    (0.06943184420297371, 0.17392742256872693), (0.33000947820757187, 0.32607257743127307),
    (0.66999052179242813, 0.32607257743127307), (0.93056815579702629, 0.17392742256872693),
)  # fmt: skip
GAUSS_8 = (
    (0.01985507175123188, 0.05061426814518813), (0.10166676129318664, 0.11119051722668724),
    (0.23723379504183550, 0.15685332293894364), (0.40828267875217510, 0.18134189168918099),
    (0.59171732124782490, 0.18134189168918099), (0.76276620495816450, 0.15685332293894364),
    (0.89833323870681336, 0.11119051722668724), (0.98014492824876812, 0.05061426814518813),
)  # fmt: skip


class Piece(NamedTuple):
    """A stretch of the surface made by one stop; None is the uncut face."""

    low: float
    high: float
    stop: Place | None


@dataclass(frozen=True)
class Surface:
    """The as-cut surface: a wanted surface, a footprint and the stops; worked out radius by radius, once each.

    Parameters
    ----------
    cut : Cut
        The wanted surface and the footprint.
    stops : tuple of (float, float)
        Place and depth, in order of place; depths do not decrease.
    """

    cut: Cut
    stops: tuple[Place, ...]
    _rows: dict[float, list[Piece]] = field(default_factory=dict, repr=False, compare=False)

    def pieces(self, radius: float) -> list[Piece]:
        """Return the stretch that each stop leaves at one radius, mm, over the wanted span."""
        if radius not in self._rows:
            self._rows[radius] = _with_face(self._envelope(radius), self.cut.wanted.span)
        return self._rows[radius]

    def _envelope(self, radius: float) -> list[Piece]:
        cut, stack = self.cut, list[Piece]()
        for stop in self.stops:
            extent = cut.extent(radius, stop)
            if extent is None:
                continue
            low, high = extent
            while stack and low < stack[-1].high:
                top = stack[-1]
                assert top.stop is not None  # noqa: S101  # only cut pieces are stacked
                begin = max(low, top.low)
                where = cut.crossing(radius, top.stop, stop, begin, min(top.high, high)) if begin < high else begin
                stack.pop()
                if where > top.low:
                    stack.append(Piece(top.low, where, top.stop))
                    low = where
                    break
            if high > low:
                stack.append(Piece(low, high, stop))
        return stack

    def stock(self, radius: float, where: float, stop: Place | None) -> float:
        """Return the axial stock left by a stop (None: the uncut face) at a place; mm."""
        depth = 0.0 if stop is None else max(0.0, self.cut.cut_depth(radius, where, stop))
        return self.cut.wanted.depth(where) - depth

    def integral(self, radius: float) -> float:
        """Return the integral of stock over the span at one radius: mm times the coordinate's unit."""
        rule = GAUSS_8 if not self.cut.is_flat else GAUSS_1 if self.cut.wanted.straight else GAUSS_4
        total = 0.0
        for piece in self.pieces(radius):
            for low, high in pairwise([piece.low, *self.joints(radius, piece), piece.high]):
                length = high - low
                total += length * sum(w * self.stock(radius, low + length * x, piece.stop) for x, w in rule)
        return total

    def joints(self, radius: float, piece: Piece) -> list[float]:
        """Return the places inside a piece where the wanted law or the cutter's outline changes its formula."""
        inner = [*self.cut.wanted.joints]
        if piece.stop is not None and not self.cut.is_flat:
            flat = self.cut.foot.reach(radius, self.cut.foot.flat)
            if flat:
                inner += [piece.stop[0] - flat[0], piece.stop[0] + flat[1]]
        return sorted(where for where in inner if piece.low < where < piece.high)

    def peaks(self, radius: float) -> tuple[float, float]:
        """Return the largest stock and the largest scallop at one radius.

        Under a flat end stock grows all along a piece, so both stand at ends of pieces, or where the wanted surface turns
        steeper: less stock stands there, but squarer to it.  A round end can leave its most inside a piece, where the
        wanted surface bends away from it.
        """
        most, scallop = 0.0, 0.0
        for piece in self.pieces(radius):
            for where in self._summits(radius, piece):
                stock = self.stock(radius, where, piece.stop)
                if stock > most:
                    most = stock
                if stock - self.cut.leave > scallop:
                    scallop = max(scallop, self.cut.height(radius, where, stock))
        return most, scallop

    def _summits(self, radius: float, piece: Piece) -> tuple[float, ...]:
        """Return the places in a piece where its largest stock may stand."""
        low, high = _inside(piece)
        marks = [low, *self.joints(radius, piece), high]
        if self.cut.is_flat or piece.stop is None or self.cut.wanted.straight:
            return tuple(marks)

        def lack(where: float) -> float:
            return -self.stock(radius, where, piece.stop)

        tops = [where_lowest(lack, a, b, 4) for a, b in pairwise(marks)]
        return (*marks, *tops)

    def smallest(self) -> float:
        """Return the smallest stock: at some stop's tightest point, or where the face is left as it is."""
        cut = self.cut
        smallest = min((cut.deepest(at) + cut.leave - depth for at, depth in self.stops), default=math.inf)
        if any(self.pieces(radius)[0].stop is None for radius in cut.radii):
            smallest = min(smallest, cut.wanted.start)
        return smallest if abs(smallest) > 1e-12 else 0.0  # what floating sums leave of an exact nought


def _with_face(cut_pieces: list[Piece], span: float) -> list[Piece]:
    """Fill the gaps with uncut face and keep to the wanted span."""
    row: list[Piece] = []
    at = 0.0
    for piece in cut_pieces:
        low, high = max(piece.low, 0.0), min(piece.high, span)
        if high <= max(at, low):
            continue  # lies under its neighbour, or begins past the span
        if low > at + 1e-12:
            row.append(Piece(at, low, None))
        row.append(Piece(max(low, at), high, piece.stop))
        at = high
    if at < span - 1e-12:
        row.append(Piece(at, span, None))
    return row


def _inside(piece: Piece) -> tuple[float, float]:
    """Return the ends of a piece, drawn in by a hair so that they count as inside the cutter."""
    hair = (piece.high - piece.low) * 1e-9
    return piece.low + hair, piece.high - hair


def measure(surface: Surface, bore: float, outside: float, copies: int = 1) -> Result:
    """Return what stands over the wanted surface after cutting.

    Parameters
    ----------
    surface : Surface
        One ramp, as cut.
    bore, outside : float
        Radii of the wall, mm.
    copies : int
        How many equal ramps the volume is for.
    """
    cut = surface.cut
    wall = outside - bore
    area = stock = 0.0
    for x, weight in GAUSS_8:
        radius = bore + wall * x
        unit = weight * wall * cut.foot.steepness(radius)
        area += unit * cut.wanted.span
        stock += unit * surface.integral(radius)
    at_edge = [surface.peaks(radius) for radius in cut.radii]
    tops = list(at_edge)
    if not cut.is_flat:  # rounding can put the highest ridge of a round cutter between the edges of the wall
        tops += [surface.peaks(bore + wall * x) for x, _ in GAUSS_8]
    return Result(
        scallop=max(scallop for _, scallop in tops),
        stock_min=surface.smallest(),
        stock_mean=stock / area,
        stock_max=max(most for most, _ in tops),
        twist=at_edge[-1][0] - at_edge[0][0],
        volume=stock * copies,
    )


def contact(surface: Surface, bore: float, outside: float) -> Contact:
    """Return the contact curve of one wall as stretches of stock and area."""
    cut = surface.cut
    parts = 1 if cut.wanted.straight and cut.is_flat else 12
    segments: list[tuple[float, float, float]] = []
    wall = outside - bore
    for x, weight in GAUSS_8:
        radius = bore + wall * x
        per_unit = weight * wall * cut.foot.steepness(radius)
        for piece in surface.pieces(radius):
            low, high = _inside(piece)
            marks = [low + (high - low) * k / parts for k in range(parts + 1)]
            inner = surface.joints(radius, piece)
            if inner:
                marks = sorted({*marks, *inner})
            heights = [surface.stock(radius, mark, piece.stop) for mark in marks]
            for (a, b), (p, q) in zip(pairwise(heights), pairwise(marks), strict=True):
                segments.append((a, b, (q - p) * per_unit))
    return Contact(tuple(segments))


def picture(surface: Surface, radius: float) -> Picture:
    """Return the wanted line and the stair at one radius."""
    wanted = surface.cut.wanted
    samples = 1 if wanted.straight else 48
    marks = sorted({*(wanted.span * k / samples for k in range(samples + 1)), *wanted.joints})
    line: list[tuple[float, float]] = []
    parts = 1 if surface.cut.is_flat else 4
    for piece in surface.pieces(radius):
        low, high = _inside(piece)
        for k in range(parts + 1):
            where = low + (high - low) * k / parts
            line.append((where, wanted.depth(where) - surface.stock(radius, where, piece.stop)))
    curve: Polyline = tuple((x, wanted.depth(x)) for x in marks)
    return Picture(curve, tuple(line), radius)
