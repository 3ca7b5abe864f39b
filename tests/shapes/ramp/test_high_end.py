"""A high end below the face is cut at every radius, and round cutters by depth leave no fins: against the model of the ring."""

from __future__ import annotations

import pytest

from tests.outside import compared, front

RING = {"outside": "60mm", "bore": "40mm", "rise": "2mm", "span": "200deg", "start-depth": "2mm", "leave": "0mm"}


@pytest.mark.parametrize(
    ("values", "limit"),
    [
        pytest.param({"cutter": "10mm", "on-centre": "axis", "scallop": "0.1mm"}, 0.1, id="axis on the line"),
        pytest.param({"cutter": "22mm", "cut-with": "plunge", "scallop": "0.2mm"}, 0.2, id="plunged"),
        pytest.param({"cutter": "10mm ball", "dwell-high": "90deg", "scallop": "0.1mm"}, 0.1, id="ball over a dwell"),
        pytest.param({"cutter": "10mm bull 2mm", "dwell-high": "90deg", "scallop": "0.1mm"}, 0.1, id="bull over a dwell"),
    ],
)  # fmt: skip
def test_no_fin_stands_at_a_high_end_below_the_face(values: dict[str, str], limit: float) -> None:
    """As much as the start is deep (2.05 mm) stood at the outside, or 0.29 mm under a ball, and nothing was said."""
    plan = front.solved("ramp", **RING, **values)
    assert plan["result"]["scallop"] <= limit * (1 + 1e-6)
    assert compared.told_wrong(plan, {}, fast=True) == []


@pytest.mark.parametrize(
    ("values", "drop"),
    [
        pytest.param({"cutter": "10mm bull 2mm", "dwell-high": "90deg", "drop": "0.5mm"}, 0.5, id="bull"),
        pytest.param({"cutter": "12mm", "cut-with": "side", "drop": "0.1mm"}, 0.1, id="side"),
        pytest.param({"cutter": "10mm", "drop": "0.1mm"}, 0.1, id="flat"),
    ],
)
def test_cuts_a_fixed_depth_apart_leave_no_ridge_higher_than_that(values: dict[str, str], drop: float) -> None:
    """Cuts that bridge a level stretch a cutter's full width apart left fins of 2.19 mm under a corner radius."""
    plan = front.solved("ramp", **RING, **values)
    assert plan["result"]["scallop"] <= drop * (1 + 1e-6)
    assert compared.told_wrong(plan, {}, fast=True) == []
    depths = [stop["depth"] for stop in plan["stops"]]
    levels = [2 + k * drop for k in range(round(2 / drop))]
    assert all(min(abs(depth - level) for depth in depths) < 0.0051 for level in levels)  # each level is still cut
