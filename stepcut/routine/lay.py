"""From the list of acts to what stands together on a card: columns, groups, lines, checks, changes."""

from __future__ import annotations

from stepcut.acts import (
    Act,
    Axis,
    Change,
    Check,
    Column,
    Group,
    Line,
    Measure,
    Move,
    Place,
    Reading,
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
    first = Move(reads, "crank", turn.far, hands.dial_text("table", turn.to))
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
    assert key is not None  # noqa: S101  # a plan has cuts, and a cut sets it
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
