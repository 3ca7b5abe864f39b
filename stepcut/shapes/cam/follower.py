"""The rim that lifts a follower as it is wanted: what a cutter of the follower's form leaves when it is lifted so.

A knife edge rides on the rim itself.  A roller's middle, or a flat face, stands at a distance h above the axis at every angle;
the rim is the lowest of all that they leave on a ray, an angle a beside the follower:

    h cos(a) - sqrt(r^2 - h^2 sin^2(a))    a roller of radius r, its middle h above the axis
    h / cos(a)                              a flat face h above the axis, square to its way

Where the rim cannot fill the follower's every place, some lift is lost: the cam is undercut.

References
----------
.. [1] R. L. Norton, "Design of Machinery", cam chapter: radius of curvature of a flat-faced follower's cam, base + lift +
   d2(lift)/d(angle)2; pressure angle of a roller follower, tan = (d(lift)/d(angle) - offset) / (lift + sqrt(prime^2 -
   offset^2)); from memory.  The envelope itself: derived here.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from functools import cached_property
from itertools import pairwise
from math import cos, radians, sin, sqrt
from typing import Literal, NamedTuple

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.line import Line, Stretch, line_of, straight

FINE = 0.25  # degrees between the rays on which the rim is worked out
GRID = 0.1  # degrees between the places of the follower
LEVEL = 1e-9  # mm from one ray to the next that count as standing still
CORNER = 0.02  # mm a degree that the rim's change drops from one ray to the next: no round nose is so sharp
UNDERCUT = 1e-5  # mm that a rim stands below a dwell before it counts
LOST = 5e-3  # mm of lift that count as lost
FollowerKind = Literal["knife", "roller", "flat"]


class Follower(Struct, frozen=True):
    """What rides on the cam.

    Parameters
    ----------
    kind : str
        knife, roller or flat.
    radius : float
        Of a roller, mm.
    face : float or None
        Width of a flat face, mm; None where it is wide enough.
    """

    kind: FollowerKind
    radius: float = 0.0
    face: float | None = None

    def leaves(self, height: float, turn: float) -> float:
        """Return the radius that it leaves on a ray `turn` radians beside it, mm; infinite where it does not reach."""
        across = cos(turn)
        if across <= 0.0:
            return math.inf
        if self.kind == "flat":
            return height / across
        beside = height * sin(turn)
        inside = self.radius * self.radius - beside * beside
        return height * across - sqrt(inside) if inside >= 0.0 else math.inf

    def rate(self, height: float, turn: float) -> float:
        """Return how that radius changes with the ray, mm a radian."""
        if self.kind == "flat":
            return height * sin(turn) / cos(turn) ** 2
        beside = height * sin(turn)
        root = sqrt(max(1e-18, self.radius * self.radius - beside * beside))
        return -beside + height * height * sin(turn) * cos(turn) / root

    def held(self, radius: float, turn: float) -> float:
        """Return how high a rim of a radius on a ray `turn` radians beside it holds the follower, mm."""
        if self.kind == "flat":
            return radius * cos(turn)
        beside = radius * sin(turn)
        inside = self.radius * self.radius - beside * beside
        return radius * cos(turn) + sqrt(inside) if inside >= 0.0 else -math.inf


class Worst(NamedTuple):
    """The largest of something, and the angle where it is; degrees."""

    value: float
    at: float


class Riding:
    """A follower on a cam whose lift is wanted.

    Parameters
    ----------
    lift : Line
        Depth is the base radius and the lift, below nought.
    follower : Follower
        What rides.

    Raises
    ------
    Refused
        When it is a roller as thin as a wire.
    """

    def __init__(self, lift: Line, follower: Follower) -> None:
        self.lift, self.follower = lift, follower
        self.whole = lift.span >= 360.0
        # A roller thinner than the places that are tried for it would pass between them.
        least = 2 * radians(GRID) * max(-min(s.first, s.last) for s in lift.stretches)
        if follower.kind == "roller" and follower.radius < least:
            raise Refused("roller", "thin-roller", roller=2 * follower.radius, least=2 * least)

    def height(self, at: float) -> float:
        """Return how far the roller's middle, or the face, stands above the axis at an angle of the cam, mm."""
        return self.follower.radius - self.lift.depth(at)

    @cached_property
    def _heights(self) -> list[float]:
        """The heights at even angles, from the beginning to the end."""
        count = round(self.lift.span / GRID)
        inside = [min(max(k * GRID, 1e-9), self.lift.span - 1e-9) for k in range(count + 1)]
        return [self.height(at) for at in inside]

    @cached_property
    def _reach(self) -> int:
        """How many places on either side of a ray may touch the rim there."""
        low = min(self._heights)
        if self.follower.kind == "roller":
            wide = math.degrees(math.asin(min(1.0, self.follower.radius / low)))
        else:
            steep = math.degrees(self.lift.steepest)
            wide = math.degrees(math.atan(steep / low)) + 1.0
        return min(math.ceil(min(wide, 89.0) / GRID) + 2, len(self._heights))

    def rim(self, at: float) -> tuple[float, float]:
        """Return the radius of the rim on a ray, mm, and its change, mm a radian."""
        heights, leaves = self._heights, self.follower.leaves
        middle = round(at / GRID)
        last = len(heights) - 1
        best, best_k = math.inf, middle
        for k in range(middle - self._reach, middle + self._reach + 1):
            if self.whole:
                height = heights[k % last]
            elif 0 <= k <= last:
                height = heights[k]
            else:
                continue
            found = leaves(height, radians(at - k * GRID))
            if found < best:
                best, best_k = found, k
        place, radius = self._sharpened(at, best_k * GRID)
        return radius, self.follower.rate(self.height(self._home(place)), radians(at - place))

    def _home(self, at: float) -> float:
        return at % 360.0 if self.whole else min(max(at, 0.0), self.lift.span)

    def _sharpened(self, at: float, place: float) -> tuple[float, float]:
        """Return the place near one whose follower leaves least on a ray, and that radius, by golden section."""
        ratio = (sqrt(5.0) - 1) / 2
        low, high = place - GRID, place + GRID

        def leaves(x: float) -> float:
            return self.follower.leaves(self.height(self._home(x)), radians(at - x))

        a, b = high - ratio * (high - low), low + ratio * (high - low)
        at_a, at_b = leaves(a), leaves(b)
        for _ in range(16):
            if at_a <= at_b:
                high, b, at_b = b, a, at_a
                a = high - ratio * (high - low)
                at_a = leaves(a)
            else:
                low, a, at_a = a, b, at_b
                b = low + ratio * (high - low)
                at_b = leaves(b)
        return min(((place, leaves(place)), (a, at_a), (b, at_b)), key=lambda found: found[1])

    @cached_property
    def _rays(self) -> list[tuple[float, float, float]]:
        """Rays with radius and change, mm a degree."""
        marks = {round(k * FINE, 9) for k in range(round(self.lift.span / FINE) + 1)} | set(self.lift.joints)
        rays = sorted({*(at for at in marks if at <= self.lift.span), self.lift.span})
        found = []
        for at in rays:
            radius, rate = self.rim(at)
            found.append((at, radius, radians(rate)))
        return found

    @cached_property
    def line(self) -> Line:
        """The wanted rim as depth below nought; a dwell of the follower is a level stretch."""
        level = {(s.begin, s.end): s.first for s in self.lift.stretches if s.first == s.last and s.straight}
        made: list[Stretch] = []
        for s in self.lift.stretches:
            depth = level.get((s.begin, s.end))
            rays = [ray for ray in self._rays if s.begin <= ray[0] <= s.end]
            # An undercut may reach into a dwell: its rim is then no circle any more.
            if depth is not None and min(radius for _, radius, _ in rays) > -depth - UNDERCUT:
                made.append(straight(s.begin, s.end, depth, depth))
            else:
                made += _runs(rays)
        return line_of(made, period=360.0)

    # --- what is said --------------------------------------------------------------------------------------------

    @cached_property
    def lost(self) -> Worst:
        """The most lift that is lost because the rim cannot fill the follower's every place, mm."""
        rays = [(at, radius) for at, radius, _ in self._rays]
        if self.whole:
            rays = [
                *((at - 360.0, radius) for at, radius in rays),
                *rays,
                *((at + 360.0, radius) for at, radius in rays),
            ]
        angles = [at for at, _ in rays]
        wide = self._reach * GRID
        worst = Worst(0.0, 0.0)
        for k in range(0, len(self._heights), 5):
            at = k * GRID
            low, high = bisect_right(angles, at - wide), bisect_right(angles, at + wide)
            held = max((self.follower.held(radius, radians(x - at)) for x, radius in rays[low:high]), default=math.inf)
            # between two rays the rim stands a little higher than on them
            hair = max(r for _, r in rays[low:high]) * radians(FINE) ** 2 / 8 if high > low else 0.0
            gone = self._heights[k] - held - hair
            if gone > worst.value:
                worst = Worst(gone, at)
        return worst if worst.value > LOST else Worst(0.0, worst.at)

    @cached_property
    def pressure(self) -> Worst:
        """The largest pressure angle of a follower that moves straight through the axis, degrees; 0 for a flat face."""
        if self.follower.kind == "flat":
            return Worst(0.0, 0.0)
        return max(
            (Worst(self.pressure_at(k * GRID), k * GRID) for k in range(len(self._heights))), key=lambda w: w.value
        )

    def pressure_at(self, at: float) -> float:
        """Return the pressure angle at an angle of the cam, degrees, without regard to its side. [1]"""
        at = min(max(at, 1e-9), self.lift.span - 1e-9)
        rate = math.degrees(self.lift.slope(at))
        return math.degrees(math.atan(abs(rate) / self.height(at)))

    @cached_property
    def face_needed(self) -> float:
        """How wide a flat face must be, its middle over the axis, mm: it touches beside it at d(lift)/d(angle). [1]"""
        places = (min(max(k * GRID, 1e-9), self.lift.span - 1e-9) for k in range(len(self._heights)))
        return 2 * math.degrees(max(abs(self.lift.slope(at)) for at in places))

    @cached_property
    def least_base(self) -> float | None:
        """The smallest base radius, mm, that a flat face can ride on all of; None for another follower. [1]"""
        if self.follower.kind != "flat":
            return None
        base, need = -max(max(s.first, s.last) for s in self.lift.stretches), 0.0
        for s in self.lift.stretches:
            width = (s.end - s.begin) / 240
            for k in range(0 if s.straight else 240):
                at = s.begin + (k + 0.5) * width
                bend = -(s.slope(at + width / 4) - s.slope(at - width / 4)) / (width / 2)
                need = max(need, -(-s.depth(at) - base + math.degrees(math.degrees(bend))))
        return need


