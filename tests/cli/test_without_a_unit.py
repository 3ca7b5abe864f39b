"""A number without a unit: read only where the recipe or command that it stands in names the unit, or as a reading of a card."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import Run

RING = """stepcut = 1
shape = "ramp"
title = "Gate ring"
unit = "in"

[ramp]
outside = 1.75
bore = "1.40"
rise = 0.090
span = "140deg"
ramps = 2
cutter = "3/8"
step = "10deg"
leave = "0in"
"""
CAM = """stepcut = 1
shape = "cam"
unit = "mm"

[cam]
base = "37"
segments = ["rise 3 in 90deg", "dwell 90deg", "fall 3 in 90deg", "dwell 90deg"]
cutter = "10mm"
step = "5deg"
"""


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("ring.toml").write_text(RING, "utf-8")
    Path("cam.toml").write_text(CAM, "utf-8")


@pytest.mark.usefixtures("files")
def test_in_the_recipe_it_is_in_the_recipes_unit(run: Run) -> None:
    with_units = RING.replace("1.75", '"1.75in"').replace('"1.40"', '"1.40in"').replace("0.090", '"0.090in"')
    Path("said.toml").write_text(with_units.replace('"3/8"', '"3/8in"'), "utf-8")
    bare, said = (run("card", name, "--json") for name in ("ring.toml", "said.toml"))
    assert bare.returncode == said.returncode == 0
    assert bare.stdout == said.stdout
    assert '"inside_diameter": 35.56' in bare.stdout  # 1.40 x 25.4
    assert run("check", "cam.toml").returncode == 0


@pytest.mark.usefixtures("files")
@pytest.mark.parametrize(
    ("recipe", "value", "said"),
    [
        ("ring.toml", "outside=37", "outside = 37: needs a unit. Write 37in or 37mm."),
        ("ring.toml", "drop=5", "drop = 5: needs a unit. Write 5in or 5mm."),
        ("ring.toml", "cutter=12", "cutter = 12: needs a unit. Write 12in or 12mm."),
        ("ring.toml", "targets=0deg 0, 90deg 2", "targets row 2 = 2: needs a unit. Write 2in or 2mm."),
        ("cam.toml", "base=37", "base = 37: needs a unit. Write 37in or 37mm."),
        ("cam.toml", "segments=rise 3 in 90deg", "segments 1 = 3: needs a unit. Write 3in or 3mm."),
    ],
)
def test_behind_set_it_is_refused_whatever_unit_the_recipe_has(run: Run, recipe: str, value: str, said: str) -> None:
    done = run("card", recipe, "--set", value)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


@pytest.mark.usefixtures("files")
def test_a_unit_that_is_set_goes_with_what_is_set_and_not_with_the_file(run: Run) -> None:
    done = run("card", "ring.toml", "--set", "unit=mm")
    assert (done.returncode, done.stdout) == (2, "")
    assert "outside = 1.75: needs a unit." in done.stderr
    sizes = [f"--set={key}" for key in ("outside=44.45", "bore=35.56", "rise=2.286", "leave=0", "cutter=9.525")]
    done = run("card", "ring.toml", "--set=unit=mm", *sizes, "--json")
    assert done.returncode == 0
    assert '"inside_diameter": 35.56' in done.stdout


@pytest.mark.usefixtures("files")
def test_on_a_command_it_is_in_the_commands_unit_or_refused(run: Run) -> None:
    words = [
        "ramp",
        "--outside",
        "1.75",
        "--bore",
        "1.40",
        "--rise",
        "0.090",
        "--span",
        "140deg",
        "--ramps",
        "2",
        "--cutter",
        "3/8",
        "--step",
        "10deg",
    ]
    assert run(*words, "--unit", "in").returncode == 0
    done = run(*words)
    assert done.returncode == 2
    assert "outside = 1.75: needs a unit. Write 1.75in or 1.75mm.\n" in done.stderr


def test_a_reading_is_in_the_unit_of_its_card(run: Run) -> None:
    """The ring's card is in inches, and its recipe names no unit: the readout shows 0.0190 at the third cut."""
    recipe = "sluice-clamp-ramp"
    assert run("tick", recipe, "--lines", input="s\nt\nc\nm 0.0050\nq\n").returncode == 0
    for bare, said in (
        (["where", recipe, "--depth", "0.0190"], ["where", recipe, "--depth", "0.0190in"]),
        (["log", "reading", "1", "3", "0.0190"], ["log", "reading", "1", "3", "0.0190in"]),
        (["recover", recipe, "--cut", "3", "--found", "0.03"], ["recover", recipe, "--cut", "3", "--found", "0.03in"]),
        (["where", "--job", "1", "--depth", "0.0190"], ["where", "--job", "1", "--depth", "0.0190in"]),
    ):
        one, other = run(*bare), run(*said)
        assert (one.returncode, one.stdout, one.stderr) == (0, other.stdout, "")
    refused = run("recover", recipe, "--from", "4", "--cutter", "0.37")  # a size, no reading
    assert (refused.returncode, refused.stderr) == (2, "cutter = 0.37: needs a unit. Write 0.37in or 0.37mm.\n")
