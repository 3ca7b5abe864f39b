"""Upright faces finished with a single-angle cutter: played by a machine with slack, and laid over the wanted teeth."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.routine import acts
from tests.routine.simulated import played

TOOTH: dict[str, Any] = {"outside": "33mm", "bore": "21mm", "targets": [["0deg", "0mm"], ["5deg", "0mm"], ["45deg", "2.4mm"]],
                         "ramps": "8", "cutter": "2mm", "step": "4deg", "leave": "0.1mm"}  # fmt: skip


def plan_of(**values: Any) -> Any:
    content = {"stepcut": 1, "machine": "metric", "title": "case", "ramp": {**TOOTH, **values}}
    return recipes.job(recipes.from_content(content)).plan


@pytest.mark.parametrize(
    "targets", [TOOTH["targets"], [["0deg", "2.4mm"], ["40deg", "0mm"], ["45deg", "0mm"]]], ids=["before", "after"]
)
def test_a_cutter_that_fits_goes_to_the_foot_and_never_below_the_slope(targets: list[list[str]]) -> None:
    """Straight across at every radius: what the cone covers beside the face is nowhere lower than the slope."""
    plan = plan_of(**{"angle-cutter": "70deg"}, targets=targets)
    (face,) = plan.details.faces
    bottom = float(plan.second.value(face.depth))
    assert 2.4 - 0.1 - 0.006 < bottom <= 2.4 - 0.1
    rows = sorted((float(at.removesuffix("deg")), float(deep.removesuffix("mm"))) for at, deep in targets)
    angles, depths = zip(*rows, strict=True)
    at_face = float(plan.first.value(face.marks[0]))
    way = -1 if face.before else 1
    for radius in (10.5, 13.0, 16.5):
        y = np.linspace(1e-3, min(10.0, radius * 0.99), 400)
        turned = (at_face + way * np.degrees(np.arcsin(y / radius))) % 45
        cone = bottom - y * math.tan(math.radians(90 - 70))
        assert np.all(cone <= np.interp(turned, angles, depths) - 0.1 + 2e-3)


def test_the_hands_finish_every_face_last_in_passes() -> None:
    plan = plan_of(**{"angle-cutter": "70deg"})
    did = [{**act.content(), "to": act.to} for act in acts(plan)]
    played(plan, did)
    begin = next(k for k, act in enumerate(did) if act["text"].startswith("UPRIGHT FACE"))
    assert did[begin]["act"] == "change" and did[begin - 1]["act"] == "clear" and did[begin]["confirm"]
    assert "body toward YOU" in did[begin]["text"]
    own = did[begin + 1 : next(k for k in range(begin, len(did)) if did[k]["act"] == "measure")]
    assert [float(act["to"]) % 360 for act in own if act["act"] == "turn"] == [45.0 * k % 360 for k in range(1, 9)]
    depths = [float(act["to"]) for act in own if act["act"] == "set" and act["way"] == "working"]
    assert len(depths) == [act["act"] for act in own].count("cut")
    for each in np.split(np.array(depths), 8):
        steps = np.diff([each[-1] - float(plan.details.faces[0].stands), *each])
        assert np.all(steps > 0) and np.all(steps <= 0.5 + 0.005)
    assert "upright-face" not in [remark.code for remark in plan.remarks]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"angle-cutter": "75deg"}, "angle-cutter = 75deg: does not fit between slope and upright face, which make 70.4 deg at the bore. "
                                    "Take a sharper one, or leave it out and file."),
        ({"angle-cutter": "60deg", "targets": [["0deg", "0mm"], ["45deg", "2.4mm"], ["90deg", "0mm"]], "ramps": "4"},
         "angle-cutter = 60deg: goes with an upright face below a slope, table flat. Leave it out."),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_said(values: dict[str, Any], words: str) -> None:
    with pytest.raises(StepcutError) as caught:
        plan_of(**values)
    assert str(caught.value) == words
