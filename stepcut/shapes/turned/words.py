"""The sheets of turned shapes: taper, radius and profile."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut import gate
from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.machine import Scale
from stepcut.plan import Plan
from stepcut.quantity import angle_text
from stepcut.shapes.turned.bench import TaperSizes
from stepcut.shop import tapers
from stepcut.voice import Dials, Voice

CYCLE, DRAWING = {"lathe": "Turned", "mill": "Milled"}, "turned"

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; sleeves rolled up, no rings, no gloves, chuck key out of the chuck.",
    "Stop the spindle before you measure; let the work cool before the final size.",
    "File left-handed with a handle on the file, carriage and tool post clear. Emery: hold it by its two ends.",
)
MILL_CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Turn the table a full turn dry first, so that no clamp or stud meets cutter or spindle.",
    "Feed the table against the cutter, a light drag on its locks; raise the cutter before you stop.",
)


def dial_word(plan: Plan) -> str:
    """Return what the cross-slide shows, in capitals."""
    return "DIAMETER" if plan.second.doubled else "RADIUS"


def _tool(plan: Plan, voice: Voice) -> str:
    if plan.cutter.kind == "square":
        wide = plan.details.width
        return f"square{f', {voice.size(wide)} wide' if wide else ''}; its corner is set to Z and X"
    return f"round nose, radius {voice.size(plan.cutter.radius)}; Z is its leading point, X its lowest point"


def _set_ups(plan: Plan, voice: Voice) -> tuple[tuple[str, str], ...]:
    """Return the set-ups of a taper: compound, tailstock, sine bar, and what an error does."""
    sizes: TaperSizes = plan.details.taper
    large, small, length = float(sizes.large), float(sizes.small), float(sizes.length)
    half = sizes.half_angle
    rows = [
        (
            "Taper",
            f"{voice.size(sizes.large)} to {voice.size(sizes.small)} in {voice.length(length)}, {sizes.side}",
        ),
        (
            "Angle",
            f"{angle_text(half, places=4)} EACH SIDE, {angle_text(2 * half, places=4)} TOTAL; 1:{length / (large - small):.3f}",
        ),
    ]
    compound = plan.machine.compound
    if compound is not None:
        setting = tapers.compound_setting(half, compound.zero)
        nearest = round(setting / float(compound.division)) * float(compound.division)
        zero = {"along": "0 stands ALONG the ways", "across": "0 stands ACROSS the ways"}[compound.zero]
        doubled = bool(plan.machine.cross and plan.machine.cross.doubled)
        back = 25.4 if voice.unit == "in" else 25.0
        check = back * _sine(half) * (2 if doubled else 1)
        travel = length / _cosine(half)
        room = "enough" if travel <= float(compound.travel) else f"TOO SHORT: it has {voice.length(compound.travel)}"
        dial = " DIAMETER" if doubled else " RADIUS"
        rows += [
            ("Compound", f"set {angle_text(setting, places=2)} on its scale ({zero}); nearest mark {angle_text(nearest, places=2)}, then by the check"),
            ("Check", f"back the compound off {voice.length(back)}, touch with the cross-slide: it must move {voice.length(check)} on its{dial} dial"),
            ("Feed", f"compound {voice.length(0.254 / _sine(half) if voice.unit == 'in' else 0.1 / _sine(half))} for "
                     f"{voice.length(0.254 if voice.unit == 'in' else 0.1)} on the radius; travel needed {voice.length(travel)}, {room}"),
        ]  # fmt: skip
    work = float(sizes.work_length or sizes.length)
    rows.append(
        (
            "Tailstock",
            f"set over {voice.length(tapers.set_over(large, small, length, work))} for work {voice.length(work)} between centres",
        )
    )
    bar = sizes.sine_bar or Fraction(127 if voice.unit == "in" else 100)
    rows.append(("Sine bar", f"{voice.size(bar)} bar: blocks {voice.length(tapers.sine_block(float(bar), half))} for each side, "
                             f"{voice.length(tapers.sine_block(float(bar), 2 * half))} for the total"))  # fmt: skip
    rows.append(
        (
            "Half a degree",
            f"of error each side changes the diameter by {voice.length(tapers.error_on_diameter(length, half, 0.5))} over the length",
        )
    )
    rows.append(_measure(sizes, voice))
    rows.append(("Sticks", _sticks(half)))
    rows += [(f"Bore {voice.size(bore)}", _seat(float(bore), small, large, half, voice)) for bore in sizes.bores]
    return tuple(rows)


def _sine(degrees: float) -> float:
    import math

    return math.sin(math.radians(degrees))


def _cosine(degrees: float) -> float:
    import math

    return math.cos(math.radians(degrees))


def _measure(sizes: TaperSizes, voice: Voice) -> tuple[str, str]:
    """Return test readings: over two rolls for a cone, down to two balls in a bore."""
    large, small, half = float(sizes.large), float(sizes.small), sizes.half_angle
    unit = 25.4 / 16 if voice.unit == "in" else 1.0
    if sizes.side == "outside":
        roll = unit * max(2, round(small / 4 / unit))
        block = unit * max(4, round(float(sizes.length) / 2 / unit))
        low, high = tapers.over_rolls(small, roll, half), tapers.over_rolls(small, roll, half, block)
        return (
            "Over rolls",
            f"small end on a plate, two {voice.size(roll)} rolls: {voice.length(low)}; both on {voice.size(block)} blocks: {voice.length(high)}",
        )
    balls = [unit * round(size / unit) for size in (small + (large - small) * 0.3, small + (large - small) * 0.8)]
    if balls[0] == balls[1] or balls[0] * _cosine(half) < small * 0.9:
        return ("Over balls", "the bore is too short or too narrow for two balls of a whole size")
    depths = [f"{voice.size(ball)} ball {voice.length(tapers.ball_depth(large, ball, half))}" for ball in balls]
    return ("Over balls", f"from the face down to the top of the {' and of the '.join(depths)}; a minus stands out")


def _sticks(half: float) -> str:
    low, high = tapers.sticks(half, 0.08), tapers.sticks(half, 0.15)
    verdict = "sticks, oiled or dry" if low else "may stick when dry, lets go when oiled" if high else "does not stick"
    return f"{verdict}; taken friction 0.08 oiled to 0.15 nearly dry, steel on steel"


def _seat(bore: float, small: float, large: float, half: float, voice: Voice) -> str:
    if not small < bore < large:
        return f"does not seat: the cone takes {voice.length(small)} to {voice.length(large)}"
    return f"sits {voice.length(tapers.seat_depth(bore, small, half))} from the small end"


def form_text(target: Mapping[str, Any], voice: Voice) -> str:
    """Return the sizes of a turned form as a drawing would name them."""
    form, radius = target["form"], voice.size(target["radius"])
    size = {key: voice.size(target[key]) for key in ("diameter", "small", "length", "hole", "at") if key in target}
    if form == "neck":
        return f"neck, {size['small']} DIAMETER in a {size['diameter']} shaft, {size['length']} long from {size['at']} to the shoulder, radius {radius}"
    if form in ("waist", "crown"):
        first, then = ("ends", "middle") if form == "waist" else ("middle", "edges")
        return f"{form}, {first} {size['diameter']} DIAMETER, {then} {size['small']}, {size['length']} long from {size['at']}; radius {voice.length(target['radius'])}"
    if form == "seat":
        return f"seat for a ball of radius {radius}, mouth {size['diameter']} DIAMETER, from a hole of {size['hole']}"
    if form != "ball":
        return f"{form}, radius {radius} on {size['diameter']} DIAMETER, from {target['from_angle']:g}° to {target['to_angle']:g}°"
    neck = f"; its neck {voice.length(target['length'])} long is cut first" if "length" in size else ""
    return f"ball, radius {radius}, from {target['from_angle']:g}° to {target['to_angle']:g}°{neck}"


def _head(plan: Plan, voice: Voice) -> tuple[tuple[str, str], ...]:
    if plan.shape == "taper":
        return _set_ups(plan, voice)
    target = plan.target
    if plan.shape == "radius":
        return (("Form", form_text(target, voice)),)
    last = target["targets"][-1]
    return (
        (
            "Profile",
            f"{len(target['targets'])} targets, to {voice.size(last[1])} DIAMETER at {voice.size(last[0])} from the face",
        ),
    )


def _after(plan: Plan, voice: Voice) -> tuple[tuple[str, str], ...]:
    rows = [("Ridge, felt with a nail", f"up to {voice.length(plan.result.scallop)}")] if plan.stops else []
    if plan.shape == "taper":
        sizes: TaperSizes = plan.details.taper
        rows = [
            ("Large end DIAMETER", voice.length(sizes.large)),
            ("Small end DIAMETER", voice.length(sizes.small)),
            ("Length", voice.length(sizes.length)),
            *rows,
        ]
    return (
        *rows,
        ("Tool used, its measured nose or width", "write it"),
        ("How the part sat in the holding", "sketch or photo"),
    )


def _desk(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    result = plan.result
    if not plan.stops:
        return ()
    return (
        ("Leave", f"{voice.length(plan.leave)} on the radius, everywhere"),
        ("Scallop", f"{voice.length(result.scallop)}"),
        ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)} on the radius, mean "
                    f"{voice.length(result.stock_mean)}; {voice.volume(result.volume)}"),
    )  # fmt: skip


def _set_up_acts(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    """Return what is done before the first cut; of a taper that is cut by a set-up, the whole of the work."""
    if not plan.stops:
        over = plan.details.taper.by == "set-over" or plan.machine.compound is None
        return _by_tailstock(plan, voice) if over else _by_compound(plan, voice)
    lathe, bore = plan.approach == "lathe", plan.details.in_bore
    tool = (
        f"square, its corner toward the {'tailstock' if plan.details.flanks[0] == 'to-face' else 'headstock'}"
        if plan.cutter.kind == "square"
        else f"round nose {voice.size(plan.cutter.radius)}, its leading point"
    )
    hold = "Part held, running true; tool at centre height" if lathe else "Part on the table's centre, running true"
    deepest = max(stop.first for stop in plan.stops)
    hole = (
        (
            (
                f"Hole drilled, {voice.size(plan.target['hole'])} DIAMETER: at least so deep",
                voice.length(plan.details.cuts[0].flank.z_at(0.0)),
            ),
        )
        if "hole" in plan.target
        else ()
    )
    dry = (
        f"Dry run, spindle stopped, tool clear: carriage in to z {dials.at(plan.first, plan.first.value(deepest))}, and out in front of the face"
        if lathe
        else "Dry run, spindle stopped, cutter clear: the table once round"
    )
    return (
        (hold, "TRUE"),
        *hole,
        (f"Tool, {tool}, touches the face: z and its dial", "0"),
        _measured_cut(plan, dials),
        (f"Cuts go {'away from' if bore else 'toward'} the axis; come up to every x that way", "YES"),
        (dry, "CLEAR"),
        ("Cut 1: skim first and measure, set the dial, then to size", "YES"),
    )  # fmt: skip


def _measured_cut(plan: Plan, dials: Dials) -> Fact:
    """Return how the cross-slide is set by a measured cut; a dial that counts backward by what is still to come off."""
    scale = plan.second
    if scale.per_turn is None or not scale.backward(False):
        return (
            f"Take a light cut, stop, measure it; set the {scale.name} to what you measured: it shows the",
            dial_word(plan),
        )
    x, off = scale.value(plan.stops[0].second), 10 * scale.division
    less, before = ("and", x - off) if plan.details.in_bore else ("less", x + off)
    dial, example = (dials.at(scale, -at % scale.per_turn) for at in (x, before))
    return (
        f"Take a light cut, stop, measure it. The {scale.name} dial counts BACKWARD: set it to {dial} {less} what is still to come off "
        f"to x {dials.at(scale, x)} ({dials.at(scale, off)} to come off: dial {example}); x is the",
        dial_word(plan),
    )


def _by_compound(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return how a taper is cut with the compound; the face is its small end outside, its large end in a bore."""
    sizes: TaperSizes = plan.details.taper
    half, length, compound = sizes.half_angle, float(sizes.length), plan.machine.compound
    assert compound is not None  # noqa: S101  # the caller's condition
    bore = sizes.side == "bore"
    setting = tapers.compound_setting(half, compound.zero)
    doubled = bool(plan.machine.cross and plan.machine.cross.doubled)
    back = 25.4 if voice.unit == "in" else 25.0
    swung, end = ("TOWARD the axis", "large") if bore else ("AWAY from the axis", "small")
    handle = gate.line(compound.scale.handle or "compound")
    past, before = _out_of_slack(compound.scale, voice)
    return (
        ("Part held, running true; tool exactly at centre height, or the taper comes out curved", "TRUE"),
        (f"Compound swung so that, fed toward the headstock, the tool goes {swung} ({end} end at the face); locked at", angle_text(setting, places=2)),
        *((_by_sine_bar(sizes, voice),) if sizes.by == "sine-bar" else ()),
        (f"Touch a true bar, wind the {handle} back {voice.length(back)}{past}, touch again: the cross-slide has moved, on its {dial_word(plan)} dial",
         voice.length(back * _sine(half) * (2 if doubled else 1))),
        ("Carriage locked; from here the compound alone feeds along. Its gibs snug, tool and chuck clear at both ends: travel",
         voice.length(length / _cosine(half))),
        (f"Tool touches the face: mark the compound's dial; begin every pass {before}in front of it", "0"),
        ("Dry run, spindle stopped, tool clear: the compound through its whole travel, and back", "CLEAR"),
        ("Each pass: depth with the cross-slide in front of the face, feed the compound the whole length, tool out of the metal, compound back", "YES"),
        ("After the first full-length pass: measure or blue, mend the angle, only then go to size", "YES"),
    )  # fmt: skip


