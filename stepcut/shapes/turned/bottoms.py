"""Hollows that a tool going straight in is too wide for: what stands at their bottom whatever the steps."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from msgspec.structs import replace

from stepcut.errors import Refused
from stepcut.kernel.line import FREE, WALL, Stretch
from stepcut.kernel.search import lowest
from stepcut.kernel.section import Place
from stepcut.machine import Machine
from stepcut.shapes.turned.bench import DEFAULT_RIDGE, Turning, task_of
from stepcut.shapes.turned.wanted import Flank

HALVINGS = 24  # for the widest tool that serves


class Bottom(NamedTuple):
    """The bottom of a hollow: from where to where it is level, mm along the flank; its depth; and how steep it rises beside it."""

    begin: float
    end: float
    depth: float
    slope: float


def bottoms(flank: Flank) -> Iterator[Bottom]:
    """Yield the bottoms of a flank that metal stands beside on both sides."""
    row: list[Stretch] = [s for s in flank.wanted.stretches if s.first not in (FREE, WALL)]
    for k, (before, after) in enumerate(pairwise(row)):
        if not before.last > before.first:
            continue
        level = after.first == after.last == before.last
        end, beyond = after.end if level else after.begin, row[k + 2] if level and k + 2 < len(row) else after
        if beyond.last < beyond.first:
            steep = [abs(one.last - one.first) / max(one.end - one.begin, 1e-9) for one in (before, beyond)]
            yield Bottom(after.begin, end, before.last, min(steep))


def stands(bottom: Bottom, flank: Flank, turning: Turning, machine: Machine) -> float:
    """Return what a tool leaves over the stock line at a bottom when it stands as well as it can, mm."""
    task = task_of(flank, turning, machine)
    wide = task.guards[0].width
    _, least = lowest(lambda at: -task.deepest(at), bottom.begin - wide, bottom.end, 96)
    return max(0.0, bottom.depth - float(turning.leave or 0) + least)


def refuse_wide(flank: Flank, turning: Turning, machine: Machine, places: Sequence[Place] = ()) -> None:
    """Refuse a tool that leaves more at the bottom of a hollow than its steps leave beside it, where no such ridge was asked for.

    Where a ridge rules, that is known without the cuts, before any are looked for; where a step does, ``places`` are the cuts.
    """
    if not flank.plunged:
        return
    division = task_of(flank, turning, machine).second.division
    for bottom in bottoms(flank):
        allowed = _allowed(bottom, places, turning, machine)
        found = stands(bottom, flank, turning, machine)
        if found > allowed * (1 + 1e-6) + float(division):
            where = flank.z_at((bottom.begin + bottom.end) / 2)
            fits = _fits(bottom, flank, turning, machine, allowed)
            key = "tool-width" if turning.cutter.kind == "square" else "nose"
            has = turning.width if key == "tool-width" else turning.cutter.radius
            raise Refused(key, "too-wide-below", has=has, where=where, stands=found, fits=fits, nose=key == "nose")


def _allowed(bottom: Bottom, places: Sequence[Place], turning: Turning, machine: Machine) -> float:
    """Return the ridge that may stand, mm: the one asked for, or what an even step leaves on the gentler slope beside the bottom."""
    if turning.scallop is not None:
        return float(turning.scallop)
    gaps = [b.at - a.at for a, b in pairwise(sorted(places))] or [0.0]
    asked = turning.step is not None or turning.stops is not None
    return max(float(DEFAULT_RIDGE[machine.unit]), bottom.slope * max(gaps) if asked else 0.0)


def _fits(bottom: Bottom, flank: Flank, turning: Turning, machine: Machine, allowed: float) -> float:
    """Return the widest tool, or the largest nose, that leaves no more than is allowed; mm."""
    square = turning.cutter.kind == "square"
    low, high = 0.0, float(turning.width or 0) if square else float(turning.cutter.radius)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        size = Fraction(middle).limit_denominator(10**6)
        trial = (
            replace(turning, width=size)
            if square
            else replace(turning, cutter=replace(turning.cutter, diameter=2 * size, corner=size))
        )
        fine = size > 0 and math.isfinite(left := stands(bottom, flank, trial, machine)) and left <= allowed
        low, high = (middle, high) if fine else (low, middle)
    return low
