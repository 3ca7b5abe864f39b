"""Helical grooves of a whole cylinder, cut by every position of a plan: written from the geometry and the JSON alone.

What is wanted is what the cutter would take if it ran along its helix without a stop.  At every radius and every angle each
cut takes a stretch along the axis of the cylinder; what the running cutter takes there and no cut does is still to file.
The ridge is the point of that metal that stands farthest from the wanted floor and walls.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from tests.outside import simpson
from tests.outside.seen import Seen, closed_in

Array = NDArray[np.float64]
HAIR = 1e-9


class Groove:
    """One groove: its ideal run and its cuts, angles in radians."""

    def __init__(self, plan: Mapping[str, Any], start: int) -> None:
        target, cutter = plan["target"], plan["cutter"]
        self.outside = target["diameter"] / 2
        self.floor = self.outside - target["depth"]
        self.half = cutter["diameter"] / 2
        self.ball = cutter["kind"] == "ball"
        self.centre = self.floor + self.half  # radius at which the centre of a ball stands
        self.advance = target["lead"] / (2 * np.pi)  # mm a radian
        rows = [(stop["table"], stop["x"]) for stop in plan["stops"] if stop["start"] == start]
        origin = 360.0 * (start - 1) / int(target["starts"])
        cuts = np.array(sorted(rows), float).reshape(-1, 2)
        self.origin = np.radians(origin)
        self.cuts = np.c_[np.radians(cuts[:, 0] - origin), cuts[:, 1]]
        self.run = target["length"] / self.advance
        if len(cuts):  # it ends at the marks of table and slide next to its end
            marks = (self.cuts[-1, 0], self.cuts[-1, 1] / self.advance)
            self.run = min(self.run, *(mark for mark in marks if abs(mark - self.run) < np.radians(0.51)), self.run)

    # --- what one position takes --------------------------------------------------------------------------------

    def stretch(self, rho: Array, beside: Array) -> Array:
        """Half the length along the axis that a position takes at a radius and an angle beside it; below 0 where none."""
        across, up = rho * np.sin(beside), rho * np.cos(beside)
        if self.ball:
            low = np.clip(self.centre - up, 0.0, None)
            room = self.half**2 - low**2 - across**2
        else:
            room = np.where(up >= self.floor - HAIR, self.half**2 - across**2, -1.0)
        room = np.where(np.abs(beside) < np.pi / 2, room, -1.0)
        return np.where(room >= 0, np.sqrt(np.maximum(room, 0.0)), -1.0)

    def swing(self, rho: Array) -> Array:
        """Farthest angle beside a position at which it takes anything at a radius."""
        wide = np.arcsin(np.minimum(1.0, self.half / rho))
        if not self.ball:
            return np.minimum(wide, np.arccos(np.minimum(1.0, self.floor / rho)))
        ray = (rho**2 + self.centre**2 - self.half**2) / (2 * rho * self.centre)
        on_ball = np.arccos(np.clip(ray, -1.0, 1.0))
        return np.where(rho * np.cos(on_ball) <= self.centre, on_ball, wide)

    def lowest(self, beside: Array) -> Array:
        """Least radius that a position takes at an angle beside it; infinite where it takes nothing."""
        if not self.ball:
            return np.where(np.abs(beside) < np.pi / 2, self.floor / np.cos(beside), np.inf)
        room = self.half**2 - (self.centre * np.sin(beside)) ** 2
        inside = (room >= 0) & (np.cos(beside) > 0)
        return np.where(inside, self.centre * np.cos(beside) - np.sqrt(np.maximum(room, 0.0)), np.inf)

    # --- the running cutter ---------------------------------------------------------------------------------------

    @cached_property
    def wide(self) -> tuple[Array, Array]:
        """Root of the height over the floor, and how far from its path along the axis the running cutter reaches there."""
        root = np.linspace(0, np.sqrt(1.15 * self.outside - self.floor), 4001)
        rho = self.floor + root**2
        swing = self.swing(rho) * (1 - 1e-12)
        return root, np.maximum(
            self._farthest(rho, np.zeros_like(rho), -swing, swing, 1), 0.0
        )  # a ball ends in a point

    def _farthest(self, rho: Array, theta: Array, low: Array, high: Array, side: int) -> Array:
        """How far along the axis, to one side, positions between two angles reach at radii and angles; -inf where none does."""
        comb, best = (_comb(33) + 1) / 2, np.full_like(rho, -np.inf)
        for _ in range(4):  # ever closer about the best: what is reached falls off to both sides of it
            at = low[:, None] + (high - low)[:, None] * comb
            half = self.stretch(rho[:, None], theta[:, None] - at)
            far = np.where(half >= 0, half + side * self.advance * at, -np.inf)
            top = far.argmax(axis=1)[:, None]
            best = np.maximum(best, np.take_along_axis(far, top, 1)[:, 0])
            low = np.take_along_axis(at, np.maximum(top - 1, 0), 1)[:, 0]
            high = np.take_along_axis(at, np.minimum(top + 1, len(comb) - 1), 1)[:, 0]
        return best

    def ideal(self, rho: Array, theta: Array) -> tuple[Array, Array]:
        """Stretch along the axis that the running cutter takes at radii and angles; upside down where it takes nothing."""
        if len(theta) and theta.min() >= self.reach and theta.max() <= self.run - self.reach:  # the same all along
            half = np.interp(np.sqrt(np.maximum(rho - self.floor, 0.0)), *self.wide)
            return self.advance * theta - half, self.advance * theta + half
        swing = self.swing(rho) * (1 - 1e-12)
        low, high = np.clip(theta - swing, 0.0, self.run), np.clip(theta + swing, 0.0, self.run)
        return -self._farthest(rho, theta, low, high, -1), self._farthest(rho, theta, low, high, 1)

    @cached_property
    def border(self) -> list[tuple[cKDTree, Array]]:
        """Floor and walls of the running cutter in arcs of points close together: radius, and length along the axis from the path.

        By its helix a groove is the same all along.  Walls run on past the surface, as the cutter does.
        """
        root, wide = self.wide
        rho = self.floor + root**2
        across = np.linspace(0, wide[0], 801)[:-1]
        half = np.c_[np.r_[np.full_like(across, self.floor), rho], np.r_[across, wide]]
        line = np.r_[half[::-1] * (1, -1), half[1:]]
        line = line[np.isfinite(line).all(axis=1)]
        far = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
        even = np.linspace(0, far[-1], 16_001)
        line = np.c_[np.interp(even, far, line[:, 0]), np.interp(even, far, line[:, 1])]
        way = np.arctan2(*np.diff(line[::20], axis=0).T)
        kinks = 20 * (
            np.nonzero(np.abs(np.diff(way)) > 0.02)[0] + 1
        )  # no arc runs over one, so that its parabolas serve
        cuts = np.unique(np.r_[np.arange(1000, len(line), 1000), kinks])
        return [(cKDTree(self._flat(arc)), arc) for arc in np.split(line, cuts) if len(arc) > 2]

    @cached_property
    def whole_border(self) -> cKDTree:
        """All of the border in one tree."""
        return cKDTree(np.concatenate([self._flat(arc) for _, arc in self.border]))

    def nearly_in(self, rho: Array, theta: Array, x: Array) -> Array:
        """`depth_in` from the nearest point on the plane: right enough to leave out what lies far less deep."""
        near, _ = self.whole_border.query(self._flat(np.c_[rho, x - self.advance * theta]))
        return self._at_the_ends(rho, theta, x, near)

    def _flat(self, points: Array) -> Array:
        """Points of a section on a plane on which small distances are nearly those in space."""
        middle = (self.floor + self.outside) / 2
        return np.c_[points[:, 0], points[:, 1] * middle / np.hypot(middle, self.advance)]

    def depth_in(self, rho: Array, theta: Array, x: Array) -> Array:
        """How far points inside the wanted groove lie from its nearest wall or floor, in space."""
        points = np.c_[rho, x - self.advance * theta]
        found = np.full(len(points), np.inf)
        nearest, _ = self.whole_border.query(self._flat(points))
        for tree, arc in self.border:
            near, at = tree.query(self._flat(points), distance_upper_bound=1.5 * nearest.max() + 3e-3)
            close = near < 1.5 * nearest + 2e-3  # the others lie farther off in space too
            if not close.any():
                continue
            for steps in (
                (20, 4, 1),
                (150, 20, 4, 1),
            ):  # by parabolas ever closer together; a wide one may jump over a kink
                here = at[close]
                for step in (step for step in steps if 2 * step < len(arc)):
                    here = np.clip(here, step, len(arc) - 1 - step)
                    sides = [self._apart(points[close], arc[here + k * step]) for k in (-1, 0, 1)]
                    bend = np.maximum(sides[0] - 2 * sides[1] + sides[2], 1e-300)
                    shift = np.clip((sides[0] - sides[2]) / (2 * bend), -1, 1)
                    least = sides[1] + (sides[2] - sides[0]) * shift / 2 + bend * shift**2 / 2
                    here = here + np.rint(shift * step).astype(int)
                found[close] = np.minimum(found[close], np.sqrt(np.maximum(least, 0.0)))
        return self._at_the_ends(rho, theta, x, found)

    def _at_the_ends(self, rho: Array, theta: Array, x: Array, deep: Array) -> Array:
        """The same where the run begins and ends: there the cutter itself is the border."""
        turn = self._nearest(rho, theta, x)
        at = np.clip(turn, 0.0, self.run)
        beyond = at != turn
        up = rho * np.cos(theta - at)
        away = (rho * np.sin(theta - at)) ** 2 + (x - self.advance * at) ** 2
        if self.ball:
            away = away + np.clip(self.centre - up, 0.0, None) ** 2
        deep = np.where(beyond, np.minimum(deep, self.half - np.sqrt(away)), deep)
        if not self.ball:
            deep = np.minimum(deep, rho * np.cos(theta - np.clip(theta, 0.0, self.run)) - self.floor)
        return np.maximum(deep, 0.0)

    def _nearest(self, rho: Array, theta: Array, x: Array) -> Array:
        """Where the running cutter, were its helix endless, comes nearest to points."""
        turn = (rho**2 * theta + self.advance * x) / (rho**2 + self.advance**2)
        width = np.full_like(theta, 0.5)
        for _ in range(6):
            at = turn[:, None] + width[:, None] * np.linspace(-1, 1, 15)
            up = rho[:, None] * np.cos(theta[:, None] - at)
            away = (rho[:, None] * np.sin(theta[:, None] - at)) ** 2 + (x[:, None] - self.advance * at) ** 2
            if self.ball:
                away = away + np.clip(self.centre - up, 0.0, None) ** 2
            turn = np.take_along_axis(at, away.argmin(axis=1)[:, None], 1)[:, 0]
            width = width * 0.2
        return turn

    def _apart(self, points: Array, others: Array) -> Array:
        """Least squared distance of points from helices through others, by Newton's steps along these."""
        (rho, x), (radius, along) = points.T, others.T
        k, both = self.advance, rho * radius
        turn = k * (x - along) / (both + k**2)
        for _ in range(5):
            slope = both * np.sin(turn) + k * (along + k * turn - x)
            turn = turn - slope / (both * np.cos(turn) + k**2)
        return np.asarray((rho - radius) ** 2 + 4 * both * np.sin(turn / 2) ** 2 + (along + k * turn - x) ** 2)

    # --- what stands ----------------------------------------------------------------------------------------------

    @cached_property
    def reach(self) -> float:
        """Farthest angle beside a position at which it takes anything."""
        return float(self.swing(np.linspace(self.floor, self.outside, 2001)).max()) + 1e-3

    def near(self, low: float, high: float) -> Array:
        return self.cuts[(self.cuts[:, 0] >= low - self.reach) & (self.cuts[:, 0] <= high + self.reach)]

    def taken(self, cuts: Array, rho: Array, theta: Array) -> tuple[Array, Array]:
        """Stretches that cuts take at radii and angles, by where they begin; upside down where they take nothing."""
        half = self.stretch(rho[:, None], theta[:, None] - cuts[:, 0])
        low = np.where(half >= 0, cuts[:, 1] - half, np.inf)
        high = np.where(half >= 0, cuts[:, 1] + half, -np.inf)
        order = np.argsort(low, axis=1)
        return np.take_along_axis(low, order, 1), np.take_along_axis(high, order, 1)

    def standing(self, cuts: Array, rho: Array, theta: Array) -> Array:
        """Length along the axis that still stands inside the wanted groove at radii and angles."""
        first, last = self.ideal(rho, theta)
        low, high = self.taken(cuts, rho, theta)
        low, high = np.maximum(low, first[:, None]), np.minimum(high, last[:, None])
        reached = np.maximum.accumulate(np.where(high > low, high, -np.inf), axis=1)
        before = np.concatenate([np.full((len(rho), 1), -np.inf), reached[:, :-1]], axis=1)
        covered = np.clip(high - np.maximum(low, before), 0.0, None)
        covered = np.where(np.isfinite(covered), covered, 0.0).sum(axis=1)
        some = np.isfinite(first) & np.isfinite(last) & (last > first)
        whole = np.where(some, np.where(some, last, 0.0) - np.where(some, first, 0.0), 0.0)
        return np.maximum(whole - covered, 0.0)

    def stands(self, cuts: Array, rho: Array, theta: Array, x: Array) -> Array:
        half = self.stretch(rho[:, None], theta[:, None] - cuts[:, 0])
        return ~(np.abs(x[:, None] - cuts[:, 1]) <= half + HAIR).any(axis=1)


