"""The set-up says which way the cutter cuts and how fast it turns."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from types import SimpleNamespace
from typing import cast

import numpy as np
import pytest
from msgspec.structs import replace

from stepcut.acts import Card, Heading, Words
from stepcut.recipes import from_content, job, load
from stepcut.routine import acts, card
from stepcut.routine.face_cycles import across_from_to
from stepcut.routine.new_cutter import set_up
from stepcut.shop.turning import turns_a_minute


def of(name: str, **sets: str) -> Card:
    return card(job(load(name).resized(sets)).plan, Heading())


def test_climb_or_conventional_is_told_by_the_tooth_on_the_low_side() -> None:
    # Seen from above, x to the right, y to the column, the part cut at 3 o'clock.  A tooth's speed is w x r with the spindle
    # clockwise (w down).  The work comes against the way of the cutter.  Climb: tooth and work go the same way at the cut.
    spindle, way_in = np.array([0.0, 0.0, -1.0]), np.array([-1.0, 0.0, 0.0])
    for rises in ("clockwise", "anticlockwise"):
        # The ramp rises clockwise: going clockwise from 3 o'clock (towards you) it is higher, so low lies to the column.
        low_side = np.array([0.0, 1.0 if rises == "clockwise" else -1.0, 0.0])
        tooth = np.cross(spindle, low_side)
        climbs = float(tooth @ -way_in) > 0
        said = next(
            item.what
            for item in of("sluice-clamp-ramp", tightens="", rises=rises).set_up
            if "Feed along X" in item.what
        )
        assert ("CLIMBS" in said) == climbs
        assert ("conventional" in said) != climbs


def test_the_feed_ends_in_the_bore_with_the_whole_strip_cut_and_clear_of_the_far_wall() -> None:
    made = of("sluice-clamp-ramp")
    said = next(item for item in made.set_up if "Feed along X" in item.what)
    begin, end = float(said.what.split("along X from ")[1].split()[0]), float(said.answer)
    radius, offset, bore, outside = 0.1875, 0.1875, 0.700, 0.875
    around = np.linspace(0, 2 * math.pi, 3601)
    rim = np.stack([radius * np.cos(around), offset + radius * np.sin(around)])
    assert begin > end > 0  # it comes in from one side, and ends on that side of the centre
    assert np.hypot(rim[0] + begin, rim[1]).min() > outside  # clear outside
    assert np.hypot(rim[0] + end, rim[1]).max() < bore  # the whole cutter stands in the bore


@pytest.mark.parametrize(("inches", "feet", "low", "high"), [(0.5, 100, 700, 820), (0.375, 70, 690, 730)])
def test_the_spindle_turns_by_the_shops_rule(inches: float, feet: int, low: int, high: int) -> None:
    # The shop's rule of four, rpm = 4 V / d, is 12 V / (pi d) within 5 per cent; common practice, no source.
    found = turns_a_minute(Fraction(inches) * Fraction(254, 10), feet)
    assert low <= found <= high
    assert found == pytest.approx(4 * feet / inches, rel=0.07)


# Feet a minute for high-speed steel: "Machine Tool Speeds and Feeds", workshop table, docslib.org/doc/5103932; carbide twice.
@pytest.mark.parametrize(
    ("name", "sets", "of", "across", "feet"),
    [
        ("sluice-clamp-ramp", {"material": ""}, "HSS, if mild steel", 0.375, (70, 120)),
        ("sluice-clamp-ramp", {"material": "cast iron"}, "cast iron", 0.375, (80, 120)),
        ("valve-lift-plate", {"material": "brass", "cutter": "1/4in carbide"}, "carbide, brass", 0.25, (300, 900)),
        ("lever-ball-knob", {"material": "steel"}, "mild steel", 1.0, (100, 250)),
        ("paddle-socket-bore", {"material": "stainless"}, "stainless", 1.25, (60, 180)),
    ],
)
def test_the_spindle_is_told_for_the_material_on_the_cutter_or_the_work(
    name: str, sets: dict[str, str], of: str, across: float, feet: tuple[int, int]
) -> None:
    item = next(item for item in of_recipe(name, sets).set_up if item.what.startswith("Spindle"))
    low, high = (int(text) for text in item.answer.removesuffix(" rpm").split(" to "))
    assert of in item.what
    assert (low, high) == (
        pytest.approx(12 * feet[0] / (math.pi * across), rel=0.05),
        pytest.approx(12 * feet[1] / (math.pi * across), rel=0.05),
    )


def of_recipe(name: str, sets: dict[str, str]) -> Card:
    made = job(load(name).resized(sets))
    return card(made.plan, Heading(unit=made.recipe.unit))


def test_the_speeds_of_the_machine_are_taken_where_its_file_lists_them() -> None:
    plan = job(load("sluice-clamp-ramp")).plan
    mill = replace(plan, machine=replace(plan.machine, speeds=(80, 325, 660, 1115, 2720)))
    assert (
        next(i.answer for i in card(mill, Heading()).set_up if i.what.startswith("Spindle"))
        == "710 to 1200 rpm: take 1115"
    )
    turned = job(load("lever-ball-knob")).plan
    lathe = replace(turned, machine=replace(turned.machine, speeds=(1,), lathe_speeds=(70, 200, 350, 1200)))
    answer = next(i.answer for i in card(lathe, Heading()).set_up if i.what.startswith("Spindle"))
    assert answer.endswith("take 350, the next below")


@pytest.mark.parametrize("sets", [{"material": "steel"}, {"cutter-material": "carbide"}])
def test_what_a_part_is_made_of_moves_no_cut_and_no_revision(sets: dict[str, str]) -> None:
    plain, told = job(load("sluice-clamp-ramp")), job(load("sluice-clamp-ramp").resized(sets))
    assert plain.plan.stops == told.plan.stops
    assert plain.revision == told.revision


@pytest.mark.parametrize(
    ("name", "first", "true"),
    [
        ("gauge-board-ramp-on-edge", "skim", "running true"),
        ("oil-groove-helix", "skim", "true and level"),  # between centres
        ("tension-release-cam", "skim", "running true"),
        ("shaft-shoulder-fillet", "skim", "running true"),
        ("sluice-clamp-ramp", "skim", "running true"),
        (
            "paddle-socket-bore",
            "passes begin in front",
            "running true",
        ),  # by the compound: no steps to skim
    ],
)
def test_every_set_up_holds_touches_off_runs_dry_and_skims(name: str, first: str, true: str) -> None:
    said = [item.what.lower() for item in of(name).set_up]
    for word in ("touch", "dry run", "spindle stopped", first, true):
        assert any(word in what for what in said), word


@pytest.mark.parametrize(("turning", "climbs"), [("clockwise", False), ("anticlockwise", True)])
def test_a_sweep_beside_a_cam_climbs_when_work_and_teeth_go_the_same_way(turning: str, climbs: bool) -> None:
    # Cutter at +x of the cam, both seen from above: at the near side of the cutter a tooth's speed is w x r.
    spindle, near = np.array([0.0, 0.0, -1.0]), np.array([-1.0, 0.0, 0.0])
    table = np.array([0.0, 0.0, -1.0 if turning == "clockwise" else 1.0])
    tooth, rim = np.cross(spindle, near), np.cross(table, -near)
    assert (float(tooth @ rim) > 0) == climbs
    plan = replace(job(load("tension-release-cam").resized({"cut-with": "side"})).plan, turning=turning)
    said = next(item for item in card(plan, Heading()).set_up if item.what.startswith("Sweeps"))
    assert ("CLIMBS" in said.what) == climbs
    assert said.answer == turning.upper()


def test_a_sweep_of_a_flat_is_cut_from_a_place_that_the_card_names_and_that_covers_the_wall() -> None:
    """Where the feed ends, in the bore, the cutter touches no wall: who swept there would leave the whole flat standing.

    By the circle alone: of a wall from 25.5 to 30.5 mm the cutter, 6 mm, must cover every radius from where it stands.  In
    inches a cutter as wide as its wall may be out by no more than a thousandth, for it leaves as much at one edge.
    """
    cards = (
        (of("spring-preload-collar"), 3.0, 25.5, 30.5, 0.0),
        (
            of("spring-preload-collar", machine="inch", outside="2in", bore="1.5in", cutter="1/4in"),
            0.125,
            0.75,
            1.0,
            1e-3,
        ),
    )
    for made, radius, bore, outside, out in cards:
        said = next(item for item in made.set_up if item.what.startswith("Sweeps"))
        stands = math.hypot(float(said.answer), radius)  # its edge runs along the centre line
        assert stands - radius <= bore + out
        assert outside <= stands + radius + out
        feed = next(item for item in made.set_up if "Feed along X" in item.what)
        assert math.hypot(float(feed.answer), radius) + radius < bore  # the feed ends clear of the wall
        assert f"in to X {feed.answer} again" in said.what
    assert not any(item.what.startswith("Sweeps") for item in of("sluice-clamp-ramp").set_up)


def test_a_dwell_swept_with_the_end_of_the_cutter_is_cut_only_as_far_along_as_it_is_wide() -> None:
    """Standing still along the axis, a disc of 16 mm lies on a cylinder along one chord: 16 mm long, whatever the cam's thickness."""
    said = next(item for item in of("tension-release-cam").set_up if item.what.startswith("Sweeps"))
    assert said.answer == "16 mm"
    assert "thicker" in said.what


