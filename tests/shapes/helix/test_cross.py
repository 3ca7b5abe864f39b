"""Grooves of both hands: crossings on both their ways, diamonds as strips leave them in the plane, what stands by rays, played."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import pytest
from shapely import LineString, box, union_all

from stepcut.acts import Heading
from stepcut.plan import Plan
from stepcut.recipes import from_content, job
from stepcut.routine import acts, card
from tests.conftest import Run
from tests.outside import front, helix_sections
from tests.routine.simulated import played
from tests.shops import thinned

ROLLER: dict[str, Any] = {"diameter": "37mm", "lead": "90mm", "length": "90mm", "depth": "1.5mm", "cutter": "4mm", "step": "6deg", "starts": "2",
                          "cross": True}  # fmt: skip


def plan_of(machine: str = "metric", **values: Any) -> Plan:
    return job(from_content({"stepcut": 1, "machine": machine, "title": "roller", "helix": ROLLER | values})).plan


def test_named_crossings_lie_on_grooves_of_both_hands() -> None:
    plan = front.solved("helix", **ROLLER)
    ways: dict[int, list[tuple[float, float]]] = {}
    for stop in plan["stops"]:
        ways.setdefault(stop["start"], []).append((stop["x"], stop["table"]))
    crossings = plan["target"]["crossings"]
    assert [x for x, _ in crossings] == [0.0, 22.5, 45.0, 67.5, 90.0]  # 90 / (2 * 2) apart
    for x, rim in crossings:
        for hand in ((1, 2), (3, 4)):
            found = []
            for start in hand:
                (x0, t0), (x1, t1) = min(
                    zip(ways[start], ways[start][1:], strict=False),
                    key=lambda pair: abs(pair[0][0] + pair[1][0] - 2 * x),
                )
                found.append((t0 + (t1 - t0) * (x - x0) / (x1 - x0)) % 180)
            assert any(min(abs(at - rim), 180 - abs(at - rim)) < 0.05 for at in found)


def test_the_table_goes_on_one_way_and_the_other_hand_comes_back_along_x() -> None:
    plan = plan_of(length="45mm")
    by: dict[int, list[tuple[int, int]]] = {}
    for stop in plan.stops:
        by.setdefault(stop.start, []).append((stop.first, stop.second))
    assert sorted(by) == [1, 2, 3, 4]
    for start, row in by.items():
        assert all(b[0] > a[0] for a, b in itertools.pairwise(row))
        assert all((b[1] - a[1]) * (1 if start <= 2 else -1) > 0 for a, b in itertools.pairwise(row))


@pytest.mark.parametrize("machine", thinned(["metric", "inch"]))
@pytest.mark.parametrize(
    "more", [{}, {"groove-width": "6mm", "leave": "0.1mm"}, {"hand": "left", "pit-begin": "3mm", "pit-end": "2mm"}]
)
def test_the_acts_end_every_cut_at_its_division(machine: str, more: dict[str, str]) -> None:
    plan = plan_of(machine, length="45mm", **more)
    played(plan, [{**act.content(), "to": act.to} for act in acts(plan)])


def test_diamonds_are_what_strips_leave_in_the_plane() -> None:
    plan = plan_of()
    between = plan.details.diamonds
    round_, k = 37 * math.pi, 90 / (37 * math.pi)
    wide = 2 * helix_sections.Model(front.solved("helix", **ROLLER)).half(18.5, 1.5) * round_ / math.hypot(round_, 90)
    strips = [
        LineString([(-300, hand * k * -300 + 45 * n), (300, hand * k * 300 + 45 * n)]).buffer(
            wide / 2, cap_style="flat"
        )
        for hand in (1, -1)
        for n in range(-9, 10)
    ]
    left = box(-round_, -90, round_, 90).difference(union_all(strips))
    whole = [piece for piece in left.geoms if not piece.touches(box(-round_, -90, round_, 90).exterior)]
    x0, y0, x1, y1 = max(whole, key=lambda piece: piece.area).bounds
    assert between.round == pytest.approx(x1 - x0, rel=1e-6)
    assert between.along == pytest.approx(y1 - y0, rel=1e-6)
    assert between.across == pytest.approx(45 * round_ / math.hypot(round_, 90) - wide)


CASES: dict[str, dict[str, str]] = {
    "flat": {},
    "a ball": {"cutter": "4mm ball"},
    "wider, leave": {"groove-width": "6mm", "leave": "0.1mm"},
    "a vee": {"cutter": "6mm vee 90deg", "step": "2deg"},
    "one of each hand": {"starts": "1", "lead": "60mm", "length": "30mm"},
    "ends between crossings": {"length": "49mm", "leave": "0.2mm"},
}


@pytest.mark.long
@pytest.mark.parametrize("name", CASES)
def test_what_stands_is_what_rays_find(name: str) -> None:
    """What both hands cut of each crossing is taken from their rounded cuts; rays from end to end find it to less than a hundredth."""
    plan = front.solved("helix", **(ROLLER | {"length": "45mm"} | CASES[name]))
    found = helix_sections.crossed(plan, 120, 2160, 10)
    # Of a groove wider than its cutter the ends are told about 0.5 mm^3 low, crossed or not.
    assert plan["result"]["volume"] == pytest.approx(found, rel=0.013 if "groove-width" in CASES[name] else 0.009)
    single = front.solved("helix", **(ROLLER | {"length": "45mm"} | CASES[name] | {"cross": False}))["result"]
    assert plan["result"]["volume"] < 2 * single["volume"]  # crossings are cut twice
    for key in ("scallop", "wall_ridge", "floor_ridge", "stock_max"):
        assert plan["result"][key] == single[key]


def test_pits_where_both_hands_begin_are_made_once() -> None:
    plan = plan_of(length="45mm", **{"pit-begin": "3mm", "pit-end": "3mm", "cutter": "4mm ball"})
    begin, end = plan.details.pits
    assert [at.n for at in begin.places] == [1, 32]
    assert len(end.places) == 2  # half a lead on, where each hand has come half round: the same two places again


def test_the_card_names_hands_crossings_and_diamonds(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in (ROLLER | {"length": "45mm"}).items() if key != "cross"]
    shown = " ".join(run("helix", *words, "--cross", "--machine", "metric").stdout.split())
    assert "2, RIGHT hand; then 2, LEFT hand, crossing: grooves 3 to 4, cut from the tailstock's end back" in shown
    assert (
        "Crossings 3 rows, 2 in each, 180° apart: x 0.000 mm rim 0°; x 22.500 mm rim 90°; x 45.000 mm rim 0°" in shown
    )
    assert "across: the land left between" in shown
    assert "x comes back from line to line: each time first 1.250 past it, then up to it" in shown
    assert "cuts 63 and 64 the same, that it crosses it" in shown


def test_no_land_between_is_refused_in_full(run: Run) -> None:
    words = [f"--{key}={value}" for key, value in (ROLLER | {"starts": "3", "lead": "14mm"}).items() if key != "cross"]
    # Turns of one hand lie 14 / 3 * 37 pi / hypot(37 pi, 14) = 4.633 mm apart; a cutter of 5 mm is 0.367 mm more.
    refused = run("helix", *[w for w in words if "cutter" not in w], "--cutter=5mm", "--cross", "--machine", "metric")
    assert " ".join(refused.stderr.split()) == (
        "cutter = 5 mm: leaves no land between crossing grooves: those of one hand overlap by 0.367 mm. Take a narrower groove, a longer "
        "lead or fewer starts."
    )
    assert refused.returncode == 2


@pytest.mark.parametrize(("length", "named"), [("90mm", 5), ("360mm", 5)])
def test_crossings_are_named_one_by_one_or_the_first_of_them_and_how_many(length: str, named: int) -> None:
    """A lead of 90 mm and two grooves of either hand: they cross every 22.5 mm."""
    told = dict(card(plan_of(length=length), Heading(date="2026-01-01")).words.head)["Crossings"]
    rows = round(float(length[:-2]) / 22.5) + 1
    assert told.startswith(f"{rows} rows, 2 in each, 180° apart: ")
    assert len(re.findall(r"x [\d.]+ mm rim", told)) == named
    assert told.endswith(f"; and so on, 22.5 mm apart, {rows} rows") is (rows > named)


def test_a_pit_that_was_not_asked_for_does_not_make_another_job() -> None:
    """What was cut before inputs for pits and clamps came must be known again: an input of that kind stands for nothing while it is empty."""
    for shape, values, empty in (
        ("helix", ROLLER, "pit-cutter"),
        (
            "cam",
            {"base": "21mm", "segments": ["rise 2mm in 180deg", "fall 2mm in 180deg"], "cutter": "9mm", "step": "2deg"},
            "for",
        ),
    ):
        made = job(from_content({"stepcut": 1, "machine": "metric", "title": "roller", shape: values}))
        assert made.values[empty] is None
        (late,) = [field for field in made.kind.fields if field.key == empty]
        assert late.later, shape
