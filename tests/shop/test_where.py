"""Finding one's place on every example, and what to do when something went wrong."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stepcut import recipes
from stepcut.cli import show
from stepcut.plan import Plan, Refused, Stop
from stepcut.shop.finding import Place, find
from stepcut.shop.recover import go_on, too_deep
from tests.conftest import Run
from tests.shops import inches

PLANS: dict[str, Plan] = {}


def plan_of(name: str) -> Plan:
    if name not in PLANS:
        PLANS[name] = show.solved(recipes.job(recipes.load(name)))
    return PLANS[name]


def reads_as(plan: Plan, at: Fraction, depth: Fraction) -> tuple[str, set[int]]:
    """What a pair of readings means, looked up cut by cut: cut, turned but not set, or set but not turned; and at which cuts."""
    turn = 360 if plan.first.angular else 10**6
    rows = [(stop.n, plan.first.value(stop.first), plan.second.value(stop.second)) for stop in plan.stops]
    pairs = list(zip([(0, None, Fraction(0)), *rows], rows, strict=False))
    found = {
        "at": {n for _, (n, a, d) in pairs if (a - at) % turn == 0 and d == depth},
        "moved": {n for (_, _, b), (n, a, _) in pairs if (a - at) % turn == 0 and b == depth},
        "set": {n for (_, b, _), (n, _, d) in pairs if b is not None and (b - at) % turn == 0 and d == depth},
    }
    return next((state, numbers) for state, numbers in found.items() if numbers)


NAMES = [path.stem for path in recipes.shipped() if recipes.load(path.stem).values.get("by", "steps") == "steps"]


@given(name=st.sampled_from(NAMES), at=st.floats(0, 1, exclude_max=True), turns=st.integers(-1, 1))
def test_every_stop_and_every_half_done_stop_is_found(name: str, at: float, turns: int) -> None:
    plan = plan_of(name)
    k = int(at * len(plan.stops))
    stop = plan.stops[k]
    angular = plan.first.angular
    round_once = Fraction(360) if angular else None
    first = plan.first.value(stop.first) + (360 * turns if angular else 0)
    second = plan.second.value(stop.second)

    def names(place: Place) -> set[int]:
        return {place.stop.n, *place.others}

    def looked_up(at: Fraction, depth: Fraction) -> tuple[str, set[int]]:
        place = find(plan.stops, plan.first, plan.second, at, depth, round_once)
        assert (place.state, names(place)) == reads_as(plan, at, depth)
        return place.state, names(place)

    state, numbers = looked_up(first, second)
    assert state == "at"
    assert stop.n in numbers
    assert stop.n in names(find(plan.stops, plan.first, plan.second, first, None, round_once))
    assert stop.n in names(find(plan.stops, plan.first, plan.second, None, second, round_once))
    before = plan.second.value(plan.stops[k - 1].second) if k else Fraction(0)
    looked_up(first, before)  # turned, not yet set
    if k:
        looked_up(plan.first.value(plan.stops[k - 1].first), second)  # set before it is turned


def test_a_plan_with_uneven_steps_is_among_the_examples() -> None:
    plan = plan_of("valve-lift-plate")
    steps = {b.first - a.first for a, b in zip(plan.stops, plan.stops[1:], strict=False)}
    assert len(steps) > 3


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--table", "70deg", "--depth", "0.0450in"], "Cut 7 of 28: turned, and depth is set."),
        (["--table", "70deg", "--depth", "0.0385in"], "Cut 7 of 28: turned, not cut; depth still stands at the cut before."),
        (["--table", "60deg", "--depth", "0.0450in"], "Between cuts 6 and 7: depth is set for cut 7, rim still stands at cut 6."),
        (["--table", "60deg", "--depth", "0.0450in"], "one step low by 0.0065 in; the leave does not cover it, by 0.0044 in."),
        (["--table", "63deg"], "Between cuts 6 and 7: the readings fit no cut."),
        (["--depth", "0.0385in"], "depth is that of cut 6 of 28; rim must read 60°."),
        (["--depth", "0.0385in"], "The same readings also stand at cut 20."),
        (["--table", "2.5 cranks"], "rim is that of cut 1 of 28; depth must read 0.0060."),
        (["--table", "60"], "rim is that of cut 6 of 28; depth must read 0.0385."),  # a rim shows degrees and nothing else
    ],
)  # fmt: skip
def test_where_says_what_to_do_next(run: Run, arguments: list[str], words: str) -> None:
    assert words in run("where", "sluice-clamp-ramp", *arguments).stdout


def test_where_reads_the_dial_that_counts_down(run: Run) -> None:
    # It rises anticlockwise on a rim that counts up clockwise: the rim reads 360 less the angle.
    plan = plan_of("paddle-latch-ramps")
    rim = 360 - plan.first.value(plan.stops[0].first)
    done = run("where", "paddle-latch-ramps", "--table", f"{rim}deg")
    assert "rim is that of cut 1 of" in done.stdout


def test_where_a_rim_that_falls_fits_no_cut_its_neighbours_are_named(run: Run) -> None:
    # Ten degrees a cut: tightened the other way, cut 6 stands at 300 degrees and cut 7 at 290.
    falls = ("where", "sluice-clamp-ramp", "--set", "tightens=anticlockwise")
    between = run(*falls, "--table", "297deg")
    assert between.stdout.startswith("Between cuts 6 and 7: the readings fit no cut.\n")
    # Turned twice, the depth left where it was.
    apart = run(*falls, "--table", "290deg", "--depth", "0.0320in")
    assert apart.stdout.startswith("rim is that of cut 7, depth that of cut 5: together the readings fit no cut.")
    assert "Next is" not in apart.stdout


def test_where_reads_a_diameter_dial(run: Run) -> None:
    plan = plan_of("bollard-pin-taper")
    stop = plan.stops[9]
    x, z = 2 * plan.second.value(stop.second), plan.first.value(stop.first)
    done = run("where", "bollard-pin-taper", "--z", f"{float(z)}mm", "--x", f"{float(x)}mm")
    assert done.stdout.startswith("Cut 10 of")


def test_where_a_radius_is_read_for_a_diameter_it_is_said(run: Run) -> None:
    plan = plan_of("bollard-pin-taper")
    stop = plan.stops[9]
    radius, z = plan.second.value(stop.second), plan.first.value(stop.first)
    done = run("where", "bollard-pin-taper", "--z", f"{float(z)}mm", "--x", f"{float(radius)}mm")
    assert "x is half of what cut 10 has: x of this card is the DIAMETER." in done.stdout
    assert done.returncode == 2


def test_a_small_overcut_is_covered_by_the_leave() -> None:
    plan = plan_of("sluice-clamp-ramp")
    stop = plan.stops[6]
    damage = too_deep(plan, 7, plan.second.value(stop.second) + inches("0.002"))
    assert damage.covered
    assert damage.lower == 0
    assert damage.over == pytest.approx(0.002 * 25.4)


def test_a_deep_overcut_lowers_the_whole_ramp_and_the_lowered_plan_is_clear(run: Run) -> None:
    plan = plan_of("sluice-clamp-ramp")
    found = plan.second.value(plan.stops[6].second) + inches("0.010")
    damage = too_deep(plan, 7, found)
    assert not damage.covered
    lowered = show.solved(
        recipes.job(
            recipes.load("sluice-clamp-ramp").resized({"start-depth": f"{float(inches('0.002') + damage.lower)}mm"})
        )
    )
    at = plan.details.places[6].at
    assert float(found) <= lowered.details.bench.task.touch(at).depth + 1e-9
    done = run("recover", "sluice-clamp-ramp", "--cut", "7", "--found", "0.055in")
    said = " ".join(done.stdout.split())
    assert (
        said.index("1. Leave it")
        < said.index("2. Lower this part by 0.0080 in: start-depth 0.01in")
        < said.index("3. Lower the mate")
    )


def test_another_cutter_goes_on_with_the_tables_zeros(run: Run) -> None:
    recipe = recipes.load("sluice-clamp-ramp")
    old = show.solved(recipes.job(recipe))
    new = show.solved(recipes.job(recipe.resized({"cutter": "0.36in"})))
    rest = go_on(old, new, 9)
    assert [stop.n for stop in rest.stops] == list(range(9, 29))
    assert rest.changed == ()  # with the edge on the line only the set-over changes
    centre = recipe.resized({"on-line": "centre", "span": "120deg"})
    rest = go_on(show.solved(recipes.job(centre)), show.solved(recipes.job(centre.resized({"cutter": "0.3in"}))), 9)
    assert rest.changed == tuple(range(1, 9))
    done = run("recover", "sluice-clamp-ramp", "--from", "9", "--cutter", "0.36in", "--all")
    assert "Offset changes from 0.1875 in to 0.1800 in downhill" in done.stdout
    assert "depth 0 is lost" in done.stdout
    lines = [line.split()[0] for line in done.stdout.splitlines() if line.count("[  ]") == 2]
    assert lines == [str(n) for n in range(9, 29)]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ([], "from: or another mistake is wanted, one of the six. Give --from 9 --cutter 0.498in, --cut 7 --found 0.055in, --lost 7, --slipped 7, --wrong-way 3 or --off zero."),
        (["--from", "99", "--cutter", "3/8in"], "from = 99: is past the last cut, 28. Give the number of a cut."),
        (["--from", "9"], "cutter: is missing. Give the measured size of the new cutter."),
        (["--cut", "9"], "found: is missing. Give the depth that was measured, such as 0.055in."),
    ],
)  # fmt: skip
def test_recovering_asks_for_what_it_needs(run: Run, arguments: list[str], message: str) -> None:
    done = run("recover", "sluice-clamp-ramp", *arguments)
    assert (done.returncode, done.stderr.strip()) == (2, message)


def test_where_needs_a_reading(run: Run) -> None:
    assert run("where", "sluice-clamp-ramp").returncode == 2


def test_a_reading_half_a_division_off_still_is_that_stop() -> None:
    plan = plan_of("sluice-clamp-ramp")
    stop = plan.stops[6]
    at, depth = plan.first.value(stop.first), plan.second.value(stop.second)
    for a, d in ((plan.first.division / 2, 0), (-plan.first.division / 2, 0), (0, plan.second.division / 2)):
        assert (find(plan.stops, plan.first, plan.second, at + a, depth + d, Fraction(360)).stop.n) == 7
        assert (find(plan.stops, plan.first, plan.second, at + a, depth + d, Fraction(360)).state) == "at"
    off = find(plan.stops, plan.first, plan.second, at + plan.first.division * Fraction(51, 100), depth, Fraction(360))
    assert off.state == "between"


def test_points_cannot_say_what_a_stop_too_deep_does() -> None:
    plan = plan_of("paddle-quadrant-arc-slot")
    with pytest.raises(Refused) as refused:
        too_deep(plan, 1, Fraction(1))
    assert refused.value.code == "only-ramps"


def test_stops_are_cut_again_where_the_new_cutter_takes_more() -> None:
    def plan(*places: tuple[int, int], axis: str = "depth") -> Plan:
        stops = tuple(Stop(n, 1, first, second) for n, (first, second) in enumerate(places, 1))
        axes = ("table" if axis == "depth" else "z", axis)
        return SimpleNamespace(stops=stops, axes=axes, target={}, details=None)  # type: ignore[return-value]  # no more is looked at

    old = plan((10, 5), (20, 6), (30, 7), (40, 8), (50, 9))
    # The first as it was; the second deeper; the third less deep.
    new = ((10, 5), (20, 7), (30, 6), (40, 8), (50, 9))
    rest = go_on(old, plan(*new), 5)
    assert (rest.changed, rest.deeper, rest.anew) == ((2, 3), (2,), False)
    assert [stop.n for stop in rest.stops] == [5]
    # Where a reading is a radius the smaller one is the deeper.
    rest = go_on(plan(*((stop.first, stop.second) for stop in old.stops), axis="x"), plan(*new, axis="x"), 5)
    assert (rest.changed, rest.deeper) == ((2, 3), (3,))


def test_two_cuts_that_go_back_are_read_in_their_order() -> None:
    plan = plan_of("sluice-clamp-ramp")
    stops = (Stop(1, 1, 100, 20), Stop(2, 1, 50, 30))
    division = plan.first.division
    place = find(stops, plan.first, plan.second, plan.first.value(75) + division / 5, None, None)
    assert (place.state, place.stop.n) == ("between", 2)
