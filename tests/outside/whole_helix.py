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

from tests.outside.seen import Seen

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
        self.run = target["length"] / self.advance
        rows = [(stop["table"], stop["x"]) for stop in plan["stops"] if stop["start"] == start]
        origin = 360.0 * (start - 1) / int(target["starts"])
        cuts = np.array(sorted(rows), float).reshape(-1, 2)
        self.origin = np.radians(origin)
        self.cuts = np.c_[np.radians(cuts[:, 0] - origin), cuts[:, 1]]

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

    def ideal(self, rho: Array, theta: Array, samples: int = 401) -> tuple[Array, Array]:
        """Stretch along the axis that the running cutter takes at radii and angles; upside down where it takes nothing."""
        beside = self.swing(rho)[:, None] * np.linspace(-1, 1, samples) * (1 - 1e-12)
        turn = np.clip(theta[:, None] - beside, 0.0, self.run)
        half = self.stretch(rho[:, None], theta[:, None] - turn)
        middle = self.advance * turn
        upper = np.where(half >= 0, middle + half, -np.inf)
        lower = np.where(half >= 0, half - middle, -np.inf)
        return -_crest(lower), _crest(upper)

    def depth_in(self, rho: Array, theta: Array, x: Array) -> Array:
        """How far inside the wanted groove points lie, from its nearest wall or floor."""
        reach = np.arcsin(min(1.0, self.half / self.floor))
        # The nearest place of the run, were the cylinder flat; then closer looks.
        turn = np.clip((rho**2 * theta + self.advance * x) / (rho**2 + self.advance**2), 0.0, self.run)
        width = np.full_like(theta, reach / 4)
        looks = [(41, 0.06), (25, 0.1), (25, 0.1)]
        if not self.ball:  # the deepest place may stand anywhere: a wall is one place's, a floor another's
            turn, width, looks = (
                np.clip(theta, 0.0, self.run),
                np.full_like(theta, reach),
                [(81, 0.03), (25, 0.1), (25, 0.1), (9, 0.1)],
            )
        for samples, closer in looks:
            at = np.clip(turn[:, None] + width[:, None] * np.linspace(-1, 1, samples), 0.0, self.run)
            room = self._room(rho, theta, x, at)
            turn = np.take_along_axis(at, room.argmax(axis=1)[:, None], 1)[:, 0]
            width = width * closer
        return np.asarray(room.max(axis=1))

    def _room(self, rho: Array, theta: Array, x: Array, at: Array) -> Array:
        """How far inside the cutter points lie at places of its run: from its side, and from its flat end."""
        away = np.sqrt(self._away(rho, theta, x, at))
        if self.ball:
            return self.half - away
        return np.minimum(self.half - away, rho[:, None] * np.cos(theta[:, None] - at) - self.floor)

    def _away(self, rho: Array, theta: Array, x: Array, at: Array) -> Array:
        """Squared distance of points from the axis of the cutter at places of its run, or from the centre of its ball."""
        beside = theta[:, None] - at
        squared = (rho[:, None] * np.sin(beside)) ** 2 + (x[:, None] - self.advance * at) ** 2
        if self.ball:
            squared = squared + np.clip(self.centre - rho[:, None] * np.cos(beside), 0.0, None) ** 2
        return np.where(np.abs(beside) < np.pi / 2, squared, 1e9)

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


def _crest(values: Array) -> Array:
    """The largest in each row, by a parabola through the best and its neighbours."""
    at = np.clip(values.argmax(axis=1), 1, values.shape[1] - 2)[:, None]
    a, b, c = (np.take_along_axis(values, at + k, 1)[:, 0] for k in (-1, 0, 1))
    with np.errstate(invalid="ignore", divide="ignore"):
        bend = a - 2 * b + c
        top = b - (a - c) ** 2 / (8 * bend)
    good = np.isfinite(top) & (bend < -1e-14) & (b >= a) & (b >= c)
    return np.where(good, top, values.max(axis=1))


