"""After a mistake in a groove: what lowers all of it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any


def lowered(values: Mapping[str, Any], by: Fraction) -> tuple[str, Fraction]:
    """Return the input that deepens the whole groove, and what it then says, mm."""
    return "depth", values["depth"] + by
