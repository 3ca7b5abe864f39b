"""What may be asked of a face ramp."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from fractions import Fraction
from typing import Any, Literal

from stepcut.errors import BadValue
from stepcut.fields import Field
from stepcut.kernel.motions import LAWS
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan

TURNINGS = ("clockwise", "anticlockwise")

CUTTER_FIELDS = (
    Field("cutter", "length", "Diameter of the cutter.", needed=True),
    Field(
        "kind",
        "choice",
        "End of the cutter: flat, ball or bull nose.",
        default="flat",
        choices=("flat", "ball", "bull"),
    ),
    Field("corner", "length", "Corner radius of a bull-nose cutter."),
)
LEAVE = Field(
    "leave",
    "length",
    "Stock to leave everywhere for the file; auto takes it from the machine's errors.",
    default="0mm",
    rule="not-negative",
    words={"auto": "auto"},
    remedy="Give what is to stay for the file, such as 2thou, or auto.",
)
FIELDS = (
    Field("outside", "length", "Outside diameter of the ring.", needed=True),
    Field("bore", "length", "Bore diameter of the ring.", needed=True),
    Field(
        "rise", "length", "How far the ramp falls from its high end to its low end.", remedy="Give the hand with rises."
    ),
    Field("span", "angle", "Degrees of one ramp; the largest that fits when left out."),
    Field("starts", "count", "Number of ramps round the ring.", default="1", most=60),
    Field("start-depth", "length", "Depth of the high end below the face.", rule="not-negative"),
    Field("law", "choice", "How the depth grows along the angle.", choices=tuple(LAWS)),
    Field("lead-in", "angle", "Dwell at the high end.", default="0deg", rule="not-negative"),
    Field("lead-out", "angle", "Dwell at the low end.", default="0deg", rule="not-negative"),
    Field("targets", "targets", "Angle and depth pairs instead of rise and law; a file with one pair a line."),
    Field("rises", "choice", "The way the ramp rises, seen facing it.", choices=TURNINGS),
    Field(
        "tightens",
        "choice",
        "The way the handle turns to tighten, seen at the handle; sets the hand.",
        choices=TURNINGS,
    ),
    *CUTTER_FIELDS,
    Field(
        "approach",
        "choice",
        "How the cutter meets the wall: fed across it, plunged, or with its side (table on edge).",
        default="across",
        choices=("across", "plunge", "side"),
    ),
    Field(
        "on-line", "choice", "What stands on the radial line: edge or centre of the cutter.", choices=("edge", "centre")
    ),
    LEAVE,
    Field("step", "angle", "Degrees from stop to stop."),
    Field("drop", "length", "Depth from stop to stop."),
    Field("stops", "count", "Number of stops of one ramp.", most=100_000, remedy="Use fewer, larger steps."),
    Field("scallop", "length", "Largest ridge to leave: the fewest stops that keep to it."),
    Field(
        "order",
        "choice",
        "Cut ramp by ramp, or every ramp at each depth.",
        default="by-ramp",
        choices=("by-ramp", "by-depth"),
    ),
)


def read_cutter(values: Mapping[str, Any]) -> Cutter:
    """Return the cutter that is asked for.

    Raises
    ------
    BadValue
        When the corner radius does not go with the kind.
    """
    diameter, corner = values["cutter"], values["corner"]
    if values["kind"] == "bull":
        if corner is None:
            raise BadValue("corner", None, "is missing for a bull-nose cutter", "Give its corner radius, such as 1mm.")
        if 2 * corner > diameter:
            raise BadValue("corner", f"{float(corner):g} mm", "is more than half the cutter", "Check both sizes.")
        return Cutter("bull", diameter, corner)
    if corner is not None:
        raise BadValue(
            "corner",
            f"{float(corner):g} mm",
            f"does not go with a {values['kind']} cutter",
            "Leave it out, or give kind bull.",
        )
    return Cutter(values["kind"], diameter, diameter / 2 if values["kind"] == "ball" else Fraction(0))


def _hand(values: Mapping[str, Any]) -> str:
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


def _shape(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return rise, span, start depth and law, from a law or from targets, checked for agreement."""
    targets = values["targets"]
    if targets is None:
        if values["rise"] is None:
            raise BadValue("rise", None, "is missing", "Give rise, such as 0.090in, or targets.")
        return {
            "rise": values["rise"],
            "span": values["span"] or Fraction(0),
            "start_depth": values["start-depth"] or Fraction(0),
            "law": values["law"] or "uniform",
        }
    if targets[0][0] != 0:
        raise BadValue(
            "targets", f"{float(targets[0][0]):g} deg", "must begin at 0 degrees", "Count the angles from the high end."
        )
    if targets[0][1] < 0:
        raise BadValue(
            "targets", f"{float(targets[0][1]):g} mm", "must not be negative", "Depths count down from the face."
        )
    for number, ((_, a), (_, b)) in enumerate(itertools.pairwise(targets), 2):
        if b < a:
            way = "Depths must not decrease from the high end to the low end; turn the list round or split the ramp."
            raise BadValue(
                f"targets row {number}", f"{float(b):g} mm", f"is above the row before ({float(a):g} mm)", way
            )
    if targets[-1][1] == targets[0][1]:
        raise BadValue(
            "targets", f"{float(targets[0][1]):g} mm", "is the same depth everywhere", "Give a list that falls."
        )
    found = {"rise": targets[-1][1] - targets[0][1], "span": targets[-1][0], "start_depth": targets[0][1]}
    for key, name in (("rise", "rise"), ("span", "span"), ("start-depth", "start_depth")):
        given = values[key]
        if given is not None and given != found[name]:
            unit = "deg" if key == "span" else "mm"
            rule = f"does not agree with targets, which make {float(found[name]):g} {unit}"
            raise BadValue(key, f"{float(given):g} {unit}", rule, "Leave one of them out.")
    if values["law"] is not None:
        raise BadValue("law", values["law"], "does not go with targets", "Leave one of them out.")
    if values["lead-in"] or values["lead-out"]:
        raise BadValue("lead-in", None, "does not go with targets", "Write the dwell into the targets.")
    return {**found, "law": "targets", "targets": targets}


