"""A helical groove of any section as rays see it: every position of a plan takes a stretch along the axis at each radius and angle.

Written from the geometry and the JSON alone.  What is wanted is what the cutter would take if it ran along its helix without a
stop, at the full depth, anywhere between the walls; what no position takes of it is still to file.  Whole steps in the middle
of the groove are looked at, so that its ends do not matter.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from tests.outside.seen import Seen

Array = NDArray[np.float64]


class Rays(NamedTuple):
    """What the rays find, mm and mm^3; ``below`` is how far any position reaches past the wanted floor or walls."""

    volume: float
    wall: float
    width: float
    below: float


class Model:
    """The cutter and its helix."""

    def __init__(self, plan: Mapping[str, Any]) -> None:
        target, cutter = plan["target"], plan["cutter"]
        self.outside, self.k = target["diameter"] / 2, target["lead"] / (2 * np.pi)
        self.big, self.kind = cutter["diameter"] / 2, cutter["kind"]
        self.tan = np.tan(np.radians(cutter.get("angle", 0.0)) / 2)
        self.wanted = target["depth"]
        self.deep = max(act["to"] for act in plan["acts"] if act["act"] == "cut" and act["axis"] == "depth")

    def wide(self, up: Array) -> Array:
        """Radius of the cutter so far above its lowest point; -1 below it."""
        if self.kind == "vee":
            found = np.minimum(up * self.tan, self.big)
        elif self.kind == "ball":
            found = np.sqrt(np.maximum(self.big**2 - np.clip(self.big - up, 0, None) ** 2, 0))
        else:
            found = np.full_like(up, self.big)
        return np.where(up >= -1e-12, found, -1.0)

    def stretch(self, rho: float, beside: Array, deep: float) -> Array:
        """Half the length along the axis that a position takes at a radius, so many radians beside it; -1 where none."""
        across, up = rho * np.sin(beside), rho * np.cos(beside) - (self.outside - deep)
        radius = self.wide(up)
        room = np.where((radius >= 0) & (np.cos(beside) > 0), radius**2 - across**2, -1.0)
        return np.where(room >= 0, np.sqrt(np.maximum(room, 0)), -1.0)

    def half(self, rho: float, deep: float) -> float:
        """How far from its path the running cutter reaches along the axis at a radius; 0 where it takes nothing."""
        low, high = -1.4, 1.4
        for _ in range(7):
            at = np.linspace(low, high, 801)
            half = self.stretch(rho, at, deep)
            far = np.where(half >= 0, half - self.k * at, -np.inf)
            top = int(far.argmax())
            low, high = at[max(0, top - 2)], at[min(800, top + 2)]
        return float(max(far[top], 0.0))

    def caliper(self, half: float) -> float:
        """The shortest straight line between both edges at the surface, each so far from the path along the axis: points in space."""
        low, high = -2.0, 2.0
        for _ in range(5):
            turn = np.linspace(low, high, 4001)
            edge = np.stack([self.outside * np.cos(turn), self.outside * np.sin(turn), self.k * turn + half])
            far = np.linalg.norm(edge - np.array([[self.outside], [0.0], [-half]]), axis=0)
            best = int(far.argmin())
            low, high = turn[max(0, best - 2)], turn[min(4000, best + 2)]
        return float(far[best])

    def spread(self, width: float) -> float:
        """How far apart along the axis two sweeps at the full depth stand, so that a caliper finds a width between their outer edges."""
        edge = self.half(self.outside, self.wanted)
        return float(brentq(lambda apart: self.caliper(edge + apart / 2) - width, 0.0, 8 * width))

    def plunged(self, deep: float, spread: float, fine: int = 2001) -> float:
        """What one cut takes out of the round bar, drawn out so far along its axis: column by column, up from the cutter's end to the bar."""
        at = ((np.arange(fine) + 0.5) / fine * 2 - 1) * self.big
        end = np.linspace(0.0, min(self.outside, 2 * self.big), 4001)
        wide = self.wide(end)

        def column(beside: Array, far: Array) -> Array:
            floor = np.zeros_like(far) if self.kind not in ("vee", "ball") else np.interp(far, wide, end)
            high = np.sqrt(np.maximum(self.outside**2 - beside**2, 0)) - (self.outside - deep) - floor
            return np.where(far <= self.big, np.maximum(high, 0.0), 0.0)

        each = 2 * self.big / fine
        x, y = np.meshgrid(at, at)
        return float(column(y, np.hypot(x, y)).sum() * each**2 + spread * column(at, np.abs(at)).sum() * each)

    def turned(self) -> float:
        """How far beside its top a position makes the wall at the surface, radians."""
        at = np.linspace(-1.4, 1.4, 20_001)
        half = self.stretch(self.outside, at, self.deep)
        return abs(float(at[np.where(half >= 0, half - self.k * at, -np.inf).argmax()]))

    def off_wall(self, reach: float, spread: float) -> float:
        """How far a point at the surface, so far along the axis from the middle, stands from the wall that the running cutter leaves."""
        rows = self.outside - self.deep + (1.1 * self.deep) * np.linspace(0, 1, 161) ** 2
        halves = np.array([self.half(r, self.deep) for r in rows])
        best, rho, turn = np.inf, rows, np.linspace(-0.25, 0.25, 1201)
        for _ in range(3):  # ever closer about the nearest point of the wall
            out = np.interp(rho, rows, halves) + spread / 2
            far = (rho[:, None] * np.cos(turn) - self.outside) ** 2 + (rho[:, None] * np.sin(turn)) ** 2
            far += (out[:, None] + self.k * turn - reach) ** 2
            i, j = np.unravel_index(far.argmin(), far.shape)
            best = min(best, float(far[i, j]))
            rho = np.linspace(rho[max(0, i - 1)], rho[min(len(rho) - 1, i + 1)], 161)
            turn = np.linspace(turn[max(0, j - 1)], turn[min(len(turn) - 1, j + 1)], 161)
        return float(np.sqrt(best))


