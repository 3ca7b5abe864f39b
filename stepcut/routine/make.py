"""From a plan to its acts, and from its acts to the whole card."""

from __future__ import annotations

from importlib import import_module
from importlib.util import find_spec

from msgspec.structs import replace

from stepcut import gate
from stepcut.acts import Act, Card, Fact, Heading, Words, title_of
from stepcut.cards.wording import remark_text
from stepcut.plan import Plan, Stop
from stepcut.routine import details, lay, new_cutter
from stepcut.routine.cam_cycles import CamEnd, CamSide
from stepcut.routine.cycles import Cycle, Event, Helix
from stepcut.routine.face_cycles import Across, Plunge, Side
from stepcut.routine.handles import handle_lines
from stepcut.routine.hands import Hands
from stepcut.routine.passes import Milled, Turned
from stepcut.routine.screens import screens as screens_of
from stepcut.routine.speeds import no_rate_lines, rate_line, speed_line
from stepcut.shapes import brought, named
from stepcut.voice import Dials, Voice, voice_of, volume_text

CHECK_EVERY = 5
SHARES = (0.2, 0.4, 0.6, 0.8)  # of the surface that shows blue: the rows of the filing table
ONE_DEPTH = 8  # cuts of one depth that one check closes


CYCLES: dict[str, type[Cycle]] = {
    each.__name__: each for each in (Across, Plunge, Side, CamEnd, CamSide, Helix, Turned, Milled)
}


OVERSHOT = "Overshot, not cut? Back 1/4 turn or more, past the slack, and come up again."
PAST_HOLE = (
    "Past its hole, not cut? Cutter clear, pin out, table back by hand, pin home in the hole; the rim must agree. "
    "A slide past its mark: back 1/4 turn or more, past the slack, and come up again."
)


def cycle_of(hands: Hands) -> Cycle:
    """Return the cycle of a plan: of the shape's own making, or the one that it names, for each way of cutting if need be."""
    plan = hands.plan
    if find_spec(f"stepcut.shapes.{plan.shape}.cycle") is not None:  # a shape that is cut as no other one
        made: Cycle = import_module(f"stepcut.shapes.{plan.shape}.cycle").cycle(hands)
        return made
    cut = named(plan.shape, "CYCLE")
    return CYCLES[cut if isinstance(cut, str) else cut[plan.approach]](hands)


