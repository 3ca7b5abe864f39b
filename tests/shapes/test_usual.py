"""Limits that are used when none is asked for: round numbers of the unit that the shop reads."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.shapes.cam import bench as cam
from stepcut.shapes.groove import task as groove
from stepcut.shapes.helix import task as helix
from stepcut.shapes.points import task as points
from stepcut.shapes.ramp import bench as ramp
from stepcut.shapes.turned import bench as turned

LIMITS = {
    "ramp": ramp.DEFAULT_SCALLOP, "cam": cam.DEFAULT_RIDGE, "helix": helix.DEFAULT_RIDGE, "groove": groove.DEFAULT_RIDGE,
    "points": points.DEFAULT_RIDGE, "turned": turned.DEFAULT_RIDGE,
}  # fmt: skip


@pytest.mark.parametrize("shape", LIMITS)
def test_a_usual_limit_is_whole_thousandths_in_a_shop_in_inches_and_whole_hundredths_in_one_in_mm(shape: str) -> None:
    """An inch is 25.4 mm exactly (ISO 31-1 of 1992, and the yard and pound agreement of 1959; both from memory)."""
    limit = LIMITS[shape]
    assert (limit["in"] * 1000 / Fraction("25.4")).denominator == 1
    assert (limit["mm"] * 100).denominator == 1
    assert limit["in"] == pytest.approx(float(limit["mm"]), rel=0.4)  # the same grade of work in both
