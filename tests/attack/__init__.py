"""Attacks on the program: hostile input, kills, damage.  Small by default; ``STEPCUT_ATTACK=long`` for the long mode.

Run them with ``pytest -m attack``.  Every random choice comes from a seed that a failure prints; a failing case is run again
alone by its seed: ``STEPCUT_SEED=17 pytest -m attack -k inputs``.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterator

LONG = os.environ.get("STEPCUT_ATTACK") == "long"
ONE = os.environ.get("STEPCUT_SEED")


def seeds(few: int, many: int) -> Iterator[tuple[int, random.Random]]:
    """Yield seeds with their random numbers: few by default, many in the long mode, or the one that is asked for."""
    for seed in [int(ONE)] if ONE else range(many if LONG else few):
        yield seed, random.Random(seed)  # noqa: S311  # repeatable attacks, not secrets
