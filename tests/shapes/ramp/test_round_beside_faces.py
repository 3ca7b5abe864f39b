"""Ball and bull ends beside upright faces, and plunged: the ridge that is asked for is kept, or the round that prevents it is named."""

from __future__ import annotations

import math
import random
import re
from typing import Any

import pytest

from stepcut.errors import StepcutError
from tests.outside import front, whole_part
from tests.outside.compared import disagreements
from tests.shops import plan_of

TOOTH: dict[str, Any] = {"outside": "32mm", "bore": "21mm", "targets": [["0deg", "0mm"], ["5deg", "0mm"], ["45deg", "2.4mm"]], "ramps": "8",
                         "leave": "0.03mm", "for": "dog"}  # fmt: skip
RING: dict[str, Any] = {"outside": "60mm", "bore": "48mm", "leave": "0.03mm"}
TWICE = [["0deg", "0mm"], ["60deg", "2mm"], ["60deg", "0.5mm"], ["100deg", "1.5mm"]]


@pytest.mark.parametrize("cutter", ["2mm ball", "2mm bull 0.5mm"])
def test_teeth_are_cut_by_round_ends_with_no_more_cuts_than_by_a_flat_one(cutter: str) -> None:
    """What stands in the foot no cut lowers, whatever its end: they were refused, as if the scales were too coarse for the slope."""
    teeth = {**TOOTH, "scallop": "0.3mm", "angle-cutter": "70deg"}
    plan = front.solved("ramp", **teeth, cutter=cutter)
    assert plan["result"]["scallop"] <= 0.3 + 1e-6
    assert 8 < len(plan["stops"]) <= len(plan_of("ramp", **teeth, cutter="2mm").stops)
    differ = disagreements(plan, whole_part.see(plan))
    # The model looks at a few radii: of the ball 0.3401 mm stand at 11.9 mm, between them, by trying every cut of the plan there.
    assert [each for each in differ if not each.startswith("stock_max")] == []


@pytest.mark.parametrize("cutter", ["3mm ball", "6mm bull 1mm"])
def test_two_depths_at_one_angle_are_cut_by_round_ends_too(cutter: str) -> None:
    plan = front.solved("ramp", **RING, targets=TWICE, scallop="0.3mm", cutter=cutter)
    assert disagreements(plan, whole_part.see(plan)) == []
    assert {"upright-face", "scallop-exceeded"} <= {remark["code"] for remark in plan["remarks"]}


def test_the_last_cut_before_a_face_stands_as_near_as_the_flank_of_a_ball_lets_it() -> None:
    """By hand: edge on the line, the axis is 1.5 mm downhill, and at the height of the face's top the ball is so much narrower than 3 mm."""
    rows = [["0deg", "0mm"], ["12deg", "0mm"], ["40deg", "1.6mm"], ["40deg", "0.3mm"], ["90deg", "0.9mm"]]
    plan = front.solved("ramp", **RING, ramps="4", targets=rows, cutter="3mm ball", scallop="0.1mm", **{"on-centre": "edge"})  # fmt: skip
    deepest = max((stop for stop in plan["stops"] if stop["start"] == 1), key=lambda stop: stop["depth"])
    over = deepest["depth"] - (0.3 - 0.03)  # so far above its lowest point the top of the face stands, less the leave
    half = math.sqrt(1.5**2 - (1.5 - over) ** 2)
    nearest = 40 - math.degrees(math.asin((1.5 + half) / 24))  # at the bore, where the wall is narrowest
    assert 0 <= nearest - deepest["table"] < 4.01 / 60
    assert disagreements(plan, whole_part.see(plan)) == []


