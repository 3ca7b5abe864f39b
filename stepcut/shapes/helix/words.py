"""The sheet of a helix."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.shapes.helix.crossing import rows
from stepcut.shapes.helix.left import Ridges
from stepcut.voice import Dials, Voice, nought

CYCLE, DRAWING = "Helix", "cylinder"
TOUCH = "on the cylinder beside the groove, and set depth 0 there"  # where another cutter is set to nought
MOST_ROWS = 6  # of crossings that the head names one by one
ALONG = "lead", "along the axis"  # what its way advances in one turn, and where to
TAKEN_DOWN = "turn this one down below the groove when its diameter may be smaller"
BACKS = True  # a cut may begin behind the end of the last one, and its line says so

CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Table and slide locked before every cut; cutter raised clear before either moves.",
    "Run the whole groove dry first: table on edge, clamps, tailstock and cutter clear to both ends.",
    "Stop the spindle before you measure or brush chips; never use fingers.",
)


def _set_up(plan: Plan, voice: Voice, dials: Dials) -> tuple[Fact, ...]:
    helix = plan.details.helix
    come_up = "the OTHER way, x falling" if plan.second.comes_up == "falls" else "that way"
    first, last = plan.second.value(plan.stops[0].second), max(plan.second.value(stop.second) for stop in plan.stops)
    along = voice.length(last - first) if plan.details.beside > 1 else voice.size(helix.length)
    sweep = f"table {float(helix.sweep):.1f}°, slide {along}"
    return (
        (f"Cutter, {_end(plan, voice)}, measured ________", voice.size(plan.cutter.diameter)),
        ("Table on edge; work true and level, table to tailstock", "TRUE"),
        ("Cutter axis over the axis of the cylinder: Y locked at", "0"),
        dials.way("facing it"),
        (f"x grows from table to tailstock; up to every x {come_up}", "YES"),
        _beginning(plan, voice),
        (f"Cutter touches the top, spindle turning: {nought('depth', plan.machine.depth)}", "0"),
        (f"Dry run of a groove, spindle stopped, cutter clear: {sweep}, to 0 again the working way", "CLEAR"),
        (f"Skim cuts 1, 2 and groove 1's last: it runs {helix.hand.upper()} hand{_skim_other(plan)}", "YES"),
    )  # fmt: skip


def _beginning(plan: Plan, voice: Voice) -> Fact:
    """Return where x and rim are nought: under the cutter, which of a wide groove stands at the wall nearer the table."""
    details = plan.details
    where = "Beginning of groove 1, at the table's end, under the cutter"
    if details.beside > 1:
        where = (
            f"Beginning of groove 1, at the table's end: cutter axis {voice.length(details.begins)} along the axis from the groove's "
            "middle, toward the table"
        )
    return (f"{where}; both the working way: rim, x and dials", "0")


def _end(plan: Plan, voice: Voice) -> str:
    """Return what the cutter's end is like."""
    return f"vee of {voice.degrees(plan.cutter.angle)}" if plan.cutter.kind == "vee" else plan.cutter.kind


def _section(plan: Plan, voice: Voice) -> str:
    """Return the section of the groove: what end it is cut with, how wide it is, in how many sweeps."""
    details, cutter = plan.details, plan.cutter
    if cutter.kind == "vee":
        return f"{_end(plan, voice)}, {voice.length(details.width)} wide at the surface"
    if cutter.kind == "ball":
        return f"round, {voice.length(details.width)} wide at the surface"
    if details.beside == 1 and _shallow(plan):
        return f"flat floor, {voice.length(details.width)} wide at the surface: too shallow for the whole {voice.size(cutter.diameter)} of the cutter"
    if details.beside == 1:
        return f"rectangular, as wide as the cutter, {voice.size(cutter.diameter)}"
    each = (
        "one along each wall"
        if details.beside == 2
        else f"the first and the last along a wall, {details.beside - 2} between"
    )
    return f"rectangular, {voice.size(details.helix.width)} wide at the surface: {details.beside} sweeps of a {voice.size(cutter.diameter)} cutter, {each}"


def _shallow(plan: Plan) -> bool:
    """Return whether the cylinder falls away before the full width of a flat cutter comes down to it, by more than a card shows."""
    return bool(plan.details.width < float(plan.cutter.diameter) - 0.0005)


def _wide(plan: Plan, voice: Voice) -> str:
    """Return the width to measure at the surface, square to the groove."""
    if plan.cutter.kind == "flat" and plan.details.beside == 1 and not _shallow(plan):
        return voice.size(plan.cutter.diameter)
    return voice.length(plan.details.width)


