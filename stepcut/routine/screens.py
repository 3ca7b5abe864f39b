"""What a phone or ``tick`` shows at once, one screen after another: the acts of a laid card, grouped by what one button confirms."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from msgspec.structs import replace

from stepcut.acts import Act, Card, Change, Check, Line, Measure, Move, Reading, Screen
from stepcut.routine.hands import Hands
from stepcut.routine.lay import NEXT_DEPTH


def screens(hands: Hands, card: Card) -> Iterator[Screen]:
    """Yield what a phone or ``tick`` shows at once, in order; every act of the card stands in exactly one."""
    for item in card.set_up:
        place = f"SET UP · {item.n} of {len(card.set_up)}"
        yield Screen((item.act,), place, item.what, (Reading("", item.answer),), "", "Done")
    total = len(card.lines)
    following = {a.check.act.n: b.change for a, b in pairwise(card.groups) if b.change and b.change.title == NEXT_DEPTH}
    for column in card.columns:
        for group in column.groups:
            if group.change and group.change.title != NEXT_DEPTH:
                place = f"{group.change.title} · {group.lines[0].n} of {total}"
                change = group.change
                numbers = _numbers(hands, change.acts[0])  # where it is clear; the next screen says where to turn
                yield Screen(change.acts, place, change.clear, numbers, change.text, "It is clear", True)
            for line in group.lines:
                yield from _line_screens(hands, line, f"{column.title} · {line.n} of {total}")
            yield _check_screen(group.check, group.lines[-1].n, following.get(group.check.act.n))
    for n, measure in enumerate(card.after, 1):
        for screen in _last_screens(hands, measure):
            yield replace(screen, n=None, last=n)
        place = f"MEASURE · {n} of {len(card.after)}"
        yield Screen((measure.act,), place, measure.what, (Reading("expect", measure.expect),), "", "Written")


def _last_screens(hands: Hands, measure: Measure) -> Iterator[Screen]:
    """Yield the screens of what is cut last for a measure: the change of cutter, then place after place as any other cut."""
    change = measure.change
    if change is None:
        return
    yield Screen(
        change.acts, change.title, change.clear, _numbers(hands, change.acts[0]), change.text, "It is clear", True
    )
    for k, place in enumerate(measure.places, 1):
        line = Line(0, k, place.first, Move(place.depths[-1]), place.acts)
        yield from _line_screens(hands, line, f"{change.title} · {k} of {len(measure.places)}")


def _check_screen(check: Check, n: int, following: Change | None) -> Screen:
    """Return a check's screen, with the change to the next depth if one follows: there the cutter is clear already."""
    place = f"{check.title} · ends {check.closes}" if check.closes else check.title
    says = f"{'Stop the spindle first. ' if check.measured else ''}May pause here. One is off? Do not cut."
    ask, button = "Must measure" if check.measured else "Must read", "Both right"
    acts = (check.act, *(following.acts if following else ()))
    if following:
        button = "Both right, clear"
        says = f"{following.clear}: {following.text} One is off? Do not cut."
    return Screen(acts, place, ask, check.readings, says, button, True, n)


def _line_screens(hands: Hands, line: Line, place: str) -> Iterator[Screen]:
    """Yield a line's screens: a move with the lock after it, a setting with the feed across, each feed, each way out."""
    rest = list(line.acts)
    while rest:
        together = [rest.pop(0)]
        kind = together[0].kind
        while rest and _goes_with(together, rest[0]):
            together.append(rest.pop(0))
        if kind == "turn":
            yield _turn_screen(hands, line, place, tuple(together))
        elif kind == "clear":
            says = " ".join((_besides(hands, together[0]), *(act.text for act in together[1:])))
            yield Screen(tuple(together), place, "CLEAR", _numbers(hands, together[0]), says, "It is clear", n=line.n)
        else:
            yield _cut_screen(hands, line, place, tuple(together))


