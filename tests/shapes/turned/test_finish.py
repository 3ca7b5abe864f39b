"""A rest left on for the finish: all is roughed in passes of a usual depth first, then finished, and the sums know both."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from stepcut import recipes
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.routine import acts
from stepcut.shop.recover import too_deep
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played

WIDE = 3.0
CASES: dict[str, tuple[str, dict[str, str]]] = {
    "a ball on its neck": ("radius", {"form": "ball", "radius": "13mm", "small": "11mm", "length": "9mm", "tool-width": "3mm",
                                      "scallop": "0.2mm", "finish": "0.2mm", "blank": "29mm"}),
    "a fillet": ("radius", {"form": "fillet", "radius": "6mm", "diameter": "25mm", "at": "40mm", "tool": "round", "nose": "2mm", "finish": "0.3mm"}),
    "a waist": ("radius", {"form": "waist", "diameter": "27mm", "small": "19mm", "length": "70mm", "tool": "round", "nose": "3mm", "finish": "0.3mm"}),
    "a bored taper": ("taper", {"side": "bore", "large": "30mm", "small": "24mm", "length": "37mm", "step": "1mm", "blank": "21mm", "finish": "0.25mm",
                                "cut-depth": "0.5mm"}),
    "a profile": ("profile", {"targets": "0mm 20mm, 10mm 24mm, 18mm 25mm", "step": "1mm", "finish": "0.2mm", "blank": "31mm"}),
}  # fmt: skip


def plan_of(name: str) -> Plan:
    shape, values = CASES[name]
    return recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", shape: values})).plan


def told(plan: Plan) -> list[dict[str, Any]]:
    return [{**act.content(), "to": act.to} for act in acts(plan)]


@pytest.mark.parametrize("name", CASES)
def test_what_is_left_is_that_of_rough_and_finish_together(name: str) -> None:
    plan = front.solved(CASES[name][0], **CASES[name][1])
    assert disagreements(plan, whole_part.see(plan)) == []
    rough = [row.get("rough", False) for row in plan["flanks"]]
    assert any(rough) and rough == sorted(rough, reverse=True)  # all is roughed before anything is finished


@pytest.mark.parametrize("name", CASES)
def test_its_acts_end_every_cut_where_the_plan_says(name: str) -> None:
    plan = plan_of(name)
    played(plan, told(plan))
    rest = [act.text for act in acts(plan) if act.kind == "change" and "stands on the radius" in act.text]
    assert len(rest) == 1 and "Hone the tool or take a fresh one" in rest[0]


@pytest.mark.parametrize("name", ["a ball on its neck", "a bored taper", "a profile"])
def test_no_pass_takes_more_than_its_depth_and_no_finish_more_than_a_pass_and_the_rest(name: str) -> None:
    """The metal that stands, place by place, as a square tool goes through it by the acts alone."""
    plan = plan_of(name)
    bore = CASES[name][1].get("side") == "bore"
    blank, rest = (float(CASES[name][1][key].removesuffix("mm")) for key in ("blank", "finish"))
    most = float(
        CASES[name][1].get("cut-depth", "0.762mm").removesuffix("mm")
    )  # 0.03 in, table docslib.org/doc/5103932
    sign = -1.0 if bore else 1.0
    z = np.arange(0.0, 60.0, 0.01) + 0.005
    metal = np.full_like(z, sign * blank / 2)
    ways, x, at = plan.details.flanks, 0.0, 0.0
    deepest: dict[bool, float] = {True: 0.0, False: 0.0}
    for act in told(plan):
        if act["axis"] not in ("x", "z"):
            continue
        before, to = (x, at), float(act["to"])
        x, at = (to, at) if act["axis"] == "x" else (x, to)
        if act["act"] != "cut":
            continue
        low, high = sorted((before[1], at))
        if ways[act["start"] - 1] == "straight-in":
            low, high = at - WIDE, at
        elif ways[act["start"] - 1] == "to-face":
            high += WIDE
        cut = (z > low) & (z < high)
        if not cut.any():
            continue
        taken = np.max(metal[cut] - sign * x)
        if ways[act["start"] - 1] == "to-headstock":  # what goes straight in goes as deep as it must
            rough = act["start"] <= plan.details.rough
            deepest[rough] = max(deepest[rough], float(taken))
        metal[cut] = np.minimum(metal[cut], sign * x)
    division = float(plan.second.division)
    assert 0.5 * most < deepest[True] <= most + division
    assert deepest[False] <= most + rest + 2 * division


def test_a_finish_that_leaves_nothing_to_rough_is_said_to_be_of_no_use() -> None:
    crown = {"form": "crown", "diameter": "95mm", "small": "94.4mm", "length": "27mm", "tool": "round", "nose": "1.5mm", "step": "0.9mm"}  # fmt: skip
    told = front.solved("radius", **crown, finish="0.5mm")["says"]["head"]
    assert told["Not used"] == "finish = 0.500 mm: no cut has more than that to take off"
    assert "Finish" in front.solved("radius", **crown, finish="0.1mm")["says"]["head"]


def test_a_pass_below_a_division_is_refused_with_a_finish_too() -> None:
    shape, values = CASES["a fillet"]
    with pytest.raises(StepcutError, match="is less than one division"):
        front.solved(shape, **{**values, "cut-depth": "0.005mm"})


def test_a_rough_cut_too_deep_is_covered_by_the_rest_and_one_of_the_finish_is_not() -> None:
    plan = plan_of("a fillet")
    rough, last = plan.stops[1], plan.stops[-1]
    assert (rough.start, last.start) == (1, 2)
    for stop, deep, covered in ((rough, "0.25", True), (rough, "0.5", False), (last, "0.25", False)):
        found = plan.second.value(stop.second) - Fraction(deep)
        assert too_deep(plan, stop.n, found).covered == covered


def test_a_pass_of_the_compound_too_deep_is_covered_by_what_later_passes_take() -> None:
    values = {"large": "17mm", "small": "0mm", "included": "60deg", "by": "compound"}
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "taper": values})).plan
    first, last = plan.stops[0], plan.stops[-1]
    assert too_deep(plan, first.n, plan.second.value(first.second) - 1).covered
    assert not too_deep(plan, last.n, plan.second.value(last.second) - Fraction(1, 10)).covered


def test_a_rough_cut_found_too_deep_by_less_than_the_finish_has_lost_nothing() -> None:
    values = {"large": "38mm", "small": "26mm", "length": "60mm", "step": "3mm", "finish": "0.3mm", "leave": "0.1mm"}
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "taper": values})).plan
    rough = plan.stops[0]
    place = plan.second.value(rough.second)
    # By hand: 0.2 too deep still leaves 0.2 of the 0.4 that finish and file were to take; 0.6 too deep is 0.2 below the cone.
    assert too_deep(plan, rough.n, place - Fraction(2, 10)).below == pytest.approx(-0.2, abs=0.006)
    low = too_deep(plan, rough.n, place - Fraction(6, 10))
    assert (low.below, float(low.lower)) == (pytest.approx(0.2, abs=0.006), pytest.approx(0.2, abs=0.0061))


BORED = CASES["a bored taper"][1]
STEPS = {"targets": "0mm 20mm, 10mm 24mm, 18mm 25mm", "step": "1mm"}


def rough_stops(shape: str, **values: str) -> list[tuple[float, float]]:
    """Where the tool stands in the rough cuts, z and x on the radius."""
    content = {"stepcut": 1, "machine": "metric", "title": "case", shape: values}
    plan = recipes.job(recipes.from_content(content)).plan
    rough = [stop for stop in plan.stops if stop.start <= plan.details.rough]
    return [(float(plan.first.value(stop.first)), float(plan.second.value(stop.second))) for stop in rough]


def test_what_is_left_to_file_stays_on_under_the_rough_cuts_as_well() -> None:
    """0.3 mm stand on the radius in all, whether all of it is for the finish or 0.1 mm of it for the file."""
    filed = rough_stops("profile", **STEPS, blank="31mm", finish="0.2mm", leave="0.1mm")
    finished = rough_stops("profile", **STEPS, blank="31mm", finish="0.3mm", leave="0mm")
    assert filed[1:] == finished[1:]  # the pass that turns the blank down begins where the finish begins
    assert filed[0][1] == pytest.approx(25 / 2 + 0.3)


@pytest.mark.parametrize(
    ("hole", "bored"), [("23.49mm", True), ("23.48mm", True), ("23.5mm", False), ("23.51mm", False)]
)
def test_a_hole_is_bored_to_the_small_end_less_the_rest_only_where_it_is_smaller(hole: str, bored: bool) -> None:
    """A small end of 24 mm less 0.25 mm on the radius is a hole of 23.5 mm; the cross-slide reads 0.01 mm on the radius."""
    first, *_ = rough_stops("taper", **{**BORED, "blank": hole, "leave": "0mm"})
    assert (first[1] == pytest.approx(23.5 / 2)) is bored
