"""What the routine must know of a plan besides its stops: the one place that reads it."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from stepcut.plan import Plan


def sweeps(plan: Plan) -> dict[int, int]:
    """Return, by the number of the stop where a sweep begins, the number of the stop where it ends."""
    return dict(getattr(plan.details, "sweeps", ()))


def roughing(plan: Plan, n: int) -> tuple[int, ...]:
    """Return the divisions of the cross-slide to pass at before a stop of a turned shape; none of any other shape."""
    passes: tuple[int, ...] = plan.details.roughing.get(n, ()) if plan.axes == ("z", "x") and not plan.coned else ()
    return passes


def toward_face(plan: Plan, start: int) -> bool:
    """Whether the cuts of a flank follow each other toward the face, so that a pass runs from the face up to its z."""
    return bool(plan.details.cuts[start - 1].flank.toward_face)


def plunged(plan: Plan, start: int) -> bool:
    """Whether the tool goes straight in at every place of a flank: a pass along it would cut a crest away."""
    return bool(plan.details.cuts[start - 1].flank.plunged)


def ways(plan: Plan) -> tuple[str, ...]:
    """Return how the cuts of each flank go: straight-in, to-headstock or to-face."""
    found: tuple[str, ...] = plan.details.flanks
    return found


def in_bore(plan: Plan, start: int) -> bool:
    """Whether a flank is cut inside a bore."""
    return bool(plan.details.cuts[start - 1].flank.side == "bore")


def blank_radius(plan: Plan) -> Fraction:
    """Return a radius that clears the blank of a cam, mm."""
    clear: Fraction = plan.details.bench.clear
    return clear


def outermost(plan: Plan) -> Fraction:
    """Return the radius, mm, from which all flanks are cut: outside the blank, or inside the bore."""
    radii = [each.flank.radius_high for each in plan.details.cuts]
    radii += [plan.second.value(x) for stop in plan.stops for x in (*roughing(plan, stop.n), stop.second)]
    found: Fraction = min(radii) if in_bore(plan, 1) else max(radii)
    return found


def turned_over(plan: Plan) -> Fraction | None:
    """Return the diameter, mm, whose rim passes the cutter or is the cutter's own; None where no input tells it."""
    if plan.coned:
        return 2 * max(Fraction(plan.details.metal), Fraction(plan.details.taper.large) / 2)
    if plan.axes != ("z", "x"):
        return plan.cutter.diameter or None
    if plan.approach != "lathe":
        return None
    return 2 * (max(plan.second.value(stop.second) for stop in plan.stops) if in_bore(plan, 1) else outermost(plan))


def deeper(plan: Plan) -> dict[int, Fraction]:
    """Return how deep a cut goes on that makes a pit, mm, by the number of its stop; none of most shapes."""
    found: dict[int, Fraction] = getattr(plan.details, "deeper", {})
    return found


def ring(plan: Plan) -> tuple[Fraction, Fraction]:
    """Return the radii of a ramp's ring, outside and bore, mm."""
    shape = plan.details.ramp
    return shape.outside_diameter / 2, shape.inside_diameter / 2


def offset(plan: Plan) -> Fraction:
    """Return how far a ramp's cutter axis stands downhill of the centre line, mm."""
    return Fraction(plan.details.offset)


def by_depth(plan: Plan) -> bool:
    """Whether the cuts go round by round: each depth on every ramp."""
    starts = [stop.start for stop in plan.stops]
    return any(after < before for before, after in pairwise(starts))
