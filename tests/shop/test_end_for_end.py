"""A turned part put back end for end: what passes from its other face take from the form, on a raster of its outline.

The part is drawn in its own z.  A pass that was meant up to z then comes from the other face down to the part's length less z, and the
tool with its nose or its width is turned end for end too.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.conftest import Run
from tests.outside.whole_turned import Turned
from tests.shop.mended import Json, told
from tests.shop.test_mended import agree, amount, plan_of, said

LOOKS = 40_001


def taken(part: Json, cuts: list[Json], length: float) -> float:
    """How far cuts from the other face go below the wanted outline, mm; minus infinite where none comes so far."""
    tool = Turned(part)
    first, last = tool.part.ends
    z = np.linspace(first + 1e-6, last - 1e-6, LOOKS)
    wanted, sign, nose = tool.part.radius(z), -1 if tool.part.bore else 1, tool.nose
    ways = {flank["start"]: flank["cuts"] for flank in part.get("flanks", ())}
    worst = -np.inf
    for cut in cuts:
        way = ways.get(cut["start"], "to-headstock")
        groove = max(each["z"] for each in part["stops"] if each["start"] == cut["start"])
        middle = (
            length - cut["z"] + nose
        )  # of a nose whose leading point is at z; of a square tool the corner that cuts
        low, high = {
            "to-headstock": (middle, np.inf),
            "to-face": (length - groove + nose - (0 if nose else tool.width), middle),
            "straight-in": (middle, middle if nose else middle + tool.width),
        }[way]
        beside = np.abs(z - np.clip(z, low, high))
        cuts_there = sign * cut["x"] + nose - np.sqrt(np.maximum(nose**2 - beside**2, 0.0))
        here = beside <= nose
        if here.any():
            worst = max(worst, float((sign * wanted - cuts_there)[here].max()))
    return worst


# One of each way of cutting: passes of a square tool, of a nose, straight in, from a groove; inside a hole.
QUICK = ("stepped-plug-gauge", "launch-funnel-dome", "drive-pulley-crown", "lever-ball-knob", "tripod-ball-seat",
    "bung-reamer-taper")  # fmt: skip
OTHERS = ("bollard-pin-taper", "belt-crown-profile", "lock-gate-roller-edge", "rail-post-cap-cove",
    "windlass-shaft-neck", "sluice-lever-handle", "shaft-shoulder-fillet", "ball-crank-neck-first")  # fmt: skip


@pytest.mark.parametrize("name", [*QUICK, *(pytest.param(name, marks=pytest.mark.long) for name in OTHERS)])
def test_a_part_cut_on_its_other_end_loses_what_was_said(name: str, run: Run) -> None:
    plan = plan_of(name)
    part, count = told(plan), len(plan.stops)
    end = Turned(part).part.ends[1]
    for made, more in ((1, 0.0), (count // 2, 3.0), (count, 0.0), (count, 20.0)):
        length = round(end + more, 2)
        cuts = part["stops"][:made]
        text = said(run, name, "--wrong-way", str(made), "--length", f"{length}mm")
        true = taken(part, cuts, length)
        agree(plan, amount("wanted surface(?: there)?, (?:cut [0-9]+ most, )?by #", text), true, (made, more, text))
        beside = sum(taken(part, [cut], length) == -np.inf for cut in cuts)
        found = re.search(r"(\d+) of them stand past the ends|Cut \d+ stands past the ends", text)
        assert (0 if found is None else int(found[1] or 1)) == beside, (made, more, text)
