"""What the plan comes to: CUT IT, LOOK AGAIN with the reasons, or DO NOT CUT.

Each rule is a code and its numbers; ``cards.verdict_text`` words them.  Reasons come worst first: what spoils the part, what
makes it fail at its work, what may be a slip of the pen, what the cutter will not like, what the file will find.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from msgspec import Struct, field
from msgspec.structs import replace

from stepcut.machine import Scale
from stepcut.plan import Plan
from stepcut.shop.blueing import Use
from stepcut.shop.chances import ALLOWED, Errors, chance, more_leave
from stepcut.shop.lock import FRICTIONS, friction_angle, holds
from stepcut.shop.odd import LONG, odd

Word = Literal["CUT IT", "LOOK AGAIN", "DO NOT CUT"]

OILY, DRY = FRICTIONS[0], FRICTIONS[-1]
STEEP = 8.0  # degrees; clamp ramps are gentler, powered wedges 15 to 35; common practice, no source
DEEP = 1.0  # diameters of the cutter in one pass; common practice, no source
HAIR = 0.002 * 25.4  # mm; an end mill rubs below about this, the thickness of a hair; common practice, no source
MUCH = 0.010 * 25.4  # mm; more than that a file is seldom left with all over; common practice, no source
# Codes of the solver's remarks that ask for another look, and where they stand among the reasons.
REMARKED = ("scallop-exceeded", "flats-in-hollow", "rubs")
ORDER = (
    "spoils", "slips", "dog-holds", "compound-short", "travel-short", "slope-far", "rise-far", "work-far", "wider-than-work", "cutter-wide",
    "cutter-thin", "nose-far", "radius-far", "seat-flat", "neck-thin", "slender", "blank-far", "travel-far", "turns-far", "land-thin", "deep-bite", "deep-groove",
    "pass-deep", "rubs", "may-cut-below", "leave-small", "leave-far", "ridge-far", "scallop-exceeded", "flats-in-hollow", "many-cuts", "look",
)  # fmt: skip


class Reason(Struct, frozen=True):
    """One reason: a code, and the numbers of its sentence in mm and degrees."""

    code: str
    facts: Mapping[str, Any] = field(default_factory=dict)


class Verdict(Struct, frozen=True):
    """The word and its reasons, worst first; none with CUT IT."""

    word: Word
    reasons: tuple[Reason, ...] = ()


class Reach(NamedTuple):
    """The lowest and the highest place that a straight scale is wound to in a job; mm."""

    scale: Scale
    low: Fraction
    high: Fraction


def verdict(
    plan: Plan,
    use: Use | None = None,
    errors: Errors | None = None,
    goes: Callable[[], Iterable[Reach]] | None = None,
) -> Verdict:
    """Return what a plan comes to.

    Parameters
    ----------
    plan : Plan
        Solved.
    use : str or None
        clamp (must hold), dog (must not hold) or lift (either); None is judged as a clamp where it is a plain ramp.
    errors : Errors or None
        What a cut may be off; from the machine when None.
    goes : callable or None
        Finds how far the hands wind each slide, which the plan alone does not know; nothing is said of it when None.
    """
    spoiling = [Reason("spoils", {"remark": remark}) for remark in plan.remarks if remark.spoils]
    if spoiling:
        return Verdict("DO NOT CUT", tuple(spoiling))
    reasons = [
        *_use(plan, use),
        *_sizes(plan, use),
        *_travel(goes() if goes else ()),
        *(Reason(code, facts) for code, facts in odd(plan)),
        *_bite(plan),
        *_leave(plan, errors),
        *_remarks(plan),
    ]
    reasons.sort(key=lambda reason: ORDER.index(reason.code))
    return Verdict("LOOK AGAIN" if reasons else "CUT IT", tuple(reasons))


def _angle(plan: Plan) -> float | None:
    """Return the ramp angle at the middle of the wall, by which a pair is judged; None where there is no ramp."""
    angles = plan.result.more.get("ramp_angle")
    return None if angles is None else float(angles["middle"])


def _use(plan: Plan, use: Use | None) -> Iterator[Reason]:
    """Whether it holds at the oily end, or lets go at the dry end, as its use wants."""
    angle = _angle(plan)
    if angle is None or use == "lift" or (use is None and plan.target.get("law", "uniform") != "uniform"):
        return
    radius = (plan.target["outside_diameter"] + plan.target["inside_diameter"]) / 4
    yield from held((OILY, holds(angle, OILY)), (DRY, holds(angle, DRY)), {"angle": angle, "radius": radius}, use)


def held(
    oily: tuple[float, bool], dry: tuple[float, bool], facts: Mapping[str, float], use: Use | None
) -> Iterator[Reason]:
    """Yield that a ramp slips, or a dog does not let go, by whether it holds at the oily and at the dry end of friction.

    ``facts`` are its angle and the radius at which a pair slides as one; the card, ``check`` and ``lock`` judge by it alike.
    """
    if use == "dog" and dry[1]:
        yield Reason("dog-holds", {**facts, "friction": dry[0], "limit": friction_angle(dry[0])})
    if use in (None, "clamp") and not oily[1]:
        yield Reason("slips", {**facts, "friction": oily[0], "limit": friction_angle(oily[0]), "said": use is not None})


def _sizes(plan: Plan, use: Use | None) -> Iterator[Reason]:
    """What is far from common practice: perhaps a decimal point has slipped."""
    angle = _angle(plan)
    if angle is not None and use in (None, "clamp"):
        rise, wall = plan.target["rise"], (plan.target["outside_diameter"] - plan.target["inside_diameter"]) / 2
        if angle > STEEP:
            yield Reason("slope-far", {"angle": angle, "rise": rise, "perhaps": rise / 10, "limit": STEEP})
        if rise > wall:
            yield Reason("rise-far", {"rise": rise, "wall": wall, "perhaps": rise / 10})
    compound = plan.machine.compound
    if plan.approach == "compound" and compound is not None:
        import math

        ahead = float(compound.scale.clear(plan.machine.unit))  # a pass begins in front of the face
        travel = plan.target["length"] / math.cos(math.radians(plan.target["per_side"])) + ahead
        if travel > float(compound.travel):
            yield Reason("compound-short", {"travel": travel, "has": float(compound.travel)})


def _travel(goes: Iterable[Reach]) -> Iterator[Reason]:
    """Whether a straight scale can go as far as the hands wind it, where its file says how far it goes."""
    for scale, low, high in goes:
        needs = high - low
        if scale.travel is None:
            if float(needs) > LONG + 1e-9:
                yield Reason(
                    "travel-far",
                    {"scale": scale.name, "needs": float(needs), "perhaps": float(needs) / 10, "much": LONG},
                )
        elif needs > scale.travel:
            yield Reason("travel-short", {"scale": scale.name, "needs": float(needs), "has": float(scale.travel)})


def _bite(plan: Plan) -> Iterator[Reason]:
    """How deep the end of the cutter stands in full metal at its downhill edge."""
    whole = float(plan.target["depth"]) if plan.grooved else float(getattr(plan.details, "whole_depth", 0.0))
    if whole > DEEP * float(plan.cutter.diameter):
        yield Reason("deep-groove", {"depth": whole, "perhaps": whole / 10, "cutter": plan.cutter.diameter})
    if plan.cutter.diameter <= 0 or plan.approach not in getattr(plan.details, "in_metal", ()):
        return
    deepest = max((float(plan.second.value(stop.second)) for stop in plan.stops), default=0.0)
    if deepest > DEEP * float(plan.cutter.diameter):
        yield Reason("deep-bite", {"depth": deepest, "cutter": plan.cutter.diameter})


def _leave(plan: Plan, errors: Errors | None) -> Iterator[Reason]:
    """Whether the machine's errors cut below the wanted surface more often than in one part of a hundred."""
    if float(plan.leave) > MUCH + 1e-9:
        asked = any(
            remark.code == "leave-auto" for remark in plan.remarks
        )  # by the machine's errors, not by a slip of the pen
        yield Reason(
            "leave-far", {"leave": plan.leave, "perhaps": float(plan.leave) / 10, "much": MUCH, "asked": asked}
        )
    told = below(plan, errors)
    if told is not None and told["chance"] > ALLOWED:
        yield Reason("may-cut-below", told)
    elif told is None:
        yield from (Reason(r.code, r.facts) for r in plan.remarks if r.code == "leave-small")