def _widths(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return the widths to measure: walls that sweeps make stand nearer to each other toward the floor."""
    if plan.details.beside == 1:
        return (("Groove width", _wide(plan, voice)),)
    return (
        ("Groove width at the surface", _wide(plan, voice)),
        ("Groove width toward the floor", voice.length(plan.details.low)),
    )


def _leave(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    if not plan.leave:
        return ()
    where = "on floor and walls" if plan.details.beside > 1 else "on the floor; the walls are as the cutter leaves them"
    return (("Leave", f"{voice.length(plan.leave)} {where}"),)


def _ridges(ridges: Ridges, voice: Voice) -> str:
    """Return the ridges of wall and floor, and of the corner between where it is higher."""
    found = f"wall {voice.length(ridges.wall)}, floor {voice.length(ridges.floor)}"
    return found + (f", corner between {voice.length(ridges.corner)}" if ridges.corner else "")


def _skim_other(plan: Plan) -> str:
    """Return what to see of the other hand before it is cut."""
    if not plan.details.helix.cross:
        return ""
    first = next(stop.n for stop in plan.stops if stop.start > plan.details.helix.starts * plan.details.beside)
    return f"; cuts {first} and {first + 1} the same, that it crosses it"


def _other_hand(plan: Plan) -> str:
    """Return which grooves are of the other hand, and from where they are cut."""
    helix, beside = plan.details.helix, plan.details.beside
    if not helix.cross:
        return ""
    other = "LEFT" if helix.hand == "right" else "RIGHT"
    word = "sweeps" if beside > 1 else "groove" if helix.starts == 1 else "grooves"
    first, last = helix.starts * beside + 1, 2 * helix.starts * beside
    numbers = str(first) if first == last else f"{first} to {last}"
    return f"; then {helix.starts}, {other} hand, crossing: {word} {numbers}, cut from the tailstock's end back"


def _crossings(plan: Plan, voice: Voice, dials: Dials) -> Iterator[Fact]:
    """Yield where grooves of both hands cross, and the diamonds between."""
    helix, between = plan.details.helix, plan.details.diamonds
    if between is None:
        return
    found = list(rows(helix))
    shown = found if len(found) <= MOST_ROWS else found[: MOST_ROWS - 1]
    places = "; ".join(f"x {voice.length(x + Fraction(plan.details.begins))} rim {float(at):g}°" for x, at in shown)
    more = (
        "" if shown == found else f"; and so on, {voice.size(helix.lead / (2 * helix.starts))} apart, {len(found)} rows"
    )
    each = f", {helix.starts} in each, {float(Fraction(360, helix.starts)):g}° apart" if helix.starts > 1 else ""
    yield "Crossings", f"{len(found)} row{'s' if len(found) > 1 else ''}{each}: {places}{more}"
    yield (
        "Diamonds",
        f"{voice.length(between.along)} long, {voice.length(between.round)} round, {voice.length(between.across)} across: the land left between",
    )


def _pits(plan: Plan, voice: Voice) -> tuple[list[Fact], list[Fact]]:
    """Return what the head says of the pits, and how deep they are measured."""
    head: list[Fact] = []
    last: list[Fact] = []
    for pit in plan.details.pits:
        where = "beginning" if pit.end == "begin" else "end"
        last.append((f"Depth of the pit at the {where}", voice.size(pit.depth)))
        if pit.cutter is None:
            numbers = ", ".join(str(at.n) for at in pit.places)
            head.append((f"Pit, {where}", f"{voice.size(pit.depth)} deep, in cut {numbers}"))
            continue
        size = f"{voice.size(pit.cutter.diameter)}{'' if pit.cutter.kind == 'flat' else f' {pit.cutter.kind}'}"
        head.append((f"Pit, {where}", f"{voice.size(pit.depth)} deep, last, with a {size} cutter or drill"))
    return head, last


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a helix says about itself."""
    helix, ridges, result = plan.details.helix, plan.details.ridges, plan.result
    pits, pits_last = _pits(plan, voice)
    several = f"{helix.starts} grooves" if helix.starts > 1 else "groove"
    return Words(
        size=f"{voice.size(helix.diameter)} diameter · {several} {voice.size(helix.depth)} deep, lead {voice.size(helix.lead)}",
        head=(
            ("Cylinder", f"{voice.size(helix.diameter)} diameter, groove {voice.size(helix.depth)} deep, {voice.size(helix.length)} long"),
            ("Lead", f"{voice.size(helix.lead)} a turn; groove {90 - helix.angle:.2f}° from square to the axis"),
            ("Section", _section(plan, voice)),
            *pits,
            ("Grooves", f"{helix.starts}, {helix.hand.upper()} hand{_other_hand(plan)}"),
            *_crossings(plan, voice, dials),
            ("Cut", "table on edge, cutter over the top of the cylinder"),
        ),
        desk=(
            *_leave(plan, voice),
            ("Ridges", _ridges(ridges, voice)),
            ("Off the helix", f"at most {voice.length(plan.details.path_error)}, by the slide's divisions"),
            ("To file", f"mean {voice.length(result.stock_mean)} on the floor; {voice.volume(result.volume)} with the walls"),
        ),
        set_up=_set_up(plan, voice, dials),
        after=(
            *pits_last,
            ("Groove depth", voice.size(helix.depth - helix.leave)),
            *_widths(plan, voice),
            ("Edges of the groove deburred", "YES"),
        ),
        cautions=CAUTIONS,
        names=("rim", "x"),
        column="SWEEP" if plan.details.beside > 1 else "GROOVE",
        ticks=("moved", "cut"),
    )  # fmt: skip
