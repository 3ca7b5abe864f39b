"""The words of a radius: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import CYCLE, DRAWING, words

__all__ = ["CYCLE", "DRAWING", "words"]

TOUCH = "on the face for z 0, and on the cylinder for x"  # where another tool is set to nought
