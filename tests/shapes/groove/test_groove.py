"""Grooves on a circle against a raster of the face: never below, ridges and volume, from the JSON alone."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards.wording import remark_text
from stepcut.errors import StepcutError
from stepcut.routine import acts, card
from stepcut.shapes.groove.mishap import beside, lowered
from stepcut.voice import voice_of
from tests.outside import front
from tests.outside.published_motions import displacement
from tests.routine.simulated import played
from tests.shops import plan_of

BALLS: dict[str, Any] = {
    "circle": "37mm", "span": "60deg", "begin-depth": "0.5mm", "end-depth": "2mm", "grooves": "3", "cutter": "6mm ball", "step": "3deg",
    "leave": "0mm",
}  # fmt: skip


def wanted(target: dict[str, Any], phi: np.ndarray) -> np.ndarray:
    """Depth of the middle; beyond its ends it stays level."""
    phi = np.clip(phi, 0, target["span"])
    if target["targets"]:
        return np.interp(phi, *np.array(target["targets"]).T)
    return target["start_depth"] + target["rise"] * displacement(target["law"])(phi / target["span"])


def rounded(away: np.ndarray, cutter: dict[str, Any]) -> np.ndarray:
    """How much higher than its lowest place the end of a cutter is, so far from its axis."""
    size = cutter["diameter"] / 2
    corner = {"ball": size, "flat": 0.0}.get(cutter["kind"], cutter.get("corner", 0.0))
    return corner - np.sqrt(np.maximum(corner**2 - np.maximum(np.abs(away) - size + corner, 0) ** 2, 0))


def made(
    x: np.ndarray, y: np.ndarray, cuts: list[tuple[float, float]], ring: float, cutter: dict[str, Any]
) -> np.ndarray:
    """Depth of the face after cuts (degrees, mm) at points in the plane."""
    size, found = cutter["diameter"] / 2, np.zeros_like(x)
    for at, depth in cuts:
        away = np.hypot(x - ring * math.cos(math.radians(at)), y - ring * math.sin(math.radians(at)))
        rise = rounded(away, cutter)
        found = np.where(away <= size, np.maximum(found, depth - rise), found)
    return found


CASES = {
    "ball, uniform": {},
    "ball, harmonic, by ridge": {"motion": "harmonic", "step": None, "scallop": "0.02mm"},
    "flat end": {"cutter": "5mm", "step": "2deg"},
    "bull nose": {"cutter": "6mm bull 1mm", "leave": "0.05mm"},
    "ball, down and up": {"span": None, "begin-depth": None, "end-depth": None, "targets": [["0deg", "1mm"], ["25deg", "2.4mm"], ["50deg", "1mm"]]},
    "left to file": {"leave": "0.1mm"},
}  # fmt: skip


SLOW = ("ball, harmonic, by ridge", "ball, down and up", "left to file")


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=pytest.mark.long) if name in SLOW else name for name in CASES]
)
def test_a_groove_is_what_a_raster_sees(name: str) -> None:
    plan = front.solved(
        "groove", **{key: value for key, value in {**BALLS, **CASES[name]}.items() if value is not None}
    )
    target, cutter, leave = plan["target"], plan["cutter"], plan["leave"]
    ring, size = target["circle"] / 2, cutter["diameter"] / 2
    one = [(stop["table"], stop["depth"]) for stop in plan["stops"] if stop["start"] == 1]
    phi = np.linspace(0, target["span"], 6001)
    on_circle = made(ring * np.cos(np.radians(phi)), ring * np.sin(np.radians(phi)), one, ring, cutter)
    stock = wanted(target, phi) - on_circle
    assert stock.min() >= leave - 1e-6
    assert plan["result"]["stock_max"] == pytest.approx(stock.max(), abs=2e-3)
    slope = np.gradient(wanted(target, phi), np.radians(phi) * ring)
    assert plan["result"]["scallop"] == pytest.approx(((stock - leave) / np.hypot(1, slope)).max(), abs=2e-3)
    # The unbroken groove: the cutter at its deepest at very many places, itself held by the line on the circle alone.
    many = np.linspace(one[0][0], one[-1][0], 801)
    beside = np.degrees(2 * np.arcsin(np.linspace(-size, size, 401) / 2 / ring))
    rise = rounded(np.linspace(-size, size, 401), cutter)
    deepest = [(float(at), float((wanted(target, at + beside) + rise).min())) for at in many]
    half = size * np.r_[np.linspace(0, 0.9, 46), np.linspace(0.9, 1, 26)[1:]]  # finer at the walls, where circles meet
    edges, angles = ring + np.r_[-half[::-1], half[1:]], np.linspace(0, target["span"], 361)
    radii, wide = (edges[1:] + edges[:-1]) / 2, np.repeat(np.diff(edges), len(angles))
    r, a = (part.ravel() for part in np.meshgrid(radii, np.radians(angles), indexing="ij"))
    whole, cut = (made(r * np.cos(a), r * np.sin(a), rows, ring, cutter) for rows in (deepest, one))
    assert (whole - cut).min() >= -2e-4 + min(leave, 0.0)
    volume = ((whole - cut) * r * wide).sum() * math.radians(angles[1] - angles[0]) * target["starts"]
    assert plan["result"]["volume"] == pytest.approx(volume, rel=0.03)


def test_the_ridge_along_the_middle_is_the_rise_of_an_arc_over_half_its_pitch() -> None:
    # By hand, level floor: pitch^2 / (8 R), the chord of 3 degrees on a radius of 18.5 mm under a ball of 3 mm.
    plan = front.solved("groove", **{**BALLS, "begin-depth": "1.999mm"})
    pitch = 2 * 18.5 * math.sin(math.radians(1.5))
    rounded = 2.0 - 1.995  # the floor, but for a thousandth, and the division above it at which its cuts stand
    assert plan["stops"][1]["depth"] == 1.995
    assert plan["result"]["scallop"] == pytest.approx(3 - math.sqrt(9 - pitch**2 / 4) + rounded, abs=1e-4)


@pytest.mark.parametrize("cutter", ["6mm", "6mm bull 1mm", "6mm ball"])
def test_the_ridge_on_a_wall_is_the_rise_of_an_arc_and_of_the_circle_it_goes_round(cutter: str) -> None:
    """By hand, where the wall is upright: from the outermost place of a plunge in the middle to where two plunges meet.

    On a circle of 18.5 mm, 3 degrees apart, circles of 3 mm meet at 18.5 cos(1.5) + sqrt(9 - (18.5 sin(1.5))^2) from the centre.
    """
    plan = front.solved("groove", **{**BALLS, "cutter": cutter, "begin-depth": "3.05mm", "end-depth": "3.3mm"})
    meet = 18.5 * math.cos(math.radians(1.5)) + math.sqrt(9 - (18.5 * math.sin(math.radians(1.5))) ** 2)
    assert plan["result"]["wall_ridge"] == pytest.approx(21.5 - meet, abs=1e-4)


def test_a_nearly_level_floor_whose_walls_stand_between_its_cuts_is_looked_at_again() -> None:
    """By hand: cuts 18 degrees apart on 18.5 mm are 5.8 mm apart, and circles of 3 mm meet 0.78 mm beside the line."""
    plan = plan_of("groove", **{**BALLS, "cutter": "6mm", "begin-depth": "1.99mm"})
    (said,) = [remark for remark in plan.remarks if remark.code == "walls-stand"]
    pitch = 18.5 * math.sin(math.radians(9))
    assert said.look
    assert said.facts["stands"] == pytest.approx(3 - math.sqrt(9 - pitch**2), abs=0.3)
    assert 21.5 * math.radians(said.facts["step"]) == pytest.approx(math.sqrt(8 * 3 * 0.05), rel=0.03)  # p^2 = 8 R h
    words = remark_text(said, voice_of(plan.machine))
    assert words == (
        f"The cuts lie so far apart that its walls stand up to {said.facts['stands']:.3f} mm between them, though the ridge along the middle is "
        "low. Take a step of 2.9° or less; where the floor is nearly level, feed the table on to the next cut with the cutter in, then down."
    )


def test_where_the_first_cut_does_not_reach_the_ridge_is_said() -> None:
    ends = ("span", "begin-depth", "end-depth", "step", "grooves", "cutter")
    deep = [["0deg", "1mm"], ["25deg", "2.4mm"], ["50deg", "1mm"]]
    given = {key: value for key, value in BALLS.items() if key not in ends}
    plan = plan_of("groove", **given, cutter="4mm", targets=deep, scallop="0.1mm")
    (said,) = [remark.facts for remark in plan.remarks if remark.code == "scallop-exceeded"]
    # By hand: where it begins all of 1 mm stands, square to a slope of 1.4 mm in 25 degrees of a circle of 18.5 mm.
    slope = math.atan(1.4 / (18.5 * math.radians(25)))
    assert said["where"] == pytest.approx(0, abs=0.01)
    assert said["scallop"] == pytest.approx(math.cos(slope), abs=1e-3)


def test_three_grooves_leave_land_between_them() -> None:
    plan = front.solved("groove", **BALLS)
    # By hand: 120 degrees less the span less what a ball of 3 mm covers at depths of 0.5 and 2 mm, as chords of 18.5 mm.
    ends = [math.sqrt(9 - (3 - depth) ** 2) for depth in (0.5, 2.0)]
    angle = 60 - sum(math.degrees(2 * math.asin(half / 2 / 18.5)) for half in ends)
    assert plan["result"]["land"] == pytest.approx(math.radians(angle) * 18.5, abs=0.12)
    with pytest.raises(StepcutError, match="leaves no land"):
        front.solved("groove", **{**BALLS, "span": "112deg"})


def test_every_cut_ends_at_its_division() -> None:
    job = recipes.job(recipes.load("hoist-lifter-ball-ramps"))
    played(job.plan, [{**act.content(), "to": act.to} for act in acts(job.plan)])


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"end-depth": "0.4mm"}, "must be more than begin-depth"),
        ({"end-depth": None}, "end-depth: is missing"),
        ({"cutter": "40mm ball"}, "covers the centre"),
        ({"step": "30deg"}, "leaves uncut metal between neighbours"),
        ({"cuts": "5"}, "does not go with step"),
        ({"span": "130deg"}, "is more than the 120 degrees"),
        ({"leave": "3mm"}, "leaves nothing to cut"),
        (
            {"targets": "0deg 1mm, 20deg 2mm", "span": None, "end-depth": None},
            "begin-depth = 0.5mm: does not go with targets. Leave one of them out.",
        ),
    ],
)
def test_what_cannot_be_is_said(values: dict[str, Any], words: str) -> None:
    with pytest.raises(StepcutError, match=words):
        front.solved("groove", **{key: value for key, value in {**BALLS, **values}.items() if value is not None})


def test_a_leave_as_deep_as_the_groove_leaves_nothing_to_cut() -> None:
    assert front.solved("groove", **BALLS | {"leave": "1.99mm"})["stops"]
    with pytest.raises(StepcutError, match="leave"):
        front.solved("groove", **BALLS | {"leave": "2mm"})


def test_the_dry_run_goes_to_the_first_the_middle_and_the_last_cut_of_all_grooves() -> None:
    plan = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "groove": BALLS})).plan
    (run,) = [row.what for row in card(plan, Heading(unit="mm")).set_up if row.what.startswith("Dry run")]
    places = [float(plan.first.value(plan.stops[k].first)) for k in (0, len(plan.stops) // 2, -1)]
    said = [
        int(whole) + int(part or 0) / 60 for whole, part in re.findall(r"(\d+)°(?:(\d+)')?", run.partition("rim ")[2])
    ]
    assert said == pytest.approx([place % 360 for place in places], abs=0.01)


def test_a_leave_as_deep_as_the_groove_leaves_nothing_to_cut_and_is_named() -> None:
    flat = {**BALLS, "cutter": "5mm", "step": "2deg"}
    with pytest.raises(StepcutError, match=r"^leave = "):
        front.solved("groove", **{**flat, "leave": "2mm"})


def test_a_flat_cutter_makes_a_groove_as_wide_as_itself_and_a_ball_one_as_wide_as_its_circle_there() -> None:
    """A ball of 3 mm that goes 1.2 mm deep is 2.4 mm to each side at the face: 1.8^2 + 2.4^2 = 3^2."""
    for cutter, deep, wide in (("5mm", "2mm", 5.0), ("6mm ball", "1.2mm", 4.8)):
        values = {**BALLS, "cutter": cutter, "span": "8deg", "grooves": "1", "end-depth": deep, "step": "2deg"}
        plan = recipes.job(
            recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "groove": values})
        ).plan
        assert plan.details.width == pytest.approx(wide)


def test_of_grooves_that_take_all_of_their_part_of_the_circle_the_land_is_spoken_of_and_past_it_the_span() -> None:
    full = {**BALLS, "grooves": "6"}
    with pytest.raises(StepcutError, match="leaves no land between neighbouring grooves"):
        front.solved("groove", **full)  # 6 of 60 degrees each
    with pytest.raises(StepcutError, match=r"span = 61deg: is more than the 60 degrees of each groove\."):
        front.solved("groove", **{**full, "span": "61deg"})


def test_a_groove_lowered_at_its_beginning_is_lowered_at_its_end_too() -> None:
    values = {"targets": None, "begin-depth": Fraction(1, 2), "end-depth": Fraction(2)}
    assert lowered(values, Fraction(1, 10)) == ("begin-depth", Fraction(6, 10))
    assert beside(values, Fraction(1, 10)) == {"end-depth": Fraction(21, 10)}
    assert beside({**values, "targets": ((0, 1), (30, 2))}, Fraction(1, 10)) == {}