def test_a_turned_pass_begins_in_front_of_the_face_and_its_blank_and_nose_are_named() -> None:
    """Nought is the face and z grows toward the headstock, so that in front of it z is below nought."""
    made = of("belt-crown-profile")
    said = {item.what: item.answer for item in made.set_up}
    (begins,) = [
        re.search(r"^Each pass from z (\S+) in front of the face", what) for what in said if "Each pass" in what
    ]
    assert begins is not None
    assert float(begins[1]) < 0
    assert [float(answer) for what, answer in said.items() if what.startswith("Only then back")] == [float(begins[1])]
    assert float(said["Blank turned true by this tool, measured: DIAMETER"].removesuffix(" mm")) == max(
        diameter for _, diameter in made.plan.target["targets"]
    )
    tool = "round nose, radius 1 mm; Z is its leading point, X its point nearest the axis"
    assert dict(made.words.head)["Tool"] == tool


def test_of_a_ball_cut_by_both_corners_each_is_told_its_own_way() -> None:
    """The half toward the face is cut from the face, the half behind it from the groove behind its back."""
    passes = {item.what.split(":")[0]: item.what for item in of("lever-ball-knob").set_up if "each pass" in item.what}
    assert set(passes) == {"Corner 1", "Corner 2"}
    assert "feed toward the headstock" in passes["Corner 1"]
    assert "feed toward the face" in passes["Corner 2"]


