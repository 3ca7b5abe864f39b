"""A groove whose table slipped, on a raster of the unrolled cylinder or of the disc: what lies beside it, and how wide it gets.

The walls are looked at as cut, at the surface, along the line in which what was said is measured: the axis of a helix, a ray of a scroll.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut.shop.recover import width_along
from tests import shops
from tests.conftest import Run
from tests.outside import helix_sections
from tests.shop.mended import Json, told
from tests.shop.test_mended import amount, plan_of, said

Array = NDArray[np.float64]
CELL = 0.002  # mm along the line that is looked at


def cut_along(part: Json, cuts: list[Json], at: float) -> list[tuple[float, float]]:
    """Stretches that cuts take of a line at a table angle, in degrees, mm: along the axis at the surface, or along the ray."""
    marks = {"helix": _axis, "scroll": _ray}[part["shape"]](part, cuts, at)
    merged: list[tuple[float, float]] = []
    for begin, end in sorted(marks):
        if merged and begin <= merged[-1][1] + CELL:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((begin, end))
    return merged


def _axis(part: Json, cuts: list[Json], at: float) -> list[tuple[float, float]]:
    model = helix_sections.Model(part)
    beside = np.radians(at - np.array([cut["table"] for cut in cuts]))
    beside = (beside + np.pi) % (2 * np.pi) - np.pi
    half = np.where(np.abs(beside) < 1.5, model.stretch(model.outside, beside, model.deep), -1.0)
    return [(cut["x"] - h, cut["x"] + h) for cut, h in zip(cuts, half, strict=True) if h >= 0]


def _ray(part: Json, cuts: list[Json], at: float) -> list[tuple[float, float]]:
    size = part["cutter"]["diameter"] / 2
    found = []
    for cut in cuts:
        turn = np.radians(at - cut["table"])
        along, across = cut["x"] * np.cos(turn), cut["x"] * np.sin(turn)
        if abs(across) < size and along > 0:
            half = np.sqrt(size**2 - across**2)
            found.append((along - half, along + half))
    return found


def ones_of(part: Json) -> list[Json]:
    """The cuts of the first groove, side by side ones left out."""
    return [stop for stop in part["stops"] if stop["start"] == 1]


SLIPS = [
    (name, by)
    for name in ("oil-groove-helix", "sluice-spindle-vee-groove", "bellows-chuck-face-scroll", "level-sight-slot")
    for by in (4.0, -7.0, 25.0)
]


@pytest.mark.parametrize(("name", "by"), SLIPS)
def test_cuts_after_a_slip_lie_as_far_beside_the_groove_as_was_said(name: str, by: float, run: Run) -> None:
    plan = plan_of(name)
    part = told(plan)
    row = ones_of(part)
    n, last = len(row) // 3, len(row) * 2 // 3
    reads = float(plan.first.value(plan.stops[n - 1].first)) - by
    text = said(run, name, "--slipped", str(n), "--reads", f"{reads:.6f}deg", "--last", str(last))
    beside = amount("lie # along", text)
    assert beside is not None
    stray = [{**cut, "table": cut["table"] + by} for cut in row[n:last]]
    middle = stray[len(stray) // 2]
    at = middle["table"]
    whole = [one for one in cut_along(part, row, at) if one[0] < middle["x"] + 30 and one[1] > middle["x"] - 30]
    (moved,) = cut_along(part, stray, at)
    own = min(whole, key=lambda one: abs(sum(one) - sum(moved)))
    off = (sum(moved) - sum(own)) / 2
    # Between two cuts the walls wave: by the ridge that the plan leaves and by what the marks are rounded.
    assert abs(off) == pytest.approx(beside, abs=0.03 + plan.result.scallop)
    both = [one for one in cut_along(part, row + stray, at) if one[0] <= max(own[1], moved[1]) and one[1] >= min(own[0], moved[0])]  # fmt: skip
    wide, own_wide = sum(end - begin for begin, end in both), own[1] - own[0]
    assert ("broken off" in text) == ("a second groove" in text) == (len(both) == 2)
    if "a second groove" in text:
        land = amount("land of about # between", text)
        assert land is not None
        assert both[1][0] - both[0][1] == pytest.approx(
            land, abs=0.12 + 2 * plan.result.scallop
        )  # the cylinder's curve is left out
    else:
        wider = amount("the groove # wider", text)
        assert wider is not None
        assert len(both) == 1
        assert wide - own_wide == pytest.approx(wider, abs=0.03 + 2 * plan.result.scallop)


@pytest.mark.parametrize("name", ["oil-groove-helix", "sluice-spindle-vee-groove", "level-sight-slot"])
@pytest.mark.parametrize("deeper", [0.15, 0.4])
def test_a_groove_cut_too_deep_is_as_much_wider_there_as_was_said(name: str, deeper: float, run: Run) -> None:
    plan = plan_of(name)
    part = told(plan)
    model, depth = helix_sections.Model(part), part["target"]["depth"]
    text = said(run, name, "--cut", "9", "--found", f"{depth + deeper:.6f}mm")
    # Where the wall runs with the way, a plunge reaches as far to its sides as a groove of that depth does.
    across = [model.caliper(model.half(model.outside, deep)) for deep in (depth, depth + deeper)]
    wider = amount("it is about # wider there", text)
    assert (wider or 0.0) == pytest.approx(across[1] - across[0], abs=1e-3)
    assert ("its width stays" in text) == (across[1] - across[0] < 5e-4)
    below = amount("one deep place of #", text)
    assert below == pytest.approx(deeper, abs=1e-3)


def test_a_groove_is_as_wide_along_the_axis_or_a_ray_as_its_way_leans() -> None:
    """A way that rises as much as it goes round stands at 45 degrees, and a width square to it is longer by the root of two."""
    helix = shops.plan_of(
        "helix", diameter="40mm", lead=f"{40 * math.pi:.4f}mm", length="60mm", depth="2mm", cutter="4mm", step="4deg"
    )
    assert width_along(helix, 1) == pytest.approx(4 * math.sqrt(2), rel=1e-5)
    scroll = shops.plan_of("scroll", begin="20mm", end="50mm", pitch="8mm", depth="2mm", cutter="4mm", step="4deg")
    round_ = [2 * math.pi * abs(float(scroll.second.value(stop.second))) for stop in scroll.stops]
    for n in (1, len(round_)):  # the lean's tangent is the pitch for once round
        lean = math.atan(8 / round_[n - 1])
        assert width_along(scroll, n) == pytest.approx(4 / math.cos(lean), rel=1e-6)
