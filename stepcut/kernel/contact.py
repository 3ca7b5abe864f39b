"""The contact curve: how much of the wanted area stands at least so high, and how much is left once it is filed down."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import cached_property
from operator import itemgetter

from msgspec import Struct

Strip = tuple[float, float, float]  # stock at one end, stock at the other, area


class Contact(Struct, frozen=True, dict=True):
    """The contact curve of a surface made of strips.

    Parameters
    ----------
    segments : sequence of (float, float, float)
        Strips of the surface: stock at one end and at the other, mm, between which it changes evenly; and area, mm^2.

    Notes
    -----
    Going down from the highest point, the area that stands at least so high grows by area / (high - low) for each mm while
    a strip is passed, and at once by the area of a level strip.  The strips' ends are sorted once; between two of them the
    area grows evenly and the volume above by a parabola, so that both are kept as running sums and looked up by halving.

    References
    ----------
    ISO 21920-2:2021, material ratio of a profile: share of the length in material at a given height.
    """

    segments: Sequence[Strip]

    @cached_property
    def area(self) -> float:
        """Whole area, mm^2."""
        return sum(area for _, _, area in self.segments)

    @cached_property
    def _table(self) -> tuple[list[float], list[float], list[float], list[float]]:
        """Depths below nought (so that they grow), and there: area above, its growth beyond, volume above."""
        events: list[tuple[float, float, float]] = []
        for a, b, area in self.segments:
            low, high = (a, b) if a <= b else (b, a)
            if high - low < 1e-12:
                events.append((-high, 0.0, area))
            else:
                rate = area / (high - low)
                events.append((-high, rate, 0.0))
                events.append((-low, -rate, 0.0))
        events.sort(key=itemgetter(0))
        downs: list[float] = []
        areas: list[float] = []
        rates: list[float] = []
        volumes: list[float] = []
        area = rate = volume = 0.0
        down = events[0][0]
        for here, change, jump in events:
            if here > down:
                downs.append(down)
                areas.append(area)
                rates.append(rate)
                volumes.append(volume)
                step = here - down
                volume += (area + rate * step / 2) * step
                area += rate * step
                down = here
            rate += change
            area += jump
        downs.append(down)
        areas.append(area)
        rates.append(rate)
        volumes.append(volume)
        return downs, areas, rates, volumes

    def share(self, height: float) -> float:
        """Return the share of the area whose stock is at least a height, mm (material ratio at that height)."""
        downs, areas, rates, _ = self._table
        k = bisect_left(downs, -height)
        if k < len(downs) and downs[k] == -height:
            return min(1.0, areas[k] / self.area)
        if k == 0:
            return 0.0
        return min(1.0, (areas[k - 1] + rates[k - 1] * (-height - downs[k - 1])) / self.area)

    def height(self, share: float) -> float:
        """Return the height that a share of the area reaches, mm: how far the file must go when blue shows it."""
        downs, areas, rates, _ = self._table
        wanted = share * self.area
        k = bisect_left(areas, wanted * (1 - 1e-12))
        if k == 0:
            return -downs[0]
        if k == len(areas):
            return -downs[-1]
        before, rate = areas[k - 1], rates[k - 1]
        if rate <= 0.0:
            return -downs[k]
        return -min(downs[k], downs[k - 1] + (wanted - before) / rate)

    def volume_above(self, height: float) -> float:
        """Return the volume of stock above a height, mm^3."""
        downs, areas, rates, volumes = self._table
        k = bisect_left(downs, -height)
        if k == 0:
            return 0.0
        step = -height - downs[k - 1]
        return volumes[k - 1] + (areas[k - 1] + rates[k - 1] * step / 2) * step

    def volume_below(self, height: float) -> float:
        """Return the volume that still stands once the part is filed down to a height, mm^3."""
        return max(0.0, self._volume - self.volume_above(height))  # of two equal sums a hair may stay

    @cached_property
    def _volume(self) -> float:
        return sum((a + b) / 2 * area for a, b, area in self.segments)
