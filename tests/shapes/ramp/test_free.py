"""Lines that rise too, flats with risers, mirrored lists: against a raster of the whole ring, from the JSON alone."""

from __future__ import annotations

import math
import random
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from stepcut import recipes
from stepcut.errors import Refused, StepcutError
from stepcut.shapes.ramp import spacing
from stepcut.shapes.ramp.bench import Stepping
from stepcut.shapes.ramp.free import risers
from stepcut.shapes.ramp.wanted import Ramp
from tests.outside import front, whole_part, whole_ramp
from tests.outside.compared import disagreements
from tests.shops import plan_of

JOBS = ["spring-preload-collar", "crank-face-ratchet", "rail-tube-saddle", "depth-stop-turret"]
RING: dict[str, Any] = {"outside": "60mm", "bore": "48mm", "cutter": "6mm", "leave": "0mm", "step": "4deg"}


def pairs(rows: list[tuple[float, float]]) -> list[list[str]]:
    return [[front.deg(at), front.mm(depth)] for at, depth in rows]


def codes(plan: dict[str, Any]) -> list[str]:
    return [remark["code"] for remark in plan["remarks"]]


@pytest.mark.parametrize("name", JOBS)
def test_jobs_with_risers_and_mirrored_lists_tell_the_truth(name: str) -> None:
    plan = front.shipped(name)
    assert disagreements(plan, whole_part.see(plan)) == []
    assert not any(remark["spoils"] for remark in plan["remarks"])


def free_rows(chance: random.Random, span: float) -> list[list[str]]:
    """Up to five places, up and down, some of them with two depths."""
    places = sorted({round(chance.uniform(0.1, 0.9), 2) for _ in range(chance.randint(1, 4))})
    rows = [(0.0, chance.choice([0.0, chance.uniform(0.2, 3)]))]
    for place in places:
        depth = chance.choice([rows[-1][1], chance.uniform(0, 3)])
        rows.append((span * place, depth))
        if chance.random() < 0.4:
            rows.append((span * place, chance.uniform(0, 3)))
    rows.append((span, chance.choice([rows[0][1], chance.uniform(0, 3)])))
    return pairs(rows)


QUICK = (0, 1, 5, 8, 10)  # seeds whose model takes no second; 1 and 10 have a flat of one or two cuts


@pytest.mark.parametrize(
    "seed", [seed if seed in QUICK else pytest.param(seed, marks=pytest.mark.long) for seed in range(12)]
)
def test_no_cut_of_any_line_goes_below_it_or_into_a_neighbour(seed: int) -> None:
    chance = random.Random(f"free ring {seed}")  # noqa: S311  # repeatable cases, not secrets
    ramps = chance.choice([1, 2, 3])
    span = 360 / ramps * chance.choice([1.0, 0.7])
    way = chance.choice(["end", "end", "plunge", "side"])
    kind = chance.choice(["", " ball"]) if way == "end" else ""
    size = 8 if way == "plunge" else chance.choice([3, 5])
    values = {
        **RING, "targets": free_rows(chance, span), "ramps": str(ramps), "cut-with": way, "cutter": f"{size}mm{kind}",
        "leave": chance.choice(["0mm", "0.1mm"]),
    }  # fmt: skip
    if len({depth for _, depth in values["targets"]}) == 1:  # a level list is no ramp
        with pytest.raises(StepcutError, match=r"same depth|nothing to cut"):
            front.solved("ramp", **values)
        return
    plan = front.solved("ramp", **values)
    assert disagreements(plan, whole_part.see(plan)) == []


def test_a_flat_is_swept_from_riser_to_riser() -> None:
    plan = front.solved("ramp", **{**RING, "cutter": "7mm", "flats": ["0mm", "1mm", "2mm"], "span": "90deg"})
    sweeps = [(plan["stops"][each["from"] - 1], plan["stops"][each["to"] - 1]) for each in plan["sweeps"]]
    assert [round(a["depth"], 6) for a, _ in sweeps] == [1.0, 2.0]
    # Edge on the line: the first flat begins with the uphill edge on its riser; the cutter's far edge may pass the next one.
    assert sweeps[0][0]["table"] == pytest.approx(30.0)
    far = math.degrees(math.asin(7 / 30))  # at the outside the cutter covers least
    assert 60 - far <= sweeps[0][1]["table"] < 60 - far + 1 / 30


