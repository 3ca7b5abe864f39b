"""The rim that lifts a follower as it is wanted: what a cutter of the follower's form leaves when it is lifted so.

A knife edge rides on the rim itself.  A roller's middle, or a flat face, stands at a distance h above the axis at every angle;
the rim is the lowest of all that they leave on a ray, an angle a beside the follower:

    h cos(a) - sqrt(r^2 - h^2 sin^2(a))    a roller of radius r, its middle h above the axis
    h / cos(a)                              a flat face h above the axis, square to the ray to it

A slide beside the axis, or an arm, turns the follower a little forward or back while it lifts (:mod:`stepcut.shapes.cam.way`).
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
from functools import cached_property
from itertools import pairwise
from math import cos, radians, sin, sqrt
from typing import Literal, NamedTuple

from msgspec import Struct

from stepcut.errors import Refused
from stepcut.kernel.line import Line, Stretch, line_of, straight
from stepcut.shapes.cam.runs import runs
from stepcut.shapes.cam.way import Arm, Stand, Straight, Way, pressure

FINE = 0.25  # degrees between the rays on which the rim is worked out
GRID = 0.1  # degrees between the places of the follower
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
        Width of a flat face, mm, on an arm its length from the pivot; None where it is wide enough.
    way : Straight or Arm
        How it is guided.
    """

    kind: FollowerKind
    radius: float = 0.0
    face: float | None = None
    way: Way = Straight()

    @property
    def swings(self) -> bool:
        """Whether it is carried by an arm."""
        return isinstance(self.way, Arm)

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

    def stands(self, at: float) -> Stand:
        """Return where the roller's middle, or the face, stands at an angle of the cam."""
        begin = -self.lift.start
        return self.follower.way.stands(self.follower.radius + begin, -self.lift.depth(at) - begin)

    def turned(self, at: float) -> float:
        """Return on which ray it stands at an angle of the cam, degrees."""
        return at + math.degrees(self.stands(at).turned)

    def _inside(self, at: float) -> float:
        return min(max(at, 1e-9), self.lift.span - 1e-9)

    @cached_property
    def _stands(self) -> list[Stand]:
        """Where it stands at even angles, from the beginning to the end."""
        count = round(self.lift.span / GRID)
        return [self.stands(self._inside(k * GRID)) for k in range(count + 1)]

    @cached_property
    def _heights(self) -> list[float]:
        return [stand.height for stand in self._stands]

    @cached_property
    def _turns(self) -> list[float]:
        """By how much it is turned there from the ray of its angle, degrees."""
        return [math.degrees(stand.turned) for stand in self._stands]

    @cached_property
    def _reach(self) -> int:
        """How many places on either side of a ray may touch the rim there."""
        low = min(self._heights)
        if self.follower.kind == "roller":
            wide = math.degrees(math.asin(min(1.0, self.follower.radius / low)))
        else:
            steep = math.degrees(self.lift.steepest) * max(stand.grows for stand in self._stands)
            wide = math.degrees(math.atan(steep / low)) + 1.0
        return min(math.ceil(min(wide, 89.0) / GRID) + 2, len(self._heights))

    def rim(self, at: float) -> tuple[float, float]:
        """Return the radius of the rim on a ray, mm, and its change, mm a radian."""
        heights, turns, leaves = self._heights, self._turns, self.follower.leaves
        last = len(heights) - 1
        middle = round(at / GRID)
        for _ in range(4):  # the place whose ray this is: a follower turns far less than the cam does
            middle = round((at - turns[middle % last if self.whole else min(max(middle, 0), last)]) / GRID)
        best, best_k = math.inf, middle
        for k in range(middle - self._reach, middle + self._reach + 1):
            if not self.whole and not 0 <= k <= last:
                continue
            here = k % last if self.whole else k
            found = leaves(heights[here], radians(at - k * GRID - turns[here]))
            if found < best:
                best, best_k = found, k
        place, radius = self._sharpened(at, best_k * GRID)
        stand = self.stands(self._home(place))
        return radius, self.follower.rate(stand.height, radians(at - place) - stand.turned)

    def _home(self, at: float) -> float:
        return at % 360.0 if self.whole else min(max(at, 0.0), self.lift.span)

    def _sharpened(self, at: float, place: float) -> tuple[float, float]:
        """Return the place near one whose follower leaves least on a ray, and that radius, by golden section."""
        ratio = (sqrt(5.0) - 1) / 2
        low, high = place - GRID, place + GRID

        def leaves(x: float) -> float:
            stand = self.stands(self._home(x))
            return self.follower.leaves(stand.height, radians(at - x) - stand.turned)

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
        marks = {round(k * FINE, 9) for k in range(round(self.lift.span / FINE) + 1)}
        marks |= {mark for part in self._parts.values() for mark in part}
        rays = sorted({*(at for at in marks if at <= self.lift.span), self.lift.span})
        found = []
        for at in rays:
            radius, rate = self.rim(at)
            found.append((at, radius, radians(rate)))
        return found

    @cached_property
    def _parts(self) -> dict[Stretch, tuple[float, float]]:
        """The rays between which the follower stands while its lift goes over a stretch, degrees."""
        marks = [s.begin for s in self.lift.stretches] + [self.lift.span]
        turned = [round(self.turned(mark), 9) for mark in marks]
        return dict(zip(self.lift.stretches, pairwise(turned), strict=True))

    @cached_property
    def line(self) -> Line:
        """The wanted rim as depth below nought; a dwell of the follower is a level stretch."""
        made: list[Stretch] = []
        for s, (begin, end) in self._parts.items():
            rays = [ray for ray in self._rays if begin <= ray[0] <= end]
            dwells = s.first == s.last and s.straight
            depth = self.follower.radius - self.stands((s.begin + s.end) / 2).height if dwells else 0.0
            # An undercut may reach into a dwell: its rim is then no circle any more.
            if dwells and min(radius for _, radius, _ in rays) > -depth - UNDERCUT:
                made.append(straight(begin, end, depth, depth))
            else:
                made += runs(rays)
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
            stand, at = self._stands[k], k * GRID + self._turns[k]
            low, high = bisect_right(angles, at - wide), bisect_right(angles, at + wide)
            held = max((self.follower.held(radius, radians(x - at)) for x, radius in rays[low:high]), default=math.inf)
            # between two rays the rim stands a little higher than on them
            hair = max(r for _, r in rays[low:high]) * radians(FINE) ** 2 / 8 if high > low else 0.0
            gone = (stand.height - held - hair) / stand.grows
            if gone > worst.value:
                worst = Worst(gone, k * GRID)
        return worst if worst.value > LOST else Worst(0.0, worst.at)

    @cached_property
    def pressure(self) -> Worst:
        """The largest pressure angle of a follower, degrees; 0 for a flat face, square to its way or in line with its pivot."""
        if self.follower.kind == "flat":
            return Worst(0.0, 0.0)
        return max(
            (Worst(self.pressure_at(k * GRID), k * GRID) for k in range(len(self._stands))), key=lambda w: w.value
        )

    def pressure_at(self, at: float) -> float:
        """Return the pressure angle at an angle of the cam, degrees, without regard to its side. [1]"""
        at = self._inside(at)
        return pressure(self.stands(at), -math.degrees(self.lift.slope(at)))

    @cached_property
    def touches(self) -> tuple[float, float]:
        """Where on a flat face the cam touches, mm: nearest and farthest, from its middle, or from the pivot of its arm. [1]

        A face that moves straight touches d(lift)/d(angle) beside the axis.
        """
        way, places = self.follower.way, [self._inside(k * GRID) for k in range(len(self._stands))]
        rates = [-math.degrees(self.lift.slope(at)) for at in places]
        if isinstance(way, Arm) and way.flat:
            found = [way.touches(self.stands(at), rate) for at, rate in zip(places, rates, strict=True)]
            return min(found), max(found)
        return 0.0, max(map(abs, rates))

    @property
    def face_needed(self) -> float:
        """How wide a flat face must be, its middle over the axis, or how long from the pivot of its arm, mm."""
        return self.touches[1] * (1 if self.follower.swings else 2)

    @cached_property
    def least_base(self) -> float | None:
        """The smallest base radius, mm, that a flat face moving straight can ride on all of; None for another follower. [1]"""
        if self.follower.kind != "flat" or self.follower.swings:
            return None
        base, need = -max(max(s.first, s.last) for s in self.lift.stretches), 0.0
        for s in self.lift.stretches:
            width = (s.end - s.begin) / 240
            hair = width / 1000
            for k in range(0 if s.straight else 240):  # both ends of each piece, as the bend may jump between two
                for at in (s.begin + k * width + hair, s.begin + (k + 1) * width - hair):
                    bend = (s.slope(at - hair) - s.slope(at + hair)) / (2 * hair)
                    need = max(need, s.depth(at) + base - math.degrees(math.degrees(bend)))
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
        How wide a flat face must be, or how long from the pivot of its arm.
    face_from : float
        How near to the pivot of its arm a flat face touches.
    """

    follower: Follower
    pressure: float
    pressure_at: float
    lost: float
    lost_at: float
    least_base: float | None
    face_needed: float
    face_from: float = 0.0


def ride_of(lift: Line, follower: Follower) -> Ride:
    """Return what is said about a follower on a cam of a lift."""
    riding = Riding(lift, follower)
    lost = riding.lost if follower.kind != "knife" else Worst(0.0, 0.0)
    return Ride(follower, *riding.pressure, *lost, riding.least_base, riding.face_needed, riding.touches[0])
