"""Rim cams against what every cut leaves, worked out from angle and height alone."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import Point

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.errors import BadValue
from stepcut.plan import Plan
from stepcut.voice import voice_of
from tests.shops import plan_of, stops_of, thinned

SEGMENTS = {
    "harmonic": ["rise 4mm in 90deg harmonic", "dwell 30deg", "fall 4mm in 120deg cycloidal", "dwell 120deg"],
    "clamp": ["spiral 3mm in 200deg", "dwell 20deg"],
    "eccentric": ["eccentric 2mm in 360deg"],
    "snail": ["rise 6mm in 300deg"],
}


def polar_cut(phi: np.ndarray, plan: Plan, width: float, side: bool) -> np.ndarray:
    """Radius left by every stop, from table angle and height alone; a sweep is many stops at one height."""
    stops = [(s["table"], s["radius"]) for s in stops_of(plan)]
    for a, b in plan.details.sweeps:
        stops += [(t, stops[a - 1][1]) for t in np.linspace(stops[a - 1][0], stops[b - 1][0], 721)]
    left = np.full_like(phi, np.inf)
    for at, height in stops:
        turn = np.radians((phi - at + 180) % 360 - 180)
        with np.errstate(all="ignore"):
            if side:
                centre = height + width
                cut = centre * np.cos(turn) - np.sqrt(width**2 - (centre * np.sin(turn)) ** 2)
            else:
                cut = np.where(np.abs(height * np.tan(turn)) <= width, height / np.cos(turn), np.inf)
            cut = np.where(np.cos(turn) > 0, cut, np.inf)
        left = np.fmin(left, np.where(np.isnan(cut), np.inf, cut))
    return left


@pytest.mark.parametrize("side", [False, True])
@pytest.mark.parametrize("name", thinned(SEGMENTS))
@pytest.mark.parametrize(
    ("spacing", "leave"),
    [
        ({"scallop": "0.05mm"}, "0.1mm"), pytest.param({"step": "4deg"}, "0mm", marks=pytest.mark.long),
        pytest.param({"step": "4deg"}, "0.1mm", marks=pytest.mark.long),
        pytest.param({"scallop": "0.05mm"}, "0mm", marks=pytest.mark.long),
    ],
)  # fmt: skip
def test_a_cam_is_never_below_and_leaves_what_is_said(
    name: str, side: bool, spacing: dict[str, str], leave: str
) -> None:
    plan = plan_of(
        "cam",
        base="15mm",
        segments=SEGMENTS[name],
        cutter="14mm",
        approach="side" if side else "end",
        leave=leave,
        **spacing,
    )
    wanted = plan.details.rim
    phi = np.linspace(0.01, wanted.span - 0.01, 7_001)
    radius = np.vectorize(wanted.radius)(phi)
    left = polar_cut(phi, plan, 7.0, side)
    stock = left - radius
    assert stock.min() >= float(leave[:-2]) - 1e-6
    assert plan.result.stock_max == pytest.approx(stock.max(), abs=1e-3)
    volume = np.trapezoid((left**2 - radius**2) / 2, np.radians(phi))
    assert plan.result.volume == pytest.approx(volume, rel=1e-3)
    marks = [stop.first for stop in plan.stops]
    assert marks[0] >= 0 and marks == sorted(set(marks))  # the crank is never turned back


def test_facets_of_a_circle_are_those_of_the_polygon() -> None:
    # A dwell cut as flats: r (1/cos(dt/2) - 1); on an eccentric of nearly no offset.
    plan = plan_of(
        "cam", base="20mm", segments=["eccentric 0.0001mm in 360deg"], cutter="14mm", step="10deg", blank="60mm"
    )
    assert plan.result.scallop == pytest.approx(20 * (1 / math.cos(math.radians(5)) - 1), abs=0.006)


def test_an_eccentric_is_a_circle_off_its_axis() -> None:
    wanted = plan_of("cam", base="15mm", segments=["eccentric 2mm in 360deg"], cutter="14mm", step="10deg").details.rim
    circle = Point(2.0, 0.0).buffer(17.0, quad_segs=2000)
    for phi in range(0, 360, 15):
        r = wanted.radius(float(phi))
        point = Point(-r * math.cos(math.radians(phi)), r * math.sin(math.radians(phi)))
        assert circle.exterior.distance(point) == pytest.approx(0, abs=1e-4)


def test_a_spiral_has_one_pressure_angle() -> None:
    wanted = plan_of("cam", base="15mm", segments=["spiral 3mm in 200deg"], cutter="14mm", step="10deg").details.rim
    angles = [math.atan(math.degrees(wanted.rate(at)) / wanted.radius(at)) for at in (1.0, 60.0, 120.0, 199.0)]
    assert angles == pytest.approx([angles[0]] * 4)


def test_a_dwell_is_one_sweep() -> None:
    job = recipes.job(recipes.load("tension-release-cam"))
    card = show.whole(job, "2026-01-01")
    assert sum(line.note.startswith("sweep") for line in card.lines) == 2


def test_a_side_cutter_rounder_than_a_hollow_is_refused() -> None:
    segments = ["rise 9mm in 50deg cycloidal", "dwell 100deg", "fall 9mm in 50deg cycloidal", "dwell 160deg"]
    with pytest.raises(BadValue, match="is rounder than the cam's hollow"):
        plan_of("cam", base="12mm", segments=segments, cutter="40mm", approach="side", step="2deg")


@pytest.mark.parametrize(
    ("segments", "message"),
    [
        (["hop 3mm in 20deg"], "is not a segment"), (["rise 3mm in 20deg wobbly"], "is not one of the motions"),
        (["dwell 200deg", "dwell 200deg"], "is more than one turn"), (["fall 20mm in 60deg"], "falls below the axis"),
        (["rise 3mm in 360deg"], "A whole cam must close"), (["rise 20deg"], "needs its lift"), (["dwell 3mm in 20deg"], "a dwell has no lift"),
    ],
)  # fmt: skip
def test_segments_that_cannot_be_are_refused(segments: list[str], message: str) -> None:
    with pytest.raises(BadValue, match=message):
        plan_of("cam", base="15mm", segments=segments, cutter="10mm", step="4deg")


# --- what is said ---------------------------------------------------------------------------------------------------


def codes(plan: Plan) -> dict[str, bool]:
    """The remarks of a plan, and whether each spoils the part."""
    return {remark.code: remark.spoils for remark in plan.remarks}


def test_a_flat_that_reaches_over_the_gap_is_held_back_and_the_way_out_clears() -> None:
    values = {"base": "20mm", "segments": ["rise 2mm in 350deg"], "step": "4deg"}
    plan = plan_of("cam", cutter="10mm", **values)
    remark = next(remark for remark in plan.remarks if remark.code == "reaches-over-gap")
    assert not remark.spoils and remark.facts["gap"] == pytest.approx(10)
    # A flat at the low end reaches atan(5/20) to either side, and a hair more where it touches.
    assert remark.facts["needed"] == pytest.approx(math.degrees(math.atan(5 / 20)), abs=1.0)
    assert "reaches-over-gap" not in codes(plan_of("cam", cutter=f"{float(remark.facts['clears'])}mm", **values))
    shorter = {**values, "segments": [f"rise 2mm in {360 - math.ceil(remark.facts['needed'])}deg"]}
    assert "reaches-over-gap" not in codes(plan_of("cam", cutter="10mm", **shorter))


def test_an_open_cam_whose_end_cannot_be_cut_says_do_not_cut() -> None:
    plan = plan_of("cam", base="20mm", segments=["rise 8mm in 350deg"], cutter="60mm", step="4deg")
    assert codes(plan)["reaches-over-gap"]
    assert plan.spoils


def test_a_cutter_narrower_than_where_it_touches_says_how_wide_it_must_be() -> None:
    # A flat touches an eccentric at most its offset beside the stop, so that it needs twice the offset.
    segments = ["eccentric 5mm in 360deg"]
    plan = plan_of("cam", base="45mm", segments=segments, cutter="5mm", step="2deg")
    remark = next(remark for remark in plan.remarks if remark.code == "too-narrow")
    assert remark.facts["needs"] == pytest.approx(10, abs=1e-2)
    assert "too-narrow" not in codes(plan_of("cam", base="45mm", segments=segments, cutter="10.1mm", step="2deg"))
    with pytest.raises(BadValue, match=r"too narrow for flats on this cam, which needs at least (10|9\.99)"):
        plan_of("cam", base="45mm", segments=segments, cutter="3mm", step="5deg")


def test_a_blank_bounds_what_stands_over_the_rim() -> None:
    values = {"base": "20mm", "segments": ["eccentric 0.5mm in 360deg"], "cutter": "30mm", "step": "40deg"}
    free, bound = plan_of("cam", **values), plan_of("cam", blank="42mm", **values)
    assert free.result.stock_max > 1.0 >= bound.result.stock_max
    assert bound.result.volume < free.result.volume and bound.result.stock_mean < free.result.stock_mean


def test_json_tells_sweeps_by_stop_numbers_and_which_way_the_rim_reads() -> None:
    plan = plan_of("cam", base="15mm", segments=SEGMENTS["harmonic"], cutter="14mm", step="4deg")
    data = content(plan, voice_of(plan.machine))
    radius = {stop["n"]: stop["radius"] for stop in data["stops"]}
    assert [
        (sweep["to"] - sweep["from"], radius[sweep["from"]] == radius[sweep["to"]]) for sweep in data["sweeps"]
    ] == [
        (1, True),
        (1, True),
    ]
    assert data["table"] == {"turns": "clockwise", "reading": "grows"}
