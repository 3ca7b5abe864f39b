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
from stepcut.shapes.ramp.ask import CUTTER, LEAVE, TURNINGS, read_cutter, read_leave

if TYPE_CHECKING:
    from stepcut.shapes.cam.follower import Follower, FollowerKind
    from stepcut.shapes.cam.wanted import Cam, Segment
    from stepcut.shapes.cam.way import Way

EXAMPLES = (
    "cam --base 15mm --segments 'rise 3mm in 120deg; dwell 60deg; fall 3mm in 120deg harmonic' --cutter 16mm --step 5deg",
    "cam --base 20mm --table '0deg 0, 30deg 1.5mm, 60deg 4mm, 90deg 5.5mm, 120deg 4mm, 150deg 1.5mm, 180deg 0' --unit mm --roller 12mm --cut-with side --cutter 12mm --step 4deg",
)
FIELDS = (
    Field("base", "length", "Radius where the first segment begins; of a snail said from where to where, left out."),
    Field("segments", "texts", "In order: 'rise 2.5mm in 60deg harmonic; dwell 30deg; fall 2.5mm in 60deg', 'from 19mm to 11mm in 300deg', 'spiral 3mm in 200deg', 'eccentric 2mm in 360deg'."),
    Field("table", "targets", "A lift table instead, joined by a smooth curve: pairs of angle and lift over the base, '0deg 0, 10deg 0.2mm, 20deg 0.8mm', or a file with one pair a line.", later=True),
    Field("sectors", "lengths", "Radii of equal sectors instead, with a step between: '20mm, 19mm, 18mm'.", later=True),
    Field("follower", "choice", "What rides on the cam; lifts are then its own, and the rim is worked out for it.", choices=("knife", "roller", "flat"), later=True),
    Field("roller", "length", "Diameter of a roller follower.", later=True),
    Field("face", "length", "Width of a flat follower's face.", later=True),
    Field("offset", "length", "How far beside the axis a roller's way stands, on the side from which the rim comes to it, which eases the rise; with a minus on the other side.", rule="any", later=True),
    Field("pivot", "length", "Of a roller or a flat face on an arm: its pivot from the cam's axis. Lifts are then counted along the arc at the arm's length.", later=True),
    Field("arm", "length", "Length of that arm, from the pivot to the roller's middle.", later=True),
    Field("runs", "choice", "Of an arm: whether the rim runs from the pivot to the follower, as when left out, or to the pivot.", choices=("from-pivot", "to-pivot"), later=True),
    Field("turns", "choice", "The way the cam turns in use, seen facing it.", choices=TURNINGS, later=True),
    Field("for", "choice", "What it is for: a clamp must hold.", choices=("clamp", "lift"), later=True),
    Field("cut-with", "choice", "End of the cutter leaves flats, its side arcs.", default="end", choices=("end", "side"), group="cutter"),
    CUTTER,
    LEAVE,
    Field("step", "angle", "Degrees from cut to cut.", group="steps"),
    Field("scallop", "length", "Largest ridge to leave: the fewest cuts that keep to it.", group="steps"),
    Field("blank", "length", "Diameter of the blank."),
)  # fmt: skip
SIZES = ("base",)  # they tell one part from another
TOGETHER = (("base", "blank"), ("base", "cutter"))  # usually change together; common practice, no source
# Other words that shops use for the same segments.
KINDS = {
    "rise": "rise", "lift": "rise", "fall": "fall", "drop": "fall", "dwell": "dwell", "hold": "dwell", "spiral": "spiral",
    "eccentric": "eccentric",
}  # fmt: skip
_LIFTS = r"(?:from\s+(?P<begin>.+?)\s+to\s+(?P<end>.+?)|(?P<lift>.+?))"
_FORM = re.compile(
    rf"\s*(?:(?P<kind>(?!from\b)[a-z]+)\s+)?(?:{_LIFTS}\s+(?:in|over|per)\s+(?=[\d.]))?"
    r"(?P<span>[^a-z]*[\d.]+\s*(?:deg\w*|°|d|turns?|cranks?|')[\d'\"]*)\s*(?P<motion>[\w-]+)?\s*",
    re.I,
)
_WAY = "Write it like rise 2.5mm in 60deg harmonic, dwell 30deg, fall 1in in 90deg, fall from 19mm to 11mm in 300deg, spiral 3mm in 120deg or eccentric 2mm in 360deg."


def _segment(text: str, number: int, crank: Fraction | None, radius: Fraction, values: Values) -> Segment:
    """Read one segment; ``radius`` is where the one before it ends, mm."""
    from stepcut.shapes.cam.wanted import Segment

    name = f"segments {number}"
    match = _FORM.fullmatch(plain_marks(text)) if len(text) < 120 else None
    word = (match["kind"] or "from").lower() if match else ""
    if match is None or (KINDS.get(word) is None and not (word == "from" and match["begin"])):
        raise BadValue(name, text, "is not a segment", _WAY)
    kind = KINDS.get(word) or _way_of(match, name, values)
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


