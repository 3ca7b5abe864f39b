"""When something went wrong: a cut too deep, or a new cutter in the middle of a job."""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from stepcut.plan import Plan, Refused, Stop
from stepcut.shapes import brought


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
        Whether it stands past the low end of its ramp, in the run-out.
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
        return self.below <= 1e-9 or self.past_end


def too_deep(plan: Plan, n: int, found: Fraction) -> TooDeep:
    """Return what is to do about a cut whose depth was measured; on the radius for turned shapes and cams, in a groove of a helix or a scroll.

    Raises
    ------
    Refused
        For a shape whose wanted surface is not one line that cuts follow.

    Notes
    -----
    Some shapes know the wanted surface over the cut (``too_deep`` in their ``mishap``); of the others it is taken to lie the leave below the cut's own place,
    which is never less than what stands there.
    """
    if plan.grooved:
        return _groove(plan, n, found)
    stop = plan.stops[n - 1]
    over = float(found - plan.second.value(stop.second))
    if plan.axes[1] in ("x", "radius"):
        inward = _inward(plan)
        over *= inward
        rest = getattr(plan.details, "rest_of", None)  # a rough cut stands on what the finish takes off
        below = over - float(plan.leave) - (float(rest(plan, stop)) if rest is not None else 0.0)
        lower = plan.second.up(below) * plan.second.division if below > 1e-9 else Fraction(0)
        return TooDeep(over, below, lower)
    tell = getattr(brought(plan.shape, "mishap"), "too_deep", None)
    if tell is None:
        raise Refused("cut", "only-ramps", shape=plan.shape)
    damage: TooDeep = tell(plan, stop, found, over)
    return damage


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
    """Return the width of a groove's cut at the cylinder, square to the way of the cutter, mm: the chord of a round end, the cone of a pointed one.

    The cylinder's own curve under the cutter is left out; it takes less than a tenth of the chord where the cutter is less than
    half as wide as the cylinder.
    """
    return 2 * plan.cutter.outline.half_width(float(depth))


def _inward(plan: Plan) -> int:
    """Return -1 where a cut too deep reads less (an outside turned, a cam), 1 where it reads more (a bore)."""
    return 1 if plan.target.get("side") == "bore" else -1


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
    """

    stops: tuple[Stop, ...]
    changed: tuple[int, ...]
    deeper: tuple[int, ...]


def go_on(old: Plan, new: Plan, begin: int, alike: bool = True) -> GoOn:
    """Return what is still to cut with a new plan when the stops before `begin` of the old one are cut.

    ``alike`` tells whether both were spaced by one program: only then a cut of the one stands for that of the same number in the other.
    """
    done = old.stops[: begin - 1]
    if not done:
        return GoOn(new.stops, (), ())
    if alike and len(new.stops) == len(old.stops):
        rest = new.stops[begin - 1 :]
        pairs = list(zip(done, new.stops, strict=False))
        changed = tuple(a.n for a, b in pairs if (a.first, a.second) != (b.first, b.second))
        deeper = tuple(a.n for a, b in pairs if b.second > a.second or (b.second == a.second and b.first < a.first))
        return GoOn(rest, changed, deeper)
    reached: dict[int, int] = {}
    depth: dict[
        int, int
    ] = {}  # another form of cutter may have to go deeper than what is cut, short of where that stands
    for stop in done:
        reached[stop.start] = max(stop.first, reached.get(stop.start, stop.first))
        depth[stop.start] = max(stop.second, depth.get(stop.start, stop.second))
    deepens = new.axes[1] == "depth"
    rest = tuple(
        s
        for s in new.stops
        if s.start not in reached or s.first > reached[s.start] or (deepens and s.second > depth[s.start])
    )
    return GoOn(rest, tuple(s.n for s in done), ())
