"""From the list of acts to what stands together on a card: columns, groups, lines, checks, changes, screens."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from msgspec.structs import replace

from stepcut.acts import (
    Act,
    Axis,
    Card,
    Change,
    Check,
    Column,
    Group,
    Line,
    Measure,
    Move,
    Place,
    Reading,
    Screen,
    SetUp,
    Words,
)
from stepcut.plan import Stop
from stepcut.routine import details
from stepcut.routine.hands import STAYS, Hands, turns_text
from stepcut.shapes import named


def set_up(hands: Hands, words: Words) -> tuple[SetUp, ...]:
    """Return the set-up, numbered from 1."""
    prepare = [act for act in hands.acts if act.kind == "prepare"]
    return tuple(
        SetUp(act, n, what, answer)
        for n, (act, (what, answer)) in enumerate(zip(prepare, words.set_up, strict=True), 1)
    )


def after(hands: Hands, words: Words) -> tuple[Measure, ...]:
    """Return what to measure after the last cut."""
    measure = [act for act in hands.acts if act.kind == "measure"]
    rows = zip(measure, words.after, hands.last, strict=True)
    return tuple(_measure(hands, act, what, expect, last) for act, (what, expect), last in rows)


def _measure(hands: Hands, act: Act, what: str, expect: str, acts: tuple[Act, ...]) -> Measure:
    """Return a measure with what is cut for it: the change of cutter, then a place at every turn of the table."""
    if not acts:
        return Measure(act, what, expect)
    begins = [k for k, each in enumerate(acts) if each.kind == "turn"]
    ends = [*begins[1:], len(acts)]
    places = tuple(_place(hands, acts[begin:end]) for begin, end in zip(begins, ends, strict=True))
    return Measure(act, what, expect, acts, _change(acts[: begins[0]]), places)


def _place(hands: Hands, acts: tuple[Act, ...]) -> Place:
    """Return one place that is cut last: where the table stands, and the depth of each pass."""
    turn = acts[0]
    fed = [
        each.axis for each in acts if each.kind == "cut" and each.axis is not None
    ]  # across nothing that is read is fed
    axis = fed[-1] if fed else hands.axes[1]
    assert turn.to is not None  # noqa: S101  # a turn has an end
    reads = Reading(hands.names["table"], hands.reading("table", turn.to))
    stays = not turn.turns
    first = Move(reads, "crank", STAYS if stays else _turned(turn), hands.dial_text("table", turn.to))
    moved = [
        each.to
        for each in acts
        if each.axis == axis and each.kind in ("set", "cut") and each.way == "working" and each.to is not None
    ]
    depths = tuple(Reading(hands.names[axis], hands.reading(axis, to)) for to in dict.fromkeys(moved))
    return Place(first, depths, acts)


def same(text: str, before: str | None) -> int:
    """Return how many leading characters of a reading are those of the one before; 0 when all are, or none was.

    Examples
    --------
    >>> same("0.0125", "0.0060"), same("10°", "9°"), same("5", None)
    (3, 0, 0)
    """
    if before is None or len(before) != len(text) or before == text:
        return 0
    return next(k for k, (a, b) in enumerate(zip(text, before, strict=True)) if a != b)


def columns(hands: Hands, words: Words) -> tuple[Column, ...]:
    """Return the cuts: a column a ramp, groove or corner; one column when they are cut by depth."""
    plan = hands.plan
    by_depth = details.by_depth(plan)
    found: list[Column] = []
    groups: list[Group] = []
    lines: list[Line] = []
    change: Change | None = None
    before: Line | None = None
    key: int | None = None
    once = {} if by_depth else _said_once(hands, words)
    for piece in hands.pieces:
        if piece.stop is None:
            change = _change(piece.acts)
            continue
        stop = piece.stop
        if piece.acts[0].kind == "check":
            closing = _closing(hands, words, stop, by_depth)
            groups.append(Group(tuple(lines), _check(hands, stop, piece.acts[0], closing), change))
            lines, change = [], None
            continue
        if not by_depth and stop.start != key:
            if key is not None:
                found.append(_column(hands, words, key, groups, once.get(key, "")))
            groups, before = [], None
        key = stop.start
        before = _line(hands, words, stop, piece.acts, before, stop.start in once)
        lines.append(before)
    if groups:
        assert key is not None  # noqa: S101  # a group has lines, and a line sets it
        only = by_depth or len({s.start for s in plan.stops}) == 1
        found.append(_column(hands, words, None if only else key, groups, once.get(key, "")))
    return tuple(found)


def _closing(hands: Hands, words: Words, stop: Stop, by_depth: bool) -> str:
    """Return what ends with a stop: a ramp or a round; empty inside one."""
    following = hands.after.get(stop.n)
    if following is None:
        return "the last cut"
    if by_depth:
        return "this depth" if following.second != stop.second else ""
    return f"{words.column.lower()} {stop.start}" if following.start != stop.start else ""


def _check(hands: Hands, stop: Stop, act: Act, closes: str) -> Check:
    readings = hands.checks[stop.n]
    text = ", ".join(f"{reading.label} {reading.text}" for reading in readings)
    return Check(act, readings, f"CHECK after {stop.n}", text, closes, hands.measured)


NEXT_DEPTH = "NEXT DEPTH"


def _change(chunk: tuple[Act, ...]) -> Change:
    clear, change = chunk[0], chunk[-1]
    title, _, rest = change.text.partition(": ")
    words = clear.text.split(":")[0].split(",")[0]
    how = clear.text.removeprefix(words).lstrip(":, ")
    how = how[:1].upper() + how[1:]
    text = " ".join([how, *(act.text for act in chunk[1:-1]), f"Then {title}: {rest}"])
    return Change(chunk, words, title, text, black=title != NEXT_DEPTH)


def _last(line: Line | None, which: int) -> str | None:
    """Return the first or second reading of the line before."""
    return None if line is None else (line.first, line.second)[which].reads.text


def _line(hands: Hands, words: Words, stop: Stop, acts: tuple[Act, ...], before: Line | None, once: bool) -> Line:
    plan, dials = hands.plan, hands.dials
    second_at = plan.second.value(stop.second)
    if plan.first.angular:
        at = plan.first.value(stop.first)
        turns = hands.cranked.get(stop.n, "")
        text = dials.rim_at(at)
        rim = Reading(words.names[0], text, same(text, _last(before, 0)))
        first = Move(rim, "crank", turns, hands.dial_text("table", at))
    else:
        first = _straight(hands, words.names[0], hands.axes[0], stop.first, _last(before, 0))
    second = _straight(hands, words.names[1], hands.axes[1], stop.second, _last(before, 1))
    change = ""
    last = hands.before.get(stop.n)
    if last is not None:
        change = dials.at(plan.second, second_at - plan.second.value(last.second), sign=True)
    elif plan.axes[1] == "depth":
        change = dials.at(plan.second, second_at, sign=True)
    return Line(stop.n, stop.start, first, second, acts, _note(hands, words, stop, acts, once), change)


def _straight(hands: Hands, label: str, axis: Axis, divisions: int, before: str | None) -> Move:
    """Return the move of a straight scale: its reading, and the handle's whole turns from nought and dial."""
    scale = hands.plan.first if axis == hands.plan.axes[0] else hands.plan.second
    at = scale.value(divisions)
    text = hands.dials.at(scale, at)
    reads = Reading(label, text, same(text, before))
    if scale.per_turn is None:
        return Move(reads)
    whole = at // scale.per_turn
    return Move(
        reads,
        hands.handle(axis),
        f"{whole} turn{'' if whole == 1 else 's'}",
        hands.dial_text(axis, at),
    )


