"""Change gears for a lead, and which of them can be mounted."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from stepcut.shop.gears import order, trains
from tests.conftest import Run


def test_leads_of_change_gears() -> None:
    from stepcut.shop.gears import machine_lead, trains

    inch = Fraction(254, 10)
    # Common to all handbooks (from memory): 4 threads per inch and 40:1 give a lead of 10 in.
    own = machine_lead(Fraction(40), inch / 4)
    assert own == 10 * inch
    found = trains(12 * inch, own, [24, 24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100])
    assert found[0].lead == 12 * inch
    for train in found:
        top, bottom = math.prod(train.driven), math.prod(train.drivers)
        assert train.lead == own * Fraction(top, bottom)
    # Brown & Sharpe, "Practical Treatise on Milling and Milling Machines" (1914), p. 63-64: with the first gear on the spindle
    # the same gears give a fortieth of the lead: 6.160 and 10.467 in.
    hand = [24, 24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100]
    for lead, short in (("6.160", "0.154"), ("10.467", "0.261675")):
        geared = trains(Fraction(lead) * inch, own, hand)
        spindle = trains(Fraction(short) * inch, machine_lead(Fraction(1), inch / 4), hand)
        assert [(t.drivers, t.driven) for t in spindle] == [(t.drivers, t.driven) for t in geared]
        assert float(spindle[0].lead / inch) == pytest.approx(float(short), abs=6e-5)
    # By hand: 10 x 44 x 56 / (40 x 100) = 6.160, gears that are on hand.
    best = trains(Fraction("6.160") * inch, own, hand)[0]
    assert (set(best.driven), set(best.drivers), best.lead / inch) == ({44, 56}, {40, 100}, Fraction("6.160"))


def across_a_shaft(a: int, b: int, c: int, d: int) -> bool:
    """Whether a gear of the stud lies across the screw's or the worm's shaft: discs of 2 mm a tooth pair, drawn in the plane."""
    from shapely import Point

    screw, stud, worm = Point(0, 0), Point(a + b, 0), Point(a + b + c + d, 0)  # module 2 mm: radius = teeth
    shaft = 12.9  # mm: a 25 mm shaft with its key; each gear is one module larger than its pitch circle
    return stud.buffer(c + 2, 64).intersects(screw.buffer(shaft, 64)) or stud.buffer(b + 2, 64).intersects(
        worm.buffer(shaft, 64)
    )


@pytest.mark.parametrize("lead", [137, 60, 411])
def test_the_nearest_train_that_can_be_mounted_is_found(lead: int) -> None:
    from itertools import permutations

    from stepcut.shop.gears import trains

    gears = [24, 28, 32, 40, 86, 100]
    own = Fraction(254)
    best = min(
        [
            abs(own * Fraction(b * d, a * c) - lead)
            for a, b, c, d in permutations(gears, 4)
            if not across_a_shaft(a, b, c, d)
        ]
        + [abs(own * Fraction(b, a) - lead) for a, b in permutations(gears, 2)]
    )
    found = trains(Fraction(lead), own, gears, best=50)
    assert abs(found[0].lead - lead) == best
    for train in found:
        if len(train.drivers) == 2:
            assert not across_a_shaft(train.drivers[0], train.driven[0], train.drivers[1], train.driven[1])


def test_gears_that_do_not_come_near_say_so_and_end_with_status_2(run: Run) -> None:
    # 4 threads per inch and 40:1 give 10 in with equal gears; 24 and 48 reach 5, 10 or 20 in and nothing at 12.
    far = run("gears", "--lead", "12in", "--gears", "24,48", "--pitch", "0.25in", "--ratio", "40:1")
    assert far.returncode == 2
    assert "NO MATCH: the nearest that can be mounted is 58 % off" in far.stdout
    # On either side of one part in a hundred: equal gears give 10 in, 0.9 % off 9.91 in and 1.01 % off 9.90 in.
    assert run("gears", "--lead", "9.91in", "--gears", "24,24", "--pitch", "0.25in", "--ratio", "40").returncode == 0
    assert run("gears", "--lead", "9.90in", "--gears", "24,24", "--pitch", "0.25in", "--ratio", "40").returncode == 2


def test_a_longer_lead_turns_too_little(run: Run) -> None:
    """By hand: 28 x 44 / (64 x 72) of 450 mm are 120.3125 mm, and 60 mm of it 179.532 degrees where 180 are wanted."""
    told = run("gears", "--lead", "120mm", "--length", "60mm", "--machine", "metric").stdout
    assert "1. lead 120.0000 mm, off nothing; over 60.000 mm it turns as wanted" in told
    assert "lead 120.3125 mm, off 0.3125 mm; over 60.000 mm it turns 0.468° too little" in told
    assert pytest.approx(0.468, abs=5e-4) == 180 - 60 / 120.3125 * 360
    # 32 x 40 / (86 x 56) of 450 mm are 119.6013 mm.
    assert "lead 119.6013 mm, off -0.3987 mm; over 60.000 mm it turns 0.600° too far" in told


def test_five_trains_are_listed_unless_more_are_asked_for() -> None:
    gears = [24, 28, 32, 40, 44, 48, 56, 64, 72, 86, 100]
    five, nine = (trains(Fraction(150), Fraction(254), gears, *best) for best in ((), (9,)))
    assert (len(five), len(nine)) == (5, 9)
    assert nine[:5] == five


def test_four_gears_smaller_than_their_shafts_are_no_train() -> None:
    """By hand: whatever the order, 5 teeth and 5 do not reach over 5 and half a shaft."""
    assert order((5, 5), (5, 5)) is None
    assert order((100, 24), (24, 100)) is not None


def test_equal_gears_give_the_machine_s_own_lead_and_no_train_of_four_has_a_size_on_both_sides() -> None:
    """The same size as driver and as driven does nothing but take up two shafts; common practice, no source."""
    found = trains(Fraction(100), Fraction(100), (24, 24, 48, 56, 72, 86), best=40)
    assert (found[0].drivers, found[0].driven, found[0].lead) == ((24,), (24,), 100)
    assert any(len(train.drivers) == 2 for train in found)
    assert all(not set(train.drivers) & set(train.driven) for train in found if len(train.drivers) == 2)
