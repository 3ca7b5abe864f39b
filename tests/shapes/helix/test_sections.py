"""Grooves of a section: leave, wider than the cutter by sweeps side by side, round; against rays of a model of its own, and played."""

from __future__ import annotations

from typing import Any

import pytest

from stepcut.recipes import from_content, job
from stepcut.routine import acts
from tests.conftest import Run
from tests.outside import front, helix_sections, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played
from tests.shops import thinned

SHAFT = {"diameter": "37mm", "lead": "120mm", "length": "32mm", "depth": "2mm", "cutter": "5mm", "step": "4deg"}
CASES: dict[str, dict[str, str]] = {
    "as wide as the cutter": {},
    "leave on the floor": {"leave": "0.1mm"},
    "a ball, leave on the floor": {"cutter": "5mm ball", "leave": "0.1mm"},
    "wider, two sweeps": {"groove-width": "8mm"},
    "wider, leave on floor and walls": {"groove-width": "8mm", "leave": "0.1mm"},
    "much wider, left hand": {"groove-width": "17mm", "leave": "0.15mm", "hand": "left", "length": "20mm"},
    "a vee": {"cutter": "10mm vee 90deg", "step": "2deg", "length": "20mm"},
    "a vee of 120 degrees, leave": {"cutter": "10mm 120deg vee", "step": "3deg", "depth": "1.5mm", "leave": "0.1mm"},
    "steep": {"groove-width": "6mm", "lead": "60mm", "length": "16mm"},
}


@pytest.mark.parametrize("name", thinned(CASES))
def test_what_stands_is_what_rays_find(name: str) -> None:
    plan = front.solved("helix", **(SHAFT | CASES[name]))
    found, result = helix_sections.seen(plan, 32, 8), plan["result"]
    assert result["volume"] == pytest.approx(found.volume, rel=0.01)
    # The highest of steps alike is printed, by half a division of the slide at the most; rays look at the middle of the groove.
    assert found.wall - 3e-4 <= result["wall_ridge"] <= found.wall + 0.003
    # Along the walls of a wide groove cuts are rounded inward; one as wide as its cutter stands half a division off its way.
    wide = "groove-width" in CASES[name]
    assert found.below <= (1e-9 if wide else 0.0025 + 1e-9)
    leave = float(CASES[name].get("leave", "0mm").removesuffix("mm"))
    assert result["stock_min"] == pytest.approx(leave)
    if wide:  # a division of the slide narrower at the most
        asked = float(CASES[name]["groove-width"].removesuffix("mm")) - 2 * leave
        assert asked - 0.005 <= found.width <= asked + 1e-6


@pytest.mark.parametrize("name", thinned(name for name in CASES if "wider" in name or "leave" in name))
def test_the_acts_end_every_cut_at_its_division_and_depth(name: str) -> None:
    values = SHAFT | CASES[name] | {"starts": "2", "lead": "200mm"}
    plan = job(from_content({"stepcut": 1, "machine": "metric", "title": "shaft", "helix": values})).plan
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


@pytest.mark.parametrize(
    "name",
    [
        "winder-sleeve-wide-groove",
        pytest.param("sluice-spindle-vee-groove", marks=pytest.mark.long),
        "bellows-chuck-face-scroll",
    ],
)
def test_the_shipped_grooves_are_true(name: str) -> None:
    plan = front.shipped(name)
    assert disagreements(plan, whole_part.see(plan, fast=True), fast=True) == []


def test_the_bottom_of_a_vee_keeps_what_two_cones_leave() -> None:
    """Two points s apart, of 60 degrees: between them stands s / 2 / tan 30 in the bottom, half of that square to the flanks.

    Unrolled at the bottom, 0.5 degrees of 17.5 mm beside 120 / 720 mm along.
    """
    plan = front.solved(
        "helix", **(SHAFT | {"cutter": "10mm vee 60deg", "step": "0.5deg", "depth": "1mm", "length": "6mm"})
    )
    apart = ((17.5 * 3.14159265 / 360) ** 2 + (120 / 720) ** 2) ** 0.5
    assert plan["result"]["stock_max"] == pytest.approx(
        apart / 2 * 3**0.5, rel=0.03
    )  # x is rounded to 0.005 of 0.167 mm
    assert plan["result"]["floor_ridge"] == pytest.approx(plan["result"]["stock_max"] / 2)
    assert plan["result"]["scallop"] == plan["result"]["floor_ridge"]
    assert plan["cutter"] == {"kind": "vee", "diameter": 10.0, "angle": 60.0}