def build(values: Mapping[str, Any], machine: Machine) -> Plan:
    """Return the solved plan for read values.

    Raises
    ------
    BadValue
        When values contradict each other.
    Refused
        When no plan can be made.
    """
    from stepcut.shapes.ramp.task import Cutting, Stepping, solve
    from stepcut.shapes.ramp.wanted import Ramp

    if values["bore"] >= values["outside"]:
        raise BadValue(
            "bore",
            f"{float(values['bore']):g} mm",
            f"must be smaller than outside = {float(values['outside']):g} mm",
            "Give both as diameters; check that they are not swapped.",
        )
    approach = values["approach"]
    on_line: Literal["edge", "centre"] = values["on-line"] or ("edge" if approach == "across" else "centre")
    if approach == "side" and on_line == "edge":
        raise BadValue(
            "on-line",
            "edge",
            "does not go with approach = side",
            "With the side of the cutter its centre stands on the line.",
        )
    if approach == "side" and values["kind"] != "flat":
        raise BadValue(
            "kind",
            values["kind"],
            "does not go with approach = side",
            "Only the side of the cutter cuts; leave kind out.",
        )
    ramp = Ramp(
        outside_diameter=values["outside"],
        inside_diameter=values["bore"],
        starts=values["starts"],
        rises=_hand(values),  # type: ignore[arg-type]  # one of the two words, checked by its field
        lead_in=values["lead-in"],
        lead_out=values["lead-out"],
        **_shape(values),
    )
    leave = None if values["leave"] == "auto" else values["leave"]
    cutting = Cutting(approach, on_line, read_cutter(values), leave)
    stepping = Stepping(values["step"], values["drop"], values["stops"], values["scallop"], values["order"])
    return solve(ramp, cutting, stepping, machine)
