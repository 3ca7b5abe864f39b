"""The sheet of a radius: see :mod:`stepcut.cards.sheet_turned`."""

from stepcut.cards.sheet_turned import sheet

__all__ = ["sheet"]
