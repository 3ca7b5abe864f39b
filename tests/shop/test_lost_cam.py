"""Lost zeros of cams, found again on the rim as it then stands: by the flat of a cut, or by the metal ahead of a hollow.

The hollows are made by a cutter that runs out a little; the stopped one that feels for them does not.  The rest is cut from the zeros that
were found, and the whole rim must be what the plan promised.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.conftest import Run
from tests.outside import whole_cam
from tests.shop.mended import CAMS, Json, _rows, _seen_by, moved, stock, told
from tests.shop.test_mended import examples, plan_of, said

RUNS_OUT = 0.01  # mm, of the cutter's edge: common practice, no source
FELT = 0.003  # mm by which an indicator, a measured mandrel or a touch is off; common practice, no source
MINUTE = 1 / 60


class Stump:
    """A rim after the first cuts of a plan, on rays close to the last of them."""

    def __init__(self, part: Json, n: int) -> None:
        self.part, self.last = part, part["stops"][n - 1]
        cam: whole_cam.Cam = _seen_by(part, part["stops"])
        rows = _rows(part, part["stops"][:n], "radius")
        again = np.concatenate([rows + np.array([turn, turn, 0.0]) for turn in (-720.0, -360.0, 0.0, 360.0, 720.0)])
        cam.cuts = again
        cam.half = part["cutter"]["diameter"] / 2 + (RUNS_OUT if cam.side else 0.0)
        cam.reach = cam._reach(cam.cuts[:, 2])
        self.beside = np.linspace(-50, 50, 40_001)
        self.radius = cam.cut(self.last["table"] + self.beside)
        cam.half = part["cutter"]["diameter"] / 2
        self.side, self.half = cam.side, cam.half

    def down(self, past: float) -> float:
        """The height at which the stopped cutter touches, so many degrees past the cut."""
        turn = np.radians(self.beside - past)
        across = self.radius * np.sin(turn)
        near = (np.abs(across) <= self.half) & (np.cos(turn) > 0)
        up = self.radius * np.cos(turn)
        if self.side:
            up = up + np.sqrt(np.maximum(self.half**2 - across**2, 0.0)) - self.half
        return float(up[near].max())

    def flat(self) -> tuple[float, float]:
        """Where the flat of the last cut begins and ends, mm beside its middle."""
        turn = np.radians(self.beside)
        own = np.abs(self.radius * np.cos(turn) - self.last["radius"]) < 1e-4
        across = (self.radius * np.sin(turn))[own]
        return float(across.min()), float(across.max())


def touched(text: str, stump: Stump, way: int) -> tuple[float, float]:
    """What hands find that do as the text says: degrees and mm by which their zeros are off."""
    assert "on a flat of measured height" in text
    high = FELT
    if "an indicator on the flat" in text:
        assert "square to the cam's axis" in text
        begin, end = stump.flat()
        assert end - begin > 1.0, (begin, end)
        return float(np.degrees(2 * FELT / (end - begin))), high
    assert "to the last place where it goes in to height" in text
    tries = np.arange(-0.6, 0.6, MINUTE) * way + 0.4 * MINUTE
    # What reads as the height of the cut is lower by what its zero is off.
    goes = [past for past in tries if stump.down(past) <= stump.last["radius"] + high]
    return float(goes[-1]), high


@pytest.mark.parametrize(("name", "thorough"), examples("cam"))
def test_a_cam_is_as_promised_after_its_zeros_were_found_again(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    part, count = told(plan), len(plan.stops)
    CAMS.clear()
    way = 1 if part["stops"][-1]["table"] >= part["stops"][0]["table"] else -1
    whole = stock(part, (part, part["stops"]))
    phi = np.linspace(0.01, part_span(part) - 0.01, len(whole))
    rim = _seen_by(part, part["stops"]).rim
    for n in sorted({2, count // 4, count // 2, 3 * count // 4} - {0, 1}) if thorough else (count // 2,):
        text = said(run, name, "--lost", str(n))
        past, high = touched(text, Stump(part, n), way)
        assert abs(past) <= 0.25, (n, past, text)
        rest = [moved(stop, by=past, deeper=-high) for stop in part["stops"][n:]]
        meant = {"stops": part["stops"][:n] + rest}
        left = stock(part, ({**part, **meant}, meant["stops"]))
        slope = np.abs(rim.rate(phi)) * np.radians(abs(past))  # what a place so far beside differs by there
        off = high + np.minimum(slope, 0.5) + 2e-3
        steep = slope > 0.1
        assert (left >= np.minimum(0.0, plan.result.stock_min) - off)[~steep].all(), (
            n,
            float((left + off)[~steep].min()),
        )
        assert (left <= whole.max() + off)[~steep].all(), (n, float((left - off)[~steep].max()))
    assert re.search("its flat|that flat", said(run, name, "--lost", "2")) is None


def test_a_flat_of_the_end_of_a_cutter_gives_a_cams_rim_back(run: Run) -> None:
    name, n = "tension-release-cam", 12
    part = told(plan_of(name))
    past, _ = touched(said(run, name, "--lost", str(n)), Stump(part, n), 1)
    assert abs(past) <= 0.25


def part_span(part: Json) -> float:
    return float(_seen_by(part, part["stops"]).rim.span)
