"""A face scroll against circles and strips in shapely, played on the simulated machine, and refused in full sentences."""

from __future__ import annotations

import json
import math
import re
from fractions import Fraction
from typing import Any

import pytest

from stepcut.cli import show
from stepcut.recipes import from_content, job
from stepcut.shapes.scroll.choices import rows
from tests.conftest import Run
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played

PLATE = {"begin": "15mm", "end": "21mm", "pitch": "8mm", "depth": "2.5mm", "cutter": "4mm", "step": "6deg"}
CASES = {
    "flat, fewest cuts, leave": PLATE | {"step": None, "scallop": "0.12mm", "leave": "0.1mm"},
    "two balls, clockwise": PLATE | {"begin": "11mm", "end": "15mm", "pitch": "13mm", "depth": "1.2mm", "cutter": "5mm ball", "starts": "2", "winds": "clockwise"},
    "near the centre": PLATE | {"begin": "4mm", "end": "9mm", "pitch": "6mm", "depth": "1mm", "cutter": "3mm", "step": "9deg"},
    "so many cuts": PLATE | {"step": None, "cuts": "41"},
    "a ball deeper than its radius": PLATE | {"depth": "3.4mm", "cutter": "5mm ball", "step": "4deg", "leave": "0.05mm"},
}  # fmt: skip


def given(values: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value is not None}


@pytest.mark.parametrize("name", CASES)
def test_what_stands_is_what_circles_and_strips_leave(name: str) -> None:
    plan = front.solved("scroll", **given(CASES[name]))
    seen = whole_part.see(plan, fast=True)
    assert disagreements(plan, seen, fast=True) == []
    assert seen.gouge <= 1e-9  # never below the floor, and land between the turns
    # X is rounded to 0.005 mm: a cut stands at most half of that off the spiral, and the card says by how much.
    assert seen.more["off"] <= plan["result"]["off_spiral"] + 1e-4
    assert plan["result"]["off_spiral"] <= 0.0025 + 1e-9


@pytest.mark.long
@pytest.mark.parametrize("name", CASES)
def test_the_sharp_model_agrees_too(name: str) -> None:
    plan = front.solved("scroll", **given(CASES[name]))
    assert disagreements(plan, whole_part.see(plan)) == []


def test_cuts_finer_than_x_is_read_leave_what_the_farthest_of_them_leave() -> None:
    """A cut every 0.3 degrees, 0.09 mm, stands up to 0.0025 mm off its spiral: where neighbours cross, others have cut already."""
    plan = front.solved("scroll", **given(PLATE | {"step": "0.3deg", "leave": "0.1mm", "end": "17mm"}))
    seen = whole_part.see(plan, fast=True)
    # The model's circles have 128 sides: 2 mm (1 - cos(pi / 128)) = 0.0006 mm.
    assert plan["result"]["wall_ridge"] == pytest.approx(seen.more["wall_ridge"], abs=6e-4)
    assert plan["result"]["volume"] == pytest.approx(seen.volume, rel=1e-3)


def test_the_leave_stands_in_the_rounds_of_both_ends_too() -> None:
    # By hand: 0.1 mm of leave on the floor of two half discs of 2 mm is 1.257 mm^3, of a strip of 4 mm by its length the rest.
    plan = front.solved("scroll", **given(PLATE | {"step": "0.1deg", "leave": "0.1mm", "end": "18mm"}))
    turn = 2 * math.pi * 3 / 8  # 3 mm outward at 8 mm a turn
    length = sum(math.hypot(15 + 3 * (k + 0.5) / 4000, 8 / (2 * math.pi)) * turn / 4000 for k in range(4000))
    assert plan["result"]["volume"] == pytest.approx(0.1 * (4 * length + math.pi * 2**2), rel=2e-4)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("machine", ["metric", "inch"])
def test_the_acts_end_every_cut_at_its_division(name: str, machine: str) -> None:
    from stepcut.routine import acts

    plan = job(from_content({"stepcut": 1, "machine": machine, "title": "plate", "scroll": given(CASES[name])})).plan
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


def test_every_turn_lies_a_pitch_farther_out() -> None:
    # By what a scroll is: r = begin + pitch * degrees / 360.
    plan = front.solved("scroll", **(PLATE | {"end": "31mm", "step": "5deg"}))
    by_angle = {stop["table"]: stop["x"] for stop in plan["stops"]}
    for angle, x in by_angle.items():
        assert abs(x - (15 + 8 * angle / 360)) <= 0.0025 + 1e-9
        if angle + 360 in by_angle:
            assert by_angle[angle + 360] - x == pytest.approx(8.0, abs=0.005 + 1e-9)
    assert max(by_angle) == 720.0


def test_seen_from_above_it_runs_outward_the_way_that_was_asked(run: Run) -> None:
    """The table turns clockwise under a cutter that goes outward: over the face the cutter runs anticlockwise.  Common practice, no source."""
    words = [f"--{key}={value}" for key, value in PLATE.items()]
    for winds, turns in (("anticlockwise", "CLOCKWISE"), ("clockwise", "ANTICLOCKWISE")):
        shown = run("scroll", *words, "--winds", winds, "--machine", "metric").stdout
        assert re.search(rf"Table turns to each mark \(rim (grows|falls)\), from above[^\[]*\s{turns}\b", shown)
        assert f"outward {winds.upper()}, seen facing it" in shown