def _note(hands: Hands, words: Words, stop: Stop, acts: tuple[Act, ...], once: bool) -> str:
    """Return what differs on this line from the cycle, and what the shape itself says of it; its passes unless said once."""
    own = getattr(hands.plan.details, "notes", {}).get(stop.n, "")
    notes = [own] if own else []
    sweep = next((act for act in acts if act.kind == "cut" and act.axis == "table" and stop.n in hands.swept), None)
    if sweep:
        notes.append(
            f"sweep {hands.cranked[stop.n]}: keep the cutter in and the {words.names[1]}, feed the table on to this rim reading"
        )
    if stop.n in hands.sweeps:
        notes.append("stay in the work for the next line")
    back = [act for act in acts if act.kind == "set" and act.way == "back" and act.to is not None]
    if back and named(hands.plan.shape, "BACKS") and stop.start not in hands.said:  # else it is said once for all lines
        act = back[0]
        assert act.axis is not None and act.to is not None  # noqa: S101  # a set act moves an axis
        notes.append(f"first back past it to {words.names[1]} {hands.reading(act.axis, act.to)}")
    pit = [act for act in acts if act.kind == "cut" and act.text.startswith("PIT")]
    if pit:
        depths = ", ".join(hands.reading("depth", act.to) for act in pit if act.to is not None)
        notes.append(f"PIT: after the cut on down to {hands.names['depth']} {depths}, up clear after each")
    if hands.rough.get(stop.n) and not once:
        notes.insert(0, _passes(hands, words, stop, acts))
    return "; ".join(notes)


