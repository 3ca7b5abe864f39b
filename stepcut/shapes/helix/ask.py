"""What may be asked of a helix."""

from __future__ import annotations

import math
from fractions import Fraction

from msgspec.structs import replace

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan
from stepcut.shapes.ramp.ask import CUTTER, read_cutter

EXAMPLES = (
    "helix --diameter 37mm --lead 120mm --length 60mm --depth 1.5mm --cutter '5mm ball' --step 4deg",
    "helix --diameter 1-3/8in --lead 6in --turns 1/2 --depth 60thou --cutter 3/16in --hand left",
)
FIELDS = (
    Field("diameter", "length", "Diameter of the cylinder.", needed=True),
    Field("lead", "length", "Advance of the groove in one turn.", remedy="Give the hand with hand."),
    Field("angle", "angle", "Helix angle from the axis, instead of the lead."),
    Field("length", "length", "Length of the groove along the axis."),
    Field("turns", "number", "Turns of the groove, instead of the length."),
    Field("depth", "length", "Depth of the groove.", needed=True, example="1/16in or 1.5mm"),
    CUTTER,
    Field("leave", "length", "Stock to leave for the file: on the floor, and on the walls where groove-width makes them; auto takes it from the machine's errors.",
        default="0", rule="not-negative", words={"auto": "auto"}, group="cutter", later=True),
    Field("starts", "count", "Number of equal grooves.", default="1", most=60),
    Field("groove-width", "length", "Width of a groove wider than its flat cutter, at the surface and square to its way: cut in sweeps side by side.", later=True),
    Field("cross", "flag", "As many grooves of the other hand too, crossing the first.", later=True),
    Field("pit-begin", "length", "Depth of a pit where each groove begins, for a ball or a pin, counted from the cylinder.", later=True),
    Field("pit-end", "length", "Depth of a pit where each groove ends.", later=True),
    Field("pit-cutter", "cutter", "Cutter or drill of the pits, when it is not the groove's own: they are made last.", group="cutter", later=True),
    Field("hand", "choice", "Right or left hand.", default="right", choices=("right", "left")),
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("cuts", "count", "Number of cuts of one groove, from end to end.", most=12_000, group="steps", later=True),
    Field("scallop", "length", "Largest ridge to leave.", group="steps"),
)  # fmt: skip
SIZES = ("diameter", "lead")  # they tell one part from another
TOGETHER = (("diameter", "blank"), ("diameter", "depth"))  # usually change together; common practice, no source


def _lead(values: Values) -> Fraction:
    lead, angle, diameter = values["lead"], values["angle"], values["diameter"]
    if lead is None and angle is None:
        raise BadValue(
            "lead",
            None,
            "is missing",
            f"Give lead, such as {'2-1/2in' if values.unit == 'in' else '60mm'}, or the helix angle from the axis.",
        )
    if angle is not None:
        if not 0 < angle < 90:
            raise BadValue(
                "angle",
                f"{float(angle):g} deg",
                "must be between 0 and 90 degrees",
                "It counts from the axis; 0 is a straight slot.",
            )
        found = math.pi * float(diameter) / math.tan(math.radians(float(angle)))
        if lead is None:
            return Fraction(found).limit_denominator(10**9)
        if abs(found - float(lead)) > 0.001 * found:
            raise BadValue(
                "angle",
                f"{float(angle):g} deg",
                f"does not agree with lead = {values.said('lead')}, it makes {values.size(found)}",
                "Leave one of them out.",
            )
    return Fraction(lead)


def _leave(values: Values, lead: Fraction, machine: Machine) -> Fraction:
    """Return what is left for the file, mm: as it was said, or what the scales may err, up to a division of the depth.

    A groove is seldom filed, so that nothing is left where nothing was said.  Walls that sweeps beside each other make are left as
    much as the floor; an error of table or slide moves them square to the way.
    """
    leave: Fraction | str = values["leave"]
    if isinstance(leave, Fraction):
        return leave
    if machine.depth is None:
        return Fraction(0)  # refused later on
    errs = machine.depth.error
    if values["groove-width"] is not None and machine.table is not None and machine.slide is not None:
        along = float(lead / 360 * machine.table.rim.error + machine.slide.error)
        square = math.cos(math.atan2(float(lead), math.pi * float(values["diameter"])))
        errs = max(errs, Fraction(along * square).limit_denominator(10**6))
    return machine.depth.up(errs) * machine.depth.division