def _goes_with(together: list[Act], act: Act) -> bool:
    """Whether an act shares the screen of those before it."""
    last = together[-1].kind
    if act.kind == "lock":
        return last in ("turn", "set")
    if act.kind == "cut" and act.axis == "table":  # a sweep, for which the lock is eased
        return [each.kind for each in together] == ["lock"]
    if act.kind == "cut":
        return last in ("set", "lock") and together[0].kind != "turn" and act.axis is None
    return act.kind == "clear" and last == "clear"


def _turn_screen(hands: Hands, line: Line, place: str, acts: tuple[Act, ...]) -> Screen:
    first, act = line.first, acts[0]
    says = " ".join(act.text for act in acts[1:])
    if act is not next(each for each in line.acts if each.kind == "turn"):  # back to where a sweep began, or on to it
        assert act.to is not None  # noqa: S101  # a turn has an end
        ask = f"TURN {act.far}, past it, to" if act.way == "back" else f"TURN {act.far}, land on"
        return Screen(acts, place, ask, _numbers(hands, act), says, "TURNED", n=line.n)
    ask = f"TURN {first.turns}, land on" if act.turns else "The table stays on"
    numbers = (Reading(hands.dials.label, first.dial), first.reads) if first.dial else (first.reads,)
    return Screen(acts, place, ask, numbers, says, "TURNED", n=line.n)


def _numbers(hands: Hands, act: Act) -> tuple[Reading, ...]:
    """Return the reading that an act ends at, and the dial of its handle."""
    if act.axis is None or act.to is None:
        return ()
    dial = hands.dial_text(act.axis, act.to)
    reads = Reading(hands.names.get(act.axis, act.axis), hands.reading(act.axis, act.to))
    if not dial:
        return (reads,)
    if act.axis == "table":
        return (Reading(hands.dials.label, dial), reads)
    return (reads, Reading(f"{hands.handle(act.axis)} dial", dial))


def _cut_screen(hands: Hands, line: Line, place: str, acts: tuple[Act, ...]) -> Screen:
    """Return the screen of a setting or a feed; the number is that of the last act that moves a scale."""
    moved = next((act for act in reversed(acts) if act.axis is not None), None)
    numbers = _numbers(hands, moved) if moved else ()
    ends = hands.numbered.get(line.n)  # none where it is cut last, after the plan
    if moved is not None and numbers and ends and moved.to == hands.plan.second.value(ends.second):
        alike = line.second.reads if numbers[0].text == line.second.reads.text else numbers[0]
        numbers = (alike, *numbers[1:])
    cut = any(act.kind == "cut" for act in acts)
    back = moved is not None and moved.way == "back"
    label = hands.names.get(moved.axis, moved.axis).upper() if moved and moved.axis else "CUT" if cut else "LOCK"
    ask = (
        f"{label} BACK, past the slack"
        if back
        else f"FEED to {label}"
        if moved is not None and moved.kind == "cut"
        else label
    )
    said = [_besides(hands, act) if act is moved and numbers else act.text for act in acts]
    if moved is not None and (
        sweep := re.fullmatch(r"SWEEP: (keep .*), feed the table on (.*) to dial .*", moved.text)
    ):
        ask, said = f"SWEEP {sweep[2]}, on to", [*said[:-1], f"K{sweep[1][1:]}."]
    says = " ".join(text for text in said if text)
    return Screen(acts, place, ask, numbers, says, "CUT" if cut else "SET", n=line.n)


def _besides(hands: Hands, act: Act) -> str:
    """Return the words of an act that its screen does not show as numbers already: twice is once too often."""
    if act.axis is None or act.axis == "table" or act.to is None:
        return act.text
    name, reading = hands.names.get(act.axis, act.axis), hands.reading(act.axis, act.to)
    shown = hands.feed_text(act.axis, act.to)
    text = act.text.removeprefix(f"Set {shown}.")
    for before in (" up to ", " to ", ": "):
        for words in (shown, f"{name} {reading}"):
            text = text.replace(f"{before}{words}", "")
    turns = re.search(r"\((\d+ turns? from 0)\)", shown)
    handle = hands.handle(act.axis)
    dial = f"{handle[:1].upper()}{handle[1:]} dial: {turns[1]}." if turns else ""
    return " ".join(part for part in (text.strip(), dial) if part)
