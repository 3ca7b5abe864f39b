"""Tapers cut in whole cones, by the compound or between centres: what their passes leave, how the angle is looked at, where a gauge stands, what is refused."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.errors import StepcutError
from stepcut.plan import Plan
from stepcut.routine import acts, card
from stepcut.shapes.taper.drawing import part
from stepcut.shapes.taper.settings import indicated, stand_off
from tests.conftest import Run
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.routine.simulated import played

SPIKE = {"large": "17mm", "small": "0mm", "included": "60deg", "by": "compound"}
PIN = {"large": "27mm", "length": "45mm", "taper": "1:20", "by": "compound", "blank": "28mm"}
SHAFT = {"large": "25mm", "small": "23mm", "length": "60mm", "by": "set-over", "work-length": "180mm"}
SOCKET = {"large": "29mm", "included": "12deg", "length": "37mm", "side": "bore", "by": "compound"}
CASES = {"a point": SPIKE, "a pin": PIN, "a socket": SOCKET, "a pin with a leave": {**PIN, "leave": "0.1mm"},
         "a pin from the bar": {**PIN, "blank": "33mm", "cut-depth": "0.5mm", "finish": "0.3mm"},
         "a shaft between centres": SHAFT, "a shaft from the bar": {**SHAFT, "blank": "28mm", "leave": "0.05mm"}}  # fmt: skip


def plan_of(values: dict[str, Any], machine: str = "metric") -> Plan:
    content = {"stepcut": 1, "machine": machine, "title": "case", "taper": values}
    return recipes.job(recipes.from_content(content)).plan


@pytest.mark.parametrize("name", CASES)
def test_its_passes_cut_the_cone_out_of_the_blank_and_nothing_else(name: str) -> None:
    """The tool's corner swept along the compound's way in each pass, taken out of a bar with shapely, against the wanted cone."""
    plan = front.solved("taper", **CASES[name])
    target = plan["target"]
    large, small, length = target["large_diameter"] / 2, target["small_diameter"] / 2, target["length"]
    bore, slope = target["side"] == "bore", math.atan2(large - small, length)
    turn = -slope if bore else slope
    swept = []
    for stop in plan["stops"]:
        travel = stop["z" if plan["approach"] == "set-over" else "compound"]
        end = (travel * math.cos(turn), stop["x"] + travel * math.sin(turn))
        begin = (-1.0, stop["x"] - math.tan(turn))
        far = 0.0 if bore else 60.0
        swept.append(Polygon([begin, end, (end[0], far), (begin[0], far)]))
    tool = unary_union(swept)
    if bore:
        stays = Polygon([(0, large), (length, small), (length, 60), (0, 60)])
        bar = Polygon([(0, small), (length, small), (length, 60), (0, 60)])
    else:
        stays = Polygon([(0, 0), (0, small), (length, large), (length, 0)])
        bar = box(
            0,
            0,
            length,
            float(CASES[name].get("blank", CASES[name]["large"]).removesuffix("mm")) / 2,
        )
    assert tool.intersection(stays).area < 1e-6
    left = bar.difference(tool).difference(stays).area / (length / math.cos(slope))  # square to the flank
    printed = plan["result"]["stock_max"]
    assert printed - plan["leave"] < 0.0101  # less than a division of the radius
    assert left == pytest.approx(printed * math.cos(slope), abs=0.003)


@pytest.mark.parametrize("name", CASES)
def test_its_acts_end_every_pass_where_the_plan_says_with_slack_in_every_screw(name: str) -> None:
    plan = plan_of(CASES[name])
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])
    depths = [abs(b.second - a.second) for a, b in zip(plan.stops, plan.stops[1:], strict=False)]
    most = float(
        0.5 if "cut-depth" in CASES[name] else 0.762
    )  # 0.03 in in steel, workshop table docslib.org/doc/5103932
    assert max(depths) * float(plan.second.division) <= most + 1e-9


def test_the_angle_is_looked_at_before_the_end_size_and_the_finish_takes_only_the_rest() -> None:
    plan = plan_of(CASES["a pin from the bar"])
    done = [act for act in acts(plan) if act.kind == "change"]
    assert len(done) == 1 and done[0].confirm
    # By hand: 1:20 is 1 mm on the diameter for 20 mm; over 30 mm of the axis the radius changes 0.75 mm; 0.61 mm on the diameter is 12.2 mm.
    assert "carriage along 30 mm, it must change 0.750 mm" in done[0].text
    assert "stands now 12.200 mm off its place, 0.200 mm for each 0.01 mm on the DIAMETER" in done[0].text
    finish = [2 * float(plan.second.value(stop.second)) for stop in plan.stops if stop.start == 2]
    last_rough = 2 * float(plan.second.value(next(stop for stop in reversed(plan.stops) if stop.start == 1).second))
    assert last_rough == pytest.approx(24.75 + 0.6, abs=0.021) and finish[-1] == pytest.approx(24.76)
    assert len(finish) == 2 and finish[0] == pytest.approx(
        (last_rough + finish[-1]) / 2, abs=0.021
    )  # half of the rest first


def test_x_is_set_anew_on_the_cone_for_a_round_tip_that_was_set_by_the_bar_leaves_more() -> None:
    """A round tip of 0.4 mm set by face and bar, its way laid at 30 degrees: the cone comes out larger; on the cone it comes out right."""
    slope, nose, face = math.radians(30.0), 0.4, 5.0
    along = [(-nose, face + nose), (-nose + 9.0, face + nose + 9.0 * math.tan(slope))]  # its middle, from compound 0 on
    metal = box(0, 0, 8, 20).difference(LineString(along).buffer(nose, quad_segs=512)).difference(
        Polygon([*along, (along[1][0], 30.0), (along[0][0], 30.0)])
    )  # fmt: skip
    probe = metal.intersection(LineString([(4.0, -1.0), (4.0, 40.0)])).bounds[3] - 4.0 * math.tan(slope)
    assert probe - face == pytest.approx(nose * (1 + math.tan(slope) - 1 / math.cos(slope)), abs=1e-4)
    assert probe - face > 0.16  # mm on the radius
    done = next(act for act in acts(plan_of(SPIKE)) if act.kind == "change")
    assert "touch the face anew at compound 0, then the cone" in done.text
    assert "set x to the DIAMETER measured at the face; only then cut to size." in done.text


@pytest.mark.parametrize("machine", ["metric", "inch"])
@pytest.mark.parametrize("name", ["a point", "a pin", "a socket"])
def test_the_travel_that_is_told_is_what_the_acts_go_from_end_to_end(name: str, machine: str) -> None:
    plan = plan_of(CASES[name], machine)
    gone = [act.to for act in acts(plan) if act.axis == "compound" and act.to is not None]
    told = dict(card(plan, Heading(date="2026-01-01")).words.set_up)
    row = next(way for what, way in told.items() if what.endswith("clear at both ends: travel"))
    number, unit = row.split()
    one = 25.4 if unit == "in" else 1.0
    assert min(gone) < 0  # in front of the face
    # To a division of the dial; less is gone where the end size is rounded into the leave, so that the cone is a little shorter.
    assert -0.03 < float(number) * one - float(max(gone) - min(gone)) < 0.1


def test_an_indicator_along_a_cone_and_a_gauge_that_stands_off() -> None:
    length, reading, minutes = indicated(30.0, 40.0, "mm") or (0, 0.0, 0.0)
    assert float(length) == 30.0 and reading == pytest.approx(30 / math.sqrt(3))
    steeper = math.degrees(math.atan((reading + 0.01) / 30.0)) - 30.0
    assert minutes == pytest.approx(steeper * 60, rel=2e-3)
    assert indicated(30.0, 2.0, "mm") is None
    # Jarno tapers are 0.600 in per foot: a thousandth on the diameter is 0.020 in of the axis.  Table 51 of Lobben's handbook.
    sizes = plan_of({"large": "0.625in", "taper": "Jarno 5", "length": "2.5in", "by": "compound"}, "inch").details.taper
    assert stand_off(sizes, sizes.large / sizes.large / 1000) == pytest.approx(0.020, rel=1e-6)


def test_tailstock_and_sine_bar_are_told_only_where_they_serve() -> None:
    def told(values: dict[str, str]) -> set[str]:
        job = recipes.job(recipes.from_content({"stepcut": 1, "machine": "metric", "title": "case", "taper": values}))
        from stepcut.cli import show

        return {what for what, _ in show.whole(job, "2026-01-01").words.head} & {
            "Tailstock",
            "Sine bar",
            "Hold",
            "Over rolls",
        }

    assert told(SPIKE) == set()
    assert told(PIN) == {"Hold", "Over rolls"}
    assert told({**PIN, "work-length": "90mm"}) == {"Hold", "Over rolls", "Tailstock"}
    assert told({**PIN, "by": "sine-bar"}) == {"Hold", "Over rolls", "Sine bar"}
    assert told({**PIN, "by": "set-over", "work-length": "90mm"}) == {"Hold", "Over rolls", "Tailstock"}


@pytest.mark.parametrize(
    ("values", "text"),
    [
        ({**SOCKET, "by": "set-over"}, "by = set-over: does not go with a bore: it is not turned between centres. Give by = compound."),
        ({**SPIKE, "by": "set-over"}, "by = set-over: does not go with a point: no centre holds it. Give by = compound."),
        ({**PIN, "by": "set-over"}, "work-length: is missing: the set-over grows with the length between the centres. Measure the whole part "
                                    "and give that, such as 180mm."),
        ({**PIN, "by": "set-over", "work-length": "30mm"}, "work-length = 30mm: is shorter than the taper, 45 mm. Give the length of the "
                                                           "whole part, not of the taper."),
        ({**PIN, "blank": "26mm"}, "blank = 26.000 mm: is smaller than the taper, which needs 27.000 mm. Take a larger blank."),
        ({**SOCKET, "blank": "28mm"}, "blank = 28.000 mm: is wider than the narrow end of the bore"),
        ({**PIN, "cut-depth": "0.005mm"}, "cut-depth"),
    ],
)  # fmt: skip
def test_what_the_compound_cannot_cut_is_said(values: dict[str, str], text: str) -> None:
    with pytest.raises(StepcutError) as refused:
        front.solved("taper", **values)
    assert text in str(refused.value)


@pytest.mark.parametrize("name", CASES)
def test_what_is_printed_is_what_the_model_of_the_whole_part_sees(name: str) -> None:
    plan = front.solved("taper", **CASES[name])
    assert disagreements(plan, whole_part.see(plan)) == []


def test_a_lost_zero_is_found_on_the_cone_and_not_on_steps_that_it_has_not(run: Run) -> None:
    told = " ".join(run("recover", "marking-point-cone", "--lost", "4").stdout.split())
    assert "the tool's tip against the face" in told and "the cone of cut 4 inked" in told
    assert "shoulder of cut" not in told
    assert "against the step of cut 4" in " ".join(run("recover", "bung-reamer-taper", "--lost", "4").stdout.split())
    round_nose = " ".join(run("recover", "bollard-pin-taper", "--lost", "4").stdout.split())
    assert "the leading side of the nose against the face" in round_nose and "shoulder" not in round_nose
    hollow = " ".join(run("recover", "gauge-board-ramp-on-edge", "--lost", "4").stdout.split())
    assert "to the last place where it goes in deepest" in hollow and "riser" not in hollow


def test_a_set_over_is_made_by_an_indicator_and_looked_at_by_two_diameters() -> None:
    """By hand: 2 mm in 60 mm are 1 mm in 30 mm; set over 180 x 2 / (2 x 60) = 3 mm, of which 0.01 mm too much there is a 100th.

    Toward the tool the tailstock makes its own end the smaller: common practice, no source.
    """
    plan = plan_of(SHAFT)
    told = dict(card(plan, Heading(date="2026-01-01")).words.set_up)
    shows = next(what for what in told if "moved TOWARD YOU" in what)
    assert "on the front of the tailstock's barrel" in shows and "work 180.000 mm between centres" in shows
    assert told[shows] == "3.000 mm"
    done = [act for act in acts(plan) if act.kind == "change"]
    assert len(done) == 1 and done[0].confirm
    # Half the cone stands before the finish: 1 mm on the radius is to go, and a quarter of it is left, so three quarters of 60 mm stand.
    assert (
        "Two diameters 30 mm apart along the axis must differ by 1.000 mm; each 0.01 mm more: tailstock 0.030 mm AWAY"
        in done[0].text
    )
    assert (
        "touch the cone beside the face anew, set x to the DIAMETER measured at the face; only then cut to size"
        in done[0].text
    )


def test_of_a_cone_too_short_for_two_diameters_the_gauge_tells() -> None:
    plan = plan_of({**SHAFT, "length": "1.5mm", "small": "24mm"})
    assert "A gauge or the blue on the cone that stands tells the angle" in next(
        act.text for act in acts(plan) if act.kind == "change"
    )


def test_work_that_stands_slanted_turns_its_flank_along_the_ways() -> None:
    """Turned by half the angle of the cone, about the end in the headstock: the front of the flank is one height on the drawing."""
    plan = plan_of({**SHAFT, "small": "17mm"})
    drawn = part(plan).svg
    rows = [
        [tuple(map(float, pair.split(","))) for pair in row.split()] for row in re.findall(r'points="([^"]+)"', drawn)
    ]
    flanks = [row for row in rows if len(row) == 2 and abs(row[0][0] - row[1][0]) > 20]
    assert any(row[0][1] == pytest.approx(row[1][1], abs=0.05) for row in flanks)
