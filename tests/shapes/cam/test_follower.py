"""Cams for a follower: the rim against a polygon that is cut and ridden on, and against forms that textbooks give.

The forms are published; their sizes here are our own.  "Khurmi" is R. S. Khurmi, J. K. Gupta, "Theory of Machines", chapter on
cams; "Mabie" is H. H. Mabie, C. F. Reinholtz, "Mechanisms and Dynamics of Machinery", chapter on cams; "Norton" is R. L. Norton,
"Design of Machinery", chapter on cams.  The formulas are quoted from memory, those of Khurmi also as public examination
questions print them.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from shapely import Point, Polygon, union_all
from shapely.affinity import rotate

from stepcut import cli
from stepcut.acts import Heading
from stepcut.errors import StepcutError
from stepcut.kernel.line import line_of, moved
from stepcut.kernel.motions import MOTIONS
from stepcut.routine import card
from stepcut.shapes.cam import lift
from stepcut.shapes.cam.follower import Follower, Riding, ride_of
from tests.outside import front
from tests.outside.published_motions import displacement, velocity
from tests.shops import plan_of, thinned

DEG = math.pi / 180


# --- a polygon that is cut and ridden on -----------------------------------------------------------------------------


def as_cut(plan: dict[str, Any], blank: float) -> np.ndarray:
    """The corners of the blank after every cut, worked out by shapely; the cam's angle 0 points up."""
    half, cuts = plan["cutter"]["diameter"] / 2, []
    stops = {stop["n"]: stop for stop in plan["stops"]}
    rows = [(stop["table"], stop["radius"]) for stop in plan["stops"]]
    for sweep in plan["sweeps"]:
        a, b = stops[sweep["from"]], stops[sweep["to"]]
        rows += [(float(at), a["radius"]) for at in np.arange(a["table"], b["table"], 0.25)]
    for table, height in rows:
        if plan["approach"] == "side":
            way_in = Polygon([(-half, height + half), (half, height + half), (half, 3 * blank), (-half, 3 * blank)])
            shape = Point(0, height + half).buffer(half, 512).union(way_in)
        else:
            shape = Polygon([(-half, height), (half, height), (half, 3 * blank), (-half, 3 * blank)])
        cuts.append(rotate(shape, -table, origin=(0, 0)))
    part = Point(0, 0).buffer(blank, 512).difference(union_all(cuts))
    ring = max(getattr(part, "geoms", [part]), key=lambda each: each.area).exterior.segmentize(0.02)
    return np.array(ring.coords)


def ridden(corners: np.ndarray, at: float, kind: str, radius: float) -> float:
    """How high a follower stands over the axis at an angle of the cam: its face, its edge, or its roller's middle."""
    up = np.array([math.sin(at * DEG), math.cos(at * DEG)])
    along, beside = corners @ up, corners @ np.array([up[1], -up[0]])
    if kind == "flat":
        return float(along.max())
    if kind == "roller":
        near = np.abs(beside) < radius
        return float((along[near] + np.sqrt(radius**2 - beside[near] ** 2)).max())
    near = (np.abs(beside) < 0.03) & (along > 0)
    return float(along[near].max())


RIDES = {
    "flat face, end of the cutter": (
        {"follower": "flat", "cutter": "40mm", "cut-with": "end"}, ("flat", 0.0),
    ),
    "roller, side of a cutter of its size": (
        {"roller": "12mm", "cutter": "12mm", "cut-with": "side"}, ("roller", 6.0),
    ),
    "roller, end of the cutter": (
        {"roller": "10mm", "cutter": "30mm", "cut-with": "end"}, ("roller", 5.0),
    ),
    "knife edge": ({"follower": "knife", "cutter": "8mm", "cut-with": "side"}, ("knife", 0.0)),
}  # fmt: skip


@pytest.mark.parametrize("name", thinned(RIDES))
@pytest.mark.parametrize("motion", ["harmonic", pytest.param("cycloidal", marks=pytest.mark.long)])
def test_a_follower_on_the_cut_cam_is_lifted_as_wanted_and_never_less(name: str, motion: str) -> None:
    values, (kind, radius) = RIDES[name]
    segments = [f"rise 5mm in 100deg {motion}", "dwell 40deg", f"fall 5mm in 120deg {motion}", "dwell 100deg"]
    plan = front.solved("cam", base="24mm", segments=segments, step="2deg", blank="62mm", **values)
    corners = as_cut(plan, 31.0)
    most = plan["result"]["stock_max"]
    for at in np.arange(0.5, 360, 7.25):
        share = displacement(motion)
        wanted = 5 * float(
            share(np.array(at / 100)) if at < 100 else 1 if at < 140 else 1 - share(np.array(min(1, (at - 140) / 120)))
        )
        stands = ridden(corners, float(at), kind, radius) - radius - 24
        assert wanted - 2e-3 <= stands <= wanted + most + 6e-3


