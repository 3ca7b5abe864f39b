"""stepcut: from a wanted ramp, helix, taper, cam or turned radius to positions on a manual machine's scales.

One function for each shape solves it, with the inputs of the command line's options as texts; :func:`load` takes a recipe.
A :class:`Plan` gives its rows, acts and figures, shows itself in a notebook and saves cards.

    >>> import stepcut
    >>> plan = stepcut.taper(large="30mm", small="25mm", length="50mm", step="5mm", machine="metric")
    >>> plan.shape, plan.rows[0].n
    ('taper', 1)
    >>> stepcut.ramp(outside="30mm", bore="37mm", rise="2mm", span="90deg", cutter="8mm")
    Traceback (most recent call last):
        ...
    stepcut.errors.BadValue: bore = 37mm: must be smaller than outside = 30mm. Give both as diameters; check that they are not swapped.

Importing this package loads nothing else; each name is fetched when it is first asked for.
"""

from __future__ import annotations

__version__ = "0.1.0"
TYPE_CHECKING = False  # as in typing, which is not loaded for it: Ctrl-C is only listened for once this file is through

if TYPE_CHECKING:
    from typing import Any

    from stepcut.acts import Act as Act
    from stepcut.door import Plan as Plan
    from stepcut.door import Row as Row
    from stepcut.door import load as load
    from stepcut.errors import StepcutError as StepcutError
    from stepcut.machine import Machine as Machine

__all__ = [
    "Act",
    "Machine",
    "Plan",
    "Row",
    "StepcutError",
    "cam",
    "helix",
    "load",
    "profile",
    "radius",
    "ramp",
    "taper",
]

_PLACES = {
    "Act": "stepcut.acts",
    "Machine": "stepcut.machine",
    "Plan": "stepcut.door",
    "Row": "stepcut.door",
    "StepcutError": "stepcut.errors",
    "load": "stepcut.door",
}


def __getattr__(name: str) -> Any:
    from importlib import import_module

    place = _PLACES.get(name)
    if place is not None:
        return getattr(import_module(place), name)
    if (
        not name.startswith("_") and name in import_module("stepcut.shapes").SHAPES
    ):  # a shape without a function written out here
        from functools import partial

        return partial(_solve_any, name)
    raise AttributeError(f"module 'stepcut' has no attribute {name!r}")


def __dir__() -> list[str]:
    from stepcut.shapes import SHAPES

    return sorted({*__all__, *SHAPES, "__version__"})


def _solve_any(
    shape: str, *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: Any
) -> Plan:
    """Solve any shape; parameters as for :func:`ramp`, inputs the options of its command."""
    return _solve(shape, machine, unit, title, part, inputs)


def _solve(shape: str, machine: str | None, unit: str | None, title: str, part: str, inputs: dict[str, Any]) -> Plan:
    from stepcut.door import solve

    return solve(shape, machine, {"unit": unit, "title": title, "part": part}, inputs)


def ramp(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: str | int
) -> Plan:
    """Solve a face ramp on the end of a tube.

    Parameters
    ----------
    machine : str or None
        Name or file of the machine; the chosen one when None.
    unit : str or None
        Unit of numbers without one, and of the cards: in or mm.
    title, part : str
        For the card.
    **inputs
        The options of ``stepcut ramp``, with underscores: outside, bore, rise, span, cutter, step, ...

    Raises
    ------
    StepcutError
        With the sentence that the command line prints.
    """
    return _solve("ramp", machine, unit, title, part, inputs)


def helix(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: str | int
) -> Plan:
    """Solve a helical groove on a cylinder; parameters as for :func:`ramp`, inputs the options of ``stepcut helix``."""
    return _solve("helix", machine, unit, title, part, inputs)


def taper(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: str | int
) -> Plan:
    """Solve a taper; parameters as for :func:`ramp`, inputs the options of ``stepcut taper``."""
    return _solve("taper", machine, unit, title, part, inputs)


def radius(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: str | int
) -> Plan:
    """Solve a turned ball, corner, fillet, cove, neck, waist, crown or seat; parameters as for :func:`ramp`, inputs the options of ``stepcut radius``."""
    return _solve("radius", machine, unit, title, part, inputs)


def profile(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: Any
) -> Plan:
    """Solve a turned profile; parameters as for :func:`ramp`, inputs the options of ``stepcut profile``."""
    return _solve("profile", machine, unit, title, part, inputs)


def cam(
    *, machine: str | None = None, unit: str | None = None, title: str = "", part: str = "A", **inputs: Any
) -> Plan:
    """Solve a rim cam; parameters as for :func:`ramp`, inputs the options of ``stepcut cam``."""
    return _solve("cam", machine, unit, title, part, inputs)