class Ride(Struct, frozen=True):
    """What is said about a follower on its cam; degrees and mm.

    Parameters
    ----------
    follower : Follower
        What rides.
    pressure, pressure_at : float
        Largest pressure angle and where it is.
    lost, lost_at : float
        Most lift that is lost to undercutting, 0 for none, and where.
    least_base : float or None
        The smallest base radius that loses none, of a flat face.
    face_needed : float
        How wide a flat face must be.
    """

    follower: Follower
    pressure: float
    pressure_at: float
    lost: float
    lost_at: float
    least_base: float | None
    face_needed: float


def ride_of(lift: Line, follower: Follower) -> Ride:
    """Return what is said about a follower on a cam of a lift."""
    riding = Riding(lift, follower)
    lost = riding.lost if follower.kind != "knife" else Worst(0.0, 0.0)
    return Ride(follower, *riding.pressure, *lost, riding.least_base, riding.face_needed)


Ray = tuple[float, float, float]  # angle, radius, its change


def _runs(rays: list[Ray]) -> Iterator[Stretch]:
    """Yield the rays of one stretch as stretches over which the radius only grows or only falls, parted at its corners."""
    for part in _parted(rays):
        begin = 0
        ways = [_way(b[1] - a[1]) for a, b in pairwise(part)]
        for k in range(1, len(part) - 1):
            if ways[k] != ways[k - 1]:
                yield _through(part[begin : k + 1])
                begin = k
        yield _through(part[begin:])


