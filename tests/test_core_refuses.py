"""Objects of the core refuse what makes no sense themselves, for whoever builds them without the command line."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from stepcut.errors import BadValue
from stepcut.machine import Cutter, Scale
from stepcut.shapes.helix.wanted import Helix
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.wanted import Ramp
from stepcut.shapes.scroll.wanted import Scroll

MILL = Cutter("flat", Fraction(8))


def ring(**more: Any) -> Ramp:
    return Ramp(
        **{
            "outside_diameter": Fraction(37),
            "inside_diameter": Fraction(30),
            "span": Fraction(120),
            "rise": Fraction(2),
            **more,
        }
    )


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: ring(inside_diameter=Fraction(38)), "bore = 38: must be smaller than outside = 37. Give both as diameters, in mm."),
        (lambda: ring(inside_diameter=Fraction(0)), "bore = 0: must be greater than 0. Give the bore's diameter."),
        (lambda: ring(starts=0), "ramps = 0: must be at least 1. Give the number of ramps round the ring."),
        (lambda: ring(rise=Fraction(-2)), "rise = -2: must be greater than 0. Give how much lower the low end lies."),
        (lambda: ring(rises="left"), "rises = left: is not one of the choices. Use one of clockwise, anticlockwise."),
        (lambda: ring(law="wavy"), "motion = wavy: is not one of the choices. Use one of uniform, parabolic, harmonic, cycloidal, 3-4-5, 4-5-6-7, modified-sine, "
         "modified-trapezoid, targets."),
        (lambda: Cutting("sideways", "edge", MILL), "cut-with = sideways: is not one of the choices. Use one of across, plunge, side. Did you mean side?"),
        (lambda: Cutting("across", "middle", MILL), "on-centre = middle: is not one of the choices. Use one of edge, centre."),
        (lambda: Cutting("across", "edge", MILL, Fraction(-1)), "leave = -1: must not be negative. Give what is to stay for the file."),
        (lambda: Stepping(step=Fraction(0)), "step = 0: must be greater than 0. Give a size above nought, or leave it out."),
        (lambda: Stepping(stops=0), "cuts = 0: must be at least 1. Give the number of cuts of one ramp."),
        (lambda: Scale("knee", Fraction(0)), "division = 0: must be greater than 0. Give its smallest mark."),
        (lambda: Scale("knee", Fraction(1, 100), Fraction(0)), "per-turn = 0: must be greater than 0. Give the travel for one turn of its handle, or none."),
        (lambda: Cutter("drill", Fraction(8)), "kind = drill: is not one of the choices. Use one of flat, ball, bull, vee, square, round."),
        (lambda: Cutter("flat", Fraction(0)), "cutter = 0: must be greater than 0. Give its diameter."),
        (lambda: Cutter("bull", Fraction(8), Fraction(5)), "corner = 5: must be from 0 to half the cutter. Check both sizes."),
        (lambda: Helix(Fraction(30), Fraction(-60), Fraction(20), Fraction(1)), "lead = -60: must be greater than 0. Give a size above nought."),
        (lambda: Helix(Fraction(30), Fraction(60), Fraction(20), Fraction(1), 0), "starts = 0: must be at least 1. Give the number of grooves."),
        (lambda: Cutter("vee", Fraction(8)), "angle = 0: must be between 0 and 180 degrees of a vee. Give the whole angle of its point."),
        (lambda: Helix(Fraction(30), Fraction(60), Fraction(20), Fraction(1), leave=Fraction(1)), "leave = 1.0: must be less than the depth. Leave less."),
        (lambda: Scroll(Fraction(20), Fraction(20), Fraction(5), Fraction(1)), "end = 20.0: must be farther out than begin. A scroll runs outward."),
    ],
)  # fmt: skip
def test_nonsense_is_refused_by_the_object_itself(make: Callable[[], object], sentence: str) -> None:
    with pytest.raises(BadValue) as caught:
        make()
    assert str(caught.value) == sentence
