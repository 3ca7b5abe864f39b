"""What is seldom asked for: inputs that do not go together, and ways that only a few parts take."""

from __future__ import annotations

import json
import shlex
from pathlib import Path

import pytest

from tests.conftest import Run

SCROLL = "scroll --begin 15mm --end 25mm --pitch 8mm --depth 2mm --cutter 4mm"
GROOVE = "groove --circle 35mm --cutter 4mm"
HELIX = "helix --diameter 37mm --lead 120mm --length 30mm --depth 1.5mm --cutter 5mm"
RAMP = "ramp --outside 50mm --bore 40mm --rise 2mm --span 100deg --cutter 8mm --step 2deg"
LINES = "divide --divisions 12 --make lines --line 3mm"

REFUSED = [
    (f"{LINES} --over 2", "over = 2: goes with vernier. Leave it out."),
    ("divide --angles '0deg; 30deg' --span 40deg", "span = 40deg: does not go with angles. Leave it out."),
    (f"{GROOVE} --targets '0deg 0.4mm; 60deg 2mm' --span 60deg", "span = 60deg: does not go with targets. Leave one of them out."),
    (f"{GROOVE} --targets '0deg -0.4mm; 60deg 2mm'", "targets = -0.4 mm: must not be negative. Depths count down from the face."),
    (f"{GROOVE} --targets '0deg 0mm; 60deg 0.001mm'",
     "leave = 0.015 mm: leaves nothing to cut: the low end is 0.001 mm deep. Leave less, or make it deeper."),
    ("radius --form ball --radius 15mm --small 8mm --to-angle 90deg", "to-angle = 90deg: does not go with small. Leave one of them out."),
    # By hand: a bow of 25 mm on a radius of 15 mm is 15 - sqrt(15^2 - 12.5^2) = 6.7 mm high, more than the 6 mm of the bar.
    ("radius --form crown --radius 15mm --length 25mm --diameter 12mm",
     "radius = 15mm: cuts through to the axis over this length. Take a larger radius, or give small."),
    ("taper --large 20mm --small 14mm --length 20mm --cuts 3 --leave 9mm",  # was: nearest is 0, give 0
     "leave = 9.000 mm: leaves nothing to cut: the shape is only 3.000 mm high on the radius. Leave less."),
    # By hand: tan 20 degrees is 37 pi / lead, so that the lead is 319.36 mm.
    (f"{HELIX} --angle 20deg --step 4deg", "angle = 20 deg: does not agree with lead = 120mm, it makes 319.3638 mm. Leave one of them out."),
    ("cam --base 20mm --table '0deg 0mm; 90deg -21mm' --cutter 10mm", "table = -21 mm: falls below the axis. Check base and lifts."),
    # By hand: 2 mm in 100 degrees is 0.04 mm in a step of 2.
    (f"{RAMP} --drop 0.5mm", "drop = 0.500 mm: does not agree with step = 2°, which makes 0.040 mm. Leave one of them out."),
    (f"{RAMP} --scallop 0.001mm", "scallop = 0.001 mm: does not agree with step = 2°, which leaves 0.040 mm. Leave one of them out."),
]  # fmt: skip


@pytest.mark.parametrize(("line", "said"), REFUSED)
def test_what_does_not_go_together_is_refused(run: Run, line: str, said: str) -> None:
    done = run(*shlex.split(line), "--machine", "metric")
    assert (done.returncode, done.stdout, " ".join(done.stderr.split())) == (2, "", said)


def solved(run: Run, line: str) -> dict[str, object]:
    done = run(*shlex.split(line), "--machine", "metric", "--json")
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


def test_a_rule_by_its_length_has_its_lines_a_share_of_it_apart(run: Run) -> None:
    plan = solved(run, "rule --length 40mm --divisions 20 --line 3mm")
    assert [stop["x"] for stop in plan["stops"]] == [2.0 * k for k in range(21)]  # type: ignore[attr-defined]


def test_a_cutter_of_lines_is_measured(run: Run) -> None:
    for line in ("rule --divisions 20 --pitch 1.5mm --line 3mm", LINES):
        done = run(*shlex.split(line), "--cutter", "6mm vee 60deg", "--machine", "metric")
        assert done.returncode == 0, done.stderr
        assert "Cutter, vee, measured ________" in " ".join(done.stdout.split())


def test_seven_grooves_stand_next_to_marks_and_the_card_says_how_far(run: Run) -> None:
    """A seventh of a turn, 51 3/7 degrees, is no whole number of minutes."""
    plan = solved(run, f"{HELIX} --starts 7 --step 4deg")
    assert "sector-rounded" in [remark["code"] for remark in plan["remarks"]]  # type: ignore[attr-defined]


def test_a_groove_as_wide_as_its_cutter_is_cut_once(run: Run) -> None:
    wide, plain = (solved(run, f"{HELIX} --step 4deg{more}") for more in (" --groove-width 5mm", ""))
    assert wide["stops"] == plain["stops"]


def test_a_standard_taper_brings_its_large_end(run: Run) -> None:
    """Morse taper No. 3: 23.825 mm at the gauge plane (ISO 296, from memory), 1 in 19.922: 1.506 mm in 30."""
    done = run(*shlex.split("taper --taper 'Morse 3' --length 30mm --machine metric"))
    assert "23.825 mm to 22.319 mm in 30.000 mm" in done.stdout


def test_a_taper_said_twice_alike_is_taken(run: Run) -> None:
    twice, once = (solved(run, f"taper --large 30mm --small 25mm --length 40mm{more}") for more in (" --taper 1:8", ""))
    assert twice["stops"] == once["stops"]


ACCEPTED = [
    ("divide --divisions 8 --make slots --cutter 5mm --depth 3mm", "8 slots, 3 mm deep"),
    ("points --radius 60mm --side inside --depth 3mm --cutter 8mm", "circle, radius 60 mm"),
    ("profile --targets '0mm 30mm; 10mm 20mm; 20mm 14mm'", "to 14 mm DIAMETER at 20 mm from"),
    ("profile --targets '0mm 30mm; 10mm 20mm; 14mm 20mm; 24mm 30mm' --tool square --tool-width 3mm --step 1mm", "30 mm DIAMETER"),
    ("cam --base 20mm --table '0deg 0mm; 90deg 3mm' --cutter 10mm", "lift table of 2 rows"),
    ("taper --large 10mm --small 9.6mm --length 4mm --side bore", "the bore is too short or too narrow for two balls of a whole size"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "said"), ACCEPTED)
def test_it_is_solved_drawn_and_said(run: Run, line: str, said: str, tmp_path: Path) -> None:
    words = [*shlex.split(line), "--machine", "metric"]
    done = run(*words, "--save", str(tmp_path / "job.toml"))
    assert done.returncode in (0, 1), done.stderr
    drawn = run("card", str(tmp_path / "job.toml"), "--out", str(tmp_path / "card.svg"))
    assert drawn.returncode in (0, 1), drawn.stderr
    assert list(tmp_path.glob("card*.svg"))
    assert said in " ".join((done.stdout + run("card", str(tmp_path / "job.toml"), "--all").stdout).split())
