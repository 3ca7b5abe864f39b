"""A helical groove as a pointed cutter leaves it: a cone in place of a cylinder or a ball.

A cut whose top stands an angle d before a point has it inside when, with t the tangent of half the angle of its point,

    F(d) = (rho sin d)^2 + (w + k d)^2 - t^2 (rho cos d - bottom)^2 <= 0    and    rho cos d >= bottom

which is a bowl as far as a cut reaches.  No outside source: derived here, and compared with rays in the tests.
"""

from __future__ import annotations

import math
from math import asin, atan, cos, hypot, sin, sqrt

from stepcut.kernel.search import lowest
from stepcut.shapes.helix.groove import ALIKE, NEWTON, Screw

LOOKS = 12  # places at which the deepest cut over a point is looked for


class Vee(Screw, frozen=True, dict=True):
    """The groove and its pointed cutter; mm."""

    @property
    def half(self) -> float:
        """Half the angle of the point, radians."""
        return atan(self.outline.tan)

    @property
    def joint(self) -> float:
        """Radius from which on the side of the cutter cuts the wall: its bottom."""
        return self.bottom

    def window(self, rho: float) -> float:
        """Return how far beside its top a cut takes anything of a radius, radians: rho sin d = t (rho cos d - bottom)."""
        return max(0.0, self.half - asin(min(1.0, self.bottom * sin(self.half) / rho)))

    def bowl(self, rho: float, w: float, d: float) -> tuple[float, float, float]:
        """Return F, its slope, and how the slope grows."""
        k, t2, u = self.pitch, self.outline.tan**2, w + self.pitch * d
        y, height = rho * sin(d), rho * cos(d)
        up = height - self.bottom
        value = y * y + u * u - t2 * up * up
        slope = 2 * y * height + 2 * k * u + 2 * t2 * up * y
        return value, slope, 2 * (height * height - y * y) + 2 * k * k + 2 * t2 * (up * height - y * y)

    def end(self, rho: float, w: float, d: float) -> float | None:
        """Return the end of the interval that is nearest to an end of the window; None where the point is never inside."""
        side = math.copysign(1.0, d)
        for _ in range(NEWTON):
            value, slope, _ = self.bowl(rho, w, d)
            if value <= ALIKE:
                return d
            if slope * side <= 0.0:
                return None
            d -= value / slope
        return d

    def row(self, rho: float) -> tuple[float, float]:
        """Return how far along the axis from the path the groove reaches at a radius, and the angle at which it is cut there."""
        most, t2 = self.window(rho), self.outline.tan**2

        def short(d: float) -> float:
            up = rho * cos(d) - self.bottom
            return self.pitch * d - sqrt(max(0.0, t2 * up * up - (rho * sin(d)) ** 2))

        turn, found = lowest(short, -most, 0.0, LOOKS)
        return -found, turn

    def over_floor(self, turn: float, along: float) -> float:
        """Return the radius down to which a cut takes the middle of the groove, so far beside its top; infinite where it does not."""
        t2, c, s = self.outline.tan**2, cos(turn), sin(turn)
        a, b = t2 * c * c - s * s, t2 * self.bottom * c
        if a <= 0.0:
            return math.inf
        # b^2 - a (t^2 bottom^2 - along^2), without the difference that rounds below 0 right under a cut
        inside = t2 * (self.bottom * s) ** 2 + a * along * along
        return (b + sqrt(inside)) / a

    def square(self, height: float) -> float:
        """Return how far a point so high over the middle of the groove stands from its walls, square to them."""
        return height * sin(self.half)

    def deep(self, rho: float, w: float) -> float:
        """Return how far a point inside the groove stands from its walls, square to them; mm: the deepest in any cut of the run."""
        most = self.window(rho)

        def short(d: float) -> float:
            return hypot(rho * sin(d), w + self.pitch * d) * cos(self.half) - (rho * cos(d) - self.bottom) * sin(
                self.half
            )

        return max(0.0, -lowest(short, -most, most, LOOKS)[1])
