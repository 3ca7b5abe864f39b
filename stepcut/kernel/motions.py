"""How a depth grows along an angle: the share of the rise reached at a share of the span.

Every motion is a pair of functions of x in [0, 1]: the share of the rise and its first derivative.  Both are exact
formulas.  :mod:`stepcut.kernel.line` builds wanted lines from them.

References
----------
.. [1] R. L. Norton, "Design of Machinery", chapter on cam design: displacement functions of the simple harmonic,
   cycloidal, modified trapezoid, modified sine, 3-4-5 and 4-5-6-7 polynomial laws (from memory; each is checked
   in the tests against its published peak factors and by numerical integration).
"""

from __future__ import annotations

from collections.abc import Callable
from math import cos, pi, sin

from msgspec import Struct

Curve = Callable[[float], float]

_MS = 4 + pi  # denominator of the modified sine
_MT = 2 + pi  # denominator of the modified trapezoid
_MT_TOP = 8 * pi / _MT  # its constant acceleration


def _modified_sine(x: float) -> float:
    if x > 0.875:
        return 1 - _modified_sine(1 - x)
    if x < 0.125:
        return pi / _MS * x - sin(4 * pi * x) / (4 * _MS)
    return 2 / _MS + pi / _MS * x - 9 / (4 * _MS) * sin(4 * pi / 3 * x + pi / 3)


def _modified_sine_rate(x: float) -> float:
    x = min(x, 1 - x)
    if x < 0.125:
        return pi / _MS * (1 - cos(4 * pi * x))
    return pi / _MS * (1 - 3 * cos(4 * pi / 3 * x + pi / 3))


def _modified_trapezoid(x: float) -> float:
    # Acceleration: a quarter sine up, constant, a quarter sine down; each piece integrated from the one before.
    if x > 0.5:
        return 1 - _modified_trapezoid(1 - x)
    if x < 0.125:
        return (2 * x - sin(4 * pi * x) / (2 * pi)) / _MT
    if x < 0.375:
        t = x - 0.125
        return (0.25 - 1 / (2 * pi)) / _MT + 2 / _MT * t + _MT_TOP / 2 * t * t
    t = x - 0.375
    start = (0.25 - 1 / (2 * pi)) / _MT + 0.5 / _MT + _MT_TOP / 32
    return start + (2 + 2 * pi) / _MT * t + _MT_TOP / (16 * pi * pi) * (1 - cos(4 * pi * t))


def _modified_trapezoid_rate(x: float) -> float:
    x = min(x, 1 - x)
    if x < 0.125:
        return 2 / _MT * (1 - cos(4 * pi * x))
    if x < 0.375:
        return 2 / _MT + _MT_TOP * (x - 0.125)
    return (2 + 2 * pi) / _MT + 2 / _MT * sin(4 * pi * (x - 0.375))


class Motion(Struct, frozen=True):
    """A named motion: the share of the rise at a share of the span, and its derivative."""

    name: str
    share: Curve
    rate: Curve
    steepest: float  # largest rate: the peak velocity factor of the cam books
    joints: tuple[float, ...] = ()  # shares of the span where the formula changes


MOTIONS: dict[str, Motion] = {
    motion.name: motion
    for motion in (
        Motion("uniform", lambda x: x, lambda x: 1.0, 1.0),
        Motion(
            "parabolic",
            lambda x: 2 * x * x if x < 0.5 else 1 - 2 * (1 - x) * (1 - x),
            lambda x: 4 * min(x, 1 - x),
            2.0,
            (0.5,),
        ),
        Motion("harmonic", lambda x: (1 - cos(pi * x)) / 2, lambda x: pi / 2 * sin(pi * x), pi / 2),
        Motion("cycloidal", lambda x: x - sin(2 * pi * x) / (2 * pi), lambda x: 1 - cos(2 * pi * x), 2.0),
        Motion(
            "3-4-5",
            lambda x: x**3 * (10 - 15 * x + 6 * x * x),
            lambda x: 30 * x * x * (1 - x) * (1 - x),
            15 / 8,
        ),
        Motion(
            "4-5-6-7",
            lambda x: x**4 * (35 - 84 * x + 70 * x * x - 20 * x**3),
            lambda x: 140 * x**3 * (1 - x) ** 3,
            35 / 16,
        ),
        Motion("modified-sine", _modified_sine, _modified_sine_rate, 4 * pi / _MS, (0.125, 0.875)),
        Motion(
            "modified-trapezoid",
            _modified_trapezoid,
            _modified_trapezoid_rate,
            2.0,
            (0.125, 0.375, 0.5, 0.625, 0.875),
        ),
    )
}