def _comb(samples: int) -> Array:
    """Places from -1 to 1, closer together toward both ends, where what a cutter takes falls off steeply."""
    return np.asarray(np.sin(np.linspace(-np.pi / 2, np.pi / 2, samples)) * (1 - 1e-12))


def _volume(groove: Groove, low: float, high: float, fine: int) -> float:
    """Volume that stands between two angles: by Gauss's rule over the radius, and along the angle by Simpson's at each radius."""
    cuts = groove.near(low, high)
    if not len(cuts):
        cuts = groove.cuts[:1]
    theta = low + (high - low) * (np.arange(4 * fine) + 0.5) / (4 * fine)
    facets = np.clip(groove.lowest(theta[:, None] - cuts[:, 0]).min(axis=1).max(), groove.floor, groove.outside)
    edges = np.unique(np.r_[groove.floor, facets + (groove.outside - facets) * np.linspace(0, 1, 9) ** 3])
    points, shares = np.polynomial.legendre.leggauss(max(4, fine // 2))
    share = (points + 1) / 2
    wide = np.diff(edges)[:, None]
    rho = (edges[:-1, None] + wide * share**2).ravel()
    weight = (wide * share * shares).ravel() * rho
    return float((_along(groove, cuts, rho, low, high) * weight).sum())


def _along(groove: Groove, cuts: Array, rho: Array, low: float, high: float) -> Array:
    """What stands along the axis at each radius, times radians: Simpson's rule, halved where the length bends or sets in."""
    panels = 12
    borders = np.linspace(low, high, panels + 1)
    every = groove.standing(cuts, np.repeat(rho, panels + 1), np.tile(borders, len(rho))).reshape(len(rho), -1)
    rows = np.repeat(np.arange(len(rho)), panels)
    begin, end = np.tile(borders[:-1], len(rho)), np.tile(borders[1:], len(rho))
    first, last = every[:, :-1].ravel(), every[:, 1:].ravel()

    def height(row: Array, at: Array) -> Array:
        return groove.standing(cuts, rho[row], at)

    return simpson.areas(height, len(rho), rows, begin, end, first, last, small=2e-7 * (high - low), halvings=9)


def _standing_out(groove: Groove, cuts: Array, rho: Array, theta: Array, rough: bool) -> Array:
    """How far the metal that stands at radii and angles reaches out of the wanted floor and walls at most.

    Only what may be the highest of all is looked at exactly, unless a rough look will do: what stands far lower is told as 0.
    """
    first, last = groove.ideal(rho, theta)
    nothing = ~(np.isfinite(first) & np.isfinite(last))
    first, last = np.where(nothing, 1.0, first), np.where(nothing, 0.0, last)
    low, high = groove.taken(cuts, rho, theta)
    comb = first[:, None] + (last - first)[:, None] * np.linspace(0.0, 1.0, 13)
    x = np.concatenate([comb, low - 2 * HAIR, high + 2 * HAIR], axis=1)
    rows, columns = np.nonzero(np.isfinite(x) & (x >= first[:, None]) & (x <= last[:, None]))
    points = x[rows, columns]
    still = groove.stands(cuts, rho[rows], theta[rows], points)
    rows, points = rows[still], points[still]
    found = np.zeros_like(rho)
    if not len(rows):
        return found
    nearly = groove.nearly_in(rho[rows], theta[rows], points)
    np.maximum.at(found, rows, nearly)
    if rough:
        return found
    worth = (nearly >= 0.6 * found[rows]) & (
        nearly >= 0.5 * nearly.max()
    )  # a plane shows lengths a third too long at most
    rows, points, found = rows[worth], points[worth], np.zeros_like(rho)
    np.maximum.at(found, rows, groove.depth_in(rho[rows], theta[rows], points))
    return found


def _ridge(
    groove: Groove, low: float, high: float, levels: Array, fine: int, sharp: bool, rough: bool = False
) -> tuple[float, float, float]:
    """The farthest point of what stands between two angles from the wanted floor and walls: height, radius, angle.

    At a radius the highest place is where cuts meet or one sets in, sharp as a needle: it is closed in on at every radius first.
    """
    cuts = groove.near(low, high)

    def highest(radii: Array) -> tuple[Array, Array]:
        theta = np.broadcast_to(np.linspace(low, high, 2 * fine + 1), (len(radii), 2 * fine + 1))
        width, best, at = (high - low) / (2 * fine), np.full(len(radii), -1.0), np.zeros(len(radii))
        for _ in range(3 if rough else 7 if sharp else 4):
            rows = np.repeat(radii, theta.shape[1])
            found = _standing_out(groove, cuts, rows, theta.ravel(), rough).reshape(theta.shape)
            top = found.argmax(axis=1)[:, None]
            better = np.take_along_axis(found, top, 1)[:, 0] > best
            best = np.maximum(best, found.max(axis=1))
            at = np.where(better, np.take_along_axis(theta, top, 1)[:, 0], at)
            theta = np.clip(at[:, None] + width * np.linspace(-1, 1, 13), low, high)
            width = width / 6
        return best, at

    radii = levels
    heights, thetas = highest(radii)
    found = max(zip(heights, radii, thetas, strict=True))
    width = float(np.max(np.diff(levels)))
    for _ in range(1 if rough else 9 if sharp else 2):
        radii = np.unique(np.clip(found[1] + width * np.linspace(-1, 1, 9), levels[0], levels[-1]))
        heights, thetas = highest(radii)
        found = max(found, *zip(heights, radii, thetas, strict=True))
        width = width / 4
    return (float(found[0]), float(found[1]), float(found[2]))


def _floor(groove: Groove, low: float, high: float, fine: int) -> tuple[float, float, float]:
    """Least, mean and largest height over the floor along its middle line."""
    cuts = groove.near(low, high)

    def heights(theta: Array) -> Array:
        beside = theta[:, None] - cuts[:, 0]
        along = np.abs(groove.advance * theta[:, None] - cuts[:, 1])
        if groove.ball:
            room = groove.half**2 - along**2
            reach = np.sqrt(np.maximum(room, 0.0))
            inner = reach**2 - (groove.centre * np.sin(beside)) ** 2
            some = (room >= 0) & (inner >= 0)
            radius = np.where(some, groove.centre * np.cos(beside) - np.sqrt(np.maximum(inner, 0.0)), np.inf)
        else:
            radius = groove.floor / np.cos(beside)
            clear = np.hypot(radius * np.sin(beside), along) <= groove.half + HAIR
            radius = np.where(clear & (np.cos(beside) > 0), radius, np.inf)
        return np.asarray(np.minimum(radius.min(axis=1), groove.outside) - groove.floor)

    theta = np.linspace(low, high, fine)
    stock = heights(theta)
    highest = closed_in(heights, theta, stock, 3)[0]
    return float(stock.min()), float(np.trapezoid(stock, theta) / (high - low)), max(highest, float(stock.max()))


def _land(grooves: list[Groove], levels: Array, samples: int) -> list[float]:
    """At each radius the least length along the axis between two neighbouring grooves, infinite where there are none."""
    theta = np.linspace(0.0, 2 * np.pi, samples, endpoint=False)
    found = []
    for rho in levels:
        least = np.inf
        for at in theta:
            stretches = []
            for groove in grooves:
                turns = np.arange(np.floor(-1 - groove.origin / 6), np.ceil(groove.run / (2 * np.pi)) + 2)
                angle = at - groove.origin + 2 * np.pi * turns
                first, last = groove.ideal(np.full_like(angle, rho), angle)
                stretches += [(a, b) for a, b in zip(first, last, strict=True) if np.isfinite(a) and b > a]
            stretches.sort()
            for (_, end), (begin, _) in itertools.pairwise(stretches):
                least = min(least, begin - end)
        found.append(float(least))
    return found


def _look(plan: Mapping[str, Any], fine: int, gaps: int, sharp: bool) -> Seen:
    starts = int(plan["target"]["starts"])
    grooves = [Groove(plan, start + 1) for start in range(starts)]
    groove = grooves[0]
    floor_max, floor_min, floor_sum, run, volume = 0.0, np.inf, 0.0, 0.0, 0.0
    surface = 0.0
    at = (0.0, 0.0, 0.0)
    for one in grooves if sharp and starts <= 3 else grooves[:1]:
        places = one.cuts[:, 0]
        reach = one.reach
        levels = one.floor + (one.outside - one.floor) * np.linspace(0, 1, fine) ** 2
        top = np.array([one.outside - 1e-9, one.outside])
        # Where a cutter touches its wall lies beside its place, before the first cut and behind the last one too.
        edges = np.r_[places[0] - reach, places, places[-1] + reach]
        for comb, looked in ((levels[1:], levels[1:]), (top, top)):
            windows = list(itertools.pairwise(edges))
            rough = [_ridge(one, a, b, comb, 6, sharp, rough=True) for a, b in windows]
            if (
                comb is not top
            ):  # a cusp low in the corner is a needle along the radius too: all windows once more about the highest
                k = int(np.clip(np.searchsorted(levels, max(rough)[1]), 1, len(levels) - 2))
                near = np.linspace(levels[k - 1], levels[k + 1], 17)
                rough = [_ridge(one, a, b, near, 12, sharp, rough=True) for a, b in windows]
            seen = [found[0] for found in rough]
            for k in np.argsort(seen)[::-1][: 6 if sharp else 2]:
                found = _ridge(one, edges[k], edges[k + 1], looked, fine, sharp)
                at, surface = (at, max(surface, found[0])) if looked is top else (max(at, found), surface)
        for k in range(len(places) - 1):
            low, mean, high = _floor(one, places[k], places[k + 1], 257)
            floor_min, floor_max = min(floor_min, low), max(floor_max, high)
            floor_sum, run = floor_sum + mean * (places[k + 1] - places[k]), run + places[k + 1] - places[k]
        step = float(np.median(np.diff(places))) if len(places) > 1 else reach
        before = np.linspace(places[0] - reach, places[0], max(2, int(np.ceil(reach / step)) + 1))
        after = np.linspace(places[-1], places[-1] + reach, max(2, int(np.ceil(reach / step)) + 1))
        spans = np.concatenate([before[:-1], places, after[1:]])
        halves = (spans[1:] + spans[:-1]) / 2
        whole_run = (halves > places[0] + reach) & (halves < places[-1] - reach)
        ends, middle = np.nonzero(~whole_run)[0], np.nonzero(whole_run)[0]
        volume += sum(_volume(one, spans[k], spans[k + 1], fine) for k in ends)
        if len(middle):
            few = middle[np.unique(np.linspace(0, len(middle) - 1, 12 * gaps).astype(int))]
            part = sum(_volume(one, spans[k], spans[k + 1], fine) for k in few)
            turned = sum(spans[k + 1] - spans[k] for k in few)
            volume += part * sum(spans[k + 1] - spans[k] for k in middle) / turned
    volume *= starts / (len(grooves) if sharp and starts <= 3 else 1)
    land_levels = np.linspace(groove.floor + 1e-6, groove.outside, 5 if sharp else 2)
    lands = _land(grooves, land_levels, 24 if sharp else 8)
    gone = [groove.outside - level for level, land in zip(land_levels, lands, strict=True) if land <= 0]
    gouge = max(gone) if gone else -min(lands[-1], 0.0 if np.isinf(lands[-1]) else lands[-1])
    origins = np.concatenate([one.cuts[:, 1] - one.advance * one.cuts[:, 0] for one in grooves])
    slant = groove.outside / np.hypot(groove.outside, groove.advance)
    where = f"land along the axis {lands[-1]:.4f} mm" if np.isfinite(lands[-1]) else "no neighbour"
    area = (
        groove.run
        * np.hypot(groove.floor, groove.advance)
        * (2 * groove.half + 2 * (groove.outside - groove.floor))
        * starts
    )
    more = {
        "area": float(area), "wall_ridge": surface, "floor_ridge": floor_max, "off_the_helix": float(np.abs(origins).max() * slant),
        "land": lands[-1], "left_open": ("stock_min", "stock_mean", "stock_max"), "scallop_at": tuple(float(part) for part in at[1:]),
    }  # fmt: skip
    return Seen(
        gouge, where, max(at[0], surface), floor_min, floor_sum / run if run else 0.0, floor_max, volume, more=more
    )


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at all grooves after all cuts of a plan.

    ``stock_*`` are heights over the floor along its middle; the volume is of floor and walls; ``gouge`` is how far the land
    between two neighbouring grooves is cut down, and the negative of its length along the axis where it stands.
    """
    if fast:
        return _look(plan, 14, 5, False)
    return _look(plan, 24, 16, True).compared(_look(plan, 18, 12, True))