def test_no_more_stands_in_a_vee_than_half_way_between_two_points() -> None:
    """Right under a point nothing stands: rounding there once made the floor stand twice as high as it does.

    Two points of 90 degrees stand as far apart as they are high above the floor twice over: unrolled at the bottom, 1 degree of
    13.3 mm beside at most 0.53 mm along, as the slide rounds it.
    """
    result = front.shipped("sluice-spindle-vee-groove")["result"]
    high = ((13.3 * 3.14159265 / 180) ** 2 + 0.53**2) ** 0.5 / 2
    assert result["stock_max"] == pytest.approx(high, rel=0.01)
    assert result["stock_mean"] == pytest.approx(high / 2, rel=0.01)
    assert result["floor_ridge"] == pytest.approx(high / 2**0.5, rel=0.01)


def test_a_wide_groove_is_cut_sweep_by_sweep_each_along_its_wall() -> None:
    plan = front.solved("helix", **(SHAFT | CASES["wider, two sweeps"]))
    sweeps: dict[int, list[dict[str, Any]]] = {}
    for stop in plan["stops"]:
        sweeps.setdefault(stop["start"], []).append(stop)
    assert sorted(sweeps) == [1, 2]
    assert [s["table"] for s in sweeps[1]] == [s["table"] for s in sweeps[2]]
    apart = [b["x"] - a["x"] for a, b in zip(sweeps[1], sweeps[2], strict=True)]
    # Unrolled, the groove leans at atan(37 pi / 120) to the axis: 3 mm square to it are 3 / sin of that along the axis.
    assert max(apart) - min(apart) <= 0.01 + 1e-9
    assert sum(apart) / len(apart) == pytest.approx(3 * (1 + (120 / (37 * 3.14159265)) ** 2) ** 0.5, abs=0.03)


def test_the_card_says_section_sweeps_and_where_the_first_begins(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in (SHAFT | CASES["wider, leave on floor and walls"]).items()]
    shown = " ".join(run("helix", *words, "--machine", "metric").stdout.split())
    assert "Section rectangular, 8 mm wide at the surface: 2 sweeps of a 5 mm cutter, one along each wall" in shown
    assert "Leave 0.100 mm on floor and walls" in shown
    assert "along the axis from the groove's middle, toward the table" in shown
    assert "SWEEP 2" in shown
    assert "down to depth 1.900" in shown
    narrow = " ".join(run("helix", *words[:5], "--step=4deg", "--leave=0.1mm", "--machine", "metric").stdout.split())
    assert "Leave 0.100 mm on the floor; the walls are as the cutter leaves them" in narrow
    assert "Section rectangular, as wide as the cutter, 5 mm" in narrow


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"groove-width": "4mm"}, "groove-width = 4mm: is narrower than cutter = 5mm. Take a narrower cutter."),
        ({"groove-width": "8mm", "cutter": "5mm ball"},
         "groove-width = 8mm: is a groove with a flat floor, and cutter = 5mm ball is not flat. Take a flat cutter, or leave groove-width out."),
        ({"groove-width": "5.1mm", "leave": "0.1mm"},
         "groove-width = 5.1mm: with 0.1mm to leave on both walls has no room for cutter = 5mm. Take a cutter of less than 4.9 mm, or leave "
         "groove-width out."),
        ({"groove-width": "5.1mm"},
         "groove-width = 5.1 mm: is only 0.097 mm more than the cutter, less than the ridges of 0.179 mm that these steps leave. Take a narrower "
         "cutter or smaller steps, or leave groove-width out: it is then the cutter's."),
        ({"cutter": "3mm vee 90deg"}, "cutter = 3mm vee 90deg: is only 1.5 mm long at its point, and the groove 2mm deep. Take a wider vee, or make the "
         "groove shallower."),
        ({"cutter": "10mm vee"}, "cutter = 10mm vee: is a vee without the angle of its point. Write 10mm vee 90deg, the whole angle."),
        ({"cutter": "10mm vee 5deg"}, "cutter = 10mm vee 5deg: has a point of less than 10 or more than 150 degrees. Give the whole angle, from flank to "
         "flank."),
        ({"cutter": "10mm ball 60deg"}, "cutter = 10mm ball 60deg: is not a cutter. Write a pointed one like 10mm vee 90deg: diameter, and the whole "
         "angle of its point."),
        ({"cutter": "6mm bull 1mm"}, "cutter = 6mm bull 1mm: a bull nose is not offered for a helix. Use a flat, a ball or a vee."),
        ({"cutter": "8mm vee 90deg", "groove-width": "9mm"},
         "groove-width = 9mm: is a groove with a flat floor, and cutter = 8mm vee 90deg is not flat. Take a flat cutter, or leave groove-width out."),
        ({"leave": "2mm"}, "leave = 2mm: leaves nothing to cut of a groove 2mm deep. Leave less, or make it deeper."),
        # Turns of a lead of 20 mm lie 20 * 37 pi / hypot(37 pi, 20) = 19.710 mm apart.
        ({"groove-width": "20mm", "lead": "20mm"},
         "groove-width = 20 mm: leaves no land between neighbouring grooves: they overlap by 0.290 mm. Take a smaller cutter, a longer lead or "
         "fewer starts."),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_full(run: Run, more: dict[str, str], said: str) -> None:
    words = [f"--{key}={value}" for key, value in (SHAFT | more).items()]
    refused = run("helix", *words, "--machine", "metric")
    assert " ".join(refused.stderr.split()) == said
    assert refused.returncode == 2


