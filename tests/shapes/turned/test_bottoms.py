"""A tool that goes straight in must be narrow enough for the bottom of the hollow; the expected sizes are by hand, from similar triangles."""

from __future__ import annotations

import math

import pytest

from stepcut.errors import StepcutError
from tests.outside import front

VEE = {
    "machine": "metric",
    "targets": [["0mm", "23mm"], ["10mm", "15mm"], ["20mm", "23mm"]],
    "blank": "23mm",
    "leave": "0mm",
}
SLOPE = 4 / 10  # on the radius


@pytest.mark.parametrize(
    ("tool", "key", "stands", "fits"),
    [
        # a flat end 6 mm wide rests on both slopes: half its width below it the slopes meet
        ({"tool": "square", "tool-width": "6mm", "step": "1mm"}, "tool-width = 6 mm", 3 * SLOPE, 2.0),
        # a round nose touches both slopes: its lowest point stands p / cos a - p over where they meet
        ({"tool": "round", "nose": "3mm", "scallop": "0.05mm"}, "nose = 3 mm", 3 * (math.hypot(1, SLOPE) - 1), 0.05 / (math.hypot(1, SLOPE) - 1)),
    ],
)  # fmt: skip
def test_a_tool_too_wide_for_the_bottom_is_refused_with_the_widest_that_serves(
    tool: dict[str, str], key: str, stands: float, fits: float
) -> None:
    with pytest.raises(StepcutError) as refused:
        front.solved("profile", **VEE, **tool)
    wide = " wide" if "width" in key else ""
    take = "a tool" if wide else "a nose of"
    assert str(refused.value) == (
        f"{key}: does not reach the bottom of the hollow at 10.000 mm from the face: {stands:.3f} mm stands there, whatever the steps. "
        f"Take {take} {fits:.3f} mm{wide} or less, or allow a ridge of as much (scallop)."
    )


FLAT = VEE | {"targets": [["0mm", "23mm"], ["8mm", "15mm"], ["10mm", "15mm"], ["20mm", "23mm"]]}


def test_the_widest_tool_that_was_named_is_taken() -> None:
    plan = front.solved("profile", **VEE, tool="square", **{"tool-width": "2mm", "step": "1mm"})
    assert plan["result"]["scallop"] < 0.41


@pytest.mark.long
def test_a_ridge_that_is_allowed_is_taken_too() -> None:
    assert front.solved("profile", **VEE, tool="square", **{"tool-width": "6mm", "scallop": "1.3mm"})["stops"]


def test_a_flat_bottom_narrower_than_the_tool_is_not_reached() -> None:
    # 3 mm between the two slopes: 1 / (1 / 0.5 + 1 / 0.4)
    with pytest.raises(StepcutError, match=r"0\.222 mm stands there"):
        front.solved("profile", **FLAT, tool="square", **{"tool-width": "3mm", "scallop": "0.05mm"})


@pytest.mark.long
def test_a_flat_bottom_as_wide_as_the_tool_is_reached() -> None:
    plan = front.solved("profile", **FLAT, tool="square", **{"tool-width": "2mm", "scallop": "0.05mm"})
    assert min(stop["x"] for stop in plan["stops"]) == pytest.approx(7.5, abs=0.05)
