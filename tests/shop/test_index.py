"""Indexing: whole turns, spaces and holes."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut.shop.index import settings
from tests.conftest import Run


def test_indexing_examples() -> None:
    from stepcut.shop.index import settings, turns_for

    forty = Fraction(40)
    # Army OD1644, milling machine subcourses: 42 divisions; 54' on the 20-hole circle; 540' for one turn.
    assert float(turns_for(forty, divisions=42)) == pytest.approx(0.95238095)
    assert turns_for(forty, angle=Fraction(540, 60)) == 1
    move = settings(turns_for(forty, angle=Fraction(54, 60)), forty, [20])
    assert (move[0].turns, move[0].spaces, move[0].circle, move[0].error) == (0, 2, 20, 0)
    # Machinery's Handbook (1916): 11-1/2 and 1 degree; Fox Valley Technical College: 45 degrees and 8 degrees 50'.
    for angle, turns in (
        (Fraction(23, 2), 1.2777778),
        (Fraction(1), 0.11111111),
        (Fraction(45), 5),
        (Fraction(53, 6), 0.98148148),
    ):
        assert float(turns_for(forty, angle=angle)) == pytest.approx(turns, abs=1e-7)
    # Worksheet "Differential and Angular Indexing Guide": 15 degrees is 1 2/3 turns.
    assert [
        (s.turns, s.spaces, s.circle) for s in settings(turns_for(forty, angle=Fraction(15)), forty, [15, 18, 20])
    ] == [(1, 10, 15), (1, 12, 18)]
    # Machinery's Handbook 27, p. 1995: 6/27 = 12/54.
    assert [(s.spaces, s.circle) for s in settings(Fraction(2, 9), forty, [27, 54, 41])] == [(6, 27), (12, 54)]
    # Fox Valley Technical College: 24 holes in a direct plate are 15 degrees each.
    assert turns_for(Fraction(1), angle=Fraction(15)) * 24 == 1


@given(ratio=st.sampled_from([40, 60, 72, 90]), divisions=st.integers(2, 400))
def test_an_exact_setting_comes_round_and_a_near_one_says_its_error(ratio: int, divisions: int) -> None:
    from stepcut.shop.index import settings, turns_for

    turns = turns_for(Fraction(ratio), divisions=divisions)
    for s in settings(turns, Fraction(ratio), [15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33]):
        made = s.turns + (Fraction(s.spaces, s.circle) if s.circle else 0)
        assert made * 360 / ratio - Fraction(360, divisions) == s.error
        assert s.holes == s.spaces + 1


def test_sector_arms_are_said_in_spaces_and_in_holes(run: Run) -> None:
    # Common practice, no source: 10 spaces are set as 11 holes between the arms.
    done = run("index", "--angle", "15deg", "--ratio", "40", "--circles", "15")
    assert "1 turn + 10 spaces in the 15-hole circle (11 holes between the arms)" in done.stdout
    assert "count SPACES" in done.stdout


def test_what_no_circle_gives_is_said_to_be_impossible_with_the_nearest(run: Run) -> None:
    # 25 divisions at 72:1 is 2 22/25 turns: impossible on the circles 24, 28, 30, 34, 37, 38 and 39 ...
    done = run("index", "--divisions", "25", "--ratio", "72", "--circles", "24,28,30,34,37,38,39")
    assert "IMPOSSIBLE to do exactly" in done.stdout
    assert "2 turns + 30 spaces in the 34-hole circle" in done.stdout
    assert "each move 0.706' too far; after 25 moves 17.647' too far" in done.stdout
    # ... and exact where the plate has a 25-hole circle, as some that run from 24 to 39 do.
    done = run("index", "--divisions", "25", "--ratio", "72", "--circles", "24,25,28,30,34,37,38,39")
    assert "2 turns + 22 spaces in the 25-hole circle (23 holes between the arms)" in done.stdout


def test_index_takes_a_bare_number_or_angle(run: Run) -> None:
    assert run("index", "7").stdout == run("index", "--divisions", "7").stdout
    assert run("index", "35deg", "--ratio", "90:1").stdout == run("index", "--angle", "35deg", "--ratio", "90").stdout
    assert run("index", "7", "--angle", "35deg").returncode == 2


def test_a_nearest_hole_that_comes_round_carries_a_turn() -> None:
    # 0.99 of a turn in a circle of 15: the nearest hole is 14.85 spaces on, the fifteenth, which is a whole turn; 0.01 turn of
    # a 40:1 head too far is 0.09 degrees.
    (only,) = settings(Fraction(199, 100), Fraction(40), [15])
    assert (only.turns, only.spaces, only.error) == (2, 0, Fraction(9, 100))


def test_where_no_circle_serves_the_nearest_hole_is_taken_and_may_be_the_next_whole_turn() -> None:
    # By hand: 99/100 of a turn on 15 holes is 14.85 spaces, so all 15 of them, a whole turn: 1/100 turn of 9 degrees too much.
    (only,) = settings(Fraction(99, 100), Fraction(40), [15])
    assert (only.turns, only.spaces, only.circle, only.error) == (1, 0, 15, Fraction(9, 100))
    # 1/7 of a turn: 2.86 of 20 spaces and 2.14 of 15; 3/20 is 1/140 too much, 2/15 is 1/105 short; the nearer one first.
    found = settings(Fraction(8, 7), Fraction(40), [15, 20])
    assert [(s.turns, s.spaces, s.circle, s.error) for s in found] == [
        (1, 3, 20, Fraction(9, 140)), (1, 2, 15, Fraction(-9, 105)),
    ]  # fmt: skip
    assert [s.circle for s in settings(Fraction(1, 2), Fraction(40), [20, 18, 20])] == [18, 20]


def test_a_table_without_plates_is_set_by_its_rim(run: Run) -> None:
    done = run("index", "7", "--machine", "metric")
    rows = [line.split() for line in done.stdout.splitlines() if line[:5].strip().isdigit()]
    # By hand: 360 k / 7 degrees to the nearest minute; 51 deg 25.714 min is 12 turns of 4 degrees and 3 deg 25.714 min.
    minutes = [round(360 * 60 * k / 7) for k in range(7)]
    assert [row[3] for row in rows] == [f"{m // 60}°{m % 60:02}'" for m in minutes]
    assert rows[1][1:3] == ["12", "3°26'"]
    assert "nothing builds up" in done.stdout and "0.429'" in done.stdout  # 3/7 of a minute


def test_what_the_places_are_ticked_off_by_is_proposed_in_the_shops_own_unit(run: Run) -> None:
    for machine, depth, line in (("inch", "3/16in", "1/8in"), ("metric", "5mm", "3mm")):
        told = " ".join(run("index", "7", "--machine", machine).stdout.split())
        assert told.endswith(f"stepcut divide --divisions 7 --depth {depth}, or --make lines --line {line}.")
