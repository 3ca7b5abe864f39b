"""The guided way to a first card: what is asked for each shape, what an answer means, and three plans to choose from.

Pure: questions, answers and plans, no terminal.  Answers are kept as they were typed; any of them can be taken back.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from importlib import import_module
from typing import Any

from msgspec import Struct

from stepcut.errors import BadValue, StepcutError
from stepcut.fields import SPOKEN, Units, read_one
from stepcut.job import Job
from stepcut.machine import Machine, RotaryTable
from stepcut.phrases import parse_per
from stepcut.plan import Plan, Refused
from stepcut.quantity import parse_angle, parse_length
from stepcut.shapes import SHAPES, brings, kind
from stepcut.shapes.guiding import LISTED, Answers, Ask
from stepcut.voice import Voice, turns_text
from stepcut.written import exact_text, near_text

GOOD = {"in": Fraction(254, 10) * 5 / 1000, "mm": Fraction(12, 100)}  # a ridge that a few strokes of the file take off


def parts() -> tuple[str, ...]:
    """Return the shapes that are asked for here: those whose folder has a guide."""
    return tuple(shape for shape in SHAPES if brings(shape, "guide"))


def guide(shape: str) -> Any:
    """Return the guide of a shape; :mod:`stepcut.shapes.guiding` says what is in it."""
    return import_module(f"stepcut.shapes.{shape}.guide")


def questions(shape: str) -> tuple[Ask, ...]:
    """Return what is asked of a shape, in order."""
    asks: tuple[Ask, ...] = guide(shape).QUESTIONS
    return asks


# What stands in the questions as an example, for a shop that works in mm.
IN_MM = {
    "0deg 0, 40deg 0.090in": "0deg 0, 40deg 2.5mm", "5 thou per 10 deg": "0.1mm per 5 deg", "0.090in": "2.5mm", "3/8in, 1/4in ball": "10mm, 6mm ball", "0.600in/ft": "1mm per 20mm",
    "1/8in in 120deg": "3mm in 120deg", "0in 3/4in, 3/8in 15/16in, 3/4in 1in": "0mm 20mm, 10mm 24mm, 18mm 25mm",
}  # fmt: skip


def worded(ask: Ask, unit: str) -> str:
    """Return the words of a question, with examples in the shop's own unit.

    Examples
    --------
    >>> from stepcut.shapes.guiding import CUTTER
    >>> worded(CUTTER, "mm")
    'Which cutter? Its diameter, and its end where it is not flat (10mm, 6mm ball).'
    """
    return _in_unit(ask.words, unit)


def _in_unit(words: str, unit: str) -> str:
    for inch, metric in IN_MM.items() if unit == "mm" else ():
        words = words.replace(inch, metric)
    return words


def how_to(shape: str, ask: Ask, unit: str) -> str:
    """Return how an answer is found and written, with examples in the shop's own unit."""
    if ask.how:
        return _in_unit(ask.how, unit)
    field = next(f for f in kind(shape).fields if f.key == ask.field)
    length = "37mm or 0.12mm" if unit == "mm" else "1-3/8in or 5 thou"
    write = {"length": length, "angle": "140deg or 12°30'", "count": "2"}.get(field.kind, "")
    write = write or ", ".join(field.choices)
    said = _in_unit(field.help, unit).removesuffix(".").removesuffix(f" ({write})")
    return (
        f"{said}. Write it like {write}."
        if write and not field.choices
        else f"{said}." + (f" One of {write}." if write else "")
    )


def next_ask(shape: str, answers: Answers) -> Ask | None:
    """Return the first question that still needs an answer; None when everything is said."""
    return next((ask for ask in questions(shape) if ask.key not in answers and ask.when(answers)), None)


def checked(shape: str, ask: Ask, text: str, machine: Machine) -> None:
    """Refuse an answer that cannot be read.

    Raises
    ------
    BadValue
        The message says how to write it.
    """
    if not text.strip():
        if ask.may_be_empty:
            return
        raise BadValue(ask.key, None, "needs an answer", "Write one, or back to change the one before.")
    if not ask.field:
        _amount(shape, text, machine)
        return
    crank = machine.table.degrees_per_turn if machine.table else None
    field = next(f for f in kind(shape).fields if f.key == ask.field)
    read_one(field, plain(ask, text), Units(machine.unit, crank, machine.unit))


