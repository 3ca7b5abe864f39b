"""Machines as they stand in a shop: their scales (model) and their files (files).

The names of the model are given here; nothing else is imported, so that the core stays free of files.
"""

from stepcut.machine.model import (
    STANDARD_CUTTERS,
    WHOLE,
    Compound,
    Cutter,
    CutterKind,
    Machine,
    Outline,
    RotaryTable,
    Scale,
    Turning,
)

__all__ = [
    "STANDARD_CUTTERS",
    "WHOLE",
    "Compound",
    "Cutter",
    "CutterKind",
    "Machine",
    "Outline",
    "RotaryTable",
    "Scale",
    "Turning",
]
