"""Seats for pins at the ends of a ramp, against hand arithmetic and a pin that is laid in by shapely."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from shapely import LineString, Point, Polygon

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.errors import StepcutError
from stepcut.routine import acts, card
from stepcut.shapes.ramp.seats import overlap
from stepcut.shapes.ramp.wanted import Ramp
from tests.outside import front, whole_ramp
from tests.routine.simulated import played

RING: dict[str, Any] = {"outside": "60mm", "bore": "46mm", "rise": "3mm", "span": "120deg", "ramps": "2", "cutter": "6mm", "step": "5deg",
                        "leave": "0mm"}  # fmt: skip


def test_a_seat_lies_at_the_low_end_so_much_below_it() -> None:
    values = {**RING, "seat-low": "8mm", "seat-high": "5mm", "seat-depth": "0.6mm"}
    plan = front.solved("ramp", **values)
    assert plan["target"]["seats"] == [["high", 5.0, 0.6], ["low", 8.0, 3.6]]
    made = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": values})).plan
    high, low, *_ = card(made, Heading(date="2026-01-01")).after
    for row, pin, rims, depth in ((high, 5, ["0°", "180°"], "0.600"), (low, 8, ["120°", "300°"], "3.600")):
        assert row.change is not None and f"{pin} mm ball cutter" in row.change.text and row.change.black
        assert [place.first.reads.text for place in row.places] == rims
        assert row.expect.startswith(depth) and all(place.depths[-1].text == depth for place in row.places)
        assert row.acts == (*row.change.acts, *(act for place in row.places for act in place.acts))


def test_a_seat_stays_clear_of_the_next_ramp_by_the_circle_of_its_pin() -> None:
    # By hand: 3.6 mm under the face an 8 mm cutter stands sqrt(4^2 - 0.4^2) = 3.980 to either side; the bore's 23 mm have turned 60
    # degrees to the next ramp, 19.919 across.  Deeper than its middle it stands its whole 4 mm.
    ring = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "ramp": RING})).plan.details.ramp
    assert overlap(ring, Fraction(8), Fraction(6, 10)) == pytest.approx(3.980 - 19.919, abs=1e-3)
    assert overlap(ring, Fraction(8), Fraction(2)) == pytest.approx(4.000 - 19.919, abs=1e-3)


def test_a_seat_of_half_its_pin_still_lets_the_pin_out() -> None:
    plan = front.solved("ramp", **RING, **{"seat-low": "8mm", "seat-depth": "4mm"})
    assert plan["target"]["seats"] == [["low", 8.0, 7.0]]


@pytest.mark.parametrize("way", ["end", "side"])
def test_the_hands_cut_every_seat_last_with_another_cutter(way: str) -> None:
    """Played on a machine with slack: clear before the change, locked in the cut, as deep as said, in passes of a quarter cutter."""
    values = {**RING, "cut-with": way, "seat-low": "8mm", "seat-high": "5mm", "seat-depth": "2mm"}
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "ramp": values})).plan
    did = [{**act.content(), "to": act.to} for act in acts(plan)]
    played(plan, did)
    changes = [k for k, act in enumerate(did) if act["act"] == "change" and "SEAT" in act["text"]]
    assert [did[k]["text"].split(": ")[1].split(" cutter in")[0] for k in changes] == [
        f"{d} mm{' ball' * (way == 'end')}" for d in (5, 8)
    ]
    axis = plan.axes[1]
    for begin, marks, bottom, passes in ((changes[0], (0.0, 180.0), 2.0, 2), (changes[1], (120.0, 300.0), 5.0, 1)):
        own = did[begin + 1 : next(k for k in range(begin, len(did)) if did[k]["act"] == "measure")]
        assert [float(act["to"]) % 360 for act in own if act["act"] == "turn"] == list(marks)
        depths = [
            float(act["to"])
            for act in own
            if act["axis"] == axis and act["act"] in ("set", "cut") and act["way"] == "working"
        ]
        assert len(depths) == 2 * passes and max(depths) == pytest.approx(bottom, abs=0.006)
        assert [act["act"] for act in own].count("cut") == 2 * passes


def test_a_pin_drops_into_its_seat_by_the_depth_that_was_asked_for() -> None:
    # Unrolled at the bore: the floor of the ramp, less the cutter's circle; a pin of the same size comes down into it.
    plan = front.solved("ramp", **RING, **{"seat-low": "8mm", "seat-depth": "0.6mm"})
    _, pin, bottom = plan["target"]["seats"][0]
    unit = math.radians(1) * 23
    floor = [((at - 120) * unit, -3.0 * at / 120) for at in range(80, 121)] + [(20.0, -3.0)]
    metal = Polygon([*floor, (20, -9), (-40, -9)]).difference(Point(0, pin / 2 - bottom).buffer(pin / 2, 512))
    on_floor = min(
        h / 1000
        for h in range(-9000, 3000)
        if metal.intersection(Point(0, h / 1000 + pin / 2).buffer(pin / 2 - 1e-3)).area < 1e-6
    )
    assert on_floor == pytest.approx(-3.6, abs=0.01)
    assert LineString([(0, 0), (0, -9)]).intersection(metal).bounds[3] == pytest.approx(-bottom, abs=1e-3)


@pytest.mark.parametrize(
    "more",
    [
        {"seat-low": "8mm", "seat-high": "5mm", "seat-depth": "0.6mm"},
        {"seat-low": "8mm", "seat-depth": "0.6mm", "cut-with": "side"},
        {"seat-high": "6mm", "seat-depth": "1mm", "cutter": "5mm ball"},
        {"seat-high": "6mm", "seat-depth": "3mm", "ramps": "1", "leave": "0.1mm"},
    ],
)
def test_what_a_seat_takes_is_no_more_to_file(more: dict[str, str]) -> None:
    """Laid over a raster of the ring with discs in it: nothing is to file in a seat, and less where its edge takes the last stairs."""
    values = {**RING, **more}
    plan = front.solved("ramp", **values)
    bare = front.solved("ramp", **{key: value for key, value in values.items() if not key.startswith("seat")})
    seen, result = whole_ramp.see(plan, fast=True), plan["result"]
    assert result["volume"] < 0.995 * bare["result"]["volume"]
    assert result["stock_min"] == pytest.approx(bare["result"]["stock_min"], abs=1e-9)
    assert result["volume"] == pytest.approx(seen.volume, rel=2e-4)
    if plan["cutter"]["kind"] == "flat":  # the raster's comb is too coarse for the very top between two round cuts
        assert (result["scallop"], result["stock_max"]) == pytest.approx((seen.scallop, seen.stock_max), rel=2e-3)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"seat-low": "8mm"}, "seat-depth: is missing"),
        ({"seat-depth": "0.5mm"}, "goes with seat-low or seat-high"),
        ({"seat-low": "2mm", "seat-depth": "1.2mm"}, "is more than half of seat-low"),
        (
            {"span": "160deg", "seat-low": "30mm", "seat-depth": "1mm"},
            "into the high end of the next ramp",
        ),
    ],
)
def test_what_does_not_fit_is_said(values: dict[str, Any], words: str) -> None:
    with pytest.raises(StepcutError, match=words):
        front.solved("ramp", **{**RING, **values})


@pytest.mark.parametrize("below", [0, Fraction(1, 2)])
def test_a_seat_reaches_as_far_as_its_pin_is_wide_below_the_next_high_end(below: Fraction) -> None:
    """By hand: a pin of 5 mm radius stands sqrt(5^2 - 3^2) = 4 aside, 2 mm up from its lowest; over 30 degrees at 10 mm there are 5 mm."""
    ring = Ramp(Fraction(40), Fraction(20), Fraction(90), Fraction(3, 2), start_depth=Fraction(below), starts=3)
    assert overlap(ring, Fraction(10), Fraction(1, 2)) == pytest.approx(4 - 5)