def _way(change: float) -> int:
    """Return whether a radius grows, falls or stands still."""
    return 0 if abs(change) < LEVEL else 1 if change > 0 else -1


def _parted(rays: list[Ray]) -> Iterator[list[Ray]]:
    """Yield the rays between the corners that an undercut leaves: where the change of the radius drops at once.

    Between two rays the corner stands where the rim's two directions meet.
    """
    part = [rays[0]]
    for (at, radius, rate), after in pairwise(rays):
        drop = rate - after[2]
        if drop > CORNER:
            where = (after[1] - radius + rate * at - after[2] * after[0]) / drop
            if at < where < after[0]:
                tip = radius + rate * (where - at)
                part.append((where, tip, rate))
                yield part
                part = [(where, tip, after[2])]
        part.append(after)
    yield part


def _through(rays: list[tuple[float, float, float]]) -> Stretch:
    """Return the stretch of cubics through rays with their changes."""
    from stepcut.shapes.cam.lift import Curve

    if all(_way(b[1] - a[1]) == 0 for a, b in pairwise(rays)):
        return straight(rays[0][0], rays[-1][0], -rays[0][1], -rays[0][1])
    curve = Curve([(at, radius) for at, radius, _ in rays], [rate for *_, rate in rays])
    first, last = rays[0], rays[-1]
    return Stretch(first[0], last[0], -first[1], -last[1], lambda x: -curve.lift(x), lambda x: -curve.slope(x), False)
