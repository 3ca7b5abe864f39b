"""A whole ring of ramps, cut by every position of a plan: written from the geometry and the JSON alone.

Every point of the wall, all the way round and at many radii, asks every cut how deep it goes there.  What lies between
two ramps may be cut down to the floor and no deeper; the next ramp's high end, and the face, must stay.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from tests.outside import simpson
from tests.outside.published_motions import displacement, velocity
from tests.outside.seen import Seen, largest

Array = NDArray[np.float64]
HAIR = 1e-7  # mm, the distance on either side of an edge at which the surface is looked at
SAME = 1e-9  # mm, how near two edges count as one
SLIVER = 1e-5  # mm, a next ramp's edge cut by less than this is not cut


@dataclass(frozen=True)
class Tool:
    """The cutter of a plan, as it stands to the radial line."""

    approach: str
    radius: float
    corner: float
    over: float  # how far its axis stands downhill of the line
    middle: float  # radius of the middle of the wall

    def relief(self, r: Array, turn: Array) -> Array:
        """Height of its outline over its lowest point, at a radius and at an angle from the line (degrees)."""
        angle = np.radians(turn)
        if self.approach == "plunge":
            distance = np.hypot(r * np.cos(angle) - self.middle, r * np.sin(angle) - self.over)
        else:
            distance = np.where(np.cos(angle) > 0, np.abs(r * np.sin(angle) - self.over), np.inf)
        within = np.clip(distance - (self.radius - self.corner), 0.0, self.corner)
        sag = self.corner - np.sqrt(np.clip(self.corner**2 - within**2, 0.0, None))
        return np.where(distance <= self.radius + SAME, sag, np.inf)

    def edges(self, r: Array) -> tuple[Array, Array]:
        """Angles from the line (degrees) where it begins and ends to cut, not a number where it does not reach."""
        with np.errstate(invalid="ignore", divide="ignore"):
            if self.approach == "plunge":
                away = np.hypot(self.middle, self.over)
                half = np.degrees(np.arccos((r**2 + away**2 - self.radius**2) / (2 * r * away)))
                aim = np.degrees(np.arctan2(self.over, self.middle))
                return aim - half, aim + half
            up = np.degrees(np.arcsin(np.clip((self.over - self.radius) / r, -1, 1)))
            down = np.degrees(np.arcsin(np.clip((self.over + self.radius) / r, -1, 1)))
            return up, down

    def best(self, r: Array) -> Array:
        """Angle from the line (degrees) at which it cuts deepest."""
        if self.approach == "plunge":
            return np.full_like(r, np.degrees(np.arctan2(self.over, self.middle)))
        return np.degrees(np.arcsin(np.clip(self.over / r, -1, 1)))


@dataclass(frozen=True)
class Wanted:
    """Depth below the face along one ramp, from the target of a plan."""

    target: Mapping[str, Any]

    @property
    def span(self) -> float:
        return float(self.target["span"])

    @property
    def sector(self) -> float:
        return 360.0 / int(self.target["starts"])

    @property
    def _leads(self) -> tuple[float, float]:
        return float(self.target.get("lead_in", 0.0)), float(self.target.get("lead_out", 0.0))

    def depth(self, phi: Array) -> Array:
        if self.target.get("targets"):
            pairs = np.array(self.target["targets"], float)
            return np.interp(phi, pairs[:, 0], pairs[:, 1])
        first, last = self._leads
        share = (phi - first) / (self.span - first - last)
        return float(self.target["start_depth"]) + float(self.target["rise"]) * displacement(self.motion)(share)

    def slope(self, phi: Array) -> Array:
        """How the depth grows, mm a degree; between two targets, of the stretch that a point lies in."""
        if self.target.get("targets"):
            pairs = np.array(self.target["targets"], float)
            wide = np.diff(pairs[:, 0])
            rates = np.diff(pairs[:, 1]) / np.where(
                wide > 0, wide, 1.0
            )  # a riser has no width, and no point of the look
            return rates[np.clip(np.searchsorted(pairs[:, 0], phi, side="left") - 1, 0, len(rates) - 1)]
        first, last = self._leads
        length = self.span - first - last
        return float(self.target["rise"]) / length * velocity(self.motion)((phi - first) / length)

    @property
    def motion(self) -> str:
        return str(self.target.get("motion", self.target.get("law", "uniform")))

    @property
    def kinks(self) -> list[float]:
        first, last = self._leads
        if self.target.get("targets"):
            return [float(at) for at, _ in self.target["targets"]]
        return [0.0, first, (self.span + first - last) / 2, self.span - last, self.span]


def tool_of(plan: Mapping[str, Any]) -> Tool:
    cutter, target = plan["cutter"], plan["target"]
    radius = cutter["diameter"] / 2
    corner = {"flat": 0.0, "ball": radius}.get(cutter["kind"], cutter.get("corner", 0.0))
    over = radius - (plan["edge_behind"] if plan["edge_behind"] is not None else radius)
    if plan["approach"] == "side":
        corner, over = radius, 0.0
    middle = (target["inside_diameter"] + target["outside_diameter"]) / 4
    return Tool(plan["approach"], radius, corner, over, middle)


def sweeps_of(plan: Mapping[str, Any]) -> list[tuple[int, int]]:
    """Pairs of places in the list of stops between which the table turns with the cutter down."""
    found = []
    numbers = [stop["n"] for stop in plan["stops"]]
    for sweep in plan.get("sweeps", ()):
        if isinstance(sweep, Mapping):
            found.append((numbers.index(sweep["from"]), numbers.index(sweep["to"])))
        else:
            found.append((int(sweep[0]), int(sweep[1])))
    return found


def swept_by_acts(plan: Mapping[str, Any], upright: str) -> list[tuple[float, float, float]]:
    """Cuts of the routine that turn the table: from where it stands to where they go, at the depth of their stop."""
    stops = {stop["n"]: stop for stop in plan["stops"]}
    found, stands = [], 0.0
    for act in plan.get("acts", ()):
        if act.get("axis") == "table" and act.get("to") is not None:
            if act["act"] == "cut":
                found.append((*sorted((stands, float(act["to"]))), stops[act["stop"]][upright]))
            stands = float(act["to"])
    return found  # type: ignore[return-value]


def cuts_of(plan: Mapping[str, Any], upright: str = "depth") -> Array:
    """Every cut as (first table angle, last table angle, depth); the two angles differ in a sweep."""
    stops = plan["stops"]
    rows = [(stop["table"], stop["table"], stop[upright]) for stop in stops]
    rows += [(*sorted((stops[a]["table"], stops[b]["table"])), stops[a][upright]) for a, b in sweeps_of(plan)]
    if "sweeps" not in plan:
        rows += swept_by_acts(plan, upright)
    return np.array(rows, float).reshape(-1, 3)


class Upright:
    """What finishes the upright faces: the outline of a cutter seen along its way, turned as it stands, and where it goes.

    The outline's lowest corner is the origin; it is laid out over metal on the side of the face where the wanted line lies deeper.
    """

    def __init__(self, plan: Mapping[str, Any]) -> None:
        target = plan["target"]
        self.places = [(at, depth) for marks, depth in target.get("upright_faces", ()) for at in marks]
        self.beside = target.get("corner_beside", [0.0])[0]
        wide = plan["cutter"]["diameter"]
        if "tilt" in target:  # an end mill: a rectangle, its side 50 mm long
            turn = np.radians(target["tilt"])
            self.corners = np.array([[0.0, 50.0], [0.0, 0.0], [wide, 0.0]]) @ np.array(
                [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]
            )
        else:  # upright on one side, on the other its cone
            turn = np.radians(target.get("angle_cutter", 45.0))
            self.corners = np.array([[0.0, 50.0], [0.0, 0.0], [50.0 * np.sin(turn), 50.0 * np.cos(turn)]])

    def cut(self, wanted: Wanted, origin: float, r: Array, phi: Array) -> Array:
        """Depth that it cuts at points of the sector that begins at an angle."""
        found = np.zeros_like(phi)
        for at, depth in self.places:
            here = (at - origin) % wanted.sector or wanted.sector
            before = (
                wanted.depth(np.array([here - 1e-4]))[0] > wanted.depth(np.array([(here + 1e-4) % wanted.sector]))[0]
            )
            here = here if before else here % wanted.sector
            turn = np.radians((here - phi) if before else (phi - here))
            away = np.where((turn >= 0) & (turn <= np.pi / 2), r * np.sin(turn), np.nan) - self.beside
            over = np.interp(away, self.corners[:, 0], self.corners[:, 1], left=np.inf, right=np.inf)
            found = np.fmax(found, depth - over)
        return found


class Hollows:
    """What cuts the seats: a disc seen along its way across the wall, its middle moved up for ever, and where it goes."""

    def __init__(self, plan: Mapping[str, Any], origin: float) -> None:
        target = plan["target"]
        starts, span = int(target["starts"]), target["span"]
        self.discs = [
            (k * 360.0 / starts + (span if end == "low" else 0.0) + turn, pin / 2, depth)
            for end, pin, depth in target.get("seats", ())
            for k in range(starts)
            for turn in (-360.0 - origin, -origin, 360.0 - origin)
        ]

    def cut(self, r: Array, phi: Array) -> Array:
        """Depth that they cut at points of the sector that begins at the origin."""
        found = np.zeros_like(phi)
        for at, radius, depth in self.discs:
            x, y = r * np.cos(np.radians(phi - at)), r * np.sin(np.radians(phi - at))
            reach = (x > 0) & (np.abs(y) <= radius)
            bottom = depth - radius + np.sqrt(np.where(reach, radius**2 - y**2, 0.0))
            found = np.where(reach, np.maximum(found, bottom), found)
        return found


class Ring:
    """One sector of the ring with all cuts that reach into it."""

    def __init__(self, tool: Tool, wanted: Wanted, leave: float, cuts: Array, bore: float) -> None:
        self.tool, self.wanted, self.leave = tool, wanted, leave
        self.upright: tuple[Upright, float] | None = None
        self.hollows: Hollows | None = None
        first, last = tool.edges(np.array([bore]))
        behind, before = min(float(np.nan_to_num(first)[0]), 0.0) - 1, max(float(np.nan_to_num(last)[0]), 0.0) + 1
        if tool.approach == "plunge":
            behind, before = self._swing()
        again = np.concatenate([cuts + np.array([turn, turn, 0.0]) for turn in (-360.0, 0.0, 360.0)])
        near = (again[:, 1] + before >= -1) & (again[:, 0] + behind <= wanted.sector + 1)
        self.cuts, self.reach = again[near], (behind, before)

    def _swing(self) -> tuple[float, float]:
        away = np.hypot(self.tool.middle, self.tool.over)
        aim = np.degrees(np.arctan2(self.tool.over, self.tool.middle))
        half = np.degrees(np.arcsin(min(1.0, self.tool.radius / away))) if away > self.tool.radius else 180.0
        return aim - half - 1, aim + half + 1

    def cut(self, r: Array, phi: Array) -> Array:
        """Depth of the cut surface below the face at points."""
        deepest = np.zeros_like(phi)
        best = self.tool.best(r)
        order = np.argsort(phi, kind="stable")
        phi_in_order, r_in_order, best_in_order = phi[order], r[order], best[order]
        found = deepest[order]
        low = np.searchsorted(phi_in_order, self.cuts[:, 0] + self.reach[0])
        high = np.searchsorted(phi_in_order, self.cuts[:, 1] + self.reach[1])
        for (begin, end, depth), a, b in zip(self.cuts, low, high, strict=True):
            if a < b:
                at, rr = phi_in_order[a:b], r_in_order[a:b]
                table = begin if begin == end else np.clip(at - best_in_order[a:b], begin, end)
                found[a:b] = np.maximum(found[a:b], depth - self.tool.relief(rr, at - table))
        deepest[order] = found
        return (
            deepest
            if self.upright is None
            else np.maximum(deepest, self.upright[0].cut(self.wanted, self.upright[1], r, phi))
        )

    def stock(self, r: Array, phi: Array) -> Array:
        """What is to be filed: nothing where a seat goes below the wanted line."""
        stock = self.wanted.depth(phi) - self.cut(r, phi)
        if self.hollows is None:
            return stock
        return np.minimum(stock, np.maximum(self.wanted.depth(phi) - self.hollows.cut(r, phi), 0.0))

    def ridge(self, r: Array, phi: Array) -> Array:
        return (self.stock(r, phi) - self.leave) * self._square(r, phi)

    def nearest(self, r: Array, phi: Array) -> Array:
        """Distance of the cut surface at points from the nearest place of the stock line, at their radius unrolled flat."""
        over = self.stock(r, phi) - self.leave
        wide = np.degrees(np.abs(over) / r)[:, None]
        near = phi[:, None] + wide * np.linspace(-1, 1, 401)
        near = np.clip(np.concatenate([near, np.broadcast_to(self.wanted.kinks, (len(phi), len(self.wanted.kinks)))], 1),
                       0.0, self.wanted.span)  # fmt: skip
        along = np.radians(near - phi[:, None]) * r[:, None]
        up = over[:, None] + self.wanted.depth(near) - self.wanted.depth(phi)[:, None]
        return np.where(over > 0, np.hypot(along, up).min(axis=1), over)

    def _square(self, r: Array, phi: Array) -> Array:
        return np.cos(np.arctan2(np.degrees(self.wanted.slope(phi)), r))

    def allowed(self, r: Array, phi: Array) -> Array:
        """Deepest that anything may be cut at a point of the ring; a hair at the high edge belongs to the ramp before."""
        edge = phi <= np.degrees(SLIVER / r)
        depth = self.wanted.depth(np.where(edge, self.wanted.span, phi))
        return np.maximum(depth - self.leave, 0.0)

    def below(self, r: Array, phi: Array) -> Array:
        return self.cut(r, phi) - self.allowed(r, phi)

    def rows(self, radii: Array, cell: float) -> Array:
        """Angles to look at, a sorted row for each radius: an even comb, every kink, and both sides of every edge."""
        sector, span = self.wanted.sector, self.wanted.span
        hair = np.degrees(HAIR / radii)[:, None]
        count = int(np.ceil(sector / cell)) + 1
        comb = np.broadcast_to(np.linspace(0.0, sector, count), (len(radii), count))
        kinks = np.array(self.wanted.kinks)[None, :]
        fixed = np.concatenate(
            [kinks - hair, kinks + hair, np.full_like(hair, span), np.full_like(hair, sector)], axis=1
        )
        next_edge = np.degrees(SLIVER / radii)[:, None]
        first, last = (np.nan_to_num(edge)[:, None] for edge in self.tool.edges(radii))
        up, down = self.cuts[None, :, 0] + first, self.cuts[None, :, 1] + last
        edges = np.concatenate([up - hair, up + hair, down - hair, down + hair], axis=1)
        every = np.concatenate([comb, fixed, 1.5 * next_edge, edges], axis=1)
        return np.sort(np.clip(every, 0.0, sector), axis=1)


def _radii(tool: Tool, bore: float, outside: float, count: int) -> tuple[Array, Array]:
    """Radii and their weights in an integral over the radius: Gauss's rule on each side of where a plunged circle is widest."""
    joints = [bore, outside]
    away2 = tool.middle**2 + tool.over**2
    if tool.approach == "plunge" and away2 > tool.radius**2:
        touching = float(np.sqrt(away2 - tool.radius**2))
        if bore < touching < outside:
            joints.insert(1, touching)
    points, weights = np.polynomial.legendre.leggauss(count)
    radii, shares = [], []
    for a, b in itertools.pairwise(joints):
        radii += [a, *(a + (b - a) * (points + 1) / 2)]
        shares += [0.0, *(weights * (b - a) / 2)]
    radii, shares = [*radii, outside], [*shares, 0.0]
    if tool.approach == "plunge":  # a ball goes deepest in the very middle
        radii, shares = [*radii, tool.middle], [*shares, 0.0]
    order = np.argsort(radii, kind="stable")
    return np.array(radii)[order], np.array(shares)[order]


