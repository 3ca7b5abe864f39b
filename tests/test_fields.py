"""Fields: what cannot be read is refused in one whole sentence that says the thing, the value, the rule and the way out."""

from __future__ import annotations

import pytest

from stepcut import guided
from stepcut.errors import BadValue, FileTrouble
from stepcut.fields import Field, FieldKind, Units, read_one
from stepcut.machine import files as machines
from stepcut.machine import moves
from stepcut.phrases import MOST_PAIRS, split_pairs
from stepcut.quantity import parse_angle, parse_number


@pytest.mark.parametrize(
    ("kind", "given", "message"),
    [
        ("text", "k" * 2001, f"x = {'k' * 37}...: is longer than 2000 characters. Shorten it."),
        ("flag", "perhaps", "x = perhaps: is neither yes nor no. Write yes or no."),
        ("count", "three", "x = three: is not a whole number. Write it like 3."),
        ("count", "12", "x = 12: must be from 1 to 9. Choose a number in that range."),
        ("length", ["1in"], "x = ['1in']: is no length. Write x, such as 1-3/8in or 37mm."),
        ("length", "0mm", "x = 0mm: must be greater than 0. Give a size above nought."),
        ("number", "3mm", "x = 3mm: must be a plain number, without a unit. Leave out mm."),
        ("angle", "12°70'", "x = 12°70': minutes and seconds must be below 60. Carry them into the degrees."),
        ("texts", [f"rise {n}mm" for n in range(201)], "x = 201 parts: is more than 200. Join or leave out some."),
        ("lengths", ["1mm"] * 201, "x = 201 values: is more than 200. Give the ones that you use."),
        ("targets", [["0deg", "0in"]] * 10_001, "x = 10001 rows: is more than 10000. Thin the list out."),
        ("targets", [["0deg"]], "x = ['0deg']: is not a pair of place and depth. Write row 1 as two texts, like [\"90deg\", \"0.045in\"]."),
        ("targets", "0deg 0in", "x = 0deg 0in: needs at least two rows. Give the first and the last place."),
    ],
)  # fmt: skip
def test_what_a_field_refuses_is_said_whole(kind: FieldKind, given: object, message: str) -> None:
    with pytest.raises(BadValue) as refused:
        read_one(Field("x", kind, "", most=9), given, Units())
    assert str(refused.value) == message


def test_a_size_that_may_be_nought_may_not_be_less() -> None:
    with pytest.raises(BadValue) as refused:
        read_one(Field("leave", "length", "", rule="not-negative"), "-1mm", Units())
    assert str(refused.value) == "leave = -1mm: must not be negative. Give nought or more."


def test_too_many_pairs_are_refused() -> None:
    with pytest.raises(BadValue) as refused:
        split_pairs("1deg 1mm, " * (MOST_PAIRS + 1), "targets")
    assert str(refused.value) == f"targets = {MOST_PAIRS + 1} pairs: is more than {MOST_PAIRS}. Thin the list out."


def test_the_amount_of_a_ramp_is_a_fall() -> None:
    ask = next(ask for ask in guided.questions("ramp") if ask.key == "amount")
    with pytest.raises(BadValue) as refused:
        guided.checked("ramp", ask, "-0.090in", machines.find("inch"))
    assert str(refused.value) == "amount = -0.090in: must be greater than 0. Write how much it falls; which way it rises is asked later."  # fmt: skip


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("", "degrees-per-turn: is missing. Give it or ratio; turn the crank once and see how far the rim moves."),
        ('ratio = 90\ndegrees-per-turn = "5deg"', "degrees-per-turn = 5 deg: does not agree with ratio = 90, which makes 4 deg. Leave one of them out."),
        ('ratio = 90\nbacklash = "4deg"', "backlash = 4 deg: must be less than one turn of its handle, 4 deg. Measure it again: forward until it moves, then back."),
    ],
)  # fmt: skip
def test_what_a_table_of_a_machine_file_must_say(table: str, message: str) -> None:
    text = f'stepcut-machine = 1\nunit = "in"\n[table]\ndivision = "1\'"\n{table}\n'
    with pytest.raises(BadValue) as refused:
        machines.from_text(text, "bench", "bench.toml")
    assert str(refused.value).split(": ", 1)[1] == message
    assert str(refused.value).startswith("bench.toml")


@pytest.mark.parametrize("name", ["", "my mill", "inch", "a/b", "k" * 61])
def test_a_name_that_cannot_be_a_machines_is_refused(name: str) -> None:
    with pytest.raises(BadValue) as refused:
        machines.free_path(name)
    assert str(refused.value).endswith(
        ": cannot be the name of your own machine. Use letters, digits and dashes; not inch or metric."
    )


def test_a_machine_is_never_written_over_another() -> None:
    path = machines.write_new("bench", "stepcut-machine = 1\n")
    with pytest.raises(FileTrouble) as refused:
        machines.free_path("bench")
    assert str(refused.value) == f"{path}: stands already. Choose another name, or edit that file."


@pytest.mark.parametrize(
    ("key", "text", "message"),
    [
        ("cross-slide.reads", "0.2in", "reading = 0.2in: is neither what the dial moved nor twice nor half of it. Wind well past the slack, cut again, and measure again."),
        ("table.counts-up", "up", "way = up: is no way to turn. Write cw or ccw, seen from above."),
        ("table.degrees-per-turn", "-3", "reading = -3: must be greater than 0. Write what it reads."),
        ("depth.inward", "up", "dial = up: is neither grows nor falls. Write grows or falls."),
        ("depth.per-turn", "far", "reading = far: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
    ],
)  # fmt: skip
def test_what_is_no_reading_of_a_move_is_said_whole(key: str, text: str, message: str) -> None:
    machine = machines.from_text(
        machines.shipped_path("inch").read_text("utf-8").replace("[depth]\n", '[depth]\ninward = "grows"\n'), "i", "i"
    )
    move = next(move for move in moves.moves(machine) if move.key == key)
    with pytest.raises(BadValue) as refused:
        move.figure(text)
    assert str(refused.value) == message


def test_angles_and_numbers_refuse_what_they_are_not() -> None:
    with pytest.raises(BadValue, match="minutes and seconds must be below 60"):
        parse_angle("1°00'75\"")
    with pytest.raises(BadValue, match="Leave out deg"):
        parse_number("3deg")


def test_the_slack_of_a_scale_without_a_dial_has_a_bound() -> None:
    text = 'stepcut-machine = 1\nunit = "in"\n[depth]\ndivision = "0.001in"\nbacklash = "0.3in"\n'
    with pytest.raises(BadValue) as refused:
        machines.from_text(text, "bench", "bench.toml")
    assert str(refused.value).endswith(
        "backlash = 0.3 in: must be less than 0.2 in. Measure it again: forward until it moves, then back."
    )
    turned = text.replace("backlash", 'per-turn = "0.5in"\nbacklash')  # a coarse handle may be so loose
    assert machines.from_text(turned, "bench", "bench.toml").depth is not None