def test_a_lift_table_lifts_as_its_rows_say() -> None:
    rows = [(at, 2.2 / 2 * (1 - math.cos(math.pi * at / 70))) for at in range(0, 141, 5)]
    table = [[f"{at}deg", f"{value:.4f}mm"] for at, value in rows]
    plan = front.solved(
        "cam", base="16mm", table=table, roller="10mm", cutter="8mm", step="1deg", blank="40mm", **{"cut-with": "side"}
    )
    corners = as_cut(plan, 20.0)
    for at, value in rows[1:-1]:
        stands = ridden(corners, at, "roller", 5.0) - 5 - 16
        assert value - 2e-3 <= stands <= value + plan["result"]["stock_max"] + 4e-3
    assert "undercut" not in [remark["code"] for remark in plan["remarks"]]


def test_a_table_is_joined_by_the_spline_that_scipy_finds() -> None:
    rows = [(float(at), round(3 * math.sin(at / 80 * math.pi / 2) ** 2, 9)) for at in range(0, 161, 10)]
    made = lift.knots(rows, False)
    ends = ((1, made[0][2]), (1, made[-1][2]))  # by a parabola, where nothing says that they are level
    spline = CubicSpline(*zip(*rows, strict=True), bc_type=ends)
    assert max(abs(rate - float(spline(at, 1))) for at, _, rate in made) < 1e-12
    level = [*rows, (360.0, 0.0)]  # a dwell follows
    spline = CubicSpline(*zip(*rows, strict=True), bc_type="clamped")
    assert max(abs(rate - float(spline(at, 1))) for at, _, rate in lift.knots(level, True)[:-1]) < 1e-12
    turn = [(float(at), 2 + math.sin(at * DEG) + 0.2 * math.cos(3 * at * DEG)) for at in range(0, 361, 15)]
    turn[-1] = (360.0, turn[0][1])
    round_ = CubicSpline(*zip(*turn, strict=True), bc_type="periodic")
    assert max(abs(rate - float(round_(at, 1))) for at, _, rate in lift.knots(turn, True)) < 1e-12


def test_a_table_never_lifts_between_rows_that_only_rise() -> None:
    rows = [(0.0, 0.0), (10.0, 0.01), (20.0, 2.0), (30.0, 2.01), (40.0, 2.02)]
    made = lift.knots([*rows, (60.0, 2.02), (360.0, 0.0)], False)
    curve = lift.Curve([(a, b) for a, b, _ in made], [rate for *_, rate in made])
    lifts = [curve.lift(at / 10) for at in range(401)]
    assert all(b >= a - 1e-12 for a, b in pairwise(lifts))


# --- forms that textbooks give ---------------------------------------------------------------------------------------


def riding(heights: Any, span: float, follower: Follower, base: float) -> Riding:
    """A follower on a fine table of lifts over the base."""
    rows = [(span * k / 720, float(heights(span * k / 720 * DEG)) - base) for k in range(721)]
    return Riding(line_of(lift.stretches(rows, base, span == 360.0), period=360.0), follower)


def points(ride: Riding, low: float, high: float) -> list[tuple[float, float]]:
    """Places of the rim in the plane: along angle 0, and square to it."""
    found = []
    for at in np.linspace(low, high, 25):
        radius, _ = ride.rim(float(at))
        found.append((radius * math.cos(at * DEG), radius * math.sin(at * DEG)))
    return found


@pytest.mark.parametrize(("least", "stroke"), [(25.0, 50.0), (18.0, 7.0), (40.0, 12.0)])
def test_harmonic_motion_out_and_back_under_a_flat_face_is_an_eccentric_circle(least: float, stroke: float) -> None:
    # Mabie, exercise on a radial flat-faced follower: the contour is a circle.  Its radius is the least radius and half the
    # stroke, its middle half the stroke from the axis; the face needs the whole stroke.
    ride = riding(lambda a: least + stroke / 2 * (1 - math.cos(a)), 360.0, Follower("flat"), least)
    for x, y in points(ride, 0.0, 359.0):
        assert math.hypot(x + stroke / 2, y) == pytest.approx(least + stroke / 2, abs=2e-5)
    assert ride.face_needed == pytest.approx(stroke, abs=1e-3)


