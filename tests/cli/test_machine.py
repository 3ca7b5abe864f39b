"""A machine described by answers: three shops, going back, leaving and taking up again, and proving the file."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.errors import BadValue
from stepcut.machine import files as machines
from stepcut.machine import interview, moves
from tests.conftest import Run

INCHES = Fraction(254, 10)

# What people type, one answer a line; an empty line is "none".
INCH = ["inches", "72:1", "", "0.1", "cw", "6 min", "", "readout, quill", ".0005", "0.100", "", "", "1/32", "", ".0005", "0.2", "", ".0005",
        ".001", "10 marks", "diameter", "0.200", "0.004", "", ".001", "", "", "along", "0.5", "2-1/2", ".001", "80 160 325 660 1270", "1/4, 3/8, 1/2, 1/4in ball", ""]  # fmt: skip
METRIC = ["mm", "40:1 with plates", "15 16 17 18 19 20", "1", "anticlockwise", "", "", "knee", "0.02", "2.5", "0.1", "0.02", "0.02", "4", "0.15", "", "", "", "6mm, 10mm, 12mm", ""]  # fmt: skip
QUILL = ["in", "5", "", "5 min", "ccw", "", "", "quill", "0.001", "", "", "", "", "", "", "3/8in", ""]


def answered(*lines: str) -> str:
    return "\n".join(lines) + "\n"


def test_an_inch_shop_with_two_depth_scales_and_a_lathe(run: Run) -> None:
    done = run("machine", "new", "bench", input=answered(*INCH))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "One turn of the handle turns the table 5 degrees (72:1)." in done.stdout
    assert "one turn of the handle = 5°, 50 marks of 0.1°" in done.stdout
    assert "Depth is read on the readout, which is trusted, beside it quill." in done.stdout
    assert "is neither diameter nor radius" in done.stdout  # "10 marks" is asked again
    bench = machines.find("bench")
    assert (
        bench.table is not None and bench.depth is not None and bench.cross is not None and bench.compound is not None
    )
    assert (bench.table.ratio, float(bench.table.rim.division), bench.table.counts_up) == (72, 0.1, "clockwise")
    assert (bench.depth.name, [scale.name for scale in bench.more_depths]) == ("readout", ["quill"])
    assert bench.depth.error == bench.depth.division  # not measured: one mark, and the file says so
    assert bench.cross.doubled
    assert [(cutter.kind, float(cutter.diameter / INCHES)) for cutter in bench.cutters] == [
        ("flat", 0.25),
        ("flat", 0.375),
        ("flat", 0.5),
        ("ball", 0.25),
    ]
    assert bench.speeds == (80, 160, 325, 660, 1270)
    assert "# one mark: not measured yet" in run("machine", "show", "bench").stdout
    card = run("card", "sluice-clamp-ramp").stdout
    assert "EXAMPLE MACHINE" not in card and "bench" in card
    assert "stands already" in run("machine", "new", "bench", input="").stderr


def test_a_metric_shop_with_plates(run: Run) -> None:
    done = run("machine", "new", "teilkopf", input=answered(*METRIC))
    assert done.returncode == 0, done.stdout + done.stderr
    machine = machines.find("teilkopf")
    assert machine.table is not None and machine.depth is not None
    assert (machine.unit, machine.table.degrees_per_turn, machine.table.hole_circles) == (
        "mm",
        9,
        (15, 16, 17, 18, 19, 20),
    )
    assert (float(machine.depth.division), float(machine.depth.per_turn or 0), float(machine.depth.backlash)) == (
        0.02,
        2.5,
        0.1,
    )
    assert "7 divisions at 40:1" not in done.stdout
    assert "40:1" in run("index", "9").stdout


def test_a_shop_without_a_readout(run: Run) -> None:
    done = run("machine", "new", "old-mill", input=answered(*QUILL))
    assert done.returncode == 0, done.stdout + done.stderr
    machine = machines.find("old-mill")
    assert machine.table is not None and machine.depth is not None
    assert (machine.depth.name, machine.depth.per_turn, machine.slide, machine.cross) == ("quill", None, None, None)
    assert machine.table.dial == "minutes"


def test_an_answer_is_taken_back_and_the_rest_is_taken_up_again(run: Run) -> None:
    first = run("machine", "new", "bench", input=answered("in", "90:1", "back", "72:1", "", "quit"))
    assert first.returncode == 0
    assert "Left; 3 answers are kept. Go on with: stepcut machine new bench" in first.stdout
    cut_off = run("machine", "new", "bench", input=answered("0.1"))
    assert cut_off.returncode == 2
    assert "Taken up where you left it: 3 answers are kept." in cut_off.stdout
    done = run("machine", "new", "bench", input=answered("?", *INCH[4:]))
    assert done.returncode == 0, done.stdout
    table = machines.find("bench").table
    assert table is not None and table.ratio == 72


@pytest.mark.parametrize(
    ("key", "answer", "message"),
    [
        ("table", "0:1", "is no unit of angle"), ("table", "abc", "is not a number"), ("mark", "40deg", "is no mark of a dial"),
        ("grows", "up", "is no way to turn"), ("depths", "screw", "is no depth scale"), ("circles", "15 x", "are not whole numbers"),
        ("cutters", "banana", "is not a number"), ("unit", "furlong", "is neither inches nor millimetres"), ("unit", "", "needs an answer"),
    ],
)  # fmt: skip
def test_an_answer_that_cannot_be_read_is_refused(key: str, answer: str, message: str) -> None:
    question = next(q for q in interview.QUESTIONS if q.key == key)
    with pytest.raises(BadValue, match=message):
        interview.understood(question, answer, {})


def test_figures_are_copied_only_when_that_is_said(run: Run) -> None:
    done = run("machine", "new", "copy", "--unasked", "--like", "metric")
    assert done.returncode == 0
    assert "Every figure in it is copied from metric" in done.stdout
    assert "copied from the example metric, not measured" in run("machine", "show", "copy").stdout


def test_a_file_is_proved_by_moves(run: Run) -> None:
    assert run("machine", "new", "old-mill", input=answered(*QUILL)).returncode == 0
    right = run("machine", "check", input=answered(*["yes"] * 12))
    assert right.returncode == 0
    assert (
        "Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read 15°00'?"
        in " ".join(right.stdout.split())
    )
    assert "Every move came out" in right.stdout
    wrong = run("machine", "check", "old-mill", input=answered("n", *["y"] * 12))
    assert wrong.returncode == 1
    assert "[table]  degrees-per-turn: measure it" in wrong.stdout


@pytest.mark.parametrize(
    ("name", "shop", "key", "reading", "proposed"),
    [
        ("old-mill", QUILL, "table.degrees-per-turn", "12", "4deg"),  # three turns of a 90:1 table
        ("old-mill", QUILL, "table.degrees-per-turn", "27", "9deg"),  # of a 40:1 table
        ("old-mill", QUILL, "table.counts-up", "cw", "clockwise"),
        ("old-mill", QUILL, "table.division", "0.1", "0.1deg"),
        ("teilkopf", METRIC, "depth.per-turn", "2", "2mm"),
        ("bench", INCH, "depth.division", "0.001", "0.001in"),
        ("bench", INCH, "cross-slide.reads", "0.020", "radius"),  # ten marks of a thou took 20 thou off the diameter
    ],
)
def test_a_reading_proposes_the_figure(
    run: Run, name: str, shop: list[str], key: str, reading: str, proposed: str
) -> None:
    assert run("machine", "new", name, input=answered(*shop)).returncode == 0
    keys = [move.key for move in moves.moves(machines.find(name))]
    answers = [reading if each == key else "yes" for each in keys]
    done = run("machine", "check", input=answered(*answers))
    section, entry = key.split(".")
    assert done.returncode == 1
    assert done.stdout.splitlines()[-1] == f'  [{section}]  {entry} = "{proposed}"'


def test_a_reading_that_is_none_is_asked_again(run: Run) -> None:
    assert run("machine", "new", "old-mill", input=answered(*QUILL)).returncode == 0
    done = run("machine", "check", input=answered("some", "-3", *["yes"] * 12))
    assert done.returncode == 0
    assert done.stdout.count("Write yes or no, or what it reads.") == 2
    assert "reading = -3: must be greater than 0. Write what it reads." in done.stdout


def test_how_to_measure_every_slack_and_error_is_said_in_numbered_acts() -> None:
    asked = [q for q in interview.QUESTIONS if q.key.endswith((".backlash", ".error"))]
    assert {q.key.split(".")[0] for q in asked} == {"table", "depth", "slide", "cross-slide", "carriage"}
    for question in asked:
        assert [line[:2] for line in question.how] == [f"{n}." for n in range(1, len(question.how) + 1)]
        assert interview.understood(question, "", {}).startswith("Not known: ")
