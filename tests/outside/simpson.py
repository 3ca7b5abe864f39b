"""Areas under many lines at once by Simpson's rule, every stretch halved again where a line bends or sets in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[Any]


def areas(
    height: Callable[[Array, Array], Array], count: int, rows: Array, low: Array, high: Array, first: Array, last: Array,
    small: float, halvings: int,
) -> Array:  # fmt: skip
    """Return the area under each of `count` lines.

    Of stretch k, which belongs to line `rows[k]`, `low`, `high`, `first` and `last` are its ends and the heights there; `height`
    takes lines and places.  A stretch whose middle stands off its chord by less than `small`, times its width, is not halved.
    """
    found = np.zeros(count)
    for halving in range(halvings + 1):
        middle = (low + high) / 2
        value, wide = height(rows, middle), high - low
        split = (np.abs(value - (first + last) / 2) * wide > small) & (halving < halvings)
        done = ~split
        np.add.at(found, rows[done], ((first + last + 4 * value) / 6 * wide)[done])
        low, high = np.r_[low[split], middle[split]], np.r_[middle[split], high[split]]
        first, last = np.r_[first[split], value[split]], np.r_[value[split], last[split]]
        rows = np.r_[rows[split], rows[split]]
        if not len(rows):
            break
    return found
