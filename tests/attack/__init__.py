"""Attacks on the program: hostile input, kills, damage.  Small by default; ``STEPCUT_ATTACK=long`` for the long mode.

Run them with ``pytest -m attack``.  Every random choice comes from a seed that a failure prints; a failing case is run again
alone by its seed: ``STEPCUT_SEED=17 pytest -m attack -k inputs``.  The long mode can be run in pieces: ``STEPCUT_SEEDS=1000-2000``.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterator

LONG = os.environ.get("STEPCUT_ATTACK") == "long"
ONE = os.environ.get("STEPCUT_SEED")
PIECE = os.environ.get("STEPCUT_SEEDS")


def seeds(few: int, many: int) -> Iterator[tuple[int, random.Random]]:
    """Yield seeds with their random numbers: few by default, many in the long mode, or those that are asked for."""
    chosen = range(many if LONG else few)
    if PIECE:
        first, _, last = PIECE.partition("-")
        chosen = range(int(first), int(last))
    for seed in [int(ONE)] if ONE else chosen:
        yield seed, random.Random(seed)  # noqa: S311  # repeatable attacks, not secrets
