"""After a mistake at a groove round a face: what cuts that stand elsewhere, or too deep, take from its floor."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut.kernel.footprints import Plunge
from stepcut.kernel.line import FREE, Line
from stepcut.kernel.section import Guard
from stepcut.plan import Plan, Stop


def below(plan: Plan, stop: Stop, where: float, found: float | None = None) -> float:
    """Return how far a cut stands below the wanted floor when it is made at another place, or was found so deep, mm."""
    groove = plan.details.groove
    foot = Plunge(plan.cutter.outline, float(plan.cutter.radius), groove.radius, groove.radius)
    guard = Guard(Line(groove.wanted.stretches, before="free", after="free"), foot)
    sector = 360.0 / plan.copies
    held = min(guard.deepest(where % sector + k * sector).depth for k in (-1, 0, 1))
    stands = float(plan.second.value(stop.second)) if found is None else found
    return -math.inf if held == FREE else stands - held


def outside(plan: Plan, where: float) -> bool:
    """Whether a cut at a place makes the groove longer, or cuts the face between two."""
    return bool(where % (360.0 / plan.copies) > plan.details.groove.wanted.span + 1e-9)


def lowered(values: Mapping[str, Any], by: Fraction) -> tuple[str, Fraction] | None:
    """Return the first input that lowers a whole groove, and what it then says, mm; None where its own list of depths does."""
    return None if values["targets"] else ("begin-depth", values["begin-depth"] + by)


def beside(values: Mapping[str, Any], by: Fraction) -> dict[str, Fraction]:
    """Return the inputs that change with it, and what they then say, mm."""
    return {} if values["targets"] else {"end-depth": values["end-depth"] + by}
