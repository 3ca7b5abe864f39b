"""What a model of the whole part sees of a plan, and how peaks are sharpened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Surface = Callable[[Array, Array], Array]


@dataclass
class Seen:
    """Figures of the whole part, in mm and mm^3, and how much each may be off by the model's resolution.

    ``gouge`` is the deepest cut below the stock line (or into metal that must stay) anywhere on the part; 0 or less where
    there is none.  Heights are as the contract of the JSON has them: axial or radial, the scallop square to the surface.
    """

    gouge: float
    where: str
    scallop: float
    stock_min: float
    stock_mean: float
    stock_max: float
    volume: float
    errors: dict[str, float] = field(default_factory=dict)
    more: dict[str, Any] = field(default_factory=dict)

    def figures(self) -> dict[str, float]:
        names = ("gouge", "scallop", "stock_min", "stock_mean", "stock_max", "volume")
        return {name: float(getattr(self, name)) for name in names}

    def compared(self, coarser: Seen) -> Seen:
        """The same with the differences from a coarser look as errors."""
        mine, theirs = self.figures(), coarser.figures()
        self.errors = {name: abs(mine[name] - theirs[name]) for name in mine}
        return self


def sharpened(
    surface: Surface, u: float, v: float, du: float, dv: float, box: tuple[float, float, float, float], rounds: int = 9
) -> tuple[float, float, float]:
    """The largest value of a surface near a point, by grids that close in on it: (value, u, v)."""
    best = float(surface(np.array([u]), np.array([v]))[0])
    for _ in range(rounds):
        us = np.unique(np.clip(u + du * np.linspace(-1, 1, 7), box[0], box[1]))
        vs = np.unique(np.clip(v + dv * np.linspace(-1, 1, 33), box[2], box[3]))
        uu, vv = (part.ravel() for part in np.meshgrid(us, vs, indexing="ij"))
        values = surface(uu, vv)
        at = int(np.argmax(values))
        if values[at] > best:
            best, u, v = float(values[at]), float(uu[at]), float(vv[at])
        du, dv = du * 0.45, dv * 0.15
    return best, u, v


def largest(surface: Surface, values: Array, us: Array, vs: Array, sharp: bool, box: Any) -> tuple[float, float, float]:
    """The largest of a surface known on rows (u of each row, v of each point): the best of many peaks, sharpened."""
    peak = np.ones(values.shape, bool)
    peak[:, 1:] &= values[:, 1:] >= values[:, :-1]
    peak[:, :-1] &= values[:, :-1] >= values[:, 1:]
    rows, columns = np.nonzero(peak & np.isfinite(values))
    order = np.argsort(values[rows, columns])[::-1][
        : 600 if sharp else 12
    ]  # of needles a comb shows some lower than they are
    rows, columns = rows[order], columns[order]
    heights, u, v = values[rows, columns], us[rows], vs[rows, columns]
    cell = float(np.max(np.diff(vs, axis=1)))
    comb, width = np.linspace(-1, 1, 41), cell
    for _ in range(4 if sharp else 2):
        at = np.clip(v[:, None] + width * comb, box[2], box[3])
        found = surface(np.broadcast_to(u[:, None], at.shape).ravel(), at.ravel()).reshape(at.shape)
        best = np.argmax(found, axis=1)
        higher = np.take_along_axis(found, best[:, None], 1)[:, 0]
        better = higher > heights
        heights = np.where(better, higher, heights)
        v = np.where(better, np.take_along_axis(at, best[:, None], 1)[:, 0], v)
        width *= 0.06
    if not sharp:
        top = int(np.argmax(heights))
        return float(heights[top]), float(u[top]), float(v[top])
    spacing = float(np.max(np.diff(us))) if len(us) > 1 else 0.0
    chosen: list[int] = []
    for k in np.argsort(heights)[::-1]:
        if all(u[k] != u[c] or abs(v[k] - v[c]) > cell for c in chosen):
            chosen.append(int(k))
        if len(chosen) == 3:
            break
    return max(sharpened(surface, float(u[k]), float(v[k]), spacing, cell / 4, box) for k in chosen)


def closed_in(curve: Callable[[Array], Array], z: Array, values: Array, rounds: int) -> tuple[float, float]:
    """The largest of a curve known at places, closed in on at its best peaks."""
    peaks = np.nonzero(
        (values >= np.append(values[1:], -np.inf)) & (values >= np.append(-np.inf, values[:-1])) & np.isfinite(values)
    )[0]
    if not len(peaks):
        return float(values.max()), float(z[int(np.argmax(values))])
    peaks = peaks[np.argsort(values[peaks])[::-1][:600]]
    low, high = z[np.maximum(peaks - 1, 0)], z[np.minimum(peaks + 1, len(z) - 1)]
    best, at = values[peaks], z[peaks]
    for _ in range(rounds):
        comb = low[:, None] + (high - low)[:, None] * np.linspace(0, 1, 25)
        found = curve(comb.ravel()).reshape(comb.shape)
        top = np.argmax(found, axis=1)
        here = np.take_along_axis(comb, top[:, None], 1)[:, 0]
        value = np.take_along_axis(found, top[:, None], 1)[:, 0]
        at, best = np.where(value > best, here, at), np.maximum(best, value)
        cell = (high - low) / 24
        low, high = np.maximum(at - cell, low), np.minimum(at + cell, high)
    top = int(np.argmax(best))
    return float(best[top]), float(at[top])
