"""The words of a taper: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import words

__all__ = ["words"]
