"""Errors as chances, against 100,000 parts cut with errors in numpy."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from stepcut import recipes
from stepcut.plan import Plan, Stop
from stepcut.recipes import Recipe
from stepcut.shop.chances import Clear, Errors, chance, deeper, more_leave
from stepcut.shop.verdict import below
from tests.outside.helix_sections import Model
from tests.shops import thinned

PARTS = 100_000
Array = np.ndarray[Any, np.dtype[np.float64]]
Allowed = Callable[[float, Array], Array]


@pytest.mark.parametrize(
    ("depth", "table", "slope"), [(0.02, 0.0, 0.0), (0.02, 0.3, 0.05), (0.01, 0.5, 0.06), (0.0, 0.4, 0.05)]
)
def test_the_chance_of_one_cut(depth: float, table: float, slope: float) -> None:
    random = np.random.default_rng(7)
    off = random.uniform(-depth, depth, 400_000) + slope * random.uniform(-table, table, 400_000)
    for by in (-0.015, 0.0, 0.004, 0.012, 0.025, 0.05):
        assert deeper(by, Errors(depth, table), slope) == pytest.approx(float((off > by).mean()), abs=0.004)


def test_the_chance_of_one_cut_by_the_shops_own_readings() -> None:
    random = np.random.default_rng(8)
    off = random.normal(0.004, 0.006, 400_000)
    for by in (-0.01, 0.0, 0.004, 0.02):
        told = deeper(by, Errors(mean=0.004, spread=0.006), 0.0)
        assert told == pytest.approx(float((off > by).mean()), abs=0.003)


@pytest.mark.parametrize("leave", thinned(["0.4thou", "0.3thou", "0.5thou", "0.45thou"]))
def test_100_000_parts_cut_with_errors(leave: str) -> None:
    """Cut the example ring so often, each cut off by what its scales may be, and count the parts that go below."""
    plan = recipes.job(recipes.load("sluice-clamp-ramp").resized({"leave": leave})).plan
    # The ring from its recipe, in mm and degrees: 0.090 in fall in 140 degrees from 0.002 in, two ramps 180 degrees apart;
    # the cutter's edge stands on the line, so a cut meets the ramp at its own place.
    places = np.array([float(plan.first.value(stop.first)) - 180 * (stop.start - 1) for stop in plan.stops])
    depths = np.array([float(plan.second.value(stop.second)) for stop in plan.stops])
    random = np.random.default_rng(9)
    spoiled = 0
    for _ in range(10):
        turned = places + random.uniform(-1 / 60, 1 / 60, (PARTS // 10, len(places)))  # the table's error: 1'
        low = depths + random.uniform(-0.0127, 0.0127, turned.shape)  # the readout's: 0.0005 in
        wanted = 25.4 * (0.002 + 0.090 * np.clip(turned / 140, 0, 1))
        spoiled += int((low > wanted).any(axis=1).sum())
    told = below(plan)
    assert told is not None
    share = spoiled / PARTS
    assert told["chance"] == pytest.approx(share, abs=4 * math.sqrt(max(share * (1 - share), 1e-5) / PARTS) + 1e-4)


def _corner(plan: Plan) -> Allowed:
    """A square tool on a taper whose small end is at the face: everything up to its corner is cut down to its radius."""
    large, small, length = (plan.target[key] for key in ("large_diameter", "small_diameter", "length"))

    def allowed(z: float, off: Array) -> Array:
        return small / 2 + (large - small) / 2 * np.clip((z + off) / length, 0, 1)

    return allowed


def _nose(plan: Plan) -> Allowed:
    """A round nose on a crown given by points: how near its lowest point may come, from the circle on a fine grid."""
    z, d = np.array(plan.target["targets"]).T
    nose = float(plan.cutter.diameter) / 2
    x = np.linspace(-nose, nose, 2001)
    lower = nose - np.sqrt(nose * nose - x * x)

    def allowed(at: float, off: Array) -> Array:
        places = (at - nose + off)[:, None] + x  # z is printed of the nose's leading point, toward the headstock
        return np.max(np.where((places <= z[-1]) & (places >= 0), np.interp(places, z, d / 2) - lower, -1e9), axis=1)

    return allowed


def _end_of_cam(plan: Plan) -> Allowed:
    """The end of a cutter on a rise, a dwell and a fall without motion: the farthest of the rim within its width."""
    phi = np.arange(0, 360, 0.05)
    marks = np.cumsum([0, 120, 60, 120, 60])
    rim = np.interp(phi, marks, [18, 21, 21, 18, 18])
    half = float(plan.cutter.diameter) / 2

    def allowed(at: float, off: Array) -> Array:
        turn = np.radians((phi - at - off[:, None] + 180) % 360 - 180)
        under = (np.cos(turn) > 0) & (np.abs(rim * np.sin(turn)) <= half)
        return np.max(np.where(under, rim * np.cos(turn), -1e9), axis=1)

    return allowed


def _ball_in_groove(plan: Plan) -> Allowed:
    """A ball on a circle: the depth of its lowest point at which it rests on the wanted floor, along the circle's chords."""
    circle, ball = plan.target["circle"] / 2, float(plan.cutter.diameter) / 2
    phi = np.linspace(-30, 90, 6001)
    floor = plan.target["start_depth"] + plan.target["rise"] * np.clip(phi / plan.target["span"], 0, 1)

    def allowed(at: float, off: Array) -> Array:
        far = 2 * circle * np.sin(np.radians(np.abs(phi - at - off[:, None])) / 2)
        over = ball - np.sqrt(np.maximum(ball * ball - far * far, 0))
        return np.min(np.where(far < ball, floor + over, 1e9), axis=1)

    return allowed


