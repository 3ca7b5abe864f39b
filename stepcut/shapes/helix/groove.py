"""A helical groove as the cutter that runs along it would leave it: its rows, its walls and floor, and how deep a point lies.

The groove runs over a cylinder whose axis is the table's; the cutter comes down from the top.  By the helix a groove is the
same all along, so that a point of it is known by two numbers: its radius rho, and w, how far along the axis it stands from the
path.  A cut whose top stands an angle d before the point has it inside when

    F(d) = (rho sin d)^2 + (w + k d)^2 - R^2 <= 0        k = lead / (2 pi), the advance in one radian

and its end is below it: rho cos d >= bottom for a flat; a ball has (c - rho cos d)^2 more in F below its centre, c over the
axis.  F is a bowl, so that the running cutter has a point inside in one interval of its way; `interval` is that.  A cut shifted
by `off` along the slide sees the point at w - off.  No outside source: derived here, and compared with rays in the tests.
"""

from __future__ import annotations

import math
from functools import cached_property
from math import acos, asin, atan2, cos, hypot, sin, sqrt

from msgspec import Struct

from stepcut.kernel.search import crossing, lowest
from stepcut.machine import Outline

NEWTON = 40  # steps at the most; five do, but where a cut just grazes the point
ALIKE = 1e-13  # mm^2: a root of F
LOOKS = 12  # places at which the shortest way between the edges is looked for


