"""The sheet of a taper: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import sheet, words

__all__ = ["sheet", "words"]
