"""Rim cams against what every cut leaves, worked out from angle and height alone."""

from __future__ import annotations

import math

import numpy as np
import pytest
from shapely import Point

from stepcut import recipes
from stepcut.cli import show
from stepcut.errors import BadValue
from stepcut.plan import Plan
from tests.shops import plan_of, stops_of

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
        stops += [(t, stops[a - 1][1]) for t in np.linspace(stops[a - 1][0], stops[b - 1][0], 2881)]
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
@pytest.mark.parametrize("name", SEGMENTS)
@pytest.mark.parametrize("spacing", [{"step": "4deg"}, {"scallop": "0.05mm"}])
@pytest.mark.parametrize("leave", ["0mm", "0.1mm"])
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
    phi = np.linspace(0.01, wanted.span - 0.01, 14_001)
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
    sheet = show.sheet(job, "2026-01-01")
    assert sum(row.note.startswith("sweep") for row in sheet.rows) == 2


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
