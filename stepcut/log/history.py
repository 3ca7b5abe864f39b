"""What a shop's own history says: how long filing takes, and how far the depth scale is off."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct


class Rate(Struct, frozen=True):
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
    import statistics  # here, for every card asks this module and few have that much to tell

    return Rate(statistics.fmean(rates), statistics.stdev(rates) if len(rates) > 1 else 0.0, len(rates))


class Error(Struct, frozen=True):
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
    import statistics

    return Error(statistics.fmean(errors), statistics.stdev(errors), len(errors))


JOBS_NEEDED = 3  # jobs of a shape before anything is said about how long it takes here
CUTS_NEEDED = 4  # gaps between cuts that a job must show


def cutting_pace(jobs: Sequence[Sequence[tuple[str, str]]]) -> float | None:
    """Return minutes from cut to cut in this shop: the middle of the jobs' own middles; None with too few jobs.

    Parameters
    ----------
    jobs : sequence of sequences of (str, str)
        For each job, time (ISO 8601) and kind of its events in order.

    Notes
    -----
    The middle value of the gaps is taken, so that a night or a lunch between two cuts counts as one long gap and no more.

    Examples
    --------
    >>> job = [(f"2026-05-01T10:{2 * n:02d}:00+00:00", "cut") for n in range(6)]
    >>> cutting_pace([job, job, job]), cutting_pace([job, job])
    (2.0, None)
    """
    import statistics

    middles = []
    for events in jobs:
        times = [dt.datetime.fromisoformat(at) for at, kind in events if kind == "cut"]
        gaps = [(b - a).total_seconds() / 60 for a, b in pairwise(times)]
        if len(gaps) >= CUTS_NEEDED:
            middles.append(statistics.median(gaps))
    return statistics.median(middles) if len(middles) >= JOBS_NEEDED else None