def _way_of(match: re.Match[str], name: str, values: Values) -> str:
    """Return whether a segment that is only said from where to where rises or falls."""
    begin, end = (parse_length(match[part], name, values.bare("segments")) for part in ("begin", "end"))
    return "rise" if end > begin else "fall"


def _lift(match: re.Match[str], kind: str, text: str, name: str, radius: Fraction, values: Values) -> Fraction:
    """Return the lift of a segment, said as a change or from one radius to another."""
    if match["begin"]:
        begin, end = (parse_length(match[part], name, values.bare("segments")) for part in ("begin", "end"))
        if begin != radius:
            rule = f"begins at radius {match['begin']}, and the one before it ends at {values.size(radius)}"
            raise BadValue(
                name, text, rule, f"Make them meet, or say the change: fall {values.like('1/4in', '8mm')} in 300deg."
            )
        lift = begin - end if kind == "fall" else end - begin
    elif match["lift"]:
        lift = parse_length(match["lift"], name, values.bare("segments"))
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
            f"Use fall to go down, rise or spiral to go up; a spiral that falls is said {values.like('from 3/4in to 7/16in', 'from 19mm to 11mm')}.",
        )
    return lift


def _segments(values: Values, crank: Fraction | None, base: Fraction) -> tuple[Segment, ...]:
    """Return the segments, none of which falls below the axis."""
    found = []
    radius = base
    for number, text in enumerate(values["segments"], 1):
        segment = _segment(text, number, crank, radius, values)
        radius += {"rise": segment.lift, "spiral": segment.lift, "fall": -segment.lift}.get(segment.kind, 0)
        if radius <= 0:
            raise BadValue(f"segments {number}", text, "falls below the axis", "Check base and lifts.")
        if segment.kind == "eccentric" and segment.lift >= base:
            said = values.said("base") if values["base"] is not None else values.size(base)
            rule = f"must be less than the base radius, {said}"
            raise BadValue(f"segments {number}", text, rule, "Check base and offset.")
        found.append(segment)
    return tuple(found)


def _base(values: Values) -> Fraction:
    """Return the base radius: what is given, or where a first segment that says it begins."""
    if values["base"] is not None:
        return values["base"]  # type: ignore[no-any-return]  # its field reads a length
    if values["sectors"]:
        return values["sectors"][0]  # type: ignore[no-any-return]  # its field reads lengths
    match = _FORM.fullmatch(plain_marks(values["segments"][0])) if values["segments"] else None
    if match is not None and match["begin"]:
        return parse_length(match["begin"], "segments 1", values.bare("segments"))
    example = "3/4in" if values.unit == "in" else "15mm"
    raise BadValue("base", None, "is missing", f"Give the radius where the first segment begins, such as {example}.")


def _sectors(values: Values) -> tuple[Segment, ...]:
    """Return equal sectors of one radius each, with a step between, and one from the last back to the first."""
    from stepcut.shapes.cam.wanted import Segment

    radii, found = values["sectors"], []
    if len(radii) < 2:
        raise BadValue("sectors", values.said("sectors"), "needs two radii or more", "Give one for each sector.")
    if values["base"] not in (None, radii[0]):
        rule = f"does not agree with sectors, which begin at {values.size(radii[0])}"
        raise BadValue("base", values.said("base"), rule, "Leave it out: sectors are radii from the axis.")
    for radius, following in zip(radii, (*radii[1:], radii[0]), strict=True):
        found += [Segment("dwell", Fraction(360, len(radii))), Segment("step", Fraction(0), following - radius)]
    return tuple(found)


