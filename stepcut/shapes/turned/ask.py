"""What tapers, radii and profiles have in common: the tool, the spacing, the blank."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Cutter
from stepcut.shapes.ramp.ask import LEAVE, read_leave
from stepcut.shapes.turned.bench import Turning

TURNED_FIELDS = (
    Field("tool", "choice", "Square tool (its corner cuts) or round nose; with its nose radius in one phrase: round 1/16in.", default="square", choices=("square", "round"), group="cutter"),
    Field("nose", "length", "Nose radius of a round tool.", group="cutter"),
    Field("tool-width", "length", "Width of a square tool, which may then go straight in, as a parting tool does.", group="cutter", later=True),
    Field("headstock-edge", "angle", "Angle of a round tool's edge toward the headstock, from the axis: 90deg is square to it; refused where it would touch.", group="cutter", later=True),
    Field("tailstock-edge", "angle", "Angle of its edge toward the tailstock.", group="cutter", later=True),
    Field("on", "choice", "On the lathe, or on the mill with a full turn of the table at each cut.", default="lathe", choices=("lathe", "mill"), group="cutter"),
    replace(LEAVE, help="Stock to leave everywhere for the file, on the radius; auto takes it from the machine's errors."),
    Field("step", "length", "Distance of the cuts along the axis.", group="steps"),
    Field("cuts", "count", "Number of cuts of each flank.", most=12_000, group="steps"),
    Field("scallop", "length", "Largest ridge to leave: the fewest cuts, at equal ridge.", group="steps"),
    Field("blank", "length", "Diameter of the blank; of a bore or a seat, of the hole that it begins as."),
    Field("cut-depth", "length", "Largest depth of one roughing pass, on the radius.", group="steps"),
    Field("finish", "length", "Rest left on, on the radius, when all is roughed; a finishing round then takes it off.", group="steps", later=True),
)  # fmt: skip


def read_turning(values: Values) -> Turning:
    """Return tool and spacing.

    Raises
    ------
    BadValue
        When a nose radius is missing or does not belong, or two spacings contradict each other.
    """
    if values["tool"] == "round":
        if values["nose"] is None:
            raise BadValue(
                "nose",
                None,
                "is missing for a round tool",
                f"Give its nose radius, such as {'1/16in' if values.unit == 'in' else '0.8mm'}.",
            )
        if values["tool-width"] is not None:
            rule = "does not go with a round tool"
            raise BadValue(
                "tool-width", values.said("tool-width"), rule, "Leave it out: a round tool is as wide as its nose."
            )
        cutter = Cutter("round", 2 * values["nose"], values["nose"])
    else:
        if values["nose"] is not None:
            raise BadValue(
                "nose",
                values.said("nose"),
                "does not go with a square tool",
                "Leave it out, or give tool = round.",
            )
        cutter = Cutter("square", Fraction(0))
    for key in ("headstock-edge", "tailstock-edge"):
        if values[key] is not None and (values["tool"] != "round" or values["on"] != "lathe"):
            what = "on = mill" if values["tool"] == "round" else "a square tool"
            raise BadValue(key, values.said(key), f"does not go with {what}", "Leave it out.")
    given = [key for key in ("step", "cuts", "scallop") if values[key] is not None]
    if len(given) > 1:
        raise BadValue(given[1], None, f"does not go with {given[0]}", "Leave one of them out.")
    return Turning(
        cutter,
        read_leave(values),
        values["on"],
        values["step"],
        values["cuts"],
        values["scallop"],
        values["blank"],
        values["cut-depth"],
        values["tool-width"],
        values["finish"],
        values["material"] or "",
        values["cutter-material"] == "carbide",
        values["headstock-edge"],
        values["tailstock-edge"],
    )
