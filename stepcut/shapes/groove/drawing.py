"""A groove on a circle as it stands on the machine: drawn as the ring that it is."""

from __future__ import annotations

from stepcut.cards.draw_ring import ring as part

__all__ = ["part"]
