"""Going away: the growing wanted depth of shapes that are not on the kernel yet."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from stepcut.kernel.motions import MOTIONS, Motion

Curve = Callable[[float], float]


@dataclass(frozen=True)
class Fall:
    """The wanted depth along a coordinate: degrees round a table, or mm along a slide.

    It never decreases.  Before its beginning it keeps its first depth, after its end its last one, so that a cutter
    hanging over an end is held by the end itself.

    Parameters
    ----------
    places, depths : tuple of float
        Coordinates where one piece ends and the next begins, and the wanted depth there, mm.
    law : Motion or None
        The law of the one rising piece; None when all pieces are straight (uniform law or targets).
    piece : int
        Which piece the law belongs to.
    """

    places: tuple[float, ...]
    depths: tuple[float, ...]
    law: Motion | None = None
    piece: int = 0

    @property
    def span(self) -> float:
        """Length of the coordinate over which the surface is wanted."""
        return self.places[-1]

    @property
    def start(self) -> float:
        """Depth at the beginning, mm."""
        return self.depths[0]

    @property
    def floor(self) -> float:
        """Depth at the end, mm."""
        return self.depths[-1]

    def _piece(self, at: float) -> int:
        return min(max(bisect_right(self.places, at) - 1, 0), len(self.places) - 2)

    def depth(self, at: float) -> float:
        """Return the wanted depth at a coordinate, mm."""
        if at <= 0:
            return self.depths[0]
        if at >= self.places[-1]:
            return self.depths[-1]
        i = self._piece(at)
        x = (at - self.places[i]) / (self.places[i + 1] - self.places[i])
        if self.law is not None and i == self.piece:
            x = self.law.share(x)
        return self.depths[i] + (self.depths[i + 1] - self.depths[i]) * x

    def slope(self, at: float) -> float:
        """Return the growth of depth per unit of the coordinate, just uphill of a place."""
        at = min(max(at, 0.0), self.places[-1])
        i = self._piece(at)
        if i and at <= self.places[i]:
            i -= 1
        length = self.places[i + 1] - self.places[i]
        rate = 1.0
        if self.law is not None and i == self.piece:
            rate = self.law.rate((at - self.places[i]) / length)
        return (self.depths[i + 1] - self.depths[i]) / length * rate

    @property
    def steepest(self) -> float:
        """The largest growth of depth per unit of the coordinate."""
        slopes = []
        for i, ((a, b), (low, high)) in enumerate(zip(pairwise(self.places), pairwise(self.depths), strict=True)):
            rate = self.law.steepest if self.law is not None and i == self.piece else 1.0
            slopes.append((high - low) / (b - a) * rate)
        return max(slopes)

    @property
    def joints(self) -> tuple[float, ...]:
        """Coordinates inside the span where the formula changes."""
        inside = list(self.places[1:-1])
        if self.law is not None:
            a, b = self.places[self.piece], self.places[self.piece + 1]
            inside += [a + (b - a) * x for x in self.law.joints]
        return tuple(sorted(inside))

    @property
    def straight(self) -> bool:
        """Whether every piece is a straight line."""
        return self.law is None

    def reach(self, depth: float) -> float:
        """Return the first coordinate at which the wanted depth is at least so much; infinite when it never is."""
        if depth <= self.depths[0]:
            return 0.0
        if depth > self.depths[-1]:
            return math.inf
        i = next(k for k in range(len(self.depths) - 1) if self.depths[k + 1] >= depth)
        a, b = self.places[i], self.places[i + 1]
        share = (depth - self.depths[i]) / (self.depths[i + 1] - self.depths[i])
        if self.law is not None and i == self.piece:
            share = _inverse(self.law.share, share)
        return a + (b - a) * share


def _inverse(curve: Curve, wanted: float) -> float:
    """Return the smallest x in [0, 1] at which a rising curve reaches a value, by halving."""
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if curve(middle) >= wanted:
            high = middle
        else:
            low = middle
    return high


def fall_by_law(
    name: str, span: float, rise: float, start: float = 0.0, lead_in: float = 0.0, lead_out: float = 0.0
) -> Fall:
    """Return the wanted depth for a named law with a dwell before and after it.

    Parameters
    ----------
    name : str
        A key of ``MOTIONS``.
    span : float
        Whole length of the coordinate, dwells included.
    rise, start : float
        Total growth of depth and the depth at the beginning, mm.
    lead_in, lead_out : float
        Length of the dwells at the beginning and at the end.

    Examples
    --------
    >>> round(fall_by_law("harmonic", 180.0, 2.0).depth(90.0), 9)
    1.0
    """
    places, depths, piece = [0.0], [start], 0
    if lead_in > 0:
        places.append(lead_in)
        depths.append(start)
        piece = 1
    places.append(span - lead_out)
    depths.append(start + rise)
    if lead_out > 0:
        places.append(span)
        depths.append(start + rise)
    law = None if name == "uniform" else MOTIONS[name]
    return Fall(tuple(places), tuple(depths), law, piece)


def fall_by_targets(targets: tuple[tuple[float, float], ...]) -> Fall:
    """Return the wanted depth through a list of (coordinate, depth), joined by straight lines."""
    return Fall(tuple(p for p, _ in targets), tuple(d for _, d in targets))
