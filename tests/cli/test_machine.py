"""A machine described by answers: three shops, going back, leaving and taking up again, and proving the file."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest

from stepcut.errors import BadValue, Problems
from stepcut.machine import files as machines
from stepcut.machine import interview, moves
from tests.conftest import Run

INCHES = Fraction(254, 10)

# What people type, one answer a line; an empty line is "none".
TABLE = ["72:1", "", "0.1", "cw", "6 min", ""]
READOUT = [".0005", "knee crank cw", "0.100", "grows", "", "15", ""]
QUILL_TOO = [".001", "quill handwheel", "0.1", "falls", "0.006", "4", "0.002"]
CROSS = [".001", "10 marks", "diameter", "cross-slide handle cw", "0.200", "grows", "0.004", "5", ""]
CARRIAGE = [".001", "", "", "", "20", ""]
COMPOUND = ["along", "0.5", ".001", "compound handle ccw", "0.1", "grows", "0.003", "2-1/2", ""]
INCH = ["inches", *TABLE, "readout, quill", *READOUT, *QUILL_TOO, ".0005", "", "0.2", "falling", "0.005", "20", "", *CROSS, *CARRIAGE, *COMPOUND,
        "80 160 325 660 1270", "70 200 350, 1200", "1/4, 3/8, 1/2, 1/4 ball", ""]  # fmt: skip
METRIC = ["mm", "40:1 with plates", "15 16 17 18 19 20", "no", "1", "anticlockwise", "", "", "knee", "0.02", "", "2.5", "", "0.1", "", "0.02",
          "0.02", "", "4", "", "0.15", "", "", "", "", "6mm, 10mm, 12mm", ""]  # fmt: skip
QUILL = ["in", "5", "", "5 min", "ccw", "", "", "quill", "0.001", "", "", "", "", "", "", "", "", "3/8in", ""]


def answered(*lines: str) -> str:
    return "\n".join(lines) + "\n"


def test_an_inch_shop_with_two_depth_scales_and_a_lathe(run: Run) -> None:
    done = run("machine", "new", "bench", input=answered(*INCH))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "One turn of the handle turns the table 5 degrees (72:1)." in done.stdout
    assert "one turn of the handle = 5°, 50 marks of 0.1°" in done.stdout
    assert "Depth is read on the readout, which is trusted, beside it the quill." in done.stdout
    assert (
        "reads = 10 marks: is not one of the answers. Write diameter or radius." in done.stdout
    )  # "10 marks" is asked again
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
    assert (bench.speeds, bench.lathe_speeds) == ((80, 160, 325, 660, 1270), (70, 200, 350, 1200))
    assert "4 cutters: 1/4in, 3/8in, 1/2in, 1/4in ball." in done.stdout
    assert "the readout: which handle moves it" in done.stdout.replace("\n", " ")
    assert "grows? (quill handwheel cw;" in done.stdout.replace("\n", " ")  # an example of the scale's own kind
    turned = run("card", "bollard-pin-taper", "--set", "large=1in")
    assert re.search(r"take (70|200|350|1200)\b", turned.stdout)  # a speed of the lathe, none of the mill
    assert "# one mark: not measured yet" in run("machine", "show", "bench").stdout
    assert "* bench: crank 5deg a turn, depth 0.0005in, 0.1in a turn; inches" in run("machine", "list").stdout
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
    assert not machine.table.crank_dial
    assert "It has plates and no dial: where no hole serves, the rim is read." in done.stdout
    assert done.stdout.count("Has its crank a dial") == 1
    assert (
        "Has its crank a dial" not in run("machine", "new", "bench", input=answered(*INCH)).stdout
    )  # it has no plates


def test_a_dividing_head_without_a_dial_is_set_by_holes_or_by_its_rim(run: Run, tmp_path: Path) -> None:
    run("machine", "new", "teilkopf", input=answered(*METRIC))
    ring = [
        "--outside",
        "40mm",
        "--bore",
        "30mm",
        "--rise",
        "2mm",
        "--ramps",
        "2",
        "--cutter",
        "6mm",
        "--span",
        "100deg",
        "--step",
        "7deg",
    ]
    card = " ".join(run("ramp", *ring, "--save", "latch").stdout.split())
    # 7 degrees of 9 a turn are 14 spaces of 18.
    for words in (
        "to 3 o'clock, the working way: rim ..",
        "crank to the hole, rim agrees",
        "1 14 spaces hole 14 of 18 353° 0.10",
    ):
        assert words in card
    assert "pin hole 14 of 18, rim 353°" in run("tick", "latch", "--lines", input="s\nq\n").stdout
    for acts in json.loads(run("card", "latch", "--json").stdout)["acts"]:
        assert acts["axis"] != "table" or acts["dial"] is None
    # Where the rim is read to a tenth of a degree, 15 holes in 9 degrees (0.6 apart) cannot agree with it.
    _, text = machines.found("teilkopf")
    fine = tmp_path / "fine.toml"
    fine.write_text(text.replace("[15, 16, 17, 18, 19, 20]", "[15]").replace('"1deg"', '"0.1deg"'), "utf-8")
    card = " ".join(run("ramp", *ring, "--machine", str(fine)).stdout.split())
    for words in (
        "the rim is read ",
        " RIM ",
        "crank on until the rim reads it",
        "every line on to its rim reading",
        "no. rim depth",
    ):
        assert words in card


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
    assert (
        "Left; 1 answer is kept. Go on with: stepcut machine new other"
        in run("machine", "new", "other", input="in\n").stdout
    )
    done = run("machine", "new", "bench", input=answered("?", *INCH[4:]))
    assert done.returncode == 0, done.stdout
    table = machines.find("bench").table
    assert table is not None and table.ratio == 72


TURN_RULE = "must be less than one turn of its handle"
AGAIN = "Measure it again: forward until it moves, then back."
REFUSED = [
    ("unit", "furlong", "unit = furlong: is neither inches nor millimetres. Write in or mm."),
    ("unit", "", "unit: needs an answer. Write one, or back to change the one before."),
    ("table", "0:1", "table = 0:1: must be a ratio from 1 to 1000. Write its ratio, such as 72:1, or degrees for one turn, such as 5."),
    ("table", "-5", "table = -5: must be more than 0 and at most 360 degrees for one turn. Write its ratio, such as 72:1, or degrees for one turn, such as 5."),
    ("crank-dial", "perhaps", "crank-dial = perhaps: is not one of the answers. Write yes or no."),
    ("circles", "15 x", "hole circles = 15 x: must be whole numbers from 1 to 1000. Write them with spaces or commas between."),
    ("mark", "40deg", "mark = 40deg: must be more than 0 and at most 10 degrees. Write it like 0.1, 1', 5 min or 10 sec."),
    ("grows", "up", "counts-up = up: is not one of the answers. Write cw or ccw, seen from above."),
    ("table.backlash", "20", "backlash = 20: must be from 0 and less than 20 degrees. Write it like 5 min or 0.1."),
    ("table.backlash", "5", f"backlash = 5: {TURN_RULE}, 5 degrees. {AGAIN}"),
    ("compound.degrees-division", "0", "degrees-division = 0: must be more than 0 and less than 20 degrees. Write it like 5 min or 0.1."),
    ("depths", "screw", "depth = screw: is no depth scale that is known here. Write quill, knee or readout; several with the one you trust first."),
    ("depth.division", "0", "division = 0: must be greater than 0. Write it like 0.001in."),
    ("depth.division", "2in", "mark = 2in: must be less than 0.1 in. Give what one mark or digit is, not a turn and not how far it goes."),
    ("depth.per-turn", "0.0001in", "turn = 0.0001in: must be at least one mark, 0.001 in. Turn the handle once round, or go back to the mark."),
    ("depth.handle", f"{'k' * 41} cw", f"handle = {'k' * 37}...: must be no longer than 40 letters. Write its name, such as knee crank, and cw or ccw."),
    ("depth.handle", "0.1in", "handle = 0.1in: must be a name and no measure. Write what it is called, such as knee crank, and cw or ccw."),
    ("depth.backlash", "-0.001", "backlash = -0.001: must not be negative. Write it like 0.001in."),
    ("depth.backlash", "0.1in", f"backlash = 0.1in: {TURN_RULE}, 0.1 in. {AGAIN}"),
    ("slide.backlash", "0.2in", f"backlash = 0.2in: must be less than 0.2 in. {AGAIN}"),
    ("depth.inward", "left", "inward = left: is not one of the answers. Write grows or falls."),
    ("depth.error", "4in", "error = 4in: must be less than 0.1 in. Give the largest difference of five readings, not how far the scale goes."),
    ("slide.comes-up", "left", "comes-up = left: is not one of the answers. Write growing or falling."),
    ("reads", "10 marks", "reads = 10 marks: is not one of the answers. Write diameter or radius."),
    ("zero", "up", "zero = up: is not one of the answers. Write along or across."),
    ("speeds", "80 fast", "speeds = 80 fast: must be whole numbers from 1 to 100000. Write them with spaces or commas between."),
    ("gears", "24 x", "gears = 24 x: must be whole numbers from 1 to 1000. Write them with spaces or commas between."),
]  # fmt: skip


@pytest.mark.parametrize(("key", "answer", "message"), REFUSED)
def test_an_answer_that_cannot_be_read_is_refused(key: str, answer: str, message: str) -> None:
    question = next(q for q in interview.QUESTIONS if q.key == key)
    with pytest.raises(BadValue) as refused:
        interview.understood(question, answer, {"table": "72:1", "depth.division": "0.001", "depth.per-turn": "0.100"})
    assert str(refused.value) == message


@pytest.mark.parametrize(("key", "answer"), [("table", "abc"), ("cutters", "banana"), ("depth.travel", "far")])
def test_what_is_no_number_is_said_to_be_none(key: str, answer: str) -> None:
    question = next(q for q in interview.QUESTIONS if q.key == key)
    with pytest.raises(BadValue, match="is not a number"):
        interview.understood(question, answer, {})


def test_an_indicator_on_a_slide_whose_dial_shows_the_diameter_is_doubled() -> None:
    # Common practice, no source: such a dial counts two marks for each one that the slide moves.
    how = {question.key: " ".join(question.how) for question in interview.QUESTIONS}
    for key in ("per-turn", "error"):
        assert "DIAMETER, give twice what an indicator shows" in how[f"cross-slide.{key}"]
        assert "twice" not in how[f"carriage.{key}"]


def test_every_straight_scale_keeps_its_handle_directions_slack_error_and_travel(run: Run) -> None:
    done = run("machine", "new", "bench", input=answered(*INCH))
    assert done.returncode == 0, done.stdout + done.stderr
    said = " ".join(done.stdout.split())
    assert "The knee crank moves it and turns CLOCKWISE, seen facing it, while the reading grows." in said
    assert "Its dial counts BACKWARD as the cut goes in, and the card's dial readings do so too." in said
    assert "Readings are come up to with the reading falling; that takes the slack up." in said
    bench = machines.find("bench")
    assert bench.depth and bench.slide and bench.cross and bench.carriage and bench.compound
    quill, thou = bench.more_depths[0], INCHES / 1000
    assert (bench.depth.handle, bench.depth.handle_turns, bench.depth.inward, bench.depth.travel) == ("knee crank", "clockwise", "grows", 15 * INCHES)  # fmt: skip
    assert (quill.handle, quill.handle_turns, quill.inward) == ("quill handwheel", None, "falls")
    assert (quill.per_turn, quill.backlash, quill.error, quill.travel) == (100 * thou, 6 * thou, 2 * thou, 4 * INCHES)
    assert (bench.slide.comes_up, bench.slide.inward, bench.slide.travel) == ("falls", None, 20 * INCHES)
    # The dial of the cross-slide shows the diameter: its slack is half as much of the radius; its travel is the slide's own.
    assert (bench.cross.backlash, bench.cross.travel, bench.cross.inward) == (2 * thou, 5 * INCHES, "grows")
    assert (bench.carriage.handle, bench.carriage.travel) == ("", 20 * INCHES)
    scale = bench.compound.scale
    assert (scale.handle, scale.handle_turns, scale.per_turn, scale.backlash) == ("compound handle", "anticlockwise", 100 * thou, 3 * thou)  # fmt: skip
    assert bench.compound.travel == Fraction(5, 2) * INCHES


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ('backlash = "0.1in"\nper-turn = "0.1in"', f"depth.backlash: backlash = 0.1 in: {TURN_RULE}, 0.1 in. {AGAIN}"),
        ('travel = "0.0004in"', "depth.travel: travel = 0.0004 in: must be at least one mark, 0.001 in. Give how far it can move from stop to stop."),
        (f'handle = "{"k" * 41}"', f"depth.handle: handle = {'k' * 37}...: must be no longer than 40 letters. Write its name, such as knee crank."),
        ('inward = "left"', "depth.inward: inward = left: is not one of the choices. Use one of grows, falls."),
        ('handle-turns = "up"', "depth.handle-turns: handle-turns = up: is not one of the choices. Use one of clockwise, anticlockwise."),
        ('comes-up = "grows"', "depth.comes-up: comes-up: is not known here. Leave it out."),
    ],
)  # fmt: skip
def test_a_machine_file_is_checked_scale_by_scale(tmp_path: Path, lines: str, message: str) -> None:
    file = tmp_path / "bad.toml"
    file.write_text(f'stepcut-machine = 1\nunit = "in"\n[depth]\ndivision = "0.001in"\n{lines}\n')
    with pytest.raises((BadValue, Problems)) as refused:
        machines.find(str(file))
    said = str(refused.value)
    assert re.sub(r"^\S+, line \d, ", "", said) == message


def test_figures_are_copied_only_when_that_is_said(run: Run) -> None:
    done = run("machine", "new", "copy", "--unasked", "--like", "metric")
    assert done.returncode == 0
    assert "Every figure in it is copied from metric" in " ".join(done.stdout.split())
    assert "copied from the example metric, not measured" in run("machine", "show", "copy").stdout
    mine, example = machines.find("copy"), machines.find("metric")
    assert (mine.name, mine.table, mine.depth, mine.slide, mine.cross) == ("copy", example.table, example.depth, example.slide, example.cross)  # fmt: skip


def test_a_file_is_proved_by_moves(run: Run) -> None:
    assert run("machine", "new", "old-mill", input=answered(*QUILL)).returncode == 0
    right = run("machine", "check", input=answered(*["yes"] * 12))
    assert right.returncode == 0
    assert (
        "Turn its handle 3 whole turns in the direction in which the reading grows: does the rim read 15°?"
        in " ".join(right.stdout.split())
    )
    assert "Every move came out" in right.stdout
    wrong = run("machine", "check", "old-mill", input=answered("n", *["y"] * 12))
    assert wrong.returncode == 2
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
    assert done.returncode == 2  # the answers end where it asks whether to write that
    lines = done.stdout.splitlines()
    assert f'  [{section}]  {entry} = "{proposed}"' == lines[lines.index(f"Mend {machines.path_of(name)}:") + 1]
    assert lines[-1] == "Nothing was written."


def test_what_is_proposed_is_written_when_that_is_wanted_and_the_old_figure_is_kept(run: Run) -> None:
    assert run("machine", "new", "old-mill", input=answered(*QUILL)).returncode == 0
    path = machines.path_of("old-mill")
    before = path.read_text("utf-8")
    refused = run("machine", "check", input=answered("12", "cw", "yes", "yes", "perhaps", "no"))
    assert (refused.returncode, path.read_text("utf-8")) == (2, before)
    assert "Write yes or no." in refused.stdout
    done = run("machine", "check", input=answered("12", "cw", "yes", "yes", "yes"))
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.endswith("Written. Prove it once more with: stepcut machine check old-mill\n")
    assert path.read_text("utf-8") == before.replace(
        'degrees-per-turn = "5deg"', 'degrees-per-turn = "4deg"  # was degrees-per-turn = "5deg"'
    ).replace('counts-up = "anticlockwise"', 'counts-up = "clockwise"  # was counts-up = "anticlockwise"')
    machine = machines.find("old-mill")
    assert machine.table is not None and machine.table.ratio == 90
    partly = run("machine", "check", input=answered("no", "ccw", "yes", "yes", "yes"))
    assert partly.returncode == 2  # one figure is still to be measured


def test_an_example_is_never_written_and_a_reading_that_agrees_is_no_fault(run: Run) -> None:
    count = len(moves.moves(machines.find("inch")))
    agreed = run("machine", "check", "inch", input=answered("12", *["yes"] * (count - 1)))
    assert (agreed.returncode, "That is what the file says." in agreed.stdout) == (0, True)
    done = run("machine", "check", "inch", input=answered("15", *["yes"] * (count - 1)))
    assert done.returncode == 2
    assert done.stdout.endswith("It is an example, and stays as it is. Describe your own: stepcut machine new\nNAME.\n")


def test_a_reading_that_is_none_is_asked_again(run: Run) -> None:
    assert run("machine", "new", "old-mill", input=answered(*QUILL)).returncode == 0
    done = run("machine", "check", input=answered("some", "-3", *["yes"] * 12))
    assert done.returncode == 0
    assert done.stdout.count("Write yes or no, or what it reads.") == 2
    assert "reading = -3: must be greater than 0. Write what it reads." in done.stdout


def test_how_to_measure_every_slack_and_error_is_said_in_numbered_acts() -> None:
    asked = [q for q in interview.QUESTIONS if q.key.endswith((".backlash", ".error"))]
    assert {q.key.split(".")[0] for q in asked} == {
        "table", "depth", "depth-2", "depth-3", "slide", "cross-slide", "carriage", "compound"
    }  # fmt: skip
    for question in asked:
        assert [line[:2] for line in question.how] == [f"{n}." for n in range(1, len(question.how) + 1)]
        assert interview.understood(question, "", {}).startswith("Not known: ")


def test_none_in_words_is_an_empty_answer_where_there_may_be_one(run: Run) -> None:
    words = ["none" if text == "" else text for text in METRIC]
    assert run("machine", "new", "said", input=answered(*words)).returncode == 0
    assert run("machine", "new", "left-out", input=answered(*METRIC)).returncode == 0
    said, left_out = (run("machine", "show", name).stdout for name in ("said", "left-out"))
    assert said.replace("said", "left-out") == left_out


def test_a_move_of_the_check_is_gone_back_to_and_a_rim_is_asked_of_a_table_without_a_dial(run: Run) -> None:
    assert run("machine", "new", "teilkopf", input=answered(*METRIC)).returncode == 0
    done = run("machine", "check", input=answered("yes", "cw", "?", "back", "yes", "30", *["yes"] * 20))
    assert done.returncode == 0, done.stdout  # the wrong way round was taken back
    assert "reading = 30: must be at most 10 degrees. Give one mark, not what it reads." in " ".join(
        done.stdout.split()
    )
    assert "On its rim: is the smallest mark that you can read 1°?" in done.stdout
