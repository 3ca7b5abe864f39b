"""Zero lost, slipped, the wrong way round: how a cut that stands gives the zero back, and what the cuts elsewhere took, in words."""

from __future__ import annotations

from fractions import Fraction

from stepcut.acts import Card, Line
from stepcut.plan import Plan
from stepcut.shapes import brought, named
from stepcut.shapes.standing import Standing
from stepcut.shop.astray import Astray
from stepcut.shop.recover import past_walls, rows_beside, uses_up, width_along
from stepcut.voice import Voice

GONE = "Take a new blank: lowered by so much there would be nothing left of the part."


def readings(card: Card, n: int) -> str:
    """Return what both scales read at a cut."""
    first, second = card.words.names
    line: Line = card.lines[n - 1]
    return f"{first} {line.first.reads.text}, {second} {line.second.reads.text}"


def lost_lines(card: Card, n: int, voice: Voice) -> list[str]:
    """Return how the zeros of both scales are found again from a cut that stands, and how that is proved."""
    acts = _refind(card, n, voice)
    lines = [f"Zero is lost: cut {n} stands and gives it back. It is at {readings(card, n)}."]
    lines += [f"{k}. {act}" for k, act in enumerate((f"{_clear(card)} clear, spindle stopped. Part and clamps stay as they are.", *acts), 1)]  # fmt: skip
    return [*lines, f"{len(lines)}. {_prove(card, n)}", _then(card, n + 1)]


def _clear(card: Card) -> str:
    """Return what is taken clear of the work."""
    return "Tool" if card.plan.cutter.kind in ("square", "round") else "Cutter"


def _prove(card: Card, n: int) -> str:
    """Return how a zero that was found again is proved: a cut that stands is gone over, and must only be rubbed."""
    stops, onward = card.plan.stops, card.plan.first.angular
    # On a lathe the cuts of the flank before were made by the other corner, and of a cone the pass before stands no more.
    before = n > 1 and not card.plan.coned and (onward or stops[n - 2].start == stops[n - 1].start)
    other = n - 1 if before else n
    return f"Prove it at cut {other}: {readings(card, other)}. Spindle on, feed lightly: it must just rub. If it cuts, or does not touch, begin anew."  # fmt: skip


def _then(card: Card, n: int) -> str:
    return f"Then cut {n}: {readings(card, n)}." if n <= len(card.lines) else "It was the last cut: measure, file and blue."  # fmt: skip


def _refind(card: Card, n: int, voice: Voice) -> tuple[str, ...]:
    """Return the acts by which a cut gives back the zeros of a shape's two scales."""
    plan, line = card.plan, card.lines[n - 1]
    first, second = card.words.names
    where, deep = line.first.reads.text, line.second.reads.text
    direct = plan.first.angular and plan.machine.table and plan.machine.table.direct
    label = "the pin's hole then called" if direct else "its crank dial"
    dial = f", {label} {line.first.dial}" if line.first.dial else ""
    up = (
        "Pin out, turn the table by hand a little at a time"
        if direct
        else "Back a quarter turn, past the slack, and come up the working way a little at a time"
    )
    tell = getattr(brought(plan.shape, "mishap_words"), "refind", None)
    if tell is not None:
        acts: tuple[str, ...] = tell(Standing(plan, n, first, second, where, deep, dial, up, voice))
        if acts:
            return acts
    return (
        f"Rim: the stopped cutter in cut {n}. {up}, until it is free of both walls alike: set {first} {where}{dial}.",
        f"{second.capitalize()}: lower it until paper just drags on the floor, then by the paper: set {second} {deep}.",
    )