def _plunged(plan: Plan) -> Allowed:
    """A flat end plunged at the middle of a wall: the highest of the ramp under any point of its edge on the wall."""
    outer, inner = plan.target["outside_diameter"] / 2, plan.target["inside_diameter"] / 2
    size, middle = float(plan.cutter.diameter) / 2, (outer + inner) / 2
    around = np.radians(np.linspace(0, 360, 100_001))
    x, y = middle + size * np.cos(around), (size - (plan.edge_behind or 0)) + size * np.sin(around)  # downhill is +y
    inside = (np.hypot(x, y) >= inner) & (np.hypot(x, y) <= outer)
    uphill = np.degrees(np.arctan2(y, x))[inside].min()

    def allowed(at: float, off: Array) -> Array:
        return plan.target["start_depth"] + plan.target["rise"] * np.clip(
            (at + off + uphill) / plan.target["span"], 0, 1
        )

    return allowed


SHAPES: list[tuple[str, dict[str, str], Callable[[Plan], Allowed], bool]] = [
    ("bollard-pin-taper", {"leave": "0.008mm", "tool": "square", "nose": "", "scallop": "", "step": "3mm"}, _corner, True),
    ("belt-crown-profile", {"leave": "0.008mm"}, _nose, True),
    ("tension-release-cam", {"segments": "rise 3mm in 120deg; dwell 60deg; fall 3mm in 120deg; dwell 60deg", "base": "18mm",
        "blank": "50mm", "leave": "0.008mm", "step": "15deg"}, _end_of_cam, True),
    ("hoist-lifter-ball-ramps", {"leave": "0.008mm"}, _ball_in_groove, False),
    ("winch-dog-plunged", {"leave": "0.45thou"}, _plunged, False),
]  # fmt: skip


