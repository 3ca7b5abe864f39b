"""The sheet of a face ramp: its head, its set-up, its end."""

from __future__ import annotations

from stepcut.cards.sheet import FIRST_LINE, UNIT_WORDS, Dials, Heading, Sheet, common, rows_of, voice_of
from stepcut.cards.wording import Voice
from stepcut.plan import Plan, Stop
from stepcut.shop.lock import FRICTIONS, holds

APPROACHES = {
    "across": "table flat, end of the cutter fed across the wall",
    "plunge": "table flat, end of the cutter plunged at the middle of the wall",
    "side": "table on edge, side of the cutter, depth on the table slide",
}


def lock_line(plan: Plan) -> str:
    """Return one line on whether the ramp holds, over a range of friction."""
    angles = plan.result.more["ramp_angle"]
    verdicts = [f"{friction:.2f} {'holds' if holds(angles['middle'], friction) else 'SLIPS'}" for friction in FRICTIONS]
    return (
        f"{angles['bore']:.1f}° bore, {angles['middle']:.1f}° middle, {angles['outside']:.1f}° outside; "
        f"by the middle, at friction {', '.join(verdicts)}"
    )


def _facts(plan: Plan, voice: Voice, dials: Dials) -> tuple[tuple[str, str], ...]:
    ramp = plan.facts["ramp"]
    rises = ramp.rises
    ring = f"{voice.size(ramp.outside_diameter)} outside, {voice.size(ramp.inside_diameter)} bore"
    fall = f"{voice.length(plan.target['rise'])} in {voice.angle(ramp.span)}, {ramp.law} law"
    if plan.target["start_depth"]:
        fall += f", high end {voice.length(plan.target['start_depth'])} below the face"
    table = plan.machine.table
    assert table is not None  # noqa: S101  # a ramp is solved on a table
    over = plan.facts["set_over"]
    line = {"edge": "uphill EDGE", "centre": "CENTRE"}[plan.facts["on_line"]]
    reading = "falls" if dials.counts_down else "grows"
    order = {"by-ramp": "one ramp after the other", "by-depth": "set each depth once, cut it on every ramp"}
    result = plan.result
    return (
        ("Ring", ring),
        ("Ramp", fall),
        ("Ramps", f"{ramp.starts}" + (f", {order[plan.facts['order']]}" if ramp.starts > 1 else "")),
        ("Hand", f"rises {rises.upper()}, seen facing the ramp"),
        ("Table turns", f"{plan.turning.upper()} seen facing it, only this way; the rim reading {reading}"),
        ("Machine", f"{plan.machine.name}; crank {voice.angle(table.degrees_per_turn)} a turn; units {UNIT_WORDS[voice.unit].upper()}"),
        ("Cutter", f"{voice.size(plan.cutter.diameter)} {plan.cutter.kind}, {APPROACHES[plan.approach]}"),
        ("On the line", f"{line} of the cutter" + (f"; axis set over {voice.length(over)} downhill" if over else "")),
        ("Reach at bore", f"{plan.facts['reach_bore'][0]:.1f}° uphill, {plan.facts['reach_bore'][1]:.1f}° downhill"),
        ("Run-out", f"needs {result.more['run_out']['needed']:.1f}°, has {result.more['run_out']['available']:.1f}°"),
        ("Leave", f"{voice.length(plan.leave)} on purpose, everywhere"),
        ("Scallop", f"{voice.length(result.scallop)}; twist bore to outside {voice.length(result.twist)}"),
        ("To file", f"{voice.length(result.stock_min)} to {voice.length(result.stock_max)}, mean "
                    f"{voice.length(result.stock_mean)}; {voice.volume(result.volume)}"),
        ("Will it hold", lock_line(plan)),
    )  # fmt: skip


def _zero(plan: Plan, voice: Voice) -> tuple[str, ...]:
    second = plan.second.name
    over = plan.facts["set_over"]
    toward = "the column" if plan.facts["ramp"].rises == "clockwise" else "yourself"
    lines = [
        f"Depth 0: {second} where the cutter just touches the face. Depth grows into the work.",
        "Rim 0: the high end of ramp 1 on the radial line through the cutter.",
    ]
    if plan.approach == "side":
        lines.append("Set-over 0: cutter AXIS crosses the table centre; the cutter points at it.")
    elif over:
        lines.append(
            f"Set-over: wall to the right of the table centre seen from the front; first cutter AXIS over the table "
            f"centre, then {voice.length(over)} toward {toward}."
        )
    else:
        lines.append("Set-over: none; cutter AXIS on the radial line, in line with the table centre.")
    return tuple(lines)


def _before(plan: Plan, dials: Dials) -> tuple[str, ...]:
    stops = plan.stops
    dry = [stops[0], stops[len(stops) // 4], stops[len(stops) // 2], stops[-1]]
    places = ", ".join(dials.rim(stop.first) for stop in dict.fromkeys(dry))
    feed = {
        "across": "Feed across the wall and stop in the bore, clear of the far wall.",
        "plunge": "Centre-cutting end mill. Raise it clear before the table turns.",
        "side": "Cutter long enough to pass the wall or to stop in the bore; clear under the table.",
    }[plan.approach]
    return (
        "Part clamped, tube end true, held so that no clamp meets the cutter.",
        "Table and depth scale set to 0 at the touch-off; dials set to 0 as well.",
        f"Dry run, cutter clear: {places}.",
        "First two stops: touch cuts only, measure that the ramp goes the right way, then go on.",
        "Table locked before every cut; overshot: back 1/4 turn or more and come up again.",
        feed,
    )


def _after(plan: Plan, voice: Voice) -> tuple[tuple[str, str], ...]:
    last: Stop = plan.stops[-1]
    deepest = voice.length(plan.second.value(last.second))
    return (
        ("Floor below the face, past the last stop", deepest),
        ("High end below the face", voice.length(max(0.0, plan.target["start_depth"] - float(plan.leave)))),
        ("Ridge, felt with a nail, at the outside", f"up to {voice.length(plan.result.scallop)}"),
        ("Cutter used, its measured size", voice.size(plan.cutter.diameter)),
        ("How the part sat in the holding", "sketch or photo"),
    )


CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Turn the whole ramp dry first, so that no clamp, stud or handle meets cutter or spindle.",
    "File only with a handle on the file, spindle stopped. No strength is promised here.",
)


def sheet(plan: Plan, heading: Heading) -> Sheet:
    """Return the sheet of a ramp."""
    voice = voice_of(plan.machine, heading.unit)
    dials = Dials(plan, voice.unit)
    facts = _facts(plan, voice, dials)
    if heading.note:
        facts += (("Note", heading.note),)
    return Sheet(
        **common(plan, heading, voice),
        facts=facts,
        zero=_zero(plan, voice),
        before=_before(plan, dials),
        titles=("rim", "crank", "depth", "change", "handle"),
        ticks=("turned", "cut"),
        rows=rows_of(plan, dials, ("rim", "depth")),
        after=_after(plan, voice),
        cautions=CAUTIONS,
        mate=(
            "The mate is the same part: cut it from this card with the next letter, same cutter, same table direction. "
            "Face to face the two turn against each other, so they are not mirrored."
        ),
    )
