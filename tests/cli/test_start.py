"""A scripted stranger: from an empty home, a machine by answers, then a first card by answers, for three shops."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest

from tests.cli.test_machine import INCH, METRIC, QUILL, answered
from tests.conftest import ROOT, Run

RAMP = {
    "in": ["1", "1-3/4in", "1.40in", "2", "5 thou per 10 deg", "140", "cw", "3/8in", "", "", "clamp"],
    "mm": ["ramp", "40mm", "30 mm", "1", "0.1mm every 5°", "100", "ccw", "10mm", "", "1", "latch"],
}


@pytest.mark.parametrize(
    ("name", "machine", "unit"), [("bench", INCH, "in"), ("teilkopf", METRIC, "mm"), ("old-mill", QUILL, "in")]
)
def test_a_stranger_comes_to_a_card_for_his_own_machine(
    run: Run, tmp_path: Path, name: str, machine: list[str], unit: str
) -> None:
    assert run("machine", "new", name, input=answered(*machine)).returncode == 0
    done = run("start", input=answered(*RAMP[unit]))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "EXAMPLE MACHINE" not in done.stdout
    assert f" {name} · {'INCH' if unit == 'in' else 'MM'} ·" in done.stdout
    assert "is recommended: " in done.stdout
    assert "\x1b" not in done.stdout
    # Answers from an empty home to a card: most for the mill with two depth scales and the lathe beside it.
    assert len(machine) + len(RAMP[unit]) == {"bench": 67, "teilkopf": 37, "old-mill": 30}[name]
    # The one line that is printed at the end makes the same plan, and the saved recipe too, from another folder.
    line = done.stdout.split("The same in one line:\nstepcut ")[1].splitlines()[0]
    again = run(*shlex.split(line), "--json")
    saved = run("card", RAMP[unit][-1], "--json", cwd=tmp_path, env={"PYTHONPATH": str(ROOT)})
    assert again.returncode == saved.returncode == 0, again.stderr + saved.stderr
    assert json.loads(again.stdout)["stops"] == json.loads(saved.stdout)["stops"] != []


@pytest.mark.parametrize(
    "answers",
    [
        ["2", "37mm", "120mm", "60mm", "1.5mm", "right", "5mm ball", "", "", ""],
        ["taper", "30mm", "1:20", "90mm", "outside", "0.05mm", "", "", ""],
        ["4", "ball", "12mm", "", "", "2", ""],
        ["radius", "fillet", "6mm", "25mm", "", "0.1mm", "", ""],
        ["profile", "0mm 20mm, 10mm 24mm, 18mm 25mm", "", "", "", ""],
        ["6", "15mm", "rise 3mm in 120deg; dwell 60deg; fall 3mm in 120deg", "16mm", "", "", "", ""],
    ],
    ids=lambda answers: answers[0],
)
def test_every_part_is_led_to_a_card(run: Run, answers: list[str]) -> None:
    run("machine", "use", "metric")
    done = run("start", input=answered(*answers))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "EXAMPLE MACHINE metric" in done.stdout
    assert "The same in one line:" in done.stdout


def test_every_answer_can_be_taken_back_and_a_wrong_one_is_asked_again(run: Run) -> None:
    done = run("start", input=answered(
        "9", "2", "back", "1", "1.75in", "2in", "back", "2in", "2", "0.09in", "140", "cw", "3/8in", "", "",  # bore above outside
        "1.40in", "2", "0.09in", "", "sideways", "cw", "3/8in", "", "", "back", "", "3", "back-plate"))  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Write a number from 1 to 6." in done.stdout
    assert "That does not go together: bore = 2in: must be smaller than outside = 1.75in." in done.stdout
    assert "sideways: is not one of the choices" in done.stdout
    assert run("card", "back-plate").returncode == 0


def test_answers_that_end_leave_nothing_behind(run: Run, own_home: Path) -> None:
    before = sorted(own_home.rglob("*"))
    done = run("start", input=answered("1", "1.75in"))
    assert (done.returncode, done.stdout.strip().splitlines()[-1]) == (2, "Left; nothing was saved.")
    assert run("start", input=answered("1", "quit")).returncode == 0
    assert sorted(own_home.rglob("*")) == before


def test_the_height_of_the_ridges_may_be_said(run: Run) -> None:
    run("machine", "use", "inch")
    part = ["ramp", "1-3/4in", "1.40in", "2", "3/32in", "140", "cw", "3/8in", "0.002in"]
    done = run("start", input=answered(*part, "4 thou", "", "ridged"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Ridges for the file: no higher than?" in done.stdout
    assert (
        "2. " not in done.stdout.split("is recommended")[0].split("no higher than?")[1]
    )  # what was said leaves no choice
    plan = json.loads(run("card", "ridged", "--json").stdout)
    assert 0.6 * 0.1016 < plan["result"]["scallop"] <= 0.1016 + 0.0127  # 4 thou, and a mark of the depth at most
