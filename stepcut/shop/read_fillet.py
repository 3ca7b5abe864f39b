"""From readings along a shaft to a fillet: a cylinder that goes over into an arc, tangent to it, up to a shoulder.

    r(z) = base                                     before the fillet begins, at z0
    r(z) = base + R - sqrt(R^2 - (z - z0)^2)        in it

Lengths are mm; the shoulder may stand at either end.  No outside source: plane geometry.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from stepcut.shop.fitting import solve3

FEW = 3  # readings on the cylinder, and in the fillet, at least
STEEP = 0.97  # share of the radius past which a diameter says little: there the face begins


class Fillet(Struct, frozen=True):
    """A fillet by least squares of the radii."""

    base: float
    begins: float
    radius: float
    toward: int  # +1 when the shoulder stands at larger z
    rest: float
    spread: tuple[float, float, float]  # variances of base, begin and radius for readings of variance 1

    def at(self, z: float) -> float:
        """Return the radius at a place, mm."""
        return _radius(self.toward * z, self.base, self.toward * self.begins, self.radius)


def _radius(x: float, base: float, begins: float, size: float) -> float:
    over = min(max(x - begins, 0.0), size)
    return base + size - math.sqrt(size * size - over * over)


def _slopes(x: float, begins: float, size: float) -> tuple[float, float, float]:
    """Return how a radius changes with base, begin and size."""
    over = min(max(x - begins, 0.0), STEEP * size)
    root = math.sqrt(size * size - over * over)
    return 1.0, -over / root, 1 - size / root


def fillet(places: Sequence[float], radii: Sequence[float]) -> Fillet | None:
    """Return the best fillet through readings; None where none goes through them with readings on both its parts."""
    found = [fit for toward in (1, -1) if (fit := _toward(places, radii, toward)) is not None]
    return min(found, key=lambda fit: fit.rest, default=None)


def _toward(places: Sequence[float], radii: Sequence[float], toward: int) -> Fillet | None:
    xs = sorted((toward * z, r) for z, r in zip(places, radii, strict=True))
    first, last = xs[0][0], xs[-1][0]
    best: tuple[float, float, float, float] | None = None
    for k in range(FEW - 1, len(xs) - FEW):  # a coarse search: where it begins, and how large it is
        for part in (0.0, 0.5):
            begins = xs[k][0] + part * (xs[k + 1][0] - xs[k][0])
            for step in range(14):
                size = (last - begins) / STEEP * 1.25**step
                bend = [_radius(x, 0.0, begins, size) for x, _ in xs]
                base = sum(r - b for (_, r), b in zip(xs, bend, strict=True)) / len(xs)
                rest = sum((r - b - base) ** 2 for (_, r), b in zip(xs, bend, strict=True))
                if best is None or rest < best[0]:
                    best = rest, base, begins, size
    if best is None:
        return None
    rest, base, begins, size = best
    inverse: list[list[float]] | None = None
    for _ in range(80):
        rows = [(*_slopes(x, begins, size), r - _radius(x, base, begins, size)) for x, r in xs]
        inverse = solve3([[sum(row[i] * row[j] for row in rows) for j in range(3)] for i in range(3)])
        if inverse is None:
            return None
        right = [sum(row[i] * row[3] for row in rows) for i in range(3)]
        move = [sum(inverse[i][j] * right[j] for j in range(3)) for i in range(3)]
        share = 1.0
        while share > 1e-6:  # half the step as long as it leaves more
            tried = base + share * move[0], begins + share * move[1], size + share * move[2]
            if first < tried[1] < last and tried[2] * STEEP >= (last - tried[1]) * 0.999:
                left = sum((r - _radius(x, *tried)) ** 2 for x, r in xs)
                if left <= rest:
                    (base, begins, size), rest = tried, left
                    break
            share /= 2
        if share <= 1e-6 or max(map(abs, move)) < 1e-10:
            break
    level = sum(x <= begins for x, _ in xs)
    if inverse is None or level < FEW or len(xs) - level < FEW:
        return None
    return Fillet(base, toward * begins, size, toward, rest, (inverse[0][0], inverse[1][1], inverse[2][2]))
