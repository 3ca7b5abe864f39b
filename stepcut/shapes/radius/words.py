"""The words of a radius: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import CYCLE, DRAWING, words

__all__ = ["CYCLE", "DRAWING", "words"]
