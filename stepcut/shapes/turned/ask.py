"""What tapers, radii and profiles have in common: the tool, the spacing, the blank."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut.errors import BadValue
from stepcut.fields import Field
from stepcut.machine import Cutter
from stepcut.shapes.ramp.ask import LEAVE
from stepcut.shapes.turned.task import Turning

TURNED_FIELDS = (
    Field("tool", "choice", "Square tool (its corner cuts) or round nose.", default="square", choices=("square", "round")),
    Field("nose", "length", "Nose radius of a round tool."),
    Field("on", "choice", "On the lathe, or on the mill with a full turn of the table at each stop.", default="lathe", choices=("lathe", "mill")),
    Field(LEAVE.key, "length", "Stock to leave everywhere for the file, on the radius.", default="0mm", rule="not-negative", remedy="Give what is to stay for the file, such as 2thou."),
    Field("step", "length", "Distance of the stops along the axis."),
    Field("stops", "count", "Number of stops of each flank.", most=100_000),
    Field("scallop", "length", "Largest ridge to leave: the fewest stops, at equal ridge."),
    Field("blank", "length", "Diameter of the blank."),
    Field("cut-depth", "length", "Largest depth of one roughing pass, on the radius."),
)  # fmt: skip


def read_turning(values: Mapping[str, Any]) -> Turning:
    """Return tool and spacing.

    Raises
    ------
    BadValue
        When a nose radius is missing or does not belong, or two spacings contradict each other.
    """
    if values["tool"] == "round":
        if values["nose"] is None:
            raise BadValue(
                "nose", None, "is missing for a round tool", "Give its nose radius, such as 1/16in or 0.8mm."
            )
        cutter = Cutter("round", 2 * values["nose"], values["nose"])
    else:
        if values["nose"] is not None:
            raise BadValue(
                "nose",
                f"{float(values['nose']):g} mm",
                "does not go with a square tool",
                "Leave it out, or give tool = round.",
            )
        cutter = Cutter("square", Fraction(0))
    given = [key for key in ("step", "stops", "scallop") if values[key] is not None]
    if len(given) > 1:
        raise BadValue(given[1], None, f"does not go with {given[0]}", "Leave one of them out.")
    return Turning(
        cutter,
        values["leave"],
        values["on"],
        values["step"],
        values["stops"],
        values["scallop"],
        values["blank"],
        values["cut-depth"],
    )
