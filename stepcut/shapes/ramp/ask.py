"""What may be asked of a face ramp."""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal

from msgspec.structs import replace

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Cutter, Machine
from stepcut.phrases import Per
from stepcut.plan import Plan, Remark

if TYPE_CHECKING:
    from stepcut.shapes.ramp.wanted import Ramp

TURNINGS = ("clockwise", "anticlockwise")

CUTTER = Field("cutter", "cutter", "The cutter: 1/2in, 1/2in ball, 12mm bull 1mm (diameter, corner radius).", needed=True, group="cutter")  # fmt: skip
LEAVE = Field(
    "leave",
    "length",
    "Stock to leave everywhere for the file; auto takes it from the machine's errors.",
    default="auto",
    rule="not-negative",
    words={"auto": "auto"},
    remedy="Give what is to stay for the file, such as 2thou or 0.05mm, or auto.",
    group="cutter",
)
EXAMPLES = (
    "ramp --outside 1-3/4in --bore 1.40in --per '5thou/10deg' --span 140deg --ramps 2 --cutter 3/8in --leave auto",
    "ramp --outside 40mm --bore 30mm --targets '0deg 0, 60deg 1mm, 90deg 1.2mm' --mirror --cutter 8mm --step 4deg",
)
FIELDS = (
    Field("outside", "length", "Outside diameter of the ring.", needed=True),
    Field("bore", "length", "Bore diameter of the ring.", needed=True),
    Field(
        "rise", "length", "How much lower the low end lies than the high end.", remedy="Give the hand with rises."
    ),
    Field("span", "angle", "Degrees of one ramp; the largest that fits when left out."),
    Field("per", "per", "So much depth for so many degrees: 5thou/10deg, or '5 thou per 10 deg'; gives rise or span, and the step.", example="5thou/10deg"),
    Field("ramps", "count", "Number of ramps round the ring.", default="1", most=60),
    Field("start-depth", "length", "Depth of the high end below the face.", rule="not-negative"),
    Field("motion", "choice", "How the depth grows along the angle; uniform when left out.", choices=tuple(MOTIONS)),
    Field("dwell-high", "angle", "Stretch of no rise at the high end.", default="0deg", rule="not-negative"),
    Field("dwell-low", "angle", "Stretch of no rise at the low end.", default="0deg", rule="not-negative"),
    Field("targets", "targets", "Pairs of angle and depth instead of rise: '0deg 0, 90deg 0.045in', or a file with one pair a line; they may rise again, and two at one angle are a riser.", risers=True),
    Field("flats", "lengths", "Depths of equal flats instead of rise: '0, 2mm, 4mm', with a riser between; span is all of them together.", rule="not-negative", later=True),
    Field("mirror", "flag", "Targets or flats come back again, mirrored at their last angle.", default="false", later=True),
    Field("rises", "choice", "The way the ramp rises, seen facing it.", choices=TURNINGS),
    Field("tightens", "choice", "The way the handle turns to tighten, seen at the handle; sets the hand.", choices=TURNINGS),
    Field("for", "choice", "What it is for: a clamp must hold, a dog must let go, a lift may do either.", choices=("clamp", "dog", "lift")),
    Field("seat-high", "length", "Diameter of a pin that rests in a hollow at the high end, cut last.", later=True),
    Field("seat-low", "length", "Diameter of a pin that rests in a hollow at the low end, cut last.", later=True),
    Field("seat-depth", "length", "How deep a pin's hollow goes below the end of the ramp.", later=True),
    Field("angle-cutter", "angle", "Angle of a single-angle cutter that finishes upright faces last, where an end mill does not reach their foot.", later=True),
    Field("tilt-head", "flag", "Upright faces are finished last by the end mill with the head tilted, so that its end lies along the slope.", default="false", later=True),
    CUTTER,
    Field("cut-with", "choice", "End of the cutter fed across the wall, plunged, or its side (table on edge).", default="end", choices=("end", "plunge", "side"), group="cutter"),
    Field("on-centre", "choice", "What of the cutter stands on the table's centre line: its edge or its axis.", choices=("edge", "axis"), group="cutter"),
    LEAVE,
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("drop", "length", "Depth from cut to cut.", group="steps"),
    Field("cuts", "count", "Number of cuts of one ramp.", most=12_000, remedy="Choose a number in that range; larger steps make fewer cuts.", group="steps"),
    Field("scallop", "length", "Largest ridge to leave: the fewest cuts that keep to it.", group="steps"),
    Field("regroup", "flag", "Cuts so thin that the cutter would rub are put together to larger steps.", default="false", later=True, group="steps"),
    Field("order", "choice", "Cut ramp by ramp, or every ramp at each depth.", default="by-ramp", choices=("by-ramp", "by-depth"), group="steps"),
)  # fmt: skip
SIZES = ("outside", "bore", "rise")  # they tell one part from another
TOGETHER = (("outside", "bore"), ("outside", "cutter"))  # usually change together; common practice, no source
WALLS = (("outside", "bore"),)  # between these stands a wall
SPACING = ("step", "drop", "cuts", "scallop")


