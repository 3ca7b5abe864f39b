"""Text to exact numbers and back."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut.errors import BadValue
from stepcut.quantity import parse_angle, parse_force, parse_length
from stepcut.written import angle_text, exact_text, length_text, near_text, size_text

INCH = Fraction(254, 10)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.005in", INCH * 5 / 1000), ("5 thou", INCH * 5 / 1000), ('.005"', INCH * 5 / 1000), ("1-3/8in", INCH * 11 / 8),
        ("1 3/8 in", INCH * 11 / 8), ('1 3/8"', INCH * 11 / 8), ('3/8"', INCH * 3 / 8), ("37mm", 37), ("3.7 cm", 37),
        ("0.2 ft", INCH * 12 / 5), ("1 yd", INCH * 36), ("2 micron", Fraction(1, 500)), ("5 MM", 5), ("+3 IN.", 3 * INCH),
        ("-5mm", -5), ("1e-1 mm", Fraction(1, 10)), ("0", 0), ("2 tenths", INCH / 5000),
        # what phones and word processors write: curly quotes, primes, dashes, fractions of one character, thin spaces
        ("1–3/8”", INCH * 11 / 8), ("1⅜″", INCH * 11 / 8), ("½ in", INCH / 2), ("3⁄8″", INCH * 3 / 8), ("−5 mm", -5),
        (".005''", INCH * 5 / 1000), ("37\u202fmm", 37), ("“", None),
    ],
)  # fmt: skip
def test_lengths_are_read_exactly(text: str, mm: Fraction) -> None:
    if mm is None:
        with pytest.raises(BadValue):
            parse_length(text)
    else:
        assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("10deg", 10), ("10°", 10), ("12°30'", Fraction(25, 2)), ("12d30m15s", Fraction(3001, 240)), ("90'", Fraction(3, 2)),
        ("2.5 turns", 900), ("1 turn", 360), ("10 gon", 9), ("-0.5deg", Fraction(-1, 2)), ("12° 30' 15\"", Fraction(3001, 240)),
        ("12°30’", Fraction(25, 2)), ("12° 30′ 15″", Fraction(3001, 240)), ("12 deg 30 min", Fraction(25, 2)), ("10 sec", Fraction(1, 360)),
        ("10 min", Fraction(1, 6)), ("7½°", Fraction(15, 2)), ("140’", Fraction(7, 3)),
    ],
)  # fmt: skip
def test_angles_are_read_exactly(text: str, degrees: Fraction) -> None:
    assert parse_angle(text) == degrees


def test_radians_and_cranks() -> None:
    assert float(parse_angle("0.01 rad")) == pytest.approx(0.5729577951308232, rel=1e-15)
    assert parse_angle("2.5 cranks", crank=Fraction(4)) == 10
    assert float(parse_force("1 kgf")) == pytest.approx(9.80665)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("5,2 mm", "lead = 5,2 mm: a comma is not read. Write 5.2 mm with a point, no thousands mark."),
        ("37,39,41", "lead = 37,39,41: a comma is not read. Write one number, with a point and no thousands mark."),
        ("1.75", "lead = 1.75: needs a unit. Write 1.75in or 1.75mm."),
        ("9**9**9 mm", "lead = 9**9**9 mm: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
        ("nan", "lead = nan: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
        ("inf mm", "lead = inf mm: is not a number with a unit. Write it like 1-3/8in, 0.005in or 37mm."),
        ("1/0 in", "lead = 1/0 in: divides by nought. Give a fraction such as 1/8."),
        (
            "9" * 400 + " mm",
            "lead = 9999999999999999999999999999999999999...: a number of more than 24 characters. Write fewer digits.",
        ),
        (
            "5 mmm",
            "lead = 5 mmm: mmm is no unit of length that is known here. Use one of in, inch, inches, thou, thous, tenth, tenths, mm, "
            "cm, m, um, ft. Did you mean mm?",
        ),
        ("10deg", "lead = 10deg: deg is a unit of angle, and a length is wanted. Give a length such as 1-3/8in, 0.005in or 37mm."),
        ("90'", "lead = 90': ' is a unit of angle, and a length is wanted. Give a length such as 1-3/8in, 0.005in or 37mm."),
        ("1e9 mm", "lead = 1e9 mm: is larger than anything on a machine (100000 mm). Check the number and its unit."),
        ("1e9 in", "lead = 1e9 in: is larger than anything on a machine (3937 in). Check the number and its unit."),
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_the_way_out(text: str, message: str) -> None:
    with pytest.raises(BadValue) as refused:
        parse_length(text, "lead")
    assert str(refused.value) == message


@pytest.mark.parametrize(
    "text", ["5 min", "5 kin", "5 percent", "5 s", "1-1/2-3 in", "", "in", "1 1/2", "--3mm", "3 mm mm", "٣ mm٣"]
)
def test_other_nonsense_is_refused(text: str) -> None:
    with pytest.raises(BadValue):
        parse_length(text)


def test_a_length_is_no_angle() -> None:
    with pytest.raises(BadValue, match="an angle is wanted"):
        parse_angle("5mm")
    with pytest.raises(BadValue, match="below 60"):
        parse_angle("12d70m")
    with pytest.raises(BadValue, match=r"^span = 140: needs a unit. Write 140deg.$"):
        parse_angle("140", "span")


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parse in (parse_length, parse_angle, parse_force):
        try:
            assert isinstance(parse(text), int | Fraction)
        except BadValue as problem:
            assert str(problem)


@given(st.fractions(min_value=-1000, max_value=1000, max_denominator=10**6))
def test_exact_text_reads_back_the_same(value: Fraction) -> None:
    assert parse_length(exact_text(value, "length", "in")) == value
    assert parse_length(exact_text(value, "length", "mm")) == value
    assert parse_angle(exact_text(value, "angle")) == value


@given(st.integers(-720 * 60, 720 * 60))
def test_degrees_and_minutes_read_back_the_same(minutes: int) -> None:
    assert parse_angle(angle_text(Fraction(minutes, 60), "minutes")) == Fraction(minutes, 60)


def test_printing() -> None:
    assert length_text(INCH * 11 / 8, "in", 3) == "1.375 in"
    assert length_text(-0.0, "mm", 3) == "0.000 mm"
    assert size_text(INCH * 11 / 64, "in") == "11/64 in"
    assert size_text(Fraction(127, 2), "in") == "2 1/2 in"
    assert angle_text(Fraction(3001, 240), "minutes", seconds=True) == "12°30'15\""


def test_pint_is_loaded_only_for_an_unusual_unit() -> None:
    code = "import sys; from stepcut.quantity import parse_length as p; p('{}'); print('pint' in sys.modules)"
    answers = [
        subprocess.run(
            [sys.executable, "-c", code.format(text)], capture_output=True, text=True, check=True
        ).stdout.strip()
        for text in ("1-3/8in", "2 yd")
    ]
    assert answers == ["False", "True"]


# What a unit is worth: the international yard and pound agreement of 1959 (1 in = 25.4 mm, 1 lb = 0.45359237 kg) and the
# standard acceleration of free fall 9.80665 m/s2 (3rd CGPM, 1901); the rest by their names.
WORTH = {
    "length": {"in inch inches": "25.4", '"': "25.4", "thou thous": "0.0254", "tenth tenths": "0.00254", "mm": "1", "cm": "10",
               "m": "1000", "um µm": "0.001", "ft": "304.8"},
    "angle": {"deg degs degree degrees ° d": "1", "' min minute minutes arcmin": "1/60",
              'sec second seconds arcsec "': "1/3600", "turn turns": "360"},
    "force": {"N": "1", "kN": "1000", "lbf lb": "4.4482216152605", "kgf": "9.80665"},
}  # fmt: skip
READ = {"length": parse_length, "angle": parse_angle, "force": parse_force}


@pytest.mark.parametrize(
    ("kind", "unit", "worth"),
    [(kind, unit, worth) for kind, table in WORTH.items() for units, worth in table.items() for unit in units.split()],
)
def test_every_unit_is_worth_what_it_is_by_definition(kind: str, unit: str, worth: str) -> None:
    assert READ[kind](f"3 {unit}") == 3 * Fraction(worth)


def test_no_unit_is_left_out_of_the_list_above() -> None:
    from stepcut.quantity import PLAIN

    listed = {kind: {unit for units in table for unit in units.split()} for kind, table in WORTH.items()}
    assert listed == {kind: set(table) for kind, table in PLAIN.items()}


@pytest.mark.parametrize(
    ("parse", "most", "unit", "said"),
    [(parse_length, 100_000, "mm", "100000 mm"), (parse_angle, 360_000, "deg", "360000 degree"), (parse_force, 10**7, "N", "10000000 newton")],
)  # fmt: skip
def test_the_largest_and_the_smallest_that_are_read(parse, most: int, unit: str, said: str) -> None:  # type: ignore[no-untyped-def]
    assert parse(f"{most} {unit}") == most
    with pytest.raises(BadValue, match=f"is larger than anything on a machine .{said}."):
        parse(f"{most}.1 {unit}")
    assert parse(f"0.000001 {unit}") == Fraction(1, 10**6)
    assert parse(f"0 {unit}") == 0
    with pytest.raises(BadValue, match=r"is smaller than anything on a machine .0\.000001 "):
        parse(f"0.0000009 {unit}")


def test_no_scale_shows_more_than_six_decimals() -> None:
    from stepcut.written import decimals

    assert [decimals(Fraction(1, 10**n)) for n in range(9)] == [0, 1, 2, 3, 4, 5, 6, 6, 6]
    assert decimals(Fraction(1, 3)) == 6


def test_a_number_of_24_characters_is_read_and_one_of_25_is_not() -> None:
    assert parse_length(f"1.{'0' * 21}1 mm") == 1 + Fraction(1, 10**22)
    with pytest.raises(BadValue, match="more than 24 characters"):
        parse_length(f"1.{'0' * 22}1 mm")


def test_messages_say_inches_as_fractions_to_64ths_and_else_to_a_tenth() -> None:
    assert [near_text(INCH * Fraction(1, n), "in") for n in (1, 2, 4, 8, 16, 32, 64)] == [
        "1 in", "1/2 in", "1/4 in", "1/8 in", "1/16 in", "1/32 in", "1/64 in",
    ]  # fmt: skip
    assert near_text(INCH / 128, "in") == "0.0078 in"
    assert near_text(INCH * Fraction("1.23456"), "in") == "1.2346 in"
    assert near_text(Fraction(0), "in") == "0 in"
    assert near_text(Fraction("12.34567"), "mm") == "12.3457 mm"
