"""What it remarks or refuses: see :mod:`stepcut.shapes.turned.said`."""

from stepcut.shapes.turned.said import REFUSALS, REMARKS

__all__ = ["REFUSALS", "REMARKS"]