def read_leave(values: Values) -> Fraction | None:
    """Return the leave; None where it is taken from the machine's errors."""
    leave: Fraction | Literal["auto"] = values["leave"]
    return None if leave == "auto" else leave


def read_cutter(values: Values, pointed: bool = False) -> Cutter:
    """Return the cutter that is asked for.

    Raises
    ------
    BadValue
        When it is a pointed one, and the shape does not say that it may be.
    """
    cutter: Cutter = values["cutter"]
    if cutter.kind == "vee" and not pointed:
        rule = "is pointed, which cuts grooves only"
        raise BadValue("cutter", values.said("cutter"), rule, "Take a flat or a ball end; a helix takes a vee.")
    return cutter


def _hand(values: Values) -> str:
    """Return the way the ramp rises; what tightens clockwise at the handle rises clockwise on its own face.

    Mates face to face are the same part, so one answer serves both (common practice, no source).
    """
    rises, tightens = values["rises"], values["tightens"]
    if rises and tightens and rises != tightens:
        raise BadValue(
            "tightens",
            tightens,
            f"does not agree with rises = {rises}",
            f"What tightens {tightens} rises {tightens} too; give one of the two.",
        )
    return str(rises or tightens or "clockwise")


def _per(values: Values) -> Per | None:
    """Return so much depth for so many degrees where that says what the ramp is: per, or step beside drop."""
    if values["per"] is not None:
        return values["per"]  # type: ignore[no-any-return]  # its field reads a Per
    alone = (values["rise"] is None or values["span"] is None) and values["targets"] is None and values["flats"] is None
    if values["step"] is not None and values["drop"] is not None and alone:
        return Per(values["drop"], values["step"])
    return None


def _fall(values: Values) -> tuple[Fraction, Fraction]:
    """Return rise and span (0 for the largest that fits) of a ramp without targets.

    Raises
    ------
    BadValue
        When neither is known, or both and the slope do not agree.
    """
    rise, span, per = values["rise"], values["span"], _per(values)
    dwell = values["dwell-high"] + values["dwell-low"]
    if per is None:
        if rise is None:
            example = "0.090in" if values.unit == "in" else "2.2mm"
            raise BadValue("rise", None, "is missing", f"Give rise, such as {example}, or per with span, or targets.")
        return rise, span or Fraction(0)
    key = "per" if values["per"] is not None else "drop"
    if values["motion"] not in (None, "uniform"):
        rule = f"does not go with motion = {values['motion']}"
        raise BadValue(key, values.said(key), rule, "A curved motion has no one slope: give rise and span.")
    if rise is None and span is None:  # the largest span that fits, and what it then falls
        return per.slope * Fraction(360, values["ramps"]), Fraction(0)
    if rise is None:
        if span <= dwell:
            raise BadValue("span", values.said("span"), "is all dwell", "Lengthen it, or shorten the dwells.")
        return per.slope * (span - dwell), span
    made = rise / per.slope + dwell
    if span is not None and span != made:
        rule = f"does not agree with span = {values.said('span')}: a rise of {values.said('rise')} then takes {float(made):g} deg"
        raise BadValue(key, values.said(key), rule, "Leave one of the three out.")
    return rise, made


