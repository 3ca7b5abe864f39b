"""A lost zero is found again on a model of the stump: the stopped cutter touches what the cuts before have left, as the text says.

The hollows are cut with a cutter that runs out a little, as every cutter does; the one that is let down into them does not turn.
The rest of the job is then cut from the zeros that were found, and the whole part must be what the plan promised.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut.plan import Plan
from tests.conftest import Run
from tests.outside import whole_ramp
from tests.shop.mended import Json, moved, stock, told, wall
from tests.shop.test_mended import examples, faced, plan_of, said

Array = NDArray[np.float64]
RUNS_OUT = 0.01  # mm, of the cutter's edge: common practice, no source
MINUTE = 1 / 60


def stump_of_a_ramp(part: Json, n: int) -> Callable[[float], float]:
    """How deep the stopped cutter can be let down so many degrees past a cut, after that cut and all before it."""
    target, tool = part["target"], whole_ramp.tool_of(part)
    wide = whole_ramp.Tool(tool.approach, tool.radius + RUNS_OUT, tool.corner + (RUNS_OUT if tool.corner else 0), tool.over, tool.middle)  # fmt: skip
    radii = np.linspace(target["inside_diameter"] / 2, target["outside_diameter"] / 2, 3)
    numbers = {stop["n"] for stop in part["stops"][:n]}
    sweeps = [each for each in part.get("sweeps", ()) if {each["from"], each["to"]} <= numbers]
    cuts = whole_ramp.cuts_of({**part, "stops": part["stops"][:n], "sweeps": sweeps})
    here = part["stops"][n - 1]["table"]
    r, phi = (each.ravel() for each in np.meshgrid(radii, here + np.linspace(-45, 45, 9001), indexing="ij"))
    deep = np.zeros_like(phi)
    for begin, end, depth in cuts:
        for turn in (-360.0, 0.0, 360.0):
            if end + turn > here - 150 and begin + turn < here + 150:
                at = np.clip(phi - tool.best(r), begin + turn, end + turn)
                deep = np.maximum(deep, depth - wide.relief(r, phi - at))
    return lambda past: float((deep + tool.relief(r, phi - here - past)).min())


def stump_of_a_groove(part: Json, n: int) -> Callable[[float], float]:
    size, ring, ball = part["cutter"]["diameter"] / 2, part["target"]["circle"] / 2, part["cutter"]["kind"] == "ball"
    here = part["stops"][n - 1]["table"]
    out, phi = (
        each.ravel()
        for each in np.meshgrid(ring + np.linspace(-size, size, 21), here + np.linspace(-30, 30, 3001), indexing="ij")
    )

    def relief(at: float, size: float) -> Array:
        away = np.sqrt(out**2 + ring**2 - 2 * out * ring * np.cos(np.radians(phi - at)))
        sag = size - np.sqrt(np.maximum(size**2 - away**2, 0.0)) if ball else 0.0
        return np.where(away <= size, sag, np.inf)

    deep = np.zeros_like(phi)
    for stop in part["stops"][:n]:
        deep = np.maximum(deep, stop["depth"] - relief(stop["table"], size + RUNS_OUT))
    return lambda past: float((deep + relief(here + past, size)).min())


def touched(text: str, part: Json, n: int) -> tuple[float, float]:
    """What hands find that do as the text says: degrees and mm by which their zeros are off."""
    let_down = (stump_of_a_groove if part["shape"] == "groove" else stump_of_a_ramp)(part, n)
    way = 1 if part["stops"][-1]["table"] >= part["stops"][0]["table"] else -1
    tries = np.arange(-0.5, 0.5, MINUTE) * way + 0.4 * MINUTE  # up the working way, by minutes that are not the card's
    if (
        "goes down deepest" in text
        or "the last place where it goes down to the floor" in text
        or "the last place where it goes in deepest" in text
    ):
        down = [let_down(past) for past in tries]
        deepest = max(down)
        felt = [past for past, deep in zip(tries, down, strict=True) if deep > deepest - 0.002]
        past = felt[-1] if "the last place" in text else felt[len(felt) // 2]
    else:
        raise AssertionError(text)
    # On the floor the paper drags, and it is measured: the depth that is set is the cut's own.
    return float(past), let_down(float(past)) - part["stops"][n - 1]["depth"]


def some(count: int, thorough: bool) -> list[int]:
    asked = (2, count // 4, count // 2, 3 * count // 4, count - 1) if thorough else (count // 2,)
    return sorted({n for n in asked if 1 < n < count})


CUTTERS: tuple[dict[str, str], ...] = (
    {"name": "sluice-clamp-ramp", "cutter": "0.375in ball"},
    {"name": "paddle-latch-ramps", "cutter": "10mm bull 1mm"},
    {"name": "hoist-lifter-ball-ramps"},
)


def found_again(plan: Plan, text: Callable[[int], str], numbers: list[int], case: Any) -> None:
    part = told(plan)
    steepest = max(abs(b["depth"] - a["depth"]) / max(1e-9, abs(b["table"] - a["table"]))
                   for a, b in zip(part["stops"], part["stops"][1:], strict=False) if a["start"] == b["start"])  # fmt: skip
    for n in numbers:
        past, deep = touched(text(n), part, n)
        slope = min(steepest, 0.5)
        assert abs(past) <= 0.1, (case, n, past)
        assert abs(deep) <= 0.006 + 0.002, (case, n, deep)
        rest = [moved(stop, by=past, deeper=deep) for stop in part["stops"][n:]]
        cuttings = ((part, part["stops"][:n]), (part, rest))
        left = stock(part, *cuttings)
        if plan.shape == "ramp":  # an upright face that stands a hair to one side is not so much too deep
            _, phi = wall(part, cuttings)
            ramp = whole_ramp.Wanted(part["target"])
            ends = [ramp.depth(np.clip(phi + side * 0.1, 0, ramp.span)) for side in (-1, 1)]
            left = left[:, (abs(ends[1] - ends[0]) < 0.1) & (phi > 0.1) & (phi < ramp.span - 0.1)]
        off = abs(deep) + slope * abs(past) + 2e-3
        assert left.min() >= min(0.0, plan.result.stock_min) - off, (case, n, float(left.min()), off)
        assert faced(plan) or left.max() <= plan.result.stock_max + off, (case, n, float(left.max()), off)


@pytest.mark.parametrize(("name", "thorough"), examples("ramp", "groove"))
def test_a_zero_is_found_again_in_the_last_hollow(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    found_again(plan, lambda n: said(run, name, "--lost", str(n)), some(len(plan.stops), thorough), name)


@pytest.mark.parametrize("sets", CUTTERS, ids=lambda sets: "-".join(sets.values()).replace(" ", "-"))
def test_a_zero_is_found_again_with_every_form_of_cutter(sets: dict[str, str], run: Run) -> None:
    others = {key: text for key, text in sets.items() if key != "name"}
    words = [word for key, text in others.items() for word in ("--set", f"{key}={text}")]
    plan = plan_of(sets["name"], **others)
    found_again(plan, lambda n: said(run, sets["name"], "--lost", str(n), *words), some(len(plan.stops), False), sets)
    assert re.search("riser|shoulder", said(run, sets["name"], "--lost", "2", *words)) is None
