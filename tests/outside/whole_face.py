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
        self.ring = plan["target"]["circle"] / 2
        self.corner = self.size if plan["cutter"]["kind"] == "ball" else plan["cutter"].get("corner", 0.0)
        self.cuts = [(stop["table"], stop["depth"]) for stop in plan["stops"] if stop["start"] == 1]

    def wanted(self, phi: Array) -> Array:
        phi = np.clip(phi, 0, self.target["span"])  # beyond its ends it stays level
        if self.target["targets"]:
            return np.interp(phi, *np.array(self.target["targets"]).T)
        share = displacement(self.target["law"])(phi / self.target["span"])
        return np.asarray(self.target["start_depth"] + self.target["rise"] * share)

    def relief(self, away: Array) -> Array:
        beyond = np.clip(away - (self.size - self.corner), 0.0, self.corner)  # past where its end is flat
        sag = self.corner - np.sqrt(self.corner**2 - beyond**2)
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
    """What a plan says wrong of where its places stand, against what was asked, on the metric machine: 4 degrees a turn, minutes."""
    wanted = _places(values, 360.0, float(values.get("start", "0deg")[:-3]), "divisions")
    table = np.array([stop["table"] for stop in plan["stops"]])
    if len(table) != len(wanted):
        return [f"{len(table)} places, {len(wanted)} wanted"]
    off = (table - wanted + 180) % 360 - 180
    grain, found = 1 / 60, []
    if "circles" in values:  # every circle tried, every place on its nearest hole
        circles = {int(holes): 4 / int(holes) for holes in values["circles"].split(",")}
        worst = {holes: np.abs(wanted - np.rint(wanted / apart) * apart).max() for holes, apart in circles.items()}
        grain = circles[plan["result"]["circle"]]
        if worst[plan["result"]["circle"]] > min(worst.values()) + 1e-9:
            found.append(f"circle {plan['result']['circle']}, worst {worst}")
    elif "direct" in values:
        grain = 360 / int(values["direct"])
    return found + _off(off, grain, plan["result"], closed="vernier" not in values and len(off) > 1)


def misruled(plan: Mapping[str, Any], values: Mapping[str, Any]) -> list[str]:
    """The same of the lines of a straight scale, on a slide of 0.005 mm; and how long each of them is."""
    start = float(values["start"][:-2])
    wanted = _places(values, 0.0, start, "")
    x = np.array([stop["x"] for stop in plan["stops"]])
    if len(x) != len(wanted):
        return [f"{len(x)} lines, {len(wanted)} wanted"]
    counts = _counts(values)
    ranks = np.where(counts % 10 == 0, 6.0, np.where(counts % 5 == 0, 4.5, 3.0))
    found = (
        [] if np.allclose([stop["y"] for stop in plan["stops"]], ranks, atol=0.0026) else ["a line of the wrong length"]
    )
    return found + _off(x - wanted, 0.005, plan["result"])


def _counts(values: Mapping[str, Any]) -> Array:
    """Numbers of the lines of a straight scale that are not skipped."""
    skipped = {int(word) for word in values.get("skip", "").split(",") if word}
    count = int(values.get("vernier") or values["divisions"]) + 1
    return np.array([k for k in range(count) if k + 1 not in skipped])


def _places(values: Mapping[str, Any], turn: float, start: float, closed: str) -> Array:
    """Where places are wanted: parts of a whole circle, of a scale, or of a vernier, or as they are listed."""
    if "angles" in values:
        return np.array([float(angle.removesuffix("deg")) for angle in values["angles"].split(", ")])
    if "vernier" in values:
        main = float(values["main"].removesuffix("deg").removesuffix("mm"))
        return start + main * int(values["over"]) / int(values["vernier"]) * np.arange(int(values["vernier"]) + 1)
    if "pitch" in values:
        return start + float(values["pitch"][:-2]) * _counts(values)
    skipped = {int(word) for word in values.get("skip", "").split(",") if word}
    count = int(values[closed])
    return np.array([start + turn * k / count for k in range(count) if k + 1 not in skipped])


def _off(off: Array, grain: float, result: Mapping[str, Any], closed: bool = False) -> list[str]:
    """What is told wrong of places that stand so far off; round a closed circle the last is followed by the first."""
    found = []
    if np.abs(off).max() > grain / 2 + 1e-9:
        found.append(f"a place {np.abs(off).max():.6f} off")
    if abs(np.abs(off).max() - result["worst_error"]) > 1e-9:
        found.append(f"worst_error printed {result['worst_error']:.6f}, true {np.abs(off).max():.6f}")
    spaces = np.abs(np.diff([*off, off[0]] if closed else off)).max() if len(off) > 1 else 0.0
    if abs(spaces - result["spacing_error"]) > 1e-9:
        found.append(f"spacing_error printed {result['spacing_error']:.6f}, true {spaces:.6f}")
    return found
