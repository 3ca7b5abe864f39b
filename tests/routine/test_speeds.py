"""What the spindle is set to, and how much a pass takes: the published table, the rim's way in a turn, passes by hand."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.plan import Plan
from stepcut.routine import card
from stepcut.routine.bite import levels, milled, plunges
from stepcut.routine.speeds import rate_line, speed_line
from stepcut.shop.turning import MATERIALS, of_the_machine, turns_a_minute
from stepcut.voice import Voice

# "Machine Tool Speeds and Feeds", workshop table, docslib.org/doc/5103932: feet a minute with high-speed steel, lathe and mill;
# plastic from "Machine Tool Fundamentals Quick Reference", protolab.certifitrax.com, U8M1-MAT-001.
PUBLISHED = {
    "mild-steel": (100, 250, 70, 120), "alloy-steel": (50, 150, 30, 60), "tool-steel": (50, 150, 40, 70), "stainless": (60, 180, 30, 60),
    "cast-iron": (100, 250, 80, 120), "aluminium": (350, 700, 250, 500), "brass": (250, 500, 150, 450), "bronze": (250, 500, 150, 450),
    "copper": (100, 250, 100, 200), "plastic": (200, 400, 200, 400),
}  # fmt: skip


def plan_of(name: str, **sets: str) -> Plan:
    return recipes.job(recipes.load(name).resized({key.replace("_", "-"): text for key, text in sets.items()})).plan


def two_figures(exact: float) -> int:
    return int(float(f"{exact:.1e}")) if exact >= 10 else max(1, round(exact))


@pytest.mark.parametrize("material", PUBLISHED)
@pytest.mark.parametrize(("name", "inches"), [("sluice-clamp-ramp", 0.375), ("lever-ball-knob", 1.0)])
def test_the_range_is_that_of_the_table_on_this_diameter(material: str, name: str, inches: float) -> None:
    slow, fast = PUBLISHED[material][:2] if name == "lever-ball-knob" else PUBLISHED[material][2:]
    for times, tool in ((1, "hss"), (2, "carbide")):  # "for carbide-tipped tools, speeds can be twice those given"
        said, rpm = speed_line(plan_of(name, material=material, cutter_material=tool), Voice("in"))
        assert f", {MATERIALS[material].called}" in said
        desk = dict(card(plan_of(name, material=material, cutter_material=tool), Heading(unit="in")).words.desk)
        called = "HSS" if tool == "hss" else "carbide"
        rate = f"{times * slow} to {times * fast} ft/min by a published table: {called}, {MATERIALS[material].called}"
        assert desk["Speed"] == rate + ("; faster where the work is smaller" if name == "lever-ball-knob" else "")
        turns = [two_figures(12 * times * feet / (math.pi * inches)) for feet in (slow, fast)]
        assert rpm == f"{turns[0]} to {turns[1]} rpm"
    assert set(PUBLISHED) == set(MATERIALS)


def test_the_line_in_full() -> None:
    assert speed_line(plan_of("paddle-latch-ramps"), Voice("mm")) == (  # its recipe names no material
        "Spindle: 10 mm HSS, if mild steel", "680 to 1200 rpm",
    )  # fmt: skip
    assert speed_line(plan_of("sluice-clamp-ramp", material="mild-steel"), Voice("in")) == (
        "Spindle: 3/8 in HSS, mild steel", "710 to 1200 rpm",
    )  # fmt: skip
    # 70 and 120 ft are 21.3 and 36.6 m.
    assert speed_line(plan_of("tension-release-cam", material="mild-steel"), Voice("mm")) == (
        "Spindle: 16 mm HSS, mild steel", "420 to 730 rpm",
    )  # fmt: skip
    assert speed_line(plan_of("bollard-pin-taper", material="brass", cutter_material="carbide"), Voice("mm")) == (
        "Spindle: carbide, brass, 30 mm of work",
        "1600 to 3200 rpm",
    )


def test_the_desk_is_told_the_cutting_speed_with_its_source() -> None:
    assert rate_line(plan_of("paddle-latch-ramps"), Voice("mm")) == (
        "Speed", "21 to 37 m/min by a published table: HSS, mild steel (none told)",
    )  # fmt: skip
    assert rate_line(plan_of("bollard-pin-taper", material="brass", cutter_material="carbide"), Voice("mm")) == (
        "Speed", "152 to 305 m/min by a published table: carbide, brass; faster where the work is smaller",
    )  # fmt: skip


def test_a_material_that_no_speed_comes_from_is_said_to_be_of_no_use() -> None:
    collar = recipes.job(recipes.load("handwheel-collar-graduations"))
    plain = dict(card(collar.plan, Heading()).words.desk)
    assert "Not used" not in plain
    assert "Speed" not in plain
    told = dict(card(collar.resized({"material": "brass", "cutter-material": "carbide"}).plan, Heading()).words.desk)
    assert told["Not used"] == "material = brass, cutter-material = carbide: a speed is told where a cutter is given"
    assert "Speed" in dict(card(collar.resized({"material": "brass", "cutter": "6mm"}).plan, Heading()).words.desk)


def test_two_figures_of_turns_are_enough_and_one_is_the_least() -> None:
    assert turns_a_minute(Fraction(254, 10), 100) == 380  # 12 x 100 / pi is 381.97
    assert turns_a_minute(Fraction(3), 400) == 13000
    assert turns_a_minute(Fraction(2000), 100) == 5
    assert turns_a_minute(Fraction(100_000), 30) == 1
    assert turns_a_minute(Fraction(254, 10), 26) == 99
    assert turns_a_minute(Fraction(254, 10), 27) == 100


def test_the_speeds_that_the_machine_has() -> None:
    speeds = (1115, 80, 325, 2720, 660)
    assert of_the_machine(80, 80, speeds) == "take 80"  # both ends of the range count
    assert of_the_machine(81, 324, speeds) == "take 80, the next below"
    assert of_the_machine(100, 1115, speeds) == "take 325 to 1115"
    assert of_the_machine(10, 79, speeds) == "take 80, the slowest it has"


def test_passes_share_a_depth_evenly_in_whole_divisions() -> None:
    assert levels(Fraction(1), 4, Fraction(1, 10)) == (Fraction(2, 10), Fraction(5, 10), Fraction(7, 10))
    assert levels(Fraction(1, 10), 5, Fraction(1, 10)) == ()  # no division between
    assert levels(Fraction(2, 10), 5, Fraction(1, 10)) == (Fraction(1, 10),)


def test_a_plunge_comes_up_every_half_diameter() -> None:
    plan = plan_of("winch-dog-plunged")
    half = plan.cutter.diameter / 2
    assert plunges(plan, half, plan.second.division) == ()
    assert len(plunges(plan, half + plan.second.division, plan.second.division)) == 1
    assert len(plunges(plan, 3 * half, plan.second.division)) == 2


def test_a_milling_pass_meets_no_more_than_a_slot_of_a_quarter_diameter() -> None:
    # The module's rule by hand, on a 16 mm cutter: a slot may be 4 mm deep at once, 8 mm in aluminium.
    steel, soft = plan_of("tension-release-cam"), plan_of("tension-release-cam", material="aluminium")
    four, nine = Fraction(4), Fraction(9)
    assert milled(steel, four, Fraction(0), 16.0) == ()
    assert len(milled(steel, four + Fraction(1, 10), Fraction(0), 16.0)) == 1
    assert milled(soft, 2 * four, Fraction(0), 99.0) == ()
    assert len(milled(soft, nine, Fraction(0), 16.0)) == 1
    # Beside a cut of 8.9 mm, 2 mm on: 2 mm wide, 9 mm deep, and 0.1 mm over the other 14 mm: 19.4 of 64 square mm at once.
    assert milled(steel, nine, Fraction(89, 10), 2.0) == ()
    # Never deeper than the cutter is wide, however narrow.
    assert len(milled(steel, Fraction(17), Fraction(17), 0.1)) == 1
    assert milled(steel, Fraction(16), Fraction(16), 0.1) == ()
