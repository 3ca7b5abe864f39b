"""A whole turned part, cut by every position of a plan: written from the geometry and the JSON alone.

Distances are looked at in the plane of the axis: place z from the face into the work, radius r.  A pass that is fed from in
front of the face takes everything down to a cylinder as far as it goes: a square tool up to its corner, a round nose up to
its middle, beyond which the quarter of its circle follows.  One that is fed toward the face begins in a groove, where the tool
went in: a nose takes its circle there, the cylinder up to its end place, and a quarter of its circle in front of that.  A tool
that goes straight in takes its width, or its whole circle.  What stands over a tool is gone with it.  On the mill nothing is
fed along z: the side of the cutter, which comes down from the face, clears as much as a pass up to the same place; a back is
cut by the circle alone, since of the cutter below its middle nothing is told.  Metal that no cut touches stands as high as the
blank.  What lies beside the wanted line belongs to the part: the shaft of a fillet, the face of its shoulder, the cylinder
behind a taper, the neck of a ball.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.outside.seen import Seen, closed_in

Array = NDArray[np.float64]
HAIR = 1e-9  # mm


@dataclass(frozen=True)
class Straight:
    """A piece of the wanted line from one point to another."""

    z0: float
    r0: float
    z1: float
    r1: float

    def radius(self, z: Array) -> Array:
        wide = self.z1 - self.z0 or 1.0  # the face of a step has no width: the next piece counts
        return self.r0 + (z - self.z0) * (self.r1 - self.r0) / wide

    def distance(self, z: Array, r: Array) -> Array:
        dz, dr = self.z1 - self.z0, self.r1 - self.r0
        share = np.clip(((z - self.z0) * dz + (r - self.r0) * dr) / (dz**2 + dr**2), 0.0, 1.0)
        return np.hypot(z - self.z0 - share * dz, r - self.r0 - share * dr)

    def lengths(self, z: Array) -> Array:
        """Length of the line per mm of the axis."""
        return np.full_like(z, np.hypot(self.z1 - self.z0, self.r1 - self.r0) / (self.z1 - self.z0 or 1.0))


@dataclass(frozen=True)
class Arc:
    """A piece of a circle; hollow when the metal lies outside of it."""

    z0: float
    z1: float
    centre_z: float
    centre_r: float
    size: float
    hollow: bool

    def radius(self, z: Array) -> Array:
        rise = np.sqrt(np.clip(self.size**2 - (z - self.centre_z) ** 2, 0.0, None))
        return self.centre_r - rise if self.hollow else self.centre_r + rise

    def distance(self, z: Array, r: Array) -> Array:
        away = np.hypot(z - self.centre_z, r - self.centre_r)
        at = self.centre_z + (z - self.centre_z) * self.size / np.maximum(away, 1e-12)
        facing = (r <= self.centre_r) if self.hollow else (r >= self.centre_r)
        beside = facing & (at >= self.z0) & (at <= self.z1)
        ends = [np.hypot(z - end, r - self.radius(np.array(end))) for end in (self.z0, self.z1)]
        return np.where(beside, np.abs(away - self.size), np.minimum(*ends))

    def lengths(self, z: Array) -> Array:
        return self.size / np.sqrt(np.clip(self.size**2 - (z - self.centre_z) ** 2, 1e-12, None))


@dataclass(frozen=True)
class Part:
    """The wanted line, what may stand beside it, and which side is metal."""

    pieces: tuple[Straight | Arc, ...]
    bore: bool = False
    before: float = 0.0  # radius that must stay in front of the line
    before_arc: Arc | None = None  # or the rest of a fillet that begins within
    behind: float = 0.0  # radius that must stay behind it
    shoulder: bool = False  # or a face that rises there
    face: Straight | None = None  # an upright face in front of the line, which is part of it

    @property
    def ends(self) -> tuple[float, float]:
        return self.pieces[0].z0, self.pieces[-1].z1

    @property
    def kinks(self) -> list[float]:
        inner = [piece.centre_z for piece in self.pieces if isinstance(piece, Arc)]
        return [
            self.pieces[0].z0,
            *(piece.z1 for piece in self.pieces),
            *(z for z in inner if self.ends[0] < z < self.ends[1]),
        ]

    @property
    def steps(self) -> list[float]:
        """Where the line stands upright between two diameters."""
        return [piece.z0 for piece in self.pieces if isinstance(piece, Straight) and piece.z0 == piece.z1]

    def radius(self, z: Array) -> Array:
        found = self.pieces[0].radius(z)
        for piece in self.pieces[1:]:
            found = np.where(z > piece.z0, piece.radius(z), found)
        return found

    def lengths(self, z: Array) -> Array:
        found = self.pieces[0].lengths(z)
        for piece in self.pieces[1:]:
            found = np.where(z > piece.z0, piece.lengths(z), found)
        return found

    def distance(self, z: Array, r: Array) -> Array:
        found = self.pieces[0].distance(z, r)
        if self.face is not None:
            found = np.minimum(found, self.face.distance(z, r))
        for piece in self.pieces[1:]:
            found = np.minimum(found, piece.distance(z, r))
        return found

    @property
    def uncut(self) -> float:
        """Where no cut is made the metal ends at the widest place of line and shaft, or a bore at its narrowest."""
        ends = np.array([*self.ends, *self.kinks])
        radii = self.radius(ends)
        return float(radii.min() if self.bore else max(radii.max(), self.before))


def part_of(plan: Mapping[str, Any]) -> Part:
    """What is wanted, from the target of a plan."""
    shape, target = plan["shape"], plan["target"]
    if shape == "taper":
        large, small, length = target["large_diameter"] / 2, target["small_diameter"] / 2, target["length"]
        if target["side"] == "bore":
            return Part((Straight(0.0, large, length, small),), bore=True, before=np.inf, behind=small)
        return Part((Straight(0.0, small, length, large),), behind=large)
    if shape == "profile":
        points = [(z, d / 2) for z, d in target["targets"]]
        pieces = tuple(Straight(*a, *b) for a, b in itertools.pairwise(points))
        return Part(pieces, before=points[0][1] if points[0][0] > 0 else 0.0, behind=points[-1][1])
    if "from_angle" not in target:
        return _bowed(target)
    size, first, last = target["radius"], np.radians(target["from_angle"]), np.radians(target["to_angle"])
    if target["form"] == "ball":
        end = size * (1 - np.cos(last))
        ball, root = Arc(0.0, float(end), size, 0.0, size, False), float(size * np.sin(last))
        if "length" in target:
            nose = plan["cutter"]["diameter"] / 2 if plan["cutter"]["kind"] == "round" else 0.0
            neck = _up_to_shoulder(ball.z1, root, ball.z1 + target["length"], nose, size)
            return Part((ball, *neck), behind=np.inf, shoulder=True)
        return Part((ball,), behind=root)
    at = target.get("at", 0.0)
    if target["form"] == "corner":
        begin, stop = float(at + size * (1 - np.cos(first))), float(at + size * (1 - np.cos(last)))
        arc = Arc(begin, stop, at + size, target["diameter"] / 2 - size, size, False)
        rest = Arc(at, begin, at + size, target["diameter"] / 2 - size, size, False) if first > 0 else None
        return Part((arc,), before_arc=rest, behind=float(arc.radius(np.array(stop))))
    root = target["diameter"] / 2 + (size if target["form"] == "fillet" else 0.0)
    arc = Arc(float(at + size * np.sin(first)), float(at + size * np.sin(last)), at, root, size, True)
    whole = Arc(at, arc.z0, at, root, size, True)
    behind = float(arc.radius(np.array(arc.z1)))
    if target["form"] == "cove":
        return Part((arc,), before_arc=whole if first > 0 else None, behind=behind)
    shoulder = bool(last > np.pi / 2 - 1e-9)
    return Part((arc,), before=root - size, before_arc=whole if first > 0 else None, behind=behind, shoulder=shoulder)


def _up_to_shoulder(z0: float, root: float, z1: float, size: float, top: float) -> tuple[Straight | Arc, ...]:
    """A level bottom, and a round up at its far end as far as a shoulder is high."""
    if size == 0.0:
        return (Straight(z0, root, z1, root),)
    wide = float(np.sqrt(size**2 - max(0.0, size - (top - root)) ** 2))
    return Straight(z0, root, z1 - wide, root), Arc(z1 - wide, z1, z1 - wide, root + size, size, True)


def _bowed(target: Mapping[str, Any]) -> Part:
    """A neck, a waist, a crown or a seat."""
    form, size, large, at = target["form"], target["radius"], target["diameter"] / 2, target["at"]
    if form == "seat":
        middle = -float(np.sqrt(max(0.0, size**2 - large**2)))
        deep = middle + float(np.sqrt(size**2 - (target["hole"] / 2) ** 2))
        return Part((Arc(0.0, deep, middle, 0.0, size, False),), bore=True, before=np.inf, behind=target["hole"] / 2)
    root, end = target["small"] / 2, at + target["length"]
    if form == "neck":
        high = large - root
        wide = float(np.sqrt(size**2 - max(0.0, size - high) ** 2))
        near = Arc(at, at + wide, at + wide, root + size, size, True)
        far = _up_to_shoulder(at + wide, root, end, size, np.inf)
        face = Straight(at, large, at, root + size) if high > size else None
        return Part((near, *far), before=large, behind=np.inf, shoulder=True, face=face)
    middle, hollow = at + target["length"] / 2, form == "waist"
    ends, centre = (large, root + size) if hollow else (root, large - size)
    return Part((Arc(at, end, middle, centre, size, hollow),), before=ends if at > 0 else 0.0, behind=ends)


class Turned:
    """The part with all cuts of a plan."""

    def __init__(self, plan: Mapping[str, Any]) -> None:
        self.part, self.leave = part_of(plan), plan["leave"]
        self.nose = plan["cutter"]["diameter"] / 2 if plan["cutter"]["kind"] == "round" else 0.0
        self.width = plan["cutter"].get("width", 0.0)
        self.sign = -1.0 if self.part.bore else 1.0
        slope = np.radians(plan["target"].get("per_side", 0.0))
        self.slope = -slope if self.part.bore else slope
        along = {"compound": "compound", "set-over": "z"}.get(plan.get("approach", ""))
        self.slanted = np.array([(s[along], s["x"]) for s in plan["stops"] if along]).reshape(-1, 2)
        self.blank = plan["target"].get("blank", 0.0) / 2
        self.heights = np.array([self.part.uncut, self.blank or self.part.uncut])
        self.blank_to = self._blank_to(plan["target"])
        self.front = self.back = self.straight = np.empty((0, 2))
        self.runs, self.levels, self.arcs = np.empty((0, 3)), np.empty((0, 3)), np.empty((0, 4))
        if len(self.slanted):
            self.nose = 0.0
            return
        ways = {stop["start"]: "to-headstock" if stop["start"] == 1 else "to-face" for stop in plan["stops"]}
        ways |= {flank["start"]: flank["cuts"] for flank in plan.get("flanks", ())}
        if self.nose and plan.get("approach") == "mill":
            ways = {start: "straight-in" if way == "to-face" else way for start, way in ways.items()}

        def stops(wanted: str) -> Array:
            return np.array([(s["z"], s["x"]) for s in plan["stops"] if ways[s["start"]] == wanted]).reshape(-1, 2)

        self.front, self.back, self.straight = stops("to-headstock"), stops("to-face"), stops("straight-in")
        if self.nose:
            self.runs = np.array([self._run(plan, stop, ways[stop["start"]]) for stop in plan["stops"]]).reshape(-1, 3)
        self.levels, self.arcs = self._levels(), self._arcs()

    def _run(self, plan: Mapping[str, Any], stop: Mapping[str, Any], way: str) -> tuple[float, float, float]:
        """From where to where the middle of the nose goes at its depth, and that depth."""
        middle = stop["z"] - self.nose
        if way == "to-headstock":
            return -np.inf, middle, stop["x"]
        if way == "straight-in":
            return middle, middle, stop["x"]
        same = [each["z"] for each in plan["stops"] if each["start"] == stop["start"]]
        same += [  # cuts may be given without the one that stands in the groove, where every pass begins
            act["to"]
            for act in plan.get("acts", ())
            if act["start"] == stop["start"] and (act["act"], act["axis"], act["way"]) == ("set", "z", "working")
        ]
        return middle, max(same) - self.nose, stop["x"]

    def _blank_to(self, target: Mapping[str, Any]) -> float:
        """To which place metal above the part is the blank's: what stands beside a shoulder or a slope that goes on is theirs."""
        if self.part.shoulder:
            last = (
                self.part.pieces[-1] if "length" not in target or target.get("form") != "ball" else self.part.pieces[0]
            )
            return last.z1 if target.get("form") == "ball" else -np.inf
        tangent = target.get("form") == "fillet"  # one that ends before its shoulder
        return -np.inf if tangent or (target.get("form") == "cove" and target["to_angle"] < 90.0) else np.inf

    def standing(self, z: Array) -> Array:
        """Radius of metal that no cut touches."""
        return np.where(z <= self.blank_to + HAIR, self.heights[1], self.heights[0])

    def cut(self, z: Array) -> Array:
        """Radius of the cut surface at places."""
        if len(self.slanted):
            return self._by_compound(z)
        order = np.argsort(z, kind="stable")
        ordered = z[order]
        best = self.sign * self.standing(z[order])  # a bore is looked at upside down: the least is the deepest
        if self.nose:
            self._by_nose(ordered, best)
        else:
            if len(self.front):
                best = np.minimum(best, self._passes(ordered, self.front, 1.0))
            if len(self.back):
                best = np.minimum(best, self._passes(ordered, self.back, -1.0))
            for place, x in self.straight:
                a, b = np.searchsorted(ordered, [place - self.width - HAIR / 2, place + HAIR / 2])
                best[a:b] = np.minimum(best[a:b], self.sign * x)
        found = np.empty_like(z)
        found[order] = self.sign * best
        return found

    def _by_nose(self, z: Array, best: Array) -> None:
        """Under each run of the nose its cylinder, and beside both its ends a quarter of its circle."""
        for low, high, level in self.levels:
            a, b = np.searchsorted(z, [low, high])
            best[a:b] = np.minimum(best[a:b], level)
        for middle, x, low, high in self.arcs:
            a, b = np.searchsorted(z, [low - HAIR / 2, high + HAIR / 2])
            sag = self.nose - np.sqrt(np.clip(self.nose**2 - (z[a:b] - middle) ** 2, 0.0, None))
            best[a:b] = np.minimum(best[a:b], self.sign * x + sag)

    def _levels(self) -> Array:
        """Rows (from, to, depth) of what the cylinders of all runs leave together; a bore's depths upside down."""
        wide = self.runs[self.runs[:, 1] > self.runs[:, 0]]
        edges = np.unique(wide[:, :2])
        rows = []
        for low, high in itertools.pairwise(edges):
            over = wide[(wide[:, 0] <= low) & (wide[:, 1] >= high), 2]
            if len(over):
                rows.append((low, high, float((self.sign * over).min())))
        return np.array(rows).reshape(-1, 3)

    def _arcs(self) -> Array:
        """Rows (middle, x, from, to) of the arcs of the nose beside the ends of its runs."""
        low, high, x = self.runs.T
        front = np.c_[low, x, low - self.nose, low][np.isfinite(low)]
        return np.concatenate([front, np.c_[high, x, high, high + self.nose]])

    def _by_compound(self, z: Array) -> Array:
        """Cones: each pass begins in front of the face at its radius there, and ends where its travel does."""
        found = self.sign * self.standing(z)
        for travel, x in self.slanted:
            reached = z <= travel * np.cos(self.slope) + HAIR / 2
            found = np.where(reached, np.minimum(found, self.sign * (x + z * np.tan(self.slope))), found)
        return self.sign * found

    def _passes(self, z: Array, passes: Array, way: float) -> Array:
        """Cylinders in front of each corner: of all passes that reach a place, the deepest."""
        order = np.argsort(way * passes[:, 0])
        places, depths = way * passes[order, 0], self.sign * passes[order, 1]
        deepest = np.append(np.minimum.accumulate(depths[::-1])[::-1], np.inf)
        return np.asarray(deepest[np.searchsorted(places, way * z - HAIR / 2)])

    def stock(self, z: Array) -> Array:
        for step in self.part.steps:  # a nose or a corner that ends there is taken a hair too far: that is no depth
            z = np.where((z > step) & (z < step + HAIR), step, z)
        return self.sign * (self.cut(z) - self.part.radius(z))

    def ridge(self, z: Array) -> Array:
        """Distance of the cut surface from the stock line, the wanted line moved out by the leave; negative below it."""
        cut = self.cut(z)
        away = self.part.distance(z, cut - self.sign * self.leave)
        return np.where(self.sign * (cut - self.part.radius(z)) - self.leave >= 0, away, -away)

    def square(self, z: Array) -> Array:
        """Stock over the stock line by the cosine of the slope there, which is the same where the line is straight."""
        return (self.stock(z) - self.leave) / self.part.lengths(z)

    def below(self, z: Array) -> Array:
        """How far the cut goes under what must stay, where there is a cut."""
        cut = self.cut(z)
        touched = np.abs(cut - self.standing(z)) > 1e-12
        first, last = self.part.ends
        stays = self.part.radius(np.clip(z, first, last)) + self.sign * self.leave
        before = np.full_like(z, self.part.before)
        if self.part.before_arc is not None:
            inside = z >= self.part.before_arc.z0
            before = np.where(inside, self.part.before_arc.radius(np.maximum(z, self.part.before_arc.z0)), before)
        stays = np.where(z < first - HAIR, before, np.where(z > last + HAIR, self.part.behind, stays))
        deep = self.sign * (stays - cut)
        if self.part.bore:
            deep = np.where(z < -HAIR, -np.inf, deep)  # in front of the face there is only air
        elif self.part.before == 0.0:
            deep = np.where(z < -HAIR, -np.inf, deep)
        if self.part.shoulder:
            deep = np.where(z > last + HAIR, -np.inf, deep)
        for step in self.part.steps:
            deep = np.where(
                np.abs(z - step) <= HAIR, -np.inf, deep
            )  # on the very face of a step both depths are wanted
        return np.where(touched, deep, -np.inf)

    def places(self, count: int, wide: bool) -> Array:
        """Places to look at, thickest near the ends where the line may stand upright, and both sides of every edge."""
        first, last = self.part.ends
        comb = [(1 - np.cos(np.linspace(0, np.pi, count))) / 2, np.linspace(0, 1, count)]
        inner = np.array(self.part.kinks)
        comb += [
            (a - first + (b - a) * comb[0][:: max(1, count // 200)]) / (last - first)
            for a, b in itertools.pairwise(np.unique(inner))
        ]
        at = [first + (last - first) * np.concatenate(comb), inner, inner - HAIR, inner + HAIR]
        edges = [self.front[:, 0], self.back[:, 0], self.straight[:, 0], self.straight[:, 0] - self.width]
        if self.nose:
            middles, sides = self.arcs[:, 0], self.arcs[:, 2:]
            edges = [np.where(sides[:, 0] < middles, sides[:, 0], sides[:, 1])]
            at += [middles, self._meetings(), self._steps()]
        at += [edge + side for edge in edges for side in (-HAIR, HAIR)]
        found = np.unique(np.concatenate(at))
        if wide:
            return np.unique(
                np.concatenate([found, np.linspace(first - 2 * self.nose - 1, last + 2 * self.nose + 1, 4 * count)])
            )
        return found[(found >= first) & (found <= last)]

    def _meetings(self) -> Array:
        """Where the circles of neighbouring cuts cross: ridges stand there."""
        ordered = np.unique(self.arcs[:, :2], axis=0)
        a, b = ordered[:-1], ordered[1:]
        dz, dx = b[:, 0] - a[:, 0], b[:, 1] - a[:, 1]
        gap = np.hypot(dz, dx)
        with np.errstate(invalid="ignore", divide="ignore"):
            half = np.sqrt(self.nose**2 - gap**2 / 4)
            middle = (a[:, 0] + b[:, 0]) / 2
            return np.nan_to_num(
                np.concatenate([middle + half * dx / gap, middle - half * dx / gap]), nan=self.part.ends[0]
            )

    def _steps(self) -> Array:
        """Where an arc rises to a cylinder of another pass, or out of the blank: ridges stand there too."""
        levels = np.concatenate([self.levels, [(-np.inf, np.inf, self.sign * height) for height in self.heights]])
        found = []
        for low, high, level in levels:
            rise = level - self.sign * self.arcs[:, 1]
            aside = np.sqrt(np.clip(self.nose**2 - (self.nose - rise) ** 2, 0.0, None))
            for way in (-1.0, 1.0):
                z = self.arcs[:, 0] + way * aside
                on = (self.arcs[:, 2] <= z) & (z <= self.arcs[:, 3]) & (low <= z) & (z <= high)
                found.append(z[on & (rise > 0.0) & (rise < self.nose)])
        return np.concatenate(found)


def _look(plan: Mapping[str, Any], count: int, rounds: int) -> Seen:
    turned = Turned(plan)
    part = turned.part
    z = turned.places(count, wide=False)
    everywhere = turned.places(count, wide=True)
    gouge, at = closed_in(turned.below, everywhere, turned.below(everywhere), rounds)
    where = f"z {at:.4f}"
    reaching = np.concatenate([turned.front, turned.straight])
    if part.shoulder and len(reaching):
        into = float(reaching[:, 0].max() - part.ends[1])
        if into > max(gouge, HAIR):
            gouge, where = into, f"z {part.ends[1]:.4f}, past the shoulder's face"
    stock = turned.stock(z)
    highest, _ = closed_in(turned.stock, z, stock, rounds)
    lowest, _ = closed_in(lambda z: -turned.stock(z), z, -stock, rounds)
    scallop, ridge_at = closed_in(turned.ridge, z, turned.ridge(z), rounds)
    by_slope, _ = closed_in(turned.square, z, turned.square(z), rounds)
    points, shares = np.polynomial.legendre.leggauss(3)
    inner = (z[:-1, None] + np.diff(z)[:, None] * (points + 1) / 2).ravel()
    weight = (np.diff(z)[:, None] * shares / 2).ravel()
    wanted, cut, length = part.radius(inner), turned.cut(inner), part.lengths(inner)
    left = turned.sign * (cut - wanted)
    volume = float((weight * np.pi * turned.sign * (cut**2 - wanted**2)).sum())
    skin = float((weight * 2 * np.pi * wanted * length).sum())
    means = {
        "mean_along": float((weight * left).sum() / weight.sum()),
        "mean_by_skin": float((weight * left * wanted * length).sum() / (weight * wanted * length).sum()),
        "mean_by_radius": float((weight * left * wanted).sum() / (weight * wanted).sum()),
    }
    more = {"area": skin, "scallop_at": ridge_at, "scallop_by_slope": by_slope, **means}
    return Seen(gouge, where, scallop, -lowest, means["mean_along"], highest, volume, more=more)


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at the whole part after all cuts of a plan."""
    if fast:
        return _look(plan, 500, 2)
    return _look(plan, 12_000, 6).compared(_look(plan, 5_000, 5))