def _rows(values: Values) -> tuple[tuple[Fraction, Fraction], ...] | None:
    """Return the targets, or those that flats make, mirrored where that is asked; None where there are none."""
    rows, flats = values["targets"], values["flats"]
    if rows is not None and flats is not None:
        raise BadValue("flats", values.said("flats"), "do not go with targets", "Leave one of them out.")
    if flats is not None:
        sector = Fraction(360, values["ramps"])
        share = 2 if values["mirror"] else 1
        width = (values["span"] or sector) / share / len(flats)
        rows = tuple((width * (k + side), depth) for k, depth in enumerate(flats) for side in (0, 1))
    if not values["mirror"]:
        return rows  # type: ignore[no-any-return]  # its field reads pairs
    if rows is None:
        raise BadValue("mirror", "true", "goes with targets or flats", "Give one of them, or leave mirror out.")
    last = rows[-1][0]
    return (*rows, *((2 * last - at, depth) for at, depth in reversed(rows[:-1])))


def _shape(values: Values) -> dict[str, Any]:
    """Return rise, span, start depth and motion, from a motion or from targets, checked for agreement."""
    targets = _rows(values)
    if targets is None:
        rise, span = _fall(values)
        start, motion = values["start-depth"] or Fraction(0), values["motion"] or "uniform"
        per = _per(values)
        slope = per.slope if per is not None and not span else Fraction(0)
        return {"rise": rise, "span": span, "slope": slope, "start_depth": start, "law": motion}
    key = "targets" if values["flats"] is None else "flats"
    if targets[0][0] != 0:
        given = f"{float(targets[0][0]):g} deg"
        raise BadValue("targets", given, "must begin at 0 degrees", "Count the angles from the high end.")
    depths = [depth for _, depth in targets]
    if min(depths) < 0:
        rule = "must not be negative"
        raise BadValue(key, values.size(min(depths)), rule, "Depths count down from the face.")
    if max(depths) == min(depths):
        raise BadValue(key, values.size(depths[0]), "is the same depth everywhere", "Give a list that falls.")
    _agrees(values, {"rise": max(depths) - min(depths), "span": targets[-1][0], "start-depth": depths[0]}, key)
    grows = all(a <= b for a, b in itertools.pairwise(depths))
    rise = depths[-1] - depths[0] if grows else max(depths) - min(depths)
    return {"rise": rise, "span": targets[-1][0], "start_depth": depths[0], "law": "targets", "targets": targets}


def _agrees(values: Values, found: dict[str, Fraction], key: str) -> None:
    """Refuse what does not go with targets or flats, and what does not agree with them."""
    for name, makes in found.items():
        if values[name] is not None and values[name] != makes:
            said = f"{float(makes):g} deg" if name == "span" else values.size(makes)
            rule = f"does not agree with {key}, which make {said}"
            raise BadValue(name, values.said(name), rule, "Leave one of them out.")
    for name in ("motion", "per"):
        if values[name] is not None:
            raise BadValue(name, values.said(name), f"does not go with {key}", "Leave one of them out.")
    if values["dwell-high"] or values["dwell-low"]:
        name = "dwell-high" if values["dwell-high"] else "dwell-low"
        raise BadValue(name, None, f"does not go with {key}", f"Write the dwell into the {key}.")


def _free(values: Values, ramp: Ramp) -> None:
    """Refuse what a line that rises or jumps cannot take: a fixed depth from cut to cut, and rounds of depth."""
    if values["drop"] is not None:
        raise BadValue("drop", values.said("drop"), "goes with ramps that only fall", "Give step or scallop instead.")
    if values["order"] == "by-depth":
        raise BadValue("order", "by-depth", "goes with ramps that only fall", "Leave it out.")