def test_the_fewest_cuts_keep_to_the_ridge_and_stand_closer_farther_out() -> None:
    plan = front.solved("scroll", **given(PLATE | {"step": None, "scallop": "0.1mm"}))
    steps = [b["table"] - a["table"] for a, b in zip(plan["stops"], plan["stops"][1:], strict=False)]
    assert plan["result"]["scallop"] <= 0.1 + 1e-9
    assert steps[0] > 1.2 * steps[-2]
    # Circles of 2 mm, s apart, cross s^2 / 16 short of the strip's edge, and outside a bend of 18 mm s^2 / (8 * 18) more.
    s = math.sqrt(0.1 / (1 / 16 + 1 / 144))
    assert len(plan["stops"]) == pytest.approx(18 * 2 * math.pi * 0.75 / s, rel=0.04)  # 270 degrees at 18 mm


WORDS = [f"--{key}={value}" for key, value in PLATE.items() if key != "step"] + ["--machine", "metric"]


def test_without_a_step_it_offers_choices(run: Run) -> None:
    shown = run("scroll", *WORDS).stdout
    rows = re.findall(r"^ *\*?(\d) +(\d+) +(\S+) +[\d.]+ mm +([\d.]+) mm +([\d.]+) mm³", shown, re.M)
    assert len(rows) >= 4
    assert len(re.findall(r"^ *\*\d", shown, re.M)) == 1
    n, cuts, step, ridge, _ = rows[-1]
    assert step == "uneven" and float(ridge) <= 0.03
    data = json.loads(run("scroll", *WORDS, "--choice", n, "--json").stdout)
    assert len(data["stops"]) == int(cuts)
    assert data["result"]["scallop"] <= 0.03


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--end", "12mm"], "end = 12mm: must be more than begin = 15mm. A scroll runs outward; give radii, not diameters."),
        (["--pitch", "4mm"], "pitch = 4mm: leaves no land between the turns: they overlap by 0.0036 mm. Take a smaller cutter, a larger pitch or "
         "fewer starts."),
        (["--cutter", "32mm"], "begin = 15mm: is within the radius of the cutter, 16 mm. Begin farther out, or take a smaller cutter."),
        (["--cutter", "4mm bull 1mm"], "cutter = 4mm bull 1mm: a bull nose is not offered for a scroll. Use a flat or a ball end."),
        (["--step", "13deg"], "step = 13°: leaves uncut metal between neighbours: the 4 mm cutter covers 10.9°. Take a smaller step or a wider "
         "cutter."),
        (["--cuts", "30", "--step", "5deg"], "cuts = 30: does not go with step. Leave one of them out."),
        (["--cuts", "1"], "cuts = 1: is no groove from end to end. Give at least 2, or a step."),
        # One minute of the table is 0.0044 mm, as much as X is rounded: the crossing of two such circles stands askew.
        (["--scallop", "0.00001mm"], "scallop = 0.00001 mm: cannot be kept on these scales: one division more already leaves "
         "0.00809 mm. Allow a higher ridge."),
        # Circles 6 degrees apart at 21 mm stand 2.2 mm apart: 2 - sqrt(4 - 1.1^2), and s^2 / (8 * 21) for the bend: 0.359.
        (["--step", "6deg", "--scallop", "0.01mm"], "scallop = 0.010 mm: does not agree with step = 6°, which leaves 0.358 mm. Leave one of them out."),
        (["--step", "0.001deg"], "cuts = 270001: is more than a plan may have (12000). Take larger steps, or allow a higher ridge."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_full(run: Run, more: list[str], said: str) -> None:
    refused = run("scroll", *WORDS, *more)
    assert " ".join(refused.stderr.split()) == said
    assert refused.returncode == 2
    assert refused.stdout == ""


def test_a_cut_too_deep_a_slip_and_the_wrong_way_are_those_of_a_groove(run: Run) -> None:
    assert run("scroll", *WORDS, "--step", "5deg", "--save", "plate").returncode == 0
    deep = " ".join(run("recover", "plate", "--cut", "7", "--found", "2.65mm").stdout.split())
    assert "Cut 7 is 0.150 mm past its place" in deep and "one deep place of 0.150 mm in the floor" in deep
    slipped = " ".join(run("recover", "plate", "--slipped", "7", "--reads", "27deg", "--last", "10").stdout.split())
    assert "along a ray beside the groove" in slipped  # 3 degrees of 360 of 8 mm
    assert "0.067 mm" in slipped
    wrong = " ".join(run("recover", "plate", "--wrong-way", "9").stdout.split())
    assert "face this one off below the groove" in wrong


def test_the_card_is_the_plan() -> None:
    one = job(from_content({"stepcut": 1, "machine": "metric", "title": "plate", "scroll": PLATE | {"leave": "0.1mm"}}))
    card = show.whole(one, "2026-01-01")
    assert len(card.lines) == len(one.plan.stops)
    said = dict(card.words.desk)
    assert said["Leave"] == "0.100 mm on the floor; the walls are as the cutter leaves them"
    assert {act.to for act in card.acts if act.kind == "cut" and act.axis == "depth"} >= {
        one.plan.details.scroll.depth - one.plan.leave
    }


def test_equal_steps_by_hand_creep_by_what_each_is_rounded() -> None:
    """One step of x is pitch x step / 360, read to 0.005 mm; the hand makes as many as go into the sweep: 6 mm of 8 a turn, 270 degrees."""
    plan = job(from_content({"stepcut": 1, "machine": "metric", "title": "case", "scroll": PLATE})).plan
    looked = 0
    for row in rows(plan):
        if row.step is not None:
            exact = Fraction(8) * row.step / 360
            once = Fraction(round(exact / plan.second.division)) * plan.second.division
            assert row.creep == (270 // row.step) * (once - exact)
            looked += 1
    assert looked > 2
