"""Least squares and how sure they are, in plain numbers: what finding a shape in readings needs.

References
----------
.. [1] M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions", 26.5.8 (the incomplete beta function as a continued
   fraction) and 26.6.2 (the distribution of F by it).
.. [2] G. E. P. Box, G. M. Jenkins, "Time Series Analysis", 7.1: the region of parameters whose sum of squares stays below
   the smallest times 1 + p/(n - p) F holds all of them together, exactly so where the model is linear.
.. [3] M. Ayer et al., "An empirical distribution function for sampling with incomplete information", Annals of Mathematical
   Statistics 26 (1955): a rising line through readings by pooling neighbours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct


def beta_share(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b), [1]."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_share(1 - x, b, a)
    front = math.exp(
        math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    ) / a  # fmt: skip
    tiny = 1e-300
    value, c, d = 1.0, 1.0, 0.0
    for m in range(300):  # Lentz's way of walking down a continued fraction
        if m == 0:
            term = 1.0
        elif m % 2:
            k = (m - 1) // 2
            term = -(a + k) * (a + b + k) * x / ((a + 2 * k) * (a + 2 * k + 1))
        else:
            k = m // 2
            term = k * (b - k) * x / ((a + 2 * k - 1) * (a + 2 * k))
        d = 1 / (1 + term * d or tiny)
        c = 1 + term / c or tiny
        value *= c * d
        if m and abs(c * d - 1) < 1e-13:
            break
    return front * (value - 1)


def f_quantile(share: float, a: int, b: int) -> float:
    """Return the value that F with a and b degrees of freedom stays below in a share of cases.

    Examples
    --------
    >>> round(f_quantile(0.95, 4, 20), 3)
    2.866
    """
    low, high = 0.0, 1.0
    while beta_share(a * high / (a * high + b), a / 2, b / 2) < share and high < 1e12:
        high *= 2
    for _ in range(80):
        middle = (low + high) / 2
        if beta_share(a * middle / (a * middle + b), a / 2, b / 2) < share:
            low = middle
        else:
            high = middle
    return high


def rising_rest(values: Sequence[float]) -> float:
    """Return the sum of squares that is left by the best line that never falls, [3].

    Examples
    --------
    >>> rising_rest([0.0, 1.0, 2.0]), rising_rest([0.0, 2.0, 1.0])
    (0.0, 0.5)
    """
    blocks: list[tuple[float, float, int]] = []  # sum, sum of squares, count
    for value in values:
        total, squares, count = value, value * value, 1
        while blocks and blocks[-1][0] * count >= total * blocks[-1][2]:
            before = blocks.pop()
            total, squares, count = total + before[0], squares + before[1], count + before[2]
        blocks.append((total, squares, count))
    return max(0.0, sum(squares - total * total / count for total, squares, count in blocks))


class Straight(Struct, frozen=True):
    """y = level + slope (x - middle) by least squares, with the sum of squares left over."""

    middle: float
    level: float
    slope: float
    rest: float
    per_level: float  # variance of the level for readings of variance 1
    per_slope: float

    def at(self, x: float) -> float:
        """Return y at x."""
        return self.level + self.slope * (x - self.middle)


def straight(xs: Sequence[float], ys: Sequence[float]) -> Straight | None:
    """Return the straight line of least squares; None when all x are alike."""
    n = len(xs)
    middle, level = sum(xs) / n, sum(ys) / n
    spread = sum((x - middle) ** 2 for x in xs)
    if spread <= 1e-12:
        return None
    slope = sum((x - middle) * (y - level) for x, y in zip(xs, ys, strict=True)) / spread
    rest = sum((y - level - slope * (x - middle)) ** 2 for x, y in zip(xs, ys, strict=True))
    return Straight(middle, level, slope, rest, 1 / n, 1 / spread)


def solve3(matrix: Sequence[Sequence[float]]) -> list[list[float]] | None:
    """Return the inverse of a matrix of three rows; None when it has none."""
    (a, b, c), (d, e, f), (g, h, i) = matrix
    minors = (e * i - f * h, f * g - d * i, d * h - e * g)
    size = a * minors[0] + b * minors[1] + c * minors[2]
    if abs(size) < 1e-30:
        return None
    rows = [
        [minors[0], c * h - b * i, b * f - c * e],
        [minors[1], a * i - c * g, c * d - a * f],
        [minors[2], b * g - a * h, a * e - b * d],
    ]
    return [[value / size for value in row] for row in rows]


class Circle(Struct, frozen=True):
    """A circle by least squares of the distance: centre, radius, the sum of squares left, and the inverse of the normal matrix."""

    x: float
    y: float
    radius: float
    rest: float
    spread: tuple[float, float, float]  # variances of x, y and radius for readings of variance 1


def circle(xs: Sequence[float], ys: Sequence[float]) -> Circle | None:
    """Return the circle of least squares through readings; None when they lie straight.

    Notes
    -----
    Begins with the circle whose x^2 + y^2 is a linear sum, then Gauss's steps on the true distances.
    """
    n = len(xs)
    mx, my = sum(xs) / n, sum(ys) / n
    us, vs = [x - mx for x in xs], [y - my for y in ys]
    suu, svv, suv = sum(u * u for u in us), sum(v * v for v in vs), sum(u * v for u, v in zip(us, vs, strict=True))
    size = suu * svv - suv * suv
    if size <= 1e-9 * suu * svv or size <= 1e-30:
        return None
    one = sum(u * (u * u + v * v) for u, v in zip(us, vs, strict=True)) / 2
    two = sum(v * (u * u + v * v) for u, v in zip(us, vs, strict=True)) / 2
    x, y = (one * svv - two * suv) / size, (two * suu - one * suv) / size
    radius = math.sqrt(x * x + y * y + (suu + svv) / n)
    inverse: list[list[float]] | None = None
    for _ in range(60):
        rows = []
        for u, v in zip(us, vs, strict=True):
            far = math.hypot(u - x, v - y) or 1e-12
            rows.append(((x - u) / far, (y - v) / far, -1.0, far - radius))
        normal = [[sum(r[i] * r[j] for r in rows) for j in range(3)] for i in range(3)]
        inverse = solve3(normal)
        if inverse is None:
            return None
        right = [-sum(r[i] * r[3] for r in rows) for i in range(3)]
        move = [sum(inverse[i][j] * right[j] for j in range(3)) for i in range(3)]
        x, y, radius = x + move[0], y + move[1], radius + move[2]
        if not math.isfinite(radius) or abs(radius) > 1e7:
            return None
        if max(map(abs, move)) < 1e-10:
            break
    if inverse is None or radius <= 0:
        return None
    rest = sum((math.hypot(u - x, v - y) - radius) ** 2 for u, v in zip(us, vs, strict=True))
    return Circle(x + mx, y + my, radius, rest, (inverse[0][0], inverse[1][1], inverse[2][2]))
