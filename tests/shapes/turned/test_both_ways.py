"""Profiles that grow and shrink: crests with both corners, waists with a round nose, the faces of steps."""

from __future__ import annotations

import random
from typing import Any

import pytest

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.routine import acts
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played

WAIST = [["0mm", "12mm"], ["10mm", "20mm"], ["20mm", "14mm"], ["35mm", "18mm"], ["50mm", "10mm"]]
CREST = [["0mm", "12mm"], ["10mm", "20mm"], ["14mm", "20mm"], ["24mm", "13mm"]]


def plan_of(**values: Any) -> Any:
    return recipes.job(
        recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "profile": values})
    ).plan


@pytest.mark.parametrize(
    "values",
    [
        {"targets": WAIST, "tool": "round", "nose": "1.5mm", "step": "2mm"},
        {"targets": WAIST, "tool": "round", "nose": "0.8mm", "scallop": "0.1mm", "leave": "0.1mm"},
        {"targets": CREST, "step": "1mm"},
        {"targets": CREST, "tool": "round", "nose": "2mm", "step": "1mm"},
    ],
    ids=["a waist", "a waist by ridge", "a crest with two corners", "a crest with a round nose"],
)
def test_crests_and_waists_tell_the_truth(values: dict[str, Any]) -> None:
    plan = front.solved("profile", **values)
    assert disagreements(plan, whole_part.see(plan)) == []


@pytest.mark.parametrize("seed", range(8))
def test_a_round_nose_never_cuts_below_any_profile(seed: int) -> None:
    chance = random.Random(f"both ways {seed}")  # noqa: S311  # repeatable cases, not secrets
    at, rows = 0.0, []
    for _ in range(chance.randint(3, 6)):
        rows.append([front.mm(at), front.mm(chance.uniform(6, 30))])
        at += chance.uniform(2, 12)
    plan = front.solved("profile", targets=rows, tool="round", nose="1mm", step="1.5mm")
    assert disagreements(plan, whole_part.see(plan)) == []


@pytest.mark.parametrize("values", [{"targets": WAIST, "tool": "round", "nose": "1.5mm"}, {"targets": CREST}])
def test_every_cut_ends_at_its_division_and_no_pass_ploughs_through_a_crest(values: dict[str, Any]) -> None:
    plan = plan_of(**values, step="2mm")
    found = [{**act.content(), "to": act.to} for act in acts(plan)]
    played(plan, found)
    if "nose" in values:  # by hand: with the tool in the work nothing moves along the axis
        assert not [act for act in found if act["act"] == "cut" and act["axis"] == "z"]


def test_a_step_is_cut_up_to_its_face_at_its_own_diameter() -> None:
    plan = front.shipped("stepped-plug-gauge", leave="0mm")
    # By hand: the bar of 25 mm is turned to the largest diameter first, each smaller one is a cylinder up to its shoulder.
    assert [(stop["z"], round(2 * stop["x"], 6)) for stop in plan["stops"]] == [
        (40.0, 24.0), (32.0, 23.8), (24.0, 23.6), (16.0, 23.4), (8.0, 23.2),
    ]  # fmt: skip
    assert plan["result"]["stock_max"] == 0.0
    passes = {row["before"]: [2 * x for x in row["x"]] for row in plan["roughing"]}
    assert all(23.2 < size < 25.0 for row in passes.values() for size in row)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (WAIST, "grows again behind a waist"),
        ([["0mm", "12mm"], ["10mm", "12mm"]], "two diameters or more"),
        ([["0mm", "12mm"], ["5mm", "13mm"], ["5mm", "14mm"], ["5mm", "15mm"]], "third row at one place"),
    ],
)
def test_what_a_square_tool_cannot_cut_is_said(rows: list[list[str]], words: str) -> None:
    with pytest.raises(StepcutError, match=words):
        front.solved("profile", targets=rows, step="1mm")