@pytest.mark.long
def test_choices_count_the_cuts_of_all_sweeps(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in (SHAFT | CASES["wider, two sweeps"]).items() if key != "step"]
    shown = run("helix", *words, "--machine", "metric").stdout
    rows = [line.split() for line in shown.splitlines() if line[:2].strip().isdigit() or line.lstrip().startswith("*")]
    rows = [row for row in rows if row and row[0].lstrip("*").isdigit()]
    assert rows and all(int(row[1]) % 2 == 0 for row in rows)


def test_no_other_shape_takes_a_pointed_cutter(run: Run) -> None:
    words = ["--begin=15mm", "--end=21mm", "--pitch=8mm", "--depth=1mm", "--step=5deg", "--machine=metric"]
    refused = run("scroll", *words, "--cutter", "8mm vee 90deg")
    assert " ".join(refused.stderr.split()) == (
        "cutter = 8mm vee 90deg: is pointed, which cuts grooves only. Take a flat or a ball end; a helix takes a vee."
    )
    ring = ["--outside=40mm", "--bore=30mm", "--rise=2mm", "--span=90deg", "--step=5deg"]
    assert "is pointed, which cuts grooves only" in run("ramp", *ring, "--cutter", "8mm vee 90deg").stderr


def test_another_cutter_leaves_the_walls_of_a_wide_groove_where_they_are(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in (SHAFT | CASES["wider, two sweeps"]).items()]
    assert run("helix", *words, "--machine=metric", "--save", "sleeve").returncode == 0
    assert "CHANGES ITS WIDTH" not in run("recover", "sleeve", "--from", "30", "--cutter", "4.9mm").stdout
    assert run("helix", *words[:-1], "--machine=metric", "--save", "narrow").returncode == 0
    assert "CHANGES ITS WIDTH" in run("recover", "narrow", "--from", "20", "--cutter", "4.9mm").stdout


def test_floor_and_walls_of_a_wide_groove_stay_clear_by_what_is_left_on_them() -> None:
    """0.1 mm is left all round; depth and slide are read to 0.005 mm, and rounded away from the metal that stays."""
    values = {
        "diameter": "37mm",
        "lead": "90mm",
        "length": "24mm",
        "depth": "1.5mm",
        "cutter": "5mm",
        "groove-width": "8mm",
        "leave": "0.1mm",
    }
    plan = job(from_content({"stepcut": 1, "machine": "metric", "helix": {**values, "step": "4deg"}})).plan
    clear = plan.details.clearances(plan)
    assert len(clear) == 2 * len(plan.stops)  # of every cut the floor, and of two sweeps a wall each
    assert all(0.1 - 1e-6 <= each.above <= 0.1051 for each in clear)
