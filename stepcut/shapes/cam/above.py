"""Metal that stands above what a cut lowers, for a ray from the axis leaves the cutter's path again.

A cut goes in along one ray, and its path has straight sides: on a ray an angle a beside it the cutter, w to each side, takes
metal from where it meets the ray out to w / sin(a), and no farther.  Beyond that another cut must take it.  None does up a
step, where the ray of the next sector is wanted upright, nor between cuts that lie farther apart at the blank's rim than the
cutter is wide.  No outside source: plane geometry.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from math import radians, sin
from typing import NamedTuple

from msgspec import Struct

from stepcut.kernel.section import Place
from stepcut.shapes.cam.section import Blade
from stepcut.shapes.cam.wanted import Rim

GRAIN = 0.05  # degrees between two rays; an edge of what stands is as uncertain as that
THIN = 0.05  # mm: what is no thicker at the blank's rim falls with the burr


class _Ray(NamedTuple):
    """What stands above a cut on a ray at an angle, degrees: its area for each radian, mm^2, and out to which radius, mm."""

    at: float
    area: float
    top: float


class Above(Struct, frozen=True):
    """One run of rays on which metal stands above a cut.

    Parameters
    ----------
    begin, end : float
        Where it stands, degrees.
    thick, high : float
        How thick it is at the blank's rim, and how far it stands over the wanted rim at most, mm.
    area : float
        Of its section, mm^2: what the radii where cuts meet the rays do not count.
    """

    begin: float
    end: float
    thick: float
    high: float
    area: float

    def beside(self, angle: float) -> bool:
        """Whether it stands against an angle of the rim."""
        return any(abs((edge - angle + 180) % 360 - 180) <= 2 * GRAIN for edge in (self.begin, self.end))


def stands_above(rim: Rim, blade: Blade, places: Sequence[Place], blank: float) -> tuple[Above, ...]:
    """Return all metal that stands above a cut, out to a blank's radius, mm."""
    lowest = min(-place.depth for place in places)
    if blank <= (lowest + blade.half if blade.side else math.hypot(lowest, blade.half)):
        return ()  # the widest part of every cut reaches out of the blank
    return tuple(_whole(run, rim, blank) for run in _runs(rim, blade, places, blank))


def _whole(run: list[_Ray], rim: Rim, blank: float) -> Above:
    """Return what stands on neighbouring rays as one."""
    wide = radians(GRAIN)
    return Above(
        run[0].at - GRAIN / 2,
        run[-1].at + GRAIN / 2,
        wide * blank * sum(ray.top == blank for ray in run),
        max(ray.top - rim.radius(ray.at) for ray in run),
        wide * sum(ray.area for ray in run),
    )


def _runs(rim: Rim, blade: Blade, places: Sequence[Place], blank: float) -> Iterator[list[_Ray]]:
    """Yield runs of neighbouring rays with metal above a cut."""
    run: list[_Ray] = []
    reach = blade.reach(min(-place.depth for place in places)) + GRAIN  # of the lowest cut, which reaches farthest
    swept = [place for place in places if place.until is not None]
    alone = sorted(
        Place(place.at + turn, place.depth) for place in places if place.until is None for turn in (-360.0, 0.0, 360.0)
    )
    ats = [place.at for place in alone]
    for k in range(round(rim.span / GRAIN)):
        at = (k + 0.5) * GRAIN
        near = [*alone[bisect_left(ats, at - reach) : bisect_right(ats, at + reach)], *swept]
        ray = _on_ray(blade, near, at, blank)
        if ray is not None:
            run.append(ray)
        elif run:
            yield run
            run = []
    if run:
        yield run


def _on_ray(blade: Blade, places: Sequence[Place], at: float, blank: float) -> _Ray | None:
    """Return what stands above the lowest cut on a ray; None where nothing does."""
    taken = []
    for place in places:
        beyond, swept = (at - place.at) % 360.0, 0.0 if place.until is None else place.until - place.at
        beside = 0.0 if beyond <= swept else min(beyond - swept, 360.0 - beyond)
        meets = blade.leaves(-place.depth, radians(beside))
        if meets < blank:
            taken.append((meets, blade.half / sin(radians(beside)) if beside > 0 else math.inf))
    if not taken:
        return None
    area, top, reached = 0.0, 0.0, min(taken)[0]
    for meets, leaves in (*sorted(taken), (blank, math.inf)):
        if meets > reached:
            area += (meets - reached) * (meets + reached) / 2
            top = meets
        reached = max(reached, leaves)
    return _Ray(at, area, top) if area else None
