"""The set-up says which way the cutter cuts and how fast it turns."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from stepcut.acts import Card, Heading
from stepcut.recipes import job, load
from stepcut.routine import card
from stepcut.routine.speeds import turns_a_minute


def of(name: str, **sets: str) -> Card:
    return card(job(load(name).resized(sets)).plan, Heading())


def test_climb_or_conventional_is_told_by_the_tooth_on_the_low_side() -> None:
    # Seen from above, x to the right, y to the column, the part cut at 3 o'clock.  A tooth's speed is w x r with the spindle
    # clockwise (w down).  The work comes against the way of the cutter.  Climb: tooth and work go the same way at the cut.
    spindle, way_in = np.array([0.0, 0.0, -1.0]), np.array([-1.0, 0.0, 0.0])
    for rises in ("clockwise", "anticlockwise"):
        # The ramp rises clockwise: going clockwise from 3 o'clock (towards you) it is higher, so low lies to the column.
        low_side = np.array([0.0, 1.0 if rises == "clockwise" else -1.0, 0.0])
        tooth = np.cross(spindle, low_side)
        climbs = float(tooth @ -way_in) > 0
        said = next(
            item.what for item in of("sluice-clamp-ramp", tightens="", rises=rises).set_up if "Feed across" in item.what
        )
        assert ("CLIMBS" in said) == climbs
        assert ("conventional" in said) != climbs


def test_the_feed_ends_in_the_bore_with_the_whole_strip_cut_and_clear_of_the_far_wall() -> None:
    made = of("sluice-clamp-ramp")
    said = next(item for item in made.set_up if "Feed across" in item.what)
    begin, end = float(said.what.split("from ")[1].split(" in")[0]), float(said.answer.split()[0])
    radius, offset, bore, outside = 0.1875, 0.1875, 0.700, 0.875
    around = np.linspace(0, 2 * math.pi, 3601)
    rim = np.stack([radius * np.cos(around), offset + radius * np.sin(around)])
    assert np.hypot(rim[0] + begin, rim[1]).min() > outside  # clear outside
    assert np.hypot(rim[0] + end, rim[1]).max() < bore  # the whole cutter stands in the bore


@pytest.mark.parametrize(("inches", "feet", "low", "high"), [(0.5, 100, 700, 820), (0.375, 70, 690, 730)])
def test_the_spindle_turns_by_the_shops_rule(inches: float, feet: int, low: int, high: int) -> None:
    # The shop's rule of four, rpm = 4 V / d, is 12 V / (pi d) within 5 per cent; common practice, no source.
    found = turns_a_minute(Fraction(inches) * Fraction(254, 10), feet)
    assert low <= found <= high
    assert found == pytest.approx(4 * feet / inches, rel=0.07)