def _out_of_slack(scale: Scale, voice: Voice) -> tuple[str, str]:
    """Return how the compound is wound back past its slack, and how far in front of the face a pass begins; empty without slack."""
    if not scale.backlash:
        return "", ""
    slack = voice.size(scale.backlash)
    return f" and more than its slack of {slack} past that, come up to it again", f"more than its slack of {slack} "


def _by_sine_bar(sizes: TaperSizes, voice: Voice) -> Fact:
    """Return how the compound is set by a sine bar: the bar stands on its blocks at the angle of one side."""
    bar = sizes.sine_bar or Fraction(127 if voice.unit == "in" else 100)
    what = f"Sine bar {voice.size(bar)} on its blocks against a bar true with the ways; an indicator carried by the compound reads the same along it: blocks"
    return what, voice.length(tapers.sine_block(float(bar), sizes.half_angle))


def _by_tailstock(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return how a taper is cut between centres with the tailstock set over; no bore is."""
    sizes: TaperSizes = plan.details.taper
    if sizes.side == "bore":
        return (("Part held, running true; tool at centre height", "TRUE"),)
    large, small, length = float(sizes.large), float(sizes.small), float(sizes.length)
    work = float(sizes.work_length or sizes.length)
    return (
        ("Part between centres, driven by a dog that may tilt; tool exactly at centre height", "TRUE"),
        ("Tailstock toward the tool side for a small end there, by a dial: set over",
         voice.length(tapers.set_over(large, small, length, work))),
        ("Dry run, spindle stopped, tool clear: carriage over the whole length, and back", "CLEAR"),
        ("After the first full-length pass: measure or blue, mend the set-over, only then go to size", "YES"),
    )  # fmt: skip


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a turned shape says about itself."""
    lathe = plan.approach == "lathe"
    head = _head(plan, voice)
    dial = ("Dial", f"{plan.second.name} shows {dial_word(plan)}")
    how = "lathe, carriage and cross-slide" if lathe else "mill, quill and slide, a full turn of the table each cut"
    return Words(
        size=head[0][1],
        head=(*head, ("Cut", how), ("Tool", _tool(plan, voice)), dial) if plan.stops else (*head, dial),
        desk=_desk(plan, voice),
        set_up=_set_up_acts(plan, voice, dials),
        after=_after(plan, voice)[:-2],
        cautions=CAUTIONS if lathe else MILL_CAUTIONS,
        names=("z", "x"),
        column=plan.details.column,
        ticks=("set", "cut"),
    )
