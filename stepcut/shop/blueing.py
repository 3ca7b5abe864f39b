"""From blue to file: how much comes off, about how many strokes, what is enough, and where two stairs touch first.

Strokes are working numbers for mild steel on a land about 6 mm (1/4 in) wide; common practice, no source, and a range: hands,
files and steels differ.  Lengths are mm.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

Use = Literal["clamp", "dog", "lift"]
Wins = Literal["large", "small", "middle", "ends", "even"]
Shares = tuple[float, float]  # of blue: where filing may stop, and past which it gains nothing
Polyline = Sequence[tuple[float, float]]

THOU = 0.0254
FILM = 0.005  # a film of blue this thick bridges a gap; common practice, no source
NO_BETTER = (
    3  # blueings without a change for the better, after which more filing gains nothing; common practice, no source
)


class Tool(Struct, frozen=True):
    """A file or stone: what a stroke takes off, and how near to size it is used."""

    name: str
    least: float  # mm a stroke
    most: float
    leaves: float  # it stops this high above size, for the next finer one


# Common practice, no source: bastard 1 to 2 thou in 5 strokes, second cut 1 thou in 10, smooth 1/2 thou in 10, stone 1/10 thou
# in 20 rubs; the last three as half to the whole of it, because a file clogs and a hand tires.
TOOLS = (
    Tool("bastard file", 1 / 5 * THOU, 2 / 5 * THOU, 4 * THOU),
    Tool("second-cut file", 0.5 / 10 * THOU, 1 / 10 * THOU, 1 * THOU),
    Tool("smooth file", 0.25 / 10 * THOU, 0.5 / 10 * THOU, 0.2 * THOU),
    Tool("stone", 0.05 / 20 * THOU, 0.1 / 20 * THOU, 0.0),
)


class Strokes(Struct, frozen=True):
    """What one tool takes off each place, mm, in least to most strokes."""

    tool: str
    takes: float
    least: int
    most: int


def tools_of(filed: Sequence[tuple[str, int, float]]) -> tuple[Tool, ...]:
    """Return the tools with what a stroke of them takes in this shop, where it has written that down; else common practice.

    ``filed`` are tool, strokes and height taken off, mm.  Once written down it is taken as half to double, for one file is not the
    next one; more often, as the least and the most that was seen.

    Examples
    --------
    >>> [round(tool.most, 3) for tool in tools_of([("smooth file", 20, 0.02)])]
    [0.01, 0.003, 0.002, 0.0]
    """
    found = []
    for tool in TOOLS:
        seen = [height / count for name, count, height in filed if name == tool.name and count > 0 and height > 0]
        least, most = (min(seen), max(seen)) if len(seen) > 1 else (seen[0] / 2, seen[0] * 2) if seen else (0.0, 0.0)
        found.append(replace(tool, least=least, most=most) if seen else tool)
    return tuple(found)


def strokes(height: float, tools: Sequence[Tool] = TOOLS) -> list[Strokes]:
    """Return the tools for a height to take off, the coarsest first, with strokes over each place.

    Examples
    --------
    >>> [(each.tool, each.least, each.most) for each in strokes(0.0254)]
    [('smooth file', 16, 32), ('stone', 40, 80)]
    """
    found = []
    for tool in tools:
        takes = height - tool.leaves
        if takes > 1e-6:
            found.append(
                Strokes(tool.name, takes, math.ceil(takes / tool.most - 1e-9), math.ceil(takes / tool.least - 1e-9))
            )
            height = tool.leaves
    return found


def enough(shares: Mapping[str, Shares] | None, use: Use | None) -> Shares | None:
    """Return the share of blue at which filing may stop, and the one past which it gains nothing, for a use; a clamp where none is said.

    ``shares`` are those that a shape names (``BLUE`` in its words); None for a shape that has no such number.
    """
    return None if shares is None else shares[use or "clamp"]


def spread(stops: Sequence[int], of: int) -> list[str]:
    """Return the thirds of a ramp that show no blue: contact in all three is no rock (common practice, no source).

    Examples
    --------
    >>> spread([1, 2, 9], 10)
    ['the middle']
    """
    names = ("the high end", "the middle", "the low end")
    touched = {min(2, 3 * (n - 1) // of) for n in stops}
    return [name for k, name in enumerate(names) if k not in touched]


def no_better(shares: Sequence[float]) -> bool:
    """Whether the last three blueings brought nothing over the best before them.

    Examples
    --------
    >>> no_better([0.2, 0.4, 0.4, 0.38, 0.4]), no_better([0.2, 0.4, 0.4, 0.38, 0.45])
    (True, False)
    """
    return len(shares) > NO_BETTER and max(shares[-NO_BETTER:]) <= max(shares[:-NO_BETTER]) + 0.005


def taper_advice(side: str, wins: Wins) -> str:
    """Return what to do about a taper whose blue is heaviest in one place: open, close, size, barrel or good.

    ``side`` is bore (tested with a plug) or outside (tested in a ring).  Where a plug touches at its large end only, the bore is
    less tapered than the plug; where an outside taper touches a ring at the large end only, it is more tapered than the ring.
    """
    if wins in ("large", "small"):
        return "open" if (side == "bore") == (wins == "large") else "close"
    return {"even": "size", "middle": "barrel", "ends": "good"}[wins]


def _at(line: Polyline, places: Sequence[float], at: float) -> float:
    k = min(max(bisect_right(places, at), 1), len(line) - 1)
    (a, low), (b, high) = line[k - 1], line[k]
    return low + (high - low) * (min(max(at, a), b) - a) / (b - a) if b > a else high


def first_touch(wanted: Polyline, cut: Polyline, turned: float, columns: int) -> list[bool]:
    """Return where two equal parts as cut touch first, from the high end to the low end of the lower one.

    Parameters
    ----------
    wanted, cut : polyline
        Angle against depth: the line wanted and the stair as it is cut.
    turned : float
        Degrees by which the upper part is turned from high end over low end: it slides along its own helix.
    columns : int
        Into how many places the ramp is divided.

    Notes
    -----
    Face to face the upper part's depth runs the other way: over angle phi of the lower part stands its own span - phi +
    turned.  What stands on both adds up; the parts rest where the sum is largest, and blue shows within ``FILM`` of it.
    """
    first, last = wanted[0][0], wanted[-1][0]
    ways, cuts = [p for p, _ in wanted], [p for p, _ in cut]

    def stock(at: float) -> float:
        return _at(wanted, ways, at) - _at(cut, cuts, at)

    steps = 40 * columns
    sums: list[float] = []
    for k in range(steps):
        here = first + (last - first) * (k + 0.5) / steps
        there = first + last - here + turned
        sums.append(stock(here) + stock(there) if first <= there <= last else -math.inf)
    top = max(sums)
    return [max(sums[40 * c : 40 * c + 40]) >= top - FILM for c in range(columns)]


def upper_part(cut: Polyline, first: float, last: float, turned: float) -> list[tuple[float, float]]:
    """Return the stair of an equal part that rests on a stair face to face: angle of the lower part against depth in its metal.

    It lies over the lower one, and touches it where the two lines meet; as :func:`first_touch` has it.
    """
    inside = [(at, depth) for at, depth in cut if first <= at <= last]
    places = [at for at, _ in inside]
    over = [(first + last - at + turned, depth) for at, depth in reversed(inside)]
    low, high = max(first, first + turned), min(last, last + turned)
    sums = [
        _at(inside, places, at) + _at(inside, places, first + last - at + turned)
        for at in (low + (high - low) * (k + 0.5) / 4000 for k in range(4000))
    ]
    rests = min(sums)
    return [(at, rests - depth) for at, depth in over if first <= at <= last]
