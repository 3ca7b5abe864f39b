"""What a shop's own history says: how long filing takes, and how far the depth scale is off."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Rate:
    """Minutes of filing for a volume: mean, spread (one standard deviation), and how many checks it rests on."""

    mean: float  # minutes per mm^3
    spread: float
    count: int


def filing_rate(blues: Sequence[tuple[int, str, float, float | None, float, float]]) -> Rate | None:
    """Return the filing rate from blue checks with a time; None when there is no history."""
    rates = [
        minutes / (before - after) for _, _, _, minutes, before, after in blues if minutes and before - after > 1e-9
    ]
    if not rates:
        return None
    return Rate(statistics.fmean(rates), statistics.stdev(rates) if len(rates) > 1 else 0.0, len(rates))


@dataclass(frozen=True)
class Error:
    """Readings against plan, mm: found less wanted; ``proposed`` is what 19 of 20 readings stay within."""

    mean: float
    spread: float
    count: int

    @property
    def proposed(self) -> float:
        """Mean and two standard deviations, as one figure for the machine's file."""
        return abs(self.mean) + 2 * self.spread


def depth_error(pairs: Sequence[tuple[float, float]]) -> Error | None:
    """Return mean and spread of (wanted, found); None for fewer than three readings."""
    errors = [found - wanted for wanted, found in pairs if math.isfinite(found)]
    if len(errors) < 3:
        return None
    return Error(statistics.fmean(errors), statistics.stdev(errors), len(errors))