def plain(ask: Ask, text: str) -> str:
    """Return an answer as the input takes it: spoken words of a choice, degrees where a bare number can be nothing else."""
    text = SPOKEN.get(text.strip().lower(), text.strip())
    return f"{text}deg" if ask.key == "span" and re.fullmatch(r"[\d.]+", text) else text


def _amount(shape: str, text: str, machine: Machine) -> dict[str, str]:
    crank = machine.table.degrees_per_turn if machine.table else None
    if LISTED.search(text):
        field = next(f for f in kind(shape).fields if f.key == "targets")
        read_one(field, text.strip(), Units(machine.unit, crank, machine.unit))
        return {"targets": text.strip()}
    try:
        parse_per(text, "amount", machine.unit, crank)
    except BadValue:
        if parse_length(text, "amount", machine.unit) <= 0:
            raise BadValue(
                "amount", text, "must be greater than 0", "Write how much it falls; which way it rises is asked later."
            ) from None
        return {"rise": text.strip()}
    return {"per": text.strip()}


def values_of(shape: str, answers: Answers, machine: Machine) -> dict[str, str]:
    """Return the inputs of a recipe from the answers."""
    values: dict[str, str] = {}
    from_machine = {field.key for field in kind(shape).fields if field.default == "auto"}
    for ask in questions(shape):
        text = answers.get(ask.key, "")
        if ask.field in from_machine and ask.key in answers and not text.strip():
            values[ask.field] = "auto"
        elif text.strip() and ask.when(answers):
            values.update(_amount(shape, text, machine) if not ask.field else {ask.field: plain(ask, text)})
    return values


class Offer(Struct, frozen=True):
    """One of the plans to choose from: what it adds to the recipe, what it is in words, and its ridge in mm."""

    values: dict[str, str]
    words: str
    ridge: float


def offers(job: Job, voice: Voice) -> list[Offer]:
    """Return up to three plans, coarse to fine, each solved; none when no plan can be made."""
    found: list[Offer] = []
    open_ = "scallop" in job.values and job.values["scallop"] is None
    for values in _spacings(job) if open_ else [{}]:  # said to what ridge, or none to leave: one plan
        try:
            plan = job.resized(values).plan
        except (Refused, StepcutError):
            continue
        if not any(abs(plan.result.scallop - other.ridge) < 1e-9 for other in found):
            found.append(Offer(values, _worded(plan, values, voice), plan.result.scallop))
    return sorted(found, key=lambda offer: -offer.ridge)[:3]


def _spacings(job: Job) -> list[dict[str, str]]:
    good = GOOD[job.machine.unit]
    ridges: list[dict[str, str]] = [
        {"scallop": exact_text(good * share, "length", job.machine.unit)}
        for share in (Fraction(2), Fraction(1), Fraction(2, 5))
    ]
    slope = _slope(job)
    if slope is None or job.machine.table is None:
        return ridges
    wanted = [2 * float(good) / slope, float(good) / slope, float(good) / slope / 2]
    table = job.machine.table
    steps = [max(1, int(step / float(even))) * even for step in wanted for even in [_even(table, step)]]
    per = job.values.get("per")
    said = per.step if per is not None else None
    every = dict.fromkeys(([said] if said is not None else []) + steps)
    return [{"step": exact_text(Fraction(step), "angle")} for step in every]