def _table(values: Values, base: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
    """Return a lift table from 0 degrees; where it ends as it begins, the rest of the circle is a dwell."""
    rows = values["table"]
    if rows[0][0] != 0:
        raise BadValue(
            "table", f"{float(rows[0][0]):g} deg", "must begin at 0 degrees", "Count the angles from the first lift."
        )
    if rows[-1][0] > 360:
        raise BadValue("table", f"{float(rows[-1][0]):g} deg", "is more than one turn", "End at 360 degrees or before.")
    low = min(lift for _, lift in rows)
    if base + low <= 0:
        raise BadValue("table", values.size(low), "falls below the axis", "Check base and lifts.")
    if max(lift for _, lift in rows) == low:
        raise BadValue("table", values.size(low), "is the same lift everywhere", "Give a table that rises.")
    if rows[-1][0] < 360 and rows[-1][1] == rows[0][1]:
        return (*rows, (Fraction(360), rows[0][1]))
    return rows  # type: ignore[no-any-return]  # its field reads pairs


def _cam(values: Values, machine: Machine) -> Cam:
    """Return what is wanted, by segments, sectors or a table, with its follower.

    Raises
    ------
    BadValue
        When it is said in two ways or none, or a whole cam does not close.
    """
    given = [key for key in ("segments", "table", "sectors") if values[key]]
    if not given:
        lift = values.like("0.100in", "2.5mm")
        way = f"Give segments, such as 'rise {lift} in 60deg; dwell 30deg; fall {lift} in 60deg', or table, or sectors."
        raise BadValue("segments", None, "is missing", way)
    if len(given) > 1:
        raise BadValue(given[1], None, f"does not go with {given[0]}", "Leave one of them out.")
    base, follower = _base(values), _follower(values)
    cam = _said(values, machine, base, follower)
    if follower is not None:
        _fits(values, cam, follower)
    return cam


def _said(values: Values, machine: Machine, base: Fraction, follower: Follower | None) -> Cam:
    """Return the cam as one of the three ways says it."""
    from stepcut.shapes.cam.wanted import Cam

    if values["table"]:
        return Cam(base, (), _table(values, base), follower)
    if values["sectors"]:
        if follower is not None and follower.kind != "knife":
            raise BadValue(
                "follower", follower.kind, "does not go with sectors", "Leave it out: they are the rim's own."
            )
        return Cam(base, _sectors(values))
    return Cam(base, _segments(values, machine.table.degrees_per_turn if machine.table else None, base), (), follower)


def _follower(values: Values) -> Follower | None:
    """Return the follower that is asked for; None for none."""
    from stepcut.shapes.cam.follower import Follower

    kind: FollowerKind | None = values["follower"] or (
        "roller" if values["roller"] else "flat" if values["face"] else None
    )
    for key, owner in (("roller", "roller"), ("face", "flat")):
        if values[key] is not None and kind != owner:
            raise BadValue(key, values.said(key), f"does not go with follower = {kind}", "Leave one of them out.")
    if kind == "roller" and values["roller"] is None:
        example = "1/2in" if values.unit == "in" else "12mm"
        raise BadValue("roller", None, "is missing for a roller follower", f"Give its diameter, such as {example}.")
    way = _way(values, kind)
    if kind is None:
        return None
    return Follower(kind, float(values["roller"] or 0) / 2, float(values["face"]) if values["face"] else None, way)


def _way(values: Values, kind: FollowerKind | None) -> Way:
    """Return how the follower is guided: straight through the axis where nothing is said."""
    from stepcut.shapes.cam.way import Arm, Straight

    given = [key for key in ("offset", "pivot", "arm", "runs") if values[key] is not None]
    if given and (kind in (None, "knife") or (kind == "flat" and given[0] == "offset")):
        owner = "a roller" if given[0] == "offset" else "a roller or a flat face"
        raise BadValue(given[0], values.said(given[0]), f"goes with {owner}", "Give roller, or leave it out.")
    if not given:
        return Straight()
    if given[0] == "offset":
        if len(given) > 1:
            raise BadValue(given[1], values.said(given[1]), "does not go with offset", "Leave one of them out.")
        return Straight(float(values["offset"]))
    for key in ("pivot", "arm"):
        if values[key] is None:
            raise BadValue(key, None, "is missing for an arm", "Give pivot and arm, or leave both out.")
    return Arm(float(values["pivot"]), float(values["arm"]), values["runs"] != "to-pivot", kind == "flat")


def _fits(values: Values, cam: Cam, follower: Follower) -> None:
    """Refuse a way on which the follower does not touch the base circle, or does not get to its highest lift."""
    from stepcut.shapes.cam.way import Straight

    if follower.way == Straight():
        return
    key = "offset" if isinstance(follower.way, Straight) else "arm"
    if not cam.whole:
        raise BadValue(
            key, values.said(key), "goes with a cam that comes round", "Fill the circle, with a dwell if need be."
        )
    lifts = cam.lifts
    begin = -lifts.start
    if begin > -lifts.deepest:
        raise BadValue(
            "base",
            values.said("base"),
            "must be the smallest radius with offset or arm",
            "Begin where the follower stands lowest.",
        )
    most = max(-min(s.first, s.last) for s in lifts.stretches) - begin
    if not follower.way.fits(follower.radius + begin, most):
        rule = "does not reach the base circle and the highest lift"
        raise BadValue(key, values.said(key), rule, "Check it with base, pivot and the roller.")


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a rim cam."""
    from stepcut.shapes.cam.bench import CamCutting
    from stepcut.shapes.cam.task import solve

    cam = _cam(values, machine)
    if cam.span > 360:
        raise BadValue("segments", f"{float(cam.span):g} deg", "is more than one turn", "Shorten them to 360 degrees.")
    lifts = cam.lifts
    if cam.whole and not values["sectors"] and abs(lifts.floor - lifts.start) > 1e-6:
        rule = f"end at radius {values.size(-lifts.floor)} and begin at {values.size(-lifts.start)}"
        raise BadValue(
            "table" if cam.table else "segments",
            None,
            rule,
            "A whole cam must close; leave a gap of a few degrees if it should drop.",
        )
    cutter = read_cutter(values)
    if cutter.kind != "flat":
        raise BadValue("cutter", values.said("cutter"), "does not go with a cam", "Use a flat cutter.")
    cutting = CamCutting(
        values["cut-with"], cutter, read_leave(values), values["step"], values["scallop"], values["blank"]
    )
    return solve(cam, cutting, machine, values["turns"] or "clockwise", values["for"])
