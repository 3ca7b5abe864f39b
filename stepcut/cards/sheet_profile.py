"""The sheet of a profile: see :mod:`stepcut.cards.sheet_turned`."""

from stepcut.cards.sheet_turned import sheet

__all__ = ["sheet"]
