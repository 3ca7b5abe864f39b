"""Straight scales: lines that do not build up an error, published verniers, what goes together, the hands of it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.errors import StepcutError
from stepcut.routine import acts, card
from stepcut.shapes.rule.guide import offered
from stepcut.voice import Voice
from tests.routine.simulated import played

INCH = Fraction(254, 10)


def plan_of(machine: str = "metric", **values: Any) -> Any:
    content = {"stepcut": 1, "machine": machine, "title": "case", "rule": {"line": "3mm", **values}}
    return recipes.job(recipes.from_content(content)).plan


# Verniers as training manuals and instrument standards have them, from memory: divisions, one of the main scale, how many of these they
# cover, and what they read.  Inch calipers and height gauges 25 over 24 of 0.025 in; metric calipers 10 over 9 mm, 20 over 19 or
# 39 mm, 50 over 49 mm (ISO 13385-1); the fractional inch 8 over 7 sixteenths.
VERNIERS = [
    (25, "0.025in", 24, INCH / 1000), (10, "1mm", 9, Fraction(1, 10)), (20, "1mm", 19, Fraction(1, 20)),
    (20, "1mm", 39, Fraction(1, 20)), (50, "1mm", 49, Fraction(1, 50)), (8, "1/16in", 7, INCH / 128),
]  # fmt: skip


@pytest.mark.parametrize(("count", "main", "over", "reads"), VERNIERS)
def test_a_vernier_reads_what_is_published(count: int, main: str, over: int, reads: Fraction) -> None:
    """Moved on by so many of its readings, so many lines on it stand on a line of the main scale, and none between."""
    details = plan_of(vernier=str(count), main=main, over=str(over)).details
    one = reads * count  # a division of the main scale
    assert details.reads == reads
    assert len(details.lines) == count + 1
    assert details.lines[-1].at == one * over
    for moved in range(count + 1):
        on = [line.count for line in details.lines if (line.at + moved * reads) % one == 0]
        assert on == ([0, count] if moved in (0, count) else [moved])


def test_left_out_a_vernier_covers_one_less() -> None:
    assert plan_of(vernier="10", main="1mm").stops == plan_of(vernier="10", main="1mm", over="9").stops


@given(
    st.fractions(Fraction(1, 4), Fraction(13), max_denominator=640),
    st.integers(1, 250),
    st.sampled_from(["metric", "inch"]),
)
def test_no_error_builds_up(pitch: Fraction, divisions: int, machine: str) -> None:
    text = f"{pitch.numerator}/{pitch.denominator}mm"
    plan = plan_of(machine, pitch=text, divisions=str(divisions), start="-7mm")
    half = plan.first.division / 2
    for k, stop in enumerate(plan.stops):
        assert abs(plan.first.value(stop.first) - (pitch * k - 7)) <= half
    assert plan.details.worst <= half and plan.details.spacing <= 2 * half
    last = plan_of(machine, places=f"0mm, {float(pitch * divisions)!r}mm", start="-7mm").stops[-1]
    assert abs(last.first - plan.stops[-1].first) <= 1  # whatever lies between


def test_ranks_numbers_and_skipped_lines() -> None:
    plan = plan_of(pitch="2mm", length="44mm", fifth="4.5mm", tenth="6mm", number="0.5", skip="1,4")
    assert len(plan.stops) == 21  # 22 divisions are 23 lines
    lengths = {round(float(plan.first.value(s.first))): float(plan.second.value(s.second)) for s in plan.stops}
    assert [lengths[at] for at in (2, 10, 20, 30, 40)] == [3, 4.5, 6, 4.5, 6]
    assert sorted(plan.details.notes.values()) == ["number 10", "number 5"]


def test_the_hands_draw_every_line_with_the_slide_locked_and_the_tool_off_before_it_moves() -> None:
    plan = plan_of(pitch="1.5mm", divisions="12")
    did = [{**act.content(), "to": act.to} for act in acts(plan)]
    assert [act["axis"] for act in did if act["act"] == "cut"] == ["y"] * 13
    mill = played(plan, did)
    assert [mill.cuts[n][0] for n in range(1, 14)] == [Fraction(3, 2) * k for k in range(13)]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "pitch: is missing. Give pitch with divisions or length, or places, or vernier with main."),
        ({"pitch": "1mm"}, "divisions: are missing. Give divisions, or the length of the whole scale."),
        ({"pitch": "1mm", "places": "0mm, 2mm"}, "places = 0mm, 2mm: does not go with pitch. Leave one of them out."),
        (
            {"pitch": "1mm", "length": "10.5mm"},
            "pitch = 1mm: does not divide 10.5mm into a whole number of up to 3600. Give divisions, or a length that it divides.",
        ),
        (
            {"pitch": "1mm", "length": "9mm", "divisions": "10"},
            "length = 9mm: does not agree with pitch and divisions, which make 10 mm. Leave one of them out.",
        ),
        ({"places": "1mm, 1mm"}, "places = 1mm, 1mm: must each stand there once. Check the list."),
        ({"vernier": "10"}, "main: is missing for a vernier. Give one division of the main scale, such as 1mm."),
        (
            {"vernier": "10", "main": "1mm", "over": "12"},
            "over = 12: must be one more or one less than 10, or than a multiple of it. Give 9 or 19.",
        ),
        ({"pitch": "1mm", "divisions": "4", "skip": "6"}, "skip = 6: is more than the 5 lines. Count from 1."),
        (
            {"pitch": "0.004mm", "divisions": "9"},
            "pitch = 0.004mm: puts two lines on one mark of the slide, which shows 0.005 mm. Take a coarser scale, or a finer slide.",
        ),
        ({"pitch": "1mm", "divisions": "4", "main": "1mm"}, "main = 1mm: goes with vernier. Leave it out."),
    ],
)
def test_what_does_not_go_together_is_said(values: dict[str, str], words: str) -> None:
    with pytest.raises(StepcutError) as caught:
        plan_of(**values)
    assert str(caught.value) == words


def test_the_cycle_in_short_is_what_the_hands_do_in_their_order() -> None:
    made = card(plan_of(pitch="1mm", divisions="10"), Heading(date="2026-01-01"))
    words = ("off the part", "X", "lock", "draw", "back off")
    assert len(made.cycle) == len(words)
    assert all(word in said for word, said in zip(words, made.cycle, strict=True))


def test_three_sizes_of_an_even_scale_must_agree_and_two_are_enough() -> None:
    all_three = plan_of(pitch="1.5mm", divisions="10", length="15mm")
    assert (
        all_three.stops == plan_of(divisions="10", length="15mm").stops == plan_of(pitch="1.5mm", length="15mm").stops
    )
    with pytest.raises(
        StepcutError, match=r"length = 16mm: does not agree with pitch and divisions, which make 15 mm\."
    ):
        plan_of(pitch="1.5mm", divisions="10", length="16mm")
    with pytest.raises(StepcutError, match="pitch = 4mm: does not divide 15mm into a whole number of up to"):
        plan_of(pitch="4mm", length="15mm")
    with pytest.raises(StepcutError, match=r"places = .*: does not go with pitch\. Leave one of them out\."):
        plan_of(pitch="1mm", divisions="10", places=["1mm", "2mm"])


@pytest.mark.parametrize(
    ("pitch", "told"),
    [("1mm", "11 lines; each on a mark of the slide."), ("0.7mm", "11 lines; each on a mark of the slide.")],
)
def test_the_guide_says_how_far_the_worst_line_is_off(pitch: str, told: str) -> None:
    """The slide of the example machine is read to 0.005 mm."""
    assert offered(plan_of(pitch=pitch, divisions="10"), Voice("mm")) == told
    assert offered(plan_of(pitch="0.333mm", divisions="2"), Voice("mm")) == "3 lines; the worst is off by 0.00200 mm."