def _simulated(plan: Plan, allowed: Allowed, outside: bool) -> float:
    """Return the share of 100,000 parts with a cut below what is wanted: every cut off by what the two scales may be off."""
    random = np.random.default_rng(11)
    first, second = float(plan.first.error), float(plan.second.error)
    swept = {b for _, b in getattr(plan.details, "sweeps", ())}
    good = np.ones(PARTS, bool)
    each = 360 / plan.copies
    for stop in plan.stops:
        if stop.n in swept:
            continue  # a sweep is one setting of the depth; inside a dwell the table's error does nothing
        at = float(plan.first.value(stop.first)) - each * (stop.start - 1)
        offs = np.linspace(-first, first, 9)
        may = np.interp(random.uniform(-first, first, PARTS), offs, allowed(at, offs))
        stands = float(plan.second.value(stop.second)) + random.uniform(-second, second, PARTS)
        good &= (stands >= may) if outside else (stands <= may)
    return float(1 - good.mean())


@pytest.mark.parametrize(("name", "sets", "model", "outside"), SHAPES)
def test_100_000_parts_of_every_shape(
    name: str, sets: dict[str, str], model: Callable[[Plan], Allowed], outside: bool
) -> None:
    plan = recipes.job(recipes.load(name).resized(sets)).plan
    told = below(plan)
    assert told is not None
    share = _simulated(plan, model(plan), outside)
    assert 0.003 < share < 0.997  # a case that says something
    assert told["chance"] == pytest.approx(share, rel=0.02, abs=0.004)


@pytest.mark.parametrize(("name", "sets", "model", "outside"), thinned(SHAPES))
def test_no_part_goes_below_where_the_leave_is_the_machines(
    name: str, sets: dict[str, str], model: Callable[[Plan], Allowed], outside: bool
) -> None:
    """Auto is the default, and all errors at their worst together do not reach the wanted surface: no dish is added to it."""
    recipe = recipes.load(name).resized({**sets, "leave": ""})
    plan = recipes.job(recipe).plan
    assert any(remark.code == "leave-auto" for remark in plan.remarks)
    assert _simulated(plan, model(plan), outside) == 0
    # The next division less is not enough for the worst case, so nothing is counted twice.
    safe = sum(next(remark for remark in plan.remarks if remark.code == "leave-auto").facts["parts"])
    assert float(plan.leave) - float(plan.second.division) < safe / np.cos(np.radians(20)) + 1e-9


def test_points_of_100_000_parts() -> None:
    """Points inside a hole: a cutter's way that errs in X and Y goes too far out when its distance from the middle says so."""
    job = Recipe(
        "points",
        {"radius": "20mm", "side": "inside", "depth": "5mm", "cutter": "10mm", "points": "40", "leave": "0.010mm"},
        unit="mm",
    )
    plan = recipes.job(job, "metric").plan
    told = below(plan)
    assert told is not None
    random = np.random.default_rng(12)
    good = np.ones(PARTS, bool)
    for stop in plan.stops:
        x, y = (
            float(plan.first.value(mark)) + random.uniform(-0.01, 0.01, PARTS) for mark in (stop.first, stop.second)
        )
        good &= np.hypot(x, y) <= 15
    assert 0.003 < 1 - good.mean() < 0.997
    assert told["chance"] == pytest.approx(float(1 - good.mean()), rel=0.02, abs=0.004)


GROOVES = {
    "winder-sleeve-wide-groove": {"leave": "0.008mm"},  # 9 mm wide by sweeps of a 6 mm cutter: floor and both walls
    "bellows-chuck-face-scroll": {"leave": "0.008mm", "step": "9deg"},
}


