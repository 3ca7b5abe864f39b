"""Solving a straight scale: every line rounded for itself to the slide's divisions, so that no error builds up."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.machine import Cutter, Machine
from stepcut.plan import Plan, Result, Stop
from stepcut.shapes.rule.wanted import Line, Ranks
from stepcut.shapes.spaced import Rounded


class RuleDetails(Rounded, frozen=True, kw_only=True):
    """What a card of a straight scale prints besides.

    Parameters
    ----------
    lines : tuple of Line
        What was wanted, in the order of the cuts.
    ranks : Ranks
        How long they are.
    reads : Fraction or None
        Of a vernier: what it reads, mm.
    notes : mapping
        Words beside a line, by the number of its cut.
    """

    lines: tuple[Line, ...]
    ranks: Ranks
    reads: Fraction | None
    notes: Mapping[int, str]


def solve(lines: tuple[Line, ...], ranks: Ranks, reads: Fraction | None, cutter: Cutter, machine: Machine) -> Plan:
    """Return the plan of a straight scale.

    Raises
    ------
    Refused
        When the machine has no slide.
    """
    if machine.slide is None:
        raise Refused("machine", "no-slide", machine=machine.name)
    first, second = machine.slide, replace(machine.slide, name="Y", handle="", handle_turns=None)
    marks = [first.nearest(line.at) for line in lines]
    lengths = [ranks.length(line.count) for line in lines]
    off = tuple(first.value(mark) - line.at for mark, line in zip(marks, lines, strict=True))
    spacing = max((abs(b - a) for a, b in pairwise(off)), default=Fraction(0))
    numbers = {n: ranks.numbered(line.count) for n, line in enumerate(lines, 1)}
    notes = {n: f"number {text}" for n, text in numbers.items() if text}
    details = RuleDetails(off=off, spacing=spacing, lines=lines, ranks=ranks, reads=reads, notes=notes)
    return Plan(
        shape="rule",
        target={
            "places": [float(line.at) for line in lines],
            "counts": [line.count for line in lines],
            "lengths": [float(length) for length in lengths],
        },
        machine=machine,
        cutter=cutter,
        approach="lines",
        edge_behind=None,
        leave=Fraction(0),
        first=first,
        second=second,
        axes=("x", "y"),
        stops=tuple(
            Stop(n, 1, mark, second.nearest(length))
            for n, (mark, length) in enumerate(zip(marks, lengths, strict=True), 1)
        ),
        result=Result(
            0.0, 0.0, 0.0, 0.0, 0.0, 0.0, {"worst_error": float(details.worst), "spacing_error": float(spacing)}
        ),
        remarks=(),
        contact=None,
        picture=None,
        details=details,
    )  # fmt: skip