def _sector(plan: Mapping[str, Any], cuts: Array, cell: float, rings: int, sharp: bool, origin: float = 0.0) -> Seen:
    tool, wanted = tool_of(plan), Wanted(plan["target"])
    bore, outside = plan["target"]["inside_diameter"] / 2, plan["target"]["outside_diameter"] / 2
    ring = Ring(tool, wanted, plan["leave"], cuts, bore)
    ring.upright = (Upright(plan), origin) if "upright_faces" in plan["target"] else None
    ring.hollows = Hollows(plan, origin) if "seats" in plan["target"] else None
    radii, weights = _radii(tool, bore, outside, rings)
    phi = ring.rows(radii, cell)
    r = np.broadcast_to(radii[:, None], phi.shape)
    cut = ring.cut(r.ravel(), phi.ravel()).reshape(phi.shape)
    bare, stock = wanted.depth(phi) - cut, ring.stock(r.ravel(), phi.ravel()).reshape(phi.shape)
    edge = float(np.degrees(SLIVER / bore)) * 1.01
    inside = (phi <= wanted.span) & (phi >= edge)
    ridge = np.where(inside, (stock - ring.leave) * ring._square(r, phi), -np.inf)
    below = cut - ring.allowed(r, phi)
    whole, ramp = (bore, outside, 0.0, wanted.sector), (bore, outside, edge, wanted.span)
    gouge, at_r, at_phi = largest(ring.below, below, radii, phi, sharp, whole)
    highest, _, _ = largest(ring.stock, np.where(inside, stock, -np.inf), radii, phi, sharp, ramp)
    lowest, _, _ = largest(
        lambda a, b: ring.cut(a, b) - wanted.depth(b), np.where(inside, -bare, -np.inf), radii, phi, sharp, ramp
    )
    scallop, _, _ = largest(ring.ridge, ridge, radii, phi, sharp, ramp)
    tops = np.argsort(ridge, axis=None)[::-1][:400]
    nearest = float(ring.nearest(r.ravel()[tops], phi.ravel()[tops]).max())
    line = _areas(ring, radii, phi, stock)
    volume = float(np.radians((line * radii * weights).sum()))
    area = np.radians(wanted.span) * (outside**2 - bore**2) / 2
    where = f"radius {at_r:.3f}, {at_phi:.3f} deg"
    more = {"scallop_low": min(scallop, nearest), "area": area}
    if gouge > 1e-5:
        more["gouge_width"] = _width(ring, at_r, at_phi)
    return Seen(gouge, where, scallop, -lowest, volume / area, highest, volume, more=more)


