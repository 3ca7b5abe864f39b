"""When something went wrong: a stop cut too deep, or a new cutter in the middle of a ramp."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from stepcut.plan import Plan, Refused, Stop


@dataclass(frozen=True)
class TooDeep:
    """What a stop that was cut too deep does; mm and degrees.

    Parameters
    ----------
    over : float
        Below the plan's own position.
    below : float
        Below the wanted surface; not above 0 when the leave covers it.
    lower : Fraction
        How much the whole ramp must be lowered to clean up, in whole divisions of the depth scale.
    turn : float
        How many degrees further the handle turns for the same clamping when both parts are lowered so.
    """

    over: float
    below: float
    lower: Fraction
    turn: float

    @property
    def covered(self) -> bool:
        """Whether the leave covers it."""
        return self.below <= 1e-9


def too_deep(plan: Plan, n: int, found: Fraction) -> TooDeep:
    """Return what is to do about a stop whose depth was measured.

    Raises
    ------
    Refused
        When the plan is no ramp.
    """
    if plan.shape != "ramp":
        raise Refused("stop", "only-ramps", shape=plan.shape)
    stop, task = plan.stops[n - 1], plan.details.bench.task
    at = plan.details.places[_index(plan, stop)].at
    allowed = task.touch(at).depth  # the wanted surface itself, less what the outline gives away
    below = float(found) - allowed
    lower = plan.second.up(below) * plan.second.division if below > 1e-9 else Fraction(0)
    slope = plan.details.ramp.wanted.steepest
    return TooDeep(
        float(found - plan.second.value(stop.second)), below, lower, 2 * float(lower) / slope if slope else 0.0
    )


def _index(plan: Plan, stop: Stop) -> int:
    """Return which place of one ramp a stop is, whichever ramp and order it belongs to."""
    own = [other for other in plan.stops if other.start == stop.start]
    return own.index(stop)


@dataclass(frozen=True)
class GoOn:
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


def go_on(old: Plan, new: Plan, begin: int) -> GoOn:
    """Return what is still to cut with a new plan when the stops before `begin` of the old one are cut."""
    done = old.stops[: begin - 1]
    if not done:
        return GoOn(new.stops, (), ())
    if len(new.stops) == len(old.stops):
        rest = new.stops[begin - 1 :]
        pairs = list(zip(done, new.stops, strict=False))
        changed = tuple(a.n for a, b in pairs if (a.first, a.second) != (b.first, b.second))
        deeper = tuple(a.n for a, b in pairs if b.second > a.second or (b.second == a.second and b.first < a.first))
        return GoOn(rest, changed, deeper)
    last = done[-1]
    passed = [s for s in new.stops if (s.start, s.first) <= (last.start, last.first)]
    return GoOn(new.stops[len(passed) :], tuple(s.n for s in done), ())
