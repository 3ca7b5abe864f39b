"""After a mistake in a groove: what lowers all of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut.plan import Plan
from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.vee import Vee


def lowered(values: Mapping[str, Any], by: Fraction) -> tuple[str, Fraction]:
    """Return the input that deepens the whole groove, and what it then says, mm."""
    return "depth", values["depth"] + by


def beside(values: Mapping[str, Any], by: Fraction) -> dict[str, Fraction]:
    """Return the inputs that deepen with it, and what they then say, mm: pits stay as deep below the floor."""
    pits = [key for key in ("pit-begin", "pit-end") if values.get(key) is not None]
    return {key: values[key] + by for key in pits}


def across(plan: Plan, depth: float) -> float:
    """Return how wide one sweep of its cutter makes a groove of a depth at the surface, as a caliper measures it; mm."""
    outside, lead = float(plan.target["diameter"]) / 2, float(plan.target["lead"])
    made = Vee if plan.cutter.kind == "vee" else Screw
    screw = made(outside, max(outside - depth, 1e-6), lead / (2 * math.pi), plan.cutter.outline)
    return screw.straight(screw.row(outside)[0])


def wide_along(plan: Plan, n: int, wide: float) -> float:
    """Return how wide a groove so wide is along the axis, mm: its way leans by the lead over a turn, everywhere alike."""
    round_, lead = math.pi * float(plan.target["diameter"]), float(plan.target["lead"])
    return wide * math.hypot(round_, lead) / round_
