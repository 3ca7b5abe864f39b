"""Pieces of the kernel asked for themselves: estimates by halving, places past a wall, cuts hidden in others, volumes by Simpson's rule."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import cast

import pytest

from stepcut.kernel.budget import _Probe
from stepcut.kernel.footprints import Lateral
from stepcut.kernel.line import WALL, Line, line_by_motion, straight
from stepcut.kernel.measure import measure
from stepcut.kernel.section import Guard, Section
from stepcut.kernel.task import Task
from stepcut.machine import Outline, Scale


class Told(_Probe):
    """A probe that keeps its limit up to a stride that is told, and counts how often it is asked."""

    def __init__(self, keeps: int) -> None:
        self.most, self.asked = keeps, 0

    def keeps(self, mark: int, stride: int) -> bool:  # the same everywhere
        self.asked += 1
        assert self.asked < 50, "goes on for ever"
        return stride <= self.most


@pytest.mark.parametrize("keeps", [0, 1, 2, 3, 4, 5, 7, 37, 64, 999, 1000])
def test_an_estimated_stride_is_within_an_eighth_of_the_longest_that_keeps_the_limit(keeps: int) -> None:
    found = Told(keeps).stride(0, 1000)
    assert keeps * 8 / 9 - 1 <= found <= keeps


def test_a_stride_is_no_longer_than_what_is_asked_about() -> None:
    assert Told(5000).stride(0, 300) <= 300


@pytest.mark.parametrize("begins", [-2.0, 0.0, 2.0, 3.5])
def test_the_first_place_past_a_wall_is_where_the_wall_ends(begins: float) -> None:
    def deepest(at: float) -> float:
        return WALL if at < 3.7 else 1.0

    task = cast("Task", SimpleNamespace(guards=(SimpleNamespace(width=8.0),), deepest=deepest))
    assert Task._first_allowed(task, begins) == pytest.approx(3.7, abs=1e-9)


def task_of(line: Line) -> Task:
    """A circle of 20 mm cut by the straight edge of a 6 mm cutter, read to 0.1 degree and 0.01 mm."""
    foot = Lateral(Outline(3.0, 0.0), 3.0, 19.0, 21.0)
    return Task(
        (Section(line, foot, 0.0, 20.0),), (Guard(line, foot),),
        Scale("rim", Fraction(1, 10)), Scale("depth", Fraction(1, 100)),
    )  # fmt: skip


def test_a_cut_that_lies_wholly_in_deeper_ones_changes_nothing() -> None:
    task = task_of(Line((straight(0.0, 60.0, 0.0, 3.0),)))
    row = [(mark, task.depth(mark)) for mark in range(0, 601, 50)]
    hidden = sorted({*row, (201, 3), (202, 2), (249, 1), (401, 7)})
    plain, more = (measure(task, task.places(each)) for each in (row, hidden))
    assert more.volume == pytest.approx(plain.volume, rel=1e-12)
    assert (more.scallop, more.most) == pytest.approx((plain.scallop, plain.most))


@pytest.mark.parametrize("motion", ["harmonic", "cycloidal", "parabolic"])
def test_as_much_stands_over_a_motion_that_is_alike_both_ways_as_over_a_straight_ramp(motion: str) -> None:
    """What such a motion cuts less in its first half it cuts more in its second: half the rise on the mean."""
    straight_one = measure(task_of(Line((straight(0.0, 60.0, 0.0, 3.0),))), [])
    bent = measure(task_of(line_by_motion(motion, 60.0, 3.0)), [])
    assert bent.volume == pytest.approx(straight_one.volume, rel=1e-6)
    assert bent.most == pytest.approx(3.0)
