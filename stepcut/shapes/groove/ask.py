"""What may be asked of a groove on a circle."""

from __future__ import annotations

import itertools
from fractions import Fraction
from typing import Any

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.ramp.ask import CUTTER, LEAVE, TURNINGS, read_cutter, read_leave

EXAMPLES = (
    "groove --circle 37mm --span 60deg --end-depth 2mm --grooves 3 --cutter '6mm ball' --step 3deg --machine metric",
    "groove --circle 1-3/8in --targets '0deg 0.02in, 20deg 0.06in, 40deg 0.02in' --grooves 4 --cutter '3/16in ball' --scallop 2thou",
)
FIELDS = (
    Field("circle", "length", "Diameter of the circle that the middle of the groove follows.", needed=True),
    Field("span", "angle", "Degrees that the middle of one groove runs."),
    Field("begin-depth", "length", "Depth of its middle where it begins.", default="0mm", rule="not-negative"),
    Field("end-depth", "length", "Depth of its middle where it ends; deeper than where it begins."),
    Field("motion", "choice", "How the depth grows along the angle; uniform when left out.", choices=tuple(MOTIONS)),
    Field("targets", "targets", "Pairs of angle and depth instead: '0deg 1mm, 20deg 2mm, 40deg 1mm'; they may rise again."),
    Field("grooves", "count", "Number of grooves on the circle.", default="1", most=60),
    Field("rises", "choice", "The way it rises to its shallow end, seen facing it.", default="clockwise", choices=TURNINGS),
    CUTTER,
    LEAVE,
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("cuts", "count", "Number of cuts of one groove.", most=12_000, group="steps"),
    Field("scallop", "length", "Largest ridge to leave along its middle: the fewest cuts that keep to it.", group="steps"),
)  # fmt: skip
SIZES = ("circle", "end-depth")  # they tell one part from another
TOGETHER = (("circle", "cutter"), ("end-depth", "cutter"))  # usually change together; common practice, no source


def _line(values: Values) -> dict[str, Any]:
    """Return span, depths and motion, or targets.

    Raises
    ------
    BadValue
        When something is missing or does not go together.
    """
    targets = values["targets"]
    if targets is None:
        for key in ("span", "end-depth"):
            if values[key] is None:
                raise BadValue(
                    key,
                    None,
                    "is missing",
                    f"Give span and end-depth, such as 60deg and {values.like('0.080in', '2mm')}, or targets.",
                )
        rise = values["end-depth"] - values["begin-depth"]
        if rise <= 0:
            rule = f"must be more than begin-depth = {values.said('begin-depth')}"
            raise BadValue("end-depth", values.said("end-depth"), rule, "Count the angles from the shallow end.")
        return {
            "span": values["span"],
            "start_depth": values["begin-depth"],
            "rise": rise,
            "motion": values["motion"] or "uniform",
        }
    for key in values.given("span", "begin-depth", "end-depth", "motion"):
        raise BadValue(key, values.said(key), "does not go with targets", "Leave one of them out.")
    if targets[0][0] != 0:
        raise BadValue(
            "targets", f"{float(targets[0][0]):g} deg", "must begin at 0 degrees", "Count from where it begins."
        )
    if min(depth for _, depth in targets) < 0:
        raise BadValue(
            "targets",
            values.size(min(d for _, d in targets)),
            "must not be negative",
            "Depths count down from the face.",
        )
    if all(depth == 0 for _, depth in targets):
        raise BadValue("targets", "0", "is no groove", "Give a depth.")
    return {
        "span": targets[-1][0], "start_depth": targets[0][1], "rise": targets[-1][1] - targets[0][1], "motion": "targets",
        "targets": targets,
    }  # fmt: skip


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a groove on a circle."""
    from stepcut.shapes.groove.task import Spacing, solve
    from stepcut.shapes.groove.wanted import Groove

    given = [key for key in ("step", "cuts", "scallop") if values[key] is not None]
    for a, b in itertools.pairwise(given):
        raise BadValue(b, values.said(b), f"does not go with {a}", "Leave one of them out.")
    groove = Groove(circle=values["circle"], count=values["grooves"], rises=values["rises"], **_line(values))
    if groove.span > Fraction(360, groove.count):
        rule = f"is more than the {float(groove.sector):g} degrees of each groove"
        raise BadValue("span", f"{float(groove.span):g}deg", rule, "Shorten it, or make fewer.")
    spacing = Spacing(values["step"], values["cuts"], values["scallop"])
    leave = read_leave(values)
    return solve(groove, read_cutter(values), leave, spacing, machine)
