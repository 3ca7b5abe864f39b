"""What a shop hand finds odd in a plan's sizes, and asks about before the first cut: perhaps a decimal point has slipped.

Every bound here is common practice, without a source: what a shop of one person with a manual mill and lathe usually has and does.
A plan beyond one is not wrong; it is worth another look.  Lengths are mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from stepcut.plan import Plan

INCH = 25.4
TURNED_RIDGE = 0.010 * INCH  # a lathe takes finer steps at no cost, so no more than that is left between them
RIDGE = 0.030 * INCH  # on a table each cut is a crank turn, a lock and a depth; a file takes this off in an hour or two
WIDEST = 2.0 * INCH  # an end mill in a light quill; a wider one chatters
THINNEST = 1.0  # a thinner one breaks under a hand feed
NOSE = 0.250 * INCH  # a round tool of more than that chatters in a light lathe
RING = 12.0 * INCH  # a part on a rotary table
TURNED = 8.0 * INCH  # a part over the cross-slide of a small lathe
LONG = 20.0 * INCH  # of a scale whose travel is not known
SLENDER, BORED = 20.0, 6.0  # lengths in diameters: a shaft between centres, and a bore by a bar as thick as goes in
TURNS = 2.0  # of a helix by steps; more is cut with change gears, or as a thread on a lathe
MANY = 300  # cuts, at a minute each five hours
LAND = 0.5  # of a groove's width, that stands between it and the next
BLANK = 2.5  # times the largest diameter
PASS = 0.125 * INCH  # one roughing pass on the radius
NECK = 1 / 3  # of the diameter beside it
SEAT = 4.0  # times the radius of a seat's mouth: flatter than 15 degrees it does not centre its ball
SAID = ("flats-in-hollow", "scallop-exceeded")  # remarks of a plan that tell of a ridge
SURE = 1e-9  # a size that is exactly the bound is within it

Odd = tuple[str, dict[str, Any]]


def odd(plan: Plan) -> Iterator[Odd]:
    """Yield code and numbers of everything odd about a plan's sizes."""
    yield from _work(plan)
    yield from _cutter(plan)
    if plan.grooved:
        yield from _groove(plan)
    yield from _cuts(plan)
    if plan.axes == ("z", "x"):
        yield from _turned(plan)


def _slip(name: str, size: float, **facts: Any) -> dict[str, Any]:
    """Return the numbers of a question whether a size is not rather a tenth of it."""
    return {name: size, "perhaps": size / 10, **facts}


def largest(plan: Plan) -> float:
    """Return the largest diameter of the work, mm; 0 where a plan has none."""
    wanted: Mapping[str, Any] = plan.target
    sizes = [float(wanted.get(key) or 0) for key in ("outside_diameter", "diameter", "large_diameter")]
    if plan.axes[1] == "radius" or (plan.axes == ("z", "x") and not any(sizes)):
        sizes += [2 * float(plan.second.value(stop.second)) for stop in plan.stops]
    return max(sizes)


def _work(plan: Plan) -> Iterator[Odd]:
    """Whether the work is larger round than such a machine usually takes; a slide whose travel is known is judged by that."""
    round_, turned = largest(plan), plan.axes == ("z", "x")
    bound = TURNED if turned else RING
    blank = getattr(plan.details, "blank", None) or plan.target.get("blank") or plan.target.get("blank_diameter")
    if blank is not None and not getattr(plan.details, "in_bore", False) and float(blank) > BLANK * round_ + SURE:
        yield "blank-far", _slip("blank", float(blank), work=round_)
    if round_ > bound + SURE and not (turned and plan.second.travel is not None):
        yield "work-far", _slip("work", round_, much=bound, turned=turned)


def _cutter(plan: Plan) -> Iterator[Odd]:
    """Whether the cutter is wider than the work is round, or than a quill drives; or a tool's nose too large."""
    wide = float(plan.cutter.diameter)
    if plan.axes == ("z", "x"):
        if plan.cutter.kind == "round" and float(plan.cutter.corner) > NOSE + SURE:
            yield "nose-far", _slip("nose", float(plan.cutter.corner), much=NOSE)
        return
    if wide <= 0:
        return
    of = float(plan.target.get("width") or 0)
    round_ = (largest(plan) if plan.grooved or plan.axes[1] == "radius" else 0.0) or math.inf
    if max(wide, of) > round_ + SURE:
        yield "wider-than-work", _slip("wide", max(wide, of), work=round_, what="cut" if of > wide else "cutter")
    elif wide > WIDEST + SURE:
        yield "cutter-wide", _slip("cutter", wide, much=WIDEST)
    elif wide < THINNEST - SURE:
        yield "cutter-thin", {"cutter": wide, "perhaps": wide * 10, "least": THINNEST}


