"""The sheet of a straight scale."""

from __future__ import annotations

from stepcut.acts import FIRST_LINE, Fact, Words
from stepcut.plan import Plan
from stepcut.voice import Dials, Voice

TOUCH = "on the part beside the lines, and set its depth again by a trial on scrap"  # where another cutter is set
CAUTIONS = (
    FIRST_LINE,
    "Wear eye protection; no gloves, rings or loose sleeves near the cutter.",
    "Stop the spindle before you measure, touch the work or brush chips; never use fingers.",
    "Slide locked before every line; tool clear of the part before the slide moves.",
    "Lost count? Do not guess: the reading of X names the line.",
)


def _what(plan: Plan, voice: Voice) -> str:
    """Return what is ruled."""
    lines, reads = plan.details.lines, plan.details.reads
    length = voice.size(lines[-1].at - lines[0].at)
    if reads is not None:
        return f"vernier of {len(lines)} lines over {length}, reads {voice.size(reads)}"
    return f"{len(lines)} lines over {length}"


def _each(plan: Plan, voice: Voice) -> str:
    ranks = plan.details.ranks
    parts = [f"lines {voice.size(ranks.line)}"]
    parts += [f"each fifth {voice.size(ranks.fifth)}"] if ranks.fifth is not None else []
    parts += [f"each tenth {voice.size(ranks.tenth)}"] if ranks.tenth is not None else []
    return ", ".join(parts) + (", each tenth numbered" if ranks.number is not None else "")


def _set_up(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    rows: list[Fact] = []
    if plan.cutter.diameter:
        rows.append((f"Cutter, {plan.cutter.kind}, measured ________", voice.size(plan.cutter.diameter)))
    first, last = (voice.length(plan.first.value(stop.first)) for stop in (plan.stops[0], plan.stops[-1]))
    rows += [
        ("Part flat, its edge along X by an indicator, end to end", "TRUE"),
        ("Scriber or ground tool, flat square to X; spindle locked", "YES"),
        ("Scale's nought under the tool, as X grows: X and dial", "0"),
        ("Tool at the part's edge, where lines begin: Y and dial", "0"),
        ("Tool set to a line's depth by trial on scrap, locked", "YES"),
        (f"Y is taken to be read as X is, to {voice.length(plan.second.division)}", "YES"),
        (f"Dry run, tool clear: X {first} to {last}", "CLEAR"),
    ]
    return tuple(rows)


def words(plan: Plan, voice: Voice, dials: Dials) -> Words:
    """Return what a straight scale says about itself."""
    details, count = plan.details, len(plan.stops)
    worst = voice.length(details.worst, 5) if details.worst else "nothing"
    where = f", at line {details.worst_at}" if details.worst else ""
    spacing = voice.length(details.spacing, 5) if details.spacing else "nothing"
    first, last = (plan.first.value(stop.first) for stop in (plan.stops[0], plan.stops[-1]))
    return Words(
        size=f"{_what(plan, voice)} · {_each(plan, voice)}",
        head=(
            ("Rule", _what(plan, voice)),
            ("Each", _each(plan, voice)),
            ("By", f"{plan.first.name} for the places, Y for the length of a line; slide locked at every line"),
            ("Worst line", f"off by {worst}{where}; every line is rounded for itself, so nothing builds up"),
        ),
        desk=(("Worst space", f"from one line to the next off by {spacing}"),),
        set_up=_set_up(plan, voice),
        after=(
            ("Count the lines", str(count)),
            ("From the first line to the last, by a rule or caliper", voice.length(last - first)),
        ),
        cautions=CAUTIONS,
        names=("X", "line"),
        column="LINES",
        ticks=("set", "cut"),
        too_deep="Too deep, too long, or in the wrong place? Stop. Write down the line and what you found. A line cut does not "
        "come out again: whether the part still serves is yours to judge; the other lines stand where they should.",
    )  # fmt: skip