def _areas(ring: Ring, radii: Array, phi: Array, stock: Array) -> Array:
    """Stock times degrees along every row: by Simpson's rule, halved again wherever a crest or an edge stands in between."""
    rows, at = np.nonzero((phi[:, 1:] <= ring.wanted.span) & (phi[:, 1:] > phi[:, :-1]))
    low, high, first, last = phi[rows, at], phi[rows, at + 1], stock[rows, at], stock[rows, at + 1]

    def height(row: Array, at: Array) -> Array:
        return ring.stock(radii[row], at)

    # mm x deg; where the line is smooth Simpson is far nearer
    return simpson.areas(height, len(radii), rows, low, high, first, last, small=2e-9, halvings=17)


def _width(ring: Ring, r: float, phi: float) -> float:
    """How wide a gouge is along its radius, mm, up to some degrees."""
    near = np.concatenate(
        [phi + side * np.concatenate([np.geomspace(1e-6, 0.01, 300), np.linspace(0.01, 10, 3000)]) for side in (-1, 1)]
    )
    near = np.unique(np.clip([*near, phi], 0.0, ring.wanted.sector + 10))
    again = np.where(near > ring.wanted.sector, near - ring.wanted.sector, near)
    deep = ring.below(np.full_like(again, r), again) > 1e-5
    at = int(np.searchsorted(near, phi))
    first, last = at, at
    while first > 0 and deep[first - 1]:
        first -= 1
    while last < len(near) - 1 and deep[last + 1]:
        last += 1
    return float(np.radians(near[last] - near[first]) * r)


