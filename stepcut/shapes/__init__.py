"""What may be asked for: the inputs of every shape, from text to exact numbers.

A shape is a folder: ``wanted`` (what is wanted), ``task`` (its plan), ``ask`` (its inputs), ``words`` (its sheet); and, where it is
cut or drawn as no other shape is, ``cycle`` (what the hands do at one cut) and ``drawing`` (the part as it stands).  A shape that
``stepcut start`` asks for brings ``guide``, one that offers a table of ways to step ``choices``, one that knows what a mistake does to it
``mishap`` and ``mishap_words``.  Nothing outside of these folders
asks for a shape by its name.

One module for each shape lists its fields once; the options of the command line, the keys of a recipe and their checks are
all made from that list.  ``build`` turns the read values into the shape and the way it is cut, and solves it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from types import ModuleType
from typing import TYPE_CHECKING, Any

from msgspec import Struct

if TYPE_CHECKING:
    from stepcut.fields import Field, Values
    from stepcut.machine import Machine
    from stepcut.plan import Plan

SHAPES = {
    "ramp": "a face ramp on the end of a tube, rotary table",
    "helix": "a helical groove on a cylinder, table on edge and slide",
    "taper": "a taper, outside or bore, by steps or by its set-ups",
    "radius": "a turned radius: ball, corner, fillet, cove, neck, waist, crown or seat",
    "profile": "a turned profile through a list of places and diameters",
    "cam": "a rim cam, rotary table",
    "groove": "a groove along a circle in a face, such as ball ramps",
    "points": "a circle, an arc or a tube mitre without a table, by points in X and Y",
    "divide": "a dividing job: holes, slots or graduations, by rim, plate or direct plate",
    "scroll": "a face scroll: a flat spiral groove in a disc, table and slide",
    "rule": "a straight scale or a vernier, ruled line by line by a slide",
}


MATERIALS = (
    "mild-steel", "alloy-steel", "tool-steel", "stainless", "cast-iron", "aluminium", "brass", "bronze", "copper", "plastic",
)  # fmt: skip
# What people say for these.
ALSO = {
    "steel": "mild-steel", "mild steel": "mild-steel", "alloy steel": "alloy-steel", "tool steel": "tool-steel",
    "silver steel": "tool-steel", "drill rod": "tool-steel", "stainless steel": "stainless", "stainless-steel": "stainless",
    "cast iron": "cast-iron", "iron": "cast-iron", "aluminum": "aluminium", "gunmetal": "bronze", "nylon": "plastic",
    "acetal": "plastic",
}  # fmt: skip


class Kind(Struct, frozen=True):
    """A shape as it can be asked for."""

    name: str
    fields: tuple[Field, ...]
    build: Callable[[Values, Machine], Plan]


def kind(shape: str) -> Kind:
    """Return the inputs of a shape; its module is imported only now."""
    module = import_module(f"stepcut.shapes.{shape}.ask")
    return Kind(shape, (*module.FIELDS, *common_fields()), module.build)


def named(shape: str, what: str) -> Any:
    """Return what the words of a shape name (``CYCLE``, ``DRAWING``, ``ENDS``, ``BACKS``, ``TOUCH``, ``DEPTH_READ``); None where they do not."""
    return getattr(import_module(f"stepcut.shapes.{shape}.words"), what, None)


def brings(shape: str, role: str) -> bool:
    """Whether a shape's folder has a module that not every shape brings, such as ``guide`` or ``choices``.

    ``shape`` may be a word of another program's log, that no folder here has.
    """
    return shape in SHAPES and find_spec(f"stepcut.shapes.{shape}.{role}") is not None


def brought(shape: str, role: str) -> ModuleType | None:
    """Return a module that not every shape's folder brings; None where it is not there."""
    return import_module(f"stepcut.shapes.{shape}.{role}") if brings(shape, role) else None


def sizes(shape: str, values: Mapping[str, object]) -> str:
    """Return the sizes that tell one part of a shape from another (``SIZES`` of its inputs), as they were typed.

    Examples
    --------
    >>> sizes("radius", {"form": "ball", "radius": "9mm", "nose": "1mm"})
    'ball, radius 9mm'
    """
    asked = brought(shape, "ask")
    parts = [f"{key} {values[key]}" for key in getattr(asked, "SIZES", ()) if key in values]
    return ", ".join(parts).replace("form ", "").replace("standard ", "")


@cache
def common_fields() -> tuple[Field, ...]:
    """Return what every shape may be told besides: it moves no cut, only the speeds and the depth of a pass."""
    from stepcut.fields import Field

    return (
        Field("material", "choice", "What the part is made of, for the spindle's speed.", choices=MATERIALS, words=ALSO, group="cutter"),
        Field("cutter-material", "choice", "What the cutter or tool is made of; high-speed steel when left out.", choices=("hss", "carbide"), group="cutter"),
    )  # fmt: skip
