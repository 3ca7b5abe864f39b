"""After a mistake in a groove: what lowers all of it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut.plan import Plan


def lowered(values: Mapping[str, Any], by: Fraction) -> tuple[str, Fraction]:
    """Return the input that deepens the whole groove, and what it then says, mm."""
    return "depth", values["depth"] + by


def wide_along(plan: Plan, n: int, wide: float) -> float:
    """Return how wide a groove so wide is along a ray where a cut stands, mm: its way leans the more the nearer it comes to the middle."""
    round_ = 2 * math.pi * abs(float(plan.second.value(plan.stops[n - 1].second)))
    return wide * math.hypot(round_, float(plan.target["pitch"])) / round_ if round_ else math.inf