def slipped_lines(card: Card, n: int, by: Fraction, last: int, damage: Astray, start: str, voice: Voice) -> list[str]:
    """Return what is to do after a slip: the zero, the damage, and what is cut again.

    Parameters
    ----------
    card, n
        The card, and the last cut that is right.
    by : Fraction
        How far the later cuts stand on, in the plan's first coordinate; below 0 when short of their places.
    last : int
        The last cut that was made.
    damage, start
        What the later cuts took, and the start depth that cleans up a ramp; empty where there is none.
    voice : Voice
        How numbers are said.
    """
    plan = card.plan
    what = "table" if plan.first.angular else "slide or the tool"
    far = voice.degrees(round(float(abs(by)), 3)) if plan.first.angular else voice.length(abs(by))
    lines = [f"The {what} slipped by {far} after cut {n}. Cut {n} is right and gives the zero back: {readings(card, n)}.",
             f"1. {_clear(card)} clear, spindle stopped. Find what slipped, and clamp it so that it cannot again."]  # fmt: skip
    lines += [f"{k}. {act}" for k, act in enumerate(_refind(card, n, voice), 2)]
    lines.append(f"{len(lines)}. {_prove(card, n)}")
    if last <= n:
        return [*lines, "Nothing was cut after it, so nothing else is wrong.", _then(card, n + 1)]
    onward = plan.stops[-1].first >= plan.stops[0].first
    way = ("farther on than" if (by > 0) == onward else "short of") + (
        " its place" if last == n + 1 else " their places"
    )
    made = f"Cut {last} stands" if last == n + 1 else f"Cuts {n + 1} to {last} stand"
    lines.append(f"{made} {far} {way}. {_taken(damage, plan, voice)}")
    lines += _offers(damage, plan, start, voice)
    again = f"cut {last}" if last == n + 1 else f"cuts {n + 1} to {last}"
    more = f", then go on with cut {last + 1}" if last < len(plan.stops) else ""
    return [*lines, f"Then make {again} again at the card's readings{more}. It takes only what still stands."]


def _taken(damage: Astray, plan: Plan, voice: Voice) -> str:
    """Return what cuts at other places took from the wanted surface."""
    beside = ""
    if damage.beside:
        which = f"Cut {damage.beside[0]} stands" if len(damage.beside) == 1 else f"{len(damage.beside)} of them stand"
        beside = f" {which} past the ends of the {plan.shape}: whether that matters, your drawing says."
    if not damage.low:
        return f"None of them goes below the wanted surface{'' if beside else ': nothing is lost'}.{beside}"
    count, below = len(damage.low), voice.length(damage.below)
    if count == 1:
        return f"Cut {damage.worst} went below the wanted surface there, by {below}.{beside}"
    return f"{count} of them went below the wanted surface, cut {damage.worst} most, by {below}.{beside}"


def _offers(damage: Astray, plan: Plan, start: str, voice: Voice) -> list[str]:
    """Return the ways on, the mildest first, each with what it does to the part."""
    if not damage.low:
        return []
    lower, low = voice.length(damage.lower), voice.length(damage.below)
    tell = getattr(brought(plan.shape, "mishap_words"), "offers", None)
    if tell is not None:
        ways: list[str] = tell(damage, plan, start, voice)
        return ways
    if uses_up(plan, damage.lower):
        return [f"Leave it: up to {low} low there. Do not file the rest down to it.", f"Or: {GONE}"]
    wide = "Open" if plan.target.get("side") == "bore" else "Lower"
    return [
        f"Leave it: up to {low} low there. Do not file the rest down to it.",
        f"Or {wide.lower()} everything by {lower} on the radius, every cut from 1 on: the form stays, the size changes by so much.",
    ]


