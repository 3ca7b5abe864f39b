"""Drawings of a plan as SVG, to scale: the part as it stands on the machine, and the unrolled stair with its file map.

Black and greys only, so that any printer serves.  Text in a drawing is numbers and fixed words, never the user's; no
letter is smaller than 9 points when the drawing is printed at its own size.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec

from stepcut.cards.draw_cam import cam
from stepcut.cards.draw_helix import helix
from stepcut.cards.draw_map import stair
from stepcut.cards.draw_ring import ring
from stepcut.cards.draw_turned import turned
from stepcut.cards.svg import Drawing
from stepcut.plan import Plan
from stepcut.shapes import named

__all__ = ["Drawing", "drawings", "file_map", "part"]

DRAWN: dict[str, Callable[[Plan], Drawing | None]] = {"ring": ring, "rim": cam, "cylinder": helix, "turned": turned}


def part(plan: Plan) -> Drawing | None:
    """Return the part as it stands on the machine; None for a shape that nobody has drawn yet."""
    if find_spec(f"stepcut.shapes.{plan.shape}.drawing") is not None:  # a shape that draws itself
        drawn: Drawing = import_module(f"stepcut.shapes.{plan.shape}.drawing").part(plan)
        return drawn
    drawn_as = named(plan.shape, "DRAWING")
    return DRAWN[drawn_as](plan) if drawn_as is not None else None


def file_map(plan: Plan, unit: str) -> Drawing | None:
    """Return the unrolled stair, and the surface in bands of how much stands there; None where a plan has no picture.

    Parameters
    ----------
    plan : Plan
        What is cut.
    unit : str
        in or mm, for the numbers beside the bands.
    """
    return None if plan.picture is None else stair(plan, plan.picture, unit)


def drawings(plan: Plan) -> tuple[str, ...]:
    """Return the drawings that belong to a plan, as SVG: the part, and the stair where there is one."""
    found = (part(plan), file_map(plan, plan.machine.unit))
    return tuple(drawing.svg for drawing in found if drawing is not None)
