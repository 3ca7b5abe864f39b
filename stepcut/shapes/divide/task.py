"""Solving a dividing job: every place rounded for itself to the marks or holes there are, so that no error builds up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.machine import Cutter, Machine, RotaryTable, Scale
from stepcut.plan import Plan, Result, Stop
from stepcut.shapes.divide.wanted import Ranks, Spot
from stepcut.shapes.spaced import Rounded

Means = Literal["rim", "plate", "direct"]
Make = Literal["lines", "holes", "slots"]


class Dividing(Struct, frozen=True):
    """How a part is divided.

    Parameters
    ----------
    means : str
        By the rim's reading and the crank's dial, by one hole circle of a plate, or by a direct plate on the spindle.
    circles : tuple of int
        Hole circles on hand, or the holes of the direct plate.
    make : str
        lines (fed along the slide), holes or slots (fed to a depth).
    cutter : Cutter
        The tool; of diameter 0 where none is said.
    ranks : Ranks or None
        Of lines.
    depth : Fraction
        Of holes and slots, mm.
    diameter : Fraction or None
        Of the part, for saying an error as a length, mm.
    closed : bool
        Whether the places go all the way round, so that the last has the first as its neighbour.
    reads : Fraction or None
        Of a vernier: what it reads, degrees.
    """

    means: Means
    circles: tuple[int, ...]
    make: Make
    cutter: Cutter
    ranks: Ranks | None = None
    depth: Fraction = Fraction(0)
    diameter: Fraction | None = None
    closed: bool = False
    reads: Fraction | None = None


class DivideDetails(Rounded, frozen=True, kw_only=True):
    """What a card of a dividing job prints besides.

    Parameters
    ----------
    spots : tuple of Spot
        What was wanted, in the order of the cuts.
    dividing : Dividing
        How.
    circle : int or None
        The hole circle of the whole job, or the holes of the direct plate.
    notes : mapping
        Words beside a line, by the number of its cut.
    """

    spots: tuple[Spot, ...]
    dividing: Dividing
    circle: int | None
    notes: Mapping[int, str]


def circle_for(turns: Sequence[Fraction], circles: Sequence[int]) -> int:
    """Return the one circle whose worst place is nearest when every place is rounded for itself; the smallest of equals.

    Parameters
    ----------
    turns : sequence of Fraction
        Places in turns of the crank from nought.

    Examples
    --------
    >>> circle_for([Fraction(40 * k, 7) for k in range(7)], (15, 16, 18, 21, 28))
    21
    """

    def worst(circle: int) -> Fraction:
        return max(abs(turn * circle - round(turn * circle)) / circle for turn in turns)

    return min(sorted(circles), key=worst)


def solve(spots: tuple[Spot, ...], dividing: Dividing, machine: Machine) -> Plan:
    """Return the plan of a dividing job.

    Raises
    ------
    Refused
        When the machine has no table, or no scale for what is made at each place.
    """
    if machine.table is None:
        raise Refused("machine", "no-table", machine=machine.name)
    second = machine.slide if dividing.make == "lines" else machine.depth
    if second is None:
        raise Refused("machine", "no-slide" if dividing.make == "lines" else "no-depth", machine=machine.name)
    table, first, circle = _table(machine.table, dividing, spots)
    marks = [first.nearest(spot.at) for spot in spots]
    off = tuple(first.value(mark) - spot.at for mark, spot in zip(marks, spots, strict=True))
    goes = [*off, off[0]] if dividing.closed else off
    spacing = max((abs(b - a) for a, b in pairwise(goes)), default=Fraction(0))
    details = DivideDetails(
        off=off, spacing=spacing, spots=spots, dividing=dividing, circle=circle, notes=_notes(spots, dividing)
    )
    return Plan(
        shape="divide",
        target=_target(spots, dividing),
        machine=replace(machine, table=table),
        cutter=dividing.cutter,
        approach=dividing.make,
        edge_behind=None,
        leave=Fraction(0),
        first=first,
        second=second,
        axes=("table", "slide" if dividing.make == "lines" else "depth"),
        stops=tuple(
            Stop(n, 1, mark, second.nearest(_second(spot, dividing)))
            for n, (mark, spot) in enumerate(zip(marks, spots, strict=True), 1)
        ),
        result=Result(
            0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
            {"worst_error": float(details.worst), "spacing_error": float(spacing), "circle": circle},
        ),
        remarks=(),
        contact=None,
        picture=None,
        details=details,
    )  # fmt: skip


def _table(table: RotaryTable, dividing: Dividing, spots: tuple[Spot, ...]) -> tuple[RotaryTable, Scale, int | None]:
    """Return the table as it is used for this job, the scale that places are counted on, and the circle."""
    if dividing.means == "rim":
        return replace(table, hole_circles=()), table.rim, None
    if dividing.means == "direct":
        holes = dividing.circles[0]
        rim = replace(table.rim, per_turn=Fraction(360))
        return replace(table, rim=rim, hole_circles=(holes,)), replace(rim, division=Fraction(360, holes)), holes
    per_turn = table.degrees_per_turn
    circle = circle_for([spot.at / per_turn for spot in spots], dividing.circles)
    return replace(table, hole_circles=(circle,)), replace(table.rim, division=per_turn / circle), circle


def _second(spot: Spot, dividing: Dividing) -> Fraction:
    return dividing.depth if dividing.ranks is None else dividing.ranks.length(spot.count)


def _notes(spots: tuple[Spot, ...], dividing: Dividing) -> dict[int, str]:
    if dividing.ranks is None:
        return {}
    found = {n: dividing.ranks.numbered(spot.count) for n, spot in enumerate(spots, 1)}
    return {n: f"number {text}" for n, text in found.items() if text}


def _target(spots: tuple[Spot, ...], dividing: Dividing) -> dict[str, Any]:
    return {
        "angles": [float(spot.at) for spot in spots],
        "counts": [spot.count for spot in spots],
        "make": dividing.make,
        "by": dividing.means,
        "depth": float(dividing.depth),
        "lengths": [float(_second(spot, dividing)) for spot in spots] if dividing.ranks else [],
    }
