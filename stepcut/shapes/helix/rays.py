"""What a flat end leaves in a helical groove, row by row.

A row lies on a cylinder of radius rho along the axis, at an angle A round it; w counts along the row from the groove's path.
A cut whose flat has its top an angle d round from the row, and whose slide stands `off` beside the helix, takes from it

    -k d + off - sqrt(R^2 - (rho sin d)^2)  <=  w  <=  -k d + off + sqrt(R^2 - (rho sin d)^2)      where rho cos d >= bottom,

so that the row's wanted stretch less the union of what the cuts take is what stands there: thin layers on the walls, whole
rows under the facets of the floor, and the cusps in the corner between, which neither a wall nor a floor alone shows.
No outside source: derived here, and compared with solids in the tests.
"""

from __future__ import annotations

import math
from functools import cache
from math import acos, cos, hypot, sin, sqrt

from msgspec import Struct

from stepcut.kernel.measure import GAUSS_8
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place
from stepcut.shapes.helix.groove import Flats, Screw

ALONG = 24  # rows from one cut to the next; what stands comes round with the step, so that even places serve
HAIR = 1e-9  # mm along a row

Cut = tuple[float, float]  # angle in radians, and mm beside the helix


class Corner(Struct, frozen=True):
    """What stands between two cuts: mm^3, and the cusp farthest from floor and wall, mm."""

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
    slip = [place.depth - screw.pitch * math.radians(place.at) for place in pair]
    more = math.ceil(math.atan(screw.outline.radius / screw.bottom) / turn) + 1
    cuts = [(turn * n, slip[n % 2]) for n in range(-more, more + 2)]
    volume = cusp = 0.0
    for rho, weight in _heights(screw, turn):
        wide = _wanted(screw, rho)
        for n in range(ALONG):
            left = _uncut(screw, rho, turn * (n + 0.5) / ALONG, cuts, wide)
            volume += sum(b - a for a, b in left) * rho * weight * turn / ALONG
            for a, b in left:
                nearest = 0.0 if a <= 0.0 <= b else min(abs(a), abs(b))
                cusp = max(
                    cusp, min(_over_floor(screw, rho, nearest), (wide - nearest) * rho / hypot(rho, screw.pitch))
                )
    return Corner(volume, cusp)


def _heights(screw: Screw, turn: float) -> list[tuple[float, float]]:
    """Return radii and their weights: where facets stand between the cuts, where corners do, and above."""
    facets = min(screw.outside, screw.bottom / cos(turn / 2))
    corners = min(screw.outside, max(facets, screw.bottom / cos(screw.edge[0])))
    found = []
    for low, high in ((screw.bottom, facets), (facets, corners), (corners, screw.outside)):
        if high > low:
            found += [(low + (high - low) * x, weight * (high - low)) for x, weight in GAUSS_8]
    return found


def _reach(screw: Screw, rho: float, turn: float) -> float:
    """Return half of what a cut takes from a row, mm; minus infinity where it misses it."""
    inside = screw.outline.radius**2 - (rho * sin(turn)) ** 2
    if inside <= 0.0 or rho * cos(turn) < screw.bottom * (1 - 1e-12):
        return -math.inf
    return sqrt(inside)


@cache
def _wanted(screw: Screw, rho: float) -> float:
    """Return how far along a row from the path a continuous cut reaches, mm; it is the same on both sides."""
    most = min(acos(min(1.0, screw.bottom / rho)), math.asin(min(1.0, screw.outline.radius / rho)))
    _, lack = lowest(lambda turn: -(screw.pitch * turn + _reach(screw, rho, turn * (1 - 1e-12))), 0.0, most, 8)
    return -lack


def _uncut(screw: Screw, rho: float, at: float, cuts: list[Cut], wide: float) -> list[tuple[float, float]]:
    """Return the stretches of a row that the cuts leave of what is wanted."""
    taken = []
    for angle, off in cuts:
        turn = at - angle
        half = _reach(screw, rho, turn)
        if half > 0.0:
            middle = off - screw.pitch * turn
            taken.append((middle - half, middle + half))
    left, here = [], -wide
    for low, high in sorted(taken):
        if low > here:
            left.append((here, min(low, wide)))
        here = max(here, high)
        if here >= wide:
            break
    else:
        left.append((here, wide))
    return [(a, b) for a, b in left if b > a + HAIR]


def _over_floor(screw: Screw, rho: float, w: float) -> float:
    """Return how far a point stands over the floor of a continuous cut, square to it, mm."""
    if w >= screw.edge[1]:
        return math.inf
    step = min(1e-4, (screw.edge[1] - w) / 2)
    low, high = (screw.bottom / cos(_nearest(screw, x)) for x in (w, w + step))
    slope = (high - low) / step * hypot(screw.bottom, screw.pitch) / screw.bottom
    return max(0.0, rho - low) / sqrt(1 + slope * slope)


@cache
def _nearest(screw: Screw, w: float) -> float:
    """Return how far round from the top of a continuous cut's flat a row of the floor is cut, radians."""
    return Flats(screw, w, 0.0).nearest
