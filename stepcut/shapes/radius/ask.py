"""What may be asked of a turned radius: ball, fillet or cove."""

from __future__ import annotations

from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning

EXAMPLES = (
    "radius --form ball --radius 1/2in --to-angle 150deg --scallop 8thou",
    "radius --form fillet --radius 6mm --diameter 25mm --at 40mm --tool round --nose 2mm --scallop 0.05mm",
)
FIELDS = (
    Field("form", "choice", "Ball, fillet against a shoulder, or cove round an edge.", needed=True, choices=("ball", "fillet", "cove")),
    Field("radius", "length", "Radius of the form.", needed=True),
    Field("diameter", "length", "Shaft of a fillet, or cylinder of a cove; not for a ball."),
    Field("at", "length", "Where a fillet begins, from the face.", default="0mm", rule="not-negative"),
    Field("from-angle", "angle", "Angle of the arc where it begins, from the end at the face.", default="0deg", rule="not-negative"),
    Field("to-angle", "angle", "Angle of the arc where it ends; a ball may go past 90 to its neck."),
    *TURNED_FIELDS,
)  # fmt: skip
SIZES = ("form", "radius", "diameter")  # they tell one part from another
TOGETHER = (
    ("radius", "blank"),
    ("diameter", "blank"),
    ("radius", "nose"),
)  # usually change together; common practice, no source


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a turned radius."""
    from stepcut.shapes.turned import wanted as revolved
    from stepcut.shapes.turned.task import solve

    form, radius, diameter = values["form"], values["radius"], values["diameter"]
    begin, end = values["from-angle"], values["to-angle"] or Fraction(90)
    most = Fraction(175) if form == "ball" else Fraction(90)
    if not begin < end <= most:
        raise BadValue(
            "to-angle",
            f"{float(end):g} deg",
            f"must be past from-angle and at most {most} degrees",
            "Check both angles.",
        )
    if form == "ball":
        if diameter is not None or begin:
            key = "diameter" if diameter is not None else "from-angle"
            raise BadValue(key, None, "does not go with a ball", "A ball has its radius, and begins at its pole.")
        shape = revolved.ball(2 * radius, end)
    elif diameter is None:
        raise BadValue("diameter", None, f"is missing for a {form}", "Give the diameter of the shaft or cylinder.")
    elif form == "fillet":
        shape = revolved.fillet(diameter, radius, values["at"], begin, end)
    else:
        if radius * 2 >= diameter:
            rule = f"must be less than half the diameter, {values.said('diameter')}"
            raise BadValue("radius", values.said("radius"), rule, "Check both sizes.")
        shape = revolved.cove(diameter, radius, begin, end)
    target = {
        "form": form, "radius": float(radius), "diameter": float(2 * radius if form == "ball" else diameter),
        "from_angle": float(begin), "to_angle": float(end), "at": float(values["at"]),
    }  # fmt: skip
    return solve(shape, read_turning(values), machine, "radius", target)
