"""Finding one's place: which stop a pair of readings belongs to, and what is to do next."""

from __future__ import annotations

from collections.abc import Sequence, Set
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from stepcut.machine import Scale
from stepcut.plan import Plan, Stop

Clear = tuple[Literal[1, -1], Fraction]
State = Literal["at", "moved", "set", "clear", "away", "ready", "between", "first-only", "second-only"]


class Place(Struct, frozen=True):
    """Where two readings are in a plan.

    Parameters
    ----------
    state : str
        at: both readings are this stop's.  moved: the table (or slide) is this stop's, the depth still that of the stop
        before.  set: the depth is already this stop's, the table still the one before.  clear: the table is this
        stop's, the cutter clear of every cut, as in the middle of a change.  away: the cutter is clear, the table (or slide)
        stands at no stop.  ready: the second is this stop's, the slide still before the work.  between: neither fits.
        first-only, second-only: one reading was left out.
    stop : Stop
        The stop that it is, or that comes next.
    before : Stop or None
        The stop before it.
    others : tuple of int
        Numbers of other stops that fit as well.
    apart : tuple of int, or empty
        Of readings that each fit a stop, but not together: the number of the stop of the first, and of the second.
    """

    state: State
    stop: Stop
    before: Stop | None
    others: tuple[int, ...] = ()
    apart: tuple[int, ...] = ()