def _width(values: Values, cutter: Cutter, leave: Fraction) -> Fraction | None:
    """Return the width of a groove wider than its cutter; None when it is as wide as that.

    Raises
    ------
    BadValue
        When the cutter is too wide for it, or is round, which leaves a ridge between its sweeps.
    """
    width: Fraction | None = values["groove-width"]
    if width is None:
        return None
    if cutter.kind != "flat":
        rule = f"is a groove with a flat floor, and cutter = {values.said('cutter')} is not flat"
        raise BadValue(
            "groove-width", values.said("groove-width"), rule, "Take a flat cutter, or leave groove-width out."
        )
    if width < cutter.diameter:
        raise BadValue(
            "groove-width",
            values.said("groove-width"),
            f"is narrower than cutter = {values.said('cutter')}",
            "Take a narrower cutter.",
        )
    if width == cutter.diameter and not leave:
        return None
    if width - 2 * leave <= cutter.diameter:
        rule = f"with {values.said('leave')} to leave on both walls has no room for cutter = {values.said('cutter')}"
        way = f"Take a cutter of less than {values.size(width - 2 * leave)}, or leave groove-width out."
        raise BadValue("groove-width", values.said("groove-width"), rule, way)
    return width


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a helix."""
    from stepcut.shapes.helix.task import Spacing, solve
    from stepcut.shapes.helix.wanted import Helix

    lead = _lead(values)
    length, turns = values["length"], values["turns"]
    if length is None and turns is None:
        raise BadValue("length", None, "is missing", "Give length, or turns.")
    if length is not None and turns is not None and length != turns * lead:
        raise BadValue(
            "turns",
            f"{float(turns):g}",
            f"does not agree with length, which makes {float(length / lead):g}",
            "Leave one of them out.",
        )
    cutter = read_cutter(values, pointed=True)
    if cutter.kind == "bull":
        raise BadValue(
            "cutter", values.said("cutter"), "a bull nose is not offered for a helix", "Use a flat, a ball or a vee."
        )
    if cutter.kind == "vee" and float(values["depth"]) * cutter.outline.tan > float(cutter.radius):
        rule = f"is only {values.size(cutter.radius / Fraction(cutter.outline.tan))} long at its point, and the groove {values.said('depth')} deep"
        raise BadValue("cutter", values.said("cutter"), rule, "Take a wider vee, or make the groove shallower.")
    length = length if length is not None else turns * lead
    leave = _leave(values, lead, machine)
    if leave >= values["depth"]:
        rule = f"leaves nothing to cut of a groove {values.said('depth')} deep"
        raise BadValue("leave", values.said("leave"), rule, "Leave less, or make it deeper.")
    helix = Helix(
        values["diameter"], lead, length, values["depth"], values["starts"], values["hand"], _width(values, cutter, leave),
        leave, bool(values["cross"]),
    )  # fmt: skip
    if values["step"] is not None and values["cuts"] is not None:
        raise BadValue("cuts", values.said("cuts"), "does not go with step", "Leave one of them out.")
    plan = solve(helix, cutter, Spacing(values["step"], values["cuts"], values["scallop"]), machine)
    return _pitted(plan, values)


def _pitted(plan: Plan, values: Values) -> Plan:
    """Return the plan with the pits that are asked for.

    Raises
    ------
    BadValue
        When one is not deeper than the groove, reaches the axis, or breaks into the next groove.
    """
    from stepcut.shapes.helix.pits import pits

    wanted = {end: values[f"pit-{end}"] for end in ("begin", "end") if values[f"pit-{end}"] is not None}
    cutter, helix = values["pit-cutter"], plan.details.helix
    if not wanted:
        if cutter is not None:
            rule = "goes with pit-begin or pit-end"
            raise BadValue("pit-cutter", values.said("pit-cutter"), rule, "Give the depth of a pit.")
        return plan
    for end, depth in wanted.items():
        key = f"pit-{end}"
        if depth <= helix.depth:
            rule = f"is not deeper than the groove, {values.said('depth')}"
            raise BadValue(key, values.said(key), rule, "Count it from the cylinder, as the groove's depth.")
        if depth >= helix.diameter / 2:
            raise BadValue(key, values.said(key), "reaches the axis of the cylinder", "Make it shallower.")
    if cutter is None and plan.details.beside > 1:
        key = f"pit-{next(iter(wanted))}"
        rule = "with the groove's own cutter would lie in one of its sweeps, not in its middle"
        raise BadValue(key, values.said(key), rule, "Give pit-cutter: it is then made last, in the middle.")
    over = (float((cutter or plan.cutter).diameter) - plan.details.width) / 2 - plan.details.land
    if over >= 0:
        rule = f"is so wide that a pit breaks {values.size(over)} into the next groove"
        raise BadValue("pit-cutter", values.said("pit-cutter"), rule, "Take a narrower one.")
    middle = plan.second.nearest(Fraction(plan.details.begins))
    forward, turn = helix.starts * plan.details.beside, int(360 / plan.first.division)
    made = tuple(pits(wanted, cutter, plan.stops, plan.details.beside, middle, forward, turn))  # type: ignore[arg-type]  # the two ends
    said = [[pit.end, float(pit.depth), float((pit.cutter or plan.cutter).diameter)] for pit in made]
    return replace(plan, target={**plan.target, "pits": said}, details=replace(plan.details, pits=made))
