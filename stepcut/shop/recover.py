"""When something went wrong: a cut too deep, or a new cutter in the middle of a job."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from msgspec import Struct

from stepcut.plan import Plan, Refused, Stop
from stepcut.shapes import brought

UNSEEN = 0.0013  # mm: half of 0.0001 in, less than any card prints or a shop measures


class TooDeep(Struct, frozen=True):
    """What a stop that was cut too deep does; mm and degrees.

    Parameters
    ----------
    over : float
        Below the plan's own position.
    below : float
        Below the wanted surface; not above 0 when the leave covers it.
    lower : Fraction
        How much everything must be lowered to clean up, in whole divisions of the scale.
    turn : float
        How many degrees further the handle of a clamp turns when this part alone is lowered so; 0 for other shapes.
    stretch : tuple of float
        Where it stands below the wanted surface when it is left, degrees from the high end of its ramp (or mm along).
    lost : float
        Share of the faces of all ramps that then never touches; 0 for other shapes.
    past_end : bool
        Whether it reaches nothing that is wanted: in the run-out of a ramp, past the end of a flank.
    wider : float
        How much wider a groove is at the cylinder where it was cut so deep; 0 for other shapes and square walls.
    """

    over: float
    below: float
    lower: Fraction
    turn: float = 0.0
    stretch: tuple[float, float] = (0.0, 0.0)
    lost: float = 0.0
    past_end: bool = False
    wider: float = 0.0

    @property
    def covered(self) -> bool:
        """Whether nothing is lost: the leave covers it, or nothing is wanted there."""
        return self.below <= UNSEEN


def too_deep(plan: Plan, n: int, found: Fraction) -> TooDeep:
    """Return what is to do about a cut whose depth was measured; on the radius for turned shapes and cams, in a groove of a helix or a scroll.

    Raises
    ------
    Refused
        For a shape whose wanted surface is not one line that cuts follow.

    Notes
    -----
    The cut is looked at where it stands, at the depth that was found: what it takes from the wanted surface, its shape tells
    (``below`` in its ``mishap``, and there ``too_deep`` what more a ramp loses).
    """
    worked_out(plan, "cut", "only-ramps")
    if plan.grooved:
        return _groove(plan, n, found)
    stop, shape = plan.stops[n - 1], brought(plan.shape, "mishap")
    assert shape is not None  # noqa: S101  # just looked at
    over = float(found - plan.second.value(stop.second)) * _inward(plan)
    below = shape.below(plan, stop, float(plan.first.value(stop.first)), float(found))
    if below <= UNSEEN:
        return TooDeep(over, below, Fraction(0), past_end=below == -math.inf)
    damage = TooDeep(over, below, plan.second.up(below) * plan.second.division)
    tell = getattr(shape, "too_deep", None)
    return damage if tell is None else tell(plan, stop, found, damage)


def worked_out(plan: Plan, key: str, code: str) -> None:
    """Refuse a shape whose wanted surface is not one line that cuts follow: what a mistake takes from it is not worked out.

    Raises
    ------
    Refused
    """
    if not plan.grooved and not hasattr(brought(plan.shape, "mishap"), "below"):
        raise Refused(key, code, shape=plan.shape)


def uses_up(plan: Plan, lower: Fraction) -> bool:
    """Whether everything lowered by so much would go through the axis."""
    return (
        _inward(plan) < 0 and not plan.grooved and lower >= min(plan.second.value(stop.second) for stop in plan.stops)
    )


def _groove(plan: Plan, n: int, found: Fraction) -> TooDeep:
    """Return what a groove cut too deep at one place does; its depth scale is the machine's, whose divisions lower the rest."""
    pit = getattr(plan.details, "deeper", {}).get(n)
    wanted = pit or Fraction(plan.target["depth"]).limit_denominator(10**7)
    over = found - (wanted if pit else wanted - plan.leave)
    below = max(Fraction(0), found - wanted)
    division = plan.machine.depth.division if plan.machine.depth is not None else plan.second.division
    lower = -(-below // division) * division
    return TooDeep(float(over), float(below), lower, wider=_width(plan, found) - _width(plan, wanted))


def _width(plan: Plan, depth: Fraction) -> float:
    """Return the width of a groove's cut at the surface, square to the way of the cutter, mm: on a round bar as the shape's folder has it.

    On a flat one it is the chord of a round end, or that of a pointed one's cone.
    """
    across = getattr(brought(plan.shape, "mishap"), "across", None)
    wide: float = 2 * plan.cutter.outline.half_width(float(depth)) if across is None else across(plan, float(depth))
    return wide


def groove_width(plan: Plan) -> float:
    """Return how wide a groove's cutter makes it at the surface, square to its way, mm."""
    return _width(plan, Fraction(plan.target["depth"]).limit_denominator(10**7))


def width_along(plan: Plan, n: int) -> float:
    """Return how wide a row of cuts is beside one of them, mm: along the axis of a helix, along a ray of a scroll.

    A groove as wide as its cutter is at full depth is square to its way; the line that is measured along stands at an angle to that.
    """
    shape = brought(plan.shape, "mishap")
    assert shape is not None  # noqa: S101  # every groove's folder has one
    found: float = shape.wide_along(plan, n, groove_width(plan))
    return found


def past_walls(plan: Plan, numbers: Iterable[int], along: float) -> float:
    """Return how far cuts of a groove take more than it, whose table stood so many degrees on, mm along the axis or a ray.

    Parameters
    ----------
    along : float
        What the way advances in as many degrees, mm; below 0 when the table stood short.

    Notes
    -----
    A row beside others has the room of those on their side.
    """
    past, chosen, beside = 0.0, set(numbers), rows_beside(plan)
    rows: dict[int, list[Stop]] = {}
    for stop in plan.stops:
        rows.setdefault(stop.start, []).append(stop)
    for start, row in rows.items():
        if not chosen.intersection(stop.n for stop in row):
            continue
        groove = (start - 1) // beside * beside + 1
        walls = [float(plan.second.value(rows[k][0].second)) for k in range(groove, groove + beside) if k in rows]
        moved = float(plan.second.value(row[0].second)) - (along if row[-1].second >= row[0].second else -along)
        past = max(past, moved - max(walls), min(walls) - moved)
    return past


def _inward(plan: Plan) -> int:
    """Return -1 where a cut too deep reads less (an outside turned, a cam), 1 where it reads more (a bore, a depth)."""
    return -1 if plan.axes[1] in ("x", "radius") and plan.target.get("side") != "bore" else 1


class GoOn(Struct, frozen=True):
    """How to go on with another cutter from a stop.

    Parameters
    ----------
    stops : tuple of Stop
        What is still to cut, from the new plan, in order.
    changed : tuple of int
        Numbers of stops already cut whose position is another one with the new cutter.
    deeper : tuple of int
        Those of them where the new cutter should take more metal away: recut only these.
    anew : bool
        Whether the new cutter's cuts stand elsewhere, so that they are numbered anew.
    """

    stops: tuple[Stop, ...]
    changed: tuple[int, ...]
    deeper: tuple[int, ...]
    anew: bool = False


def go_on(old: Plan, new: Plan, begin: int, alike: bool = True) -> GoOn:
    """Return what is still to cut with a new plan when the stops before `begin` of the old one are cut.

    ``alike`` tells whether both were spaced by one program: only then a cut of the one stands for that of the same number in the other.

    Notes
    -----
    Where the new cuts stand at the same places, only depths are compared.  Elsewhere a row goes on from where it was left: with every
    new cut that stands farther on, or deeper; less what the two cutters differ by, and with one cut more, for what a cutter takes lies
    beside its place.  A new cut too many takes nothing that is wanted, for none goes below its stock line: where nothing tells what the
    old cuts have taken, all of the new ones are made, and never none.
    """
    done = old.stops[: begin - 1]
    if not done:
        return GoOn(new.stops, (), ())
    pairs = list(zip(old.stops, new.stops, strict=False))
    same = (
        alike and len(new.stops) == len(old.stops) and all((a.first, a.start) == (b.first, b.start) for a, b in pairs)
    )
    if same or (new.axes in IN_ORDER and len(new.stops) == len(old.stops)):
        inward = _inward(new)
        changed = tuple(a.n for a, b in pairs[: begin - 1] if (a.first, a.second) != (b.first, b.second))
        deeper = tuple(a.n for a, b in pairs[: begin - 1] if inward * (b.second - a.second) > 0)
        kept = {stop.n for stop in new.stops[begin - 1 :]}
        dug = same and (new.axes[1] in ("depth", "radius") or new.axes == ("z", "x"))
        return GoOn(_with_sweeps(new, kept), changed, deeper if dug else ())
    every = {stop.n for stop in new.stops}
    left = every if new.axes in IN_ORDER else _still_to_cut(old, new, done) or every
    return GoOn(_with_sweeps(new, left), tuple(stop.n for stop in done), (), anew=True)


# Places round an arc, whose slides go both ways: where there are as many as before, their numbers tell how far the work has come.
IN_ORDER = (("x", "y"),)


def _still_to_cut(old: Plan, new: Plan, done: tuple[Stop, ...]) -> set[int]:
    """Return the numbers of the new cuts that a row of old ones does not make needless: each ramp or flank by itself."""
    if rows_beside(old) != rows_beside(new):
        return _by_grooves(old, new, done)
    found: set[int] = set()
    slack, deepens = _slack(old, new), new.axes[1] == "depth"
    for start in {stop.start for stop in new.stops}:
        whole = [stop for stop in old.stops if stop.start == start]
        cut = [stop for stop in done if stop.start == start]
        own = [stop for stop in new.stops if stop.start == start]
        if not cut:
            found |= {stop.n for stop in own}
            continue
        if len(cut) == len(whole):
            continue
        way = 1 if own[-1].first >= own[0].first else -1
        reached = max(way * float(old.first.value(stop.first)) for stop in cut) - slack
        deep = max(stop.second for stop in cut)
        needed = [
            k
            for k, stop in enumerate(own)
            if way * float(new.first.value(stop.first)) > reached or (deepens and stop.second > deep)
        ]
        before = {max(0, needed[0] - 1)} if needed else {len(own) - 1}
        found |= {own[k].n for k in {*needed, *before}}
    return found


def rows_beside(plan: Plan) -> int:
    """Return in how many rows of cuts side by side each groove is made; 1 for other shapes."""
    return getattr(plan.details, "beside", 1)


def _by_grooves(old: Plan, new: Plan, done: tuple[Stop, ...]) -> set[int]:
    """Return the new cuts of every groove that is not done, where their rows lie elsewhere in it than the old ones."""
    made, whole = ([(stop.start - 1) // rows_beside(old) for stop in stops] for stops in (done, old.stops))
    ready = {groove for groove in made if made.count(groove) == whole.count(groove)}
    return {stop.n for stop in new.stops if (stop.start - 1) // rows_beside(new) not in ready}


def _slack(old: Plan, new: Plan) -> float:
    """Return how far beside its place a new cut may take what an old one took at its own, in the first coordinate."""
    by = abs(float(old.cutter.radius - new.cutter.radius))
    if not new.first.angular:
        return (
            2 * by if new.cutter.kind == "round" else 0.0
        )  # its place is its leading point, and it touches on either side
    nearest = min(float(new.second.value(stop.second)) for stop in new.stops) if new.axes[1] == "radius" else (
        min(new.target.get("inside_diameter", math.inf), new.target.get("circle", math.inf)) / 2
    )  # fmt: skip
    return math.degrees(2 * by / nearest)


def _with_sweeps(plan: Plan, numbers: set[int]) -> tuple[Stop, ...]:
    """Return cuts by their numbers, in order, each sweep with the cut it begins at."""
    begins = {a for a, b in getattr(plan.details, "sweeps", ()) if b in numbers}
    return tuple(stop for stop in plan.stops if stop.n in numbers | begins)
