"""The command line: what it prints, how it ends."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from stepcut import cli, recipes
from stepcut.cli import COMMANDS
from tests.conftest import Run
from tests.shops import each_kind, thinned

RING = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in"]


def test_json_has_the_keys_of_the_contract(program: Run) -> None:
    done = program("ramp", *RING, "--step", "10deg", "--leave", "0in", "--json")
    plan = json.loads(done.stdout)
    assert done.returncode == 0
    assert list(plan) == [
        "schema",
        "machine",
        "shape",
        "target",
        "cutter",
        "approach",
        "edge_behind",
        "leave",
        "material",
        "cutter_material",
        "stops",
        "sweeps",
        "roughing",
        "flanks",
        "table",
        "dials",
        "acts",
        "result",
        "blue",
        "says",
        "verdict",
        "remarks",
    ]
    assert (plan["schema"], plan["shape"], plan["approach"], plan["edge_behind"]) == (1, "ramp", "across", 0.0)
    assert plan["cutter"] == {"kind": "flat", "diameter": 12.7}
    assert plan["stops"][0] == {"n": 1, "start": 1, "table": 10.0, "depth": 0.127}
    assert plan["stops"][-1] == {"n": 18, "start": 1, "table": 180.0, "depth": 2.286}
    assert plan["sweeps"] == []  # this ramp has no flat along which the table would be swept
    assert plan["machine"] == {"name": "inch", "example": True}
    assert plan["table"] == {"turns": "clockwise", "reading": "grows"}
    assert {"outside_diameter", "inside_diameter", "rise", "span", "starts", "law", "start_depth"} <= set(
        plan["target"]
    )
    assert set(plan["result"]) == {
        "scallop", "stock_min", "stock_mean", "stock_max", "twist", "volume", "ramp_angle", "run_out"
    }  # fmt: skip
    assert set(plan["result"]["run_out"]) == {"needed", "available"}
    assert all(set(remark) == {"code", "spoils", "text"} for remark in plan["remarks"])


def test_a_spoiling_plan_ends_with_1_and_says_what_to_do(program: Run) -> None:
    done = program("ramp", *RING, "--ramps", "2", "--step", "10deg")
    assert done.returncode == 1
    flat = " ".join(done.stdout.split())
    assert "DO NOT CUT" in flat
    assert (
        "The cutter overlaps the next ramp by 45.6°. No standard cutter clears. With this 1/2 in cutter 13 of 18 cuts fit, the "
        "last at 130°; a span of 134°24' fits whole." in flat
    )


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["ramp", *RING, "--leave", "-5mm"],
         "leave = -5mm: must not be negative. Give what is to stay for the file, such as 2thou or 0.05mm, or auto."),
        (["ramp", *RING, "--step", "10deg", "--drop", "6thou"],
         "drop = 0.0060 in: does not agree with step = 10°, which makes 0.0050 in. Leave one of them out."),
        (["ramp", *RING, "--step", "10deg", "--cuts", "20"],
         "cuts = 20: does not agree with step = 10°, which makes 18 cuts. Leave one of them out."),
        (
            ["ramp", "--outside", "60mm", "--bore", "40mm", "--rise", "2mm", "--cutter", "10mm", "--cut-with", "plunge", "--cuts", "200", "--machine", "metric"],
            "cutter = 10 mm: is too narrow to be plunged over a wall of 10 mm: at its edges no step is small enough. "
            "Take a wider cutter, or feed it across the wall (cut-with = end).",
        ),
        (["ramp", *RING, "--step", "0.001deg"], "cuts = 180001: is more than a plan may have (12000). Take larger steps, or allow a higher ridge."),
        (["ramp", *RING[:-1], "0.7in"],
         "cutter = 0.7 in: reaches 0.7000 in downhill, across the bore (radius 0.7000 in) to the far wall. Use 5/8 in or smaller."),
        (["ramp", *RING, "--bore", "2in"],
         "bore = 2in: must be smaller than outside = 1.75in. Give both as diameters; check that they are not swapped."),
        (["ramp", *RING, "--machine", "inhc"],
         "machine = inhc: there is no machine of that name. Use one of inch, metric, or the path of a file. Did you mean inch?"),
        (["ramp", *RING, "--rises", "clockwise", "--tightens", "anticlockwise"],
         "tightens = anticlockwise: does not agree with rises = clockwise. What tightens anticlockwise rises anticlockwise too; "
         "give one of the two."),
        (["ramp", *RING, "--cut-with", "plunge", "--cutter", "1/8in"],
         "cutter = 1/8 in: does not reach both edges of the 0.1750 in wall when plunged. Use a wider cutter, or cut-with = end."),
        (["crad"], "command = crad: is not known here. Did you mean card? See stepcut --help."),
        (["check", "sluice-clamp-ramp", "--blue", "120%"], "blue = 120%: must be above 0 and at most 100 %. Write it like 60%."),
        (["card", "sluice-clamp-ramp", "--set", "outside"],
         "set = outside: is not a key and a value. Write it like --set outside=2.25in."),
    ],
)  # fmt: skip
def test_bad_input_ends_with_2_and_one_clear_message(run: Run, arguments: list[str], message: str) -> None:
    done = run(*arguments)
    assert (done.returncode, done.stderr.strip(), done.stdout) == (2, message, "")


def test_a_missing_file_ends_with_3(program: Run, tmp_path: Path) -> None:
    done = program("card", str(tmp_path / "none.toml"))
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr.strip() == f"{tmp_path}/none.toml: there is no such file. Check the name and the folder."


def test_saving_never_replaces_unless_forced(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "ring.toml"
    save = ["ramp", *RING, "--step", "10deg", "--title", "Ring [red]x[/]", "--save", str(path)]
    assert run(*save).returncode == 0
    text = path.read_text("utf-8")
    again = run(*save)
    assert again.returncode == 3
    assert "stands already" in again.stderr
    assert run(*save, "--force").returncode == 0
    assert path.read_text("utf-8") == text
    card = run("card", str(path))
    assert card.returncode == 0
    assert "Ring [red]x[/]" in card.stdout


def test_targets_come_from_a_file(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "targets.csv"
    path.write_text("# angle, depth\n0deg, 0in\n90deg, 0.060in\n180deg; 0.090in\n", "utf-8")
    done = run("ramp", *RING[:4], "--cutter", "1/4in", "--targets", str(path), "--step", "10deg", "--json")
    plan = json.loads(done.stdout)
    assert (plan["target"]["law"], plan["target"]["span"]) == ("targets", 180.0)
    assert plan["target"]["rise"] == pytest.approx(2.286)
    wrong = run("ramp", *RING[:4], "--rise", "0.1in", "--cutter", "1/4in", "--targets", str(path), "--step", "10deg")
    assert (
        wrong.stderr.strip() == "rise = 0.1in: does not agree with targets, which make 0.09 in. Leave one of them out."
    )


@pytest.mark.long
def test_choices_are_offered_and_one_is_taken(run: Run) -> None:
    table = run("ramp", *RING).stdout
    rows = [line.replace("*", " ").split() for line in table.splitlines() if re.match(r"[ *]*\d+\s+\d+\s", line)]
    assert 5 <= len(rows) <= 7
    assert [row[0] for row in rows] == [str(n) for n in range(1, len(rows) + 1)]
    for row in rows:
        plan = json.loads(run("ramp", *RING, "--choice", row[0], "--json").stdout)
        assert len(plan["stops"]) == int(row[1])
    assert "uneven" in rows[-1]
    assert "is past the last row, 6" in run("ramp", *RING, "--choice", "19").stderr
    assert "does not go with step" in run("ramp", *RING, "--choice", "1", "--step", "10deg").stderr


def test_recipes_are_listed_shown_and_copied(run: Run, tmp_path: Path) -> None:
    assert "invented" in run("recipe", "list").stdout
    shown = run("recipe", "show", "sluice-clamp-ramp").stdout
    copied = tmp_path / "mine.toml"
    assert run("recipe", "copy", "sluice-clamp-ramp", str(copied)).returncode == 0
    assert copied.read_text("utf-8") == shown
    assert run("recipe", "copy", "sluice-clamp-ramp", str(copied)).returncode == 3


def test_a_machine_file_reports_every_fault(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(
        'stepcut-machine = 1\nunit = "in"\n[table]\ndivison = "1\'"\nratio = 90\n[depth]\ndivision = "0"\n[quill]\n',
        "utf-8",
    )
    done = run("machine", "show", str(path))
    assert done.returncode == 2
    assert done.stderr.splitlines() == [
        f"{path}, line 8, quill: [quill]: is not known here. Leave it out.",
        f"{path}, line 4, table.divison: divison: is not known here. Leave it out. Did you mean division?",
        f"{path}, table.division: division: is missing. Give division, such as 140deg or 12°30'.",
        f"{path}, line 7, depth.division: division = 0: must be greater than 0. Give a size above nought.",
    ]


def test_check_and_compare_and_lock(run: Run) -> None:
    check = run("check", "sluice-clamp-ramp")
    assert check.returncode == 0
    for label in ("CUT IT", "Run-out", "Cutter covers", "Scallop", "To file", "Errors", "Will it hold"):
        assert label in check.stdout
    assert run("check", "sluice-clamp-ramp", "--set", "cutter=5/8in").returncode == 1
    compared = run("compare", "sluice-clamp-ramp", "--set", "cut-with=side", "--width", "100")
    assert "lines are alike; --all shows them." in compared.stdout
    assert not any(line.startswith(("Ring", "Verdict")) for line in compared.stdout.splitlines())
    whole = run("compare", "sluice-clamp-ramp", "--set", "cut-with=side", "--width", "100", "--all").stdout
    whole = whole.split("stepcut machine new.\n")[1]  # after what is said of an example machine
    assert "* differs" in whole
    assert sum(line[15:16] == "*" for line in whole.splitlines()) + int(compared.stdout.split()[-7]) == sum(
        line[:1].isalpha() for line in whole.splitlines()
    )
    lock = run("lock", "--angle", "2.188deg", "--radius", "0.75in", "--clamp", "500lbf").stdout
    # Common practice, no source: 0.005 in per 10 degrees at 0.75 in mean radius under 500 lbf.
    for row in ("44 in-lb", "60 in-lb", "71 in-lb", "16 in-lb", "31 in-lb", "42 in-lb"):
        assert row in lock
    blue = " ".join(run("check", "sluice-clamp-ramp", "--blue", "60%").stdout.split())
    assert "Blue on 60 % of the ramp: it still stands" in blue
    assert "Blue on 80 % of the ramp" in blue


# Blue shows nothing of them: a groove has two surfaces, a socket turned by the compound no steps, graduations and points nothing to blue.
NO_CURVE = ("helix", "scroll", "points", "divide", "rule")
DEEP = ("dredge-jaw-clutch", "pump-crank-dog")  # teeth higher than their narrow cutter is wide
BY_COMPOUND = ("paddle-socket-bore", "marking-point-cone")


@pytest.mark.parametrize("name", thinned(each_kind()))
def test_every_example_is_checked_compared_and_blued(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["check", name]) == 0
    assert capsys.readouterr().out.startswith("LOOK AGAIN. The last cuts" if name in DEEP else "CUT IT")
    assert cli.run(["compare", name, name]) == 0
    rows = capsys.readouterr().out.splitlines()
    assert "Nothing differs." in rows
    assert rows[-1].endswith("lines are alike; --all shows them.")
    assert cli.run(["check", name, "--blue", "60%"]) == 0
    said = capsys.readouterr().out
    none = recipes.load(name).shape in NO_CURVE or name in BY_COMPOUND
    assert ("Blue on 60 %" in said, "has no contact curve" in said) == ((False, True) if none else (True, False))


def test_the_volume_of_a_cam_is_for_each_mm_everywhere(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["check", "tension-release-cam", "--blue", "60%"]) == 0
    assert "mm³ a mm is left to file" in " ".join(capsys.readouterr().out.split())


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(run: Run, command: str) -> None:
    done = run(command, "--help")
    assert done.returncode == 0
    assert "Usage" in done.stdout


def test_a_program_of_its_own_prints_what_the_tests_own_process_does(run: Run, program: Run) -> None:
    for arguments in (
        ["card", "bollard-pin-taper"],
        ["lock", "--angle", "-5deg", "--radius", "20mm"],
        ["card", "x", "--set", "y"],
    ):
        alone, here = program(*arguments), run(*arguments)
        assert (alone.returncode, alone.stdout, alone.stderr) == (here.returncode, here.stdout, here.stderr)


def test_output_that_cannot_encode_falls_back_to_ascii(program: Run) -> None:
    done = program("card", "sluice-clamp-ramp", env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert " 10d " in done.stdout
    done = program("card", "sluice-clamp-ramp", env={"PYTHONIOENCODING": "cp1252"}, encoding="cp1252")
    assert done.returncode == 0
    assert " 10° " in done.stdout


def test_piped_output_is_plain_text(run: Run) -> None:
    assert "\x1b" not in run("card", "sluice-clamp-ramp").stdout