@pytest.mark.parametrize("name", GROOVES)
def test_grooves_of_100_000_parts(name: str) -> None:
    """Each cut set to its depth and place with the errors of three scales; the walls are helices, as far apart as a caliper finds them."""
    sets = GROOVES[name]
    plan = recipes.job(recipes.load(name).resized(sets)).plan
    assert plan.machine.depth is not None
    depth = replace(
        plan.machine.depth, error=Fraction(102, 10_000)
    )  # a little more than what stands when it is set by whole divisions
    plan = replace(plan, machine=replace(plan.machine, depth=depth))
    told = below(plan)
    assert told is not None
    random, good = np.random.default_rng(13), np.ones(PARTS, bool)
    deep = plan.target["depth"] - float(depth.value(depth.up(plan.leave)))
    wide, rows = float(plan.target.get("width", 0.0)), sorted({stop.start for stop in plan.stops})
    x = {row: float(np.mean([_off(plan, stop) for stop in plan.stops if stop.start == row])) for row in rows}
    middle = (min(x.values()) + max(x.values())) / 2
    lead = float(plan.target.get("lead", 0.0))
    room = 0.0
    if wide:
        cut = {"act": "cut", "axis": "depth", "to": plan.target["depth"]}
        tool = {"diameter": float(plan.cutter.diameter), "kind": plan.cutter.kind}
        room = Model({"target": plan.target, "cutter": tool, "acts": [cut]}).spread(wide) / 2
    for stop in plan.stops:
        good &= deep + random.uniform(-float(depth.error), float(depth.error), PARTS) <= plan.target["depth"]
        if wide and stop.start in (rows[0], rows[-1]):
            slid = random.uniform(-float(plan.second.error), float(plan.second.error), PARTS)
            turned = random.uniform(-float(plan.first.error), float(plan.first.error), PARTS)
            good &= np.abs(_off(plan, stop) - middle + slid - lead * turned / 360) <= room
    share = float(1 - good.mean())
    assert 0.003 < share < 0.997
    assert told["chance"] == pytest.approx(share, rel=0.03, abs=0.006)
    auto = recipes.job(recipes.load(name).resized({**sets, "leave": "auto"})).plan
    found = below(auto)
    assert found is not None
    assert found["chance"] <= 0.01


def _off(plan: Plan, stop: Stop) -> float:
    """How far a cut stands along the axis from the way of a helix that begins at nought."""
    return (
        float(plan.second.value(stop.second))
        - float(plan.target.get("lead", 0.0)) * float(plan.first.value(stop.first)) / 360
    )


def test_a_groove_that_leaves_nothing_is_as_the_cutter_leaves_it() -> None:
    assert below(recipes.job(recipes.load("oil-groove-helix")).plan) is None


def test_the_leave_for_one_in_a_hundred_makes_it_so_whatever_the_scale_rounds() -> None:
    recipe = recipes.load("sluice-clamp-ramp")
    told = below(recipes.job(recipe.resized({"leave": "0in"})).plan)
    assert told is not None
    assert told["chance"] > 0.9
    again = below(recipes.job(recipe.resized({"leave": f"{told['enough']:.6f}mm"})).plan)
    assert again is not None
    assert again["chance"] <= 0.01


def test_more_leave_is_the_least_that_serves() -> None:
    cuts = [Clear(0.0, 0.03)] * 40
    for errors in (Errors(0.01, 0.1), Errors(mean=0.002, spread=0.004)):
        more = more_leave(cuts, errors)
        assert chance(cuts, errors, more) <= 0.01 + 1e-9
        assert chance(cuts, errors, more * 0.99) > 0.01


def test_a_ramp_without_a_leave_takes_it_from_the_machine() -> None:
    # Table 1' on a slope of 0.090 in in 140 degrees, and 0.0005 in of depth: 0.00051 in, up to the next division 0.0010 in.
    plan = recipes.job(recipes.load("sluice-clamp-ramp").resized({"leave": ""})).plan
    assert plan.leave == Fraction(254, 10_000)
    told = below(plan)
    assert told is not None
    assert told["chance"] <= 0.01


def test_errors_that_do_not_spread_go_too_deep_for_sure_or_never() -> None:
    always = Errors(mean=0.004, spread=0.0)
    assert [deeper(by, always, 0.0) for by in (0.003, 0.0039, 0.0041, 0.01)] == [1.0, 1.0, 0.0, 0.0]
