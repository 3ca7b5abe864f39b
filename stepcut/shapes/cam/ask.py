"""What may be asked of a rim cam."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from stepcut.errors import BadValue
from stepcut.fields import Field
from stepcut.kernel.motions import LAWS
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.quantity import parse_angle, parse_length
from stepcut.shapes.ramp.ask import CUTTER_FIELDS, LEAVE, read_cutter

FIELDS = (
    Field("base", "length", "Radius where the first segment begins.", needed=True),
    Field("segments", "texts", "Such as 'rise 2.5mm in 60deg harmonic; dwell 30deg; fall 2.5mm in 60deg'.", needed=True),
    Field("approach", "choice", "Flats with the end of the cutter, or arcs with its side.", default="end", choices=("end", "side")),
    *CUTTER_FIELDS,
    Field(LEAVE.key, "length", "Stock to leave everywhere for the file.", default="0mm", rule="not-negative", remedy="Give what is to stay for the file, such as 2thou."),
    Field("step", "angle", "Degrees from stop to stop."),
    Field("scallop", "length", "Largest ridge to leave: the fewest stops that keep to it."),
    Field("blank", "length", "Diameter of the blank."),
)  # fmt: skip
_FORM = re.compile(
    r"\s*(?P<kind>[a-z]+)\s+(?:(?P<lift>.+?)\s+in\s+(?=[\d.]))?(?P<span>[^a-z]*[\d.]+\s*(?:deg\w*|°|d|turns?|')[\d'\"]*)\s*(?P<law>[\w-]+)?\s*",
    re.I,
)
KINDS = ("rise", "fall", "dwell", "spiral", "eccentric")


def _segment(text: str, number: int, crank: Any) -> Any:
    from stepcut.shapes.cam.wanted import Segment

    name = f"segments {number}"
    match = _FORM.fullmatch(text) if len(text) < 120 else None
    if match is None or match["kind"].lower() not in KINDS:
        way = "Write it like rise 2.5mm in 60deg harmonic, dwell 30deg, fall 1in in 90deg, spiral 3mm in 120deg or eccentric 2mm in 360deg."
        raise BadValue(name, text, "is not a segment", way)
    kind, law = match["kind"].lower(), (match["law"] or "uniform").lower()
    if law not in LAWS:
        raise BadValue(name, law, "is not one of the laws", f"Use one of {', '.join(LAWS)}.")
    span = parse_angle(match["span"], name, None, crank)
    if not 0 < span <= 360:
        raise BadValue(name, text, "must be above 0 and at most 360 degrees", "Check its angle.")
    if kind == "dwell":
        if match["lift"]:
            raise BadValue(name, text, "a dwell has no lift", "Write it like dwell 30deg.")
        return Segment("dwell", span)
    if not match["lift"]:
        raise BadValue(name, text, f"a {kind} needs its lift", f"Write it like {kind} 2.5mm in 60deg.")
    lift = parse_length(match["lift"], name)
    if lift <= 0:
        raise BadValue(name, text, "must lift by more than 0", "Use fall to go down.")
    return Segment(kind, span, lift, law)  # type: ignore[arg-type]  # one of the words, checked above


def build(values: Mapping[str, Any], machine: Machine) -> Plan:
    """Return the solved plan of a rim cam."""
    from stepcut.shapes.cam.task import CamCutting, solve
    from stepcut.shapes.cam.wanted import Cam, rim

    crank = machine.table.degrees_per_turn if machine.table else None
    segments = tuple(_segment(text, n, crank) for n, text in enumerate(values["segments"], 1))
    cam = Cam(values["base"], segments)
    if cam.span > 360:
        raise BadValue("segments", f"{float(cam.span):g} deg", "is more than one turn", "Shorten them to 360 degrees.")
    radius = values["base"]
    for number, segment in enumerate(segments, 1):
        radius += {"rise": segment.lift, "spiral": segment.lift, "fall": -segment.lift}.get(segment.kind, 0)
        if radius <= 0:
            raise BadValue(
                f"segments {number}", f"{float(segment.lift):g} mm", "falls below the axis", "Check base and lifts."
            )
        if segment.kind == "eccentric" and segment.lift >= values["base"]:
            raise BadValue(
                f"segments {number}",
                f"{float(segment.lift):g} mm",
                "must be less than the base radius",
                "Check base and offset.",
            )
    if cam.whole:
        wanted = rim(cam)
        last = wanted.curves[-1](float(segments[-1].span))
        if abs(last - float(values["base"])) > 1e-6:
            rule = f"end at radius {last:.4f} mm and begin at {float(values['base']):.4f} mm"
            raise BadValue(
                "segments", None, rule, "A whole cam must close; leave a gap of a few degrees if it should drop."
            )
    cutter = read_cutter(values)
    if cutter.kind != "flat":
        raise BadValue("kind", cutter.kind, "does not go with a cam", "Use a flat cutter.")
    if values["approach"] == "end" and values["cutter"] <= 0:
        raise BadValue("cutter", None, "is missing", "Give its diameter.")
    cutting = CamCutting(
        values["approach"], cutter, values["leave"], values["step"], values["scallop"], values["blank"]
    )
    return solve(cam, cutting, machine)
