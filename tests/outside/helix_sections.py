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
    slant = np.hypot(model.outside, model.k) / model.outside
    wanted = target["width"] * slant - 2 * model.half(model.outside, model.wanted) if "width" in target else 0.0
    marks = np.unique(turns)
    first, last = marks[len(marks) // 4], marks[-len(marks) // 4]
    inner = marks[(marks >= first) & (marks <= last)]
    at = np.concatenate([a + (b - a) * (np.arange(fine) + 0.5) / fine for a, b in itertools.pairwise(inner)])
    weight = np.concatenate([np.full(fine, (b - a) / fine) for a, b in itertools.pairwise(inner)])
    scale = (marks[-1] - marks[0]) / (last - first)
    low, deep = model.outside - model.wanted, model.deep
    nodes, shares = np.polynomial.legendre.leggauss(levels)
    volume = 0.0
    floor = model.outside - deep
    edges = sorted({low, floor, floor + 0.12 * deep, floor + 0.4 * deep, model.outside})
    for bottom, top in itertools.pairwise(edges):
        for x, share in zip((nodes + 1) / 2, shares / 2, strict=True):
            rho = bottom + (top - bottom) * x * x
            wide = model.half(rho, model.wanted) + wanted / 2
            stands = _uncut(model, rho, wide, at, turns, slides - middle)
            volume += share * 2 * x * (top - bottom) * rho * float((stands * weight).sum())
    reach = _reach(model, at, turns, slides - middle)
    ideal = model.half(model.outside, deep) + spread / 2
    wall = model.off_wall(float(min(reach)), spread) if min(reach) < ideal else 0.0
    below = max(deep - model.wanted, float(max(reach)) - model.half(model.outside, model.wanted) - wanted / 2)
    return Rays(volume * scale * target["starts"], wall, 2 * ideal / slant, below)


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
    """How far from the middle the positions reach at the surface, to both sides, at some angles."""
    beside = at[:, None] - turns[None, :]
    half = np.where(np.abs(beside) < 1.5, model.stretch(model.outside, beside, model.deep), -1.0)
    along = slides[None, :] - model.k * at[:, None]
    up = np.where(half >= 0, along + half, -np.inf).max(axis=1)
    down = np.where(half >= 0, half - along, -np.inf).max(axis=1)
    return np.r_[up, down]


def crossed(plan: Mapping[str, Any], fine: int = 4000, round_: int = 1440, levels: int = 6) -> float:
    """Volume left in grooves of both hands, mm^3: two rows of crossings in the middle are looked at, on a raster of the cylinder.

    The length must be a whole number of rows; at either end half of a crossing is missing, as between the two that are seen.
    """
    model, target = Model(plan), plan["target"]
    rows = [x for x, _ in target["crossings"]]
    apart, half = rows[1] - rows[0], len(rows) // 2
    low, high = rows[half] - apart / 2, rows[half] + apart / 2
    passes = target.get("side_by_side", 1)
    stops = plan["stops"]
    turns, slides = np.radians([stop["table"] for stop in stops]), np.array([stop["x"] for stop in stops])
    offs = np.array([stop["x"] - model.k * np.radians(stop["table"]) for stop in stops if stop["start"] <= passes])
    middle = float(offs.max() + offs.min()) / 2 if passes > 1 else 0.0
    slant = np.hypot(model.outside, model.k) / model.outside
    spread = target["width"] * slant - 2 * model.half(model.outside, model.wanted) if "width" in target else 0.0
    at = (np.arange(round_) + 0.5) * 2 * np.pi / round_
    nodes, shares = np.polynomial.legendre.leggauss(levels)
    volume, floor = 0.0, model.outside - model.deep
    edges = sorted(
        {model.outside - model.wanted, floor, floor + 0.12 * model.deep, floor + 0.4 * model.deep, model.outside}
    )

    def painted(begin: Array, end: Array, angle: Array) -> NDArray[np.bool_]:
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
            wide = model.half(rho, model.wanted) + spread / 2
            begins, ends, angles = [], [], []
            for hand in (1, -1):
                for start in range(target["starts"]):
                    for turn in range(-40, 40):
                        path = hand * model.k * (at - 2 * np.pi * start / target["starts"] + 2 * np.pi * turn)
                        begins.append(path - wide)
                        ends.append(path + wide)
                        angles.append(np.arange(round_))
            wanted = painted(np.concatenate(begins), np.concatenate(ends), np.concatenate(angles))
            area = float((wanted & ~cut).sum()) * (high - low) / fine * 2 * np.pi / round_ * rho
            volume += share * 2 * x * (top - bottom) * area
    return volume * (len(rows) - 1)
