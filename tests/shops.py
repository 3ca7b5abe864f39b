"""Machines and rings that several tests use."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.machine import Cutter, Machine, Scale
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.voice import voice_of

INCH = Fraction(254, 10)


def inches(text: str | float) -> Fraction:
    """A length in mm from a number of inches."""
    return Fraction(str(text)) * INCH


def inch_machine() -> Machine:
    return machines.find("inch")


def one_degree_machine() -> Machine:
    """A table read to whole degrees and a 0.0005 in depth scale, as in the worked numbers of the design."""
    machine = inch_machine()
    assert machine.table is not None
    rim = Scale("rim", Fraction(1), Fraction(4), angular=True)
    return replace(machine, table=replace(machine.table, rim=rim))


def example_ring(**changes: Any) -> Ramp:
    """The ring of the worked example: 1.75 in outside, 1.40 in bore, 0.090 in over 180 degrees."""
    values: dict[str, Any] = {
        "outside_diameter": inches("1.75"), "inside_diameter": inches("1.40"), "span": Fraction(180), "rise": inches("0.090")
    }  # fmt: skip
    return Ramp(**{**values, **changes})


def half_inch(approach: str = "across", on_line: str = "edge", leave: Fraction = Fraction(0)) -> Cutting:
    return Cutting(approach, on_line, Cutter("flat", INCH / 2), leave)  # type: ignore[arg-type]


def every(degrees: int) -> Stepping:
    return Stepping(step=Fraction(degrees))


def plan_of(shape: str, machine: str = "metric", **values: Any) -> Plan:
    """The plan of a recipe with these values."""
    return show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": machine, shape: values})))


def stops_of(plan: Plan) -> list[dict[str, float]]:
    """Its stops as the JSON contract has them."""
    stops: list[dict[str, float]] = content(plan, voice_of(plan.machine))["stops"]
    return stops