def _groove(plan: Plan) -> Iterator[Odd]:
    """Whether a groove goes round and round, or nearly meets itself."""
    wanted = plan.target
    if "lead" not in wanted:
        return
    lead, length = float(wanted["lead"]), float(wanted["length"])
    if length > TURNS * lead + SURE:
        facts = {"turns": length / lead, "lead": lead, "longer": 10 * lead, "shorter": length / 10, "most": TURNS}
        yield "turns-far", _slip("length", length, **facts)
    # As far as a whole turn is from the next, square to the way, though this groove may be less than one.
    width = float(getattr(plan.details, "width", 0.0))
    land = lead / float(wanted["starts"]) * math.sin(math.radians(float(wanted["helix_angle"]))) - width
    if land < LAND * width - SURE and not wanted.get("cross"):
        yield "land-thin", {"land": land, "width": width, "lead": lead, "longer": 10 * lead}


def upright(plan: Plan) -> bool:
    """Whether the line that is wanted rises or falls at one place: two targets at one angle, a step of a cam."""
    listed = [*(plan.target.get("targets") or ())]
    return any(a[0] == b[0] for a, b in pairwise(listed)) or any(
        segment[0] == "step" for segment in plan.target.get("segments", ())
    )


def _cuts(plan: Plan) -> Iterator[Odd]:
    """Whether there are more cuts than hands like, or ridges higher than a file; an upright face is no ridge."""
    if plan.approach == "lines" or "make" in plan.target:  # as many as were asked for, and none is filed
        return
    if len(plan.stops) > MANY and plan.axes != ("z", "x"):
        yield "many-cuts", {"cuts": len(plan.stops), "hours": len(plan.stops) / 60, "most": MANY}
    ridge, much = float(plan.result.scallop), TURNED_RIDGE if plan.axes == ("z", "x") else RIDGE
    # What asks for another look already is not said twice: a hollow that flats do not reach, a ridge beyond the one asked for.
    said = max(
        (float(remark.facts.get("stands", math.inf)) for remark in plan.remarks if remark.code in SAID), default=0.0
    )
    if plan.contact is not None and ridge > much + SURE and ridge > 2 * said and not upright(plan):
        yield "ridge-far", _slip("ridge", ridge, much=much)


def _turned(plan: Plan) -> Iterator[Odd]:
    """Whether a turned part is slender, a fillet larger than its shaft, a neck thin, or metal taken off in too large bites."""
    wanted, details = plan.target, plan.details
    shaft, bored = float(wanted.get("diameter") or 0), getattr(details, "in_bore", False)
    mouth = float(wanted.get("hole") or 0) and shaft / 2
    if mouth and float(wanted["radius"]) > SEAT * mouth + SURE:
        yield "seat-flat", _slip("radius", float(wanted["radius"]), mouth=2 * mouth, times=SEAT)
    form, small = wanted.get("form"), float(wanted.get("small") or 0)
    if form == "fillet" and not bored and float(wanted["radius"]) > shaft / 2 + SURE:
        yield "radius-far", _slip("radius", float(wanted["radius"]), shaft=shaft / 2)
    if 0 < small < NECK * shaft - SURE:
        yield "neck-thin", {"small": small, "shaft": shaft, "perhaps": small * 10, "share": NECK}
    ends = [float(wanted.get(key) or 0) for key in ("large_diameter", "small_diameter")]
    middle = sum(ends) / 2 or shaft
    length, bound = float(wanted.get("length") or 0), BORED if bored else SLENDER
    if middle and length > bound * middle + SURE:
        yield "slender", _slip("length", length, middle=middle, times=length / middle, much=bound, bored=bored)
    deepest = getattr(details, "pass_depth", None)
    if deepest is not None and float(deepest) > PASS + SURE:
        yield "pass-deep", _slip("depth", float(deepest), much=PASS)
