"""Helix and rim cam against models of their own, and their published numbers."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, unary_union

from stepcut import recipes
from stepcut.cards.json_card import content
from stepcut.cli import show
from stepcut.errors import BadValue
from stepcut.plan import Plan
from stepcut.shapes.helix.wanted import floor_ridge_ball, lead_angle, wall_ridge
from stepcut.voice import voice_of
from tests.conftest import Run
from tests.outside import solid


def plan_of(shape: str, machine: str = "metric", **values: Any) -> Plan:
    return show.solved(recipes.job(recipes.from_content({"stepcut": 1, "machine": machine, shape: values})))


def stops_of(plan: Plan) -> list[dict[str, float]]:
    stops: list[dict[str, float]] = content(plan, voice_of(plan.machine))["stops"]
    return stops


# --- helix --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("lead", "pitch_diameter", "angle"), [(0.25, 1.3429, 3.3912634), (0.25, 1.375, 3.3122712)])
def test_lead_angles(lead: float, pitch_diameter: float, angle: float) -> None:
    # Mott, "Machine Elements", 4th ed., example 17-1 p. 703; Wentzell, example 18.3 p. 402.
    assert lead_angle(lead, pitch_diameter) == pytest.approx(angle, abs=0.005)


def test_slab_milling_ridge_of_a_worked_example() -> None:
    # Ghosh & Mallik, "Manufacturing Science", problem 25 p. 262: 25 mm/min, 60 rpm, 12 teeth, 100 mm cutter: (f/NZ)^2/(4d).
    feed = 25 / (60 * 12)
    assert wall_ridge(feed, 50.0) == pytest.approx(3.0140818e-06, rel=1e-3)


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
    inside = [t for t in np.linspace(0, cutter / 2, 20_001) if discs.contains(Point(*(middle + square * t)))]
    assert plan.result.more["wall_ridge"] == pytest.approx(cutter / 2 - max(inside), abs=cutter * 2e-4)


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
        ("flat", 40, 120, 1.5, 5, 4),
        ("ball", 40, 120, 2.5, 5, 6),
    ],
)
def test_the_volume_in_a_groove_is_that_of_the_solid(kind, diameter, lead, depth, cutter, step) -> None:  # type: ignore[no-untyped-def]
    found = solid.helix_left_over(kind, diameter, lead, 20.0, depth, cutter / 2, step)
    plan = plan_of(
        "helix", diameter=f"{diameter}mm", lead=f"{lead}mm", length="20mm", depth=f"{depth}mm", cutter=f"{cutter}mm",
        kind=kind, step=f"{step}deg",
    )  # fmt: skip
    assert plan.result.volume == pytest.approx(found, rel=0.07)


def test_the_facets_of_the_floor_are_those_of_the_polygon() -> None:
    # Flats a turn apart round a floor are a polygon about its circle: shapely measures how far its corners stand off.
    plan = plan_of("helix", diameter="30mm", lead="60mm", length="60mm", depth="2mm", cutter="6mm", step="6deg")
    far = 13 / math.cos(math.radians(3))
    corners = [(far * math.cos(math.radians(6 * k + 3)), far * math.sin(math.radians(6 * k + 3))) for k in range(60)]
    polygon = Polygon(corners)
    assert polygon.exterior.distance(Point(0, 0)) == pytest.approx(13)
    assert plan.result.more["floor_ridge"] == pytest.approx(polygon.hausdorff_distance(Point(0, 0)) - 13)


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


# --- cam ----------------------------------------------------------------------------------------------------------

SEGMENTS = {
    "harmonic": ["rise 4mm in 90deg harmonic", "dwell 30deg", "fall 4mm in 120deg cycloidal", "dwell 120deg"],
    "clamp": ["spiral 3mm in 200deg", "dwell 20deg"],
    "eccentric": ["eccentric 2mm in 360deg"],
    "snail": ["rise 6mm in 300deg"],
}


def polar_cut(phi: np.ndarray, plan: Plan, width: float, side: bool) -> np.ndarray:
    """Radius left by every stop, from table angle and height alone; a sweep is many stops at one height."""
    stops = [(s["table"], s["radius"]) for s in stops_of(plan)]
    for a, b in plan.facts["sweeps"]:
        stops += [(t, stops[a][1]) for t in np.linspace(stops[a][0], stops[b][0], 721)]
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
    wanted = plan.facts["rim"]
    phi = np.linspace(0.01, wanted.span - 0.01, 14_001)
    radius = np.vectorize(wanted.radius)(phi)
    left = polar_cut(phi, plan, 7.0, side)
    left = np.minimum(left, plan.facts["cut"].top)  # where no stop cuts, the blank stands
    stock = left - radius
    assert stock.min() >= float(leave[:-2]) - 1e-6
    inner = (phi > 25) & (phi < wanted.span - 25) if not wanted.whole else np.ones_like(phi, bool)
    assert plan.result.stock_max >= stock[inner].max() - 2e-3
    if wanted.whole:
        assert plan.result.stock_max == pytest.approx(stock.max(), abs=3e-3)
        volume = np.trapezoid((left**2 - radius**2) / 2, np.radians(phi))
        assert plan.result.volume == pytest.approx(volume, rel=0.03, abs=0.02)
    assert plan.stops[0].first == 0


def test_facets_of_a_circle_are_those_of_the_polygon() -> None:
    # A dwell cut as flats: r (1/cos(dt/2) - 1); on an eccentric of nearly no offset.
    plan = plan_of(
        "cam", base="20mm", segments=["eccentric 0.0001mm in 360deg"], cutter="14mm", step="10deg", blank="60mm"
    )
    assert plan.result.scallop == pytest.approx(20 * (1 / math.cos(math.radians(5)) - 1), abs=0.006)


def test_an_eccentric_is_a_circle_off_its_axis() -> None:
    wanted = plan_of("cam", base="15mm", segments=["eccentric 2mm in 360deg"], cutter="14mm", step="10deg").facts["rim"]
    circle = Point(2.0, 0.0).buffer(17.0, quad_segs=2000)
    for phi in range(0, 360, 15):
        r = wanted.radius(float(phi))
        point = Point(-r * math.cos(math.radians(phi)), r * math.sin(math.radians(phi)))
        assert circle.exterior.distance(point) == pytest.approx(0, abs=1e-4)


def test_a_spiral_has_one_pressure_angle() -> None:
    wanted = plan_of("cam", base="15mm", segments=["spiral 3mm in 200deg"], cutter="14mm", step="10deg").facts["rim"]
    angles = [math.atan(math.degrees(wanted.rate(at)) / wanted.radius(at)) for at in (1.0, 60.0, 120.0, 199.0)]
    assert angles == pytest.approx([angles[0]] * 4)


def test_a_dwell_is_one_sweep() -> None:
    job = recipes.job(recipes.load("tension-release-cam"))
    sheet = show.sheet(job, "2026-01-01")
    assert sum("sweep" in row.note for row in sheet.rows) == 2


def test_a_side_cutter_rounder_than_a_hollow_is_refused() -> None:
    segments = ["rise 9mm in 50deg cycloidal", "dwell 100deg", "fall 9mm in 50deg cycloidal", "dwell 160deg"]
    with pytest.raises(BadValue, match="is rounder than the hollow"):
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


def test_the_cards_of_every_shape_say_their_words(run: Run) -> None:
    gears = run("gears", "--lead", "12in").stdout
    assert "DRIVERS" in gears
    assert "DRIVEN" in gears
    helix = " ".join(run("card", "oil-groove-helix").stdout.split())
    assert "40 mm DIAMETER" in helix
    assert "RIGHT hand" in helix


# --- indexing and gears ---------------------------------------------------------------------------------------------


def test_indexing_examples() -> None:
    from stepcut.shop.index import settings, turns_for

    forty = Fraction(40)
    # Army OD1644, milling machine subcourses: 42 divisions; 54' on the 20-hole circle; 540' for one turn.
    assert float(turns_for(forty, divisions=42)) == pytest.approx(0.95238095)
    assert 360 / forty * 60 == 540
    move = settings(turns_for(forty, angle=Fraction(54, 60)), forty, [20])
    assert (move[0].turns, move[0].spaces, move[0].circle, move[0].error) == (0, 2, 20, 0)
    # Machinery's Handbook (1916): 11-1/2 and 1 degree; Fox Valley Technical College: 45 degrees and 8 degrees 50'.
    for angle, turns in (
        (Fraction(23, 2), 1.2777778),
        (Fraction(1), 0.11111111),
        (Fraction(45), 5),
        (Fraction(53, 6), 0.98148148),
    ):
        assert float(turns_for(forty, angle=angle)) == pytest.approx(turns, abs=1e-7)
    # Worksheet "Differential and Angular Indexing Guide": 15 degrees is 1 2/3 turns.
    assert [
        (s.turns, s.spaces, s.circle) for s in settings(turns_for(forty, angle=Fraction(15)), forty, [15, 18, 20])
    ] == [(1, 10, 15), (1, 12, 18)]
    # Machinery's Handbook 27, p. 1995: 6/27 = 12/54.
    assert [(s.spaces, s.circle) for s in settings(Fraction(2, 9), forty, [27, 54, 41])] == [(6, 27), (12, 54)]
    # Fox Valley Technical College: 24 holes in a direct plate are 15 degrees each.
    assert turns_for(Fraction(1), angle=Fraction(15)) * 24 == 1


@given(ratio=st.sampled_from([40, 60, 72, 90]), divisions=st.integers(2, 400))
def test_an_exact_setting_comes_round_and_a_near_one_says_its_error(ratio: int, divisions: int) -> None:
    from stepcut.shop.index import settings, turns_for

    turns = turns_for(Fraction(ratio), divisions=divisions)
    for s in settings(turns, Fraction(ratio), [15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33]):
        made = s.turns + (Fraction(s.spaces, s.circle) if s.circle else 0)
        assert made * 360 / ratio - Fraction(360, divisions) == s.error
        assert s.holes == s.spaces + 1


def test_sector_arms_are_said_in_spaces_and_in_holes(run: Run) -> None:
    # Common practice, no source: 10 spaces are set as 11 holes between the arms.
    done = run("index", "--angle", "15deg", "--ratio", "40", "--circles", "15")
    assert "1 turn + 10 spaces in the 15-hole circle (11 holes between the arms)" in done.stdout
    assert "count SPACES" in done.stdout


def test_what_no_circle_gives_is_said_to_be_impossible_with_the_nearest(run: Run) -> None:
    # 25 divisions at 72:1 is 2 22/25 turns: impossible on the circles 24, 28, 30, 34, 37, 38 and 39 ...
    done = run("index", "--divisions", "25", "--ratio", "72", "--circles", "24,28,30,34,37,38,39")
    assert "IMPOSSIBLE to do exactly" in done.stdout
    assert "2 turns + 30 spaces in the 34-hole circle" in done.stdout
    assert "each move 0.706' too far; after 25 moves 17.647' too far" in done.stdout
    # ... and exact where the plate has a 25-hole circle, as some that run from 24 to 39 do.
    done = run("index", "--divisions", "25", "--ratio", "72", "--circles", "24,25,28,30,34,37,38,39")
    assert "2 turns + 22 spaces in the 25-hole circle (23 holes between the arms)" in done.stdout


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
    for lead, short in ((6.160, 0.154), (10.467, 0.261675)):
        assert lead / 40 == pytest.approx(short, abs=1e-6)


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


def test_gears_that_do_not_come_near_say_so_and_end_with_status_1(run: Run) -> None:
    # 4 threads per inch and 40:1 give 10 in with equal gears; 24 and 48 reach 5, 10 or 20 in and nothing at 12.
    far = run("gears", "--lead", "12in", "--gears", "24,48", "--pitch", "0.25in", "--ratio", "40:1")
    assert far.returncode == 1
    assert "NO MATCH: the nearest that can be mounted is 58 % off" in far.stdout
    # On either side of one part in a hundred: equal gears give 10 in, 0.9 % off 9.91 in and 1.01 % off 9.90 in.
    assert run("gears", "--lead", "9.91in", "--gears", "24,24", "--pitch", "0.25in", "--ratio", "40").returncode == 0
    assert run("gears", "--lead", "9.90in", "--gears", "24,24", "--pitch", "0.25in", "--ratio", "40").returncode == 1


def test_index_takes_a_bare_number_or_angle(run: Run) -> None:
    assert run("index", "7").stdout == run("index", "--divisions", "7").stdout
    assert run("index", "35deg", "--ratio", "90:1").stdout == run("index", "--angle", "35deg", "--ratio", "90").stdout
    assert run("index", "7", "--angle", "35deg").returncode == 2
