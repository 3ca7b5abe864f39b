"""A wanted surface under a cutter: how deep a stop may go, where the last one stands, what stands between two.

Coordinates run from the high end in the falling direction, in degrees (ramps) or mm (slides); depths are mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

from stepcut.kernel.fall import Fall
from stepcut.kernel.old_footprints import Footprint

Place = tuple[float, float]  # where a stop stands and how deep it is

_SAMPLES = 24
_GOLDEN = (math.sqrt(5) - 1) / 2


def lowest(
    curve: Callable[[float], float], low: float, high: float, samples: int = _SAMPLES, also: Sequence[float] = ()
) -> float:
    """Return the smallest value of a curve on an interval.

    Examples
    --------
    >>> round(lowest(lambda x: (x - 0.3) ** 2 + 1, 0.0, 1.0), 9)
    1.0
    """
    return curve(where_lowest(curve, low, high, samples, also))


def where_lowest(
    curve: Callable[[float], float], low: float, high: float, samples: int = _SAMPLES, also: Sequence[float] = ()
) -> float:
    """Return where a curve is smallest on an interval: sampled, then narrowed by the golden section.

    Every sampled local minimum is narrowed, so that a curve of a few smooth pieces is not misjudged; ``also`` names places
    where a narrow one may hide between the samples.
    """
    if high <= low:
        return low
    places = [low + (high - low) * k / samples for k in range(samples + 1)]
    if also:
        places = sorted({*places, *(x for x in also if low < x < high)})
    values = [curve(x) for x in places]
    best = min(zip(values, places, strict=True))
    last = len(places) - 1
    for k, value in enumerate(values):
        before, after = max(k - 1, 0), min(k + 1, last)
        if value <= values[before] and value <= values[after]:
            best = min(best, _golden(curve, places[before], places[after]))
    return best[1]


def _golden(curve: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Return the smallest value and where it is."""
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    fa, fb = curve(a), curve(b)
    for _ in range(36):  # narrows the interval to 3e-8 of itself, the value to the square of that
        if fa < fb:
            high, b, fb = b, a, fa
            a = high - _GOLDEN * (high - low)
            fa = curve(a)
        else:
            low, a, fa = a, b, fb
            b = low + _GOLDEN * (high - low)
            fb = curve(b)
    return min((fa, a), (fb, b))


