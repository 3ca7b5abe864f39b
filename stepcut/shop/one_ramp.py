"""One motion fitted to readings round a table, laid on one ramp: start depth and rise by least squares, the two places by search.

Places are degrees in the falling direction, depths mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from msgspec import Struct

from stepcut.kernel.motions import MOTIONS
from stepcut.shop.fitting import rising_rest

_TABLE = 1024  # places at which a motion is tabulated; straight between them it is right to 1e-6


NEAR = 0.35  # share of the stretch that was read, so far beyond it a ramp is looked for closely


class Fold(Struct, frozen=True):
    """Readings laid on one ramp: places from the first reading past the riser on, in the falling direction."""

    ramps: int
    way: int  # +1 when the depth grows with the angle
    places: tuple[float, ...]
    depths: tuple[float, ...]
    order: tuple[int, ...]
    period: float
    rest: float  # what the best falling line of any form leaves
    also: tuple[
        int, ...
    ] = ()  # other numbers of ramps by which the readings all lie on one ramp, too, in the same order


def folded(angles: Sequence[float], depths: Sequence[float], ramps: int, way: int) -> Fold:
    """Return the readings on one of so many ramps, cut open at the riser that leaves least."""
    period = 360.0 / ramps
    laid = sorted((way * angle % period, k) for k, angle in enumerate(angles))
    n = len(laid)
    drops = sorted(range(n), key=lambda k: depths[laid[k][1]] - depths[laid[k - 1][1]])[:4]
    best: Fold | None = None
    for k in drops:
        turned = [(u, i) for u, i in laid[k:]] + [(u + period, i) for u, i in laid[:k]]
        values = [depths[i] for _, i in turned]
        rest = rising_rest(values)
        if best is None or rest < best.rest:
            order = tuple(i for _, i in turned)
            best = Fold(ramps, way, tuple(u for u, _ in turned), tuple(values), order, period, rest)
    assert best is not None  # noqa: S101  # there are readings
    return best


def _tabulated(share: Callable[[float], float]) -> tuple[float, ...]:
    return (*(share(k / _TABLE) for k in range(_TABLE + 1)), 1.0)


TABLES = {name: _tabulated(law.share) for name, law in MOTIONS.items()}


class At(Struct, frozen=True):
    """The best start depth and rise for one place of the high end and one of the low end."""

    high: float
    low: float
    start: float
    rise: float
    rest: float
    per_start: float  # variances for readings of variance 1
    per_rise: float

    @property
    def span(self) -> float:
        """From the high end to the low end, degrees."""
        return self.low - self.high


class Fit:
    """One motion on one fold: the sum of squares over where it begins and ends."""

    def __init__(self, fold: Fold, motion: str) -> None:
        self.fold, self.motion, self._table = fold, motion, TABLES[motion]
        first, last = fold.places[0], fold.places[-1]
        # The riser stands between the last reading of the ramp before and the first of this one.
        self.earliest, self.latest = last - fold.period, first + fold.period
        self._known: dict[tuple[float, float], At | None] = {}

    def at(self, high: float, low: float) -> At | None:
        """Return the fit for two places; None where they are out of bounds or say nothing."""
        key = (high, low)
        if key not in self._known:
            self._known[key] = self._solve(high, low)
        return self._known[key]

    def _solve(self, high: float, low: float) -> At | None:
        if not (self.earliest <= high < low <= self.latest) or low - high < self.fold.period / 50:
            return None
        if low - high > self.fold.period * (1 + 1e-9):  # there is no room for more: the next ramp begins there
            return None
        table, scale = self._table, _TABLE / (low - high)
        n, sf, sff, sd, sfd, sdd = 0, 0.0, 0.0, 0.0, 0.0, 0.0
        for place, depth in zip(self.fold.places, self.fold.depths, strict=True):
            t = (place - high) * scale
            if t <= 0:
                f = 0.0
            elif t >= _TABLE:
                f = 1.0
            else:
                i = int(t)
                f = table[i] + (table[i + 1] - table[i]) * (t - i)
            n += 1
            sf += f
            sff += f * f
            sd += depth
            sfd += f * depth
            sdd += depth * depth
        size = n * sff - sf * sf
        if size < 1e-9 * n * n:
            return None
        rise, start = (n * sfd - sf * sd) / size, (sd * sff - sf * sfd) / size
        if rise <= 0:
            return None
        rest = max(0.0, sdd - start * sd - rise * sfd)
        return At(high, low, start, rise, rest, sff / size, n / size)

    def counts(self, at: At) -> list[int]:
        """Return the numbers of ramps that a fit goes with: a ramp is no longer than its share of the turn, nor is its level."""
        first, last = self.fold.places[0], self.fold.places[-1]
        also = [
            n for n in self.fold.also
            if at.span <= 360.0 / n and at.high >= last - 360.0 / n and at.low <= first + 360.0 / n
        ]  # fmt: skip
        return [self.fold.ramps, *also]

    def best(self, begin: tuple[float, float] | None = None) -> At | None:
        """Return the least sum of squares: a coarse lattice or a first guess, then a walk with shorter and shorter steps."""
        first, last = self.fold.places[0], self.fold.places[-1]
        # Close where the readings are; where none are, a place here and there is enough.
        over = NEAR * (last - first)
        near, far = max(self.earliest, first - over), min(self.latest, last + over)
        span = far - near
        if begin is None:
            lattice = [near + span * k / 28 for k in range(29)]
            lattice = [self.earliest, (self.earliest + near) / 2, *lattice, (far + self.latest) / 2, self.latest]
            tried = [self.at(a, b) for a in lattice for b in lattice if b > a]
        else:
            tried = [self.at(*begin), self.at(begin[0], (begin[0] + begin[1]) / 2 + (begin[1] - begin[0]) * 0.7)]
        fits = sorted((fit for fit in tried if fit is not None), key=lambda fit: fit.rest)[: 3 if begin is None else 2]
        walked = [self._walk(fit, span / 28) for fit in fits]
        return min(walked, key=lambda fit: fit.rest, default=None)

    def _walk(self, fit: At, step: float) -> At:
        def around(at: At, step: float) -> list[At | None]:
            return [
                self.at(min(max(at.high + i * step, self.earliest), at.low), min(at.low + j * step, self.latest))
                for i, j in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1), (1, -1), (-1, 1))
            ]

        return _settled(fit, step, 1e-4, around)

    def region(self, fit: At, limit: float) -> list[At]:
        """Return fits that cover everything whose sum of squares stays below a limit, its outermost places among them."""
        box = [fit.high, fit.high, fit.low, fit.low]
        edges: list[At] = []
        ends = [self.earliest, self.latest, self.earliest, self.latest]
        for side in range(4):  # how far one place alone can go; the other follows it
            which, way = divmod(side, 2)
            reached = self._reach(fit, which, (ends[side] - box[side]), limit)
            edges += reached
            places = [at.low if which else at.high for at in reached]
            box[side] = (max if way else min)([box[side], *places])
        a = [box[0] + (box[1] - box[0]) * k / 20 for k in range(21)] + [fit.high]
        b = [box[2] + (box[3] - box[2]) * k / 20 for k in range(21)] + [fit.low]
        inside = [at for x in a for y in b if (at := self.at(x, y)) is not None and at.rest <= limit]
        return [*inside, *edges, fit]

    def _reach(self, fit: At, which: int, most: float, limit: float) -> list[At]:
        """Return fits with one place moved as far one way as the limit allows, ``most`` at most; the other place follows it."""
        found: list[At] = []
        inside, outside, step, way = 0.0, abs(most), self.fold.period / 2000, math.copysign(1.0, most)
        failed = False
        while outside - inside > self.fold.period / 5000:
            step = min(step, outside)
            moved = [v + way * step if k == which else v for k, v in enumerate((fit.high, fit.low))]
            near = self._follow(moved[0], moved[1], which)
            if near is not None and near.rest <= limit:
                found.append(near)
                inside = step
            else:
                outside, failed = step, True
            step = (inside + outside) / 2 if failed else step * 1.6
        return found

    def _follow(self, high: float, low: float, fixed: int) -> At | None:
        """Return the best fit with one of the two places held."""

        def beside(at: At, step: float) -> list[At | None]:
            return [self.at(high, at.low + d) if fixed == 0 else self.at(at.high + d, low) for d in (step, -step)]

        if fixed == 0:  # no ramp is longer than its share of the turn
            low = min(low, high + self.fold.period, self.latest)
        else:
            high = max(high, low - self.fold.period, self.earliest)
        begin = self.at(high, low)
        return None if begin is None else _settled(begin, self.fold.period / 100, self.fold.period / 20000, beside)


def _settled(fit: At, step: float, least: float, tries: Callable[[At, float], list[At | None]]) -> At:
    """Return where a walk from a fit ends: to the best of the places tried around, with shorter steps where none is better."""
    while step > least:
        near = min((at for at in tries(fit, step) if at is not None), key=lambda at: at.rest, default=None)
        if near is not None and near.rest < fit.rest:
            fit = near
        else:
            step /= 2
    return fit
