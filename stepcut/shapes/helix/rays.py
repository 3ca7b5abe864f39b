"""What a flat end leaves in a helical groove, ray by ray.

A ray stands square on the cylinder's axis at an angle A and a distance w along the axis from the groove's path.  A cut whose
flat has its top an angle d round from the ray takes from it the stretch between its plane and the side of the cutter,

    bottom / cos d  <=  r  <=  sqrt(R^2 - (w + k d + off)^2) / |sin d|,

off being how far its slide stands beside the helix.  Near a wall no single cut covers the floor, and the side of one cut and
the plane of the next leave cusps in the corner that neither a wall nor a floor alone shows; rays show them.
No outside source: derived here, and compared with solids in the tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from math import cos, hypot, sin, sqrt

from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place
from stepcut.shapes.helix.groove import Flats, Screw, Wall

ACROSS, ALONG = 64, 24  # rays across the groove and from one cut to the next: within about 1 % of the volume

Stretch = tuple[float, float]


@dataclass(frozen=True)
class Corner:
    """What rays find between two cuts: mm^3, and the cusp farthest from floor and wall, mm."""

    volume: float
    cusp: float


@cache
def look(screw: Screw, pair: tuple[Place, Place]) -> Corner:
    """Return what a flat end leaves from one cut to the next besides a continuous cut.

    Parameters
    ----------
    screw : Screw
        The stretch of groove from the first cut to the second.
    pair : tuple of Place
        The two cuts, counted from the first; the cuts before and after stand as far apart.
    """
    turn = math.radians(pair[1].at)
    reach = math.atan(screw.outline.radius / screw.bottom)
    more = math.ceil(reach / turn) + 1
    slip = [place.depth - screw.pitch * math.radians(place.at) for place in pair]
    cuts = [(turn * n, slip[n % 2]) for n in range(-more, more + 2)]
    edge = _edge(screw)
    volume = cusp = 0.0
    for k in range(ACROSS):
        share = (k + 0.5) / ACROSS * 2 - 1
        # rays crowd toward the walls, where what they find changes fastest
        w, width = edge * sin(share * math.pi / 2), edge * cos(share * math.pi / 2) * math.pi / ACROSS
        wanted = _wanted(screw, w)
        if wanted is None:
            continue
        for n in range(ALONG):
            at = turn * (n + 0.5) / ALONG
            left = _uncut(screw, w, at, cuts, wanted)
            volume += sum((b * b - a * a) / 2 for a, b in left) * width * turn / ALONG
            for _, high in left:
                if high - wanted[0] > cusp:
                    cusp = max(cusp, min(high - wanted[0], _beside(screw, w, high)))
    return Corner(volume, cusp)


def _edge(screw: Screw) -> float:
    """Return how far along the axis from the path the groove reaches anywhere, mm."""
    outside = screw.outline.radius * hypot(screw.outside, screw.pitch) / screw.outside
    return max(screw.edge[1], 1.02 * outside)


def _taken(screw: Screw, w: float, turn: float, off: float) -> Stretch | None:
    """Return what a cut takes from a ray, as radii; None when it misses it."""
    u = w + screw.pitch * turn - off
    inside = screw.outline.radius**2 - u * u
    if inside <= 0.0 or abs(turn) >= math.pi / 2:
        return None
    low, rise = screw.bottom / cos(turn), abs(sin(turn))
    high = screw.outside if rise * screw.outside <= sqrt(inside) else sqrt(inside) / rise
    return (low, high) if high > low and low < screw.outside else None


def _wanted(screw: Screw, w: float) -> Stretch | None:
    """Return what a continuous cut takes from a ray, as radii; None beyond the groove."""
    low = screw.bottom / cos(Flats(screw, w, 0.0).nearest) if abs(w) < screw.edge[1] else math.inf

    def short(turn: float) -> float:
        taken = _taken(screw, w, turn, 0.0)
        return -taken[1] if taken else 0.0

    if abs(w) <= screw.outline.radius:
        return screw.bottom, screw.outside
    way = -1.0 if w > 0 else 1.0
    reach = math.atan(screw.outline.radius / screw.bottom)
    _, most = lowest(short, min(0.0, way * reach), max(0.0, way * reach), 24)
    return (low, -most) if -most > low else None


def _uncut(screw: Screw, w: float, at: float, cuts: list[tuple[float, float]], wanted: Stretch) -> list[Stretch]:
    """Return what the cuts leave of what is wanted of a ray."""
    taken = sorted(found for found in (_taken(screw, w, at - turn, off) for turn, off in cuts) if found is not None)
    left, here = [], wanted[0]
    for low, high in taken:
        if low > here:
            left.append((here, min(low, wanted[1])))
        here = max(here, high)
        if here >= wanted[1]:
            return left
    left.append((here, wanted[1]))
    return [(a, b) for a, b in left if b > a + 1e-12]


def _beside(screw: Screw, w: float, rho: float) -> float:
    """Return how far a point of a ray stands from the wall of a continuous cut at its height, mm."""
    wall = Wall(screw, max(rho, screw.bottom * (1 + 1e-9)), 0.0, 1 if w >= 0 else -1)
    return max(0.0, min(wall.line.start, wall.foot) - abs(w) * rho / wall.norm)