def find(
    stops: Sequence[Stop],
    first: Scale,
    second: Scale,
    at: Fraction | None,
    depth: Fraction | None,
    turn: Fraction | None,
    clear: Clear | None = None,
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
    clear : tuple of (int, Fraction) or None
        Which way the second scale goes deeper, 1 where it grows and -1 where it shrinks, and from where on it is clear of all
        metal, mm; None where no reading of it is.
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
        return place("second-only", fitting) if fitting else _between(stops, before, second, None, depth, None)
    if depth is None:
        fitting = [stop for stop in stops if same_first(stop)]
        return place("first-only", fitting) if fitting else _between(stops, before, first, at, None, turn)
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
    if clear is not None and (clear[1] - depth) * clear[0] > second.division / 2:
        there = [stop for stop in stops if same_first(stop)]
        return (
            place("clear", there) if there else replace(_between(stops, before, first, at, depth, turn), state="away")
        )
    set_for = [stop for stop in stops if same_second(stop)] if turn is None else []
    if set_for and at < min(first.value(stop.first) for stop in stops):
        return place("ready", set_for)
    found = _between(stops, before, first, at, depth, turn)
    pairs = [
        (one.n, other.n)
        for one in stops
        if same_first(one)
        for other in stops
        if same_second(other) and other is not one
    ]
    return replace(found, apart=min(pairs, key=lambda pair: abs(pair[0] - pair[1]))) if pairs else found


def clear_of(plan: Plan) -> Clear | None:
    """Return which way a plan's second reading goes deeper and where it is clear; None where it is a place along the work."""
    values = [plan.second.value(stop.second) for stop in plan.stops]
    if plan.axes[1] == "depth":
        return 1, min(Fraction(0), *values)
    if plan.axes[1] == "radius":
        return -1, max(Fraction(plan.target.get("blank_diameter", 0)) / 2, *values)
    if plan.axes[0] != "z" or plan.coned:
        return None
    values += [plan.second.value(x) for passes in plan.details.roughing.values() for x in passes]
    return (1, min(values)) if plan.details.in_bore else (-1, max(values))


def _is(second: Scale, before: Stop | None, depth: Fraction) -> bool:
    """Whether a depth is that of the stop before; before the first stop it is nought."""
    value = second.value(before.second) if before is not None else Fraction(0)
    return abs(value - depth) <= second.division / 2


def _between(
    stops: Sequence[Stop],
    before: dict[int, Stop | None],
    scale: Scale,
    at: Fraction | None,
    depth: Fraction | None,
    turn: Fraction | None,
) -> Place:
    """Return the next stop past a reading that fits none; a rim that comes round is read where it is nearest to the stops."""
    reading = at if at is not None else depth
    assert reading is not None  # noqa: S101  # one of the two is given
    values = [(scale.value(stop.first if at is not None else stop.second), stop) for stop in stops]
    if turn is not None:
        low, high = min(value for value, _ in values), max(value for value, _ in values)
        reading = low + (reading - low) % turn
        if reading > high and low - (reading - turn) < reading - high:
            reading -= turn  # nearer before the first than past the last
    rising = values[-1][0] >= values[0][0]
    past = [stop for value, stop in values if (value > reading if rising else value < reading)]
    stop = past[0] if past else stops[-1]
    return Place("between", stop, before[stop.n] if past else stops[-1])


Ticked = Literal["cut-now", "cut", "turned-unticked", "ahead", "unknown"]


class Told(Struct, frozen=True):
    """A place with what the log knows of it.

    Parameters
    ----------
    place : Place
        Where the dials stand; of several cuts that read alike the one that the ticks make likeliest comes first.
    ticked : str
        cut-now: turned and not cut.  cut: ticked as cut.  turned-unticked: it is the next one, and not ticked as turned.
        ahead: cuts before it are not ticked.  unknown: no ticks, or the readings fit no cut.
    due : Stop or None
        The first cut that is not ticked as cut; None when all are.
    slack : Fraction
        How far the first reading stands past (above 0) or short of the next cut's mark, where slack explains it; else 0.
    clear_first : bool
        Whether the next move passes metal that stands: raise the cutter first.
    """

    place: Place
    ticked: Ticked
    due: Stop | None
    slack: Fraction = Fraction(0)
    clear_first: bool = False

    @property
    def fits(self) -> bool:
        """Whether the readings are explained by a cut of the plan."""
        return self.place.state != "between" or self.slack != 0


def with_ticks(
    place: Place,
    stops: Sequence[Stop],
    first: Scale,
    at: Fraction | None,
    turn: Fraction | None,
    ticks: Set[tuple[int, str]],
    falls: Set[int] = frozenset(),
) -> Told:
    """Return a place with what the ticks say of it.

    Parameters
    ----------
    ticks : set of (int, str)
        Number of a cut, and turned or cut; empty when not known.
    falls : set of int
        Numbers of the cuts whose mark is come up to while the first scale falls; to all others it grows.
    """
    cut = {n for n, what in ticks if what == "cut"}
    due = next((stop for stop in stops if stop.n not in cut), None) if ticks else None
    if place.state in ("between", "away"):
        slack = _slack(place, first, at, turn, due, falls)
        done: Ticked = "cut" if ticks and due is None else "unknown"
        return Told(place, done, due, slack, _clear_first(stops, place.before, place.stop))
    if due is not None:
        place = _likeliest(place, stops, due)
    n = place.stop.n
    upcoming = next((stop for stop in stops if stop.n == n + 1), None)
    following = _clear_first(stops, place.stop, upcoming)
    if not ticks:
        return Told(place, "unknown", None, clear_first=following)
    if n in cut:
        return Told(place, "cut", due, clear_first=_clear_first(stops, place.stop, due))
    if due is not None and n > due.n:
        return Told(place, "ahead", due, clear_first=True)
    return Told(place, "cut-now" if (n, "turned") in ticks else "turned-unticked", due, clear_first=following)


def _likeliest(place: Place, stops: Sequence[Stop], due: Stop) -> Place:
    """Return the place with the cut first that the ticks make likeliest: the next one, then the one just cut, then the nearest."""
    numbers = sorted((place.stop.n, *place.others), key=lambda n: (n != due.n, n != due.n - 1, abs(n - due.n)))
    by_number = {stop.n: stop for stop in stops}
    return Place(place.state, by_number[numbers[0]], by_number.get(numbers[0] - 1), tuple(numbers[1:]))


def _clear_first(stops: Sequence[Stop], here: Stop | None, there: Stop | None) -> bool:
    """Whether the way to a cut leads to another ramp or groove, or back to a shallower depth."""
    if here is None or there is None:
        return False
    grows = stops[-1].second >= stops[0].second
    return here.start != there.start or (there.second < here.second if grows else there.second > here.second)


def falling(plan: Plan) -> frozenset[int]:
    """Return the cuts of a plan whose mark is come up to while the first scale falls: on a lathe the passes from a groove toward the face."""
    if plan.axes[0] != "z" or plan.approach == "mill":
        return frozenset()
    return frozenset(stop.n for stop in plan.stops if not plan.details.cuts[stop.start - 1].flank.toward_face)


def _slack(
    place: Place, first: Scale, at: Fraction | None, turn: Fraction | None, due: Stop | None, falls: Set[int]
) -> Fraction:
    """Return how far a reading is past the next cut's mark (above 0) or short of it, where backlash explains it; else 0."""
    if at is None:
        return Fraction(0)
    reach = max(first.backlash + first.division, 2 * first.division)
    near = [due] if due is not None else [stop for stop in (place.before, place.stop) if stop is not None]
    if due is None and any(abs(at - first.value(stop.first)) <= first.division / 2 for stop in near):
        return Fraction(0)  # it stands at a cut: it is no slack before the next one
    for stop in near:
        off = at - first.value(stop.first)
        if turn is not None:
            off = (off + turn / 2) % turn - turn / 2
        if 0 < abs(off) <= reach:
            return -off if stop.n in falls else off
    return Fraction(0)
