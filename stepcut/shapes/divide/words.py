"""The sheet of a dividing job."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice, nought

TOUCH = "on the part beside what is cut, and set 0 there"  # where another cutter is set to nought
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Table locked before every cut; cutter clear before the table moves.",
    "Lost count? Do not guess: the rim reading names the place.",
)


def off_text(degrees: Fraction, diameter: Fraction | None, voice: Voice) -> str:
    """Return an error in minutes of arc, and as a length at the part's diameter."""
    if not degrees:
        return "nothing"
    text = f"{float(degrees) * 60:.2f}'"
    if diameter is None:
        return text
    return f"{text}, {voice.length(math.radians(float(degrees)) * float(diameter) / 2, 4)} at {voice.size(diameter)}"


def _way(plan: Plan) -> str:
    details, table = plan.details, plan.machine.table
    by = " and the crank's dial" if table is None or table.crank_dial else ""
    return {
        "rim": f"rim{by}, table locked at every place",
        "plate": f"plate, {details.circle} holes; count SPACES from the pin",
        "direct": f"direct plate, {details.circle} holes; worm out, count SPACES",
    }[details.dividing.means]


def _each(plan: Plan, voice: Voice) -> str:
    dividing = plan.details.dividing
    if dividing.ranks is None:
        return f"{dividing.make}, {voice.size(dividing.depth)} deep"
    ranks = dividing.ranks
    parts = [f"lines {voice.size(ranks.line)}"]
    if ranks.fifth is not None:
        parts.append(f"each fifth {voice.size(ranks.fifth)}")
    if ranks.tenth is not None:
        parts.append(f"each tenth {voice.size(ranks.tenth)}")
    return ", ".join(parts) + (", each tenth numbered" if ranks.number is not None else "")


def _round_the_part(plan: Plan) -> tuple[Fact, ...]:
    """Return which way the places run round the part, against the way it turns under the tool; nothing where either way is the same."""
    spots, ranks = plan.details.spots, plan.details.dividing.ranks
    numbered = ranks is not None and ranks.number is not None
    apart = {b.at - a.at for a, b in pairwise(spots)} | {360 - spots[-1].at + spots[0].at}
    if not numbered and len(apart) == 1:
        return ()
    against = "ANTICLOCKWISE" if plan.turning == "clockwise" else "CLOCKWISE"
    what = "numbers grow" if numbered else "places follow each other"
    return ((f"So that on the part, facing it, its {what}", against),)


def _set_up(plan: Plan, dials: Dials, voice: Voice) -> tuple[Fact, ...]:
    lines = plan.approach == "lines"
    rows: list[Fact] = []
    if plan.cutter.diameter:
        rows.append((f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)))
    rows += [
        ("Part held on the table's centre, running true", "TRUE"),
        dials.way("facing it"),
        *_round_the_part(plan),
        (
            f"Part's nought under tool, the working way: rim{'' if plan.details.dividing.means == 'direct' else ' and crank'}",
            "0",
        ),
    ]
    if lines:
        rows.append(
            (
                f"Tool, not turning, at the part's edge: {nought('slide', plan.machine.slide)}",
                "0",
            )
        )
        rows.append(("Tool set to a line's depth by trial on scrap, locked", "YES"))
    else:
        rows.append((f"Cutter touches the part, spindle turning: {nought('depth', plan.machine.depth)}", "0"))
    first, last = (dials.rim_at(plan.first.value(stop.first)) for stop in (plan.stops[0], plan.stops[-1]))
    rows.append((f"Dry run, tool clear: rim {first} to {last}", "CLEAR"))
    return tuple(rows)  # fmt: skip


def _vernier(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return what a vernier covers and reads; nothing of another job."""
    reads, spots = plan.details.dividing.reads, plan.details.spots
    if reads is None:
        return ()
    covers = spots[-1].at - spots[0].at
    return (
        ("Vernier", f"{spots[-1].count} divisions over {voice.degrees(covers)}, reads {voice.angle(float(reads))}"),
    )


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a dividing job says about itself."""
    details = plan.details
    dividing, count = details.dividing, len(plan.stops)
    worst = off_text(details.worst, dividing.diameter, voice)
    where = f", at place {details.worst_at}" if details.worst else ""
    size = f"{count} {dividing.make}, {_each(plan, voice).removeprefix(dividing.make).lstrip(' ,')}"
    return Words(
        size=size,
        head=(
            *_vernier(plan, voice),
            ("Divide", f"{count} {dividing.make}" if details.spots[-1].count + 1 == count else f"{count} {dividing.make} of {details.spots[-1].count + 1} places"),
            ("Each", _each(plan, voice)),
            ("By", _way(plan)),
            ("Worst place", f"off by {worst}{where}; every place is rounded for itself, so nothing builds up"),
        ),
        desk=(("Worst space", f"from one place to the next off by {off_text(details.spacing, dividing.diameter, voice)}"),),
        set_up=_set_up(plan, dials, voice),
        after=((f"Count the {dividing.make}", str(count)), ("Over two opposite or farthest places", "write it")),
        cautions=CAUTIONS,
        names=("rim", "line" if plan.approach == "lines" else "depth"),
        column="PLACES",
        ticks=("turned", "cut"),
        too_deep="Too deep, or in the wrong place? Stop. Write down the line and what you found. What is cut does not come out "
        "again: whether the part still serves is yours to judge; the other places stand where they should.",
    )  # fmt: skip