def test_a_feed_across_ends_half_way_to_the_centre_in_a_wide_bore_and_farther_out_in_a_narrow_one() -> None:
    """By hand, an 8 mm cutter whose edge is on the line: its strip reaches 8 mm aside, in a bore of 17 mm radius to sqrt(17^2 - 8^2) = 15."""
    content = {
        "outside": "48mm",
        "rise": "0.5mm",
        "cutter": "8mm",
        "step": "10deg",
        "span": "60deg",
        "on-centre": "edge",
    }
    ends = [
        across_from_to(
            job(from_content({"stepcut": 1, "machine": "metric", "ramp": {**content, "bore": bore}})).plan, "mm"
        )[1]
        for bore in ("34mm", "17mm")
    ]
    # Half of 15 on even halves of a mm; in a bore of 8.5 mm radius three quarters of sqrt(8.5^2 - 8^2) = 2.87, which is 2.15.
    assert ends == [Fraction(15, 2), 2]


def test_with_another_cutter_its_place_beside_the_centre_line_is_set_up_again() -> None:
    beside = ("Y from 0 by the handle", "Cutter's AXIS on the centre line")
    for each in beside:
        words = SimpleNamespace(set_up=(("Part clamped", "YES"), (each, "3 mm"), ("Cutter, flat, turning", "ON")))
        again = [what for what, _ in set_up(cast("Words", words), [("more", "1")])]
        assert again[1:] == ["Cutter, flat, turning", each, "more"]


def test_turns_of_a_handle_are_those_of_its_own_screw() -> None:
    """A crank of 4 degrees for the table, 2.5 mm a turn of the knee."""
    plan = job(
        from_content(
            {
                "stepcut": 1,
                "machine": "metric",
                "ramp": {
                    "outside": "60mm",
                    "bore": "48mm",
                    "rise": "1mm",
                    "cutter": "6mm",
                    "step": "10deg",
                    "span": "60deg",
                },
            }
        )
    ).plan
    assert plan.machine.table is not None
    per = {"table": plan.machine.table.degrees_per_turn, "depth": plan.second.per_turn}
    stood: dict[str, Fraction] = {}
    looked = 0
    for act in acts(plan):
        if act.axis in per and act.to is not None:
            if act.turns is not None and act.axis in stood and per[act.axis]:
                assert act.turns == abs(act.to - stood[act.axis]) / per[act.axis]
                looked += act.axis == "table"
            stood[act.axis] = act.to
    assert looked > 3


def test_a_cone_on_the_mill_is_cut_by_turns_of_the_table() -> None:
    values = {"large": "30mm", "small": "25mm", "length": "40mm", "on": "mill", "step": "5mm"}
    made = card(job(from_content({"stepcut": 1, "machine": "metric", "taper": values})).plan, Heading())
    assert made.cycle == (
        "cutter clear",
        "set z",
        "feed in to x",
        f"table once round, {made.plan.turning}",
        "out, clear",
    )
    # By hand: 360 degrees at 4 degrees a turn of the crank.
    feeds = [act.text for act in made.acts if act.text.startswith("Feed the table once round, ")]
    assert len(feeds) == len(made.plan.stops) and all("90 turns" in text for text in feeds), feeds[0]
