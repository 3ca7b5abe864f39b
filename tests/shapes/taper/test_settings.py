"""What a taper's card says of its set-ups, in both units: sines of its angle and rolls of whole sizes, by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.errors import BadValue
from stepcut.shapes.taper.settings import indicated, rows_of
from stepcut.shapes.taper.words import words
from stepcut.voice import Dials, Voice
from tests.shops import plan_of

CONE = {"large": "38mm", "small": "26mm", "length": "60mm", "step": "3mm"}  # half of it leans 6 in 60: 5.7106 degrees


def said(machine: str, voice: Voice, **values: str) -> dict[str, str]:
    return dict(rows_of(plan_of("taper", machine, **CONE, **values), voice))


def test_the_check_of_the_compound_is_the_sine_of_half_the_angle() -> None:
    # sin 5.7106 degrees is 0.0995037: 25 mm back make 2.488 on the radius, 4.975 on a dial of the diameter; an inch makes 0.0995.
    rows = said("metric", Voice("mm"), by="compound")
    assert rows["Angle"].startswith("5.7106° EACH SIDE, 11.4212° TOTAL; 1:5.000")
    assert "back the compound off 25.000, touch with the cross-slide: it must move 4.975 on its DIAMETER dial" in rows["Check"].replace(" mm", "")  # fmt: skip
    rows = said("inch", Voice("in"), by="compound")
    assert "1.0000" in rows["Check"] and "0.1990" in rows["Check"]


def test_between_centres_nothing_is_said_of_the_compound_and_its_travel() -> None:
    rows = said("metric", Voice("mm"), by="set-over", **{"work-length": "150mm"})
    assert {"Compound", "Check", "Feed"}.isdisjoint(rows)
    assert rows["Tailstock"] == "set over 15.000 mm for work 150.000 mm between centres"  # 12 / 60 x 150 / 2 by hand


def test_what_spaces_a_stair_is_said_to_be_of_no_use_to_whole_cones() -> None:
    plan = plan_of("taper", **{**CONE, "by": "compound", "tool-width": "3mm"})
    told = dict(words(plan, Voice("mm"), Dials(plan, "mm")).head)
    assert told["Not used"] == "step = 3mm, tool-width = 3mm: each pass is a whole cone; cut-depth says how deep"
    with pytest.raises(
        BadValue, match=r"on = mill: does not go with by = compound\. Leave it out, or give by = steps\."
    ):
        plan_of("taper", **{**CONE, "by": "compound", "on": "mill"})


def test_rolls_are_whole_sizes_near_a_quarter_of_the_small_end() -> None:
    # A quarter of 26 mm is 6.5: 6 mm to the even one of two as near; of 1.0236 in a quarter is 4.09 sixteenths.
    assert "two 6 mm rolls" in said("metric", Voice("mm"))["Over rolls"]
    assert "two 1/4 in rolls" in said("inch", Voice("in"))["Over rolls"]


def test_a_taper_that_nothing_else_is_asked_for_has_no_tailstock_or_sine_bar() -> None:
    assert {"Tailstock", "Sine bar"}.isdisjoint(said("metric", Voice("mm")))
    # By hand: 6 on the radius in 60, over 150 mm between centres; blocks under 100 mm: 9.950.
    rows = said("metric", Voice("mm"), **{"work-length": "150mm", "sine-bar": "100mm"})
    assert "set over 15.000" in rows["Tailstock"]
    assert "blocks 9.950" in rows["Sine bar"]


@pytest.mark.parametrize(("small", "sticks"), [("37mm", "sticks, oiled or dry"), ("26mm", "may stick when dry"), ("10mm", "does not stick")])  # fmt: skip
def test_a_cone_holds_by_its_angle(small: str, sticks: str) -> None:
    # Half angles of 0.48, 5.7 and 13.1 degrees against friction angles of 4.6 (0.08) and 8.5 degrees (0.15).
    plan = plan_of("taper", "metric", **(CONE | {"small": small}))
    assert sticks in dict(rows_of(plan, Voice("mm")))["Hold"]


def test_in_inches_the_carriage_is_moved_by_round_parts_of_an_inch() -> None:
    """An inch is 25.4 mm: of a cone 52 mm long, of which four fifths are used, 1.5 in are moved; of 13 mm 3/8."""
    for long, moved in ((52.0, Fraction(3, 2)), (13.0, Fraction(3, 8)), (70.0, Fraction(2))):
        told = indicated(8.0, long, "in")
        assert told is not None
        assert told[0] == moved * Fraction(254, 10)
