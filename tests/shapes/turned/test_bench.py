"""The scales of a flank: whole divisions of its coordinate and depth are whole divisions on the dials."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stepcut import recipes
from stepcut.cli import show
from stepcut.machine import Scale
from stepcut.shapes.turned.bench import _shifted, on_the_dials
from stepcut.shapes.turned.edges import StraightEdge
from stepcut.shapes.turned.wanted import Flank

ALONG, ACROSS = Scale("z", Fraction(1, 50)), Scale("x", Fraction(1, 100))


@pytest.mark.parametrize("side", ["outside", "bore"])
@pytest.mark.parametrize("toward_face", [True, False])
def test_marks_of_a_flank_between_marks_of_the_dials_are_marks_of_the_dials(toward_face: bool, side: Any) -> None:
    """z 40.013 and a radius of 12.347 stand on no division of 0.02 and 0.01 mm."""
    z, r = Fraction("40.013"), Fraction("12.347")
    flank = Flank((StraightEdge(0.0, 0.0, 5.0, 1.0),), z, toward_face, r, side=side)
    first, second = _shifted(flank, ALONG, ACROSS)
    for mark in (-3, 0, 7, 100):
        at, depth = first.value(mark), second.value(mark)
        at_z = z - at if toward_face else z + at
        at_x = r + depth if side == "bore" else r - depth
        assert (at_z / ALONG.division).denominator == 1
        assert (at_x / ACROSS.division).denominator == 1
        assert on_the_dials(flank, ALONG, ACROSS, at, depth) == (at_z / ALONG.division, at_x / ACROSS.division)


def test_beyond_its_low_end_stands_what_is_told_unless_the_surface_goes_on() -> None:
    edge, more = StraightEdge(0.0, 0.0, 5.0, 1.0), StraightEdge(0.0, 0.0, 2.0, 1.0)
    ends = Flank((edge,), Fraction(9), True, Fraction(12), front="level")
    goes_on = Flank((edge,), Fraction(9), True, Fraction(12), front="level", rest=(more,))
    assert (ends.wanted.after, ends.stays) == ("level", None)
    assert goes_on.wanted.after == "free"
    assert goes_on.stays is not None
    assert goes_on.stays.after == "level"


@pytest.mark.parametrize(("where", "told"), [("lathe", "carriage"), ("mill", "full turn of the table")])
def test_a_card_says_on_which_machine_a_turned_shape_is_cut(where: str, told: str) -> None:
    values = {"targets": "0mm 20mm, 10mm 24mm, 18mm 25mm", "step": "1mm", "on": where}
    job = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "profile": values}))
    cut = dict(show.whole(job, "2026-01-01").words.head)["Cut"]
    assert where in cut
    assert told in cut
