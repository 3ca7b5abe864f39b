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
AT_AN_END = 16  # of one near an end, where a round sets in between
Span = tuple[float, float]
ENDLESS: Span = (-math.inf, math.inf)


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
        """Return what one groove and those of the other hand have in common and do not both cut, mm^3.

        Crossings far from the ends are alike but for their cuts; near an end each is seen with the rounds in which the grooves end.
        """
        k, (first, last) = self.wanted.pitch, self._run
        apart = float(helix.lead) / (2 * helix.starts * k)
        wide = self._wide(self.wanted.outside) / k
        places = [n * apart for n in range(int((last + wide) / apart) + 1)]
        inner = [place for place in places if first + self._far <= place <= last - self._far]
        found = sum(self._volume(self._near(at), (first - at, last - at)) for at in places if at not in inner)
        seen = sorted(
            {round(j * (len(inner) - 1) / (LOOKED_AT - 1)) for j in range(LOOKED_AT)}
            if len(inner) > LOOKED_AT
            else range(len(inner))
        )
        kept: dict[tuple[Span, ...], float] = {}
        for j in seen:
            cuts = self._near(inner[j])
            key = tuple((round(a, 9), round(x, 9)) for a, x in cuts)
            if key not in kept:
                kept[key] = self._volume(cuts)
            found += kept[key] * len(inner) / len(seen)
        return found

    @property
    def _run(self) -> Span:
        """Where the way of one groove begins and ends, radians of the table."""
        cuts = self.sweeps.rows[0].cuts
        return cuts[0].at, cuts[-1].at

    @property
    def _far(self) -> float:
        """How far from a crossing cuts still take something of it, radians."""
        return self._wide(self.wanted.outside) / self.wanted.pitch + self.wanted.window(self.wanted.outside)

    def _wide(self, rho: float) -> float:
        """How far along the axis from its path what is wanted reaches at a radius, mm."""
        return self.wanted.row(rho)[0] + self.apart / 2

    def _near(self, place: float) -> tuple[Span, ...]:
        """Return the cuts round a crossing: radians of the table and mm along the slide from it."""
        k = self.wanted.pitch
        return tuple(
            (cut.at - place, k * (cut.at - place) + cut.off + row.shift - self.sweeps.spread / 2)
            for row in self.sweeps.rows
            for cut in row.cuts
            if abs(cut.at - place) <= self._far
        )

    def _volume(self, cuts: Sequence[Span], run: Span = ENDLESS) -> float:
        """Return the same of one crossing of ways that begin and end so far from it: above the bottom, and the joint, rows widen like a root."""
        screw, made = self.wanted, self.sweeps.rows[0].screw
        top, found = screw.outside, 0.0
        marks = sorted({screw.bottom, made.bottom, min(screw.joint, top), min(made.joint, top), top})
        for low, high in pairwise(marks):
            for half in (0.0, 0.5):
                for share, weight in GAUSS_8:
                    x = half + share / 2
                    rho = low + (high - low) * x * x
                    found += weight * x * (high - low) * rho * self._area(rho, cuts, run)
        return found

    def _area(self, rho: float, cuts: Sequence[Span], run: Span) -> float:
        """Return the same at a radius, mm times radians of the cylinder."""
        most, found = self._wide(rho) / self.wanted.pitch, 0.0
        panels = PANELS if run == ENDLESS else AT_AN_END
        for panel in range(panels):
            for share, weight in GAUSS_8:
                at = most * (panel + share) / panels
                wants = _both(self._wants(rho, at, run), self._wants(rho, -at, run))
                found += weight * (wants - _both(self._taken(rho, at, cuts), self._taken(rho, -at, cuts)))
        return 2 * found * most / panels

    def _wants(self, rho: float, at: float, run: Span) -> list[Span]:
        """Return what the running cutter takes along the axis at an angle from the crossing, mm from it; nothing where it never comes.

        To each side it reaches farthest from the place where it cuts its wall, or from the nearest to that on its way.
        """
        screw, (row, turn) = self.wanted, self.wanted.row(rho)
        most = screw.window(rho)
        low, high = max(run[0], at - most), min(run[1], at + most)
        if low > high:
            return []
        ends = []
        for side in (-1, 1):
            top = at - side * turn  # the angle is below 0 on the side where w grows
            if low <= top <= high:
                ends.append(screw.pitch * at + side * row)
                continue
            top = min(max(top, low), high)
            half = math.sqrt(max(0.0, -screw.bowl(rho, -screw.pitch * (at - top), at - top)[0]))
            ends.append(screw.pitch * top + side * half)
        return [(ends[0] - self.apart / 2, ends[1] + self.apart / 2)]

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
