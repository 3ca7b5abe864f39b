"""What may be asked of points in X and Y."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.ramp.ask import CUTTER, LEAVE, read_cutter, read_leave

if TYPE_CHECKING:
    from stepcut.shapes.points.wanted import Arc

EXAMPLES = (
    "points --radius 87mm --side on --begin 77deg --span 26deg --x-step 1mm --depth 4mm --cutter 8mm --machine metric",
    "points --tube 1-1/4in --onto 1-1/2in --angle 60deg --depth 1-3/4in --cutter 1/2in --scallop 5thou",
)
FIELDS = (
    Field("radius", "length", "Radius of the circle or arc, as it shall be."),
    Field("side", "choice", "Where the cutter stands: inside a hole or hollow, outside of a boss, or with its axis on the line (a slot, holes).", choices=("inside", "outside", "on")),
    Field("begin", "angle", "Where an arc begins, anticlockwise from the way in which X grows.", default="0deg", rule="any"),
    Field("span", "angle", "Degrees of the arc; the whole circle when left out."),
    Field("centre-x", "length", "X of the middle of the circle.", default="0mm", rule="any"),
    Field("centre-y", "length", "Y of the middle of the circle.", default="0mm", rule="any"),
    Field("tube", "length", "Instead of an arc, a mitre: outside diameter of the tube whose end is hollowed."),
    Field("onto", "length", "Of a mitre: outside diameter of the tube that it sits on."),
    Field("angle", "angle", "Of a mitre: angle between the two tubes.", default="90deg"),
    Field("depth", "length", "How deep each cut goes.", needed=True, example="1/4in or 6mm"),
    CUTTER,
    LEAVE,
    Field("points", "count", "Number of points.", most=12_000, group="steps"),
    Field("step", "angle", "Degrees from point to point.", group="steps"),
    Field("x-step", "length", "Even moves of X instead, Y from the list; for an arc above or below its middle.", group="steps"),
    Field("scallop", "length", "Highest ridge between two points: the fewest points that keep to it.", group="steps"),
)  # fmt: skip
SIZES = ("radius", "tube", "onto")  # they tell one part from another
TOGETHER = (("radius", "cutter"), ("onto", "tube"))  # usually change together; common practice, no source


def _arc(values: Values) -> Arc:
    """Return what is wanted: an arc, or the hollow of a mitre.

    Raises
    ------
    BadValue
        When something is missing or does not go together.
    """
    from stepcut.shapes.points.wanted import Arc, mitre

    if (values["tube"] is None) != (values["onto"] is None):
        key = "onto" if values["onto"] is None else "tube"
        raise BadValue(key, None, "is missing", "Give both tubes of a mitre, or radius and side.")
    if values["tube"] is not None:
        for key in values.given("radius", "side", "span", "begin", "centre-x", "centre-y"):
            raise BadValue(key, values.said(key), "does not go with a mitre", "Leave one of them out.")
        if values["tube"] > values["onto"]:
            rule = f"must not be larger than onto = {values.said('onto')}"
            raise BadValue("tube", values.said("tube"), rule, "A tube sits on one that is as large or larger.")
        if not 10 <= values["angle"] <= 90:
            raise BadValue(
                "angle",
                values.said("angle"),
                "must be from 10 to 90 degrees",
                "Give the smaller angle between the tubes.",
            )
        return mitre(values["tube"], values["onto"])
    if values["radius"] is None or values["side"] is None:
        key = "radius" if values["radius"] is None else "side"
        raise BadValue(key, None, "is missing", "Give radius and side (inside, outside or on), or tube and onto.")
    for key in values.given("angle"):
        raise BadValue(key, values.said(key), "does not go with an arc", "Give begin and span, or tube and onto.")
    span = values["span"] or Fraction(360)
    if span > 360:
        raise BadValue("span", values.said("span"), "is more than one turn", "Give at most 360 degrees.")
    return Arc(values["radius"], values["begin"], span, values["centre-x"], values["centre-y"], values["side"])


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of points."""
    from stepcut.shapes.points.task import Spacing, solve

    given = [key for key in ("points", "step", "x-step", "scallop") if values[key] is not None]
    if len(given) > 1:
        raise BadValue(given[1], values.said(given[1]), f"does not go with {given[0]}", "Leave one of them out.")
    arc, cutter = _arc(values), read_cutter(values)
    if cutter.kind != "flat":
        raise BadValue(
            "cutter", values.said("cutter"), "does not go with points", "Use a flat cutter, which cuts by its side."
        )
    if arc.side != "on" and cutter.radius + (read_leave(values) or 0) >= arc.radius and arc.side == "inside":
        rule = f"does not fit into a radius of {values.size(arc.radius)}"
        raise BadValue("cutter", values.said("cutter"), rule, "Take a smaller cutter.")
    if (
        values["x-step"] is not None
        and (arc.begin % 360) // 180 != ((arc.begin + arc.span - Fraction(1, 10**6)) % 360) // 180
    ):
        rule = "goes with an arc that stays above or below its middle"
        raise BadValue("x-step", values.said("x-step"), rule, "Split the arc at Y of its middle, or give step.")
    tube = (values["tube"], values["onto"], values["angle"]) if values["tube"] is not None else None
    spacing = Spacing(values["points"], values["step"], values["x-step"], values["scallop"])
    return solve(arc, cutter, values["depth"], read_leave(values), spacing, machine, tube)
