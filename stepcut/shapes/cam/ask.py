"""What may be asked of a rim cam."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from stepcut.errors import BadValue, nearest
from stepcut.fields import Field, Values
from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.quantity import parse_angle, parse_length, plain_marks
from stepcut.shapes.ramp.ask import CUTTER, LEAVE, read_cutter

if TYPE_CHECKING:
    from stepcut.shapes.cam.wanted import Segment

FIELDS = (
    Field("base", "length", "Radius where the first segment begins.", needed=True),
    Field("segments", "texts", "In order: 'rise 2.5mm in 60deg harmonic; dwell 30deg; fall 2.5mm in 60deg', 'fall from 19mm to 11mm in 300deg', 'spiral 3mm in 200deg', 'eccentric 2mm in 360deg'.", needed=True, example="'rise 2.5mm in 60deg; dwell 30deg; fall 2.5mm in 60deg'"),
    Field("cut-with", "choice", "End of the cutter leaves flats, its side arcs.", default="end", choices=("end", "side"), group="cutter"),
    CUTTER,
    Field(LEAVE.key, "length", "Stock to leave everywhere for the file.", default="0mm", rule="not-negative", remedy="Give what is to stay for the file, such as 2thou.", group="cutter"),
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("scallop", "length", "Largest ridge to leave: the fewest cuts that keep to it.", group="steps"),
    Field("blank", "length", "Diameter of the blank."),
)  # fmt: skip
# Other words that shops use for the same segments.
KINDS = {
    "rise": "rise", "lift": "rise", "fall": "fall", "drop": "fall", "dwell": "dwell", "hold": "dwell", "spiral": "spiral",
    "eccentric": "eccentric",
}  # fmt: skip
_LIFTS = r"(?:from\s+(?P<begin>.+?)\s+to\s+(?P<end>.+?)|(?P<lift>.+?))"
_FORM = re.compile(
    rf"\s*(?P<kind>[a-z]+)\s+(?:{_LIFTS}\s+(?:in|over|per)\s+(?=[\d.]))?"
    r"(?P<span>[^a-z]*[\d.]+\s*(?:deg\w*|°|d|turns?|cranks?|')[\d'\"]*)\s*(?P<motion>[\w-]+)?\s*",
    re.I,
)
_WAY = "Write it like rise 2.5mm in 60deg harmonic, dwell 30deg, fall 1in in 90deg, fall from 19mm to 11mm in 300deg, spiral 3mm in 120deg or eccentric 2mm in 360deg."


def _segment(text: str, number: int, crank: Fraction | None, radius: Fraction, values: Values) -> Segment:
    """Read one segment; ``radius`` is where the one before it ends, mm."""
    from stepcut.shapes.cam.wanted import Segment

    name = f"segments {number}"
    match = _FORM.fullmatch(plain_marks(text)) if len(text) < 120 else None
    kind = KINDS.get(match["kind"].lower()) if match else None
    if match is None or kind is None:
        raise BadValue(name, text, "is not a segment", _WAY)
    motion = (match["motion"] or "uniform").lower()
    if motion not in MOTIONS:
        way = f"Use one of {', '.join(MOTIONS)}.{nearest(motion, list(MOTIONS))}"
        raise BadValue(name, motion, "is not one of the motions", way)
    span = parse_angle(match["span"], name, None, crank)
    if not 0 < span <= 360:
        raise BadValue(name, text, "must be above 0 and at most 360 degrees", "Check its angle.")
    if kind == "dwell":
        if match["lift"] or match["begin"]:
            raise BadValue(name, text, "a dwell has no lift", "Write it like dwell 30deg.")
        return Segment("dwell", span)
    lift = _lift(match, kind, text, name, radius, values)
    return Segment(kind, span, lift, motion)  # type: ignore[arg-type]  # one of the words, checked above


def _lift(match: re.Match[str], kind: str, text: str, name: str, radius: Fraction, values: Values) -> Fraction:
    """Return the lift of a segment, said as a change or from one radius to another."""
    if match["begin"]:
        begin, end = (parse_length(match[part], name, values.bare) for part in ("begin", "end"))
        if begin != radius:
            rule = f"begins at radius {match['begin']}, and the one before it ends at {values.size(radius)}"
            raise BadValue(name, text, rule, "Make them meet, or say the change: fall 8mm in 300deg.")
        lift = begin - end if kind == "fall" else end - begin
    elif match["lift"]:
        lift = parse_length(match["lift"], name, values.bare)
    else:
        example = "0.100in" if values.unit == "in" else "2.5mm"
        raise BadValue(name, text, f"a {kind} needs its lift", f"Write it like {kind} {example} in 60deg.")
    if lift <= 0 and not (
        kind == "spiral" and match["begin"] and lift != 0
    ):  # a spiral falls when it is said from where to where
        raise BadValue(
            name,
            text,
            "must lift by more than 0",
            "Use fall to go down, rise or spiral to go up; a spiral that falls is said from 19mm to 11mm.",
        )
    return lift


def _segments(values: Values, crank: Fraction | None) -> tuple[Segment, ...]:
    """Return the segments, none of which falls below the axis."""
    found = []
    radius = values["base"]
    for number, text in enumerate(values["segments"], 1):
        segment = _segment(text, number, crank, radius, values)
        radius += {"rise": segment.lift, "spiral": segment.lift, "fall": -segment.lift}.get(segment.kind, 0)
        if radius <= 0:
            raise BadValue(f"segments {number}", text, "falls below the axis", "Check base and lifts.")
        if segment.kind == "eccentric" and segment.lift >= values["base"]:
            rule = f"must be less than the base radius, {values.said('base')}"
            raise BadValue(f"segments {number}", text, rule, "Check base and offset.")
        found.append(segment)
    return tuple(found)


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a rim cam."""
    from stepcut.shapes.cam.bench import CamCutting
    from stepcut.shapes.cam.task import solve
    from stepcut.shapes.cam.wanted import Cam, rim

    crank = machine.table.degrees_per_turn if machine.table else None
    cam = Cam(values["base"], _segments(values, crank))
    if cam.span > 360:
        raise BadValue("segments", f"{float(cam.span):g} deg", "is more than one turn", "Shorten them to 360 degrees.")
    if cam.whole:
        last = rim(cam).last
        if abs(last - float(values["base"])) > 1e-6:
            rule = f"end at radius {values.size(last)} and begin at {values.said('base')}"
            raise BadValue(
                "segments", None, rule, "A whole cam must close; leave a gap of a few degrees if it should drop."
            )
    cutter = read_cutter(values)
    if cutter.kind != "flat":
        raise BadValue("cutter", values.said("cutter"), "does not go with a cam", "Use a flat cutter.")
    cutting = CamCutting(
        values["cut-with"], cutter, values["leave"], values["step"], values["scallop"], values["blank"]
    )
    return solve(cam, cutting, machine)
