"""What the commands of desk and bench refuse, and what is said of a command line itself, as full texts."""

from __future__ import annotations

import os
import re
import shlex
from pathlib import Path

import pytest

from stepcut import cli, files
from stepcut.errors import FileTrouble
from stepcut.machine.files import shipped_path

ONE_MORE = ",".join(str(20 + n) for n in range(31))
READ = "read ring.txt --save found.toml"
REFUSED = [
    # the command line itself
    ("crad", "command = crad: is not known here. Did you mean card? See stepcut --help."),
    ("xyzzy", "command = xyzzy: is not known here. See stepcut --help."),
    ("help", "command = help: is not known here. See stepcut --help."),
    ("again sluice-clamp-ramp",
     "job = sluice-clamp-ramp: must be a whole number of at least 1. stepcut log list shows the number of each job. See stepcut again --help."),
    ("log nope", "command = nope: is not known here. Did you mean note? See stepcut log --help."),
    ("--nope", "option = --nope: is not known here. See stepcut --help."),
    ("card sluice-clamp-ramp --machin x", "option = --machin: is not known here. Did you mean --machine? See stepcut card --help."),
    ("card -x", "option = -x: is not known here. See stepcut card --help."),
    ("ramp --od 37mm", "option = --od: is not known here. Here it is called --outside. See stepcut ramp --help."),
    ("card", "recipes: is missing. Give it behind the command. See stepcut card --help."),
    ("log note 1", "words: is missing. Give it behind the command. See stepcut log note --help."),
    ("gears", "lead: is missing. Give --lead. See stepcut gears --help."),
    ("card sluice-clamp-ramp --out", "out: has no value. Write one behind --out. See stepcut card --help."),
    ("card sluice-clamp-ramp --force=yes", "force: takes no value. Write --force alone. See stepcut card --help."),
    ("index 42 35deg",
     "argument = 35deg: is more than this command takes. Leave it out, or put what has blanks in quotes. See stepcut index --help."),
    ("log show x", "job = x: must be a whole number of at least 1. stepcut log list shows the number of each job. See stepcut log show --help."),
    ("log reading 1 1.25 0.5in", "cut = 1.25: must be a whole number of at least 1. Choose one. See stepcut log reading --help."),
    ("tick --job 0", "job = 0: must be a whole number of at least 1. stepcut log list shows the number of each job. See stepcut tick --help."),
    ("recover sluice-clamp-ramp --from 1.5", "from = 1.5: must be a whole number of at least 1. Choose one. See stepcut recover --help."),
    ("card sluice-clamp-ramp --width 1", "width = 1: must be a whole number from 32 to 160. Choose one. See stepcut card --help."),
    # before cutting
    ("check sluice-clamp-ramp --gap 0mm", "gap = 0mm: must be greater than 0. Give the gap that lets go, such as 0.5mm."),
    ("ramp --outside 1.75in --bore 1.4in --rise .09in --cutter 3/8in --choice 20",
     "choice = 20: is past the last row, 6. Leave --choice out to see them all."),
    ("compare sluice-clamp-ramp",
     "second: is missing: two ways are compared. Name another recipe, or change this one with --set cutter=3/8in."),
    ("lock", "recipe: is missing. Name a recipe, or give --angle and --radius."),
    ("lock --angle 70deg --radius 10mm",
     "angle = 70deg: must be from 0 to less than 60 degrees. Give the ramp's angle at its middle radius."),
    ("lock --angle 7deg --radius 0mm", "radius = 0mm: must be greater than 0. Give the middle radius of the wall."),
    ("lock sluice-clamp-ramp --clamp 0lbf", "clamp = 0lbf: must be greater than 0. Give a clamp force such as 500lbf or 2kN."),
    ("lock sluice-clamp-ramp --collar -1mm",
     "collar = -1mm: must not be negative. Give the mean radius of the second face, or leave it out."),
    ("lock sluice-clamp-ramp --flank 50deg", "flank = 50deg: must be from 0 to 45 degrees. Give half the thread's angle, 14.5deg for Acme."),
    ("lock sluice-clamp-ramp --friction 2",
     "friction = 2: must be between 0 and 1. Give one like 0.12; oiled steel is about 0.08 to 0.15."),
    ("lock --angle 5deg --radius 10mm --gap 1mm", "gap = 1mm: goes with the recipe of a ramp. Name the recipe."),
    ("lock lever-ball-knob", "recipe = lever-ball-knob: is a radius, and only a ramp locks. Name the recipe of a ramp."),
    ("ramp --outside 60mm --bore 40mm --targets targets.txt --cutter 8mm",
     "targets.txt, line 2 = 90deg 1 2: is not a pair of place and depth. Write it like 90deg, 0.045in."),
    ("card both.toml", "both.toml, line 9, taper: [taper]: does not belong to a ramp recipe. Leave it out."),
    # tables
    ("gears --lead 10in --machine ./bare.toml",
     "gears: are missing: machine inch has none. Give them like --gears 24,28,32,40, or put gears = [...] into its file."),
    ("gears --lead 10in --gears 24", "gears = 24: is one gear, and a train takes two or more. Give them like --gears 24,28,32,40."),
    (f"gears --lead 10in --gears {ONE_MORE}", "gears = 31 gears: are more than 30. Give only those that fit the quadrant."),
    ("gears --lead 10in --gears 24,48 --machine ./bare.toml",
     "ratio: is missing: the machine has no rotary table. Give --ratio 90, or name a machine that has one."),
    ("gears --lead 10in --gears 24,48 --ratio 40 --machine ./bare.toml",
     "pitch: is missing. Give --pitch 0.2in, or per-turn of [slide] in the machine's file."),
    ("index", "divisions: or an angle is wanted, one of the two. Give 42, or 35deg."),
    ("index 0deg", "angle = 0deg: must be greater than 0. Give the angle of one move, such as 35deg."),
    ("index 42 --machine ./bare.toml",
     "ratio: is missing: the machine has no rotary table. Give --ratio 90, or name a machine that has one."),
    ("index 42 --ratio 40 --machine ./bare.toml",
     "circles: are missing: the machine has no rotary table. Give --circles 15,16,17, or name a machine that has one."),
    # from a part
    ("read ring.txt --unit cm", "unit = cm: is not one of the choices. Use in or mm."),
    ("read ring.txt --angles left", "angles = left: is not one of the choices. Use clockwise or anticlockwise."),
    (READ, "outside: is missing to save a ramp. Give --outside, --bore, --cutter."),
    (f"{READ} --outside 60mm --bore 40mm --cutter 8mm",
     "ramps: may be 1 or 2 or 3 by these readings. Say which with --ramps, or measure the others."),
    ("read cove.txt --save found.toml",
     "save: an arc may be a fillet or a cove, and the readings do not say which. Use stepcut radius with the figures above."),
    ("read empty.txt", "empty.txt: readings: there are none. Begin with a heading such as angle deg, depth mm or z in, diameter in."),
    ("read three.txt",
     "three.txt, line 2: readings = 1 2 3: is not a place and a reading. Write two values a line. Begin with a heading such as angle deg, "
     "depth mm or z in, diameter in."),
    ("read many.txt", "many.txt: readings = 2001: are more than 2000. Give fewer of them."),
    # at the machine
    ("blue sluice-clamp-ramp 30% --strokes 20", "with: is missing. Give both: --strokes 20 --with smooth."),
    ("recover sluice-clamp-ramp --cut 7 --found 0.55in", "found = 0.55in: is far from what cut 7 wants. Check the number and its unit."),
    ("recover paddle-quadrant-arc-slot --cut 3 --found 86mm",
     "cut: is worked out for ramps, grooves, cams and turned parts, and this recipe is for points. What is too deep or too long stays: measure it; your drawing says whether it may. Prove the zeros by --lost, then go on at the card's readings."),
]  # fmt: skip


