"""Points in X and Y, grooves along a circle, and divided circles, seen from a plan's JSON alone.

A round cutter takes its circle at every point.  Seen from the middle of an arc, the wall that is left stands along each ray where
the last of the circles ends; in a groove the same circles go as deep as the cutter at its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.outside.published_motions import displacement
from tests.outside.seen import Seen, closed_in

Array = NDArray[np.float64]


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at an arc, a groove or a divided circle after all cuts of a plan."""
    look = {"points": _points, "groove": _groove, "divide": _divided}[plan["shape"]]
    return look(plan, 8) if fast else look(plan, 96).compared(look(plan, 48))


# --- points -----------------------------------------------------------------------------------------------------------


def _points(plan: Mapping[str, Any], fine: int) -> Seen:
    target, size, leave = plan["target"], plan["cutter"]["diameter"] / 2, plan["leave"]
    x = np.array([stop["x"] for stop in plan["stops"]]) - target["x"]
    y = np.array([stop["y"] for stop in plan["stops"]]) - target["y"]
    begin, span = np.radians(target["begin"]), np.radians(target["span"])
    sides = {"inside": [(1, target["radius"])], "outside": [(-1, target["radius"])]}
    walls = sides.get(target["side"], [(1, target["radius"] + size), (-1, target["radius"] - size)])

    def stock(theta: Array, side: int, wall: float) -> Array:
        along = np.cos(theta)[:, None] * x + np.sin(theta)[:, None] * y
        beside = np.cos(theta)[:, None] * y - np.sin(theta)[:, None] * x
        room = size**2 - beside**2
        ends = np.where((room >= 0) & (along > 0), along + side * np.sqrt(np.maximum(room, 0.0)), -side * np.inf)
        return np.asarray(wall - ends.max(axis=1) if side > 0 else ends.min(axis=1) - wall)

    theta = np.linspace(begin, begin + span, fine * len(x) + 1)
    middles = np.sort(np.clip(np.arctan2(y, x) + 2 * np.pi * np.arange(-1, 3)[:, None], begin, begin + span).ravel())
    theta = np.unique(np.r_[theta, middles])
    found = []
    for side, wall in walls:
        height = stock(theta, side, wall)
        highest = closed_in(lambda at, side=side, wall=wall: stock(at, side, wall), theta, height, 6)[0]  # type: ignore[misc]  # bound at once
        lowest = -closed_in(lambda at, side=side, wall=wall: -stock(at, side, wall), theta, -height, 6)[0]  # type: ignore[misc]  # bound at once
        inside = (theta[:-1] + np.diff(theta) * share for share in (0.0, 0.5, 1.0))
        ends, middle, other = (stock(at, side, wall) for at in inside)
        wide = np.diff(theta)
        mean = ((ends + 4 * middle + other) / 6 * wide).sum() / span
        area = [wall * part - side * part**2 / 2 for part in (ends, middle, other)]
        found.append((highest, lowest, mean, ((area[0] + 4 * area[1] + area[2]) / 6 * wide).sum()))
    most, least = max(one[0] for one in found), min(one[1] for one in found)
    more: dict[str, Any] = {"area": target["radius"] * span}
    if target["side"] == "on":  # a slot or holes: nothing is said but the ridge
        more["left_open"] = ("stock_min", "stock_mean", "stock_max", "volume")
    return Seen(
        leave - least if target["side"] != "on" else 0.0,
        "the wall",
        most - leave,
        least,
        found[0][2],
        most,
        found[0][3],
        more=more,
    )


# --- grooves ----------------------------------------------------------------------------------------------------------


class _Round:
    """The middle line of one groove, and what cuts take of the face."""

    def __init__(self, plan: Mapping[str, Any]) -> None:
        self.target, self.size = plan["target"], plan["cutter"]["diameter"] / 2
        self.ball, self.ring = plan["cutter"]["kind"] == "ball", plan["target"]["circle"] / 2
        self.cuts = [(stop["table"], stop["depth"]) for stop in plan["stops"] if stop["start"] == 1]

    def wanted(self, phi: Array) -> Array:
        phi = np.clip(phi, 0, self.target["span"])  # beyond its ends it stays level
        if self.target["targets"]:
            return np.interp(phi, *np.array(self.target["targets"]).T)
        share = displacement(self.target["law"])(phi / self.target["span"])
        return np.asarray(self.target["start_depth"] + self.target["rise"] * share)

    def relief(self, away: Array) -> Array:
        sag = self.size - np.sqrt(np.maximum(self.size**2 - away**2, 0.0)) if self.ball else 0.0
        return np.where(away <= self.size + 1e-9, sag, np.inf)

    def cut(self, phi: Array) -> Array:
        """Depth on the middle line."""
        found = np.zeros_like(phi)
        for at, depth in self.cuts:
            found = np.maximum(found, depth - self.relief(2 * self.ring * np.abs(np.sin(np.radians(phi - at) / 2))))
        return found

    def edges(self) -> Array:
        half = np.degrees(2 * np.arcsin(min(1.0, self.size / 2 / self.ring)))
        at = np.array([at for at, _ in self.cuts])
        return np.concatenate([at - half - 1e-7, at - half + 1e-7, at + half - 1e-7, at + half + 1e-7])


