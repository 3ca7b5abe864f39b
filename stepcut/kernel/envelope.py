"""The as-cut line of a section: the upper envelope of its cuts, a row of pieces, each made by one cut.

No outside source: derived here.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from msgspec import Struct

from stepcut.kernel.line import WALL
from stepcut.kernel.section import Place, Section

SEE = 1e-12  # mm or degrees: less is what floating sums leave of nothing


class Piece(NamedTuple):
    """A stretch of a section made by one cut; None is metal that nothing has cut."""

    low: float
    high: float
    place: Place | None


class Traced(Struct, frozen=True):
    """A section as cut.

    Parameters
    ----------
    section : Section
        The section.
    pieces : tuple of Piece
        From 0 to the span, without a gap.
    """

    section: Section
    pieces: tuple[Piece, ...]

    def depth(self, piece: Piece, at: float) -> float:
        """Return the depth of the as-cut line at a coordinate of a piece, mm."""
        if piece.place is None:
            return self.section.blank
        depth = self.section.cut(piece.place, at)
        return depth if depth > WALL else self.section.blank

    def line(self) -> Iterator[tuple[float, float]]:
        """Yield the as-cut line as points."""
        parts = 1 if self.section.stepped else 4
        for piece in self.pieces:
            low, high = drawn_in(piece.low, piece.high)
            for k in range(parts + 1):
                at = low + (high - low) * k / parts
                yield at, self.depth(piece, at)


def drawn_in(low: float, high: float) -> tuple[float, float]:
    """Return the ends of a stretch drawn in by a hair, so that they count as inside the cutter."""
    hair = (high - low) * 1e-9
    return low + hair, high - hair


def trace(section: Section, places: Sequence[Place]) -> Traced:
    """Return a section as cut by places that stand in order of their coordinate."""
    span, period = section.line.span, section.line.period
    if period is not None:
        places = _round_again(section, places, period)
    row: list[Piece] = []
    at = 0.0
    for piece in _envelope(section, places):
        low, high = max(piece.low, 0.0), min(piece.high, span)
        if high <= max(at, low):
            continue  # lies under its neighbour, or beyond the line
        if low > at + SEE:
            row.append(Piece(at, low, None))
        row.append(Piece(max(low, at), high, piece.place))
        at = high
    if at < span - SEE:
        row.append(Piece(at, span, None))
    return Traced(section, tuple(row))


def _round_again(section: Section, places: Sequence[Place], period: float) -> list[Place]:
    """Return the places with those that reach over the seam of a closed line once more on its other side."""
    more = []
    for place in places:
        for turn in (-period, period):
            until = None if place.until is None else place.until + turn
            copy = Place(place.at + turn, place.depth, until)
            reach = section.extent(copy)
            if reach is not None and reach[1] > 0.0 and reach[0] < period:
                more.append(copy)
    return sorted([*places, *more], key=lambda place: place.at)


def _envelope(section: Section, places: Sequence[Place]) -> list[Piece]:
    """Return the stretch that each cut leaves.

    Of two cuts the later one is the deeper from some coordinate on; so it is against all the cuts before it together, and
    what it takes from the pieces that stand already is their tail.
    """
    stack: list[Piece] = []
    for place in places:
        reach = section.extent(place)
        if reach is None:
            continue
        low, high = reach
        while stack and stack[-1].high > low:
            top = stack[-1]
            assert top.place is not None  # noqa: S101  # only cuts are stacked
            begin, end = max(low, top.low), min(top.high, high)
            where = section.meeting(top.place, place, begin, end) if begin < end else begin
            if where <= top.low:
                stack.pop()
                continue
            if where >= end:
                low = top.high
                break
            stack[-1] = top._replace(high=where)
            low = where
            break
        if high > low:
            stack.append(Piece(low, high, place))
    return stack
