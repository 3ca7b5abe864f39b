"""Lost zeros of helices and scrolls, found again in the groove that stands: where the stopped cutter finds room at full depth.

A groove is what its cuts took, each with a cutter that runs out a little: stretches along the axis on rays of a cylinder, or circles in
the plane of a disc.  The stopped cutter has room where it lies wholly in them.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stepcut import recipes
from tests.conftest import Run
from tests.outside.helix_sections import Model
from tests.shop.mended import Json, told
from tests.shop.test_mended import plan_of, said

Array = NDArray[np.float64]
RUNS_OUT = 0.01  # mm, of the cutter's edge: common practice, no source
CELL = 0.01  # mm along the axis or the ray, and round the part


class Wider(Model):
    """The cutter as it turns."""

    def wide(self, up: Array) -> Array:
        found = super().wide(up)
        return np.where(found >= 0, found + RUNS_OUT, found)


class Cylinder:
    """A cylinder after some cuts of a helix, on rays about the last of them at a few depths."""

    def __init__(self, part: Json, cuts: list[Json]) -> None:
        self.cutter, self.last = Model(part), cuts[-1]
        wider, here = Wider(part), np.radians(self.last["table"])
        reach = 1.6 * self.cutter.big / self.cutter.outside
        self.rays = np.linspace(-reach, reach, 241)
        self.levels = [
            self.cutter.outside - share * self.cutter.deep for share in (0.0, 0.3, 0.6, 0.9)
        ]  # from the surface down
        self.free: list[list[list[tuple[float, float]]]] = []
        near = []
        for cut in cuts:
            turned = (np.radians(cut["table"]) - here + np.pi) % (2 * np.pi) - np.pi
            if abs(turned) < 3 * reach and abs(cut["x"] - self.last["x"]) < 6 * self.cutter.big:
                near.append((turned, cut["x"] - self.last["x"]))
        for rho in self.levels:
            rows: list[list[tuple[float, float]]] = [[] for _ in self.rays]
            for turned, x in near:
                half = wider.stretch(rho, self.rays - turned, self.cutter.deep)
                for k in np.nonzero(half >= 0)[0]:
                    rows[k].append((x - half[k], x + half[k]))
            self.free.append([_merged(row) for row in rows])

    def has_room(self, turned: float, x: float) -> bool:
        """Whether the stopped cutter at full depth touches nothing, so many mm round and along from the last cut."""
        turned /= self.cutter.outside
        for rho, rows in zip(self.levels, self.free, strict=True):
            half = self.cutter.stretch(rho, self.rays - turned, self.cutter.deep)
            for k in np.nonzero(half >= 0)[0]:
                if not any(begin <= x - half[k] and x + half[k] <= end for begin, end in rows[k]):
                    return False
        return True


def _merged(row: list[tuple[float, float]]) -> list[tuple[float, float]]:
    merged: list[tuple[float, float]] = []
    for begin, end in sorted(row):
        if merged and begin <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((begin, end))
    return merged


def helices() -> list[Any]:
    """A narrow groove, a pointed one, the second sweep of a wide one; the others where long tests run."""
    quick = {("oil-groove-helix", 20), ("winder-sleeve-wide-groove", 45)}
    asked = [
        *quick,
        ("sluice-spindle-vee-groove", 100),
        ("oil-groove-helix", 60),
        ("capstan-sleeve-detent-groove", 12),
        ("level-sight-slot", 15),
        ("winder-sleeve-wide-groove", 12),
        ("winder-sleeve-wide-groove", 61),
        ("winder-sleeve-wide-groove cross", 76),
        ("winder-sleeve-wide-groove cross", 110),
        ("dredger-roller-cross-grooves", 25),
        ("dredger-roller-cross-grooves", 95),
        ("dredger-roller-cross-grooves", 130),
    ]
    return [pytest.param(*each, marks=() if each in quick else pytest.mark.long) for each in sorted(asked)]


@pytest.mark.parametrize(("name", "n"), helices())
def test_the_cutter_finds_the_end_of_its_groove_again(name: str, n: int, run: Run) -> None:
    name, *crossed = name.split(" ")
    plan = plan_of(name, **dict.fromkeys(crossed, "yes"))
    part = told(plan)
    text = said(run, name, "--lost", str(n), *(word for key in crossed for word in ("--set", f"{key}=yes")))
    last, first = part["stops"][n - 1], next(s for s in part["stops"] if s["start"] == part["stops"][n - 1]["start"])
    assert f"toward the {'tailstock' if last['x'] > first['x'] else 'table'}, by rule" in text
    stump = Cylinder(part, part["stops"][:n])
    steps = CELL * np.arange(-40, 41)
    assert stump.has_room(0.0, 0.0)
    if "it fits there alone" in text:
        room = [(t, x) for t in steps[::4] for x in steps[::4] if stump.has_room(t, x)]
        assert max(np.hypot(t, x) for t, x in room) <= 0.06, (room, text)
        return
    felt = {}
    for each in steps[::4]:  # from well off its wall until the cutter touches
        if "moved along the axis toward the" in text:
            wall = 1 if "toward the tailstock by hand" in text else -1
            x = -0.3 * wall
            while stump.has_room(each, x) and abs(x) < 2:
                x += CELL * wall
            felt[each, x - CELL * wall] = (x - CELL * wall) * wall
        else:
            assert "to where it turns farthest" in text
            turned = -0.6
            while stump.has_room(turned, each) and abs(turned) < 2:
                turned += CELL
            felt[turned - CELL, each] = turned - CELL
    farthest = [at for at, far in felt.items() if far > max(felt.values()) - 1e-9]
    turned, x = farthest[len(farthest) // 2]
    assert np.hypot(turned, x) <= 0.06, (turned, x, text)


def test_a_groove_that_has_only_begun_is_looked_for_where_it_begins(run: Run) -> None:
    text = said(run, "oil-groove-helix", "--lost", "1")
    assert "the stopped cutter over the end that cut 1 made, where the groove begins. Let down by hand" in text


def test_a_second_sweep_that_runs_away_from_its_own_wall_is_felt_by_turning_the_table(run: Run) -> None:
    name = "winder-sleeve-wide-groove"
    part = told(plan_of(name, cross="yes", step="9deg", length="24mm"))
    beside, row = ([stop for stop in part["stops"] if stop["start"] == start] for start in (3, 4))  # of the other hand
    away = [b["x"] - a["x"] for a, b in zip(beside, row, strict=True) if a["table"] == b["table"]]
    assert len(away) > 5 and len({x > 0 for x in away}) == 1
    # One push along the axis would hold it against its wall or against the metal ahead, not against both.
    assert (away[0] > 0) != (row[-1]["x"] > row[0]["x"])
    sets = ["--set", "cross=yes", "--set", "step=9deg", "--set", "length=24mm"]
    text = said(run, name, "--lost", str(row[4]["n"]), *sets)
    assert "the table turned the working way by hand each time until the cutter touches, to where it turns" in text


@pytest.mark.parametrize("n", [20, pytest.param(120, marks=pytest.mark.long)])
def test_the_cutter_finds_the_end_of_its_scroll_again(n: int, run: Run) -> None:
    name = "bellows-chuck-face-scroll"
    plan = plan_of(name)
    part = told(plan)
    text = said(run, name, "--lost", str(n))
    assert "the table's centre under the spindle again" in text and "from where it began" not in text
    size = part["cutter"]["diameter"] / 2
    middles = np.array([stop["x"] * np.exp(1j * np.radians(stop["table"])) for stop in part["stops"][:n]])
    last = part["stops"][n - 1]
    rim = size * np.exp(1j * np.linspace(0, 2 * np.pi, 361))

    def has_room(turned: float) -> bool:
        at = last["x"] * np.exp(1j * np.radians(last["table"] + turned)) + rim
        return bool((np.abs(at[:, None] - middles).min(axis=1) <= size + RUNS_OUT).all())

    room = [np.radians(turned) * last["x"] for turned in np.arange(-1.0, 1.0, 1 / 60) if has_room(turned)]
    assert room and max(map(abs, room)) <= 0.05, room  # mm round the disc


def test_every_helix_is_asked() -> None:
    """So that a new recipe is asked too."""
    shipped = {path.stem for path in recipes.shipped() if recipes.load(path.stem).shape == "helix"}
    assert shipped == {str(param.values[0]).split(" ")[0] for param in helices()}