@pytest.mark.parametrize(("flank", "roller"), [(20.0, 6.0), (16.0, 9.5)])
def test_a_tangent_cam_has_straight_flanks(flank: float, roller: float) -> None:
    # Khurmi: on the straight flank the roller is displaced (r1 + r2)(1 - cos a)/cos a.
    ride = riding(
        lambda a: flank + (flank + roller) * (1 - math.cos(a)) / math.cos(a), 30.0, Follower("roller", roller), flank
    )
    for x, _ in points(ride, 2.0, 14.0):
        assert x == pytest.approx(flank, abs=1e-8)


@pytest.mark.parametrize(("least", "flank"), [(15.0, 60.0), (22.0, 85.0)])
def test_a_circular_arc_cam_has_round_flanks(least: float, flank: float) -> None:
    # Khurmi: on the flank a flat face is displaced (R - r1)(1 - cos a); the flank's middle lies R - r1 behind the axis.
    ride = riding(lambda a: least + (flank - least) * (1 - math.cos(a)), 22.0, Follower("flat"), least)
    for x, y in points(ride, 3.0, 30.0):
        if math.atan2(y, x) < 0.8 * math.atan2(flank * math.sin(22 * DEG), flank * math.cos(22 * DEG) - flank + least):
            assert math.hypot(x + flank - least, y) == pytest.approx(flank, abs=2e-5)


@pytest.mark.parametrize(("nose", "middle"), [(4.0, 24.0), (7.0, 19.0)])
def test_the_nose_of_a_circular_arc_cam_is_round(nose: float, middle: float) -> None:
    # Khurmi: on the nose the face stands OQ cos(a) + r2 above the axis, a counted from its highest place.
    begin = -20 * DEG
    ride = riding(
        lambda a: middle * math.cos(a + begin) + nose, 40.0, Follower("flat"), middle * math.cos(begin) + nose
    )
    for x, y in points(ride, 19.0, 21.0):
        mx, my = middle * math.cos(-begin), middle * math.sin(-begin)
        assert math.hypot(x - mx, y - my) == pytest.approx(nose, abs=2e-5)


@pytest.mark.parametrize(("disc", "off", "roller"), [(20.0, 5.0, 8.0), (32.0, 3.0, 5.0)])
def test_an_eccentric_disc_lifts_a_roller_as_a_crank_and_rod(disc: float, off: float, roller: float) -> None:
    # Norton: an eccentric is a slider-crank of crank e and rod R + r: e cos a + sqrt((R + r)^2 - e^2 sin^2 a).
    def height(a: float) -> float:
        rod = disc + roller
        return -off * math.cos(a) + math.sqrt(rod**2 - (off * math.sin(a)) ** 2) - roller

    ride = riding(height, 360.0, Follower("roller", roller), disc - off)
    for x, y in points(ride, 0.0, 359.0):
        assert math.hypot(x + off, y) == pytest.approx(disc, abs=2e-5)


@pytest.mark.parametrize(("motion", "factor"), [("harmonic", math.pi / 2), ("cycloidal", 2.0), ("3-4-5", 15 / 8)])
def test_the_pressure_angle_is_that_of_the_published_formula(motion: str, factor: float) -> None:
    # Norton: tan = v / (prime radius + s), and the peak velocity factors of his table; they stand at half the rise.
    rise, beta, base, roller = 9.0, 75.0, 21.0, 6.5
    ride = riding(
        lambda a: base + rise * float(displacement(motion)(np.array(a / DEG / beta))),
        beta,
        Follower("roller", roller),
        base,
    )
    expected = math.degrees(math.atan(factor * rise / (beta * DEG) / (base + roller + rise / 2)))
    assert ride.pressure_at(beta / 2) == pytest.approx(expected, abs=2e-3)
    middles = np.linspace(1, 74, 40)
    for at in middles:
        rate = rise / (beta * DEG) * float(velocity(motion)(np.array(at / beta)))
        s = rise * float(displacement(motion)(np.array(at / beta)))
        assert math.tan(ride.pressure_at(float(at)) * DEG) == pytest.approx(rate / (base + roller + s), abs=2e-4)


