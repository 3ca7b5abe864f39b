"""The steps that a ramp offers, worked by hand for a table of 90:1, whose crank turns it by 4 degrees."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from stepcut import recipes
from stepcut.plan import Plan
from stepcut.shapes.ramp.choices import _easy as easy  # the steps alone, without the plans that they make
from stepcut.shapes.ramp.choices import rows
from tests.outside import front

RING = {"outside": "60mm", "bore": "48mm", "cutter": "6mm"}


def planned(machine: str = "metric", **values: str) -> Plan:
    content = {"stepcut": 1, "machine": machine, "title": "case", "ramp": {**RING, **values}}
    return recipes.job(recipes.from_content(content)).plan


def test_steps_that_divide_the_span_come_first() -> None:
    """The 6 mm cutter covers asin(6/30) = 11.5 degrees at the outside: 10 is the largest half turn whose cuts meet.

    6 degrees make 10 cuts of 60, 8 would leave half a step: what divides the span comes first, though 8 is two whole turns.
    """
    found = rows(planned(span="60deg", rise="0.67mm", step="10deg"))
    assert [row.step for row in found] == [10, 6, 4, 2, None]
    assert [row.cranks for row in found[:-1]] == [Fraction(5, 2), Fraction(3, 2), 1, Fraction(1, 2)]
    assert [row.stops for row in found[:-1]] == [6, 10, 15, 30]


def test_whole_turns_come_before_half_turns_where_no_step_divides_the_span() -> None:
    """137 is a prime: two turns come before one and a half, and one turn before that too."""
    assert easy(planned(span="137deg", rise="2mm", step="10deg").details.bench) == [10, 8, 4, 2]


def test_a_short_ramp_is_offered_no_fewer_than_two_cuts() -> None:
    assert easy(planned(span="20deg", rise="0.3mm", cutter="16mm", step="10deg").details.bench)[0] == 10


def test_where_no_fewest_cuts_can_be_made_the_even_steps_are_offered_all_the_same(tmp_path: Path) -> None:
    """A depth that is read to 0.4 mm keeps no ridge within the usual 0.12 mm."""
    coarse = front.coarse_machine(tmp_path, slide="0.4mm")
    found = rows(planned(coarse, span="60deg", rise="6mm", step="10deg", leave="0mm"))
    assert found
    assert all(row.step for row in found)
