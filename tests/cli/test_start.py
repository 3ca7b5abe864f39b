"""A scripted stranger: from an empty home, a machine by answers, then a first card by answers, for three shops."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest

from stepcut import guided
from stepcut.cards.part_pictures import picture
from stepcut.cli import screen, start
from stepcut.shapes import kind
from tests.cli.test_machine import INCH, METRIC, QUILL, answered
from tests.conftest import ROOT, Run
from tests.shops import thinned

RAMP = {
    "in": ["1", "1-3/4in", "1.40in", "2", "5 thou per 10 deg", "140", "cw", "", "3/8in", "", "", "clamp"],
    "mm": ["ramp", "40mm", "30 mm", "1", "0.1mm every 5°", "100", "ccw", "", "10mm", "", "1", "latch"],
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
    assert ("spindle turning: depth and dial" in done.stdout) == (name != "old-mill")  # whose quill has none
    assert "\x1b" not in done.stdout
    # Answers from an empty home to a card: most for the mill with two depth scales and the lathe beside it.
    assert len(machine) + len(RAMP[unit]) == {"bench": 69, "teilkopf": 39, "old-mill": 31}[name]
    # The one line that is printed at the end makes the same plan, and the saved recipe too, from another folder.
    line = done.stdout.split("The same in one line:\nstepcut ")[1].splitlines()[0]
    again = run(*shlex.split(line), "--json")
    saved = run("card", RAMP[unit][-1], "--json", cwd=tmp_path, env={"PYTHONPATH": str(ROOT)})
    assert again.returncode == saved.returncode == 0, again.stderr + saved.stderr
    assert json.loads(again.stdout)["stops"] == json.loads(saved.stdout)["stops"] != []


@pytest.mark.parametrize(
    "answers",
    [
        ["2", "37mm", "120mm", "60mm", "1.5mm", "right", "", "", "5mm ball", "", "", "", "", "", "", ""],
        [
            "helix",
            "37mm",
            "90mm",
            "45mm",
            "1.5mm",
            "left",
            "2",
            "yes",
            "4mm",
            "6mm",
            "0.1mm",
            "3mm",
            "",
            "6mm ball",
            "0.1mm",
            "",
            "",
        ],
        ["taper", "30mm", "1:20", "90mm", "outside", "0.05mm", "", "", ""],
        ["4", "ball", "12mm", "", "", "2", ""],
        ["radius", "fillet", "6mm", "25mm", "", "0.1mm", "", ""],
        ["profile", "0mm 20mm, 10mm 24mm, 18mm 25mm", "", "", "", ""],
        ["groove", "37mm", "3", "60", "", "2mm", "clockwise", "6mm ball", "", "", "", ""],
        ["8", "87mm", "on", "26", "4mm", "8mm", "", "", "", ""],
        ["points", "", "31mm", "37mm", "", "30mm", "12mm", "", "0.1mm", "", ""],
        ["9", "7", "holes", "5mm", "", ""],
        ["divide", "100", "lines", "3mm", "4.5mm", "6mm", "1", "41mm", ""],
        ["10", "15mm", "22mm", "8mm", "2.5mm", "clockwise", "4mm", "0.2mm", "", ""],
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


@pytest.mark.parametrize(("answer", "said"), thinned([("yes", True), ("no", False), ("", False)]))
def test_a_yes_is_a_word_of_the_one_line_and_a_no_is_none(run: Run, answer: str, said: bool) -> None:
    run("machine", "use", "metric")
    done = run(
        "start",
        input=answered(
            "helix", "37mm", "90mm", "45mm", "1.5mm", "right", "2", answer, "4mm", "", "", "", "", "0.1mm", "", ""
        ),
    )
    line = done.stdout.split("The same in one line:\nstepcut ")[1].splitlines()[0]
    assert ("--cross" in shlex.split(line)) is said
    again = run(*shlex.split(line), "--json")
    assert again.returncode == 0 and json.loads(again.stdout)["target"].get("cross", False) is said


def test_every_answer_can_be_taken_back_and_a_wrong_one_is_asked_again(run: Run) -> None:
    done = run("start", input=answered(
        "30", "2", "back", "1", "1.75in", "2in", "back", "2in", "2", "0.09in", "140", "sideways", "cw", "", "3/8in", "", "",
        "1.40in", "back", "1.40in", "2", "back-plate"))  # the bore was above the outside; nothing else is asked again  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    assert "It is asked again; the other answers are kept, back goes through them." in done.stdout
    assert done.stdout.count("How many RAMPS") == 2  # before the back and after it
    assert "Write a number from 1 to 11." in done.stdout
    assert "That does not go together: bore = 2in: must be smaller than outside = 1.75in." in done.stdout
    assert "sideways: is not one of the choices" in done.stdout
    assert run("card", "back-plate").returncode == 0


@pytest.mark.parametrize("shape", guided.parts())
def test_every_question_says_how_its_answer_is_found_and_asks_again(run: Run, shape: str) -> None:
    default = {field.key: field.default for field in kind(shape).fields}
    for ask in guided.questions(shape):
        if ask.field == "leave":  # an empty answer is what the input takes when it is not given
            assert ("what this machine's errors ask for" in ask.words) == (default["leave"] == "auto")
        told = guided.how_to(shape, ask, "in")
        assert not re.search(r"\bmm\b|\dmm", told)
        assert not re.search(r"\bthou\b|\din\b", guided.how_to(shape, ask, "mm").replace("0.600in/ft", ""))
        assert len(told) > 20
        assert told.endswith(".")
    done = run("start", input=answered(shape, "?", "how", "back"))
    first = guided.questions(shape)[0]
    words = " ".join(done.stdout.split())
    assert words.count(guided.how_to(shape, first, "in")) == 2
    assert words.count(guided.worded(first, "in")) == 3
    assert "is not a number" not in words


def test_so_much_for_so_many_degrees_needs_no_span(run: Run) -> None:
    run("machine", "use", "inch")
    done = run(
        "start",
        input=answered(
            "ramp", "1-3/4in", "1.40in", "2", "5 thou per 10 deg", "", "cw", "", "3/8in", "2 thou", "", "all-round"
        ),
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "does not go together" not in done.stdout
    plan = json.loads(run("card", "all-round", "--json").stdout)
    assert plan["target"]["rise"] == pytest.approx(plan["target"]["span"] * 0.0127, abs=1e-6)  # 5 thou are 0.127 mm


@pytest.mark.parametrize(
    ("finish", "key"),
    [(["", "", "yes"], "tilt"), (["", "60deg"], "angle_cutter")],
    ids=["head tilted", "single-angle cutter"],
)
def test_teeth_are_asked_how_their_upright_faces_are_finished(run: Run, finish: list[str], key: str) -> None:
    """A list of places needs no span; who names a cutter is not asked for the head."""
    run("machine", "use", "inch")
    teeth = [
        "ramp",
        "33mm",
        "21mm",
        "8",
        "0deg 0, 5deg 0, 45deg 2.4mm",
        *finish,
        "cw",
        "",
        "2mm",
        "0.1mm",
        "",
        "",
        "teeth",
    ]
    done = run("start", input=answered(*teeth))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "over how many degrees" not in done.stdout
    assert ("with the head tilted?" in done.stdout) == (key == "tilt")
    target = json.loads(run("card", "teeth", "--json").stdout)["target"]
    assert key in target and target["upright_faces"]
    assert [depth for _, depth in target["targets"]] == [0.0, 0.0, 2.4]


def test_seats_for_pins_are_asked_and_can_be_taken_back(run: Run) -> None:
    """A pin no thicker than twice its depth would not come out: only that answer is asked again."""
    run("machine", "use", "metric")
    part = ["ramp", "60mm", "40mm", "2", "3mm", "100", "cw"]
    done = run("start", input=answered(*part, "8mm", "6mm", "back", "", "0.5mm", "10mm", "0.1mm", "", "", "seated"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count("And at the high end?") == 2  # before the back and after it
    assert json.loads(run("card", "seated", "--json").stdout)["target"]["seats"][0][:2] == ["low", 8.0]
    deep = run("start", input=answered(*part, "8mm", "6mm", "5mm", "10mm", "0.1mm", "", "0.5mm", "", "deep"))
    assert "That does not go together: seat-depth = 5mm: is more than half of seat-" in " ".join(deep.stdout.split())
    assert len(json.loads(run("card", "deep", "--json").stdout)["target"]["seats"]) == 2
    assert "--seat-high" in run("start", input=answered(*part, "", "10mm", "0.1mm", "", "", "plain")).stdout


def test_a_line_that_comes_back_has_no_upright_face_to_ask_for(run: Run) -> None:
    run("machine", "use", "inch")
    bumps = ["ramp", "40mm", "30mm", "2", "0deg 0, 60deg 1mm", "yes", "cw", "", "8mm", "0.1mm", "", "", "bumps"]
    done = run("start", input=answered(*bumps))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "single-angle" not in done.stdout
    assert json.loads(run("card", "bumps", "--json").stdout)["target"]["span"] == 120.0


def test_answers_that_end_leave_nothing_behind(run: Run, own_home: Path) -> None:
    before = sorted(own_home.rglob("*"))
    done = run("start", input=answered("1", "1.75in"))
    assert (done.returncode, done.stdout.strip().splitlines()[-1]) == (2, "Left; nothing was saved.")
    assert run("start", input=answered("1", "quit")).returncode == 0
    assert sorted(own_home.rglob("*")) == before


def test_the_height_of_the_ridges_may_be_said(run: Run) -> None:
    run("machine", "use", "inch")
    part = ["ramp", "1-3/4in", "1.40in", "2", "3/32in", "140", "cw", "", "3/8in", "0.002in"]
    done = run("start", input=answered(*part, "4 thou", "", "ridged"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Ridges for the file: no higher than?" in done.stdout
    assert (
        "2. " not in done.stdout.split("is recommended")[0].split("no higher than?")[1]
    )  # what was said leaves no choice
    plan = json.loads(run("card", "ridged", "--json").stdout)
    assert 0.6 * 0.1016 < plan["result"]["scallop"] <= 0.1016 + 0.0127  # 4 thou, and a mark of the depth at most


@pytest.mark.parametrize("shape", guided.parts())
def test_the_part_is_drawn_with_the_sizes_that_are_asked_for(run: Run, shape: str) -> None:
    done = run("start", input=answered(shape))
    guide = guided.guide(shape)
    drawing = guide.DRAWN
    forms = next((ask.field for ask in guided.questions(shape) if ask.key == "form"), None)
    for form, drawn in getattr(guide, "DRAWN_FOR", {}).items():
        assert forms and max(map(len, drawn.splitlines())) < 80 and len(drawn.splitlines()) < 12
        asked_for = {
            word
            for ask in guided.questions(shape)
            if ask.when({"form": form})
            for word in re.findall(r"[A-Z]{3,}", ask.words)
        }
        assert set(re.findall(r"[A-Z]{3,}", drawn)) <= asked_for, form
    plain = picture(drawing, blocks=False)
    assert plain and plain.isascii() and plain.rstrip() in done.stdout  # piped: no colour, so no blocks
    for drawn in (plain, picture(drawing, blocks=True)):
        assert max(map(len, drawn.splitlines())) < 80
        assert len(drawn.splitlines()) < 12  # with the first question in a window of 24 lines
    # Every size that the drawing names in capitals is asked for by that name.
    named = set(re.findall(r"[A-Z]{3,}", plain))
    asked = {word for ask in guided.questions(shape) for word in re.findall(r"[A-Z]{3,}", ask.words)}
    assert named and named <= asked
    if shape not in ("helix", "radius"):
        assert "█" in picture(drawing, blocks=True)


def test_a_colour_terminal_gets_half_blocks_and_cp1252_does_not(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:  # fmt: skip
    for colour, encoding, blocks in ((True, "utf-8", True), (True, "cp1252", False), (False, "utf-8", False)):
        monkeypatch.setattr(screen, "colour", lambda colour=colour: colour)
        monkeypatch.setattr(screen, "encoding", lambda encoding=encoding: encoding)
        start._draw(guided.guide("taper").DRAWN)
        assert capsys.readouterr().out == picture(guided.guide("taper").DRAWN, blocks).rstrip() + "\n"


def test_the_card_is_offered_on_paper(run: Run, tmp_path: Path) -> None:
    answers = ["taper", "30mm", "1:20", "90mm", "outside", "0.05mm", "", "", ""]
    (tmp_path / "nowhere.txt").write_text("no folder")
    done = run(
        "start",
        input=answered(*answers, str(tmp_path / "nowhere.txt" / "card.pdf"), str(tmp_path / "card")),
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")
    (tmp_path / "card.pdf").write_bytes(b"mine")
    again = run("start", input=answered(*answers, str(tmp_path / "card.pdf"), ""), cwd=tmp_path)
    assert (again.returncode, (tmp_path / "card.pdf").read_bytes()) == (0, b"mine")
    assert "stands already" in " ".join(again.stdout.split())


@pytest.mark.parametrize(
    ("name", "machine", "unit"), [("bench", INCH, "in"), ("teilkopf", METRIC, "mm"), ("old-mill", QUILL, "in")]
)
def test_no_line_of_a_stranger_is_wider_than_the_window_but_the_command_to_copy(
    run: Run, name: str, machine: list[str], unit: str
) -> None:
    every = run("machine", "new", name, input=answered(*[line for answer in machine for line in ("?", answer)])).stdout
    every += run("machine", "check", input=answered(*["yes"] * 40)).stdout
    every += run("start", input=answered(*RAMP[unit])).stdout
    wide = [
        line for line in every.splitlines() if len(line) > 80 and not line.startswith("Wrote ")
    ]  # a path is not broken
    assert len(wide) == 1 and wide[0].startswith("stepcut ramp --outside ")


def test_a_metric_shop_with_plates_is_asked_and_answered_in_its_own_words(run: Run) -> None:
    asked = run("machine", "new", "teilkopf", input=answered(*METRIC))
    assert "Cutters on hand? (10mm, 12mm, 6mm ball; empty for none)" in asked.stdout
    said = " ".join(run("start", input=answered(*RAMP["mm"])).stdout.split())
    assert (
        "so much for so many degrees (0.1mm per 5 deg), in total (2.5mm), or a list of places (0deg 0, 40deg 2.5mm)?"
        in said
    )
    assert "20 cuts every 5° (10 spaces of 18 of the handle): leaves ridges of 0.1 mm, at most" in said  # 5/9 of a turn
    # No inch stands in what a metric shop is asked, and no mm in what an inch shop is.
    for shape in guided.parts():
        for ask in guided.questions(shape):
            assert not re.search(r"\d ?in\b|thou|/ft", guided.worded(ask, "mm")), ask.words
            assert not re.search(r"\d ?mm\b", guided.worded(ask, "in")), ask.words


def test_thin_cuts_are_put_together_when_the_answer_is_yes(run: Run) -> None:
    run("machine", "use", "inch")
    answers = ["1", "1-3/4in", "1.40in", "2", "1.5 thou per 2 deg", "140", "cw", "", "3/8in", "", "3"]
    asked = "These cuts go down 0.0015 in at most, and an end mill rubs below about 0.0020 in. Put them together to 70 thicker ones"
    found = {}
    for word in ("yes", "no"):
        done = run("start", input=answered(*answers, "perhaps", word, ""))
        assert done.returncode == 0, done.stdout + done.stderr
        text = " ".join(done.stdout.split())
        assert asked in text
        assert "Write yes or no." in text
        found[word] = text
    assert "70 thin cuts of a ramp, 0.0015 in down at most, were put together to 35" in found["yes"]  # the card says it
    assert "--regroup" in found["yes"].split("The same in one line:")[1]
    assert "Cuts thinner than a hair" in found["no"]
    thick = run("start", input=answered(*answers[:-1], "2", ""))
    assert "Put them together" not in thick.stdout


def test_of_a_groove_that_is_only_filed_on_its_walls_nothing_is_said_to_be_filed_at_most(run: Run) -> None:
    offered = run("start", input=answered("scroll", "5/8in", "1-3/8in", "3/8in", "80thou", "cw", "3/16in", "")).stdout
    assert "2. 220 cuts: leaves ridges of 0.005 in." in offered and "at most 0 in" not in offered


def test_steps_that_are_offered_fall_on_whole_marks_and_paper_is_declined_in_words(run: Run) -> None:
    # 40:1 with plates and a rim of whole degrees: half a turn is 4.5 degrees, which no mark shows.
    assert run("machine", "new", "teilkopf", input=answered(*METRIC)).returncode == 0
    sizes = ["ramp", "46", "37", "2", "0.1 per 5deg", "", "cw", "", "10", "", "", "none", "n"]
    done = run("start", input=answered(*sizes))
    assert done.returncode == 0, done.stdout
    assert re.findall(r"^\d\. \d+ cuts every (\d+)° \((.*) of the handle\)", done.stdout, re.M)[:2] == [
        ("9", "1 turn"), ("6", "10 spaces of 15"),
    ]  # fmt: skip
    assert ".pdf" not in done.stdout.split("The card on paper?")[1].partition("none.")[2]
    assert "Saved" not in done.stdout
    # The same words as in the questions serve the command too.
    line = done.stdout.split("The same in one line:\nstepcut ")[1].splitlines()[0]
    short = run(*shlex.split(line.replace("clockwise", "cw")), "--json")
    assert json.loads(short.stdout)["stops"] == json.loads(run(*shlex.split(line), "--json").stdout)["stops"]


def test_a_segment_that_is_none_is_asked_again_and_not_the_last_answer(run: Run) -> None:
    typed = [
        "cam",
        "20mm",
        "rise 3mm in 90deg; dwell 30",
        "10mm",
        "",
        "",
        "rise 3mm in 90deg; dwell 30deg",
        "",
        "none",
        "none",
    ]
    done = run("start", input=answered(*typed))
    assert "segments 2 = dwell 30: is not a segment." in done.stdout
    assert done.returncode == 0, done.stdout
    assert "--segments 'rise 3mm in 90deg; dwell 30deg'" in done.stdout


def test_the_hand_of_a_groove_is_said_by_a_screw_and_typed_in_two_letters(run: Run) -> None:
    done = run("start", input=answered("helix", "37mm", "120mm", "60mm", "1.5mm", "?", "lh", "quit"))
    assert "a right-hand groove climbs to the right, as the thread of a common screw does" in " ".join(
        done.stdout.split()
    )
    assert "How many such grooves" in done.stdout