def wrong_way_lines(card: Card, made: int, damage: Astray, other: float | None, start: str, voice: Voice) -> list[str]:
    """Return what is to do when cuts 1 to `made` were made the wrong way round.

    ``other`` is how far these cuts stand below the surface of the part of the other hand, mm; None when that was not worked out.
    """
    plan = card.plan
    cuts = "Cut 1 was" if made == 1 else f"Cuts 1 to {made} were"
    table = plan.first.angular
    lines = [
        f"{cuts} made with the table turned the wrong way: what is cut so far is of the other hand." if table else
        f"{cuts} made with the part held end for end.",
        f"A. Keep what the card wants. {_taken(damage, plan, voice)}",
        *("   " + line for line in _offers(damage, plan, start, voice)),
        f"   {_clear(card)} clear; go to cut 1 the right way, {readings(card, 1)}, and make every cut from 1 on at the card's readings.",
    ]  # fmt: skip
    if not table:
        return [
            *lines,
            "B. If both ends are alike otherwise, call the other end the face: the part is right as it is held. Go on.",
        ]
    turns = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}[plan.turning]
    if other is not None and other > float(plan.leave) + 1e-9:
        lines.append(
            f"B. The other hand: not with these cuts. The cutter stood on the wrong side of the centre line for it, and they are up to "
            f"{voice.length(other)} below its surface."
        )
        return lines
    own = getattr(brought(plan.shape, "mishap_words"), "OTHER_HAND", ". It is then the mirror image of the drawing.")
    lines.append(f"B. Make it of the other hand: go on turning {turns}; each rim reading is 360° less the card's{own}")
    return lines


def helix_wrong_way(card: Card, made: int) -> list[str]:
    """Return the two ways on from a groove that was begun of the wrong hand: a groove cannot be taken away."""
    turns = {"clockwise": "anticlockwise", "anticlockwise": "clockwise"}[card.plan.turning]
    return [
        f"Cuts 1 to {made} were made with the table turned the wrong way: the groove is of the other hand so far, and what is cut stays.",
        f"A. Go on turning {turns}; each rim reading is 360° less the card's: a whole groove of the other hand, if that can serve.",
        f"B. Begin a groove of the right hand at {readings(card, 1)}: the two cross, and the land between is lost there.",
        f"C. Take a new blank, or {named(card.plan.shape, 'TAKEN_DOWN')}.",
    ]


def helix_slipped(card: Card, n: int, by: Fraction, last: int, voice: Voice) -> list[str]:
    """Return what is to do after a slip in a groove: it has a jog, or is made wider."""
    plan = card.plan
    lead, axis = named(plan.shape, "ALONG")
    along = float(by) * float(plan.target[lead]) / 360.0
    lines = slipped_lines(card, n, by, n, Astray(), "", voice)[:-2]
    if last <= n:
        return [*lines, "Nothing was cut after it, so nothing else is wrong.", _then(card, n + 1)]
    made = f"Cut {last} lies" if last == n + 1 else f"Cuts {n + 1} to {last} lie"
    again = f"cut {last}" if last == n + 1 else f"cuts {n + 1} to {last}"
    past = past_walls(plan, range(n + 1, last + 1), along)
    land, along = past - width_along(plan, n), abs(along)
    if land > 0:
        beside = f"a second groove stands beside it there, with a land of about {voice.length(land)} between {axis}"
    elif past > 0:
        beside = f"the groove {voice.length(past)} wider {axis} there"
    else:
        beside = "nothing outside the groove is cut"
    redo = f"make {again} again at the card's readings: the way is right, and {beside}."
    if rows_beside(plan) > 1:  # left, they would stand in the middle of the groove, and a strip where they belong
        return [
            *lines,
            f"{made} {voice.length(along)} {axis} beside {'its place' if last == n + 1 else 'their places'}.",
            f"{redo[0].upper()}{redo[1:]}",
        ]
    on = (
        "the groove is broken off there, and its pieces do not meet: oil stops there"
        if land > 0
        else f"the groove has a jog of {voice.length(along)} at cut {n + 1} and at cut {last + 1}; its width stays. It serves for oil; nothing that "
        "slides in it passes"
    )
    return [
        *lines,
        f"{made} {voice.length(along)} {axis} beside the groove.",
        f"Leave them and go on at cut {last + 1}: {on}." if last < len(plan.stops) else f"Leave them: {on}.",
        f"Or {redo}",
    ]