class Screw(Struct, frozen=True, dict=True):
    """The groove and its cutter; mm.

    Parameters
    ----------
    outside, bottom : float
        Radius of the cylinder and of the groove's floor.
    pitch : float
        k: advance along the axis for one radian.
    outline : Outline
        The cutter's end, flat or ball.
    """

    outside: float
    bottom: float
    pitch: float
    outline: Outline

    @cached_property
    def centre(self) -> float:
        """Height of a ball's centre over the axis; a flat's own height."""
        return self.bottom + self.outline.corner

    @property
    def flat(self) -> bool:
        """Whether the cutter has a flat end."""
        return self.outline.corner == 0.0 and not self.outline.tan

    # --- rows ------------------------------------------------------------------------------------------------------

    def window(self, rho: float) -> float:
        """Return how far beside its top a cut takes anything of a radius, radians."""
        c, big = self.centre, self.outline.radius
        side = asin(min(1.0, big / rho))
        if self.flat:
            return min(side, acos(min(1.0, self.bottom / rho)))
        on_ball = acos(min(1.0, max(-1.0, (rho * rho + c * c - big * big) / (2 * rho * c))))
        return on_ball if rho * cos(on_ball) <= c else side

    def bowl(self, rho: float, w: float, d: float) -> tuple[float, float, float]:
        """Return F, its slope, and how the slope grows."""
        k, c, u = self.pitch, self.centre, w + self.pitch * d
        y, height = rho * sin(d), rho * cos(d)
        if self.flat or height >= c:
            rest = (y * y, 2 * y * height, 2 * (height * height - y * y))
        else:
            rest = (rho * rho + c * c - 2 * c * height, 2 * c * y, 2 * c * height)
        return rest[0] + u * u - self.outline.radius**2, rest[1] + 2 * k * u, rest[2] + 2 * k * k

    def interval(self, rho: float, w: float) -> tuple[float, float] | None:
        """Return between which angles before a point the running cutter has it inside, radians; None where nowhere."""
        most = self.window(rho)
        first, last = self.end(rho, w, -most), self.end(rho, w, most)
        return None if first is None or last is None else (first, last)

    def end(self, rho: float, w: float, d: float) -> float | None:
        """Return the end of the interval that is nearest to an end of the window; None where the point is never inside.

        From outside a bowl Newton's steps come down to its nearer side.  Asked more than anything else of a helix, so that the
        bowl is written out here, with the same sums.
        """
        side, k, big2, c = math.copysign(1.0, d), self.pitch, self.outline.radius**2, self.centre
        side_from = -math.inf if self.flat else c
        for _ in range(NEWTON):
            y, height, u = rho * sin(d), rho * cos(d), w + k * d
            if height >= side_from:
                value, slope = y * y + u * u - big2, 2 * y * height + 2 * k * u
            else:
                value, slope = rho * rho + c * c - 2 * c * height + u * u - big2, 2 * c * y + 2 * k * u
            if value <= ALIKE:
                return d
            if slope * side <= 0.0:
                return None
            d -= value / slope
        return d

    def row(self, rho: float) -> tuple[float, float]:
        """Return how far along the axis from the path the groove reaches at a radius, and the angle at which it is cut there.

        It is the same on both sides of the path; the angle is that of the side where w grows, and not above 0.
        """
        k, big, c = self.pitch, self.outline.radius, self.centre
        squares = rho * rho + k * k
        height2 = (rho * rho - k * k + sqrt(max(0.0, squares * squares - 4 * k * k * big * big))) / 2
        height = sqrt(max(0.0, height2))
        if height >= c:  # where the side of the cutter touches its wall
            y, u = big * k / hypot(height, k), big * height / hypot(height, k)
        elif self.flat:  # nearer the floor the edge of the flat cuts the wall
            y = sqrt(max(0.0, rho * rho - self.bottom**2))
            u, height = sqrt(max(0.0, big * big - y * y)), self.bottom
        else:
            y, u, height = self._under_ball(rho)
        turn = atan2(y, height)
        return u + k * turn, -turn

    def _under_ball(self, rho: float) -> tuple[float, float, float]:
        """Return where a ball touches its wall at a radius: beside its top, along the axis, and its height; mm.

        The ball touches in the circle square to its way, R (sin a beside, cos a down).
        """
        k, big, c = self.pitch, self.outline.radius, self.centre
        n = hypot(c, k)
        a, b = (big * c / n) ** 2, c * big
        down = (b - sqrt(max(0.0, b * b - a * (c * c + (big * k / n) ** 2 - rho * rho)))) / a
        down = min(1.0, max(0.0, down))
        beside = sqrt(1.0 - down * down)
        return big * beside * k / n, big * beside * c / n, c - big * down

    @cached_property
    def joint(self) -> float:
        """Radius from which on the side of the cutter cuts the wall, and its end does not."""
        return hypot(self.centre, self.outline.radius * self.pitch / hypot(self.centre, self.pitch))

    def over_floor(self, turn: float, along: float) -> float:
        """Return the radius down to which a cut takes the middle of the groove, so far beside its top; infinite where it does not."""
        big, c = self.outline.radius, self.centre
        if self.flat:
            low = c / cos(turn)
            return low if (low * sin(turn)) ** 2 + along * along <= big * big else math.inf
        inside = big * big - along * along - (c * sin(turn)) ** 2
        return c * cos(turn) - sqrt(inside) if inside >= 0.0 else math.inf

    def square(self, height: float) -> float:
        """Return how far a point so high over the middle of the floor stands from floor and walls, square to them."""
        return height

    # --- how wide it is ---

    def straight(self, half: float, rho: float | None = None) -> float:
        """Return how far apart, in a straight line, the walls stand that are so far from the path along the axis; mm.

        At the surface, or at a radius.  Both are helices there, and a caliper finds the shortest way from one to the other, through the air.
        """
        radius = self.outside if rho is None else rho

        def away(turn: float) -> float:
            return hypot(2 * radius * sin(turn / 2), self.pitch * turn - 2 * half)

        return lowest(away, 0.0, min(math.pi, 2 * half / self.pitch), LOOKS)[1]

    def half_of(self, straight: float, rho: float | None = None) -> float:
        """Return how far from the path along the axis both walls stand whose distance in a straight line is given; mm.

        Unrolled they stand farther apart, but never by more than half a circle is longer than its diameter.
        """
        radius = self.outside if rho is None else rho
        least = straight / 2 * hypot(radius, self.pitch) / radius
        return crossing(lambda half: self.straight(half, radius) - straight, least, math.pi / 2 * least, 1e-12)

    # --- how deep a point lies ----------------------------------------------------------------------------------------

    def deep(self, rho: float, w: float) -> float:
        """Return how far a point inside the groove stands from its walls and floor, square to them; mm.

        Walls run on past the surface.  Beside the flat's edge the wall is what the edge sweeps, a hollow between wall and floor.
        """
        big, most = self.outline.radius, self.window(rho)
        d = self._nearest(rho, w)
        value = self.bowl(rho, w, d)[0]
        found = big - sqrt(max(0.0, value + big * big))
        if not self.flat:
            return max(0.0, found)
        found = found if abs(d) <= most else math.inf  # else that part of the side of the cutter is under its end
        if abs(w) <= big:
            found = min(found, rho - self.bottom)
        if found <= 0.0:
            return 0.0
        reach = (big + min(found, big)) / hypot(self.bottom, self.pitch)  # beyond it the edge is farther off
        return min(found, sqrt(lowest(lambda d: self._to_edge(rho, abs(w), d), d - reach, d + reach, 12)[1]))

    def _nearest(self, rho: float, w: float) -> float:
        """Return where the axis of the running cutter, or the centre of its ball, comes nearest to a point."""
        d = -w * self.pitch / (rho * self.centre + self.pitch**2)
        for _ in range(NEWTON):
            _, slope, grows = self.bowl(rho, w, d)
            if grows <= 0.0:
                break
            d -= slope / grows
            if abs(slope) < 1e-12 * grows:
                break
        return d

    def _to_edge(self, rho: float, w: float, d: float) -> float:
        """Return the squared distance of a point from the part of a flat's edge that sweeps the wall where w grows."""
        big, k = self.outline.radius, self.pitch
        y, u, up = -rho * sin(d), w + k * d, rho * cos(d) - self.bottom
        n = hypot(self.bottom, k)
        if y <= 0.0:
            away = hypot(y, u - big)
        elif y * self.bottom >= u * k:
            away = hypot(y - big * k / n, u - big * self.bottom / n)
        else:
            away = big - hypot(y, u)
        return up * up + away * away
