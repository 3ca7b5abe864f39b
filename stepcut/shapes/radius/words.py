"""The words of a radius: see :mod:`stepcut.shapes.turned.words`."""

from stepcut.shapes.turned.words import words

__all__ = ["words"]
