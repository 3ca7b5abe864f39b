"""What a job needs of the machine: without it no plan is made, and the sentence names the machine and what it has not."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.job import job_on
from stepcut.machine import files as machines
from stepcut.shapes.rule.guide import offered
from stepcut.shapes.scroll.wanted import Scroll
from stepcut.voice import voice_of

HOLES: dict[str, Any] = {"divisions": "7", "make": "holes", "depth": "5mm"}
LINES: dict[str, Any] = {"divisions": "7", "make": "lines", "line": "3mm"}
GROOVE: dict[str, Any] = {
    "circle": "35mm", "span": "60deg", "begin-depth": "0.4mm", "end-depth": "2.2mm", "cutter": "6mm ball", "step": "4deg"
}  # fmt: skip
POINTS: dict[str, Any] = {"radius": "21mm", "side": "inside", "cutter": "8mm", "depth": "6mm", "step": "10deg"}
RULE: dict[str, Any] = {"divisions": "20", "pitch": "1.5mm", "line": "3mm"}
SCROLL: dict[str, Any] = {
    "begin": "15mm",
    "end": "31mm",
    "pitch": "8mm",
    "depth": "3mm",
    "cutter": "4mm",
    "step": "5deg",
}


@pytest.mark.parametrize(
    ("shape", "values", "part", "called"),
    [
        ("divide", HOLES, "table", "rotary table"),
        ("divide", HOLES, "depth", "depth scale"),
        ("divide", LINES, "slide", "slide"),
        ("groove", GROOVE, "table", "rotary table"),
        ("groove", GROOVE, "depth", "depth scale"),
        ("points", POINTS, "slide", "slide"),
        ("points", POINTS, "depth", "depth scale"),
        ("scroll", SCROLL, "table", "rotary table"),
        ("scroll", SCROLL, "slide", "slide"),
        ("scroll", SCROLL, "depth", "depth scale"),
        ("rule", RULE, "slide", "slide"),
    ],
)
def test_a_machine_that_lacks_what_the_job_moves_is_refused(
    shape: str, values: dict[str, Any], part: str, called: str
) -> None:
    machine = machines.find("metric")
    recipe = recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", shape: values})
    assert show.solved(job_on(recipe, machine)).stops
    with pytest.raises(StepcutError, match=rf"^machine = metric: has no .*{called}"):
        show.solved(job_on(recipe, replace(machine, **{part: None})))


def test_a_scroll_that_leaves_its_whole_depth_has_nothing_to_cut() -> None:
    recipe = recipes.from_content(
        {"stepcut": 1, "machine": "metric", "title": "case", "scroll": {**SCROLL, "leave": "3mm"}}
    )
    with pytest.raises(StepcutError, match=r"^leave = 3.000 mm: .*3.000 mm to leave"):
        show.solved(recipes.job(recipe))


@pytest.mark.parametrize(("shape", "values"), [("groove", GROOVE), ("scroll", SCROLL)])
def test_more_cuts_than_a_plan_may_have_are_refused(shape: str, values: dict[str, Any]) -> None:
    many = {**values, "step": "1'", "grooves" if shape == "groove" else "end": "6" if shape == "groove" else "400mm"}
    recipe = recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", shape: many})
    with pytest.raises(StepcutError, match=r"12000|12,000"):
        show.solved(recipes.job(recipe))


def test_what_a_rule_is_offered_with_says_its_lines_and_the_worst() -> None:
    """20 lines a third of 40 mm apart stand off marks of 0.005 mm by at most half of one; 1.5 mm apart they stand on marks."""
    for values, words in (
        ({"divisions": "3", "length": "40mm", "line": "3mm"}, "4 lines; the worst is off by "),
        (RULE, "21 lines; each on a mark of the slide."),
    ):
        recipe = recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "rule": values})
        plan = show.solved(recipes.job(recipe))
        assert offered(plan, voice_of(plan.machine)).startswith(words)


def test_seven_spirals_begin_next_to_marks_and_none_is_none() -> None:
    """A seventh of a turn is no whole number of minutes."""
    seven = {**SCROLL, "pitch": "60mm", "starts": "7"}
    plan = show.solved(
        recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "scroll": seven}))
    )
    assert "sector-rounded" in [remark.code for remark in plan.remarks]
    with pytest.raises(StepcutError, match="must be at least 1"):
        Scroll(Fraction(15), Fraction(31), Fraction(8), Fraction(3), 0)