def test_a_step_that_no_swept_flat_needs_is_said_to_be_of_no_use() -> None:
    flats = {**RING, "cutter": "7mm", "flats": ["0mm", "1mm", "2mm"], "span": "90deg"}
    plan = front.solved("ramp", **flats)
    assert plan["says"]["head"]["Not used"] == "step = 4°: each flat is swept from end to end with the cutter in"
    assert plan["stops"] == front.solved("ramp", **flats | {"step": "9deg"})["stops"]
    narrow = flats | {"cutter": "3mm"}  # fed across the wall at every step
    assert "Not used" not in front.solved("ramp", **narrow)["says"]["head"]
    sloped = {**RING, "cutter": "7mm", "targets": pairs([(0, 0), (40, 1), (40, 2), (80, 2)])}
    assert front.solved("ramp", **sloped)["sweeps"]
    assert "Not used" not in front.solved("ramp", **sloped)["says"]["head"]


def test_deep_flats_ask_for_roughing_before_the_sweep() -> None:
    assert "sweep-deep" in codes(front.shipped("spring-preload-collar"))
    shallow = front.solved("ramp", **{**RING, "cutter": "7mm", "flats": ["0mm", "1mm"], "span": "90deg"})
    assert "sweep-deep" not in codes(shallow)


def test_a_cutter_narrower_than_the_wall_is_not_swept() -> None:
    plan = front.solved("ramp", **{**RING, "cutter": "4mm", "flats": ["0mm", "1mm", "2mm"], "span": "90deg"})
    assert plan["sweeps"] == []
    assert whole_part.see(plan, fast=True).gouge <= 1e-6


def test_a_mirrored_list_is_the_list_and_its_image() -> None:
    half = [(0.0, 0.0), (20.0, 0.5), (60.0, 2.0)]
    both = [*half, *((120 - at, depth) for at, depth in reversed(half[:-1]))]
    mirrored = front.solved("ramp", **RING, targets=pairs(half), mirror="true")
    written = front.solved("ramp", **RING, targets=pairs(both))
    assert mirrored["stops"] == written["stops"]
    depths = [stop["depth"] for stop in mirrored["stops"]]
    assert max(depths) in depths[1:-1]  # the bottom is in the middle


def test_the_bottom_of_a_valley_is_cut_whatever_the_step() -> None:
    plan = front.solved("ramp", **{**RING, "step": "7deg"}, targets=pairs([(0, 0.2), (45, 2.0), (90, 0.2)]))
    lowest = max(plan["stops"], key=lambda stop: stop["depth"])
    # Axis on the line, a flat of 6 mm over the valley: by hand, at the bore, R/r each side, the slope times that stands.
    reach = math.degrees(math.asin(3 / 24))
    assert lowest["table"] == pytest.approx(45.0, abs=1 / 30)
    assert lowest["depth"] == pytest.approx(2.0 - 1.8 / 45 * reach, abs=0.006)


def test_an_upright_face_names_the_tools_that_reach_its_foot() -> None:
    values = {key: value for key, value in recipes.load("crank-face-ratchet").values.items() if key != "angle-cutter"}
    plan = front.solved("ramp", **values)
    text = next(remark["text"] for remark in plan["remarks"] if remark["code"] == "upright-face")
    # By hand: 2.4 mm in 40 degrees, at the bore, radius 10.5 mm; straight across, not round.
    tilt = math.degrees(math.atan(2.4 / (10.5 * math.sin(math.radians(40)))))
    included = 90 - tilt
    assert f"Tilt the head {tilt:.1f}° or more" in text
    assert f"single-angle cutter of {included:.1f}° or less" in text


def test_a_ramp_that_fills_its_sector_names_them_too() -> None:
    plan = front.solved(
        "ramp", outside="32mm", bore="21mm", rise="2.4mm", span="42deg", ramps="8", cutter="4mm", step="4deg"
    )
    text = next(remark["text"] for remark in plan["remarks"] if remark["spoils"])
    tilt = math.degrees(math.atan(2.4 / (10.5 * math.sin(math.radians(42)))))
    assert f"tilt the head {tilt:.1f}°" in text


