"""What is left, against a solid ring cut by solid cutters (manifold3d)."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from msgspec.structs import replace
from scipy.integrate import quad

from stepcut.machine import Cutter
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from tests.outside import solid
from tests.shops import INCH, example_ring, inch_machine, inches


@pytest.mark.parametrize(
    ("approach", "on_line", "kind", "corner", "law", "leave"),
    [
        ("across", "edge", "flat", "0", "uniform", "0"),
        pytest.param("across", "centre", "flat", "0", "uniform", "0.002", marks=pytest.mark.long),
        pytest.param("across", "edge", "bull", "0.1", "harmonic", "0.002", marks=pytest.mark.long),
        pytest.param("across", "centre", "ball", "0.25", "uniform", "0", marks=pytest.mark.long),
        ("plunge", "centre", "flat", "0", "uniform", "0.002"),
        pytest.param("plunge", "centre", "bull", "0.05", "cycloidal", "0", marks=pytest.mark.long),
        pytest.param("side", "centre", "flat", "0", "uniform", "0", marks=pytest.mark.long),
        pytest.param("side", "centre", "flat", "0", "modified-sine", "0.003", marks=pytest.mark.long),
    ],
)
def test_volume_to_file_is_that_of_the_solid(approach, on_line, kind, corner, law, leave) -> None:  # type: ignore[no-untyped-def]
    ring = example_ring(law=law, span=Fraction(120))
    cutting = Cutting(approach, on_line, Cutter(kind, INCH / 2, inches(corner)), inches(leave))
    plan = solve(ring, cutting, Stepping(step=Fraction(8)), inch_machine())
    wanted = ring.wanted
    mean = quad(wanted.depth, 0, 120, limit=200)[0] / 120
    found = solid.left_over(
        ring.bore, ring.outside, 120.0, [(place.at, place.depth) for place in plan.details.places], approach, float(INCH / 4), float(inches(corner)),
        float(cutting.edge_behind), mean,
    )  # fmt: skip
    # The solid is faceted; the blank is exact only to its facets, so compare against its own area.
    assert plan.result.volume == pytest.approx(found, rel=4e-3, abs=0.02)


def test_the_ring_of_the_solid_has_the_area_of_the_ring() -> None:
    ring = example_ring()
    blank = solid.sector(ring.bore, ring.outside, 180.0)
    assert blank.volume() / solid.HEIGHT == pytest.approx(math.pi / 2 * (ring.outside**2 - ring.bore**2), rel=1e-5)


def test_the_volume_is_for_every_start() -> None:
    one = solve(
        example_ring(span=Fraction(60)),
        Cutting("across", "edge", Cutter("flat", INCH / 4)),
        Stepping(step=Fraction(5)),
        inch_machine(),
    )
    three = solve(
        replace(example_ring(span=Fraction(60)), starts=3),
        Cutting("across", "edge", Cutter("flat", INCH / 4)),
        Stepping(step=Fraction(5)),
        inch_machine(),
    )
    assert three.result.volume == pytest.approx(3 * one.result.volume)