def _volume(groove: Groove, low: float, high: float, fine: int) -> float:
    """Volume that stands between two angles."""
    cuts = groove.near(low, high)
    points, shares = np.polynomial.legendre.leggauss(fine)
    middle = (low + high) / 2
    theta = np.concatenate([a + (b - a) * (points + 1) / 2 for a, b in ((low, middle), (middle, high))])
    weigh = np.concatenate([(b - a) * shares / 2 for a, b in ((low, middle), (middle, high))])
    joints = [np.full_like(theta, groove.floor), np.full_like(theta, groove.outside)]
    # A cut comes in from one radius on; near the floor a wall is cut by fewer of them.
    joints += [np.clip(groove.lowest(theta - at), groove.floor, groove.outside) for at in cuts[:, 0]]
    if groove.ball and groove.centre < groove.outside:
        joints.append(np.full_like(theta, groove.centre))
    edges = np.sort(np.array(joints), axis=0)
    wide = edges[1:] - edges[:-1]
    # Lengths begin with a square root above each joint, so the radius runs with the square of what it is summed over.
    points, shares = np.polynomial.legendre.leggauss(max(3, 3 * fine // len(joints)))
    share = (points + 1) / 2
    rho = edges[:-1, :, None] + wide[:, :, None] * share**2
    weight = wide[:, :, None] * share * shares * weigh[None, :, None] * rho
    angle = np.broadcast_to(theta[None, :, None], rho.shape)
    used = weight.ravel() > 0
    length = groove.standing(cuts, rho.ravel()[used], angle.ravel()[used])
    return float((length * weight.ravel()[used]).sum())


def _standing_out(groove: Groove, cuts: Array, rho: Array, theta: Array) -> Array:
    """How far the metal that stands at radii and angles reaches out of the wanted floor and walls at most."""
    first, last = groove.ideal(rho, theta, 101)
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
    if len(rows):
        np.maximum.at(found, rows, groove.depth_in(rho[rows], theta[rows], points))
    return found


def _ridge(
    groove: Groove, low: float, high: float, levels: Array, fine: int, sharp: bool
) -> tuple[float, float, float]:
    """The farthest point of what stands between two angles from the wanted floor and walls: height, radius, angle."""
    cuts = groove.near(low, high)

    def looked_at(us: Array, vs: Array) -> tuple[Array, Array, Array]:
        """Heights on a comb of radii and angles, and just under every radius in it at which a further cut comes in."""
        uu, vv = (part.ravel() for part in np.meshgrid(us, vs, indexing="ij"))
        joints = groove.lowest(vs[:, None] - cuts[:, 0]) - HAIR
        row, column = np.nonzero((joints > us[0]) & (joints < us[-1]))
        uu, vv = np.concatenate([uu, joints[row, column]]), np.concatenate([vv, vs[row]])
        return _standing_out(groove, cuts, uu, vv), uu, vv

    heights, rho, theta = looked_at(levels, np.linspace(low, high, fine))
    found = []
    box = (float(levels[0]), float(levels[-1]), low, high)
    size = (float(np.max(np.diff(levels))), (high - low) / (fine - 1))
    chosen: list[int] = []
    for k in np.argsort(heights)[::-1]:
        if all(abs(rho[k] - rho[c]) > size[0] / 2 or abs(theta[k] - theta[c]) > size[1] / 2 for c in chosen):
            chosen.append(int(k))
        if len(chosen) == (3 if sharp else 1):
            break
    for k in chosen:
        best, u, v = float(heights[k]), float(rho[k]), float(theta[k])
        du, dv = size
        for _ in range(8 if sharp else 4):
            us = np.unique(np.clip(u + du * np.linspace(-1, 1, 5), box[0], box[1]))
            vs = np.unique(np.clip(v + dv * np.linspace(-1, 1, 13), box[2], box[3]))
            values, uu, vv = looked_at(us, vs)
            at = int(np.argmax(values))
            if values[at] > best:
                best, u, v = float(values[at]), float(uu[at]), float(vv[at])
            du, dv = du * 0.5, dv * 0.25
        found.append((best, u, v))
    return max(found)


def _floor(groove: Groove, low: float, high: float, fine: int) -> tuple[float, float, float]:
    """Least, mean and largest height over the floor along its middle line."""
    cuts = groove.near(low, high)
    theta = np.linspace(low, high, fine)
    x = groove.advance * theta
    beside = theta[:, None] - cuts[:, 0]
    along = np.abs(x[:, None] - cuts[:, 1])
    if groove.ball:
        room = groove.half**2 - along**2
        reach = np.sqrt(np.maximum(room, 0.0))
        inner = reach**2 - (groove.centre * np.sin(beside)) ** 2
        radius = np.where(
            (room >= 0) & (inner >= 0), groove.centre * np.cos(beside) - np.sqrt(np.maximum(inner, 0.0)), np.inf
        )
    else:
        radius = groove.floor / np.cos(beside)
        clear = np.hypot(radius * np.sin(beside), along) <= groove.half + HAIR
        radius = np.where(clear & (np.cos(beside) > 0), radius, np.inf)
    stock = np.minimum(radius.min(axis=1), groove.outside) - groove.floor
    return float(stock.min()), float(np.trapezoid(stock, theta) / (high - low)), float(stock.max())


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
                first, last = groove.ideal(np.full_like(angle, rho), angle, 61)
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
        chord = np.hypot(one.outside * np.diff(places), np.diff(one.cuts[:, 1]))
        widest = np.argsort(chord)[::-1]
        pairs = {
            (round(float(np.diff(places)[k]), 7), round(float(np.diff(one.cuts[:, 1])[k]), 4)): int(k)
            for k in widest[::-1]
        }
        chosen = sorted(pairs.values(), key=lambda k: -chord[k])[: 4 if sharp else 2]
        reach = one.reach
        inner = [k for k in range(len(chord)) if places[k] > reach and places[k + 1] < places[-1] - reach]
        chosen += [inner[len(inner) // 2]] if inner and inner[len(inner) // 2] not in chosen else []
        levels = one.floor + (one.outside - one.floor) * np.linspace(0, 1, fine) ** 2
        if places[-1] - places[0] <= 2 * reach:  # no stretch of the run has all its neighbours: look at all of it
            comb, wide = levels[1 :: 2 if sharp else 4], (121 if sharp else 31)
            at = max(at, _ridge(one, places[0] - reach, places[-1] + reach, comb, wide, sharp))
        for k in chosen:
            at = max(at, _ridge(one, places[k], places[k + 1], levels[1:], fine, sharp))
        if one is groove and chosen:
            top = np.array([one.outside - 1e-9, one.outside])
            surface = _ridge(one, places[chosen[0]], places[chosen[0] + 1], top, 2 * fine + 1, sharp)[0]
        for k in range(len(chord)):
            low, mean, high = _floor(one, places[k], places[k + 1], 65)
            floor_min, floor_max = min(floor_min, low), max(floor_max, high)
            floor_sum, run = floor_sum + mean * (places[k + 1] - places[k]), run + places[k + 1] - places[k]
        step = float(np.median(np.diff(places))) if len(places) > 1 else reach
        before = np.linspace(places[0] - reach, places[0], max(2, int(np.ceil(reach / step)) + 1))
        after = np.linspace(places[-1], places[-1] + reach, max(2, int(np.ceil(reach / step)) + 1))
        spans = np.concatenate([before[:-1], places, after[1:]])
        halves = (spans[1:] + spans[:-1]) / 2
        whole_run = (halves > places[0] + reach) & (halves < places[-1] - reach)
        ends, middle = np.nonzero(~whole_run)[0], np.nonzero(whole_run)[0]
        few_ends = ends[np.unique(np.linspace(0, len(ends) - 1, gaps).astype(int))]
        few = middle[max(0, (len(middle) - gaps) // 2) :][:gaps]
        for whole, some in ((ends, few_ends), (middle, few)):
            if len(whole):
                part = sum(_volume(one, spans[k], spans[k + 1], fine // 2) for k in some)
                turned = sum(spans[k + 1] - spans[k] for k in some)
                volume += part * sum(spans[k + 1] - spans[k] for k in whole) / turned
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
    return Seen(gouge, where, at[0], floor_min, floor_sum / run if run else 0.0, floor_max, volume, more=more)


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at all grooves after all cuts of a plan.

    ``stock_*`` are heights over the floor along its middle; the volume is of floor and walls; ``gouge`` is how far the land
    between two neighbouring grooves is cut down, and the negative of its length along the axis where it stands.
    """
    if fast:
        return _look(plan, 14, 5, False)
    return _look(plan, 28, 24, True).compared(_look(plan, 20, 15, True))
