"""What may be asked of a turned radius: a ball, a round into or over an edge, a neck, a waist, a crown or a seat."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning
from stepcut.shapes.turned.bench import Turning, scales
from stepcut.shapes.turned.wanted import Revolved, exact

EXAMPLES = (
    "radius --form ball --radius 1/2in --small 1/2in --length 3/8in --tool-width 1/8in --scallop 8thou",
    "radius --form fillet --radius 6mm --diameter 25mm --at 40mm --tool round --nose 2mm --scallop 0.05mm",
)
FORMS = ("ball", "corner", "fillet", "cove", "neck", "waist", "crown", "seat")
FIELDS = (
    Field("form", "choice", "Ball, corner (an edge rounded off), fillet (against a shoulder), cove (hollowed into an edge), neck (a groove up to a shoulder), waist (a hollow handle), crown (a pulley), seat (a hollow ball in the end).", needed=True, choices=FORMS),
    Field("radius", "length", "Radius of the form; of a waist or crown it may follow from small.", example="the radius, such as 6mm"),
    Field("diameter", "length", "Cylinder of a corner or cove, shaft of a fillet or neck, ends of a waist, middle of a crown, mouth of a seat; not for a ball."),
    Field("small", "length", "Smaller diameter: bottom of a neck, middle of a waist, edges of a crown, neck of a ball.", later=True),
    Field("length", "length", "Length of a neck, waist or crown along the axis; with a ball, of its neck, which is then cut first.", later=True),
    Field("at", "length", "Where it begins, from the face; the bottom end of a fillet.", default="0mm", rule="not-negative"),
    Field("from-angle", "angle", "Angle of the arc where it begins, from the end at the face.", default="0deg", rule="not-negative"),
    Field("to-angle", "angle", "Angle of the arc where it ends; a ball may go past 90 to its neck."),
    *TURNED_FIELDS,
)  # fmt: skip
SIZES = ("form", "radius", "diameter", "small", "length")  # they tell one part from another
TOGETHER = (
    ("radius", "blank"),
    ("diameter", "blank"),
    ("diameter", "small"),
    ("radius", "nose"),
)  # usually change together; common practice, no source

NEEDS = {
    "ball": ("radius",), "corner": ("radius", "diameter"), "fillet": ("radius", "diameter"), "cove": ("radius", "diameter"),
    "neck": ("radius", "diameter", "small", "length"), "waist": ("diameter", "length"), "crown": ("diameter", "length"),
    "seat": ("radius", "diameter", "blank"),
}  # fmt: skip
MAY = {
    "ball": ("small", "length", "to-angle", "blank"), "corner": ("at", "from-angle", "to-angle", "blank"),
    "fillet": ("at", "from-angle", "to-angle", "blank"), "cove": ("from-angle", "to-angle", "blank"), "neck": ("at", "blank"),
    "waist": ("radius", "small", "at", "blank"), "crown": ("radius", "small", "at", "blank"), "seat": (),
}  # fmt: skip
OWN = ("radius", "diameter", "small", "length", "at", "from-angle", "to-angle", "blank")


def _belongs(values: Values, form: str) -> None:
    """Refuse a size that the form needs and has not, and one that it has not to do with."""
    for key in NEEDS[form]:
        if values[key] is None:
            way = f"Give its {key}, such as {'1in' if values.unit == 'in' else '25mm'}."
            if key == "blank":
                way = "Drill a hole first, smaller than the mouth and as deep as the seat, and give its diameter: the boring tool begins in it."
            raise BadValue(key, None, f"is missing for a {form}", way)
    for key in OWN:
        if values[key] and key not in (*NEEDS[form], *MAY[form]):
            raise BadValue(key, values.said(key), f"does not go with a {form}", "Leave it out.")


def _angles(values: Values, most: Fraction) -> tuple[Fraction, Fraction]:
    """Return the angles between which an arc is cut."""
    begin, end = values["from-angle"], values["to-angle"] or Fraction(90)
    if not begin < end <= most:
        rule = f"must be past from-angle and at most {most} degrees"
        raise BadValue("to-angle", f"{float(end):g} deg", rule, "Check both angles.")
    return begin, end


def _ball(values: Values, turning: Turning, machine: Machine) -> tuple[Revolved, dict[str, Any]]:
    from stepcut.shapes.radius.wanted import ball_on_neck
    from stepcut.shapes.turned.wanted import ball

    radius, small, length = values["radius"], values["small"], values["length"]
    _, last = _angles(values, Fraction(175))
    if small is not None:
        if values["to-angle"] is not None:
            raise BadValue("to-angle", values.said("to-angle"), "does not go with small", "Leave one of them out.")
        if small >= 2 * radius or small < radius / 8:
            rule = f"must be less than the ball's {values.size(2 * radius)} and at least {values.size(radius / 8)}"
            raise BadValue("small", values.said("small"), rule, "Check both sizes.")
        last = exact(180 - math.degrees(math.asin(float(small / radius) / 2)))
    said = {"form": "ball", "diameter": float(2 * radius), "from_angle": 0.0, "to_angle": float(last)}
    if length is None:
        return ball(2 * radius, last), said
    if last <= 90:
        raise BadValue(
            "length", values.said("length"), "is of a neck, and this ball has none", "Give small, the neck's diameter."
        )
    if turning.cutter.kind == "square" and turning.width is None:
        raise BadValue(
            "tool-width", None, "is missing: the neck is cut first, straight in, by a tool as wide as you say",
            f"Give tool-width, such as {'1/8in' if values.unit == 'in' else '3mm'}.",
        )  # fmt: skip
    along, _ = scales(machine, turning.where)
    shape = ball_on_neck(radius, last, length, turning.cutter.corner, along.division)
    return shape, {**said, "length": shape.flanks[0].wanted.span}


def _round(values: Values) -> tuple[Revolved, dict[str, Any]]:
    from stepcut.shapes.radius.wanted import corner
    from stepcut.shapes.turned.wanted import cove, fillet

    form, radius, diameter = values["form"], values["radius"], values["diameter"]
    begin, end = _angles(values, Fraction(90))
    if form != "fillet" and (radius * 2 > diameter if form == "corner" else radius * 2 >= diameter):
        rule = f"must be {'at most' if form == 'corner' else 'less than'} half the diameter, {values.said('diameter')}"
        raise BadValue("radius", values.said("radius"), rule, "Check both sizes.")
    said = {"form": form, "diameter": float(diameter), "from_angle": float(begin), "to_angle": float(end)}
    if form == "corner":
        return corner(diameter, radius, values["at"], begin, end), said
    if form == "fillet":
        return fillet(diameter, radius, values["at"], begin, end), said
    return cove(diameter, radius, begin, end), said


def _neck(values: Values, turning: Turning) -> tuple[Revolved, dict[str, Any]]:
    from stepcut.shapes.radius.wanted import neck, neck_needs

    radius, diameter, small, length, at = (values[key] for key in ("radius", "diameter", "small", "length", "at"))
    _smaller(values)
    if not at:
        rule = "must be more than 0: a neck stands behind a piece of its shaft"
        raise BadValue("at", values.said("at"), rule, "Give where the neck begins, from the face.")
    needs = neck_needs(diameter, small, radius)
    if float(length) <= needs:
        rule = f"is not more than its radii take up, {values.size(exact(needs))}"
        raise BadValue("length", values.said("length"), rule, "Take a smaller radius, or a longer neck.")
    bottom = exact(float(length) - needs)
    if turning.width is not None and turning.width > bottom:
        rule = f"is wider than the bottom of the neck between its radii, {values.size(bottom)}: a corner would stand in a radius"
        raise BadValue("tool-width", values.said("tool-width"), rule, "Take a narrower tool, or a longer neck.")
    shape = neck(diameter, small, radius, length, at)
    return shape, {"form": "neck", "diameter": float(diameter), "small": float(small), "length": float(length)}


def _smaller(values: Values) -> None:
    if values["small"] >= values["diameter"]:
        rule = f"must be smaller than diameter = {values.said('diameter')}"
        raise BadValue("small", values.said("small"), rule, "Check that they are not swapped.")


def _bow(values: Values, turning: Turning) -> tuple[Revolved, dict[str, Any]]:
    """Return a waist or a crown, by its smaller diameter or by its radius."""
    from stepcut.shapes.radius.wanted import bow_height, crown, waist

    form, radius, diameter, small, length = (values[key] for key in ("form", "radius", "diameter", "small", "length"))
    if (radius is None) == (small is None):
        key, rule = ("small", "or the radius is missing") if small is None else ("radius", "does not go with small")
        way = "Give one of them." if small is None else "Leave one of them out."
        raise BadValue(
            key, None if small is None else values.said(key), f"{rule} for a {form}" if small is None else rule, way
        )
    if small is None:
        if 2 * radius < length:
            rule = f"is less than half the length, {values.said('length')}"
            raise BadValue("radius", values.said("radius"), rule, "Take a larger radius, or give small.")
        small = diameter - 2 * bow_height(length, radius)
        if small <= 0:
            rule = "cuts through to the axis over this length"
            raise BadValue("radius", values.said("radius"), rule, "Take a larger radius, or give small.")
    else:
        _smaller(values)
        if diameter - small > length:
            rule = f"makes more than half a circle over {values.said('length')}"
            raise BadValue("small", values.said("small"), rule, "Take a larger small, or a longer form.")
    said = {"form": form, "diameter": float(diameter), "small": float(small), "length": float(length)}
    if form == "waist":
        if turning.width is not None and turning.width > length / 2:
            rule = f"is more than half as wide as the waist is long, {values.said('length')}: it would not get down into it"
            raise BadValue("tool-width", values.said("tool-width"), rule, "Take a narrower tool, or a round nose.")
        return waist(diameter, small, length, values["at"]), said
    return crown(diameter, small, length, values["at"], turning.cutter.kind == "round"), said


def _seat(values: Values) -> tuple[Revolved, dict[str, Any]]:
    from stepcut.shapes.radius.wanted import seat

    radius, mouth, hole = values["radius"], values["diameter"], values["blank"]
    if mouth > 2 * radius:
        rule = f"is wider than the ball of the seat, {values.size(2 * radius)}"
        raise BadValue("diameter", values.said("diameter"), rule, "Check both sizes.")
    if hole >= mouth:
        rule = f"leaves no seat: the mouth is {values.said('diameter')}"
        raise BadValue("blank", values.said("blank"), rule, "Drill a smaller hole.")
    return seat(radius, mouth, hole), {"form": "seat", "diameter": float(mouth), "hole": float(hole), "side": "bore"}


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a turned radius."""
    from stepcut.shapes.radius.wanted import bow_radius
    from stepcut.shapes.turned.task import solve

    form, turning = values["form"], read_turning(values)
    _belongs(values, form)
    if form == "seat" and turning.where == "mill":
        raise BadValue("on", "mill", "does not go with a seat", "Bore it on the lathe.")
    if form == "ball":
        shape, said = _ball(values, turning, machine)
    elif form == "neck":
        shape, said = _neck(values, turning)
    elif form in ("waist", "crown"):
        shape, said = _bow(values, turning)
    elif form == "seat":
        shape, said = _seat(values)
    else:
        shape, said = _round(values)
    radius = values["radius"]
    if radius is None:
        radius = bow_radius(values["length"], (values["diameter"] - values["small"]) / 2)
    target = {**said, "radius": float(radius), "at": float(values["at"])}
    return solve(shape, turning, machine, "radius", target)
