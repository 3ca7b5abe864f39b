"""A rim cam: the wanted radius as a function of angle, from rises, dwells, falls, spirals and eccentrics."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from stepcut.kernel.motions import MOTIONS


@dataclass(frozen=True)
class Segment:
    """One stretch of a cam.

    Parameters
    ----------
    kind : str
        rise, fall, dwell, spiral (constant pressure angle) or eccentric.
    lift : Fraction
        Change of radius, mm (a fall's is counted positive), or the offset of an eccentric.
    span : Fraction
        Degrees.
    law : str
        Of a rise or fall.
    """

    kind: Literal["rise", "fall", "dwell", "spiral", "eccentric"]
    span: Fraction
    lift: Fraction = Fraction(0)
    law: str = "uniform"


@dataclass(frozen=True)
class Cam:
    """The wanted radius over an angle.

    Parameters
    ----------
    base : Fraction
        Radius where the first segment begins, mm.
    segments : tuple of Segment
        In order from angle 0.
    """

    base: Fraction
    segments: tuple[Segment, ...]

    @property
    def span(self) -> Fraction:
        """Degrees of all segments."""
        return sum((segment.span for segment in self.segments), Fraction(0))

    @property
    def whole(self) -> bool:
        """Whether the segments go all the way round."""
        return self.span == 360

    def pieces(self) -> list[tuple[float, float, Callable[[float], float], Callable[[float], float]]]:
        """Return begin, end, radius(angle from begin) and its rate per degree for each segment."""
        found = []
        at, radius = 0.0, float(self.base)
        for segment in self.segments:
            curve, rate, radius = _curve(segment, radius)
            found.append((at, at + float(segment.span), curve, rate))
            at += float(segment.span)
        return found


@dataclass(frozen=True)
class Rim:
    """A cam made ready to be asked for its radius quickly."""

    begins: tuple[float, ...]
    curves: tuple[Callable[[float], float], ...]
    rates: tuple[Callable[[float], float], ...]
    span: float
    whole: bool

    def _piece(self, at: float) -> tuple[int, float]:
        at = at % self.span if self.whole else min(max(at, 0.0), self.span)
        k = max(0, bisect_right(self.begins, at) - 1)
        return k, at - self.begins[k]

    def radius(self, at: float) -> float:
        """Return the wanted radius at an angle, mm; beyond an open cam's ends it keeps its end radius."""
        k, rest = self._piece(at)
        return self.curves[k](rest)

    def rate(self, at: float) -> float:
        """Return its change per degree."""
        if not self.whole and not 0 <= at <= self.span:
            return 0.0
        k, rest = self._piece(at)
        return self.rates[k](rest)

    def hollow(self) -> float:
        """Return the smallest radius of curvature of the hollow parts, mm; infinite when there is none.

        Curvature of a polar curve: (R^2 + 2 R'^2 - R R'') / (R^2 + R'^2)^1.5, hollow where it is negative.
        """
        steps = 1440
        width = self.span / steps
        sharpest = 0.0
        for k in range(steps):
            at = (k + 0.5) * width
            if any(abs(at - begin) < width for begin in self.begins):
                continue
            r, first = self.radius(at), math.degrees(self.rate(at))
            second = math.degrees(math.degrees(self.rate(at + width / 4) - self.rate(at - width / 4)) / (width / 2))
            bend = (r * r + 2 * first * first - r * second) / (r * r + first * first) ** 1.5
            sharpest = max(sharpest, -bend)
        return 1 / sharpest if sharpest > 1e-9 else math.inf


def rim(cam: Cam) -> Rim:
    """Return a cam ready to be asked."""
    pieces = cam.pieces()
    return Rim(
        tuple(p[0] for p in pieces),
        tuple(p[2] for p in pieces),
        tuple(p[3] for p in pieces),
        float(cam.span),
        cam.whole,
    )


def _curve(segment: Segment, begin: float) -> tuple[Callable[[float], float], Callable[[float], float], float]:
    """Return radius and rate along a segment, and the radius at its end."""
    span, lift = float(segment.span), float(segment.lift)
    if segment.kind == "dwell":
        return (lambda x: begin), (lambda x: 0.0), begin
    if segment.kind == "spiral":
        # Constant pressure angle: r = r0 exp(k angle), the logarithmic spiral.
        k = math.log((begin + lift) / begin) / span
        return (lambda x: begin * math.exp(k * x)), (lambda x: begin * k * math.exp(k * x)), begin + lift
    if segment.kind == "eccentric":
        # A circle of radius R = begin + e whose centre is e from the axis; it begins at its lowest radius.
        e, big = lift, begin + lift

        def radius(x: float) -> float:
            a = math.radians(x)
            return -e * math.cos(a) + math.sqrt(big * big - (e * math.sin(a)) ** 2)

        def rate(x: float) -> float:
            a = math.radians(x)
            root = math.sqrt(big * big - (e * math.sin(a)) ** 2)
            return math.radians(e * math.sin(a) - e * e * math.sin(a) * math.cos(a) / root)

        return radius, rate, radius(span)
    sign = 1.0 if segment.kind == "rise" else -1.0
    law = MOTIONS[segment.law]
    return (
        lambda x: begin + sign * lift * law.share(min(max(x / span, 0.0), 1.0)),
        lambda x: sign * lift / span * law.rate(min(max(x / span, 0.0), 1.0)),
        begin + sign * lift,
    )