def seen(plan: Mapping[str, Any], fine: int = 24, levels: int = 10) -> Rays:
    """What all the cuts of the first groove leave; sections between every two neighbours at so many angles."""
    model, target = Model(plan), plan["target"]
    passes = target.get("side_by_side", 1)
    stops = [stop for stop in plan["stops"] if stop["start"] <= passes]
    turns, slides = np.radians([stop["table"] for stop in stops]), np.array([stop["x"] for stop in stops])
    offs = slides - model.k * turns
    spread = float(offs.max() - offs.min()) if passes > 1 else 0.0
    middle = float(offs.max() + offs.min()) / 2 if passes > 1 else 0.0
    wanted = model.spread(target["width"]) if "width" in target else 0.0
    marks = np.unique(turns)
    margin = 1.1 * model.turned() + marks[1]  # what the outermost walls see of the cuts, before and after
    inner = marks[(marks >= marks[0] + margin) & (marks <= marks[-1] - margin)]
    if len(inner) < 3:
        raise ValueError("too short a groove for this model: its ends would count")
    first, last = inner[0], inner[-1]
    at = np.concatenate([a + (b - a) * (np.arange(fine) + 0.5) / fine for a, b in itertools.pairwise(inner)])
    weight = np.concatenate([np.full(fine, (b - a) / fine) for a, b in itertools.pairwise(inner)])
    scale = (marks[-1] - marks[0]) / (last - first)
    low, deep = model.outside - model.wanted, model.deep
    nodes, shares = np.polynomial.legendre.leggauss(levels)
    volume = 0.0
    floor = model.outside - deep
    facet = min(floor / np.cos(np.diff(marks).max() / 2), model.outside)
    edges = sorted({low, floor, float(facet), floor + 0.12 * deep, floor + 0.4 * deep, model.outside})
    for bottom, top in itertools.pairwise(edges):
        for x, share in zip((nodes + 1) / 2, shares / 2, strict=True):
            rho = bottom + (top - bottom) * x * x
            wide = model.half(rho, model.wanted) + wanted / 2
            stands = _uncut(model, rho, wide, at, turns, slides - middle)
            volume += share * 2 * x * (top - bottom) * rho * float((stands * weight).sum())
    reach = _reach(model, at, turns, slides - middle)
    most = _farthest(model, at, turns, slides - middle)
    for _ in range(3):  # ever closer about the point of the highest cusp
        near = at[int(reach.argmin()) % len(at)] + np.linspace(-1, 1, 81) * (at[1] - at[0])
        at, reach = near, _reach(model, near, turns, slides - middle)
    ideal = model.half(model.outside, deep) + spread / 2
    wall = model.off_wall(float(min(reach)), spread) if min(reach) < ideal else 0.0
    below = max(deep - model.wanted, most - model.half(model.outside, model.wanted) - wanted / 2)
    # Both ends together have what one plunge takes, drawn out between the walls, at the depth that is wanted and not at that of the cuts.
    ends = 0.0
    if "width" in target or deep < model.wanted:
        ends = model.plunged(model.wanted, wanted) - model.plunged(deep, spread)
    return Rays((volume * scale + ends) * target["starts"], wall, model.caliper(ideal), below)