def _even(table: RotaryTable, step: float) -> Fraction:
    """Return what steps of up to so many degrees are offered in: half turns of the handle.

    Where half a turn is no whole mark of the rim, steps of half turns would be rounded one by one to other angles: then whole
    turns, and less than one in marks where a hole circle has them; all in marks where whole turns are none either.

    Examples
    --------
    >>> from stepcut.machine import Scale
    >>> rim = Scale("rim", Fraction(1), Fraction(9), angular=True)
    >>> plates = RotaryTable(rim, hole_circles=(15, 18, 20), crank_dial=False)
    >>> [str(_even(table, step)) for table, step in ((plates, 12.0), (plates, 6.0), (RotaryTable(rim), 6.0))]
    ['9', '1', '9']
    >>> str(_even(RotaryTable(Scale("rim", Fraction(1, 60), Fraction(4), angular=True)), 6.0))
    '2'
    """
    turn, mark = table.degrees_per_turn, table.rim.division
    if (turn / 2 / mark).denominator == 1:
        return turn / 2
    if step < turn and any((mark / turn * circle).denominator == 1 for circle in table.hole_circles):
        return mark
    return turn if (turn / mark).denominator == 1 else mark


def _slope(job: Job) -> float | None:
    """Return the fall for one degree, mm, where the shape's guide tells it and the first plan shows it."""
    tell = getattr(guide(job.recipe.shape), "slope", None)
    try:
        return None if tell is None else float(tell(job.plan))
    except (Refused, StepcutError, KeyError, ZeroDivisionError, TypeError):
        return None


def _worded(plan: Plan, values: Mapping[str, str], voice: Voice) -> str:
    tell = getattr(guide(plan.shape), "offered", None)
    if tell is not None:
        return str(tell(plan, voice))
    count = len(plan.stops)
    step = ""
    if "step" in values and plan.machine.table is not None:
        degrees = plan.first.value(plan.stops[1].first - plan.stops[0].first) if count > 1 else Fraction(0)
        asked = parse_angle(values["step"], "step")
        turns = degrees / plan.machine.table.degrees_per_turn
        if (asked / plan.first.division).denominator != 1:  # no whole mark: the places are the marks nearest to it
            step = f" about every {voice.degrees(asked)}, each at the nearest mark"
        elif degrees > 0:
            step = f" every {voice.degrees(degrees)} ({_cranked(turns, plan.machine.table)} of the handle)"
    spoils = "  IT WOULD SPOIL THE PART." if plan.spoils else ""
    digits = 4 if voice.unit == "in" else 3
    ridge, peak = (near_text(round(size, digits), voice.unit) for size in (plan.result.scallop, plan.result.stock_max))
    # Of a plunged groove only the floor is filed from its leave; where that is nothing, the ridges stand on its walls.
    filed = f", at most {peak} to file" if round(plan.result.stock_max, digits) > 0 else ""
    return f"{count} cuts{step}: leaves ridges of {ridge}{filed}.{spoils}"


def _cranked(turns: Fraction, table: RotaryTable) -> str:
    """Return turns of the handle in words: with plates, whole turns and spaces of the smallest circle that has them.

    Examples
    --------
    >>> from stepcut.machine import Scale
    >>> table = RotaryTable(Scale("rim", Fraction(1), Fraction(9), angular=True), hole_circles=(15, 18, 20))
    >>> _cranked(Fraction(5, 9), table), _cranked(Fraction(14, 9), table), _cranked(Fraction(2), table)
    ('10 spaces of 18', '1 turn + 10 spaces of 18', '2 turns')
    """
    whole, rest = divmod(turns, 1)
    circle = next((c for c in sorted(table.hole_circles) if (rest * c).denominator == 1), None)
    if not rest or circle is None:
        return turns_text(turns)
    spaces = f"{rest * circle} space{'' if rest * circle == 1 else 's'} of {circle}"
    return f"{turns_text(Fraction(whole))} + {spaces}" if whole else spaces


def recommended(found: list[Offer], unit: str) -> tuple[int, str]:
    """Return which plan to take, from 0, and why."""
    good = GOOD[unit]
    size = near_text(good, "in" if unit == "in" else "mm")
    for number, offer in enumerate(found):
        if offer.ridge <= float(good) * 1.02:
            return number, f"the fewest cuts whose ridges a few strokes of the file take off ({size} or less)"
    return len(found) - 1, "the finest of these; its ridges still want some filing"
