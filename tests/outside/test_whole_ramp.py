"""The model of a whole ring itself, against answers by hand and published factors."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.outside import whole_ramp
from tests.outside.published_motions import displacement, velocity

INCH = 25.4


def by_hand(
    cuts: list[tuple[float, float]], *, approach: str = "across", behind: float | None = 0.0, cutter: float = INCH / 2,
    kind: str = "flat", leave: float = 0.0, **target: Any,
) -> dict[str, Any]:  # fmt: skip
    """A plan written by hand: table and depth of each cut of one ramp, repeated on every ramp."""
    wanted = {
        "outside_diameter": 1.75 * INCH, "inside_diameter": 1.40 * INCH, "rise": 0.090 * INCH, "span": 180.0, "starts": 1,
        "law": "uniform", "start_depth": 0.0, **target,
    }  # fmt: skip
    every = [
        {"n": n + 1, "start": k + 1, "table": at + 360 * k / wanted["starts"], "depth": depth}
        for k in range(wanted["starts"])
        for n, (at, depth) in enumerate(cuts)
    ]
    return {
        "shape": "ramp", "target": wanted, "cutter": {"kind": kind, "diameter": cutter}, "approach": approach,
        "edge_behind": behind, "leave": leave, "stops": every, "remarks": [], "result": {},
    }  # fmt: skip


def even(step: float, lead: float = 0.0) -> list[tuple[float, float]]:
    """Cuts of the example ring, 0.005 in deeper every 10 degrees, with the dial led."""
    count = round(180 / step)
    return [(step * k + lead, 0.090 * INCH * k / count) for k in range(1, count + 1)]


def test_an_edge_on_the_line_leaves_an_even_stair() -> None:
    seen = whole_ramp.see(by_hand(even(10)))
    step, wall = 0.005 * INCH, math.pi / 2 * (0.875**2 - 0.7**2) * INCH**2
    assert seen.gouge <= 1e-9
    assert seen.stock_max == pytest.approx(step, abs=1e-7)
    assert seen.stock_mean == pytest.approx(step / 2, abs=1e-7)
    assert seen.volume == pytest.approx(step / 2 * wall, rel=1e-6)
    assert seen.scallop == pytest.approx(step * math.cos(math.atan(0.090 / math.pi / 0.875)), abs=1e-7)


def test_a_dial_that_is_not_led_cuts_too_deep() -> None:
    # The uphill edge stands asin(R / bore radius) behind the dial: on a straight slope that much too deep, at the bore.
    seen = whole_ramp.see(by_hand(even(10), behind=INCH / 4))
    assert seen.gouge == pytest.approx(0.090 * INCH / 180 * math.degrees(math.asin(0.25 / 0.7)), abs=1e-6)
    assert f"radius {0.7 * INCH:.3f}" in seen.where


def test_a_led_dial_leaves_more_outside() -> None:
    lead = math.degrees(math.asin(0.25 / 0.7))
    seen = whole_ramp.see(by_hand(even(10, lead), behind=INCH / 4))
    more = 0.090 * INCH / 180 * (lead - math.degrees(math.asin(0.25 / 0.875)))
    assert seen.gouge <= 1e-9
    # The first cut's edge stands further downhill outside, and so does every other: a step and the difference.
    assert seen.stock_max == pytest.approx(0.005 * INCH + more, abs=1e-6)


def test_the_side_of_a_cutter_leaves_the_rise_of_an_arc_over_half_its_pitch() -> None:
    # Level stretch of a list of targets: cuts 10 degrees apart at one depth; the pitch is widest at the outside.
    cuts = [(at, 1.0) for at in range(10, 180, 10)]
    plan = by_hand(cuts, approach="side", behind=INCH / 4, targets=[[0.0, 0.0], [10.0, 1.0], [170.0, 1.0]], span=170.0)
    seen = whole_ramp.see(plan)
    half = 0.875 * INCH * math.sin(math.radians(5))
    level = [INCH / 4 - math.sqrt((INCH / 4) ** 2 - half**2)]
    inside = whole_ramp.Ring(
        whole_ramp.tool_of(plan), whole_ramp.Wanted(plan["target"]), 0.0, whole_ramp.cuts_of(plan), 0.7 * INCH
    )
    r = np.full(3, 0.875 * INCH)
    assert inside.stock(r, np.array([15.0, 85.0, 155.0])) == pytest.approx(level * 3, abs=1e-9)
    assert seen.stock_max >= level[0] - 1e-6


def test_a_plunged_circle_touches_the_next_ramp_first_where_its_radius_is_a_tangent() -> None:
    # Middle of the wall 18, cutter radius 6: sides of the circle are touched from the centre at sqrt(18^2 - 6^2).
    ring = {
        "outside_diameter": 43.0,
        "inside_diameter": 29.0,
        "span": 80.0,
        "starts": 3,
        "rise": 2.0,
        "start_depth": 0.5,
    }
    reach = math.degrees(math.asin(6 / 18))
    last = 120 - reach + 0.01
    plan = by_hand([(60, 1.0), (last, 2.5)], approach="plunge", behind=6.0, cutter=12.0, **ring)
    seen = whole_ramp.see(plan)
    assert seen.gouge == pytest.approx(2.0, abs=1e-6)
    touching = math.sqrt(18**2 - 6**2)
    half = 18 * math.cos(math.radians(reach - 0.01)) - touching  # how far along the edge the notch goes from there
    assert abs(float(seen.where.split()[1].rstrip(",")) - touching) < 20 * half + 0.6
    clear = by_hand([(60, 1.0), (last - 0.0101, 2.5)], approach="plunge", behind=6.0, cutter=12.0, **ring)
    assert whole_ramp.see(clear).gouge < 1.9  # only the high end of its own ramp is judged then


@pytest.mark.long
def test_a_sweep_is_as_many_cuts_as_there_are_between() -> None:
    for approach, kind in (("across", "flat"), ("plunge", "ball"), ("side", "flat")):
        ring = {
            "outside_diameter": 43.0,
            "inside_diameter": 35.0,
            "span": 100.0,
            "targets": [[0, 0], [40, 1], [100, 1]],
        }
        many = by_hand(
            [(at, 1.0) for at in np.linspace(60, 80, 201)],
            approach=approach,
            behind=4.0,
            cutter=12.0,
            kind=kind,
            **ring,
        )
        one = by_hand([(60, 1.0), (80, 1.0)], approach=approach, behind=4.0, cutter=12.0, kind=kind, **ring)
        one["sweeps"] = [[0, 1]]
        a, b = whole_ramp.see(one, fast=True), whole_ramp.see(many, fast=True)
        assert a.volume == pytest.approx(b.volume, rel=1e-4)


@pytest.mark.parametrize(
    ("motion", "factor"),
    [
        # Norton, "Design of Machinery", table of peak velocity factors; from memory.
        ("parabolic", 2.0), ("harmonic", math.pi / 2), ("cycloidal", 2.0), ("3-4-5", 15 / 8), ("4-5-6-7", 35 / 16),
        ("modified-sine", 1.7596), ("modified-trapezoid", 2.0),
    ],
)  # fmt: skip
def test_motions_from_their_accelerations_have_the_published_peak_velocity(motion: str, factor: float) -> None:
    x = np.linspace(0, 1, 100_001)
    assert velocity(motion)(x).max() == pytest.approx(factor, abs=1e-4)
    assert displacement(motion)(np.array([-1.0, 0.0, 0.5, 1.0, 2.0])) == pytest.approx([0, 0, 0.5, 1, 1], abs=1e-9)
