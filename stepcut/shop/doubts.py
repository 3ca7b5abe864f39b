"""What may stand behind readings that are off: one that was misread, a step or a bend along a shaft, ramps that differ.

Lengths are mm, angles degrees.  No outside source for the tests themselves: sums of squares compared by F, as in ``fitting``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from statistics import median

from stepcut.shop.fitting import f_quantile, straight
from stepcut.shop.found_shape import Found, Nothing

CHANCE = 0.001  # in so many parts without a fault one is taken for faulty
FEW = 6  # of fewer readings none can be told from the others
FAR = 8.0  # a reading so many times farther from its neighbours than the others are is looked at
DRAWN = 0.4  # of its square an end reading leaves at least so much over: it draws the shape towards itself
PLAIN = 3.0  # without it a cam leaves so many times less, squared: one beside a corner of the rim holds the corner, and is no slip
MOST_LOOKED = 3  # readings that are left out in turn
FIGURES = {"ramp": 4, "cam": 8, "taper": 2, "radius": 3, "fillet": 3}

Find = Callable[[Sequence[float], Sequence[float]], Found | Nothing]


def misread(
    find: Find, places: Sequence[float], values: Sequence[float], found: Found | Nothing, comes_round: bool
) -> int | None:
    """Return the index of the one reading that does not go with all others; None where there is none such.

    Left out, the others are a shape, and scatter so much less about it that chance would do it once in a thousand parts.
    """
    n = len(places)
    if n < FEW:
        return None
    looked = _left_over(found) if isinstance(found, Found) else _looked_at(places, values, comes_round)
    if isinstance(found, Found) and found.shape in ("taper", "radius"):  # the ends draw such a shape towards them most
        looked = [*looked, *(pick(range(n), key=lambda k: places[k]) for pick in (min, max))]
    for k in dict.fromkeys(looked):
        rest = find([*places[:k], *places[k + 1 :]], [*values[:k], *values[k + 1 :]])
        if isinstance(rest, Nothing):
            continue
        if isinstance(found, Nothing) and found.scatter == 0.0:  # it was not fitted: nothing to compare with
            return k
        after = FIGURES[rest.shape]
        before, free = after if isinstance(found, Nothing) else FIGURES[found.shape], n - 1 - after
        less = _variance(rest, comes_round) * free
        more = _variance(found, comes_round) * (n - before) - less
        plain = not isinstance(found, Found) or found.shape != "cam" or found.scatter**2 > PLAIN * rest.scatter**2
        if plain and more > less / free * f_quantile(1 - CHANCE / n, 1, free):
            return k
    return None


def _variance(found: Found | Nothing, comes_round: bool) -> float:
    """Return the square of the scatter, of radii also where diameters were read; of what is no shape at least so much."""
    doubled = not comes_round and (isinstance(found, Nothing) or found.shape == "taper")
    return (found.scatter / (2 if doubled else 1)) ** 2


def _left_over(found: Found) -> list[int]:
    """Return the readings that a shape leaves so much over that they are worth a second look."""
    n = len(found.left)
    free = n - 1 - FIGURES[found.shape]
    far = f_quantile(1 - CHANCE / n, 1, free)
    order = sorted(range(n), key=lambda k: -abs(found.left[k]))[:2]
    squares = {k: (found.left[k] / found.scatter) ** 2 / DRAWN for k in order}
    return [k for k in order if squares[k] > 0 and squares[k] * free > far * max(0.0, free + 1 - squares[k])]


def _looked_at(places: Sequence[float], values: Sequence[float], comes_round: bool) -> list[int]:
    """Return the readings that stand farthest from what their neighbours say, where that is far."""
    n = len(places)
    order = sorted(range(n), key=lambda k: places[k] % 360.0 if comes_round else places[k])
    off = {}
    for at, k in enumerate(order):
        beside = [order[(at + step) % n] for step in (-2, -1, 1, 2) if comes_round or 0 <= at + step < n]
        off[k] = abs(values[k] - median([values[k], *(values[j] for j in beside)]))
    usual = median(off.values())
    far = [k for k in sorted(off, key=lambda k: -off[k]) if off[k] > FAR * usual][:MOST_LOOKED]
    # At an end of a shaft a reading has neighbours on one side only, and looks far wherever it slopes.
    return far if comes_round else list(dict.fromkeys([*far, order[0], order[-1]]))


def two_lines(xs: Sequence[float], ys: Sequence[float]) -> float:
    """Return the sum of squares that two straight lines leave, each through all readings on one side of a place.

    Examples
    --------
    >>> round(two_lines([0, 1, 2, 3, 4, 5], [0, 0, 0, 5, 5, 5]), 6)
    0.0
    """
    laid = sorted(zip(xs, ys, strict=True))
    best = float("inf")
    for k in range(2, len(laid) - 1):
        sides = [straight([x for x, _ in part], [y for _, y in part]) for part in (laid[:k], laid[k:])]
        if all(side is not None for side in sides):
            best = min(best, sum(side.rest for side in sides if side is not None))
    return best


def breaks(xs: Sequence[float], ys: Sequence[float], rest: float, figures: int, floor: float) -> bool:
    """Return whether two lines leave so much less than a shape of so many figures that it is a step or a bend instead."""
    n = len(xs)
    if n < FEW:
        return False
    less = max(two_lines(xs, ys), floor)
    return (rest - less) / (5 - figures) > less / (n - 5) * f_quantile(1 - CHANCE / n, 5 - figures, n - 5)


def rises_apart(
    shares: Sequence[float], depths: Sequence[float], owners: Sequence[int], rest: float
) -> list[float] | None:
    """Return the rise of each ramp by itself where they differ more than chance would make them; None where they do not.

    Parameters
    ----------
    shares : sequence of float
        How much of the rise the fitted ramp has at each reading, 0 to 1.
    depths, owners : sequence of float and of int
        The readings, and the ramp that each is on.
    rest : float
        What one ramp for all leaves over, mm^2.
    """
    lines = []
    for ramp in sorted(set(owners)):
        own = [k for k, owner in enumerate(owners) if owner == ramp]
        line = straight([shares[k] for k in own], [depths[k] for k in own]) if len(own) > 2 else None
        if line is None:
            return None
        lines.append(line)
    free, more = len(depths) - 2 * len(lines) - 2, 2 * len(lines) - 2
    less = sum(line.rest for line in lines)
    if more < 1 or free < 1 or less <= 0 or (rest - less) / more <= less / free * f_quantile(1 - CHANCE, more, free):
        return None
    return [line.slope for line in lines]
