"""What may be asked of a straight scale."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan
from stepcut.shapes.spaced import covered, kept

if TYPE_CHECKING:
    from stepcut.shapes.rule.wanted import Line

MOST = 3600
EXAMPLES = (
    "rule --pitch 1mm --divisions 60 --line 3mm --fifth 4.5mm --tenth 6mm --number 1 --machine metric",
    "rule --vernier 25 --main 0.025in --line 1/8in --fifth 3/16in --number 1 --machine inch",
)
FIELDS = (
    Field("pitch", "length", "From one line to the next; with divisions or length."),
    Field("divisions", "count", "Number of divisions; lines are one more.", most=MOST, example="60"),
    Field("length", "length", "Length of the whole scale, instead of pitch or of divisions."),
    Field("places", "lengths", "Where the lines stand, instead: '0mm, 3.5mm, 12mm'.", rule="not-negative"),
    Field("vernier", "count", "Divisions of a vernier, such as 10 or 25; with main.", most=200),
    Field("main", "length", "One division of the main scale that a vernier reads."),
    Field("over", "count", "How many main divisions the vernier covers; one less than its own when left out.", most=400),
    Field("start", "length", "Where the first line stands from nought.", default="0mm", rule="any"),
    Field("skip", "counts", "Lines to leave out, counted from 1: '4,8'.", most=MOST),
    Field("line", "length", "Length of every line.", needed=True, example="1/8in or 3mm"),
    Field("fifth", "length", "Length of each fifth line."),
    Field("tenth", "length", "Length of each tenth line."),
    Field("number", "number", "What one line counts; each tenth line is numbered with it."),
    Field("cutter", "cutter", "The cutter, where a turning one makes the lines and the card should say its speed.", group="cutter"),
)  # fmt: skip
SIZES = ("pitch", "vernier", "main")  # they tell one part from another
TOGETHER = (("pitch", "line"),)  # usually change together; common practice, no source
WAYS = ("pitch", "places", "vernier")


def _one_way(values: Values) -> str:
    """Return which of the ways to say the lines is used."""
    given = [key for key in WAYS if values[key] is not None]
    if not given and values["length"] is not None and values["divisions"] is not None:
        return "pitch"
    if not given:
        raise BadValue(
            "pitch", None, "is missing", "Give pitch with divisions or length, or places, or vernier with main."
        )
    if len(given) > 1:
        raise BadValue(given[1], values.said(given[1]), f"does not go with {given[0]}", "Leave one of them out.")
    for key, owner in (("main", "vernier"), ("over", "vernier"), ("divisions", "pitch"), ("length", "pitch")):
        if values[key] is not None and given[0] != owner:
            raise BadValue(key, values.said(key), f"goes with {owner}", "Leave it out.")
    return given[0]


def _even(values: Values) -> tuple[int, Fraction]:
    """Return divisions and pitch from two of pitch, divisions and length."""
    pitch, divisions, length = values["pitch"], values["divisions"], values["length"]
    if divisions is not None and length is not None:
        if pitch is not None and pitch * divisions != length:
            rule = f"does not agree with pitch and divisions, which make {values.size(pitch * divisions)}"
            raise BadValue("length", values.said("length"), rule, "Leave one of them out.")
        return divisions, length / divisions
    if divisions is None and length is None:
        raise BadValue("divisions", None, "are missing", "Give divisions, or the length of the whole scale.")
    if divisions is not None:
        return divisions, pitch
    count = length / pitch
    if count.denominator != 1 or not 1 <= count <= MOST:
        rule = f"does not divide {values.said('length')} into a whole number of up to {MOST}"
        raise BadValue("pitch", values.said("pitch"), rule, "Give divisions, or a length that it divides.")
    return int(count), pitch


def _lines(values: Values) -> tuple[tuple[Line, ...], Fraction | None]:
    """Return the lines that are wanted, less those that are skipped; and what a vernier reads.

    Raises
    ------
    BadValue
        When they cannot be told, stand on each other, or none is left.
    """
    from stepcut.shapes.rule.wanted import even, listed, vernier

    way, start, reads = _one_way(values), values["start"], None
    if way == "places":
        if len(set(values["places"])) < len(values["places"]):
            raise BadValue("places", values.said("places"), "must each stand there once", "Check the list.")
        lines = listed(values["places"], start)
    elif way == "vernier":
        count, main = values["vernier"], values["main"]
        if main is None:
            example = "0.025in" if values.unit == "in" else "1mm"
            raise BadValue(
                "main", None, "is missing for a vernier", f"Give one division of the main scale, such as {example}."
            )
        over = covered(values)
        lines, reads = vernier(count, main, over, start), main / count
    else:
        lines = even(*_even(values), start)
    return kept(values, lines, "lines"), reads


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a straight scale."""
    from stepcut.shapes.rule.task import solve
    from stepcut.shapes.rule.wanted import Ranks

    lines, reads = _lines(values)
    ranks = Ranks(values["line"], values["fifth"], values["tenth"], values["number"])
    plan = solve(lines, ranks, reads, values["cutter"] or Cutter("square", Fraction(0)), machine)
    marks = [stop.first for stop in plan.stops]
    if len(set(marks)) < len(marks):
        key = "pitch" if values["pitch"] is not None else _one_way(values)
        rule = f"puts two lines on one mark of the slide, which shows {values.size(plan.first.division)}"
        raise BadValue(key, values.said(key), rule, "Take a coarser scale, or a finer slide.")
    return plan
