"""Ends of a ramp: the high end below the face, fins between cuts by depth, and the ways out of running into the next ramp."""

from __future__ import annotations

import pytest

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import StepcutError
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
        pytest.param({"cutter": "12mm", "cut-with": "side", "drop": "0.1mm"}, 0.1, id="side", marks=pytest.mark.long),
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


SPOILING = [
    {"outside": "48.4mm", "bore": "38.5mm", "ramps": "3", "cutter": "10.5mm", "cut-with": "plunge", "start-depth": "0.3mm",
     "rise": "1.1mm", "span": "105.4deg", "step": "10deg"},
    {"outside": "56.3mm", "bore": "50mm", "ramps": "4", "cutter": "17mm bull 2.5mm", "cut-with": "plunge", "start-depth": "0.3mm",
     "rise": "1.36mm", "span": "82deg", "scallop": "0.1mm"},
    {"outside": "74.4mm", "bore": "51.4mm", "ramps": "4", "cutter": "18.8mm ball", "leave": "0.2mm", "rise": "1.96mm",
     "span": "81.4deg", "step": "10deg"},
    {"outside": "56mm", "bore": "39.3mm", "ramps": "4", "cutter": "14.8mm", "cut-with": "plunge", "rise": "2mm", "span": "80deg"},
    {"outside": "50mm", "bore": "40mm", "ramps": "3", "cutter": "14mm", "rise": "2mm", "span": "100deg", "step": "5deg"},
]  # fmt: skip


@pytest.mark.parametrize(
    "values", [pytest.param(each, marks=[pytest.mark.long] if n == 1 else []) for n, each in enumerate(SPOILING)]
)
def test_a_cutter_or_a_span_that_is_offered_is_not_refused_in_its_turn(values: dict[str, str]) -> None:
    values = {"leave": "0mm"} | values
    plan = show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "ramp": values})))
    (spoils,) = [remark.facts for remark in plan.remarks if remark.spoils]
    if spoils["fits"] is not None:
        kind = values["cutter"].partition("mm")[2]
        smaller = values | {"cutter": f"{front.mm(spoils['fits'])}{kind}"}
        if spoils["closer"]:
            del smaller["step"]
        assert not any(remark["spoils"] for remark in front.solved("ramp", **smaller)["remarks"])
    if spoils["span"] is not None:
        shorter = values | {"span": f"{int(spoils['span'])}°{int(spoils['span'] % 1 * 60)}'"}
        assert not any(remark["spoils"] for remark in front.solved("ramp", **shorter)["remarks"])


@pytest.mark.parametrize(
    ("values", "cause", "way_out"),
    [
        pytest.param({"cutter": "12mm", "on-centre": "axis", "scallop": "0.02mm"}, "bore and outside differ by 0.036",
                     {"cutter": "12mm", "scallop": "0.02mm"}, id="above the limit"),
        pytest.param({"cutter": "8mm", "on-centre": "axis", "scallop": "0.1mm", "ramps": "3", "span": "80deg"},
                     "bore and outside differ by 0.096", {"cutter": "8mm", "scallop": "0.1mm", "ramps": "3", "span": "80deg"},
                     id="little below the limit"),
        pytest.param({"cutter": "14mm", "cut-with": "plunge", "scallop": "0.03mm", "span": "200deg"}, "cannot be kept by plunging",
                     {"cutter": "14mm", "scallop": "0.03mm", "span": "200deg"}, id="plunged"),
        pytest.param({"cutter": "10mm ball", "scallop": "0.02mm"},  # asin(5/20) - asin(5/30) = 4.9 degrees
                     "cannot be kept with the cutter's edge on the centre line: bore and outside differ by 0.02",
                     {"cutter": "10mm ball", "on-centre": "axis", "scallop": "0.02mm"}, id="a ball beside the line"),
        pytest.param({"cutter": "10mm bull 2mm", "on-centre": "axis", "scallop": "0.02mm"},  # asin(3/20) - asin(3/30) = 2.9 degrees
                     "axis on the centre line: bore and outside differ by 0.017.* Put its edge on the centre line",
                     {"cutter": "10mm bull 2mm", "scallop": "0.02mm"}, id="a corner, its axis on the line"),
        pytest.param({"cutter": "10mm bull 2mm", "scallop": "0.012mm"},  # asin(2/20) - asin(2/30) = 1.9 degrees
                     "edge on the centre line: bore and outside differ by 0.01.* Take a flat end, take a smaller corner radius",
                     {"cutter": "10mm", "scallop": "0.012mm"}, id="a corner, its edge on the line"),
    ],
)  # fmt: skip
def test_a_ridge_that_the_way_of_cutting_cannot_keep_is_refused_for_that_and_the_way_out_keeps_it(
    values: dict[str, str], cause: str, way_out: dict[str, str]
) -> None:
    """By hand: 2 mm in 323 degrees fall 0.0062 mm a degree, and asin(6/20) - asin(6/30) = 5.9 degrees apart are 0.036 mm."""
    ring = {"outside": "60mm", "bore": "40mm", "rise": "2mm", "leave": "0mm"}
    with pytest.raises(StepcutError, match=cause):
        front.solved("ramp", **ring, **values)
    assert front.solved("ramp", **ring, **way_out)["stops"]
