"""The table of choices of a helix: every row is the plan that its step makes, and one of them is advised."""

from __future__ import annotations

import itertools
import json
import math
import re
from fractions import Fraction

import pytest

from stepcut import recipes
from stepcut.cli import choosing
from stepcut.cli.choosing import Pace
from stepcut.plan import Plan
from stepcut.shapes.helix.bench import Groove
from stepcut.shapes.helix.choices import _candidates, rows
from stepcut.shapes.helix.task import _last
from tests.conftest import Run

GROOVE = ["--diameter", "37mm", "--lead", "90mm", "--length", "22.5mm", "--depth", "1.5mm", "--cutter", "5mm ball", "--machine", "metric"]  # fmt: skip


SHOWN: list[str] = []


def table(run: Run) -> str:
    """The table of choices, made once for all tests here."""
    if not SHOWN:
        shown = run("helix", *GROOVE)
        assert shown.returncode == 0
        SHOWN.append(shown.stdout)
    return SHOWN[0]


def test_without_a_step_a_helix_offers_choices_and_each_is_what_its_step_makes(run: Run) -> None:
    shown = table(run)
    head = next(line for line in shown.splitlines() if line.startswith("no."))
    assert head.split() == ["no.", "cuts", "step", "x", "a", "cut", "scallop", "to", "file", "creep"]
    rows = re.findall(r"^ *(\*?)(\d) +(\d+) +(\d+)°(\d+)' +([\d.]+) mm +([\d.]+) mm +([\d.]+) mm³", shown, re.M)
    assert 4 <= len(rows) <= 6
    assert [mark for mark, *_ in rows].count("*") == 1
    assert "Take one with --choice N, or say --step, --cuts or --scallop." in shown
    for _, n, cuts, degrees, minutes, x, scallop, volume in rows[1:2]:
        by_choice = json.loads(run("helix", *GROOVE, "--choice", n, "--json").stdout)
        by_step = json.loads(run("helix", *GROOVE, "--step", f"{degrees}deg{minutes}min", "--json").stdout)
        assert by_choice["stops"] == by_step["stops"]
        assert len(by_step["stops"]) == int(cuts)
        assert by_step["result"]["scallop"] == pytest.approx(float(scallop), abs=0.0006)
        assert by_step["result"]["volume"] == pytest.approx(float(volume), abs=0.06)
        slides = [stop["x"] for stop in by_step["stops"]]
        assert max(b - a for a, b in itertools.pairwise(slides)) == pytest.approx(float(x), abs=1e-9)


def test_the_last_row_is_the_fewest_cuts_within_the_usual_ridge(run: Run) -> None:
    *_, last = re.findall(r"^ *\*?(\d) +(\d+) .*?([\d.]+) mm +[\d.]+ mm³", table(run), re.M)
    data = json.loads(run("helix", *GROOVE, "--scallop", "0.03mm", "--json").stdout)
    assert len(data["stops"]) == int(last[1])
    assert data["result"]["scallop"] <= 0.03


def test_a_row_that_is_not_there_and_one_beside_a_step_are_refused(run: Run) -> None:
    assert "choice = 19: is past the last row, 6." in run("helix", *GROOVE, "--choice", "19").stderr
    beside = run("helix", *GROOVE, "--choice", "2", "--step", "4deg")
    assert beside.stderr.strip() == "choice = 2: does not go with step. Leave one of them out."
    assert beside.returncode == 2


def test_json_takes_the_usual_step(run: Run) -> None:
    assert json.loads(run("helix", *GROOVE, "--json").stdout)["shape"] == "helix"


