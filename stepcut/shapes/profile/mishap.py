"""After a mistake: see :mod:`stepcut.shapes.turned.mishap`."""

from stepcut.shapes.turned.mishap import below, below_end_for_end

__all__ = ["below", "below_end_for_end"]
