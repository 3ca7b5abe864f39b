"""A raster of cutter footprints on a ring, in numpy, written from the geometry alone.

It shares no formula with the program: every point of the wall asks every stop how deep it cuts there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass
class Ring:
    """Wanted depth over a wall, on a grid of radii and angles (mm, degrees)."""

    bore: float
    outside: float
    span: float
    depth: Callable[[Array], Array]
    rings: int = 33
    angles: int = 1801

    @property
    def radii(self) -> Array:
        return np.linspace(self.bore, self.outside, self.rings)

    @property
    def phi(self) -> Array:
        return np.linspace(0.0, self.span, self.angles)

    @property
    def pitch(self) -> float:
        return self.span / (self.angles - 1)


def profile(distance: Array, radius: float, corner: float) -> Array:
    """Height of a cutter's end over its lowest point; infinite outside."""
    height = np.zeros_like(distance)
    rim = distance - (radius - corner)
    inside = rim > 0
    if corner > 0:
        height[inside] = corner - np.sqrt(np.clip(corner**2 - rim[inside] ** 2, 0.0, None))
    height[distance > radius + 1e-9] = np.inf
    return height


def as_cut(
    ring: Ring, stops: list[tuple[float, float]], approach: str, radius: float, corner: float, behind: float
) -> Array:
    """Depth of the as-cut surface, shape (rings, angles): the deepest of all stops, and 0 where none cuts."""
    r, phi = np.meshgrid(ring.radii, ring.phi, indexing="ij")
    deepest = np.zeros_like(r)
    over = radius - behind  # the axis stands so far downhill of the line
    middle = (ring.bore + ring.outside) / 2
    if approach == "side":
        corner, over = radius, 0.0
    for at, depth in stops:
        turn = np.radians(phi - at)
        x, y = r * np.cos(turn), r * np.sin(turn)
        distance = np.hypot(x - middle, y - over) if approach == "plunge" else np.where(x > 0, np.abs(y - over), np.inf)
        deepest = np.maximum(deepest, depth - profile(distance, radius, corner))
    return deepest


@dataclass
class Found:
    """What the raster sees: mm and mm^3."""

    below: float  # how far the cut goes below the stock line, at most
    stock_min: float
    stock_max: float
    stock_mean: float
    volume: float
    scallop: float


def measure(ring: Ring, cut: Array, leave: float, slope: Callable[[Array], Array]) -> Found:
    """Stock over the wanted surface, averaged with the area of each cell; scallop square to the surface."""
    wanted = np.broadcast_to(ring.depth(ring.phi), cut.shape)
    stock = wanted - cut
    weight_r = np.ones(ring.rings)
    weight_r[[0, -1]] = 0.5
    weight_p = np.ones(ring.angles)
    weight_p[[0, -1]] = 0.5
    weight = (weight_r * ring.radii)[:, None] * weight_p[None, :]
    mean = float((stock * weight).sum() / weight.sum())
    area = np.radians(ring.span) * (ring.outside**2 - ring.bore**2) / 2
    touched = cut > 0
    below = float(np.max(np.where(touched, leave - stock, -np.inf))) if touched.any() else 0.0
    tilt = np.arctan(slope(ring.phi)[None, :] / np.radians(ring.radii)[:, None])
    scallop = float(np.max((stock - leave) * np.cos(tilt)))
    return Found(below, float(stock.min()), float(stock.max()), mean, mean * area, scallop)
