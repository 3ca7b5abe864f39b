"""After a mistake, in words: see :mod:`stepcut.shapes.turned.mishap_words`."""

from stepcut.shapes.turned.mishap_words import refind

__all__ = ["refind"]
