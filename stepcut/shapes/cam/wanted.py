"""A rim cam: the wanted radius as a function of angle, from rises, dwells, falls, spirals and eccentrics."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import degrees
from typing import Literal

from msgspec import Struct

from stepcut.kernel.line import Line, Stretch, line_of, moved, straight
from stepcut.kernel.motions import MOTIONS
from stepcut.shapes.cam import lift as lift_table
from stepcut.shapes.cam.follower import Follower, Riding


class Segment(Struct, frozen=True):
    """One stretch of a cam.

    Parameters
    ----------
    kind : str
        rise, fall, dwell, spiral (constant pressure angle), eccentric, or step: another radius at once, from sector to sector.
    lift : Fraction
        Change of radius, mm (a fall's is counted positive, a step's has its sign), or the offset of an eccentric.
    span : Fraction
        Degrees.
    law : str
        Of a rise or fall.
    """

    kind: Literal["rise", "fall", "dwell", "spiral", "eccentric", "step"]
    span: Fraction
    lift: Fraction = Fraction(0)
    law: str = "uniform"


class Cam(Struct, frozen=True):
    """The wanted radius over an angle.

    Parameters
    ----------
    base : Fraction
        Radius where the first segment begins, mm.
    segments : tuple of Segment
        In order from angle 0; none where there is a table.
    table : tuple of (Fraction, Fraction)
        Angles and lifts over the base, degrees and mm, from angle 0; instead of segments.
    follower : Follower or None
        What rides on it: base and lifts are then its own, and the rim is worked out for it.  None or a knife edge: the rim's.
    """

    base: Fraction
    segments: tuple[Segment, ...]
    table: tuple[tuple[Fraction, Fraction], ...] = ()
    follower: Follower | None = None

    @property
    def span(self) -> Fraction:
        """Degrees of all segments."""
        if self.table:
            return self.table[-1][0]
        return sum((segment.span for segment in self.segments), Fraction(0))

    @property
    def whole(self) -> bool:
        """Whether the segments go all the way round."""
        return self.span == 360

    @property
    def line(self) -> Line:
        """The wanted line: depth is the radius below 0, so that deeper is nearer to the axis; it comes round."""
        if self.follower is None or self.follower.kind == "knife":
            return self.lifts
        return Riding(self.lifts, self.follower).line

    @property
    def lifts(self) -> Line:
        """The base radius with its lifts, as depth below 0."""
        if self.table:
            rows = [(float(at), float(lift)) for at, lift in self.table]
            closed = self.span == 360 and rows[0][1] == rows[-1][1]
            return line_of(lift_table.stretches(rows, float(self.base), closed), period=360.0)
        stretches: list[Stretch] = []
        at, radius = Fraction(0), float(self.base)
        for segment in self.segments:
            if segment.kind == "step":
                radius += float(segment.lift)
                continue
            made = list(_stretches(segment, float(at), float(at + segment.span), radius))
            stretches += made
            radius = -made[-1].last
            at += segment.span
        return line_of(stretches, period=360.0)

    def turned(self, at: float) -> float:
        """Return how far from the ray of an angle the follower stands there, degrees."""
        if self.follower is None or self.follower.kind == "knife":
            return 0.0
        return Riding(self.lifts, self.follower).turned(at) - at

    @property
    def dwells(self) -> tuple[tuple[Fraction, Fraction], ...]:
        """Where each dwell begins and ends, degrees."""
        if self.table:
            pairs = pairwise(self.table)
            return tuple((a, b) for (a, low), (b, high) in pairs if low == high)
        found, at = [], Fraction(0)
        for segment in self.segments:
            if segment.kind == "dwell":
                found.append((at, at + segment.span))
            at += segment.span
        return tuple(found)

    @property
    def steps(self) -> tuple[float, ...]:
        """Where the radius is another at once, degrees."""
        found, at = [], Fraction(0)
        for segment in self.segments:
            at += segment.span
            if segment.kind == "step":
                found.append(float(at))
        return tuple(found)


class Rim(Struct, frozen=True, dict=True):
    """The wanted rim, ready to be asked for its radius.

    Parameters
    ----------
    line : Line
        The wanted line of a cam.
    """

    line: Line

    @property
    def span(self) -> float:
        """Degrees of all segments."""
        return self.line.span

    @property
    def whole(self) -> bool:
        """Whether the rim comes round without a gap."""
        return self.line.span >= 360.0

    @property
    def first(self) -> float:
        """Radius where the first segment begins, mm."""
        return -self.line.start

    @property
    def last(self) -> float:
        """Radius where the last segment ends, mm."""
        return -self.line.floor

    @cached_property
    def smallest(self) -> float:
        """The smallest radius, mm; every stretch is lowest at one of its ends."""
        return -self.line.deepest

    @cached_property
    def largest(self) -> float:
        """The largest radius, mm; every stretch is highest at one of its ends."""
        return max(max(-s.first, -s.last) for s in self.line.stretches)

    def radius(self, at: float) -> float:
        """Return the wanted radius at an angle, mm; minus infinity in the gap of an open cam."""
        return -self.line.depth(at)

    def rate(self, at: float) -> float:
        """Return its change, mm for each radian."""
        return -degrees(self.line.slope(at))

    @cached_property
    def steepest_angle(self) -> float:
        """The steepest angle of the rim to a circle round the axis, degrees, from many places of each stretch."""
        most = 0.0
        for s in self.line.stretches:
            for k in range(1 if s.first == s.last and s.straight else 240):
                at = s.begin + (s.end - s.begin) * (k + 0.5) / 240
                most = max(most, math.degrees(math.atan(abs(degrees(s.slope(at)) / s.depth(at)))))
        return most

    @cached_property
    def hollow(self) -> float:
        """The smallest radius of curvature of the hollow stretches, mm; infinite when there is none.

        Curvature of a polar curve: (R^2 + 2 R'^2 - R R'') / (R^2 + R'^2)^1.5, hollow where it is negative; R'' from
        differences of R' inside each stretch.  Corners where two stretches meet are not looked at.
        """
        sharpest = 0.0
        for s in self.line.stretches:
            parts = 1 if s.first == s.last else 240
            width = (s.end - s.begin) / parts
            for k in range(parts):
                at = s.begin + (k + 0.5) * width
                r, first = -s.depth(at), -degrees(s.slope(at))
                second = -degrees(degrees(s.slope(at + width / 4) - s.slope(at - width / 4)) / (width / 2))
                bend = (r * r + 2 * first * first - r * second) / (r * r + first * first) ** 1.5
                sharpest = max(sharpest, -bend)
        return 1 / sharpest if sharpest > 1e-9 else math.inf

    @cached_property
    def flat_needed(self) -> float:
        """The width of a flat, mm, that lies on the rim wherever it touches, with the stop in its middle.

        A flat touches its cam beside the stop: along it at R sin(psi), where tan(psi) = R'/R.
        """
        most = 0.0
        for s in self.line.stretches:
            for k in range(65):
                at = s.begin + (s.end - s.begin) * k / 64
                r, rate = -s.depth(at), degrees(s.slope(at))
                most = max(most, abs(r * rate) / math.hypot(r, rate))
        return 2 * most


def rim(cam: Cam) -> Rim:
    """Return a cam ready to be asked."""
    return Rim(cam.line)


def _stretches(segment: Segment, begin: float, end: float, radius: float) -> Iterator[Stretch]:
    """Yield the stretches of a segment that begins at a radius, mm."""
    span, lift = end - begin, float(segment.lift)
    if segment.kind == "dwell":
        yield straight(begin, end, -radius, -radius)
    elif segment.kind == "spiral":
        # Constant pressure angle: r = r0 exp(k angle), the logarithmic spiral.
        k = math.log((radius + lift) / radius) / span

        def depth(x: float) -> float:
            return -radius * math.exp(k * (x - begin))

        yield Stretch(begin, end, -radius, -(radius + lift), depth, lambda x: k * depth(x), False)
    elif segment.kind == "eccentric":
        yield from _eccentric(begin, end, lift, radius + lift)
    else:
        way = 1.0 if segment.kind == "rise" else -1.0
        yield from moved(begin, end, -radius, -(radius + way * lift), MOTIONS[segment.law])


def _eccentric(begin: float, end: float, offset: float, circle: float) -> Iterator[Stretch]:
    """Yield a circle whose centre is `offset` from the axis; it begins at its lowest radius and is cut at its highest."""

    def depth(x: float) -> float:
        a = math.radians(x - begin)
        return offset * math.cos(a) - math.sqrt(circle * circle - (offset * math.sin(a)) ** 2)

    def slope(x: float) -> float:
        a = math.radians(x - begin)
        root = math.sqrt(circle * circle - (offset * math.sin(a)) ** 2)
        return math.radians(offset * offset * math.sin(a) * math.cos(a) / root - offset * math.sin(a))

    marks = [begin, begin + 180.0, end] if end - begin > 180.0 else [begin, end]
    for a, b in pairwise(marks):
        yield Stretch(a, b, depth(a), depth(b), depth, slope, False)
