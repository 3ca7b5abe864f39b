"""Every approach, cutter and law against the raster of footprints: never below the stock line, ridges and volumes alike."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, example, given, note, settings
from hypothesis import strategies as st

from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Cutter, Machine, RotaryTable, Scale
from stepcut.plan import Plan, Refused
from stepcut.shapes.ramp.bench import Cutting, Stepping
from stepcut.shapes.ramp.task import solve
from stepcut.shapes.ramp.wanted import Ramp
from tests.outside import raster

NOISE = 1e-6  # mm; what floating sums and the golden section leave


def machine(table_division: Fraction, depth_division: Fraction) -> Machine:
    rim = Scale("rim", table_division, Fraction(4), angular=True)
    scale = Scale("depth", depth_division)
    return Machine("test", "mm", RotaryTable(rim), scale, scale)


@st.composite
def jobs(draw: st.DrawFn, approach: str) -> tuple[Ramp, Cutting, Stepping, Machine]:
    bore = draw(st.integers(60, 400)) * Fraction(1, 10)  # radii in mm
    wall = draw(st.integers(10, 80)) * Fraction(1, 10)
    span = Fraction(draw(st.integers(20, 300)))
    rise = draw(st.integers(2, 40)) * Fraction(1, 10)
    start = draw(st.sampled_from([Fraction(0), Fraction(1, 5), Fraction(1)]))
    law = draw(st.sampled_from([*MOTIONS, "targets"]))
    targets: tuple[tuple[Fraction, Fraction], ...] = ()
    if law == "targets":
        cuts = sorted(draw(st.sets(st.integers(1, 19), max_size=4)))
        drops = sorted(draw(st.lists(st.integers(0, 100), min_size=len(cuts), max_size=len(cuts))))
        inner = [(span * c / 20, start + rise * d / 100) for c, d in zip(cuts, drops, strict=True)]
        targets = ((Fraction(0), start), *inner, (span, start + rise))
    lead = Fraction(0) if targets else draw(st.sampled_from([Fraction(0), span / 10]))
    ramp = Ramp(
        2 * (bore + wall), 2 * bore, span, rise, start, law=law, lead_in=lead, lead_out=lead / 2, targets=targets
    )
    diameter = draw(st.integers(10, 200)) * Fraction(1, 10)
    on_line = draw(st.sampled_from(["edge", "centre"])) if approach == "across" else "centre"
    kind = draw(st.sampled_from(["flat", "ball", "bull"])) if approach != "side" else "flat"
    corner = {"flat": Fraction(0), "ball": diameter / 2, "bull": diameter / 5}[kind]
    leave = draw(st.sampled_from([Fraction(0), Fraction(1, 20), Fraction(1, 5)]))
    step = Fraction(draw(st.integers(2, 24)), 2)
    stepping = draw(
        st.sampled_from(
            [Stepping(step=step), Stepping(drop=rise / draw(st.integers(3, 25))), Stepping(scallop=rise / 7)]
        )
    )
    scales = draw(
        st.sampled_from(
            [
                (Fraction(1, 60), Fraction(1, 200)),
                (Fraction(1, 2), Fraction(1, 50)),
                (Fraction(1, 10), Fraction(1, 100)),
            ]
        )
    )
    return ramp, Cutting(approach, on_line, Cutter(kind, diameter, corner), leave), stepping, machine(*scales)  # type: ignore[arg-type]


def solved(job: tuple[Ramp, Cutting, Stepping, Machine]) -> Plan:
    try:
        return solve(*job)
    except Refused as refused:
        note(str(refused))
        assume(False)
        raise


def seen(plan: Plan, ramp: Ramp, cutting: Cutting) -> tuple[raster.Found, raster.Ring]:
    wanted = ramp.wanted
    depth = np.vectorize(wanted.depth)
    ring = raster.Ring(ramp.bore, ramp.outside, float(ramp.span), depth)
    corner = float(cutting.cutter.corner)
    cut = raster.as_cut(
        ring,
        [(place.at, place.depth) for place in plan.details.places],
        cutting.approach,
        float(cutting.cutter.radius),
        corner,
        float(cutting.edge_behind),
    )
    return raster.measure(ring, cut, float(plan.leave), np.vectorize(wanted.slope)), ring


@pytest.mark.parametrize("part", [10, pytest.param(1, marks=pytest.mark.long)])
@pytest.mark.parametrize("approach", ["across", pytest.param("plunge", marks=pytest.mark.long), "side"])
def test_the_cut_is_never_below_and_what_is_left_is_what_is_said(approach: str, part: int) -> None:
    @settings(max_examples=settings().max_examples // part)
    @given(jobs(approach))
    def check(job: tuple[Ramp, Cutting, Stepping, Machine]) -> None:
        ramp, cutting, _, _ = job
        plan = solved(job)
        assume(not plan.spoils)  # such a plan says DO NOT CUT
        found, ring = seen(plan, ramp, cutting)
        note(f"{found} {plan.result.scallop} {plan.result.stock_min} {plan.result.stock_max} {plan.result.volume}")
        assert found.below <= NOISE
        # One cell of the raster is worth its length times the steepest slope.
        cell = ring.pitch * ramp.wanted.steepest + 1e-6
        # A round cutter's highest ridge is looked for at 11 radii of the wall, the raster has 33.
        between = 0.005 * found.stock_max if cutting.cutter.kind != "flat" or approach == "side" else 0.0
        assert found.stock_max <= plan.result.stock_max + cell * 2 + between
        assert found.stock_min >= plan.result.stock_min - NOISE
        if cutting.cutter.kind == "flat" and approach != "side":
            assert plan.result.stock_max <= found.stock_max + cell * 2
            assert plan.result.scallop == pytest.approx(found.scallop, abs=cell * 2)
        assert plan.result.stock_mean == pytest.approx(found.stock_mean, abs=cell + 0.012 * found.stock_mean)

    check()


def test_a_kink_near_the_end_is_measured_where_it_stands() -> None:
    # Two plunged ramps that hypothesis found: a steep last degree.  Their figures are those of the raster.
    steep = Ramp(
        Fraction(14), Fraction(12), Fraction(20), Fraction(27, 10), law="targets",
        targets=((Fraction(0), Fraction(0)), (Fraction(19), Fraction(297, 1000)), (Fraction(20), Fraction(27, 10))),
    )  # fmt: skip
    late = Ramp(
        Fraction(14), Fraction(12), Fraction(20), Fraction(1, 5), law="targets",
        targets=((Fraction(0), Fraction(0)), (Fraction(19), Fraction(0)), (Fraction(20), Fraction(1, 5))),
    )  # fmt: skip
    for ramp, diameter in ((steep, Fraction(13, 2)), (late, Fraction(1))):
        cutting = Cutting("plunge", "centre", Cutter("flat", diameter))
        plan = solve(ramp, cutting, Stepping(step=Fraction(1)), machine(Fraction(1, 60), Fraction(1, 200)))
        found, _ = seen(plan, ramp, cutting)
        assert plan.result.scallop == pytest.approx(found.scallop, rel=2e-3)
        assert plan.result.stock_mean == pytest.approx(found.stock_mean, rel=5e-3)


@pytest.mark.parametrize("part", [8, pytest.param(1, marks=pytest.mark.long)])
def test_positions_are_whole_divisions_that_never_go_back_and_end_at_the_floor(part: int) -> None:
    @settings(max_examples=settings().max_examples // part)
    @given(jobs("across"))
    @example(
        (
            Ramp(Fraction(44), Fraction(34), Fraction(180), Fraction(2)),
            Cutting("across", "edge", Cutter("flat", Fraction(12))),
            Stepping(step=Fraction(10)),
            machine(Fraction(1, 60), Fraction(1, 200)),
        )
    )
    def check(job: tuple[Ramp, Cutting, Stepping, Machine]) -> None:
        _ramp, _, _, the_machine = job
        plan = solved(job)
        stops = [stop for stop in plan.stops if stop.start == 1]
        assert all(isinstance(stop.first, int) and isinstance(stop.second, int) for stop in stops)
        assert [stop.first for stop in stops] == sorted({stop.first for stop in stops})
        assert [stop.second for stop in stops] == sorted(stop.second for stop in stops)
        assert the_machine.depth is not None
        floor = Fraction(plan.details.ramp.wanted.floor).limit_denominator(10**6) - plan.leave
        assert stops[-1].second == the_machine.depth.down(floor)
        moves = [b - a for a, b in zip([0, *(s.second for s in stops)], [s.second for s in stops], strict=False)]
        assert sum(moves) == stops[-1].second

    check()


@settings(max_examples=3)
@given(jobs("across"))
def test_the_other_hand_has_the_same_stops(job: tuple[Ramp, Cutting, Stepping, Machine]) -> None:
    from msgspec.structs import replace

    ramp, cutting, stepping, the_machine = job
    one = solved(job)
    other = solve(replace(ramp, rises="anticlockwise"), cutting, stepping, the_machine)
    assert one.stops == other.stops
