"""Segments of a cam as they are said: every reading with its exact value, every refusal as a whole text."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.errors import BadValue
from stepcut.fields import Values
from stepcut.shapes.cam.ask import _WAY, _segment, _segments
from stepcut.shapes.cam.wanted import Segment

INCH = Fraction(254, 10)


def values(segments: list[str] | None = None, unit: str = "mm") -> Values:
    return Values({"base": Fraction(15), "segments": segments or []}, {"base": "15mm"}, unit)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "segment"),
    [
        ("rise 2.5mm in 60deg harmonic", Segment("rise", Fraction(60), Fraction(5, 2), "harmonic")),
        ("rise 2.5 mm over 60 degrees", Segment("rise", Fraction(60), Fraction(5, 2), "uniform")),
        ("lift 0.1in in 60°", Segment("rise", Fraction(60), INCH / 10, "uniform")),
        ("Rise 3/32in in 90deg Cycloidal", Segment("rise", Fraction(90), INCH * 3 / 32, "cycloidal")),
        ("drop 1/2in in 12°30'", Segment("fall", Fraction(25, 2), INCH / 2, "uniform")),
        ("fall 40 thou per 30 deg", Segment("fall", Fraction(30), INCH / 25, "uniform")),
        ("fall from 15mm to 11mm in 300deg", Segment("fall", Fraction(300), Fraction(4), "uniform")),
        ("rise from 15mm to 19mm in 1/2 turn", Segment("rise", Fraction(180), Fraction(4), "uniform")),
        ("spiral from 15mm to 11mm in 300deg", Segment("spiral", Fraction(300), Fraction(-4), "uniform")),
        ("from 15mm to 11mm in 300deg", Segment("fall", Fraction(300), Fraction(4), "uniform")),
        ("spiral 3mm in 200deg", Segment("spiral", Fraction(200), Fraction(3), "uniform")),
        ("eccentric 2mm in 360deg", Segment("eccentric", Fraction(360), Fraction(2), "uniform")),
        ("dwell 30deg", Segment("dwell", Fraction(30))), ("hold 7.5 cranks", Segment("dwell", Fraction(30))),
        ("rise 3mm in 120’", Segment("rise", Fraction(2), Fraction(3), "uniform")),  # a phone's prime: minutes
    ],
)  # fmt: skip
def test_a_segment_is_read_exactly(text: str, segment: Segment) -> None:
    assert _segment(text, 1, Fraction(4), Fraction(15), values()) == segment


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("hop 3mm in 20deg", f"segments 1 = hop 3mm in 20deg: is not a segment. {_WAY}"),
        ("rise 3mm in 20deg wobbly", "segments 1 = wobbly: is not one of the motions. Use one of uniform, parabolic, harmonic, cycloidal, 3-4-5, 4-5-6-7, "
         "modified-sine, modified-trapezoid."),
        ("rise 3mm in 20deg harmnic", "segments 1 = harmnic: is not one of the motions. Use one of uniform, parabolic, harmonic, cycloidal, 3-4-5, 4-5-6-7, "
         "modified-sine, modified-trapezoid. Did you mean harmonic?"),
        ("rise 3mm in 400deg", "segments 1 = rise 3mm in 400deg: must be above 0 and at most 360 degrees. Check its angle."),
        ("dwell 3mm in 20deg", "segments 1 = dwell 3mm in 20deg: a dwell has no lift. Write it like dwell 30deg."),
        ("rise 20deg", "segments 1 = rise 20deg: a rise needs its lift. Write it like rise 2.5mm in 60deg."),
        ("fall from 19mm to 11mm in 300deg", "segments 1 = fall from 19mm to 11mm in 300deg: begins at radius 19mm, and the one before it ends at 15 mm. "
         "Make them meet, or say the change: fall 8mm in 300deg."),
        ("rise -3mm in 60deg", "segments 1 = rise -3mm in 60deg: must lift by more than 0. Use fall to go down, rise or spiral to go up; a spiral that "
         "falls is said from 19mm to 11mm."),
    ],
)  # fmt: skip
def test_what_is_no_segment_is_refused_whole(text: str, message: str) -> None:
    with pytest.raises(BadValue) as refused:
        _segment(text, 1, Fraction(4), Fraction(15), values())
    assert str(refused.value) == message


@pytest.mark.parametrize(
    ("segments", "message"),
    [
        (["dwell 20deg", "fall 20mm in 60deg"], "segments 2 = fall 20mm in 60deg: falls below the axis. Check base and lifts."),
        (["eccentric 15mm in 360deg"], "segments 1 = eccentric 15mm in 360deg: must be less than the base radius, 15mm. Check base and offset."),
    ],
)  # fmt: skip
def test_segments_that_do_not_go_together_are_refused_whole(segments: list[str], message: str) -> None:
    with pytest.raises(BadValue) as refused:
        _segments(values(segments), None, Fraction(15))
    assert str(refused.value) == message
