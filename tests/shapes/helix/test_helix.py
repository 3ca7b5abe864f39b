"""Helical grooves against discs and solids of their own."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, unary_union

from stepcut.errors import BadValue
from stepcut.shapes.helix.wanted import floor_ridge_ball
from tests.conftest import Run
from tests.outside import solid
from tests.shops import plan_of, stops_of


@given(
    diameter=st.integers(20, 60), lead=st.integers(20, 200), cutter=st.sampled_from([3, 6, 10]), step=st.sampled_from([2, 4, 8]),
    starts=st.integers(1, 3),
)  # fmt: skip
def test_stops_follow_the_helix_and_the_wall_is_that_of_the_discs(diameter, lead, cutter, step, starts) -> None:  # type: ignore[no-untyped-def]
    try:
        plan = plan_of(
            "helix",
            diameter=f"{diameter}mm",
            lead=f"{lead}mm",
            length="30mm",
            depth="1mm",
            cutter=f"{cutter}mm",
            step=f"{step}deg",
            starts=starts,
        )
    except BadValue as refused:
        assert "uncut metal" in str(refused)
        return
    stops = [s for s in stops_of(plan) if s["start"] == 1]
    for stop in stops:
        assert abs(stop["x"] - lead * stop["table"] / 360) <= 0.0025 + 1e-9  # half a division of the slide
    # Unrolled at the surface: the groove is the union of discs; its wall stands in by the ridge between two of them.
    unroll = math.pi * diameter / 360
    discs = unary_union(
        [Point(s["table"] * unroll, lead * s["table"] / 360).buffer(cutter / 2, quad_segs=256) for s in stops[:6]]
    )
    a, b = stops[2], stops[3]
    middle = np.array([(a["table"] + b["table"]) / 2 * unroll, lead * (a["table"] + b["table"]) / 720])
    along = np.array([unroll * 360, lead]) / math.hypot(unroll * 360, lead)
    square = np.array([-along[1], along[0]])
    inside = discs.intersection(LineString([middle, middle + square * cutter / 2])).length
    assert plan.result.more["wall_ridge"] == pytest.approx(cutter / 2 - inside, abs=cutter * 2e-4)


def test_the_ball_floor_is_that_of_the_balls_in_space() -> None:
    radius, depth, big, lead, turn = 3.0, 2.0, 20.0, 90.0, 8.0
    centre = big - depth + radius
    ends = [
        np.array([centre * math.cos(t), centre * math.sin(t), lead * t / (2 * math.pi)])
        for t in (0, math.radians(turn))
    ]
    # Half way between, seen from the middle of the chord towards the axis: how far the ridge reaches above a ball's bottom.
    half = np.linalg.norm(ends[1] - ends[0]) / 2
    assert floor_ridge_ball(turn, lead, centre, radius) == pytest.approx(
        radius - math.sqrt(radius**2 - half**2), rel=1e-12
    )


@pytest.mark.parametrize(
    ("kind", "diameter", "lead", "depth", "cutter", "step"),
    [
        ("flat", 30, 80, 2.0, 6, 8),
        ("ball", 30, 80, 2.0, 6, 8),
        pytest.param("flat", 40, 120, 1.5, 5, 4, marks=pytest.mark.long),
        pytest.param("ball", 40, 120, 2.5, 5, 6, marks=pytest.mark.long),
    ],
)
def test_the_volume_in_a_groove_is_that_of_the_solid(kind, diameter, lead, depth, cutter, step) -> None:  # type: ignore[no-untyped-def]
    # Cuts a 24th of the step apart still leave a 24th of what stands near a flat floor's walls, and a 576th elsewhere; twice as
    # many leave half of that, so that the two together say what a continuous cut leaves.
    coarse, fine = (solid.helix_left_over(kind, diameter, lead, 20.0, depth, cutter / 2, step, n) for n in (12, 24))
    found = 2 * fine - coarse if kind == "flat" else fine
    plan = plan_of(
        "helix", diameter=f"{diameter}mm", lead=f"{lead}mm", length="20mm", depth=f"{depth}mm", cutter=f"{cutter}mm",
        kind=kind, step=f"{step}deg",
    )  # fmt: skip
    assert plan.result.volume == pytest.approx(found, rel=0.015 if kind == "flat" else 0.003)


def test_the_facets_of_the_floor_are_those_of_the_polygon() -> None:
    # Flats a turn apart round a floor are a polygon about its circle: shapely measures how far its corners stand off.
    plan = plan_of("helix", diameter="30mm", lead="60mm", length="60mm", depth="2mm", cutter="6mm", step="6deg")
    far = 13 / math.cos(math.radians(3))
    corners = [(far * math.cos(math.radians(6 * k + 3)), far * math.sin(math.radians(6 * k + 3))) for k in range(60)]
    polygon = Polygon(corners)
    assert polygon.exterior.distance(Point(0, 0)) == pytest.approx(13)
    assert plan.result.stock_max == pytest.approx(polygon.hausdorff_distance(Point(0, 0)) - 13)


def test_flats_that_do_not_meet_are_refused() -> None:
    with pytest.raises(BadValue, match="uncut metal"):
        plan_of("helix", diameter="80mm", lead="2000mm", length="300mm", depth="1mm", cutter="6mm", step="12deg")


def test_angle_and_lead_must_agree() -> None:
    plan = plan_of("helix", diameter="30mm", angle="45deg", length="30mm", depth="1mm", cutter="6mm", step="2deg")
    assert plan.target["lead"] == pytest.approx(math.pi * 30, rel=1e-6)
    with pytest.raises(BadValue, match="does not agree with lead"):
        plan_of("helix", diameter="30mm", angle="45deg", lead="50mm", length="30mm", depth="1mm", cutter="6mm")
    with pytest.raises(BadValue, match=r"greater than 0\. Give the hand with hand"):
        plan_of("helix", diameter="30mm", lead="-50mm", length="30mm", depth="1mm", cutter="6mm")


def test_the_cards_of_every_shape_say_their_words(run: Run) -> None:
    gears = run("gears", "--lead", "12in").stdout
    assert "DRIVERS" in gears
    assert "DRIVEN" in gears
    helix = " ".join(run("card", "oil-groove-helix").stdout.split())
    assert "40 mm diameter" in helix
    assert "RIGHT hand" in helix