@dataclass(frozen=True)
class Cut:
    """One wanted surface, one footprint, one leave.

    Parameters
    ----------
    wanted : Fall
        Depth wanted along the coordinate.
    foot : Footprint
        What the cutter removes at a stop.
    leave : float
        Stock to leave everywhere, mm.
    radii : tuple of float
        Radii of the wall at which ridges are compared: bore, middle and outside; one dummy radius on a slide.
    steep : bool
        Whether the surface may stand as steep as a wall, so that heights are true distances, mm along both axes.
    """

    wanted: Fall
    foot: Footprint
    leave: float
    radii: tuple[float, ...]
    steep: bool = False

    @cached_property
    def is_flat(self) -> bool:
        """Whether the cutter's end is flat all the way to its edge."""
        return self.foot.flat >= self.foot.half_width

    @cached_property
    def lead(self) -> float:
        """How far past a place the stop stands that cuts the place to depth: the reach of the flat uphill."""
        return self.foot.uphill(self.foot.flat)

    def _at(self, theta: float) -> tuple[float, float]:
        """Uphill reach and relief of the outline at an angle from straight down, radians."""
        flat, corner = self.foot.flat, self.foot.half_width - self.foot.flat
        distance = min(flat + corner * math.sin(theta), self.foot.half_width)
        return self.foot.uphill(distance), corner * (1 - math.cos(theta))

    def deepest(self, at: float) -> float:
        """Return the greatest depth, mm, at which a stop nowhere cuts below the stock line.

        Notes
        -----
        A point at distance s from the cutter's axis allows depth d(there) - leave + relief(s).  The wanted depth never
        decreases, so among the points at one distance the one farthest uphill binds, and one search over s is enough.
        For a flat end the edge binds alone: z <= d(t - u) - leave.
        """
        if self.is_flat:
            return self.wanted.depth(at - self.foot.uphill(self.foot.half_width)) - self.leave

        if self._contact is not None:
            _, uphill, relief = self._contact
            if at >= uphill and at - self.lead <= self.wanted.span:
                return self.wanted.depth(at - uphill) + relief - self.leave
        return lowest(lambda theta: self._allowed(at, theta), 0.0, math.pi / 2, also=self._touching) - self.leave

    @cached_property
    def _touching(self) -> tuple[float, ...]:
        """Angles of the outline at which it is parallel to one of the wanted surface's straight slopes."""
        wanted = self.wanted
        if not wanted.straight:
            return ()
        slopes = {wanted.slope(place) for place in wanted.places[1:]}
        return tuple(math.atan(slope / self.foot.steepness(radius)) for slope in slopes for radius in self.radii)

    def _allowed(self, at: float, theta: float) -> float:
        uphill, relief = self._at(theta)
        return self.wanted.depth(at - uphill) + relief

    @cached_property
    def _contact(self) -> tuple[float, float, float] | None:
        """Where a round cutter touches one straight slope: outline angle, uphill reach, relief; None when it bends.

        On a straight slope the touching point is the same at every stop, as long as no part of the cutter hangs over an
        end of the span; it is found once.
        """
        wanted = self.wanted
        if not wanted.straight or len(wanted.places) != 2:
            return None
        slope = wanted.slope(0.0)

        def held(theta: float) -> float:
            uphill, relief = self._at(theta)
            return relief - slope * uphill

        theta = where_lowest(held, 0.0, math.pi / 2, also=self._touching)
        return (theta, *self._at(theta))

    @cached_property
    def end(self) -> float:
        """Where the last stop stands: the first place from which the whole span is cut to its floor."""
        wanted = self.wanted
        last = wanted.span + self.lead
        if self.is_flat:
            return last
        drop = wanted.floor - wanted.start

        def behind(theta: float) -> float:
            uphill, relief = self._at(theta)
            return -(uphill + wanted.reach(wanted.floor - relief)) if relief < drop else -last

        return max(last, -lowest(behind, 0.0, math.pi / 2, also=self._touching))

    @property
    def floor(self) -> float:
        """Depth of the last stop, mm."""
        return self.wanted.floor - self.leave

    # --- what stands between stops -----------------------------------------------------------------------------

    def extent(self, radius: float, stop: Place) -> Place | None:
        """Return from where to where a stop cuts below the face at a radius; None when it does not."""
        at, depth = stop
        if depth <= 0:
            return None
        reach = self.foot.reach(radius, self.foot.width_at(depth))
        return None if reach is None else (at - reach[0], at + reach[1])

    def cut_depth(self, radius: float, where: float, stop: Place) -> float:
        """Return how deep a stop cuts at a place, mm; minus infinity outside the cutter."""
        return stop[1] - self.foot.relief(self.foot.distance(radius, where - stop[0]))

    def crossing(self, radius: float, before: Place, after: Place, low: float, high: float) -> float:
        """Return the place between `low` and `high` where the later stop begins to be the deeper one."""
        if self.is_flat:
            return low

        def gain(x: float) -> float:
            return self.cut_depth(radius, x, after) - self.cut_depth(radius, x, before)

        inside = 1e-12 * max(1.0, abs(low), abs(high))  # the very edge may count as outside the cutter
        low, high = low + inside, high - inside
        at_low, at_high = gain(low), gain(high)
        if at_low >= 0:
            return low - inside
        if at_high <= 0:
            return high + inside
        side = 0
        for _ in range(60):  # false position; an end that stays is halved (Illinois), so that both ends close in
            middle = (low * at_high - high * at_low) / (at_high - at_low)
            value = gain(middle)
            if abs(value) < 1e-13 or high - low < inside:
                return middle
            if value > 0:
                high, at_high = middle, value
                at_low = at_low / 2 if side > 0 else at_low
                side = 1
            else:
                low, at_low = middle, value
                at_high = at_high / 2 if side < 0 else at_high
                side = -1
        return high

    def ridge(self, before: Place | None, after: Place) -> float:
        """Return the scallop, mm, that stands uphill of a stop: square to the wanted surface, above the stock line.

        `before` None means the uncut face.  Where the two stops do not meet, the face between them is the ridge.
        """
        return max(self._ridge_at(radius, before, after) for radius in self.radii)

    def _ridge_at(self, radius: float, before: Place | None, after: Place) -> float:
        if after[1] <= 0:
            return 0.0  # cuts nothing, so nothing ends there
        later = self.extent(radius, after)
        where, depth = (after[0], 0.0) if later is None else (later[0], 0.0)
        earlier = None if before is None else self.extent(radius, before)
        if before is not None and earlier is not None and where <= earlier[1]:
            if later is not None:
                where = self.crossing(radius, before, after, where, min(earlier[1], later[1]))
            depth = max(0.0, self.cut_depth(radius, where, before))
        if where <= 0:
            return 0.0
        if where > self.wanted.span:
            where = self.wanted.span
            depth = 0.0 if before is None else max(0.0, self.cut_depth(radius, where, before))
        return self.height(radius, where, self.wanted.depth(where) - depth)

    def meets(self, before: float, after: float) -> bool:
        """Whether two full-width cuts at these places leave no uncut metal between them, at any radius."""
        for radius in self.radii:
            reach = self.foot.reach(radius, self.foot.half_width)
            if reach is None or after - reach[0] > before + reach[1] + 1e-9:
                return False
        return True

    def height(self, radius: float, where: float, stock: float) -> float:
        """Return axial stock as height above the stock line, square to the wanted surface; mm, never negative."""
        if self.steep:
            return self._square_to(where, stock)
        slope = math.atan(self.wanted.slope(where) / self.foot.steepness(radius))
        return max(0.0, (stock - self.leave) * math.cos(slope))

    def _square_to(self, where: float, stock: float) -> float:
        """Return the distance from a point of the cut surface to the nearest point of the stock line, mm.

        Where the surface turns through many degrees within one stop, stock x cosine would use the slope of a place that
        is not the nearest one.  The nearest place lies uphill, between the point's own level and the point.
        """
        if stock <= self.leave:
            return 0.0
        level = self.wanted.depth(where) - stock
        begin = min(where, self.wanted.reach(max(self.wanted.start, level + self.leave)))

        def away(at: float) -> float:
            return math.hypot(at - where, self.wanted.depth(at) - self.leave - level)

        return lowest(away, begin, where, 6)
