"""After a mistake: the part is cut again in numpy, as it was really cut, and what was said of it is measured there."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut import recipes
from stepcut.acts import Card, Heading
from stepcut.cards.recover_text import go_on_lines, too_deep_lines
from stepcut.plan import Plan, Refused
from stepcut.routine import card
from stepcut.shop.recover import go_on, too_deep
from stepcut.voice import Voice
from tests import shops

RING = "sluice-clamp-ramp"
R_IN, R_OUT = 1.40 * 25.4 / 2, 1.75 * 25.4 / 2


def plan_of(name: str, **sets: str) -> Plan:
    return recipes.job(recipes.load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


def card_of(plan: Plan) -> Card:
    return card(plan, Heading(unit="mm"))


def cut(
    stops: list[tuple[float, float]], cutter: float, angles: NDArray[np.float64], radius: float
) -> NDArray[np.float64]:
    """Depth over a circle after cuts across the wall, the edge on the centre line: 0 <= r sin <= cutter, in front of it."""
    depth = np.zeros_like(angles)
    for at, z in stops:
        off = np.radians(angles - at)
        y = radius * np.sin(off)
        under = (np.cos(off) > 0) & (y >= -1e-9) & (y <= cutter)
        depth = np.where(under, np.maximum(depth, z), depth)
    return depth


def wanted(angles: NDArray[np.float64]) -> NDArray[np.float64]:
    """The example ring: 0.090 in in 140 degrees from 0.002 in, two ramps; nothing is wanted between them."""
    along = angles % 180
    return np.where(along <= 140, 25.4 * (0.002 + 0.090 * along / 140), np.nan)


def places(plan: Plan) -> list[tuple[float, float]]:
    return [(float(plan.first.value(s.first)), float(plan.second.value(s.second))) for s in plan.stops]


@pytest.mark.parametrize("n", [1, 14, *(pytest.param(n, marks=pytest.mark.long) for n in (7, 13, 20))])
@pytest.mark.parametrize("thou", [3, pytest.param(10, marks=pytest.mark.long), 25])
def test_what_is_lost_when_it_is_left_is_what_the_part_shows(n: int, thou: int) -> None:
    plan = plan_of(RING)
    found = plan.second.value(plan.stops[n - 1].second) + Fraction(254, 10_000) * thou
    damage = too_deep(plan, n, found)
    stops = places(plan)
    stops[n - 1] = (stops[n - 1][0], float(found))
    angles = np.arange(0, 360, 0.02) + 0.01
    radii = np.linspace(R_IN, R_OUT, 21)
    low = np.array([cut(stops, 9.525, angles, radius) > wanted(angles) + 1e-9 for radius in radii])
    share = np.average(low[:, ~np.isnan(wanted(angles))].mean(axis=1), weights=radii)
    assert damage.lost == pytest.approx(share, abs=0.001)
    assert damage.past_end == (n == 14)  # the last cut stands at the end of its ramp
    if share > 0.001:
        begin = 180.0 * (plan.stops[n - 1].start - 1)
        somewhere = angles[low.any(axis=0)]
        assert damage.stretch == pytest.approx((somewhere.min() - begin, somewhere.max() - begin), abs=0.03)


@pytest.mark.parametrize("n", [3, 7, 13])
@pytest.mark.parametrize("thou", [4, 10])
def test_lowered_by_what_was_said_nothing_stands_below_the_surface(n: int, thou: int) -> None:
    plan = plan_of(RING)
    found = plan.second.value(plan.stops[n - 1].second) + Fraction(254, 10_000) * thou
    damage = too_deep(plan, n, found)
    done = places(plan)[:n]
    done[n - 1] = (done[n - 1][0], float(found))
    angles = np.arange(0, 180, 0.02) + 0.01
    over = wanted(angles) + float(damage.lower) - cut(done, 9.525, angles, R_IN)
    assert np.nanmin(over) >= -1e-9
    # One division less would not do.
    assert np.nanmin(over) < float(plan.second.division)


def test_the_handle_turns_so_much_further() -> None:
    # By hand: 0.008 in at 0.090 in in 140 degrees is 12.44 degrees; both parts lowered, twice that.
    plan = plan_of(RING)
    found = plan.second.value(plan.stops[6].second) + Fraction(254, 1000)
    text = too_deep_lines(too_deep(plan, 7, found), 7, plan, "0.01in", Voice("in", "minutes"))
    assert "the handle turns 12.4° further" in text[2]
    assert "the handle then turns 24.9° further" in text[3]


@pytest.mark.parametrize("order", ["by-ramp", "by-depth"])
@pytest.mark.parametrize("begin", [2, 9, 15, 20])
def test_another_cutter_leaves_out_no_cut(order: str, begin: int) -> None:
    """Cut the first part with one cutter and the rest with another, of another number of cuts; nothing stands too high."""
    old, new = plan_of(RING, order=order), plan_of(RING, order=order, cutter="0.30in", step="7deg")
    assert len(old.stops) != len(new.stops)
    rest = go_on(old, new, begin)
    both = places(old)[: begin - 1]
    later = [(float(new.first.value(s.first)), float(new.second.value(s.second))) for s in rest.stops]
    angles = np.arange(0, 360, 0.02) + 0.01
    for radius in (R_IN, R_OUT):
        depth = np.maximum(cut(both, 9.525, angles, radius), cut(later, 0.30 * 25.4, angles, radius))
        stock = wanted(angles) - depth
        assert np.nanmin(stock) >= float(old.leave) - 0.0508 - 1e-9
        assert np.nanmax(stock) <= max(old.result.stock_max, new.result.stock_max) + float(old.second.division) + 1e-9


@pytest.mark.parametrize("order", ["by-ramp", "by-depth"])
def test_a_ball_after_a_flat_still_goes_deeper_short_of_where_the_flat_stood(order: str) -> None:
    """A ball lies deepest under its middle: a cut that begins before the last flat one may have to be deeper than that."""
    old = plan_of(RING, order=order, leave="0in")
    new = plan_of(RING, order=order, leave="0in", cutter="3/8in ball", step="2deg")
    radius = 0.1875 * 25.4
    angles = np.arange(0, 360, 0.05) + 0.025
    for begin in (2, 3, 6):
        rest = go_on(old, new, begin)
        for wall in (R_IN, R_OUT):
            depth = cut(places(old)[: begin - 1], 9.525, angles, wall)
            for s in rest.stops:
                off = np.radians(angles - float(new.first.value(s.first)))
                beside = wall * np.sin(off) - radius  # the edge on the centre line, the middle in front of it
                under = (np.cos(off) > 0) & (np.abs(beside) < radius)
                ball = radius - np.sqrt(np.maximum(0.0, radius**2 - beside**2))
                depth = np.where(under, np.maximum(depth, float(new.second.value(s.second)) - ball), depth)
            stock = wanted(angles) - depth
            assert (
                np.nanmax(stock) <= max(old.result.stock_max, new.result.stock_max) + float(old.second.division) + 1e-9
            )


def test_a_turned_part_cut_too_deep_is_told_by_its_diameter() -> None:
    plan = plan_of("bollard-pin-taper")
    stop = plan.stops[8]
    damage = too_deep(plan, 9, plan.second.value(stop.second) - Fraction(1, 5))
    # By hand: 0.2 mm too small on the radius, 0.05 mm was left on purpose.  Cut 9 ends at z 78.36 with x 29.46: the middle of its nose
    # would stand at 76.86 and 14.53 + 1.5, where the cone is 12.75 + 76.86 / 40 = 14.6715 wide, and (16.03 - 14.6715) cos 1.432 - 1.5 = -0.1419.
    assert damage.over == pytest.approx(0.2)
    assert 0.14 < damage.below <= 0.15
    text = too_deep_lines(damage, 9, plan, "", Voice("mm"))
    assert text[1].startswith("1. Leave it: a low place of 0.142 mm")
    assert "(0.300 mm on the diameter)" in text[2]
    with pytest.raises(Refused):
        too_deep(plan_of("paddle-quadrant-arc-slot"), 3, Fraction(1))


@pytest.mark.parametrize(("n", "wanted"), [(5, 3), (6, 3), (7, 4), (10, 5), (16, 3), (20, 5)])
def test_both_ends_of_a_landing_are_measured_against_its_own_height(n: int, wanted: int) -> None:
    """The list of flats says 0 to 5 mm, once round each ramp: two cuts a landing, the second at the end of its sweep."""
    plan = plan_of("spring-preload-collar")
    damage = too_deep(plan, n, Fraction("5.5"))
    assert damage.below == pytest.approx(5.5 - wanted)
    assert damage.over == pytest.approx(5.5 - wanted + float(plan.leave))


def test_a_groove_that_would_change_its_width_is_said() -> None:
    old = plan_of("oil-groove-helix")
    new = plan_of("oil-groove-helix", cutter="5mm")
    if new.cutter.diameter == old.cutter.diameter:
        new = plan_of("oil-groove-helix", cutter="4mm")
    lines = go_on_lines(card_of(old), new, go_on(old, new, 9), 9, Voice("mm"))
    # The first is what the card of the groove has measured with a caliper; of 4 mm stands the flat's own.
    wide = f"{old.details.width:.3f} mm before and 4.000 mm after" if new.cutter.kind == "flat" else ""
    assert any(line.startswith("THE GROOVE CHANGES ITS WIDTH at cut 9") and wide in line for line in lines)
    same = go_on_lines(card_of(old), old, go_on(old, old, 9), 9, Voice("mm"))
    assert not any("WIDTH" in line for line in same)


def test_divided_holes_and_slots_are_as_wide_as_their_cutters() -> None:
    """A hole that was drilled or milled 4 mm wide stands so; those after it come out as their own cutter: a fact, no source."""

    def told(begin: int, **made: str) -> list[str]:
        old, new = (shops.plan_of("divide", divisions="12", **made, cutter=size) for size in ("4mm", "5mm"))
        return [
            line
            for line in go_on_lines(card_of(old), new, go_on(old, new, begin), begin, Voice("mm"))
            if "AS WIDE AS" in line
        ]

    wide = "IS AS WIDE AS ITS CUTTER: 4 mm up to cut 6, 5 mm from cut 7 on. Cut from 1 again for one width."
    assert told(7, make="holes", depth="3mm") == [f"THE HOLE {wide}"]
    assert told(7, make="slots", depth="3mm") == [f"THE SLOT {wide}"]
    assert told(1, make="slots", depth="3mm") == []


def test_with_nothing_cut_yet_all_of_the_new_plan_is_still_to_cut() -> None:
    plan = plan_of(RING)
    assert go_on(plan, plan, 1).stops == plan.stops
    assert go_on(plan, plan, 1).changed == ()
