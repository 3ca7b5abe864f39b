"""The front door: few names, lazily, and the same words as the command line."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

import stepcut
from stepcut.recipes import load
from tests.conftest import ROOT, Run

RING = {
    "outside": "1-3/8in",
    "bore": "1.1in",
    "rise": "0.060in",
    "span": "120deg",
    "cutter": "1/4in",
    "machine": "inch",
}


def test_the_names_at_the_door_are_these() -> None:
    assert stepcut.__all__ == [
        "Act", "Machine", "Plan", "Row", "StepcutError", "cam", "helix", "load", "profile", "radius", "ramp", "taper",
    ]  # fmt: skip
    assert all(getattr(stepcut, name) is not None for name in stepcut.__all__)
    assert set(stepcut.__all__) < set(dir(stepcut))
    with pytest.raises(AttributeError, match="no attribute 'lathe'"):
        _ = stepcut.lathe


@pytest.mark.parametrize("code", ["import stepcut", "import stepcut; stepcut.load('sluice-clamp-ramp').acts"])
def test_neither_importing_nor_solving_loads_the_command_line_or_pint(code: str) -> None:
    check = f"{code}\nimport sys\nsys.exit(any(name in sys.modules for name in ('typer', 'pint', 'typst', 'textual')))"
    assert subprocess.run([sys.executable, "-c", check], cwd=ROOT).returncode == 0


def test_importing_loads_none_of_the_package_itself() -> None:
    check = "import sys, stepcut\nsys.exit(any(name.startswith('stepcut.') for name in sys.modules))"
    assert subprocess.run([sys.executable, "-c", check], cwd=ROOT).returncode == 0


def test_a_plan_from_python_is_the_plan_of_the_command_line(run: Run) -> None:
    options = [part for key, text in RING.items() for part in (f"--{key}", text)]
    done = run("ramp", *options, "--step", "10deg", "--json")
    plan = stepcut.ramp(**RING, step="10deg")
    assert json.loads(done.stdout) == json.loads(json.dumps(plan.json()))
    assert [float(row.first) for row in plan.rows] == [stop["table"] for stop in plan.json()["stops"]]


def test_a_refusal_is_the_sentence_of_the_command_line_in_the_users_unit(run: Run) -> None:
    wrong = {**RING, "cutter": "1-1/4in"}
    with pytest.raises(stepcut.StepcutError) as caught:
        stepcut.ramp(**wrong)
    done = run("ramp", *[part for key, text in wrong.items() for part in (f"--{key}", text)], "--json")
    assert done.returncode == 2
    assert str(caught.value) in done.stderr
    assert "1 1/4 in" in str(caught.value)
    assert "mm" not in str(caught.value)


def test_cards_and_recipes_are_saved_by_the_ending_of_their_name(tmp_path: Path) -> None:
    plan = stepcut.ramp(**RING, step="10deg", title="Sluice ring", part="B")
    for ending in ("txt", "csv", "json", "html", "toml"):
        assert plan.save(tmp_path / f"ring.{ending}", date="2026-01-01") == (tmp_path / f"ring.{ending}",)
    assert "Sluice ring" in (tmp_path / "ring.txt").read_text("utf-8")
    assert load(tmp_path / "ring.toml").part == "B"
    assert [row.second for row in stepcut.load(tmp_path / "ring.toml").rows] == [row.second for row in plan.rows]
    with pytest.raises(stepcut.StepcutError, match="stands already"):
        plan.save(tmp_path / "ring.txt")
    with pytest.raises(stepcut.StepcutError) as refused:
        plan.save("ring.docx")
    assert str(refused.value) == (
        "path = ring.docx: is no kind of card that is known here. End it in one of pdf, png, svg, html, csv, json, txt, toml."
    )
    assert not (tmp_path / "ring.docx").exists()


def test_a_card_that_is_saved_is_judged_by_what_its_recipe_says_it_is_for(run: Run, tmp_path: Path) -> None:
    """A dog is not told that it slips as a clamp: on paper, as text and as data, as the command line has it."""
    plan = stepcut.load("pump-crank-dog")
    (html,) = plan.save(tmp_path / "dog.html", date="2026-01-01")
    for text in (html.read_text("utf-8"), plan.text(date="2026-01-01"), str(plan.json())):
        assert "slips when oiled" not in text
    assert plan.json() == json.loads(run("card", "pump-crank-dog", "--json").stdout)


def test_a_notebook_shows_the_plan_with_foreign_text_as_text() -> None:
    plan = stepcut.ramp(**RING, step="10deg", title="<script>alert(1)</script>")
    shown = plan._repr_html_()
    assert "<script>" not in shown
    assert "&lt;script&gt;" in shown
    assert shown.count("<tr><td>") >= len(plan.rows)


def test_another_size_is_the_same_job_solved_again() -> None:
    plan = stepcut.load("sluice-clamp-ramp")
    bigger = plan.resized(outside="2in")
    assert bigger.solved.target["outside_diameter"] == pytest.approx(50.8)
    assert plan.solved.target["outside_diameter"] == pytest.approx(44.45)
    with pytest.raises(stepcut.StepcutError, match="is no input of a ramp"):
        plan.resized(widht="2in")


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: stepcut.ramp(**{**RING, "bore": "2in"}), "bore = 2in: must be smaller than outside = 1-3/8in"),
        (lambda: stepcut.ramp(**RING, step="0deg"), "step = 0deg: must be greater than 0"),
        (lambda: stepcut.ramp(**RING, motion="wavy"), "motion = wavy: is not one of the choices"),
        (lambda: stepcut.ramp(**RING, unit="furlong"), "unit = furlong: is not one of the choices"),
        (lambda: stepcut.load("no-such-job"), "no-such-job"),
    ],
)
def test_nonsense_is_refused_at_the_door(make, sentence: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(stepcut.StepcutError) as caught:
        make()
    assert sentence in str(caught.value)


def test_every_shape_has_its_function_without_being_written_out() -> None:
    from stepcut.shapes import SHAPES

    assert all(callable(getattr(stepcut, shape)) for shape in SHAPES)
    plan = stepcut.groove(
        circle="37mm", span="60deg", end_depth="2mm", cutter="6mm ball", step="4deg", machine="metric"
    )
    assert plan.shape == "groove" and plan.rows[0].n == 1
    with pytest.raises(AttributeError):
        stepcut.no_such_shape  # noqa: B018  # it is looked for