@pytest.fixture
def bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    mill = shipped_path("inch").read_text("utf-8")
    for table in ("table", "slide"):
        mill = re.sub(rf"(?ms)^\[{table}\].*?(?=^\[|\Z)", "", mill)
    ring = '[ramp]\noutside = "60mm"\nbore = "40mm"\nrise = "1mm"\ncutter = "8mm"\n'
    arc = [(z, 2 * (16 - (100 - z * z) ** 0.5)) for z in range(10)]
    texts = {
        "bare.toml": re.sub(r"(?m)^gears.*\n", "", mill),
        "both.toml": f'stepcut = 1\nshape = "ramp"\n{ring}\n[taper]\nlarge = "3mm"\n',
        "targets.txt": "0deg, 0mm\n90deg 1 2\n",
        "ring.txt": "angle deg, depth mm\n" + "".join(f"{a}, {a / 180:.2f}\n" for a in range(0, 91, 10)),
        "cove.txt": "z mm, diameter mm\n" + "".join(f"{z}, {d:.3f}\n" for z, d in arc),
        "empty.txt": "\n",
        "three.txt": "angle deg, depth mm\n1 2 3\n",
        "many.txt": "angle deg, depth mm\n" + "1, 2\n" * 2001,
    }
    for name, text in texts.items():
        (tmp_path / name).write_text(text, "utf-8")
    return tmp_path


@pytest.mark.parametrize(("line", "message"), REFUSED, ids=[line[:60] for line, _ in REFUSED])
def test_a_refusal_names_the_thing_its_value_the_rule_and_the_way_out(
    bench: Path, line: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.run(shlex.split(line)) == 2
    assert capsys.readouterr().err == f"{message}\n"
    assert not (bench / "found.toml").exists()


def test_a_group_without_a_command_shows_its_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.run(["log"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("Usage: stepcut log ")
    assert "\n  list " in said


def test_readings_without_an_end_are_not_read(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(files, "LARGEST", 20)
    monkeypatch.setattr("sys.stdin.read", lambda most: "1, 2\n" * (most // 5 + 1), raising=False)
    assert cli.run(["read", "-"]) == 2
    assert capsys.readouterr().err == "readings: are longer than 20 characters. Give fewer of them.\n"


def test_links_in_a_ring_are_refused(bench: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (bench / "a.pdf").symlink_to("b.pdf")
    (bench / "b.pdf").symlink_to("a.pdf")
    assert cli.run(["card", "sluice-clamp-ramp", "--out", "a.pdf", "--force"]) == 3
    assert capsys.readouterr().err == "a.pdf: is no regular file, and only a file is replaced. Choose another name.\n"


def test_a_name_that_no_file_can_have_is_refused_before_anything_is_written(
    bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(_: object) -> bool:
        raise OSError(36, "File name too long")

    monkeypatch.setattr(os.path, "lexists", failing)
    with pytest.raises(FileTrouble) as trouble:
        files.refuse_taken(Path("x.pdf"), force=False)
    assert str(trouble.value) == "x.pdf: cannot be written (file name too long). Check the name and the folder."


def test_a_turret_of_level_flats_has_a_way_on_after_a_cut_too_deep(capsys: pytest.CaptureFixture[str]) -> None:
    """It has no slope, so that its handle would turn no further: there is no degree to say."""
    assert cli.run(["recover", "depth-stop-turret", "--cut", "3", "--found", "0.1in", "--width", "160"]) == 0
    said = capsys.readouterr().out
    assert "2. Lower this part by " in said
    assert "add it to every depth of the targets or flats." in said
