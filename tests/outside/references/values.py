"""One published value and how the program comes to it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal


@dataclass(frozen=True)
class Value:
    """A row.

    Parameters
    ----------
    what, inputs : str
        The quantity, and what it is worked out from.
    expected, tolerance : float
        The published value, recomputed, and how far the program may be from it.
    unit, source : str
        Unit, and where it is published.
    known : str
        SEEN: the printed number was read in a copy of the source.  MEMORY: recalled.
    by : callable or None
        What the program works out; None where it has no such quantity.
    why_not : str
        Why it has none.
    """

    what: str
    inputs: str
    expected: float
    tolerance: float
    unit: str
    source: str
    known: Literal["SEEN", "MEMORY"]
    by: Callable[[], float | Fraction] | None
    why_not: str = ""

    @property
    def within(self) -> float:
        """How far the program may be off: never less than half of the eighth figure, to which the rows are written."""
        return max(self.tolerance, 0.5 * 10.0 ** (math.floor(math.log10(abs(self.expected) or 1)) - 7))

    @property
    def found(self) -> float | None:
        """What the program says; None where it says nothing."""
        return None if self.by is None else float(self.by())

    @property
    def verdict(self) -> str:
        """agrees, DIFFERS or not printed."""
        if (found := self.found) is None:
            return "not printed"
        return "agrees" if abs(found - self.expected) <= self.within else "DIFFERS"
