"""A whole rim cam, cut by every position of a plan: written from the geometry and the JSON alone.

A ray from the axis at every angle asks every cut where it begins to take metal from that ray.  The end of a cutter takes
the strip over its flat, its side takes its circle, and a sweep takes what all positions between its ends would.  In the gap
of an open cam nothing may go below the lower of its two ends.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.outside.published_motions import displacement, velocity
from tests.outside.seen import Seen, closed_in
from tests.outside.whole_ramp import cuts_of

Array = NDArray[np.float64]
HAIR = 1e-8  # degrees
RAY = 0.05  # degrees: so far apart the program may look for metal that stands beyond its cuts
SLIVER = 1e-5  # mm: an end of an open cam cut by less than this along its rim is not cut


class Rim:
    """Wanted radius, mm, at angles from the beginning of the first segment, degrees."""

    def __init__(self, target: Mapping[str, Any]) -> None:
        self.segments = []
        at, radius = 0.0, float(target["base_radius"])
        for kind, span, lift, motion in target["segments"]:
            if kind == "step":
                radius += float(lift)
                continue
            self.segments.append((at, float(span), str(kind), float(lift), str(motion), radius))
            radius = float(self._on(self.segments[-1], np.array([at + span]))[0])
            at += float(span)
        self.span, self.last = at, radius
        self.first = float(target["base_radius"])
        if target.get("table"):
            self.span = float(target["table"][-1][0])
        self.whole = self.span > 360 - 1e-9
        self.listed = self._ridden(target) if target.get("table") or target.get("follower") else None

    def _ridden(self, target: Mapping[str, Any]) -> tuple[Array, Array]:
        """Radii on fine rays of the rim that a follower rides on: the least of all that it leaves there, by brute force."""
        places = np.linspace(0, self.span, round(self.span * 20) + 1)
        if target.get("table"):
            rows = np.array(target["table"], float)
            heights = self.first + _joined(rows)(places)
        else:
            heights = self._pick(self._on, places)
        follower = target.get("follower") or {"kind": "knife", "radius": 0.0}
        if follower["kind"] == "knife":
            return places, heights
        rays, found = places, np.full_like(places, np.inf)
        size = follower["radius"]
        if "offset" in follower or "arm" in follower:
            fine = np.linspace(
                0, self.span, round(self.span * 80)
            )  # so that what stands between two places is not seen
            lifts = np.interp(fine, places, heights) - self.first
            return rays, _left_by(rays, fine, *_guided(follower, self.first + size, lifts), follower)
        for beside in np.arange(-60, 60.025, 0.05):
            at = rays - beside
            inside = np.full_like(at, True, bool) if self.whole else (at >= 0) & (at <= self.span)
            h = np.interp(at % 360.0 if self.whole else at, places, heights) + size
            turn = np.radians(beside)
            if follower["kind"] == "flat":
                leaves = h / np.cos(turn)
            else:
                square = size**2 - (h * np.sin(turn)) ** 2
                leaves = np.where(square >= 0, h * np.cos(turn) - np.sqrt(np.maximum(square, 0)), np.inf)
            found = np.where(inside, np.minimum(found, leaves), found)
        return rays, found

    @staticmethod
    def _on(segment: tuple[float, float, str, float, str, float], phi: Array) -> Array:
        at, span, kind, lift, motion, radius = segment
        share = np.clip((phi - at) / span, 0.0, 1.0)
        if kind == "dwell":
            return np.full_like(phi, radius)
        if kind == "spiral":
            return radius * np.exp(np.log1p(lift / radius) * share)
        if kind == "eccentric":
            turn = np.radians(share * span)
            # A circle about a point that lies the offset away from the axis, opposite to where the segment begins.
            return np.sqrt((radius + lift) ** 2 - (lift * np.sin(turn)) ** 2) - lift * np.cos(turn)
        way = 1.0 if kind == "rise" else -1.0
        return radius + way * lift * displacement(motion)(share)

    @staticmethod
    def _rate_on(segment: tuple[float, float, str, float, str, float], phi: Array) -> Array:
        """mm a radian."""
        at, span, kind, lift, motion, _ = segment
        share = (phi - at) / span
        if kind in ("rise", "fall"):
            return np.degrees(lift / span * velocity(motion)(np.clip(share, 0, 1))) * (1 if kind == "rise" else -1)
        step = 1e-4
        inside = np.clip(phi, at + step, at + span - step)
        higher, lower = (Rim._on(segment, inside + way * step) for way in (1, -1))
        return np.degrees((higher - lower) / (2 * step))

    def _pick(self, function: Any, phi: Array) -> Array:
        phi = np.mod(phi, 360.0) if self.whole else np.clip(phi, 0.0, self.span)
        found = function(self.segments[0], phi)
        for segment in self.segments[1:]:
            found = np.where(phi > segment[0], function(segment, phi), found)
        return np.asarray(found)

    def radius(self, phi: Array) -> Array:
        if self.listed is not None:
            at = np.mod(phi, 360.0) if self.whole else np.clip(phi, 0.0, self.span)
            return np.interp(at, *self.listed)
        return self._pick(self._on, phi)

    def rate(self, phi: Array) -> Array:
        if self.listed is not None:
            return np.degrees((self.radius(phi + 0.05) - self.radius(phi - 0.05)) / 0.1)
        return self._pick(self._rate_on, phi)

    @property
    def kinks(self) -> Array:
        if not self.segments:
            return np.array([0.0, self.span])
        middles = [at + span / 2 for at, span, *_ in self.segments]
        return np.array([0.0, self.span, *(at for at, *_ in self.segments), *middles])


def _guided(follower: Mapping[str, Any], low: float, lifts: Array) -> tuple[Array, Array]:
    """Where the middle of a follower beside the axis or on an arm stands: above the axis, mm, and forward of its angle, radians."""
    if "offset" in follower:
        up = np.sqrt(low**2 - follower["offset"] ** 2) + lifts
        return np.hypot(up, follower["offset"]), np.arctan2(follower["offset"], up) - np.arcsin(
            follower["offset"] / low
        )
    c, arm, way = follower["pivot"], follower["arm"], -1 if follower["runs"] == "to-pivot" else 1
    if follower["kind"] == "flat":
        angle = np.arcsin(low / c) + lifts / arm
        return c * np.sin(angle), way * lifts / arm
    angle = np.arccos((c**2 + arm**2 - low**2) / (2 * c * arm)) + lifts / arm
    height = np.sqrt(c**2 + arm**2 - 2 * c * arm * np.cos(angle))
    at_axis = np.arccos(
        (c**2 + height**2 - arm**2) / (2 * c * height)
    )  # between the ways to the pivot and to the roller
    return height, way * (np.arccos((c**2 + low**2 - arm**2) / (2 * c * low)) - at_axis)


def _left_by(rays: Array, places: Array, heights: Array, turns: Array, follower: Mapping[str, Any]) -> Array:
    """The least radius that a follower going round once leaves on each ray."""
    found, size = np.full_like(rays, np.inf), follower["radius"]
    for at, height, turned in zip(places, heights, turns, strict=True):
        turn = np.radians((rays - at - np.degrees(turned) + 180) % 360 - 180)
        if follower["kind"] == "flat":
            leaves = np.where(np.abs(turn) < 1.4, height / np.cos(turn), np.inf)
        else:
            square = size**2 - (height * np.sin(turn)) ** 2
            near = (square >= 0) & (np.abs(turn) < 1.5)
            leaves = np.where(near, height * np.cos(turn) - np.sqrt(np.maximum(square, 0)), np.inf)
        found = np.minimum(found, leaves)
    return found


def _joined(rows: Array) -> Any:
    """A curve through a lift table, level at its dwells and smooth between them."""
    from scipy.interpolate import CubicSpline

    pieces = []
    level = np.nonzero(np.diff(rows[:, 1]) == 0)[0]
    begin = 0
    for k in [*level, len(rows) - 1]:
        if k > begin:
            part = rows[begin : k + 1]
            pieces.append((part[0, 0], part[-1, 0], CubicSpline(part[:, 0], part[:, 1], bc_type="clamped")))
        begin = k + 1

    def lift(at: Array) -> Array:
        found = np.interp(at, rows[:, 0], rows[:, 1])
        for low, high, spline in pieces:
            found = np.where((at >= low) & (at <= high), spline(at), found)
        return found

    return lift


class Cam:
    """The blank with all cuts of a plan."""

    def __init__(self, plan: Mapping[str, Any]) -> None:
        self.rim, self.leave = Rim(plan["target"]), float(plan["leave"])
        self.half = float(plan["cutter"]["diameter"]) / 2
        self.side = plan["approach"] == "side"
        cuts = np.concatenate([cuts_of(plan, "radius"), self._dwells(plan)])
        self.cuts = np.concatenate([cuts + np.array([turn, turn, 0.0]) for turn in (-360.0, 0.0, 360.0)])
        self.cuts = self.cuts[(self.cuts[:, 1] > -95) & (self.cuts[:, 0] < 455)]
        self.reach = self._reach(self.cuts[:, 2])
        blank = plan.get("blank") or plan["target"].get("blank_diameter") or plan["target"].get("blank")
        comb = np.linspace(0, self.rim.span, 5001)
        self.widest = float(self.rim.radius(comb).max()) + self.leave
        self.blank = float(blank) / 2 if blank else np.inf

    def _dwells(self, plan: Mapping[str, Any]) -> Array:
        """Sweeps of dwells where a plan of an older contract does not tell them: from cut to cut at one height."""
        if "sweeps" in plan or "acts" in plan or self.side:
            return np.empty((0, 3))
        rows = [(stop["table"], stop["radius"]) for stop in plan["stops"]]
        flat = [(at, at + span) for at, span, kind, *_ in self.rim.segments if kind == "dwell"]
        pairs = [*itertools.pairwise(rows), (rows[-1], (rows[0][0] + 360, rows[0][1]))] if rows else []
        found = [
            (a, b, height) for (a, height), (b, other) in pairs
            if height == other and any(first - 1e-6 <= a and b <= last + 1e-6 for first, last in flat)
        ]  # fmt: skip
        return np.array(found, float).reshape(-1, 3)

    def _reach(self, height: Array) -> Array:
        """Degrees to either side that a cut reaches on the rays that it meets at its own lower side."""
        if self.side:
            return np.degrees(np.arcsin(np.minimum(1.0, self.half / (height + self.half))))
        return np.degrees(np.arctan2(self.half, height))

    def _begins(self, height: float, turn: Array) -> Array:
        """Where a cut begins on a ray so many degrees beside it."""
        angle = np.radians(turn)
        if self.side:
            centre = height + self.half
            inside = self.half**2 - (centre * np.sin(angle)) ** 2
            return np.where(inside >= -1e-12, centre * np.cos(angle) - np.sqrt(np.maximum(inside, 0.0)), np.inf)
        return height / np.cos(angle)

    def cut(self, phi: Array) -> Array:
        """Radius of the cut surface on rays."""
        order = np.argsort(phi, kind="stable")
        ordered = phi[order]
        best = np.full_like(ordered, np.inf)
        low = np.searchsorted(ordered, self.cuts[:, 0] - self.reach - HAIR / 4)
        high = np.searchsorted(ordered, self.cuts[:, 1] + self.reach + HAIR / 4)
        for (begin, end, height), a, b in zip(self.cuts, low, high, strict=True):
            if a < b:
                at = ordered[a:b]
                turn = at - (begin if begin == end else np.clip(at, begin, end))
                best[a:b] = np.minimum(best[a:b], self._begins(float(height), turn))
        best = np.minimum(best, self.blank)
        best = np.where(np.isinf(best), self.widest, best)
        found = np.empty_like(best)
        found[order] = best
        return found

    def stock(self, phi: Array) -> Array:
        return self.cut(phi) - self.rim.radius(phi)

    def square(self, phi: Array) -> Array:
        wanted = self.rim.radius(phi)
        return (self.cut(phi) - wanted - self.leave) * np.cos(np.arctan2(self.rim.rate(phi), wanted))

    def ridge(self, phi: Array) -> Array:
        """Distance of the cut surface on rays from the nearest place of the stock line; negative below it."""
        cut, wanted = self.cut(phi), self.rim.radius(phi)
        over = cut - wanted - self.leave
        wide = np.degrees(np.minimum(np.abs(over) / cut * 1.1 + 1e-9, 1.0))
        near = phi[:, None] + wide[:, None] * np.linspace(-1, 1, 161)
        if not self.rim.whole:
            near = np.clip(near, 0.0, self.rim.span)
        line, turn = self.rim.radius(near) + self.leave, np.radians(near - phi[:, None])
        away = np.sqrt((line * np.cos(turn) - cut[:, None]) ** 2 + (line * np.sin(turn)) ** 2).min(axis=1)
        return np.where(over >= 0, away, over)

    def stays(self, phi: Array) -> Array:
        """Radius down to which nothing may be cut."""
        line = self.rim.radius(phi) + self.leave
        if self.rim.whole:
            return line
        hair = np.degrees(SLIVER / self.rim.first)
        inside = (phi >= hair) & (phi <= self.rim.span - hair)
        return np.where(inside, line, min(self.rim.first, self.rim.last))

    def below(self, phi: Array) -> Array:
        cut = self.cut(phi)
        touched = (cut < self.blank) & (cut < self.widest + 1e3)
        return np.where(touched, self.stays(phi) - cut, -np.inf)

    def horns(self, phi: Array) -> Array:
        """Length of metal that still stands on rays beyond the cut surface, up to the blank or the widest place of the rim."""
        return self.standing(phi)[0]

    @property
    def top(self) -> float:
        """Radius of the blank, or the least that it can have, mm."""
        return self.blank if np.isfinite(self.blank) else self.widest

    def standing(self, phi: Array) -> tuple[Array, Array, Array]:
        """What stands on rays beyond the cut surface: longest piece, mm; area for each radian, mm^2; out to which radius, mm.

        The cutter goes in and out along one ray.  Beside that ray its path, straight-sided and as wide as the cutter, is left
        again at half its width over the sine of the angle, whichever way it came in.
        """
        turn = phi[:, None] - np.where(
            self.cuts[:, 0] == self.cuts[:, 1], self.cuts[:, 0], np.clip(phi[:, None], self.cuts[:, 0], self.cuts[:, 1])
        )
        angle, height = np.radians(turn), self.cuts[:, 2]
        with np.errstate(divide="ignore", invalid="ignore"):
            end = self.half / np.abs(np.sin(angle))
            if self.side:
                centre = height + self.half
                root = np.sqrt(self.half**2 - (centre * np.sin(angle)) ** 2)
                begin = np.where(np.cos(angle) > 0, centre * np.cos(angle) - root, np.inf)
                begin = np.where(np.isnan(begin), np.inf, begin)
            else:
                begin = height / np.cos(angle)
                begin = np.where((np.cos(angle) > 0) & (begin <= end + 1e-12), begin, np.inf)
        order = np.argsort(begin, axis=1)
        begin, end = np.take_along_axis(begin, order, 1), np.take_along_axis(end, order, 1)
        reached = np.minimum(np.maximum.accumulate(np.where(np.isinf(begin), 0.0, end), axis=1), self.top)
        following = np.minimum(np.append(begin[:, 1:], np.full((len(phi), 1), np.inf), axis=1), self.top)
        apart = ~np.isinf(begin) & (begin < self.top) & (following > reached)
        areas = np.where(apart, (following**2 - reached**2) / 2, 0.0).sum(axis=1)
        tops = np.where(apart, following, 0.0).max(axis=1)
        return np.where(apart, following - reached, 0.0).max(axis=1), areas, tops

    def above(self, count: int) -> tuple[float, float, float]:
        """Area of all that stands beyond the cut surface, how far it stands over the rim, and how uncertain the area is."""
        deep = float(self.cuts[:, 2].min())
        if self.top <= (deep + self.half if self.side else np.hypot(deep, self.half)):
            return 0.0, 0.0, 0.0  # every cut is as wide as it gets before it is out of the blank
        rays = (np.arange(2 * count) + 0.5) * self.rim.span / (2 * count)
        parts = [self.standing(some) for some in np.array_split(rays, 1 + len(rays) // 500)]
        areas, tops = (np.concatenate([part[k] for part in parts]) for k in (1, 2))
        if not areas.any():
            return 0.0, 0.0, 0.0
        runs = int(np.diff((areas > 0).astype(int), prepend=0).clip(0).sum())
        wide = np.radians(self.rim.span / (2 * count))
        high = float((tops - self.rim.radius(rays))[areas > 0].max())
        return float(areas.sum() * wide), high, float(runs * np.radians(RAY) * areas.max())

    def places(self, count: int, span: float) -> Array:
        comb = np.linspace(0.0, span, count)
        kinks = self.rim.kinks
        cuts = self.cuts
        edges = np.concatenate([cuts[:, 0] - self.reach, cuts[:, 1] + self.reach])
        hair = np.degrees(1.5 * SLIVER / self.rim.first)
        at = [
            comb,
            kinks,
            kinks - HAIR,
            kinks + HAIR,
            edges - HAIR,
            edges + HAIR,
            cuts[:, 0],
            cuts[:, 1],
            self._meetings(),
        ]
        at += [np.array([hair, self.rim.span - hair])]
        found = np.unique(np.concatenate(at))
        return found[(found >= 0) & (found <= span)]

    def _meetings(self) -> Array:
        """Rays on which neighbouring cuts meet: ridges stand there."""
        ordered = self.cuts[np.argsort(self.cuts[:, 0], kind="stable")]
        a, b = ordered[:-1], ordered[1:]
        t, p = np.radians(a[:, 1]), a[:, 2] + (self.half if self.side else 0.0)
        u, q = np.radians(b[:, 0]), b[:, 2] + (self.half if self.side else 0.0)
        if not self.side:
            middle = (t + u) / 2  # p cos(x - u) = q cos(x - t), counted from the middle between the two
            x = np.arctan2(
                q * np.cos(t - middle) - p * np.cos(u - middle), p * np.sin(u - middle) - q * np.sin(t - middle)
            )
            return np.degrees(middle + np.where(np.abs(x) > np.pi / 2, x - np.pi * np.sign(x), x))
        one, two = p * np.exp(1j * t), q * np.exp(1j * u)
        gap = two - one
        with np.errstate(invalid="ignore", divide="ignore"):
            off = np.sqrt(self.half**2 - np.abs(gap) ** 2 / 4) * 1j * gap / np.abs(gap)
        crossings = np.concatenate([(one + two) / 2 + off, (one + two) / 2 - off])
        middle = np.concatenate([t + u, t + u]) / 2
        return np.degrees(middle + np.angle(np.nan_to_num(crossings, nan=1.0) * np.exp(-1j * middle)))


def _look(plan: Mapping[str, Any], count: int, rounds: int) -> Seen:
    cam = Cam(plan)
    phi = cam.places(count, cam.rim.span)
    everywhere = cam.places(count, 360.0)
    gouge, at = closed_in(cam.below, everywhere, cam.below(everywhere), rounds)
    where = f"{at:.4f} deg" + (" (gap)" if at > cam.rim.span else "")
    stock = cam.stock(phi)
    highest, _ = closed_in(cam.stock, phi, stock, rounds)
    lowest, _ = closed_in(lambda at: -cam.stock(at), phi, -stock, rounds)
    by_slope, ridge_at = closed_in(cam.square, phi, cam.square(phi), rounds)
    tops = phi[np.argsort(cam.square(phi))[::-1][:400]]
    tops = np.unique(np.concatenate([tops, [ridge_at]]))
    scallop = float(cam.ridge(tops).max())
    points, shares = np.polynomial.legendre.leggauss(3)
    inner = (phi[:-1, None] + np.diff(phi)[:, None] * (points + 1) / 2).ravel()
    weight = (np.diff(phi)[:, None] * shares / 2).ravel()
    wanted, cut = cam.rim.radius(inner), cam.cut(inner)
    skin = weight * np.hypot(wanted, cam.rim.rate(inner))
    volume = float(np.radians((weight * (cut**2 - wanted**2) / 2).sum()))
    means = {
        "mean_by_angle": float((weight * (cut - wanted)).sum() / weight.sum()),
        "mean_by_rim": float((skin * (cut - wanted)).sum() / skin.sum()),
    }
    area = float(np.radians(skin.sum()))
    more: dict[str, Any] = {"area": area, "scallop_at": ridge_at, "scallop_low": min(scallop, by_slope), **means}
    horn, high, unsure = cam.above(count)
    if horn:  # by areas: what stands on a ray in pieces has no one height
        more |= {"horn": unsure, "mean_by_rim": means["mean_by_rim"] + horn / area}
        volume, highest = volume + horn, max(highest, high)
    return Seen(gouge, where, max(scallop, by_slope), -lowest, means["mean_by_angle"], highest, volume, more=more)


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at the whole cam after all cuts of a plan; the volume is per mm of thickness, as the contract has it."""
    if fast:
        return _look(plan, 721, 2)
    seen = _look(plan, 7201, 5).compared(_look(plan, 2701, 4))
    unsure = seen.more.get("horn", 0.0)
    if unsure:
        more = {"volume": unsure, "stock_mean": unsure / seen.more["area"], "stock_max": 0.03 * seen.stock_max}
        seen.errors = {name: error + more.get(name, 0.0) for name, error in seen.errors.items()}
    return seen