def words_of(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what the plan's shape says about it."""
    module = import_module(f"stepcut.shapes.{plan.shape}.words")
    words: Words = module.words(plan, voice, dials)
    return gate.everywhere(words)


def acts(plan: Plan, unit: str | None = None) -> tuple[Act, ...]:
    """Return what the hands do, in order, said in a unit (the machine's own when not given)."""
    voice = voice_of(plan.machine, unit)
    dials = Dials(plan, voice.unit)
    return tuple(_written(plan, voice, dials, words_of(plan, voice, dials))[0].acts)


def _written(plan: Plan, voice: Voice, dials: Dials, words: Words) -> tuple[Hands, Cycle, Words]:
    hands = Hands(plan, voice, dials, {"depth": "depth", "slide": "slide"})
    hands.names |= dict(zip(hands.axes, words.names, strict=True))
    cycle = cycle_of(hands)
    words = replace(words, set_up=_set_up(hands, cycle, words))
    if _turns(plan):
        words = replace(words, desk=(*words.desk, rate_line(plan, voice)))
    else:
        words = replace(words, desk=(*words.desk, *no_rate_lines(plan)))
    for what, answer in words.set_up:
        hands.write("prepare", f"{what} ... {answer}")
    cycle.begin()
    by_depth, sweeps = details.by_depth(plan), hands.sweeps
    every = ONE_DEPTH if by_depth and plan.copies <= ONE_DEPTH else CHECK_EVERY
    since = 0  # cuts since the last check
    for before, stop, after in _neighbours(plan.stops):
        event = _event(before, stop, by_depth)
        if event:
            _change(hands, cycle, words, stop, event)
        elif before is None and new_cutter.goes_on(plan):
            new_cutter.change(hands, cycle)
            hands.piece(None, len(hands.acts) - 2)
        hands.stop = stop
        begin = len(hands.acts)
        hands.rough[stop.n] = () if stop.n in hands.swept else cycle.passes(stop)
        cycle.cut(stop)
        hands.piece(stop, begin)
        since += 1
        ends = after is None or _event(stop, after, by_depth) is not None
        if ends or (since >= every and stop.n not in sweeps):  # never with the cutter in the work
            _check(hands, cycle, stop)
            since = 0
    hands.stop = None
    last = brought(plan.shape, "last")
    for k, (what, expect) in enumerate(words.after):
        begin = len(hands.acts)
        if last is not None:
            last.acts(hands, k)
        hands.last.append(tuple(hands.acts[begin:]))
        hands.write("measure", f"{what} ... expect {expect}")
    return hands, cycle, words


def _set_up(hands: Hands, cycle: Cycle, words: Words) -> tuple[Fact, ...]:
    """Return the shape's set-up with the plate, the spindle's speed and the feed, before the dry run."""
    plan, dials = hands.plan, hands.dials
    more: list[Fact] = []
    if plan.first.angular and dials.circle is not None:
        # What was wanted may lie between holes although every place of the plan is one.
        off = max(float(dials.circle_error), plan.result.more.get("worst_error", 0.0))
        worst = f"the worst place is {off:.4f}° off" if off else "every place is exact"
        plate = (
            "Worm out, the direct plate's pin in the hole called 0"
            if dials.table.direct
            else "Plate on the crank, pin in the hole called 0, arms set by spaces"
        )
        more.append((f"{plate}; {worst}", f"{dials.circle} holes"))
    elif plan.first.angular and dials.table.hole_circles:
        by = "dial" if dials.table.crank_dial else "rim"
        more.append(
            (f"No plate: no hole circle keeps every place within half a mark of the rim; the {by} is read", by.upper())
        )
    if _turns(plan):
        more.append(speed_line(plan, hands.voice))
    more += cycle.set_up()
    more += handle_lines(hands)
    if new_cutter.goes_on(plan):
        return new_cutter.set_up(words, more)
    dry = next((k for k, (what, _) in enumerate(words.set_up) if what.startswith("Dry run")), len(words.set_up))
    return (*words.set_up[:dry], *more, *words.set_up[dry:])


def _turns(plan: Plan) -> bool:
    """Whether the spindle turns in the cut: a line is drawn with it stopped."""
    return bool(plan.cutter.diameter) or plan.axes[0] in ("z", "compound")


def _neighbours(stops: tuple[Stop, ...]) -> list[tuple[Stop | None, Stop, Stop | None]]:
    around: list[Stop | None] = [None, *stops, None]
    return [(around[k], stop, around[k + 2]) for k, stop in enumerate(stops)]


def _event(before: Stop | None, stop: Stop, by_depth: bool) -> Event | None:
    """Return what changes before a stop: another ramp, groove or corner; or another depth round."""
    if before is None:
        return None
    if by_depth:
        return "round" if stop.second != before.second else None
    return "start" if stop.start != before.start else None


def _change(hands: Hands, cycle: Cycle, words: Words, stop: Stop, event: Event) -> None:
    hands.stop = None
    begin = len(hands.acts)
    cycle.get_clear(event)
    title = f"{words.column} {stop.start}" if event == "start" else lay.NEXT_DEPTH
    if hands.plan.first.angular:
        # How far the table goes is said once, by the act that turns it: said here too, a tired reader would turn twice.
        begins = f"begins at {words.names[0]} {hands.reading('table', cycle.first(stop))}."
        depth = f"{words.names[1]} {hands.reading(hands.axes[1], cycle.second(stop))}, " if event == "round" else ""
        text = f"{title}: {depth}{begins}"
    else:
        text = f"{title}: {cycle.comes(stop)}"
    hands.write("change", text, start=stop.start, confirm=True)
    hands.piece(None, begin)


def _check(hands: Hands, cycle: Cycle, stop: Stop) -> None:
    readings = cycle.readings(stop)
    hands.checks[stop.n] = readings
    hands.measured = cycle.measured
    said = ", ".join(f"{reading.label} {reading.text}" for reading in readings)
    hands.write(
        "check", f"CHECK after {stop.n}: {'measured ' if cycle.measured else ''}{said}. May pause here.", confirm=True
    )
    hands.piece(stop, len(hands.acts) - 1)


def card(plan: Plan, heading: Heading, screens: bool = True) -> Card:
    """Return everything that any card of a plan prints.

    Parameters
    ----------
    plan : Plan
        What is cut.
    heading : Heading
        Title, part, revision, date, note, next time and unit.
    screens : bool
        Whether to lay out the screens of a phone too, which no other card prints.
    """
    heading = replace(
        gate.everywhere(heading),
        note=gate.prose(heading.note),
        next_time=tuple(gate.prose(words) for words in heading.next_time),
    )
    voice = voice_of(plan.machine, heading.unit)
    dials = Dials(plan, voice.unit)
    words = words_of(plan, voice, dials)
    hands, cycle, words = _written(plan, voice, dials, words)
    columns = lay.columns(hands, words)
    laid = Card(
        plan=plan,
        acts=tuple(hands.acts),
        shape=plan.shape,
        title=title_of(heading.title, plan.shape),
        part=heading.part,
        revision=heading.revision,
        date=heading.date,
        machine=gate.line(plan.machine.called),
        note=heading.note,
        unit=voice.unit,
        verdict=" ".join(remark_text(remark, voice) for remark in plan.remarks if remark.spoils),
        words=words,
        set_up=lay.set_up(hands, words),
        cycle=cycle.short(),
        columns=columns,
        side_by_side=lay.alike(columns),
        after=lay.after(hands, words),
        filing=_filing(plan, voice),
        remarks=tuple(remark_text(remark, voice) for remark in plan.remarks if not remark.spoils),
        next_time=heading.next_time,
        **trouble(plan, words),  # type: ignore[arg-type]  # four texts
    )
    return replace(laid, screens=tuple(screens_of(hands, laid))) if screens else laid


def _filing(plan: Plan, voice: Voice) -> tuple[tuple[str, str, str], ...]:
    """Return the rows of the filing table: what blue shows, what still stands, what is left to file."""
    if plan.contact is None:
        return ()
    rows = []
    for share in SHARES:
        height, volume = plan.at_blue(share)
        rows.append((f"{100 * share:.0f} %", voice.length(height), volume_text(plan, voice, volume)))
    return tuple(rows)


def trouble(plan: Plan, words: Words) -> dict[str, str]:
    """Return what to do when a mark is overshot, a check is off, a cut is too deep, the count is lost."""
    first, second = words.names
    angular = plan.first.angular
    rims = [plan.first.value(stop.first) % 360 for stop in plan.stops] if angular else []
    again = second == "x" and len(set(rims)) < len(rims)  # one rim reading, cuts at several places along the slide
    told = f"{first} and {second} readings together name" if again else f"{first} reading names"
    names_the_cut = f"the {told} the cut" if angular else f"the first cut whose {first} is not there yet is next"
    tool = "Cutter" if angular else "Tool"
    return {
        "overshot": PAST_HOLE if angular and plan.machine.table and plan.machine.table.direct else OVERSHOT,
        "off": f"A check is off? Do not cut. {tool} clear. Find which reading is off, look whether the cuts of "
        "this group show it, write down what you found; set it right coming up the working way, then go on.",
        "too_deep": words.too_deep
        or "Cut too deep? Stop. Write down the line and what you found. Nothing else is lost if all cuts are set "
        "deeper by as much: stepcut recover works that out.",
        "lost": f"Lost? {tool} clear. Turn nothing else: {names_the_cut}; feel the last cut, and begin with the one before it."
        if angular
        else f"Lost? {tool} clear. {names_the_cut[0].upper()}{names_the_cut[1:]}; begin with the one before it.",
    }
