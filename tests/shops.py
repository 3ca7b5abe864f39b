"""Machines and rings that several tests use."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import at_machine, show
from stepcut.log.store import Store
from stepcut.machine import Cutter, Machine, Scale
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.voice import voice_of

INCH = Fraction(254, 10)


def each_kind() -> list[Any]:
    """The names of all examples as parameters: the first of each shape at once, the others with the long tests."""
    return [pytest.param(name, marks=[] if first else [pytest.mark.long]) for name, first in _kinds()]


@cache
def _kinds() -> list[tuple[str, bool]]:
    """The name of each example, and whether it is the first of its shape."""
    shapes = [recipes.load(path.stem).shape for path in recipes.shipped()]
    return [
        (path.stem, shapes.index(shape) == n)
        for n, (path, shape) in enumerate(zip(recipes.shipped(), shapes, strict=True))
    ]


def thinned(cases: Iterable[Any], every: int = 2) -> list[Any]:
    """The first of so many cases as parameters at once, the others with the long tests."""
    found = []
    for n, case in enumerate(cases):
        late = [pytest.mark.long] if n % every else []
        if hasattr(case, "marks"):  # a parameter already
            found.append(pytest.param(*case.values, id=case.id, marks=[*case.marks, *late]))
        else:
            found.append(pytest.param(*(case if isinstance(case, tuple) else (case,)), marks=late))
    return found


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
    """The plan of a recipe with these values; nothing is left where no leave is said, for the models begin there."""
    if shape in ("taper", "radius", "profile", "cam"):
        values.setdefault("leave", "0mm")
    return show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": machine, shape: values})))


def stops_of(plan: Plan) -> list[dict[str, float]]:
    """Its stops as the JSON contract has them."""
    stops: list[dict[str, float]] = content(plan, voice_of(plan.machine))["stops"]
    return stops


def gate_ring(path: Path, machine: str = "inch", **changes: str) -> Path:
    """Write the recipe of a ring that tests begin, change and cut by half."""
    values = {
        "outside": "1.75in", "bore": "1.40in", "rise": "0.090in", "span": "180deg", "cutter": "1/2in", "step": "10deg", **changes
    }  # fmt: skip
    rows = "".join(f'{key} = "{value}"\n' for key, value in values.items())
    path.write_text(f'stepcut = 1\nshape = "ramp"\ntitle = "Gate ring"\nmachine = "{machine}"\n[ramp]\n{rows}', "utf-8")
    return path


def used_log(path: Path) -> Path:
    """Write a log of four jobs: a ring with a cut and readings, one of another rise, a taper in the bin, the first once more."""
    with Store(path) as store:
        ring = recipes.load("sluice-clamp-ramp")
        row = at_machine.begun(store, recipes.job(ring))
        store.tick(row.id, 1, "turned", 1)
        store.tick(row.id, 1, "cut", 2)
        for n in (1, 2, 3):
            store.reading(row.id, n, 1.0, 1.01)
        at_machine.begun(store, recipes.job(ring.resized({"rise": "0.08in"})))
        store.bin(at_machine.begun(store, recipes.job(recipes.load("bollard-pin-taper"))).id)
        at_machine.begun(store, recipes.job(ring), "2")
    return path