@pytest.mark.parametrize(
    ("values", "words"),
    [
        (
            {"rise": "2mm", "span": "300deg", "cutter": "8mm ball", "scallop": "0.3mm"},
            "scallop = 0.30000 mm: cannot be kept by plunging a round end: the middle of the wall is cut 1.354 mm deeper than its edges. "
            "Take a flat end, a corner radius of 1.900 mm or less, or feed it across the wall (cut-with = end).",
        ),
        (
            {"targets": TWICE, "cutter": "6mm ball", "scallop": "0.3mm"},
            "cutter = 6 mm: is too narrow to be plunged over a wall of 6 mm: at its edges no step is small enough. "
            "Take a wider cutter, or feed it across the wall (cut-with = end).",
        ),
        pytest.param(
            {"targets": TWICE, "cutter": "12mm bull 2mm", "scallop": "0.05mm"},
            "scallop = 0.05000 mm: cannot be kept by plunging: a step's edge is an arc there, and the middle of the wall is cut 0.10090 mm "
            "deeper than its edges. Feed the end of the cutter across the wall, or allow a higher ridge.",
            marks=pytest.mark.long,
        ),
    ],
)
def test_a_plunged_round_is_named_as_what_prevents_a_ridge(values: dict[str, Any], words: str) -> None:
    """A ball of 4 mm over a wall of 6 mm: by hand its end stands 4 - sqrt(16 - 9) = 1.354 mm higher at the edges than in the middle."""
    with pytest.raises(StepcutError) as refused:
        plan_of("ramp", **RING, **values, **{"cut-with": "plunge"})
    assert str(refused.value) == words


@pytest.mark.parametrize(
    ("cutter", "limit"), [("8mm", 0.05), ("8mm", 0.3), ("12mm", 0.1), pytest.param("12mm", 0.3, marks=pytest.mark.long)]
)
def test_a_corner_radius_that_a_refusal_names_keeps_the_ridge(cutter: str, limit: float) -> None:
    values = {**RING, "rise": "2mm", "span": "300deg", "scallop": f"{limit}mm", "cut-with": "plunge"}
    with pytest.raises(StepcutError) as refused:
        plan_of("ramp", **values, cutter=f"{cutter} ball")
    found = re.search(r"a corner radius of ([\d.]+) mm or less", str(refused.value))
    assert found is not None
    assert plan_of("ramp", **values, cutter=f"{cutter} bull {found[1]}mm").result.scallop <= limit + 1e-6


def anyhow(seed: int) -> dict[str, Any]:
    """A ring with an upright face or two, and a round end."""
    chance = random.Random(f"round beside a face {seed}")  # noqa: S311  # repeatable cases, not secrets
    ramps = chance.choice([1, 2, 4, 8])
    span = 360 / ramps * chance.choice([1.0, 1.0, chance.uniform(0.5, 0.9)])
    rows = [(0.0, chance.choice([0.0, chance.uniform(0.1, 0.6)]))]
    if chance.random() < 0.5:
        rows.append((span * chance.uniform(0.05, 0.2), rows[-1][1]))
    if chance.random() < 0.5:
        middle = span * chance.uniform(0.4, 0.6)
        rows += [(middle, chance.uniform(0.8, 2.4)), (middle, chance.uniform(0.0, 0.7))]
    rows.append((span, chance.uniform(0.8, 2.4)))
    across = chance.choice([3, 6])
    return {
        **RING,
        "ramps": str(ramps),
        "cutter": f"{across}mm {chance.choice(['ball', 'ball', 'bull 0.5mm'])}",
        "scallop": chance.choice(["0.1mm", "0.3mm"]),
        "on-centre": chance.choice(["edge", "axis"]),
        "targets": [[front.deg(at), front.mm(depth)] for at, depth in rows],
    }


@pytest.mark.parametrize("seed", [n if n < 6 else pytest.param(n, marks=pytest.mark.long) for n in range(30)])
def test_no_round_end_is_refused_on_account_of_the_scales(seed: int) -> None:
    try:
        plan = plan_of("ramp", **anyhow(seed))
    except StepcutError as refused:
        assert "on these scales" not in str(refused)
    else:
        assert not any(remark.spoils for remark in plan.remarks)