def below(plan: Plan, errors: Errors | None = None) -> dict[str, float] | None:
    """Return the chance that any place is cut below the wanted surface, the leave there is, and the leave for 1 in 100.

    None where the shape does not tell how clear its cuts are.
    """
    tell = getattr(plan.details, "clearances", None)
    told = tell(plan) if tell is not None else None
    if told is None:
        return None
    cuts = told * plan.copies
    if errors is None or plan.grooved:  # readings of a groove's second scale say nothing of its depth
        errors = Errors(float(plan.second.error), float(plan.first.error))
    # Cuts that stand on the stock line itself: with another leave the scale rounds otherwise, and may leave no more than it.
    bare = [replace(cut, above=0.0) for cut in cuts]
    return {
        "chance": chance(cuts, errors),
        "leave": float(plan.leave),
        "enough": max(0.0, more_leave(bare, errors)) / getattr(plan.details, "leave_counts", 1.0),
        "readings": float(errors.spread is not None),
    }


def _remarks(plan: Plan) -> Iterator[Reason]:
    """What the solver remarked; metal in a hollow only where more of it stands than the file takes off everywhere."""
    for remark in plan.remarks:
        little = remark.code == "flats-in-hollow" and remark.facts["stands"] <= float(plan.leave)
        if remark.code in REMARKED and not little:
            yield Reason(remark.code, remark.facts)
        elif remark.look:
            yield Reason("look", {"remark": remark})


class Swing(Struct, frozen=True):
    """A clamp in use: handle degrees for a gap, and the share of the face still in touch after turning that far."""

    gap: float  # mm
    turned: float  # degrees
    contact: float  # share
    most: float  # degrees to turn at all, before the ends meet


def swing(plan: Plan, gap: float) -> Swing | None:
    """Return how far the handle of a clamp turns for a gap; None for another shape or a curved motion.

    Notes
    -----
    Equal helical ramps slide on each other; turned by D degrees each still bears on its span less D (common practice, no
    source).
    """
    if _angle(plan) is None or plan.target.get("law", "uniform") != "uniform":
        return None
    span = float(plan.target["span"])
    turned = gap / float(plan.target["rise"]) * span
    return Swing(gap, turned, max(0.0, (span - turned) / span), span)
