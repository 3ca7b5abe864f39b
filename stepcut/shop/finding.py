"""Finding one's place: which stop a pair of readings belongs to, and what is to do next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from stepcut.machine import Scale
from stepcut.plan import Stop

State = Literal["at", "moved", "set", "between", "first-only", "second-only"]


@dataclass(frozen=True)
class Place:
    """Where two readings are in a plan.

    Parameters
    ----------
    state : str
        at: both readings are this stop's.  moved: the table (or slide) is this stop's, the depth still that of the stop
        before.  set: the depth is already this stop's, the table still the one before.  between: neither fits.
        first-only, second-only: one reading was left out.
    stop : Stop
        The stop that it is, or that comes next.
    before : Stop or None
        The stop before it.
    others : tuple of int
        Numbers of other stops that fit as well.
    """

    state: State
    stop: Stop
    before: Stop | None
    others: tuple[int, ...] = ()


def find(
    stops: Sequence[Stop],
    first: Scale,
    second: Scale,
    at: Fraction | None,
    depth: Fraction | None,
    turn: Fraction | None,
) -> Place:
    """Return the place of a reading of each scale; either may be left out, not both.

    Parameters
    ----------
    stops : sequence of Stop
        In the order of cutting.
    first, second : Scale
        Their scales.
    at, depth : Fraction or None
        Readings in the coordinate of the stops: degrees or mm, and mm.
    turn : Fraction or None
        360 for a rim that comes round, None for a slide.
    """

    def same_first(stop: Stop) -> bool:
        assert at is not None  # noqa: S101  # asked only when it is given
        off = abs(first.value(stop.first) - at)
        if turn is not None:
            off = min(off % turn, -off % turn)
        return off <= first.division / 2

    def same_second(stop: Stop) -> bool:
        assert depth is not None  # noqa: S101  # asked only when it is given
        return abs(second.value(stop.second) - depth) <= second.division / 2

    before = dict(zip((stop.n for stop in stops), [None, *stops[:-1]], strict=True))

    def place(state: State, fitting: list[Stop]) -> Place:
        return Place(state, fitting[0], before[fitting[0].n], tuple(stop.n for stop in fitting[1:]))

    if at is None:
        fitting = [stop for stop in stops if same_second(stop)]
        return place("second-only", fitting) if fitting else _between(stops, before, second, None, depth)
    if depth is None:
        fitting = [stop for stop in stops if same_first(stop)]
        return place("first-only", fitting) if fitting else _between(stops, before, first, at, None)
    exact = [stop for stop in stops if same_first(stop) and same_second(stop)]
    if exact:
        return place("at", exact)
    moved = [stop for stop in stops if same_first(stop) and _is(second, before[stop.n], depth)]
    if moved:
        return place("moved", moved)
    ahead = [
        stop for stop in stops if same_second(stop) and (earlier := before[stop.n]) is not None and same_first(earlier)
    ]
    if ahead:
        return place("set", ahead)
    return _between(stops, before, first, at, depth)


def _is(second: Scale, before: Stop | None, depth: Fraction) -> bool:
    """Whether a depth is that of the stop before; before the first stop it is nought."""
    value = second.value(before.second) if before is not None else Fraction(0)
    return abs(value - depth) <= second.division / 2


def _between(
    stops: Sequence[Stop], before: dict[int, Stop | None], scale: Scale, at: Fraction | None, depth: Fraction | None
) -> Place:
    """Return the next stop past a reading that fits none."""
    reading = at if at is not None else depth
    assert reading is not None  # noqa: S101  # one of the two is given
    values = [(scale.value(stop.first if at is not None else stop.second), stop) for stop in stops]
    rising = values[-1][0] >= values[0][0]
    past = [stop for value, stop in values if (value > reading if rising else value < reading)]
    stop = past[0] if past else stops[-1]
    return Place("between", stop, before[stop.n] if past else stops[-1])