def test_metal_beside_an_upright_face_is_what_a_raster_sees() -> None:
    plan = front.shipped("spring-preload-collar")
    ring = whole_ramp.Ring(
        whole_ramp.tool_of(plan), whole_ramp.Wanted(plan["target"]), 0.0, whole_ramp.cuts_of(plan), 25.5
    )
    phi = np.linspace(150.0, 180.0, 30_001)[:-1]
    stands = ring.stock(np.full_like(phi, 30.5), phi) > 1.0
    text = next(remark["text"] for remark in plan["remarks"] if remark["code"] == "corner-stands")
    wide = math.radians(stands.sum() * 0.001) * 30.5
    assert f"a corner {wide:.1f}" in text


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"targets": pairs([(0, 0), (30, 1), (30, 2), (30, 3)])}, "third row at one place"),
        ({"targets": pairs([(0, 0), (30, 1), (20, 2)])}, "must be past the row before"),
        ({"targets": pairs([(0, 0), (30, 1), (60, 0)]), "drop": "0.1mm", "step": None}, "goes with ramps that only fall"),
        ({"targets": pairs([(0, 0), (30, 1)]), "flats": ["0mm", "1mm"]}, "do not go with targets"),
        ({"rise": "1mm", "span": "90deg", "mirror": "true"}, "goes with targets or flats"),
        ({"flats": ["1mm", "1mm"]}, "same depth everywhere"),
        ({"flats": ["0mm", "1mm"], "dwell-high": "5deg"}, "does not go with flats"),
        ({"targets": pairs([(0, 0), (30, 1), (60, 0)]), "order": "by-depth", "ramps": "2"}, "goes with ramps that only fall"),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_said(values: dict[str, Any], words: str) -> None:
    given = {key: value for key, value in {**RING, **values}.items() if value is not None}
    with pytest.raises(StepcutError, match=words):
        front.solved("ramp", **given)


@pytest.mark.parametrize(("law", "steepest"), [("uniform", 1.0), ("harmonic", math.pi / 2), ("cycloidal", 2.0)])
def test_the_floor_under_an_upright_face_is_known_to_fall_though_its_motion_ends_level(
    law: str, steepest: float
) -> None:
    """Largest velocities of h / beta, at mid-stroke: Norton, "Design of Machinery", chapter on cams, from memory.

    A ramp all round the ring ends at the foot of the riser to its own beginning, 2 mm high.
    """
    ring = Ramp(Fraction(60), Fraction(48), Fraction(360), Fraction(2), law=law)
    (foot,) = risers(ring)
    assert foot.slope == pytest.approx(steepest * 2 / 360)
    assert (foot.height, foot.depth, foot.before) == (2.0, 2.0, True)


@pytest.mark.parametrize("step", ["10deg", "9deg"])
def test_before_a_riser_a_cut_stands_as_near_as_the_cutter_goes(step: str) -> None:
    """By hand: half of a 6 mm cutter covers asin(3 / 24) = 7.18 degrees at the bore; the table is read to a minute."""
    values = {
        "outside": "60mm", "bore": "48mm", "cutter": "6mm", "leave": "0mm", "step": step,
        "targets": [["0deg", "0mm"], ["37deg", "2mm"], ["37deg", "0mm"], ["80deg", "2mm"], ["100deg", "0mm"]],
    }  # fmt: skip
    at = [stop["table"] for stop in front.solved("ramp", **values)["stops"]]
    nearest = 37 - math.degrees(math.asin(3 / 24))
    assert any(0 <= nearest - each < 2.01 / 60 for each in at)


def test_a_step_is_idle_where_flats_are_swept_and_not_where_one_needs_it(monkeypatch: pytest.MonkeyPatch) -> None:
    flats = {"outside": "61mm", "bore": "51mm", "flats": ["0mm", "1mm", "2mm"], "cutter": "6mm", "leave": "0mm"}
    bench = plan_of("ramp", **flats).details.bench
    stepping = Stepping(step=Fraction(7))
    row = spacing.spaced(bench, stepping)
    assert spacing.idle_step(bench, stepping, row) == 7

    def needs_it(*_: object) -> None:
        raise Refused("step", "step-over-length")

    monkeypatch.setattr(spacing, "spaced", needs_it)
    assert spacing.idle_step(bench, stepping, row) is None