def _uncut(model: Model, rho: float, wide: float, at: Array, turns: Array, slides: Array) -> Array:
    """Length along the axis between -wide and wide from the path that no position takes, at a radius and some angles."""
    beside = at[:, None] - turns[None, :]
    half = np.where(np.abs(beside) < 1.5, model.stretch(rho, beside, model.deep), -1.0)
    along = slides[None, :] - model.k * at[:, None]
    low = np.where(half >= 0, np.clip(along - half, -wide, wide), wide)
    high = np.where(half >= 0, np.clip(along + half, -wide, wide), wide)
    order = np.argsort(low, axis=1)
    low, high = np.take_along_axis(low, order, 1), np.take_along_axis(high, order, 1)
    done = np.maximum.accumulate(np.c_[np.full(len(at), -wide), high], axis=1)
    gaps = np.clip(np.c_[low, np.full(len(at), wide)] - done, 0, None)
    return gaps.sum(axis=1)


def _reach(model: Model, at: Array, turns: Array, slides: Array) -> Array:
    """How far from the middle all is cut at the surface, to both sides, at some angles: up to the first metal that stands."""
    beside = at[:, None] - turns[None, :]
    half = np.where(np.abs(beside) < 1.5, model.stretch(model.outside, beside, model.deep), -1.0)
    along = slides[None, :] - model.k * at[:, None]
    found = []
    for side in (1, -1):
        begin, end = (np.where(half >= 0, side * along + sign * half, -np.inf) for sign in (-1, 1))
        here = np.zeros(len(at))
        for _ in range(40):  # from stretch to stretch, each of which begins before the last one ends
            here = np.maximum(here, np.where(begin <= here[:, None], end, -np.inf).max(axis=1))
        found.append(here)
    return np.concatenate(found)


def _farthest(model: Model, at: Array, turns: Array, slides: Array) -> float:
    """How far from the middle any position reaches at the surface, to either side."""
    beside = at[:, None] - turns[None, :]
    half = np.where(np.abs(beside) < 1.5, model.stretch(model.outside, beside, model.deep), -1.0)
    along = np.abs(slides[None, :] - model.k * at[:, None])
    return float(np.where(half >= 0, along + half, -np.inf).max())


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """The volume and the wall's ridge of grooves with a section of their own, as the model of the whole part gives them.

    The other figures are left open here; heights on the floor are compared by hand arithmetic in the tests of the shape.
    """
    target = plan["target"]
    open_ = ("scallop", "stock_min", "stock_mean", "stock_max")
    if target.get("cross"):
        volume = crossed(plan) if fast else crossed(plan, 120, 2160, 10)
        return Seen(
            0.0,
            "not looked at",
            *[float("nan")] * 4,
            volume,
            {"volume": (0.02 if fast else 0.01) * volume},
            {"left_open": open_, "area": 1.0},
        )
    found, coarser = seen(plan, 32, 10), seen(plan, 16, 6)
    run = np.hypot(target["diameter"] * np.pi, target["lead"]) / target["lead"] * target["length"] * target["starts"]
    helps = (
        0.0 if "width" in target else 0.003
    )  # a groove as wide as its cutter stands as far off its way as X is rounded
    return Seen(
        found.below - helps, "walls and floor", *[float("nan")] * 4, found.volume,
        {"volume": abs(found.volume - coarser.volume), "scallop": 0.003},
        {"left_open": open_, "wall_ridge": found.wall, "area": run * found.width},
    )  # fmt: skip


