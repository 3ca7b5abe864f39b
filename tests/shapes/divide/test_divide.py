"""Dividing: published settings of the plate, places that do not build up an error, ranks of lines, verniers."""

from __future__ import annotations

import cmath
import math
import re
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards import drawing
from stepcut.cards.json_card import content
from stepcut.errors import StepcutError
from stepcut.machine import files as machines
from stepcut.plan import Plan
from stepcut.routine import acts, card
from stepcut.shapes.divide.task import circle_for
from stepcut.voice import voice_of
from tests.routine.simulated import played


def plan_of(machine: str = "metric", **values: Any) -> Any:
    given_values = {"depth": "5mm", **values} if values.get("make") != "lines" else values
    recipe = {"stepcut": 1, "machine": machine, "title": "case", "divide": given_values}
    return recipes.job(recipes.from_content(recipe)).plan


@pytest.fixture(scope="module")
def forty(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A dividing head of 40 to 1, otherwise the metric machine."""
    text = machines.shipped_path("metric").read_text("utf-8")
    assert 'per-turn = "4deg"' in text
    path = tmp_path_factory.mktemp("machines") / "forty.toml"
    path.write_text(text.replace('per-turn = "4deg"', 'per-turn = "9deg"'), "utf-8")
    return str(path)


# Sources: US Army correspondence course OD1644 (42 divisions; 54 minutes on a 20-hole circle), Machinery's Handbook 1916
# (1 degree, 11 1/2 degrees), Fox Valley Technical College, "Angular indexing" (45 degrees, 8 degrees 50 minutes), worksheet
# "Differential and Angular Indexing Guide" (15 degrees); all for 40 turns of the crank.
PUBLISHED = [
    ("42 divisions", {"divisions": "42", "circles": "42"}, Fraction(40, 42)),
    ("42 divisions on 21", {"divisions": "42", "circles": "21"}, Fraction(20, 21)),
    ("54 minutes", {"every": "0.9deg", "span": "9deg", "circles": "20"}, Fraction(1, 10)),
    ("11 1/2 degrees", {"angles": "0deg, 11.5deg", "circles": "18"}, Fraction(23, 18)),
    ("1 degree", {"every": "1deg", "span": "18deg", "circles": "18"}, Fraction(1, 9)),
    ("45 degrees", {"divisions": "8", "circles": "16"}, Fraction(5)),
    ("8 degrees 50 minutes", {"angles": "0deg, 8d50'", "circles": "54"}, Fraction(530, 540)),
    ("15 degrees", {"divisions": "24", "circles": "18"}, Fraction(5, 3)),
]  # fmt: skip


@pytest.mark.parametrize(("name", "values", "turns"), PUBLISHED, ids=[name for name, *_ in PUBLISHED])
def test_a_published_setting_is_the_crank_s_turn_from_place_to_place(
    forty: str, name: str, values: dict[str, str], turns: Fraction
) -> None:
    plan = plan_of(forty, by="plate", **values)
    moved = plan.first.value(plan.stops[1].first) - plan.first.value(plan.stops[0].first)
    assert moved / 9 == turns
    assert plan.details.worst == 0


def test_a_direct_plate_of_24_holes_moves_15_degrees_a_hole() -> None:
    # Fox Valley Technical College, "Angular indexing".
    plan = plan_of(divisions="6", direct="24")
    assert [plan.first.value(stop.first) for stop in plan.stops] == [60 * k for k in range(6)]
    assert plan.stops[1].first == 4
    with pytest.raises(StepcutError, match="direct = 24: has no hole at"):
        plan_of(divisions="7", direct="24")


@given(divisions=st.integers(2, 400), start=st.integers(0, 359), plate=st.booleans())
def test_no_place_is_more_than_half_a_mark_off_however_many_there_are(divisions: int, start: int, plate: bool) -> None:
    more = {"by": "plate", "circles": "15,16,17,18,19,20,21"} if plate else {}
    plan = plan_of(divisions=str(divisions), start=f"{start}deg", **more)
    for k, stop in enumerate(plan.stops):
        wanted = start + Fraction(360 * k, divisions)
        assert abs(plan.first.value(stop.first) - wanted) <= plan.first.division / 2
    moves = [b.first - a.first for a, b in zip(plan.stops, plan.stops[1:], strict=False)]
    assert sum(moves) == plan.stops[-1].first - plan.stops[0].first
    assert max(moves, default=0) - min(moves, default=0) <= 1  # two sizes of move and no more


def test_one_circle_serves_the_whole_job() -> None:
    # By hand: 360/13 degrees at 90 to 1 is 90/13 turns: only a multiple of 13 is exact.
    turns = [Fraction(90 * k, 13) for k in range(13)]
    assert circle_for(turns, (18, 21, 39, 49)) == 39
    plan = plan_of(divisions="13", by="plate", circles="18,21,49")
    # None of these is a multiple of 13, so the worst line is 6/13 of a hole off: least on 49 holes, of 4 degrees a turn.
    assert plan.details.circle == 49
    assert plan.details.worst == pytest.approx(4 * Fraction(6, 13) / 49)


def test_the_lines_of_a_hundred_have_three_lengths() -> None:
    plan = plan_of(divisions="100", make="lines", line="3mm", fifth="4.5mm", tenth="6mm", number="2")
    lengths = [float(plan.second.value(stop.second)) for stop in plan.stops]
    assert [lengths.count(length) for length in (3.0, 4.5, 6.0)] == [80, 10, 10]
    assert [plan.details.notes[n] for n in (1, 11, 21)] == ["number 0", "number 20", "number 40"]
    assert [plan.first.value(stop.first) for stop in plan.stops][:3] == [0, Fraction(18, 5), Fraction(36, 5)]


def drawn(plan: Plan, what: str) -> list[tuple[float, float]]:
    """Place in degrees to the left of the head, and length or radius beyond the circle, of each line or hole of the drawing."""
    made = drawing.part(plan)
    assert made is not None
    head, *rest = (float(text) for text in re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', made.svg)[0])
    found = []
    for pair in re.findall(r'points="([\d.]+),([\d.]+) ([\d.]+),([\d.]+)"', made.svg) if what == "lines" else []:
        x, y, to_x, to_y = (float(text) for text in pair)
        if math.hypot(x - head, y - rest[0]) == pytest.approx(rest[1], abs=0.02):
            found.append((math.degrees(math.atan2(head - x, rest[0] - y)) % 360, math.hypot(x - to_x, y - to_y)))
    for hole in (
        re.findall(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"', made.svg)[1:] if what == "holes" else []
    ):
        x, y, radius = (float(text) for text in hole)
        found.append((math.degrees(math.atan2(head - x, rest[0] - y)) % 360, radius))
    return found


def test_a_drawing_shows_every_line_at_its_place_as_long_as_the_others_allow() -> None:
    plan = plan_of(divisions="20", make="lines", line="3mm", fifth="4.5mm", tenth="6mm")
    seen = drawn(plan, "lines")
    longest = max(length for _, length in seen)
    assert [at for at, _ in seen] == pytest.approx([18 * k for k in range(20)], abs=0.1)
    assert [length / longest for _, length in seen] == pytest.approx(
        [{0: 1.0, 5: 0.75}.get(k % 10, 0.5) for k in range(20)], abs=0.01
    )
    target = content(plan, voice_of(plan.machine))["target"]
    assert target["lengths"] == [{0: 6.0, 5: 4.5}.get(k % 10, 3.0) for k in range(20)]


def test_a_drawing_shows_every_hole_apart_from_the_next() -> None:
    for count in (7, 30):
        plan = plan_of(divisions=str(count))
        seen = drawn(plan, "holes")
        assert [at for at, _ in seen] == pytest.approx([360 * k / count for k in range(count)], abs=0.2)
        apart = 2 * 16.4 * math.sin(math.pi / count)  # on a circle of 16.4 mm, which the drawing has them on
        assert max(radius for _, radius in seen) < apart / 2
        assert content(plan, voice_of(plan.machine))["target"]["lengths"] == []


def test_a_drawing_shows_slots_as_short_lines_inside_the_circle() -> None:
    seen = drawn(plan_of(divisions="9", make="slots"), "lines")
    assert [at for at, _ in seen] == pytest.approx([40 * k for k in range(9)], abs=0.1)
    assert {round(length / (0.18 * 20), 2) for _, length in seen} == {1.0}  # up to the circle that holes are drawn on


def test_the_farthest_off_is_named_by_its_number() -> None:
    plan = plan_of(divisions="13", by="plate", circles="18,21,49")
    # By hand: on 49 holes place k wants 49 x 90 k / 13 holes, which is so far from a whole one.
    off = [abs(Fraction(49 * 90 * k, 13) - round(Fraction(49 * 90 * k, 13))) for k in range(13)]
    assert off[plan.details.worst_at - 1] == max(off) == Fraction(6, 13)


def test_a_vernier_reads_a_tenth_of_its_main_scale() -> None:
    plan = plan_of(vernier="10", main="1deg", make="lines", line="4mm")
    places = [plan.first.value(stop.first) for stop in plan.stops]
    # By hand: the k-th line of the vernier stands k tenths of a division short of the k-th line of the main scale.
    assert [k - place for k, place in enumerate(places)] == [Fraction(k, 10) for k in range(11)]
    twelve = plan_of(
        vernier="12", main="1deg", over="23", make="lines", line="4mm"
    )  # five minutes, drawn out over 23 degrees
    assert [2 * k - twelve.first.value(stop.first) for k, stop in enumerate(twelve.stops)] == [
        Fraction(5 * k, 60) for k in range(13)
    ]


def test_places_can_be_skipped_listed_and_begun_anywhere() -> None:
    plan = plan_of(divisions="8", skip="3,7", start="10deg")
    assert [plan.first.value(stop.first) for stop in plan.stops] == [10, 55, 145, 190, 235, 325]
    plan = plan_of(angles="90deg, 17.5deg, 0deg")
    assert [plan.first.value(stop.first) for stop in plan.stops] == [0, Fraction(35, 2), 90]
    arc = plan_of(divisions="4", span="60deg")
    assert [arc.first.value(stop.first) for stop in arc.stops] == [0, 15, 30, 45, 60]


def test_the_worst_place_is_said_as_a_length_on_the_part() -> None:
    plan = plan_of(divisions="7", diameter="100mm")
    # By hand: minutes are marked; the worst of 360 k / 7 degrees is k = 4 or 3, 205 deg 42.857 min, 1/7 of a minute off.
    worst = max(abs(Fraction(360 * 60 * k, 7) - round(Fraction(360 * 60 * k, 7))) for k in range(7))
    assert plan.details.worst * 60 == worst == Fraction(3, 7)
    from stepcut.shapes.divide.words import off_text

    text = off_text(plan.details.worst, Fraction(100), voice_of(plan.machine))
    assert text.startswith("0.43', 0.0062 mm at 100 mm")  # 3/7 of a minute is 0.0001247 rad, at 50 mm radius


@pytest.mark.parametrize(
    "values",
    [
        {"divisions": "7"},
        {"divisions": "11", "by": "plate", "circles": "33", "start": "-20deg"},
        {"divisions": "6", "direct": "24"},
        {"divisions": "20", "make": "lines", "line": "3mm", "fifth": "5mm"},
    ],
    ids=["rim", "plate", "direct", "lines"],
)
def test_every_place_is_reached_the_working_way(values: dict[str, Any]) -> None:
    plan = plan_of(**values)
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "divisions: is missing"),
        ({"divisions": "7", "every": "10deg"}, "every = 10deg: does not go with divisions"),
        ({"every": "7deg"}, "does not divide 360deg"),
        ({"divisions": "7", "depth": None}, "depth: is missing"),
        ({"divisions": "7", "make": "lines"}, "line: is missing"),
        ({"divisions": "7", "line": "3mm"}, "line = 3mm: does not go with make = holes"),
        ({"angles": "0deg, 360deg"}, "must be below 360deg"),
        ({"divisions": "4", "skip": "5"}, "is more than the 4 places"),
        ({"divisions": "2", "skip": "1,2"}, "leaves nothing to make"),
        ({"vernier": "10"}, "main: is missing"),
        (
            {"vernier": "12", "main": "1deg", "over": "22"},
            "over = 22: must be one more or one less than 12, or than a multiple of it. Give 11 or 23.",
        ),
        ({"divisions": "7", "by": "plate"}, "circles: are missing"),
        ({"divisions": "7", "by": "direct"}, "direct: is missing"),
        ({"divisions": "7", "span": "400deg"}, "is more than one turn"),
    ],
)
def test_what_cannot_be_is_said(values: dict[str, Any], words: str) -> None:
    given_values = {"depth": "5mm"} if values.get("make") != "lines" else {}
    merged = {key: value for key, value in {**given_values, **values}.items() if value is not None}
    content = {"stepcut": 1, "machine": "metric", "title": "case", "divide": merged}
    with pytest.raises(StepcutError, match=words):
        recipes.job(recipes.from_content(content)).plan  # noqa: B018  # it is solved when it is asked for


def test_the_card_says_what_a_vernier_reads() -> None:
    # Five minutes by twelve divisions over 23 degrees, as protractors with a long vernier have it: common practice, no source.
    plan = plan_of(vernier="12", main="1deg", over="23", make="lines", line="4mm")
    head = dict(card(plan, Heading(date="2026-01-01")).words.head)
    assert head["Vernier"] == "12 divisions over 23°, reads 0°05'"
    assert "Vernier" not in dict(card(plan_of(divisions="7"), Heading(date="2026-01-01")).words.head)


@pytest.mark.parametrize("turning", ["clockwise", "anticlockwise"])
def test_the_arrow_on_the_left_points_up_where_the_table_turns_clockwise(turning: str) -> None:
    made = drawing.part(replace(plan_of(divisions="7"), turning=turning))
    assert made is not None
    (head,) = re.findall(r'<polygon points="([^"]+)"', made.svg)
    tip = [float(pair.split(",")[1]) for pair in head.split()]
    (left,) = [row.split() for row in re.findall(r'<polyline points="([^"]+)"', made.svg) if len(row.split()) > 4]
    ends = [float(left[k].split(",")[1]) for k in (0, -1)]
    assert (max(tip) < sum(ends) / 2) is (turning == "clockwise")


def test_where_only_the_start_is_past_a_turn_it_is_the_start_that_is_named() -> None:
    with pytest.raises(StepcutError, match=r"start = 400deg: is more than one turn\. Give at most 360 degrees\."):
        plan_of(divisions="7", start="400deg")


def test_the_card_tells_places_left_out_and_what_must_be_clear_before_the_table_turns() -> None:
    lines = {"make": "lines", "line": "3mm", "divisions": "20"}

    def told(**values: str) -> tuple[str, bool, bool]:
        made = card(plan_of(**values), Heading(date="2026-01-01"))
        said = [act.text.upper() for act in made.acts]
        clear = (any(text.startswith(words) for text in said) for words in ("TOOL OFF THE PART", "CUTTER UP CLEAR"))
        return dict(made.words.head)["Divide"], *clear  # type: ignore[return-value]  # two of them

    assert told(**lines)[0] == "20 lines"
    assert told(**lines, skip="4,8")[0] == "18 lines of 20 places"
    assert told(**lines)[1:] == (True, False)
    assert told(divisions="7")[1:] == (False, True)


@pytest.mark.parametrize(
    "values",
    [
        {"angles": "0deg, 17.5deg, 90deg"},
        {"divisions": "12", "skip": "4"},
        {"divisions": "100", "make": "lines", "line": "3mm", "number": "1"},
    ],
)
def test_which_way_the_places_run_round_the_part_is_said_where_it_counts(values: dict[str, str]) -> None:
    """The part turned back by what the table had turned at each mark, in the plane: what stood under the tool then lies there on it."""
    plan = plan_of(**values)
    set_up = dict(card(plan, Heading(date="2026-01-01")).words.set_up)
    turned = next(way for what, way in set_up.items() if what.startswith("Table turns to each mark"))
    sense = {"CLOCKWISE": -1, "ANTICLOCKWISE": 1}[turned]
    tool, first, second = 1j, *(math.radians(plan.first.value(stop.first)) for stop in plan.stops[:2])
    on_part = [tool * cmath.exp(-1j * sense * at) for at in (first, second)]
    runs = "ANTICLOCKWISE" if (on_part[1] / on_part[0]).imag > 0 else "CLOCKWISE"
    said = {what: way for what, way in set_up.items() if what.startswith("So that on the part, facing it, its ")}
    assert list(said.values()) == [runs]
    assert ("numbers grow" if "number" in values else "places follow each other") in next(iter(said))


def test_even_places_all_round_may_run_either_way() -> None:
    set_up = card(plan_of(divisions="12"), Heading(date="2026-01-01")).words.set_up
    assert not any("on the part" in what for what, _ in set_up)


def test_with_the_worm_out_nothing_is_said_of_the_crank() -> None:
    """A direct plate turns with the spindle, and the crank turns nothing then: common practice, no source."""
    plan = plan_of(every="10deg", span="90deg", by="direct", direct="36")
    made = card(plan, Heading(date="2026-01-01"))
    prepared = [act.text for act in acts(plan) if act.kind == "prepare"]
    assert any("Worm out, the direct plate's pin in the hole called 0" in text for text in prepared)
    turns = [act.text for act in acts(plan) if act.kind == "turn"]
    told = " ".join([*prepared, *turns, *made.cycle, made.machine_line, made.overshot])
    assert "crank" not in told and "worm out" in told.lower()
    assert made.machine_line.endswith("; worm out, direct plate 10° a hole; MM")  # 36 holes
    assert made.overshot.startswith(
        "Past its hole, not cut? Cutter clear, pin out, table back by hand, pin home in the hole;"
    )
    assert turns[:2] == [
        "The table stays: rim reads 0°, hole 0 of 36.",
        "Pin out, table by hand 1 space, land on hole 1 of 36; rim then reads 10°.",
    ]
    # Where the worm is in, the crank is what the hands turn.
    geared = card(plan_of(every="10deg", span="90deg", by="rim"), Heading(date="2026-01-01"))
    assert "; crank 4° a turn;" in geared.machine_line and geared.overshot.startswith(
        "Overshot, not cut? Back 1/4 turn"
    )
    assert "1 space " in f"{made.lines[1].first.turns} "
