"""Grooves of both hands on one cylinder: where they cross, and the diamonds of land between.

Unrolled, grooves of one hand are lines x = k t + c, those of the other x = -k t + c; n of each begin at the same places, so that
they cross in rows so far apart along the axis as half a lead divided by n, n crossings in each.

What two grooves want, less what their cuts take, is twice as much as in one of them, less what both want where they cross, more what
both cut there.  Along a line of the cylinder parallel to its axis, grooves and cuts are intervals, so that both are lengths there; the
groove of the other hand is the first one seen in a mirror at the crossing.  No outside source: derived here, and compared with rays in
the tests.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from stepcut.kernel.measure import GAUSS_8
from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.sweeps import Sweeps
from stepcut.shapes.helix.wanted import Helix

PANELS = 4  # of a crossing, from its middle to its end
LOOKED_AT = 7  # rows of crossings at most: more of them lie as evenly between the cuts
Span = tuple[float, float]


class Diamonds(NamedTuple):
    """What is left between the grooves: along the axis and round the cylinder from corner to corner, and across; mm."""

    along: float
    round: float
    across: float


def rows(helix: Helix) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where grooves cross: mm along the axis, and degrees of the table of the first crossing there; others follow a start apart."""
    apart = helix.lead / (2 * helix.starts)
    for k in range(int(helix.length / apart) + 1):
        yield k * apart, Fraction(180 * k, helix.starts) % Fraction(360, helix.starts)


def diamonds(helix: Helix, width: float, slant: float) -> Diamonds:
    """Return the diamonds between grooves of a width, square to them; ``slant`` is mm along the axis for one square to them."""
    along = float(helix.lead) / helix.starts - width * slant
    return Diamonds(along, along * math.pi * float(helix.diameter / helix.lead), along / slant)


class Crossings(NamedTuple):
    """Grooves that cross, as wanted and as cut.

    Parameters
    ----------
    wanted : Screw
        The cutter at the depth that is wanted.
    apart : float
        How far the outermost sweeps of what is wanted lie apart along the axis, mm.
    sweeps : Sweeps
        The cuts of one groove.
    """

    wanted: Screw
    apart: float
    sweeps: Sweeps

    def shared(self, helix: Helix) -> float:
        """Return what one groove and those of the other hand have in common and do not both cut, mm^3."""
        k, found = self.wanted.pitch, 0.0
        places = [float(x) / k for x, _ in rows(helix)]
        shares = [0.5 if x in (0, helix.length) else 1.0 for x, _ in rows(helix)]
        seen = sorted(
            {round(j * (len(places) - 1) / (LOOKED_AT - 1)) for j in range(LOOKED_AT)}
            if len(places) > LOOKED_AT
            else range(len(places))
        )
        kept: dict[tuple[Span, ...], float] = {}
        for j in seen:
            cuts = self._near(places[j])
            key = tuple((round(a, 9), round(x, 9)) for a, x in cuts)
            if key not in kept:
                kept[key] = self._volume(cuts)
            found += shares[j] * kept[key]
        return found * sum(shares) / sum(shares[j] for j in seen)

    def _near(self, place: float) -> tuple[Span, ...]:
        """Return the cuts round a crossing: radians of the table and mm along the slide from it.  Beyond the ends they go on alike."""
        wide = self.wanted.row(self.wanted.outside)[0] + self.apart / 2
        far = wide / self.wanted.pitch + self.wanted.window(self.wanted.outside)
        k, found = self.wanted.pitch, []
        for row in self.sweeps.rows:
            cuts = [(cut.at, k * cut.at + cut.off + row.shift - self.sweeps.spread / 2) for cut in row.cuts]
            (a, x), (b, y), (c, u), (d, v) = cuts[0], cuts[1], cuts[-2], cuts[-1]
            count = math.ceil(2 * far / min(b - a, d - c))
            cuts = [
                *((a - n * (b - a), x - n * (y - x)) for n in range(count, 0, -1)),
                *cuts,
                *((d + n * (d - c), v + n * (v - u)) for n in range(1, count + 1)),
            ]
            found += [(at - place, along - k * place) for at, along in cuts if abs(at - place) <= far]
        return tuple(found)

    def _volume(self, cuts: Sequence[Span]) -> float:
        """Return the same of one crossing: above the bottom, and above the joint, rows widen like a root."""
        screw, made = self.wanted, self.sweeps.rows[0].screw
        top, found = screw.outside, 0.0
        marks = sorted({screw.bottom, made.bottom, min(screw.joint, top), min(made.joint, top), top})
        for low, high in pairwise(marks):
            for half in (0.0, 0.5):
                for share, weight in GAUSS_8:
                    x = half + share / 2
                    rho = low + (high - low) * x * x
                    found += weight * x * (high - low) * rho * self._area(rho, cuts)
        return found

    def _area(self, rho: float, cuts: Sequence[Span]) -> float:
        """Return the same at a radius, mm times radians of the cylinder."""
        k, wide = self.wanted.pitch, self.wanted.row(rho)[0] + self.apart / 2
        most, found = wide / k, 0.0
        for panel in range(PANELS):
            for share, weight in GAUSS_8:
                at = most * (panel + share) / PANELS
                one, other = self._taken(rho, at, cuts), self._taken(rho, -at, cuts)
                found += weight * (2 * (wide - k * at) - _both(one, other))
        return 2 * found * most / PANELS

    def _taken(self, rho: float, at: float, cuts: Sequence[Span]) -> list[Span]:
        """Return what cuts take along the axis at an angle from the crossing, mm from it, in order and without overlap."""
        made = self.sweeps.rows[0].screw
        most = made.window(rho) if rho > made.bottom else 0.0
        spans = []
        for turn, along in cuts:
            beside = at - turn
            if abs(beside) < most:
                half = math.sqrt(max(0.0, -made.bowl(rho, -made.pitch * beside, beside)[0]))
                spans.append((along - half, along + half))
        joined: list[Span] = []
        for low, high in sorted(spans):
            if joined and low <= joined[-1][1]:
                joined[-1] = joined[-1][0], max(high, joined[-1][1])
            else:
                joined.append((low, high))
        return joined


def _both(one: Sequence[Span], other: Sequence[Span]) -> float:
    """Return how long two rows of intervals have in common."""
    return sum(max(0.0, min(b, d) - max(a, c)) for a, b in one for c, d in other)