def _groove(plan: Mapping[str, Any], fine: int) -> Seen:
    line, leave, span = _Round(plan), plan["leave"], plan["target"]["span"]
    comb = np.linspace(0, span, fine * max(len(line.cuts), 40) + 1)
    kinks = np.array([at for at, _ in plan["target"]["targets"]] or [0.0])
    phi = np.unique(np.clip(np.r_[comb, line.edges(), kinks - 1e-7, kinks + 1e-7], 0, span))

    def stock(at: Array) -> Array:
        return line.wanted(at) - line.cut(at)

    def ridge(at: Array, steeper: bool) -> Array:
        """Square to the line: where that has a kink, to its steeper or its flatter side."""
        hair = 1e-5
        low, high = np.maximum(at - hair, 0), np.minimum(at + hair, span)
        sides = [np.abs(line.wanted(b) - line.wanted(a)) / hair for a, b in ((low, at), (at, high))]
        slope = (np.maximum if steeper else np.minimum)(*sides) / np.radians(1) / line.ring
        return np.asarray((stock(at) - leave) / np.hypot(1, slope))

    here = stock(phi)
    most, least = closed_in(stock, phi, here, 6)[0], -closed_in(lambda at: -stock(at), phi, -here, 6)[0]
    middle, wide = stock((phi[1:] + phi[:-1]) / 2), np.diff(phi)
    mean = float(((here[1:] + here[:-1] + 4 * middle) / 6 * wide).sum() / span)
    scallop, low = (
        closed_in(lambda at, k=k: ridge(at, k), phi, ridge(phi, k), 6)[0]  # type: ignore[misc]  # bound at once
        for k in (False, True)
    )
    # A raster sees the volume in the groove's own tests.
    more = {"scallop_low": low, "area": np.radians(span) * line.ring * 2 * line.size, "left_open": ("volume",)}
    return Seen(leave - least, "the middle line", scallop, least, mean, most, 0.0, more=more)


# --- divided circles --------------------------------------------------------------------------------------------------


def _divided(plan: Mapping[str, Any], fine: int) -> Seen:
    """Nothing is left of a place: only where it stands counts."""
    return Seen(0.0, "", 0.0, 0.0, 0.0, 0.0, 0.0, more={"area": 1.0})


def misplaced(plan: Mapping[str, Any], values: Mapping[str, Any]) -> list[str]:
    """What a plan says wrong of where its places stand, against equal parts of a circle counted in whole divisions."""
    count, start = int(values["divisions"]), float(values.get("start", "0deg")[:-3])
    skipped = {int(word) for word in values.get("skip", "").split(",") if word}
    wanted = np.array([start + 360 * k / count for k in range(count) if k + 1 not in skipped])
    table = np.array([stop["table"] for stop in plan["stops"]])
    if len(table) != len(wanted):
        return [f"{len(table)} places, {len(wanted)} wanted"]
    off = (table - wanted + 180) % 360 - 180
    found = []
    if np.abs(off).max() > 0.5 / 60 + 1e-9 and plan["target"]["by"] == "rim":  # half a mark of the table's minutes
        found.append(f"a place {np.abs(off).max():.6f} deg off")
    if abs(np.abs(off).max() - plan["result"]["worst_error"]) > 1e-9:
        found.append(f"worst_error printed {plan['result']['worst_error']:.6f}, true {np.abs(off).max():.6f}")
    spaces = np.abs(np.diff(off)).max() if len(off) > 1 else 0.0
    if abs(spaces - plan["result"]["spacing_error"]) > 1e-9:
        found.append(f"spacing_error printed {plan['result']['spacing_error']:.6f}, true {spaces:.6f}")
    return found
