"""Motions by integrating their accelerations twice: the curves that cam books draw, not the formulas of displacement.

Accelerations over a rise of 1 in a time of 1, up to a constant factor, from Norton, "Design of Machinery", chapter on cam
design (from memory); the factor follows from the rise being 1.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicHermiteSpline

Array = NDArray[np.float64]
CELLS = 2400  # a multiple of 8, so that every joint of the accelerations falls between two cells


def _modified_sine(x: Array) -> Array:
    up = np.sin(4 * np.pi * x)  # a quarter of a fast wave
    slow = np.cos((x - 0.125) * np.pi / 0.75)  # half of a slow one
    down = -np.cos((x - 0.875) * 4 * np.pi)
    return np.where(x < 0.125, up, np.where(x < 0.875, slow, down))


def _modified_trapezoid(x: Array) -> Array:
    folded = np.where(x < 0.5, x, 1 - x)
    up, down = np.sin(4 * np.pi * folded), np.cos(4 * np.pi * (folded - 0.375))
    half = np.where(folded < 0.125, up, np.where(folded < 0.375, 1.0, down))
    return np.where(x < 0.5, half, -half)


ACCELERATIONS: dict[str, Callable[[Array], Array]] = {
    "parabolic": lambda x: np.where(x < 0.5, 1.0, -1.0),
    "harmonic": lambda x: np.cos(np.pi * x),
    "cycloidal": lambda x: np.sin(2 * np.pi * x),
    "3-4-5": lambda x: x - 3 * x**2 + 2 * x**3,
    "4-5-6-7": lambda x: x**2 - 4 * x**3 + 5 * x**4 - 2 * x**5,
    "modified-sine": _modified_sine,
    "modified-trapezoid": _modified_trapezoid,
}


@cache
def displacement(motion: str) -> Callable[[Array], Array]:
    """Share of the rise (0 to 1) at a share of the span (0 to 1), held at both ends."""
    if motion == "uniform":
        return lambda x: np.clip(x, 0.0, 1.0)
    spline = _integrated(ACCELERATIONS[motion])
    return lambda x: spline(np.clip(x, 0.0, 1.0))


@cache
def velocity(motion: str) -> Callable[[Array], Array]:
    """Rate of the share along the share of the span; 0 outside."""
    if motion == "uniform":
        return lambda x: np.where((x >= 0) & (x <= 1), 1.0, 0.0)
    rate = _integrated(ACCELERATIONS[motion]).derivative()
    return lambda x: np.where((x >= 0) & (x <= 1), rate(np.clip(x, 0.0, 1.0)), 0.0)


def _integrated(acceleration: Callable[[Array], Array]) -> CubicHermiteSpline:
    """Velocity and displacement at the ends of cells, each cell by Gauss's rule of five points."""
    points, weights = np.polynomial.legendre.leggauss(5)
    ends = np.linspace(0.0, 1.0, CELLS + 1)
    width = 1.0 / CELLS
    inside = ends[:-1, None] + width * (points + 1) / 2
    a = acceleration(inside)
    gained = (a * weights).sum(1) * width / 2
    speed = np.concatenate([[0.0], np.cumsum(gained)])
    # Displacement gained in a cell: speed at its start times its width, and the acceleration times the time still to run.
    still = ends[1:, None] - inside
    moved = speed[:-1] * width + (a * still * weights).sum(1) * width / 2
    place = np.concatenate([[0.0], np.cumsum(moved)])
    return CubicHermiteSpline(ends, place / place[-1], speed / place[-1])
