"""The sheet of a taper: see :mod:`stepcut.cards.sheet_turned`."""

from stepcut.cards.sheet_turned import sheet

__all__ = ["sheet"]
