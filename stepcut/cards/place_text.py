"""Where the dials stand, in words."""

from __future__ import annotations

from fractions import Fraction

from stepcut.acts import Card, Line
from stepcut.plan import Plan
from stepcut.shapes import brought
from stepcut.shop.finding import Place, Told
from stepcut.shop.recover import too_deep
from stepcut.voice import Dials, Voice

ALL_CUT = "All cuts are ticked as cut: measure, file and blue."


def place_text(told: Told, card: Card, depth: Fraction | None, voice: Voice) -> str:
    """Return which cut it is, turned or cut, what the ticks say of it, and what to do next."""
    plan, place = card.plan, told.place
    n, total = place.stop.n, len(plan.stops)
    row = card.lines[n - 1]
    first, second = card.words.names
    after = f"Then cut {n + 1}: {_at(card, card.lines[n])}." if n < total else "It is the last cut."
    lines: list[str]
    if place.state == "at":
        lines = [
            f"Cut {n} of {total}: {card.words.ticks[0]}, and {second} is set.",
            _by_ticks(told, card, after),
        ]
    elif place.state == "moved":
        lines = [
            f"Cut {n} of {total}: {card.words.ticks[0]}, not cut; {second} still stands at the cut before.",
            f"Set {second} {row.second.reads.text}, then cut. {after}",
        ]
    elif place.state == "set":
        lines = [f"Between cuts {n - 1} and {n}: {second} is set for cut {n}, {first} still stands at cut {n - 1}.",
                 f"Do not cut here. Go to {first} {row.first.reads.text} first, then make cut {n}."]  # fmt: skip
        lines += _one_low(place, plan, depth, voice)
    elif place.state == "clear":
        lines = [f"Cutter clear; {first} is that of cut {n} of {total}."]
        if told.ticked in ("cut", "ahead"):
            lines.append(_by_ticks(told, card, after))
        else:
            lines.append(f"For it {second} must read {row.second.reads.text}: cut it if it is not cut yet. {after}")
    elif place.state == "away":
        lines = [f"Cutter clear; {first} stands at no cut.", *_off_the_mark(told, plan, voice), _next_of(told, card)]
    elif place.state == "ready":
        lines = [
            f"{second} is that of cut {n} of {total}; {first} stands before the work.",
            _by_ticks(told, card, after)
            if told.ticked in ("cut", "ahead")
            else f"Go on to {first} {row.first.reads.text}, unless it is cut already. {after}",
        ]
    elif place.state == "first-only":
        lines = [
            f"{first} is that of cut {n} of {total}; {second} must read {row.second.reads.text}.",
            *([] if told.ticked == "ahead" else [f"Cut it if it is not cut yet. {after}"]),
        ]
    elif place.state == "second-only":
        lines = [f"{second} is that of cut {n} of {total}; {first} must read {row.first.reads.text}."]
    else:
        lines = [
            *_fits_none(told, card, voice),
            *_other_way_round(place, card, depth),
            *_off_the_mark(told, plan, voice),
        ]
        upcoming = told.due or place.stop
        ahead = card.lines[upcoming.n - 1]
        if place.apart and told.due is None and told.ticked != "cut":
            lines.append("Cutter clear. Look at the part which cut was the last, and go on with the one after it.")
        else:
            lines.append(f"Next is cut {upcoming.n}: {_at(card, ahead)}. Cutter clear before you move.")
    if told.ticked == "ahead" and told.due is not None and place.state not in ("at", "clear"):
        lines.append(_skipped(told, card))
    if told.clear_first and place.state not in ("between", "away"):
        tool = card.plan.cutter.kind in ("square", "round")
        lines.append(
            f"{'TOOL OUT CLEAR' if tool else 'RAISE THE CUTTER CLEAR'} before that move: metal stands on the way."
        )
    if place.others:
        lines.append(
            f"The same readings also stand at cut {', '.join(map(str, place.others[:6]))}{' and more' if len(place.others) > 6 else ''}."
        )
    return "\n".join(lines)


def _fits_none(told: Told, card: Card, voice: Voice) -> list[str]:
    """Return between which cuts readings stand that fit none together, and what to look at first where plates tell the angle."""
    place, (first, second) = told.place, card.words.names
    n = place.stop.n
    before = place.before.n if place.before is not None else n
    if place.apart:
        one, other = place.apart
        return [
            f"{first} is that of cut {one}, {second} that of cut {other}: together the readings fit no cut. Do not cut here."
        ]
    where = (
        f"Between cuts {before} and {n}: the readings fit no cut."
        if before != n
        else f"The readings fit no cut; the nearest is {n}."
    )
    circle = Dials(card.plan, voice.unit).circle
    look = f"First look at the plate: is the pin in the circle of {circle} holes, and do the arms stand at this line's spaces?"
    return [where, look] if circle is not None and not told.slack else [where]


