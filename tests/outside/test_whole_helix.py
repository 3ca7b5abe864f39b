"""The model of helical grooves itself, against answers by hand and solids of a general geometry library."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from tests.outside import solid, whole_helix
from tests.outside.hunt import HUNTED


def by_hand(
    *,
    diameter: float,
    lead: float,
    length: float,
    depth: float,
    cutter: float,
    step: float,
    kind: str = "flat",
    starts: int = 1,
) -> dict[str, Any]:
    sweep = 360 * length / lead
    turns = [min(k * step, sweep) for k in range(math.ceil(sweep / step - 1e-9) + 1)]
    stops = [
        {"n": n + 1, "start": k + 1, "table": at + 360 * k / starts, "x": lead * at / 360}
        for k in range(starts)
        for n, at in enumerate(turns)
    ]
    target = {"diameter": diameter, "lead": lead, "length": length, "depth": depth, "starts": starts, "hand": "right"}
    return {
        "shape": "helix",
        "target": target,
        "cutter": {"kind": kind, "diameter": cutter},
        "leave": 0.0,
        "stops": stops,
        "remarks": [],
        "result": {},
    }


@HUNTED
@pytest.mark.long
def test_a_nearly_straight_groove_is_a_row_of_circles() -> None:
    # A turn in 72 m: the cuts stand 2 mm apart along the axis and hardly beside each other.
    ridge = 3 - math.sqrt(9 - 1)
    flat = whole_helix.see(by_hand(diameter=40, lead=72000, length=40, depth=4, cutter=6, step=0.01))
    assert flat.scallop == pytest.approx(ridge, abs=1e-3)
    # What stands beside two circles up to their tangent, on both sides, from the floor to the round of the cylinder.
    lens = 2 * 3 - (1 * math.sqrt(8) + 9 * math.asin(1 / 3))
    deep = math.sqrt(20**2 - 3**2) - 16
    assert flat.volume == pytest.approx(20 * 2 * lens * deep, rel=0.01)
    ball = whole_helix.see(by_hand(diameter=40, lead=72000, length=40, depth=4, cutter=6, step=0.01, kind="ball"))
    assert ball.more["floor_ridge"] == pytest.approx(ridge, abs=1e-3)


@pytest.mark.long
def test_flats_round_a_floor_are_a_polygon() -> None:
    seen = whole_helix.see(by_hand(diameter=30, lead=60, length=30, depth=2, cutter=8, step=6), fast=True)
    assert seen.more["floor_ridge"] == pytest.approx(13 / math.cos(math.radians(3)) - 13, abs=1e-9)
    assert seen.stock_mean == pytest.approx(
        13 / math.radians(3) * math.log(math.tan(math.radians(46.5))) - 13, rel=1e-3
    )


@pytest.mark.long
def test_a_groove_shallower_than_its_dimples_keeps_its_whole_depth() -> None:
    seen = whole_helix.see(
        by_hand(diameter=40, lead=120, length=20, depth=0.1, cutter=6, step=10, kind="ball"), fast=True
    )
    assert seen.scallop == pytest.approx(0.1, abs=1e-6)


@HUNTED
@pytest.mark.long
def test_grooves_wider_than_their_lead_leave_no_land() -> None:
    gone = whole_helix.see(by_hand(diameter=20, lead=2, length=10, depth=1, cutter=3, step=8))
    assert gone.gouge == pytest.approx(1.0, abs=1e-3)
    left = whole_helix.see(by_hand(diameter=20, lead=4, length=10, depth=1, cutter=3, step=8))
    assert left.gouge == pytest.approx(-1.0, abs=1e-2)  # 1 mm of land along the axis
    two = whole_helix.see(by_hand(diameter=20, lead=4, length=10, depth=1, cutter=3, step=8, starts=2))
    assert two.gouge > 0.9


@pytest.mark.parametrize(
    ("kind", "diameter", "lead", "depth", "cutter", "step"),
    [("flat", 19.4, 57.0, 4.5, 8.4, 2.5), ("flat", 40.0, 40.0, 0.3, 12.0, 8.0), ("ball", 30.0, 80.0, 2.0, 6.0, 8.0)],
)
@HUNTED
@pytest.mark.long
def test_the_point_that_stands_out_most_does(
    kind: str, diameter: float, lead: float, depth: float, cutter: float, step: float
) -> None:
    # A ball as large as the ridge about that point lies wholly inside of what the running cutter takes.
    plan = by_hand(diameter=diameter, lead=lead, length=lead * 0.4, depth=depth, cutter=cutter, step=step, kind=kind)
    seen, groove = whole_helix.see(plan), whole_helix.Groove(plan, 1)
    rho, theta = (np.array([part]) for part in seen.more["scallop_at"])
    first, last = groove.ideal(rho, theta)
    x = np.linspace(first[0], last[0], 20_001)
    stands = groove.stands(groove.cuts, np.full_like(x, rho[0]), np.full_like(x, theta[0]), x)
    deep = np.where(stands, groove.depth_in(np.full_like(x, rho[0]), np.full_like(x, theta[0]), x), -1.0)
    assert deep.max() == pytest.approx(seen.scallop, abs=1e-3)
    draw = np.random.default_rng(7)
    way = draw.normal(size=(2000, 3))
    points = np.array([rho[0] * math.cos(theta[0]), rho[0] * math.sin(theta[0]), x[int(deep.argmax())]])
    points = points + way / np.linalg.norm(way, axis=1)[:, None] * deep.max() * 0.999
    r, at = np.hypot(points[:, 0], points[:, 1]), np.arctan2(points[:, 1], points[:, 0])
    at += 2 * np.pi * np.round((theta[0] - at) / (2 * np.pi))
    inside = np.zeros(len(points), bool)
    for turn in np.linspace(max(0, theta[0] - 1.3), min(groove.run, theta[0] + 1.3), 60_001):
        inside |= np.abs(points[:, 2] - groove.advance * turn) <= groove.stretch(r, at - turn)
    assert inside.all()


@pytest.mark.parametrize("kind", ["flat", "ball"])
@pytest.mark.long
def test_what_stands_has_the_volume_of_the_solid(kind: str) -> None:
    wanted = solid.helix_left_over(kind, 30, 80, 8.0, 2.0, 3.0, 9.0, 12)
    seen = whole_helix.see(by_hand(diameter=30, lead=80, length=8, depth=2, cutter=6, step=9, kind=kind), fast=True)
    assert seen.volume == pytest.approx(
        wanted / (1 - 1 / 144), rel=0.02
    )  # the solid's cutters are polygons of 96 sides