def _stepping(values: Values, shape: dict[str, Any]) -> tuple[Fraction | None, Fraction | None]:
    """Return step and drop: those that are given, or the step that per says when nothing else is said."""
    per = _per(values)
    if per is None or "targets" in shape:
        return values["step"], values["drop"]
    if values["per"] is None:
        return values["step"], None  # the drop has made rise or span, and follows from them
    if all(values[key] is None for key in SPACING) and (not shape["span"] or 2 * per.step <= shape["span"]):
        return per.step, None
    return values["step"], values["drop"]


def _gives(values: Values, span: Fraction, machine: Machine) -> tuple[Remark, ...]:
    """Return what had to give where so much for so many degrees does not fall on the marks of the scales."""
    per = _per(values)
    depth = machine.slide if values["cut-with"] == "side" else machine.depth
    if per is None or depth is None or machine.table is None:
        return ()
    rim = machine.table.rim
    moving = span - values["dwell-high"] - values["dwell-low"]
    uneven = {
        "drop": (per.drop / depth.division).denominator != 1,
        "step": (per.step / rim.division).denominator != 1,
        "last": (moving / per.step).denominator != 1 and moving > per.step,
    }
    if not any(uneven.values()):
        return ()
    last = moving % per.step
    facts = {
        "drop": per.drop, "step": per.step, "depth": depth.division, "rim": rim.division, "uneven": uneven, "last": last,
        "moving": moving,
    }  # fmt: skip
    return (Remark("per-gives", facts),)


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan for read values.

    Raises
    ------
    BadValue
        When values contradict each other.
    Refused
        When no plan can be made.
    """
    from stepcut.shapes.ramp.asked_last import faced, seated
    from stepcut.shapes.ramp.bench import Cutting, Stepping
    from stepcut.shapes.ramp.task import solve
    from stepcut.shapes.ramp.wanted import Ramp

    if values["bore"] >= values["outside"]:
        rule = f"must be smaller than outside = {values.said('outside')}"
        way = "Give both as diameters; check that they are not swapped."
        raise BadValue("bore", values.said("bore"), rule, way)
    with_, cutter = values["cut-with"], read_cutter(values)
    approach: Literal["across", "plunge", "side"] = "across" if with_ == "end" else with_
    shape = _shape(values)
    depths = [depth for _, depth in shape.get("targets", ())]
    falls = all(a <= b for a, b in itertools.pairwise(depths))  # a line that rises too is cut alike from both sides
    centre = values["on-centre"] or ("edge" if with_ == "end" and falls else "axis")
    if with_ == "side" and centre == "edge":
        way = "With the side of the cutter its axis stands on the centre line."
        raise BadValue("on-centre", "edge", "does not go with cut-with = side", way)
    if with_ == "side" and cutter.kind != "flat":
        way = "Only the side of the cutter cuts; give its diameter alone."
        raise BadValue("cutter", values.said("cutter"), "does not go with cut-with = side", way)
    ramp = Ramp(
        outside_diameter=values["outside"],
        inside_diameter=values["bore"],
        starts=values["ramps"],
        rises=_hand(values),  # type: ignore[arg-type]  # one of the two words, checked by its field
        lead_in=values["dwell-high"],
        lead_out=values["dwell-low"],
        **shape,
    )
    if ramp.free:
        _free(values, ramp)
    on_line: Literal["edge", "centre"] = "edge" if centre == "edge" else "centre"
    cutting = Cutting(approach, on_line, cutter, read_leave(values))
    step, drop = _stepping(values, shape)
    stepping = Stepping(step, drop, values["cuts"], values["scallop"], values["order"])
    plan = solve(
        ramp, cutting, stepping, machine, values["regroup"], (values["angle-cutter"], bool(values["tilt-head"]))
    )
    plan = replace(plan, remarks=(*plan.remarks, *_gives(values, plan.details.ramp.span, machine)))
    return seated(faced(plan, values), values)
