"""The words of a profile: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import CYCLE, DRAWING, words

__all__ = ["CYCLE", "DRAWING", "words"]

TOUCH = "on the face for z 0, and on a diameter that you have measured for x"  # where another tool is set to nought
