"""What a machine's own figures may not be, and how a pointed end rises."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from stepcut.errors import BadValue
from stepcut.machine.model import Cutter, Outline, Scale


def test_slack_of_a_whole_turn_and_travel_of_less_than_a_mark_are_wrong_figures() -> None:
    with pytest.raises(BadValue, match=r"backlash = 2: must be less than one turn of its handle, 1\. Measure it again"):
        Scale("knee", Fraction(1, 100), Fraction(1), backlash=Fraction(2))
    with pytest.raises(BadValue, match=r"travel = 0\.5: must be at least one mark, 1\. Give how far it can move"):
        Scale("knee", Fraction(1), travel=Fraction(1, 2))


@pytest.mark.parametrize(("kind", "angle"), [("flat", 60), ("vee", 0)])
def test_the_angle_of_a_point_belongs_to_a_vee(kind: str, angle: int) -> None:
    with pytest.raises(BadValue, match="must be between 0 and 180 degrees of a vee"):
        Cutter(kind, Fraction(6), angle=Fraction(angle))  # type: ignore[arg-type]


def test_a_point_rises_as_its_cone_does() -> None:
    """A cone of 60 degrees is as high as it is wide at its rim times sqrt(3) / 2."""
    cone = Outline(3.0, 0.0, math.tan(math.radians(30)))
    assert cone.relief(3.0) == pytest.approx(6 * math.sqrt(3) / 2)
    assert cone.relief(3.1) == math.inf