def _passes(hands: Hands, words: Words, stop: Stop, acts: tuple[Act, ...] = ()) -> str:
    """Return the passes before the last one of a stop; of a sweep also how the table comes back to where it began."""
    shown = [hands.dials.at(hands.plan.second, x) for x in hands.rough[stop.n]]
    listed = ", ".join(shown) if len(shown) <= 6 else f"{shown[0]}, {shown[1]} to {shown[-1]} ({len(shown)} passes)"
    if stop.n in hands.sweeps:
        end = hands.numbered[hands.sweeps[stop.n]]
        reached = hands.dials.rim_at(hands.plan.first.value(end.first))
        back = next((act for act in acts if act.kind == "turn" and act.way == "back"), None)
        again = f"back {turns_text(back.turns)} and up" if back is not None and back.turns is not None else "on round"
        how = f"each swept to {words.names[0]} {reached}, cutter OUT, only then {again} to this {words.names[0]} again"
        return f"in passes, {how}: {words.names[1]} {listed}, then this one"
    return f"in passes: first {words.names[1]} {listed}, same {words.names[0]}"


def _said_once(hands: Hands, words: Words) -> dict[int, str]:
    """Return for each start whose lines all go down in the same passes what is said of them above the column."""
    rows: dict[int, list[Stop]] = {}
    for stop in hands.plan.stops:
        rows.setdefault(stop.start, []).append(stop)
    return {
        start: f"each line {_passes(hands, words, stops[0])}"
        for start, stops in rows.items()
        if len(stops) > 1
        and hands.rough[stops[0].n]
        and len({hands.rough[stop.n] for stop in stops}) == 1
        and not any(stop.n in hands.sweeps for stop in stops)
    }


def _column(hands: Hands, words: Words, key: int | None, groups: list[Group], once: str) -> Column:
    lines = [line for group in groups for line in group.lines]
    title = "CUTS" if key is None else f"{words.column} {key}"
    return Column(
        title,
        f"starts at {lines[0].first.reads.label} {lines[0].first.reads.text}",
        "; ".join(said for said in (_alike(hands, lines), hands.said.get(lines[0].start, ""), once) if said),
        tuple(groups),
    )


def _alike(hands: Hands, lines: list[Line]) -> str:
    """Return what is alike on all lines but the first, which comes from elsewhere, and but sweeps, which say their own."""
    turned = [line for line in lines[1:] if line.acts[0].kind == "turn"]
    turns = {line.first.turns for line in turned or lines[:1]}
    if len(turns) != 1 or lines[0].first.handle != "crank":
        return ""
    said = turns.pop()
    first = lines[0].first.turns
    which = "every line" if len(turned) >= len(lines) - 1 else "every line that is no sweep"
    each = f"{which} {said}{'' if said.endswith('on') else ', on'} to {'its rim reading' if hands.dials.crank == 'rim' else 'the ' + hands.dials.crank}"
    if first == said or len(lines) == 1:
        return each
    return f"line {lines[0].n}: {'the table stays' if first == STAYS else first}; then {each}"


def alike(found: tuple[Column, ...]) -> bool:
    """Whether columns may stand side by side: as many lines in as many groups, and the same second readings."""
    if len(found) < 2:
        return False
    shapes = {
        tuple(tuple(line.second.reads.text for line in group.lines) for group in column.groups) for column in found
    }
    return len(shapes) == 1


# --- screens -------------------------------------------------------------------------------------------------


def screens(hands: Hands, card: Card) -> Iterator[Screen]:
    """Yield what a phone or ``tick`` shows at once, in order; every act of the card stands in exactly one."""
    for item in card.set_up:
        place = f"SET UP · {item.n} of {len(card.set_up)}"
        yield Screen((item.act,), place, item.what, (Reading("", item.answer),), "", "Done")
    total = len(card.lines)
    following = {
        a.check.act.n: b.change
        for a, b in pairwise(card.groups)
        if a.check and b.change and b.change.title == NEXT_DEPTH
    }
    for column in card.columns:
        for group in column.groups:
            if group.change and group.change.title != NEXT_DEPTH:
                place = f"{group.change.title} · {group.lines[0].n} of {total}"
                change = group.change
                numbers = _numbers(hands, change.acts[0])  # where it is clear; the next screen says where to turn
                yield Screen(change.acts, place, change.clear, numbers, change.text, "It is clear", True)
            for line in group.lines:
                yield from _line_screens(hands, line, f"{column.title} · {line.n} of {total}")
            if group.check:
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


def _turned(act: Act) -> str:
    """Return how far an act turns the crank, in its own words."""
    return re.split(r" to (?:dial|hole|rim) " if act.way == "back" else ", land ", act.text.removeprefix("Turn "))[0]


def _turn_screen(hands: Hands, line: Line, place: str, acts: tuple[Act, ...]) -> Screen:
    first, act = line.first, acts[0]
    says = " ".join(act.text for act in acts[1:])
    if act is not next(each for each in line.acts if each.kind == "turn"):  # back to where a sweep began, or on to it
        assert act.to is not None  # noqa: S101  # a turn has an end
        turns = _turned(act)
        ask = f"TURN {turns}, past it, to" if act.way == "back" else f"TURN {turns}, land on"
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