def test_so_many_cuts_reach_from_end_to_end(run: Run) -> None:
    data = json.loads(run("helix", *GROOVE, "--cuts", "31", "--json").stdout)
    assert len(data["stops"]) == 31
    assert (data["stops"][0]["table"], data["stops"][-1]["table"]) == (
        0.0,
        90.0,
    )  # a quarter of the lead, 22.5 of 90 mm
    assert data["stops"][1]["table"] == 3.0


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (["--cuts", "31", "--step", "4deg"], "cuts = 31: does not go with step. Leave one of them out."),
        (["--cuts", "1"], "cuts = 1: is no groove from end to end. Give at least 2, or a step."),
        # Cuts 1.225 mm apart on the surface, sqrt((37 pi 3/360)^2 + 0.75^2); a ball of 2.5 mm leaves s^2/8R = 0.075 on a flat face.
        (["--cuts", "31", "--scallop", "0.01mm"],
         "scallop = 0.010 mm: does not agree with cuts = 31, which leaves 0.079 mm. Leave one of them out."),
        (["--cuts", "9000"], "cuts = 9000: cannot be made evenly on these scales: the nearest is 5401, the rest would cut nothing. "
         "Give 5401, or a step."),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_refused(run: Run, more: list[str], said: str) -> None:
    refused = run("helix", *GROOVE, *more)
    assert " ".join(refused.stderr.split()) == said
    assert refused.returncode == 2


def test_a_shop_with_a_log_is_told_how_long_a_row_takes_to_cut(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A groove is not filed to blue, so that only cutting has a time; 2 minutes a cut."""
    monkeypatch.setattr(choosing, "_pace", lambda shape, filed: None if filed else Pace(2.0, None))
    shown = run("helix", *GROOVE).stdout
    rows = re.findall(r"^ *\*?\d +(\d+) .* (\d+) min$", shown, re.M)
    assert len(rows) >= 4
    assert all(int(minutes) == 2 * int(cuts) for cuts, minutes in rows)
    assert "is advised" in shown


def whole_sweep() -> Plan:
    """A groove whose sweep is 96 degrees, 24 whole turns of the crank."""
    content = {
        "diameter": "37mm",
        "lead": "90mm",
        "length": "24mm",
        "depth": "1.5mm",
        "cutter": "5mm ball",
        "step": "4deg",
    }
    return recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "helix": content})).plan


def test_no_easier_step_lies_close_beside_one_that_is_offered() -> None:
    """Easy are whole turns of the crank (4 degrees) that go into the whole sweep (96 degrees)."""
    plan = whole_sweep()
    offered = [float(row.step) for row in rows(plan) if row.step is not None and row.limit is None]
    easy = [4.0 * k for k in range(1, 25) if 96 % (4 * k) == 0]
    assert len(offered) >= 3
    for step in offered:
        assert step in easy or all(abs(math.log(each / step)) > 0.049 for each in easy)


def test_equal_steps_by_hand_creep_by_what_each_is_rounded() -> None:
    """One step of x is lead x step / 360, read to 0.005 mm; the hand makes as many as go into the sweep of 96 degrees."""
    plan = whole_sweep()
    for row in rows(plan):
        exact = Fraction(90) * row.step / 360
        once = Fraction(round(exact / plan.second.division)) * plan.second.division
        assert row.creep == (96 // row.step) * (once - exact)


def test_tenths_of_a_turn_of_the_crank_are_easy_and_ninths_are_not() -> None:
    plan = whole_sweep()
    assert plan.machine.table is not None
    groove = Groove(plan.details.helix, plan.cutter, plan.first, plan.second)
    easy = {step for _, step in _candidates(groove, plan.machine.table.degrees_per_turn)}
    assert {Fraction(4, 10), Fraction(12, 10), Fraction(4, 5), Fraction(1), Fraction(2), Fraction(4)} <= easy
    assert Fraction(4, 9) not in easy


@pytest.mark.parametrize(("most", "found"), [(0, 0), (1, 1), (6, 6), (7, 7), (50, 20)])
def test_the_largest_count_that_fits_is_found_and_none_past_the_first_guess(most: int, found: int) -> None:
    assert _last(lambda count: count <= most, 20) == found
