"""Lost zeros of turned parts, found again as the text says: the tool touches what really stands of the part then, on its outline.

The outline is what the passes up to the cut have left: each takes all from the face, or from its groove, to where it stops.  Paper has
its thickness everywhere between tool and metal, ink has none, and what is measured is off by a little.  The rest of the job is then
cut from the zeros that were found, and must be as near to the wanted line as was promised.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut import recipes
from stepcut.plan import Plan
from tests.conftest import Run
from tests.outside.whole_turned import Turned
from tests.shop.mended import Json, stock, told
from tests.shop.test_mended import plan_of, printed, said

Array = NDArray[np.float64]
PAPER = 0.1  # mm, as measured by the user
FELT = 0.004  # mm by which a touch or a micrometer is off; common practice, no source
FINE = 0.002  # mm of the axis between two looks


class Stump:
    """What stands after the first cuts of a plan: radii over the axis, upside down in a bore so that metal is below."""

    def __init__(self, part: Json, n: int) -> None:
        self.tool = Turned(part)
        self.sign, self.nose = (-1.0 if self.tool.part.bore else 1.0), self.tool.nose
        self.ways = {flank["start"]: flank["cuts"] for flank in part.get("flanks", ())}
        self.part, self.last = part, part["stops"][n - 1]
        blank = part["target"].get("blank", 0.0) / 2 or self.tool.part.uncut
        self.z = np.arange(0.0, self.tool.part.ends[1] + 15, FINE)
        self.r = np.full_like(self.z, self.sign * blank)
        for stop in part["stops"][:n]:
            self._cut(stop)

    def way(self, stop: Json) -> str:
        return str(self.ways.get(stop["start"], "to-headstock"))

    def _cut(self, stop: Json) -> None:
        low, high = self.run(stop)
        beside = np.abs(self.z - np.clip(self.z, low, high))
        taken = self.sign * stop["x"] + self.nose - np.sqrt(np.maximum(self.nose**2 - beside**2, 0.0))
        self.r = np.where(beside <= self.nose + 1e-9, np.minimum(self.r, taken), self.r)

    def run(self, stop: Json) -> tuple[float, float]:
        """From where to where the middle of the nose goes, or the corners of a square tool."""
        middle, wide = stop["z"] - self.nose, 0.0 if self.nose else self.tool.width
        groove = max(each["z"] for each in self.part["stops"] if each["start"] == stop["start"]) - self.nose
        return {"to-headstock": (-np.inf, middle), "to-face": (middle, groove + wide), "straight-in": (middle - wide, middle)}[self.way(stop)]  # fmt: skip

    def face(self) -> float:
        """How much of the face stands, as a radius."""
        return float(self.sign * self.r[0])

    def down(self, z: float, gap: float) -> float:
        """x at which the tool, its leading point or corner at z, comes so near to the metal."""
        middle, size = z - self.nose, self.nose + gap
        if self.nose:
            near = np.abs(self.z - middle) <= size
            return self.sign * float(
                (self.r + np.sqrt(np.maximum(size**2 - (self.z - middle) ** 2, 0)))[near].max() - self.nose
            )
        low, high = self.run(self.last)  # a tool no wider than where it has cut
        near = (self.z > max(low, z - 1.0) + FINE) & (self.z < min(high, low + 1.0 if low > 0 else high) - FINE)
        return self.sign * float(self.r[near].max() + gap)

    def along(self, x: float) -> float:
        """z at which the tool, so deep, meets the metal that stands before it."""
        to_face = self.way(self.last) == "to-face"
        up = self.sign * x
        stands = self.r > up + 0.002
        if self.nose:
            ahead = stands & (self.r < up + 2 * self.nose) & (self.z > self.last["z"] - 2 * self.nose)
            over = self.r[ahead] - (up + self.nose)
            return float((self.z[ahead] - np.sqrt(np.maximum(self.nose**2 - over**2, 0))).min()) + self.nose
        if to_face:
            return float(self.z[stands & (self.z <= self.last["z"] + 0.05)].max())
        return float(self.z[stands & (self.z >= self.last["z"] - 0.05)].min())


def touched(text: str, stump: Stump, doubled: bool) -> tuple[float, float]:
    """What hands find that do as the text says: by how much z and x are off, mm."""
    last, nose = stump.last, stump.nose
    off_z = off_x = 0.0
    acts = re.findall(r"\d\. ([zx]): (.*?)(?= \d\. )", text)
    assert sorted(name for name, _ in acts) == ["x", "z"], text
    for name, act in acts:
        if name == "z" and "against the face" in act:
            # The leading point of a nose is so far from the axis as its middle.
            assert stump.tool.part.bore or stump.face() >= max(nose + 0.5, 0.9), (stump.face(), text)
            off_z = FELT
        elif name == "z":
            assert "just scrapes the ink" in act
            off_z = stump.along(last["x"] + off_x) - last["z"]
        elif "against the step" in act:
            assert nose == 0 or "a little nearer the face" in act
            off_x = stump.down(last["z"] - (0.5 if nose else 0.0), PAPER) - stump.sign * PAPER - last["x"]
        elif "just scrapes the ink" in act:
            off_x = stump.down(last["z"] + off_z, 0.0) - last["x"]
        else:
            assert "measured" in act and ("DIAMETER" in act) == doubled
            off_x = FELT
    return off_z, off_x


def numbers(count: int, thorough: bool) -> list[int]:
    asked = (1, 2, count // 4, count // 2, 3 * count // 4, count - 1) if thorough else (count // 2, count - 1)
    return sorted({n for n in asked if 0 < n < count})


def turned() -> list[Any]:
    quick = ("stepped-plug-gauge", "launch-funnel-dome", "windlass-shaft-neck", "tripod-ball-seat")
    found = []
    for path in recipes.shipped():
        recipe = recipes.load(path.stem)
        if recipe.shape in ("taper", "radius", "profile") and recipe.values.get("by", "steps") == "steps":
            found += [pytest.param(path.stem, False)] if path.stem in quick else []
            found.append(pytest.param(path.stem, True, marks=pytest.mark.long))
    return found


@pytest.mark.parametrize(("name", "thorough"), turned())
def test_a_turned_part_is_as_promised_after_its_zeros_were_found_again(name: str, thorough: bool, run: Run) -> None:
    plan = plan_of(name)
    part = told(plan)
    whole = as_promised(plan, part)
    for n in numbers(len(plan.stops), thorough):
        text = said(run, name, "--lost", str(n))
        off_z, off_x = touched(text, Stump(part, n), plan.second.doubled)
        assert abs(off_z) <= 0.008, (n, off_z, text)
        assert abs(off_x) <= 0.008, (n, off_x, text)
        rest = [
            {**stop, "z": stop["z"] + off_z, "x": stop["x"] + off_x} if stop["n"] > n else stop
            for stop in part["stops"]
        ]
        off = float(np.hypot(off_z, off_x)) + 2e-3
        low, high = as_promised(plan, {**part, "stops": rest})
        assert low >= whole[0] - off, (n, low, off)
        assert high <= whole[1] + off, (n, high, off)
    assert whole[1] <= plan.result.scallop + printed(plan) + 2e-3


@pytest.mark.parametrize(
    ("name", "n", "words"),
    [
        # Cuts that run toward the face leave no side of the tool to touch it with, although it stands.
        ("ball-crank-neck-first", 15, "z: the shoulder of cut 15 inked"),
        ("drive-pulley-crown", 2, "the floor of cut 2 inked, work turned by hand, the nose in until it"),
    ],
)
def test_a_cut_gives_its_zeros_back_by_ink(name: str, n: int, words: str, run: Run) -> None:
    plan = plan_of(name)
    text = said(run, name, "--lost", str(n))
    assert words in text
    assert max(map(abs, touched(text, Stump(told(plan), n), plan.second.doubled))) <= 0.008


def test_a_nose_is_not_brought_against_a_step_that_was_roughed_away_before_the_finish(run: Run) -> None:
    sets = {"finish": "0.3mm", "nose": "1mm", "blank": "20mm"}
    plan = plan_of("launch-funnel-dome", **sets)
    words = [word for key, text in sets.items() for word in ("--set", f"{key}={text}")]
    rough = sum(len(each.stops) for each in plan.details.cuts if each.rough)
    ways = set()
    for n in (rough + 1, rough + 4, rough + 7, rough + 9):
        text = said(run, "launch-funnel-dome", *words, "--lost", str(n))
        ways.add("against the step" in text)
        assert max(map(abs, touched(text, Stump(told(plan), n), plan.second.doubled))) <= 0.008, text
    assert ways == {True, False}


def as_promised(plan: Plan, part: Json) -> tuple[float, float]:
    """How near the finished part comes to its stock line, and how far it stands off, square to it, mm."""
    model = Turned(part)
    first, last = model.part.ends
    ridge = model.ridge(np.linspace(first + 1e-3, last - 1e-3, 8001))
    return float(ridge.min()), float(ridge.max())


@pytest.mark.parametrize("name", ["marking-point-cone", "paddle-socket-bore"])
def test_a_cone_is_as_promised_after_its_zeros_were_found_again(name: str, run: Run) -> None:
    """The tip touches the cone that stands, in the plane of the axis; the slide's own zero is by eye where no face is left."""
    plan = plan_of(name)
    part = told(plan)
    sign = -1.0 if part["target"]["side"] == "bore" else 1.0
    slope = sign * np.radians(part["target"]["per_side"])
    way = np.array([np.cos(slope), np.sin(slope)])
    for n in range(1, len(plan.stops)):
        text = said(run, name, "--lost", str(n))
        last = part["stops"][n - 1]
        faced = "against the face" in text
        assert sign < 0 or faced == (last["x"] >= 1.0), (n, text)
        off_along = FELT if faced else 0.3
        stands = np.array([0.0, last["x"]]) + np.linspace(0, last["compound"], 2001)[:, None] * way
        at = np.array([0.0, last["x"]]) + (last["compound"] / 2 + off_along) * way  # the tip, x as it will be set
        square = float(((stands - at) @ np.array([-way[1], way[0]]))[np.hypot(*(stands - at).T).argmin()])
        gap = 0.0 if "just scrapes the ink" in text else PAPER
        # Paper holds the tip off square to the cone; what is taken off again is taken off along x.
        off_x = sign * (square + gap) / np.cos(slope) - sign * gap
        assert abs(off_x) <= 1e-3, (n, off_x, text)
        rest = [
            {
                **stop,
                "compound": stop["compound"] + off_along * (stop["n"] > n),
                "x": stop["x"] + off_x * (stop["n"] > n),
            }
            for stop in part["stops"]
        ]
        left = stock(part, ({**part, "stops": rest}, rest))
        promised = stock(part, (part, part["stops"]))
        assert left.min() >= promised.min() - 2e-3
        z = np.linspace(0, part["target"]["length"], len(left))
        inside = z < z[-1] - off_along  # what the travel is short of stands at its end
        assert left[inside].max() <= promised[inside].max() + 2e-3
