"""What is cut last of a ramp, with another cutter or a tilted head: read, and refused where it does not serve."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from stepcut.errors import BadValue
from stepcut.fields import Values
from stepcut.kernel.measure import Left, measure
from stepcut.plan import Plan
from stepcut.shapes.picture import picture_of
from stepcut.shapes.ramp.bench import sections_of
from stepcut.shapes.ramp.faces import faces, sharpest, tilt_of
from stepcut.shapes.ramp.finished import finished, hollowed
from stepcut.shapes.ramp.seats import overlap, seats

MOST_TILT = 45  # degrees
PARTS = 4  # of the wall, each weighed at eight radii: what finishes a face ends elsewhere at every radius


def faced(plan: Plan, values: Values) -> Plan:
    """Return the plan with the upright faces that are finished last, where a single-angle cutter or a tilted head is asked for.

    Raises
    ------
    BadValue
        When there is no upright face below a slope, or the cutter is too blunt for its foot.
    """
    angle, ramp = values["angle-cutter"], plan.details.ramp
    key = "angle-cutter" if angle is not None else "tilt-head"
    if angle is None and not values["tilt-head"]:
        return plan
    if angle is not None and values["tilt-head"]:
        raise BadValue("tilt-head", None, "does not go with angle-cutter", "Leave one of them out.")
    stands = next((float(r.facts["stands"]) for r in plan.remarks if r.code == "upright-face"), None)
    most, tilt = sharpest(ramp), tilt_of(ramp)
    if most is None or tilt is None or stands is None or plan.approach == "side":
        raise BadValue(key, values.said(key), "goes with an upright face below a slope, table flat", "Leave it out.")
    if angle is None:
        _tiltable(plan, tilt)
    elif not 0 < angle <= most:
        rule = f"does not fit between slope and upright face, which make {most:.1f} deg at the bore"
        raise BadValue(key, values.said(key), rule, "Take a sharper one, or leave it out and file.")
    scales = plan.first, plan.second
    made = tuple(faces(ramp, angle or tilt, stands, plan.leave, scales, tilted=angle is None))
    said = [[[float(plan.first.value(mark)) for mark in f.marks], float(plan.second.value(f.depth))] for f in made]
    more: dict[str, object] = (
        {"angle_cutter": float(angle)}
        if angle is not None
        else {"tilt": float(tilt), "corner_beside": [float(f.beside) for f in made]}
    )
    remarks = tuple(remark for remark in plan.remarks if remark.code != "upright-face")
    left, beginning = _left(plan)
    left = finished(plan.details.bench, left, made, beginning)
    plan = replace(
        plan, target={**plan.target, "upright_faces": said, **more}, remarks=remarks, details=replace(plan.details, faces=made)
    )  # fmt: skip
    return _leaving(plan, left)


def _left(plan: Plan) -> tuple[Left, float]:
    """Return what the cuts of a plan leave of its first ramp, in enough sections for a cut straight across, and where that begins."""
    ramp, bench = plan.details.ramp, plan.details.bench
    sections = sections_of(ramp, bench.foot, float(bench.leave), PARTS)
    row = [(stop.first, stop.second) for stop in plan.stops if stop.start == 1]
    left = measure(replace(bench.task, sections=sections), bench.task.places(row))
    return left, float(plan.first.value(plan.first.up(Fraction(0))))


def _leaving(plan: Plan, left: Left) -> Plan:
    """Return a plan with what is left of each of its ramps."""
    ramp = plan.details.ramp
    return replace(
        plan,
        contact=left.contact,
        picture=picture_of(left, ramp.wanted, 1),
        result=replace(
            plan.result, scallop=left.scallop, stock_min=left.least, stock_mean=left.mean, stock_max=left.most,
            twist=left.mosts[2] - left.mosts[0], volume=left.volume * ramp.starts,
        ),
    )  # fmt: skip


def _tiltable(plan: Plan, tilt: Fraction) -> None:
    """Refuse a head tilted too far, a round end that does not lie along the slope, and a depth that is read on a tilted quill."""
    if plan.cutter.kind != "flat" or plan.approach != "across":
        rule = "goes with the flat end of an end mill fed across the wall"
        raise BadValue("tilt-head", None, rule, "Give such a cutter, or a single-angle one with angle-cutter.")
    if tilt > MOST_TILT:
        rule = f"would need {float(tilt):g} deg, and from {MOST_TILT} deg on the end cuts more than the side"
        raise BadValue("tilt-head", None, rule, "Take a single-angle cutter with angle-cutter.")
    if "quill" in plan.second.name.lower():
        rule = f"needs a depth that stays upright, and the {plan.second.name} moves aslant with the head"
        raise BadValue(
            "tilt-head",
            None,
            rule,
            "Name a machine with the knee's scale, or take a single-angle cutter with angle-cutter.",
        )


def seated(plan: Plan, values: Values) -> Plan:
    """Return the plan with the hollows for pins that are asked for.

    Raises
    ------
    BadValue
        When a depth is missing, holds the pin in, or the hollow would cut the next ramp.
    """
    ramp, deep = plan.details.ramp, values["seat-depth"]
    pins = {"high": values["seat-high"], "low": values["seat-low"]}
    given = {key: pin for key, pin in pins.items() if pin is not None}
    if not given:
        if deep is not None:
            raise BadValue(
                "seat-depth", values.said("seat-depth"), "goes with seat-low or seat-high", "Give the pin's diameter."
            )
        return plan
    if deep is None:
        raise BadValue(
            "seat-depth",
            None,
            "is missing",
            f"Give how deep a pin rests below the end of the ramp, such as {values.like('0.020in', '0.5mm')}.",
        )
    for key, pin in given.items():
        if 2 * deep > pin:
            rule = f"is more than half of seat-{key} = {values.said(f'seat-{key}')}, and would not let the pin out"
            raise BadValue("seat-depth", values.said("seat-depth"), rule, "Make it shallower.")
    over = overlap(ramp, pins["low"], deep) if pins["low"] is not None else -1.0
    if over > 0:
        rule = f"cuts {values.size(over)} into the high end of the next ramp"
        raise BadValue("seat-low", values.said("seat-low"), rule, "Shorten the span, or take a thinner pin.")
    made = tuple(seats(ramp, pins, deep, plan.first, plan.second))  # type: ignore[arg-type]  # the two ends
    target = {
        **plan.target,
        "seats": [[seat.end, float(seat.pin), float(plan.second.value(seat.depth))] for seat in made],
    }
    left, beginning = _left(plan)
    if plan.details.faces:
        left = finished(plan.details.bench, left, plan.details.faces, beginning)
    left = hollowed(plan.details.bench, left, made, beginning)
    return _leaving(replace(plan, target=target, details=replace(plan.details, seats=made)), left)
