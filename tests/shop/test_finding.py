"""Finding one's place by two readings: three cuts on a table, three on a slide that reads less and less, worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stepcut.machine import Scale
from stepcut.plan import Stop
from stepcut.shop.finding import Place, find, with_ticks

RIM = Scale("rim", Fraction(1), angular=True, backlash=Fraction(3, 2))
SLIDE = Scale("slide", Fraction(1, 10))
DEPTH = Scale("depth", Fraction(1, 100))
ROUND = Fraction(360)
# 10, 20 and 30 degrees, 0.10, 0.20 and 0.30 mm deep; the same again half a turn on, for another ramp.
ONE = [Stop(1, 1, 10, 10), Stop(2, 1, 20, 20), Stop(3, 1, 30, 30)]
TWO = [*ONE, Stop(4, 2, 190, 10), Stop(5, 2, 200, 20), Stop(6, 2, 210, 30)]
FALLING = [Stop(1, 1, 300, 5), Stop(2, 1, 200, 15), Stop(3, 1, 100, 25)]


def on_table(at: str | None, depth: str | None, stops: list[Stop] = ONE) -> Place:
    readings = [None if text is None else Fraction(text) for text in (at, depth)]
    return find(stops, RIM, DEPTH, *readings, ROUND)


def seen(place: Place) -> tuple[str, int, int | None, tuple[int, ...]]:
    return place.state, place.stop.n, place.before.n if place.before else None, place.others


@pytest.mark.parametrize(
    ("at", "depth", "found"),
    [
        ("20", "0.2", ("at", 2, 1, ())), ("10", "0.1", ("at", 1, None, ())),
        # Half a division off either way is still the mark's, more is not.
        ("20.5", "0.205", ("at", 2, 1, ())), ("19.5", "0.195", ("at", 2, 1, ())),
        ("20.51", "0.2", ("between", 3, 2, ())), ("20", "0.2051", ("between", 3, 2, ())),
        # The table is the cut's, the depth that of the cut before; nought before the first.
        ("20", "0.1", ("moved", 2, 1, ())), ("10", "0", ("moved", 1, None, ())), ("30", "0.2", ("moved", 3, 2, ())),
        ("10", "0.005", ("moved", 1, None, ())), ("20", "0.105", ("moved", 2, 1, ())), ("10", "0.0051", ("between", 2, 1, ())),
        # The depth is the cut's, the table still that of the cut before.
        ("10", "0.2", ("set", 2, 1, ())), ("20", "0.3", ("set", 3, 2, ())),
        ("15", "0.15", ("between", 2, 1, ())), ("35", "0.5", ("between", 3, 3, ())), ("5", "0.05", ("between", 1, None, ())),
        # One reading was left out.
        ("20", None, ("first-only", 2, 1, ())), (None, "0.2", ("second-only", 2, 1, ())),
        ("25", None, ("between", 3, 2, ())), (None, "0.25", ("between", 3, 2, ())),
        # A rim comes round.
        ("380", "0.2", ("at", 2, 1, ())), ("-340.4", "0.2", ("at", 2, 1, ())),
        # Of a rim that falls while the plan's angles grow: 335 on it is 25 in the plan, 355 is 5, 325 is 35.
        ("-335", "0.25", ("between", 3, 2, ())), ("-355", "0.05", ("between", 1, None, ())), ("-325", None, ("between", 3, 3, ())),
    ],
)  # fmt: skip
def test_two_readings_on_a_table(at: str | None, depth: str | None, found: tuple[object, ...]) -> None:
    assert seen(on_table(at, depth)) == found


def test_readings_that_fit_two_cuts_apart_are_said_to_do_so() -> None:
    # Turned twice, the depth left where it was: the third cut's angle with the first one's depth.
    assert on_table("30", "0.1").apart == (3, 1)
    assert on_table("15", "0.1").apart == on_table("20", "0.25").apart == ()
    # On two ramps alike the cut of the same ramp is meant, not its like half a turn on.
    assert on_table("210", "0.1", TWO).apart == (6, 4)


def test_a_mark_at_nought_is_met_from_both_sides_of_a_turn() -> None:
    stops = [Stop(1, 1, 0, 10), Stop(2, 1, 10, 20)]
    for at in ("0.4", "359.6", "-0.4", "720.5"):
        assert seen(on_table(at, "0.1", stops)) == ("at", 1, None, ())


def test_of_cuts_that_read_alike_the_others_are_named() -> None:
    assert seen(on_table(None, "0.2", TWO)) == ("second-only", 2, 1, (5,))
    assert seen(on_table("190", "0.1", TWO)) == ("at", 4, 3, ())
    assert seen(on_table("190", "0.3", TWO)) == ("moved", 4, 3, ())


def test_on_a_slide_that_reads_less_and_less_the_next_cut_is_the_lower_one() -> None:
    def placed(at: str) -> Place:
        return find(FALLING, SLIDE, DEPTH, Fraction(at), Fraction("0.9"), None)

    assert [seen(placed(at)) for at in ("31", "25", "15", "5")] == [
        ("between", 1, None, ()), ("between", 2, 1, ()), ("between", 3, 2, ()), ("between", 3, 3, ()),
    ]  # fmt: skip
    assert (
        find(FALLING, SLIDE, DEPTH, Fraction(390), Fraction("0.05"), None).state == "between"
    )  # no turn to come round by


def told(at: str, depth: str, ticks: set[tuple[int, str]], stops: list[Stop] = TWO) -> tuple[object, ...]:
    place = on_table(at, depth, stops)
    found = with_ticks(place, stops, RIM, Fraction(at), ROUND, ticks)
    return (
        found.ticked,
        found.place.stop.n,
        found.due.n if found.due else None,
        found.slack,
        found.clear_first,
        found.fits,
    )


CUT_2 = {(n, what) for n in (1, 2) for what in ("turned", "cut")}
ALL = {(n, what) for n in range(1, 7) for what in ("turned", "cut")}


@pytest.mark.parametrize(
    ("at", "depth", "ticks", "found"),
    [
        ("30", "0.3", CUT_2 | {(3, "turned")}, ("cut-now", 3, 3, 0, True, True)),  # from there it goes to the next ramp
        ("30", "0.3", CUT_2, ("turned-unticked", 3, 3, 0, True, True)),
        ("20", "0.2", CUT_2, ("cut", 2, 3, 0, False, True)),
        ("200", "0.2", CUT_2, ("ahead", 5, 3, 0, True, True)),
        ("20", "0.2", set(), ("unknown", 2, None, 0, False, True)),
        ("30", "0.3", set(), ("unknown", 3, None, 0, True, True)),
        ("210", "0.3", ALL, ("cut", 6, None, 0, False, True)),
        # Slack: half a turn of it and a division more than the mark of the cut that is due; more is not slack.
        ("31.5", "0.25", CUT_2, ("unknown", 4, 3, Fraction(3, 2), True, True)),
        ("32.5", "0.25", CUT_2, ("unknown", 4, 3, Fraction(5, 2), True, True)),
        ("32.6", "0.25", CUT_2, ("unknown", 4, 3, 0, True, False)),
        ("28", "0.25", CUT_2, ("unknown", 3, 3, -2, False, True)),
        ("27", "0.25", CUT_2, ("unknown", 3, 3, 0, False, False)),
    ],
)  # fmt: skip
def test_what_the_ticks_say_of_a_place(
    at: str, depth: str, ticks: set[tuple[int, str]], found: tuple[object, ...]
) -> None:
    assert told(at, depth, ticks) == found


def test_of_two_cuts_that_read_alike_the_ticks_make_one_likelier() -> None:
    def place(ticks: set[tuple[int, str]]) -> tuple[int, tuple[int, ...]]:
        found = with_ticks(on_table(None, "0.2", TWO), TWO, RIM, None, ROUND, ticks)
        return found.place.stop.n, found.place.others

    assert place({(1, "cut")}) == (2, (5,))  # 2 is due
    assert place({(n, "cut") for n in (1, 2)}) == (2, (5,))  # 2 was cut just now
    assert place({(n, "cut") for n in (1, 2, 3, 4)}) == (5, (2,))
    assert place({(n, "cut") for n in (1, 2, 3)}) == (5, (2,))  # 4 is due, and 5 is nearer to it


def test_slack_goes_by_the_way_that_the_scale_counts() -> None:
    place = find(FALLING, SLIDE, DEPTH, Fraction("19.9"), Fraction("0.9"), None)
    found = with_ticks(place, FALLING, SLIDE, Fraction("19.9"), None, {(1, "cut")}, {1, 2, 3})
    assert found.slack == Fraction(1, 10)  # 19.9 is past 20 on the way down
    passes = with_ticks(place, FALLING, SLIDE, Fraction("19.9"), None, {(1, "cut")})
    assert passes.slack == -Fraction(1, 10)  # and short of it for a pass that feeds up to it
    assert with_ticks(place, FALLING, SLIDE, None, None, {(1, "cut")}).slack == 0


def test_a_scale_whose_slack_nobody_told_is_given_two_divisions() -> None:
    """Without a stated backlash a dial a division and a half past the next cut's mark still belongs to that cut."""
    tight = Scale("rim", Fraction(1), angular=True)
    for at, slack in (("21.5", Fraction(3, 2)), ("18.5", -Fraction(3, 2)), ("22.5", 0)):
        place = find(ONE, tight, DEPTH, Fraction(at), Fraction("0.25"), ROUND)
        assert with_ticks(place, ONE, tight, Fraction(at), ROUND, {(1, "cut")}).slack == slack


def test_a_reading_that_stands_at_a_cut_is_no_slack_before_the_next() -> None:
    # Cuts a tenth apart on a carriage that shows tenths, the other reading that of no cut: a radius for a diameter, perhaps.
    tenths, at = [Stop(1, 1, 79, 5), Stop(2, 1, 78, 15), Stop(3, 1, 77, 25)], Fraction("7.8")
    place = find(tenths, SLIDE, DEPTH, at, Fraction("0.9"), None)
    assert with_ticks(place, tenths, SLIDE, at, None, set()).slack == 0
    assert not with_ticks(place, tenths, SLIDE, at, None, set()).fits