def crossed(plan: Mapping[str, Any], every: int = 120, round_: int = 1440, levels: int = 6) -> float:
    """Volume left in grooves of both hands, mm^3: all of them from end to end, with the rounds in which they end, on a raster of the cylinder.

    The raster has ``every`` places in each mm along the axis, and ``round_`` round it.
    """
    model, target = Model(plan), plan["target"]
    passes, run = target.get("side_by_side", 1), target["length"] / model.k
    stops = plan["stops"]
    turns, slides = np.radians([stop["table"] for stop in stops]), np.array([stop["x"] for stop in stops])
    offs = np.array([stop["x"] - model.k * np.radians(stop["table"]) for stop in stops if stop["start"] <= passes])
    middle = float(offs.max() + offs.min()) / 2 if passes > 1 else 0.0
    spread = model.spread(target["width"]) if "width" in target else 0.0
    low, high = -model.big - spread, target["length"] + model.big + spread
    fine = round((high - low) * every)
    at = (np.arange(round_) + 0.5) * 2 * np.pi / round_
    nodes, shares = np.polynomial.legendre.leggauss(levels)
    volume, floor = 0.0, model.outside - model.deep
    edges = sorted(
        {model.outside - model.wanted, floor, floor + 0.12 * model.deep, floor + 0.4 * model.deep, model.outside}
    )

    def painted(begin: Array, end: Array, angle: NDArray[np.int64]) -> NDArray[np.bool_]:
        count = np.zeros((round_, fine + 1), np.int32)
        first, last = (
            np.clip(np.rint((edge - low) / (high - low) * fine), 0, fine).astype(int) for edge in (begin, end)
        )
        good = last > first
        np.add.at(count, (angle[good], first[good]), 1)
        np.add.at(count, (angle[good], last[good]), -1)
        return np.cumsum(count, axis=1)[:, :fine] > 0

    for bottom, top in itertools.pairwise(edges):
        for x, share in zip((nodes + 1) / 2, shares / 2, strict=True):
            rho = bottom + (top - bottom) * x * x
            beside = (at[:, None] - turns[None, :] + np.pi) % (2 * np.pi) - np.pi
            reach = np.where(np.abs(beside) < 1.5, model.stretch(rho, beside, model.deep), -1.0)
            angle, stop = np.nonzero(reach >= 0)
            axial = slides[stop] - middle
            cut = painted(axial - reach[angle, stop], axial + reach[angle, stop], angle)
            begins, ends, angles = [], [], []
            for hand in (1, -1):
                for start in range(target["starts"]):
                    for turn in range(-2, int(run / (2 * np.pi)) + 3):
                        ways = hand * (at - 2 * np.pi * start / target["starts"]) + 2 * np.pi * turn
                        begin, end = _run(model, rho, ways, run)
                        begins.append(begin - spread / 2)
                        ends.append(np.where(end > begin, end + spread / 2, -np.inf))
                        angles.append(np.arange(round_))
            wanted = painted(
                np.nan_to_num(np.concatenate(begins), posinf=high),
                np.nan_to_num(np.concatenate(ends), neginf=low),
                np.concatenate(angles),
            )
            area = float((wanted & ~cut).sum()) * (high - low) / fine * 2 * np.pi / round_ * rho
            volume += share * 2 * x * (top - bottom) * area
    return volume


def _run(model: Model, rho: float, ways: Array, run: float) -> tuple[Array, Array]:
    """What the cutter takes along the axis at a radius on its way from 0 to run, at angles along that way; upside down where nothing."""
    beside = np.linspace(-1.4, 1.4, 20_001)
    some = np.abs(beside[model.stretch(rho, beside, model.wanted) >= 0])
    window = float(some.max()) if len(some) else 0.0
    half = model.half(rho, model.wanted) if window else 0.0
    inner = (ways >= window) & (ways <= run - window) & (window > 0)
    first, last = np.where(inner, model.k * ways - half, np.inf), np.where(inner, model.k * ways + half, -np.inf)
    near = np.nonzero(~inner & (ways > -window) & (ways < run + window))[0]
    if len(near) and window:
        begin, end = (np.clip(ways[near] + side * window, 0.0, run)[:, None] for side in (-1, 1))
        along = begin + (end - begin) * np.linspace(0, 1, 400)
        reach = model.stretch(rho, ways[near][:, None] - along, model.wanted)
        first[near] = np.where(reach >= 0, model.k * along - reach, np.inf).min(axis=1)
        last[near] = np.where(reach >= 0, model.k * along + reach, -np.inf).max(axis=1)
    return first, last
