"""``stepcut read``: from measured places and depths to the shape, and to a recipe of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, Save, Text, Width
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.machine import Turning
    from stepcut.measured import Measured
    from stepcut.shop.found_shape import Found, Nothing


def _body(
    readings: Annotated[
        str,
        typer.Argument(
            help="File of readings, one place and depth a line, below a heading such as angle deg, depth mm; - reads what is piped in."
        ),
    ],
    unit: Annotated[Text, typer.Option("--unit", help="in or mm, for numbers without a unit.")] = None,
    angles: Annotated[
        str, typer.Option("--angles", help="The way the angles grow, seen facing the part: clockwise or anticlockwise.")
    ] = "clockwise",
    rim: Annotated[
        bool, typer.Option("--rim", help="Readings are radii of a cam's rim; so are those headed angle and radius.")
    ] = False,
    ramps: Annotated[
        int | None, typer.Option("--ramps", help="Number of ramps, where you know it.", min=1, max=60)
    ] = None,
    error: Annotated[Text, typer.Option("--error", help="What one reading may be off, such as 0.02mm.")] = None,
    outside: Annotated[Text, typer.Option("--outside", help="Outside diameter of a ring, for --save.")] = None,
    bore: Annotated[Text, typer.Option("--bore", help="Bore diameter of a ring, for --save.")] = None,
    cutter: Annotated[Text, typer.Option("--cutter", help="Cutter to cut the next one with, for --save.")] = None,
    machine: Annotated[Text, typer.Option("--machine", help="Machine of the recipe, for --save.")] = None,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Find the shape of a part from measured places and depths (angle and depth, or z and diameter); status 2 when it is none."""
    from stepcut import measured
    from stepcut.cards.reading_text import found_text
    from stepcut.cli import screen
    from stepcut.shop.found_shape import Nothing
    from stepcut.voice import Voice

    _choices(unit, angles)
    given = measured.read(_text(readings), readings, unit)
    found = _found(given, angles, rim, error, unit, ramps)
    screen.show(found_text(found, given, angles, Voice(given.unit), screen.width(width)))
    if isinstance(found, Nothing):
        return 2
    if save is not None:
        from stepcut.cli import show
        from stepcut.part_recipe import recipe_of

        show.saved(save, recipe_of(found, given, {"outside": outside, "bore": bore, "cutter": cutter}, machine), force)
    return 0


def _choices(unit: Text, angles: str) -> None:
    if unit not in (None, "in", "mm"):
        raise BadValue("unit", unit, "is not one of the choices", "Use in or mm.")
    if angles not in ("clockwise", "anticlockwise"):
        raise BadValue("angles", angles, "is not one of the choices", "Use clockwise or anticlockwise.")


def _found(given: Measured, angles: str, rim: bool, error: Text, unit: Text, ramps: int | None) -> Found | Nothing:
    """Return the shape that fits: along z a turned one, of radii a cam, of depths round a table a ramp."""
    from stepcut.quantity import parse_length
    from stepcut.shop import reading
    from stepcut.shop.read_cam import cam
    from stepcut.shop.read_turned import turned

    off = float(parse_length(error, "error", unit)) if error is not None else None
    places, values = [float(a) for a, _ in given.rows], [float(b) for _, b in given.rows]
    division = float(given.division)
    way: Turning = "clockwise" if angles == "clockwise" else "anticlockwise"
    if given.along == "z":
        return turned(places, values, division, off)
    if rim or given.of == "radius":
        return cam(places, values, way, division, off)
    return reading.ramp(places, values, way, division, off, ramps)


def _text(name: str) -> str:
    """Return the readings' text, from a file or piped in."""
    import sys
    from pathlib import Path

    from stepcut.files import LARGEST, read_text

    if name != "-":
        return read_text(Path(name))
    text = sys.stdin.read(LARGEST + 1)
    if len(text) > LARGEST:
        raise BadValue("readings", None, f"are longer than {LARGEST} characters", "Give fewer of them.")
    return text


def command() -> TyperCommand:
    """Return the command."""
    return one("read", _body)
