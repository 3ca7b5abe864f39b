"""The words of a taper: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import CYCLE, DRAWING, words

__all__ = ["CYCLE", "DRAWING", "words"]

TOUCH = "on the face for z 0, and on the largest diameter for x"  # where another tool is set to nought
