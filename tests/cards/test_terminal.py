"""The terminal card at fixed widths, and the sheet behind it."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards.terminal import render
from stepcut.cli import show
from stepcut.machine import Cutter
from stepcut.machine import files as machines
from stepcut.routine import card
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from stepcut.voice import Dials
from tests import golden
from tests.shops import INCH, example_ring, half_inch, inch_machine, inches


@pytest.mark.parametrize("name", golden.cards())
def test_every_card_is_as_it_was_looked_at(name: str) -> None:
    text = golden.printed(name)
    assert max(map(len, text.splitlines())) <= golden.cards()[name][2]
    kept = golden.HERE / f"{name}.txt"
    assert text == kept.read_text("utf-8"), f"look at the card, then run python -m tests.golden.make: {kept}"


def test_bold_is_used_only_where_it_may() -> None:
    sheet = show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01")
    assert "\x1b[1m" in render(sheet, 80, colour=True)
    assert "\x1b" not in render(sheet, 80)


@settings(max_examples=15)
@given(stops=st.integers(1, 180), starts=st.integers(1, 3), width=st.sampled_from([40, 60, 80, 100, 132]))
def test_every_stop_is_on_the_card_once_and_checks_come_every_five(stops: int, starts: int, width: int) -> None:
    ring = example_ring(span=Fraction(90), starts=starts)
    cutting = Cutting("across", "edge", Cutter("flat", INCH * Fraction(3, 8)))
    plan = solve(
        ring, cutting, Stepping(drop=inches("0.090") / stops if stops < 170 else inches("0.0005")), inch_machine()
    )
    made = card(plan, Heading("Trial"))
    text = render(made, width)
    lines = [line for line in text.splitlines() if line.count("[  ]") == 2]
    assert [int(line.split()[0]) for line in lines] == list(range(1, len(plan.stops) + 1))
    checks = [line for line in text.splitlines() if line.startswith("CHECK")]
    assert len(checks) == starts * -(-(len(plan.stops) // starts) // 5)  # after every fifth, and where a ramp ends
    for line, row in zip(lines, made.lines, strict=True):
        assert row.first.reads.text in line.split()
        assert row.second.reads.text in line.split()


def test_increments_on_the_card_add_up_to_the_last_depth() -> None:
    plan = solve(example_ring(), half_inch(), Stepping(stops=7), inch_machine())
    rows = card(plan, Heading()).lines
    assert sum(Fraction(row.change) for row in rows) == Fraction(rows[-1].second.reads.text) == Fraction("0.0900")


def test_half_turns_alternate_on_the_dial() -> None:
    # Common practice, no source: 10 degrees on a 90:1 table is 2 1/2 turns, and the dial alternates 2, 0, 2, 0.
    rows = card(solve(example_ring(), half_inch(), Stepping(step=Fraction(10)), inch_machine()), Heading()).lines
    assert [(row.first.turns, row.first.dial) for row in rows[:3]] == [
        ("2 1/2 turns", "2°00'"),
        ("2 1/2 turns", "0°00'"),
        ("2 1/2 turns", "2°00'"),
    ]


def test_the_rim_counts_down_when_the_table_turns_the_other_way() -> None:
    ring = replace(example_ring(), rises="anticlockwise")
    rows = card(solve(ring, half_inch(), Stepping(step=Fraction(10)), inch_machine()), Heading()).lines
    assert [row.first.reads.text for row in rows[:2]] == ["350°", "340°"]
    assert [(row.first.turns, row.first.dial) for row in rows[:2]] == [
        ("2 1/2 turns", "2°00'"),
        ("2 1/2 turns", "0°00'"),
    ]


def test_a_plate_gives_spaces_in_one_circle() -> None:
    machine = inch_machine()
    assert machine.table is not None
    plated = replace(machine, table=replace(machine.table, hole_circles=(15, 18, 20)))
    plan = solve(example_ring(), half_inch(), Stepping(step=Fraction(10)), plated)
    # 10 degrees on a 90:1 table are 2 1/2 turns: 9 of 18 holes and 10 of 20 are exact, 15 has no half.
    made = card(plan, Heading())
    assert [(line.first.turns, line.first.dial) for line in made.lines[:3]] == [
        ("2 turns + 9 spaces", "hole 9 of 18"),
        ("2 turns + 9 spaces", "hole 0 of 18"),
        ("2 turns + 9 spaces", "hole 9 of 18"),
    ]
    assert Dials(plan, "in").circle_error == 0


@given(
    step=st.integers(3, 20), circles=st.lists(st.sampled_from([15, 16, 17, 18, 19, 20, 21, 23]), min_size=1, max_size=4)
)
def test_holes_of_one_circle_do_not_build_up_an_error(step: int, circles: list[int]) -> None:
    machine = inch_machine()
    assert machine.table is not None
    plated = replace(machine, table=replace(machine.table, hole_circles=tuple(circles)))
    plan = solve(example_ring(), half_inch(), Stepping(step=Fraction(step)), plated)
    made = card(plan, Heading())
    at, worst = Fraction(0), Fraction(0)
    if not made.lines[0].first.dial.startswith("hole"):  # the dial is read where no circle follows the rim
        assert all(
            any(abs(turns * c - round(turns * c)) / c * 4 >= plan.first.division / 2 for turns in (plan.first.value(s.first) / 4 for s in plan.stops))
            for c in circles
        )  # fmt: skip
        return
    circle = {int(line.first.dial.split()[-1]) for line in made.lines}
    assert len(circle) == 1
    (holes,) = circle
    for line, stop in zip(made.lines, plan.stops, strict=True):
        whole = re.search(r"(\d+) turn", line.first.turns)
        spaces = re.search(r"(\d+) spaces", line.first.turns)
        at += (int(whole[1]) if whole else 0) + Fraction(int(spaces[1]) if spaces else 0, holes)
        assert at * holes % holes == int(line.first.dial.split()[1])
        worst = max(worst, abs(at * 4 - plan.first.value(stop.first)))
    for other in circles:  # no other circle would have a nearer worst place
        off = max(
            abs(Fraction(round(float(plan.first.value(s.first) / 4 * other)), other) * 4 - plan.first.value(s.first))
            for s in plan.stops
        )
        assert worst <= off


def test_the_card_says_which_part_and_that_the_mate_is_the_same() -> None:
    card = show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01")
    assert "same part" in card.words.mate
    assert "not mirrored" in card.words.mate
    mate = show.whole(recipes.job(recipes.load("sluice-clamp-ramp").resized({"part": "B"})), "2026-01-01")
    assert mate.lines == card.lines
    assert (mate.part, card.part) == ("B", "A")
    assert mate.revision == card.revision


def test_what_tightens_clockwise_rises_clockwise() -> None:
    # Common practice, no source: for clockwise at the handle to tighten, both faces rise clockwise seen from their own face.
    facts = dict(show.whole(recipes.job(recipes.load("sluice-clamp-ramp")), "2026-01-01").words.head)
    assert "rises CLOCKWISE, seen facing it" in facts["Ramps"]


def test_cautions_are_few_and_defer() -> None:
    for path in recipes.shipped():
        cautions = show.whole(recipes.job(recipes.load(path)), "2026-01-01").words.cautions
        assert 4 <= len(cautions) <= 5
        assert "Local rules, the machine's manual and licensed practice come before this card." in cautions


def test_a_scale_shows_no_more_digits_than_it_has() -> None:
    machine = replace(machines.find("metric"))
    plan = solve(example_ring(), half_inch(), Stepping(step=Fraction(10)), machine)
    assert all(re.fullmatch(r"\d+\.\d{3}", row.second.reads.text) for row in card(plan, Heading()).lines)


@pytest.mark.parametrize("name", [path.stem for path in recipes.shipped()])
@pytest.mark.parametrize(
    "width", [pytest.param(40, marks=pytest.mark.long), 80, pytest.param(120, marks=pytest.mark.long)]
)
def test_the_first_screen_has_room_for_the_prompt_and_the_verdict_first_and_last(name: str, width: int) -> None:
    from stepcut.cards.first_screen import render as first

    made = show.whole(recipes.job(recipes.load(name)), "2026-01-01")
    lines = first(made, width).splitlines()
    assert len(lines) <= 23
    assert max(map(len, lines)) <= width
    assert "CUT IT" in lines[0]
    assert "CUT IT" in lines[-1]
    first(made, width, "cp1252").encode("cp1252")
    render(made, width, "cp1252").encode("cp1252")


def test_a_bad_verdict_is_reversed_first_and_last_and_no_cut_is_shown() -> None:
    from stepcut.cards.first_screen import render as first

    spoiling = show.whole(recipes.job(recipes.load("sluice-clamp-ramp").resized({"cutter": "5/8in"})), "2026-01-01")
    lines = first(spoiling, 80, colour=True).splitlines()
    reverse = "\x1b[1;7;31m"  # ECMA-48, select graphic rendition: bold, negative image, red
    assert lines[0].startswith(reverse)
    assert "DO NOT CUT" in lines[0]
    assert lines[-1].startswith(reverse)
    assert "DO NOT CUT" in lines[-1]
    assert not any(line.lstrip().startswith("1 2 1/2") for line in lines)