def _look(plan: Mapping[str, Any], cell: float, rings: int, sharp: bool) -> Seen:
    cuts = cuts_of(plan)
    sectors = int(plan["target"]["starts"])
    seen: dict[bytes, Seen] = {}
    all_of_them = []
    for k, origin in enumerate(origins(plan)):
        turned = np.round((cuts - np.array([origin, origin, 0.0])) % np.array([360.0, 360.0, 1e9]), 9)
        turned[:, 1] = turned[:, 0] + cuts[:, 1] - cuts[:, 0]
        turned = turned[np.lexsort(turned.T)]
        key = np.round(turned, 6).tobytes()
        if key not in seen:
            seen[key] = _sector(plan, turned, cell, rings, sharp, origin)
            seen[key].where += f", ramp {k + 1}" if sectors > 1 else ""
        all_of_them.append(seen[key])
    worst = max(all_of_them, key=lambda one: one.gouge)
    return Seen(
        worst.gouge, worst.where, max(one.scallop for one in all_of_them), min(one.stock_min for one in all_of_them),
        float(np.mean([one.stock_mean for one in all_of_them])), max(one.stock_max for one in all_of_them),
        sum(one.volume for one in all_of_them),
        more={
            **worst.more,
            "scallop_low": max(one.more["scallop_low"] for one in all_of_them),
            "area": sum(one.more["area"] for one in all_of_them),
        },
    )  # fmt: skip


def origins(plan: Mapping[str, Any]) -> list[float]:
    """Table angle of the high end of every ramp: even sectors, or where the table's marks put them if the plan says so."""
    starts = int(plan["target"]["starts"])
    even = [360.0 * k / starts for k in range(starts)]
    if not any("sector" in remark["code"] for remark in plan["remarks"]):
        return even
    own = {k: [stop["table"] for stop in plan["stops"] if stop["start"] == k + 1] for k in range(starts)}
    return [
        even[k] + (own[k][0] - own[0][0] - even[k] if own[k] and abs(own[k][0] - own[0][0] - even[k]) < 0.6 else 0.0)
        for k in range(starts)
    ]


def see(plan: Mapping[str, Any], fast: bool = False) -> Seen:
    """Look at the whole ring after all cuts of a plan."""
    span = plan["target"]["span"]
    if fast:
        return _look(plan, span / 240, 4, False)
    # A plunged cutter's cuts begin and end between radii: more of these are weighed.
    rings = 4 if plan["approach"] == "plunge" else 1
    return _look(plan, span / 1600, 10 * rings, True).compared(_look(plan, span / 700, 6 * rings, True))
