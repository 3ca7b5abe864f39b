"""Upright faces finished with a single-angle cutter: played by a machine with slack, and laid over the wanted teeth."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely import Polygon, affinity, box

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.machine import files as machines
from stepcut.routine import acts
from stepcut.shapes.ramp.finished import _parted
from tests.outside import front, whole_ramp
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
    # By the circle: over the wall's inner edge a disc of 160 mm, 2.4 mm deep, lies on the face 19 mm farther in; the bore is 21 mm.
    assert (
        2 * math.sqrt(2 * 80 * 2.4) > 21 > math.sqrt(2 * 80 * 2.4)
    )  # so that who feeds on to be sure meets the far teeth
    assert all("far wall clear" in act["text"] for act in own if act["act"] == "cut")
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


def test_what_is_left_is_told_as_the_finished_faces_stand() -> None:
    """The metal that the finish takes counts no more: laid over a raster of the ring, with the cutter's outline turned as it stands."""
    rough = front.solved("ramp", **{k: v for k, v in TOOTH.items() if k != "machine"})["result"]["volume"]
    for way in ({"angle-cutter": "70deg"}, {"tilt-head": "true"}):
        plan = front.solved("ramp", **TOOTH, **way)
        seen = whole_ramp.see(plan, fast=True)
        result = plan["result"]
        assert result["volume"] < 0.9 * rough
        assert seen.gouge < 1e-6
        assert (result["volume"], result["scallop"], result["stock_max"]) == pytest.approx(
            (seen.volume, seen.scallop, seen.stock_max), rel=2e-3
        )


def test_the_tilted_end_lies_along_the_slope_and_its_side_meets_the_top_of_the_face() -> None:
    plan = plan_of(**{"tilt-head": "true"})
    (face,) = plan.details.faces
    assert face.angle == 20  # 90 - 70.4 degrees, the room at the bore, up to the next half
    # The end mill as a rectangle turned by so much, its lowest corner at (beside, depth), in the plane square to its way.
    corner = float(face.beside), -float(plan.second.value(face.depth))
    tool = affinity.rotate(box(0.0, 0.0, 2.0, 40.0), float(face.angle), origin=(0, 0))
    tool = affinity.translate(tool, *corner)
    tooth = box(-5.0, -9.0, 0.0, 0.0)  # the next tooth, up to its top
    slope = Polygon(
        [
            (0, -2.3),
            *((y, -2.3 + 2.4 / 40 * math.degrees(math.asin(y / 10.5))) for y in np.linspace(0.01, 3, 200)),
            (3, -9),
            (0, -9),
        ]
    )
    assert tool.intersection(tooth).area < 1e-9 and tool.distance(tooth) < 0.01
    assert tool.intersection(slope).area < 1e-3 and tool.distance(slope) < 0.03


def test_the_change_says_tilt_way_check_and_corner() -> None:
    plan = plan_of(**{"tilt-head": "true", "leave": "0mm"})
    did = [{**act.content(), "to": act.to} for act in acts(plan)]
    played(plan, did)
    (text,) = [act["text"] for act in did if act["act"] == "change" and act["text"].startswith("UPRIGHT")]
    beside = 2.4 * math.sin(math.radians(20)) * math.cos(math.radians(20))
    assert text == (
        "UPRIGHT FACE: head tilted 20° square to the feed, its top toward the COLUMN. CHECK: indicator in the spindle against an upright square "
        f"on the table, quill fed 25 mm: it runs {25 * math.sin(math.radians(20)):.3f} mm; then the quill stays locked up, for it now moves "
        "aslant. Cutter's lowest corner touched against the ring's front, toward YOU (X 0), then the saddle wound toward YOU by "
        f"{16.5 - beside:.3f} mm: it stands {beside:.3f} mm from the centre line toward YOU; lock Y; touch off on the face, depth 0 there."
    )
    other = plan_of(**{"tilt-head": "true", "rises": "anticlockwise"})
    text = next(act.text for act in acts(other) if act.text.startswith("UPRIGHT"))
    assert "its top toward YOU" in text and "the ring's back, toward the COLUMN" in text


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"angle-cutter": "70deg"}, "tilt-head: does not go with angle-cutter. Leave one of them out."),
        ({"cutter": "2mm ball"}, "tilt-head: goes with the flat end of an end mill fed across the wall. Give such a cutter, or a single-angle one "
                                 "with angle-cutter."),
        ({"targets": [["0deg", "0mm"], ["45deg", "12mm"]]},
         "tilt-head: would need 58.5 deg, and from 45 deg on the end cuts more than the side. Take a single-angle cutter with angle-cutter."),
    ],
)  # fmt: skip
def test_a_head_that_cannot_be_tilted_is_refused_in_full(values: dict[str, Any], words: str) -> None:
    with pytest.raises(StepcutError) as caught:
        plan_of(**{"tilt-head": "true", **values})
    assert str(caught.value) == words


def test_a_depth_that_is_read_on_the_quill_is_refused_for_a_tilted_head(tmp_path: Path) -> None:
    text = machines.shipped_path("metric").read_text("utf-8").replace('"knee readout"', '"quill dial"')
    own = tmp_path / "quill.toml"
    own.write_text(text, "utf-8")
    with pytest.raises(StepcutError) as caught:
        front.solved("ramp", str(own), **TOOTH, **{"tilt-head": "true"})
    assert str(caught.value) == (
        "tilt-head: needs a depth that stays upright, and the quill dial moves aslant with the head. Name a machine with the knee's scale, or take "
        "a single-angle cutter with angle-cutter."
    )


def test_a_stretch_whose_cut_ends_inside_it_is_parted_only_where_the_other_passes() -> None:
    """A straight cut against one that takes nothing from 2 on: no curve can be followed there, and it is passed once, at 1."""
    parts = list(_parted(lambda at: at - 1.0 if at < 2.0 else math.inf, 0.0, 3.0))
    assert [low for low, _ in parts] == pytest.approx([0.0, 1.0])
    assert [high for _, high in parts] == pytest.approx([1.0, 3.0])
