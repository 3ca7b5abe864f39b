"""After a mistake: see :mod:`stepcut.shapes.turned.mishap`."""

from stepcut.shapes.turned.mishap import below

__all__ = ["below"]
