"""Lists of readings as people write them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.errors import BadValue
from stepcut.measured import read


@pytest.mark.parametrize(
    "text",
    [
        "angle deg, depth in\n10, 0.0120\n20, 0.0180",
        "# ring 4\nangle (deg)\tdepth (in)\n10\t0.0120\n\n20\t0.0180",
        "10deg, 0.0120in\n20deg, 0.0180in",
        "10° 0.0120in\n20° 0.0180in",
        "rim; depth\n10°; 12.0 thou\n20°; 18.0 thou",
    ],
)
def test_ways_of_writing_the_same_readings(text: str) -> None:
    found = read(text, "notes")
    assert found.along == "angle"
    assert found.unit == "in"
    assert found.rows == ((Fraction(10), Fraction(12 * 254, 10_000)), (Fraction(20), Fraction(18 * 254, 10_000)))
    assert found.division == Fraction(254, 10) / 10_000


def test_a_turned_part_by_diameter_or_radius() -> None:
    wanted = ((Fraction(0), Fraction(30)), (Fraction(20), Fraction(29)))
    assert read("z mm, diameter mm\n0, 30.00\n20, 29.00", "notes").rows == wanted
    assert read("z mm, radius mm\n0, 15.00\n20, 14.50", "notes").rows == wanted


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "there are none"),
        (
            "0mm -0.02mm\n10mm 0.20mm",
            r"line 1: diameter = -0.02mm: is below 0, as no diameter is. Of angles and depths say so. Begin with a",
        ),
        ("angle deg, depth mm\n10, 1, 2", "line 2: readings = 10, 1, 2: is not a place and a reading"),
        ("angle deg, depth mm\n10, x", "line 2: depth = x: is not a number"),
        ("angle, depth\n10, 0.5", "line 2: depth = 0.5: needs a unit"),
        ("angle deg, depth mm\n10, 4deg", "is a unit of angle"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_line(text: str, message: str) -> None:
    with pytest.raises(BadValue, match=message):
        read(text, "notes")