def _other_way_round(place: Place, card: Card, depth: Fraction | None) -> list[str]:
    """Say that a radius was read for a diameter, or the other way, where that is what the next cut or the one before it has."""
    scale, x = card.plan.second, card.words.names[1]
    if card.plan.axes[1] != "x" or card.plan.grooved or depth is None:
        return []
    for stop in (place.before, place.stop):
        meant = depth * 2 if scale.doubled else depth / 2
        if stop is not None and abs(scale.value(stop.second) - meant) <= scale.division:
            of, is_ = ("half", "DIAMETER") if scale.doubled else ("twice", "RADIUS")
            return [f"{x} is {of} of what cut {stop.n} has: {x} of this card is the {is_}."]
    return []


def _next_of(told: Told, card: Card) -> str:
    """Return what comes next with the cutter clear: by the ticks, by the rim where there are none, and not at all by a slide."""
    if told.ticked == "cut":
        return ALL_CUT
    if told.due is not None:
        return f"Next is cut {told.due.n}: {_at(card, card.lines[told.due.n - 1])}."
    if not card.plan.first.angular:
        return "Nothing is ticked, and a tool that is clear does not say which cut is next: look at the part, and at the card."
    n = told.place.stop.n
    return f"By the rim alone the next one is cut {n}: {_at(card, card.lines[n - 1])}; look at the part first."


def _at(card: Card, line: Line) -> str:
    """Return where a cut stands: both readings."""
    first, second = card.words.names
    return f"{first} {line.first.reads.text}, {second} {line.second.reads.text}"


def _by_ticks(told: Told, card: Card, after: str) -> str:
    """Return what to do at a cut whose readings both fit."""
    if told.ticked == "cut-now":
        return f"It is ticked as {card.words.ticks[0]} and not as cut: cut it now. {after}"
    if told.ticked == "cut":
        if told.due is None:
            return ALL_CUT
        return f"It is ticked as cut. Next is cut {told.due.n}: {_at(card, card.lines[told.due.n - 1])}."
    if told.ticked == "turned-unticked":
        return f"It is the next one, and not ticked: cut it and tick it, unless it is cut already. {after}"
    if told.ticked == "ahead":
        return _skipped(told, card)
    return f"Cut it if it is not cut yet. {after}"


def _skipped(told: Told, card: Card) -> str:
    """Return what the ticks miss before the cut at which the dials stand."""
    assert told.due is not None  # noqa: S101  # cuts before this one are not ticked
    row, last = card.lines[told.due.n - 1], told.place.stop.n - 1
    which = f"Cut {told.due.n} is" if last == told.due.n else f"Cuts {told.due.n} to {last} are"
    return (
        f"{which} not ticked as cut. Do not cut here before you know: look at the part; if they are not cut, go back to "
        f"{_at(card, row)}."
    )


def _off_the_mark(told: Told, plan: Plan, voice: Voice) -> list[str]:
    """Return what to do about a reading that slack explains."""
    if not told.slack:
        return []
    stop = told.due or told.place.stop
    by = voice.angle(abs(told.slack)) if plan.first.angular else voice.length(abs(told.slack))
    if plan.first.angular and plan.machine.table and plan.machine.table.direct:
        return [f"It stands {by} off the hole of cut {stop.n}: pin out, table by hand to the hole, pin home."]
    if told.slack > 0:
        return [
            f"It stands {by} past the mark of cut {stop.n}: go back a quarter turn or more, past the slack, and come up again."
        ]
    return [
        f"It stands {by} short of the mark of cut {stop.n}: slack on the wrong side, or not there yet. Come up to it."
    ]


def _one_low(place: Place, plan: Plan, depth: Fraction | None, voice: Voice) -> list[str]:
    """Say what it would mean, or means, if this was cut: one step low."""
    if (
        not hasattr(brought(plan.shape, "mishap"), "too_deep")
        or place.before is None
        or depth is None
        or place.before.start != place.stop.start
    ):
        return []
    damage = too_deep(plan, place.before.n, depth)
    if damage.covered:
        return [f"If it was cut here: one step low by {voice.length(damage.over)}; the leave covers it, go on."]
    return [
        f"If it was cut here: one step low by {voice.length(damage.over)}; the leave does not cover it, by {voice.length(damage.below)}.",
        f"See stepcut recover --cut {place.before.n} --found {voice.length(depth)}.",
    ]
