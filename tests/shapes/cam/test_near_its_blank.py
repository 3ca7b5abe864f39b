"""A cam whose largest radius is that of its blank: what stands there is not cut, and no cut is missed there."""

from __future__ import annotations

import pytest

from stepcut.errors import StepcutError
from stepcut.routine import acts
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played
from tests.shops import plan_of, thinned

LIFTS = ["rise 4mm in 120deg harmonic", "dwell 60deg", "fall 4mm in 120deg harmonic", "dwell 60deg"]
NEAR = {"base": "20mm", "segments": LIFTS, "cutter": "10mm", "leave": "0mm"}  # the dwell at the top stands at 24 mm


@pytest.mark.parametrize(
    "more",
    thinned([{"blank": "48mm"}, {"blank": "48mm", "cut-with": "side"}, {"blank": "48mm", "leave": "auto"},
             {"blank": "48mm", "cut-with": "side", "cutter": "4mm", "scallop": "1mm"}]),
)  # fmt: skip
def test_a_dwell_at_the_blanks_own_radius_needs_no_cut(more: dict[str, str]) -> None:
    values = {"machine": "metric", **NEAR, **more}
    plan = front.solved("cam", **values)
    assert disagreements(plan, whole_part.see(plan)) == []
    assert [sweep for sweep in plan["sweeps"] if plan["stops"][sweep["from"] - 1]["radius"] >= 24.0] == []
    here = plan_of("cam", **{key: value for key, value in values.items() if key != "machine"})
    played(here, [{**act.content(), "to": act.to} for act in acts(here)])


def test_a_blank_that_stands_over_the_dwell_is_still_cut_all_round() -> None:
    plan = plan_of("cam", **NEAR, blank="48.2mm")
    assert any(plan.second.value(plan.stops[n - 1].second) == 24 for n, _ in plan.details.sweeps)


def test_a_step_too_wide_for_the_cutter_is_refused_on_such_a_blank_too() -> None:
    with pytest.raises(
        StepcutError, match=r"step = 30°: leaves uncut metal between neighbours: the 10 mm cutter covers"
    ):
        plan_of("cam", **NEAR, blank="48mm", step="30deg")