@pytest.mark.parametrize(("rise", "beta"), [(8.0, 60.0), pytest.param(12.0, 80.0, marks=pytest.mark.long)])
def test_a_flat_face_loses_lift_below_the_published_base_radius(rise: float, beta: float) -> None:
    # Norton: the radius of curvature is base + s + d2s/da2, least at the end of a harmonic rise, pi^2 h / (2 beta^2).
    least = math.pi**2 * rise / (2 * (beta * DEG) ** 2) - rise
    segments = [
        f"rise {rise}mm in {beta}deg harmonic",
        f"fall {rise}mm in {beta}deg harmonic",
        f"dwell {360 - 2 * beta}deg",
    ]

    def ride(base: float) -> Any:
        from stepcut.recipes import from_content, job

        values = {"base": f"{base:.3f}mm", "segments": segments, "follower": "flat", "cutter": "60mm", "step": "4deg"}
        return job(from_content({"stepcut": 1, "machine": "metric", "title": "case", "cam": values})).plan

    assert ride(least + 0.5).details.ride.lost == 0.0
    short = ride(max(1.0, least - 6))
    assert short.details.ride.least_base == pytest.approx(least, rel=2e-3)
    assert short.details.ride.lost > 0.01
    assert "undercut" in [remark.code for remark in short.remarks]


@pytest.mark.long
def test_an_undercut_that_reaches_into_a_dwell_is_cut_away_there_too() -> None:
    from tests.outside import whole_part

    segments = ["rise 6.41mm in 80deg cycloidal", "dwell 20deg", "fall 6.41mm in 42deg cycloidal", "dwell 218deg"]
    plan = front.solved(
        "cam", base="18.4mm", segments=segments, follower="flat", cutter="6mm", step="2deg", **{"cut-with": "side"}
    )
    seen = whole_part.see(plan, fast=True)
    assert seen.gouge < 1e-3
    assert plan["result"]["volume"] == pytest.approx(seen.volume, rel=1e-3)


def test_a_roller_larger_than_the_pitch_curve_is_round_loses_lift() -> None:
    # Norton: the pitch curve must nowhere be rounder than the roller.
    def of(roller: float) -> float:
        rows = [(at, 6 / 2 * (1 - math.cos(math.pi * at / 40))) for at in range(0, 81, 2)]
        line = line_of(lift.stretches([*((float(a), b) for a, b in rows), (360.0, 0.0)], 14.0, False), period=360.0)
        return ride_of(line, Follower("roller", roller)).lost

    def curvature(roller: float) -> float:
        h, acceleration = 14 + roller + 6, -6 / 2 * (180 / 40) ** 2
        return h * h / (h - acceleration)  # at the top, where the follower stands still

    assert curvature(3.0) > 3.0 and of(3.0) == 0.0
    assert curvature(20.0) < 20.0 and of(20.0) > 0.01


# --- what is asked ---------------------------------------------------------------------------------------------------


def test_a_snail_is_said_from_where_to_where() -> None:
    snail = front.solved(
        "cam", segments="from 19mm to 11mm in 300deg", cutter="6mm", step="10deg", **{"cut-with": "side"}
    )
    plain = front.solved(
        "cam", base="19mm", segments="fall 8mm in 300deg", cutter="6mm", step="10deg", **{"cut-with": "side"}
    )
    assert snail["stops"] == plain["stops"]
    assert snail["target"]["base_radius"] == 19.0


def test_a_snail_of_sectors_is_swept_sector_by_sector() -> None:
    radii = [19.0, 17.5, 16.0, 14.5, 13.0, 11.5]
    plan = front.solved(
        "cam",
        sectors=[f"{radius}mm" for radius in radii],
        cutter="3mm",
        step="60deg",
        leave="0mm",
        **{"cut-with": "side"},
    )
    corners = as_cut({**plan, "cutter": {"diameter": 3.0}}, 19.5)
    bearing = np.degrees(np.arctan2(corners[:, 0], corners[:, 1])) % 360
    far = np.hypot(*corners.T)
    for k, radius in enumerate(radii):
        inside = (bearing > 60 * k + 14) & (
            bearing < 60 * k + 50
        )  # beside the higher sector the cutter leaves its own round
        assert far[inside].min() >= radius - 1e-3
        assert far[inside].max() == pytest.approx(radius, abs=0.01)
    assert len(plan["sweeps"]) == 6


def test_a_clamping_cam_says_whether_it_holds() -> None:
    # By hand: a spiral from 10 to 12 mm in 90 degrees stands at atan(ln(1.2) / (pi / 2)) = 6.62 degrees all the way.
    plan = front.solved("cam", segments="spiral from 10mm to 12mm in 90deg; dwell 20deg", cutter="8mm", step="5deg",
                        **{"cut-with": "side", "for": "clamp"})  # fmt: skip
    slips = next(remark["text"] for remark in plan["remarks"] if remark["code"] == "rim-slips")
    assert "6.6°" in slips and "friction 0.08" in slips
    calm = front.solved("cam", segments="spiral from 10mm to 11mm in 90deg", cutter="8mm", step="5deg",
                        **{"cut-with": "side", "for": "clamp"})  # fmt: skip
    assert "rim-slips" not in [remark["code"] for remark in calm["remarks"]]


# By hand: the spiral ends at 12 mm and at 90 degrees of the cam.
@pytest.mark.parametrize(
    ("after", "words"),
    [
        ("", "highest, 12.000 mm, at 90°; nothing lies past it, so only friction keeps it shut"),
        ("; dwell 20deg", "level at 12.000 mm for 20°"),
        (
            "; fall 0.5mm in 30deg",
            "highest, 12.000 mm, at 90°, then 30° on over centre, 0.500 mm lower; a stop must end its way there",
        ),
    ],
)
def test_a_clamping_cam_says_what_lies_past_its_highest_place(after: str, words: str) -> None:
    plan = plan_of("cam", segments=f"spiral from 10mm to 12mm in 90deg{after}", cutter="8mm", step="5deg",
                   **{"cut-with": "side", "for": "clamp"})  # fmt: skip
    assert dict(card(plan, Heading()).words.desk)["Over centre"] == words


def test_the_table_turns_as_the_cam_does() -> None:
    plan = front.solved(
        "cam", base="20mm", segments="rise 2mm in 90deg", cutter="10mm", step="5deg", turns="anticlockwise"
    )
    assert plan["table"]["turns"] == "anticlockwise"


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"segments": "rise 2mm in 90deg", "sectors": ["1mm", "2mm"]}, "does not go with segments"),
        (
            {"sectors": ["21mm", "20mm"]},
            "does not agree with sectors, which begin at 21 mm. Leave it out: sectors are radii from the axis.",
        ),
        (
            {"table": [["0deg", "0mm"], ["10deg", "1mm"]], "roller": "6mm", "follower": "flat"},
            "does not go with follower = flat",
        ),
        ({"table": [["5deg", "0mm"], ["10deg", "1mm"]]}, "must begin at 0 degrees"),
        ({"table": [["0deg", "1mm"], ["10deg", "1mm"]]}, "is the same lift everywhere"),
        ({"table": [["0deg", "0mm"], ["10deg", "1mm"]], "follower": "roller"}, "roller: is missing"),
        ({}, "segments: is missing"),
        ({"segments": "rise 2mm in 90deg", "base": None}, "base: is missing"),
    ],
)
def test_what_does_not_go_together_is_said(values: dict[str, Any], words: str) -> None:
    given = {key: value for key, value in {"base": "20mm", "cutter": "8mm", **values}.items() if value is not None}
    with pytest.raises(StepcutError, match=words):
        front.solved("cam", **given)


def test_a_roller_as_thin_as_a_wire_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A roller of 0.0121 mm ended in a division by nought: it passed between the places that are tried for it."""
    line = ["cam", "--base", "20mm", "--segments", "rise 2.5mm in 60deg; dwell 30deg; fall 2.5mm in 60deg", "--cutter", "10mm"]  # fmt: skip
    assert cli.run([*line, "--step", "5deg", "--machine", "metric", "--roller", "0.0121mm"]) == 2
    assert capsys.readouterr().err == (
        "roller = 0.01210 mm: is thinner than a roller of this cam can be, 0.157 mm. Check the number and its unit.\n"
    )
    assert cli.run([*line, "--step", "5deg", "--machine", "metric", "--roller", "0.2mm"]) == 0


def test_where_the_turn_of_a_cam_is_counted_from_changes_nothing_of_its_rim() -> None:
    """The same cam with its nought in the middle of a rise and at the foot of it: a roller rides across nought as anywhere else."""

    def riding(*parts: tuple[float, float, float, float, str]) -> Riding:
        stretches = [s for *places, motion in parts for s in moved(*places, MOTIONS[motion])]
        return Riding(line_of(stretches, period=360.0), Follower("roller", 6.0))

    inside = riding((0, 60, -25, -20, "uniform"), (60, 300, -20, -30, "harmonic"), (300, 360, -30, -25, "uniform"))
    beside = riding((0, 120, -30, -20, "uniform"), (120, 360, -20, -30, "harmonic"))
    for at in (-3.0, -0.5, -0.05, 0.05, 0.5, 3.0):
        assert inside.rim(at) == pytest.approx(beside.rim(at + 60), rel=1e-9)
    assert inside.lost.value == pytest.approx(beside.lost.value)
    assert inside.lost.at == pytest.approx(beside.lost.at - 60)
