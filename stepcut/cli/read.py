"""``stepcut read``: from measured places and depths to the shape, and to a recipe of it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, Save, Text, Width
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.machine import Turning
    from stepcut.measured import Measured
    from stepcut.quantity import Unit
    from stepcut.recipes import Recipe
    from stepcut.shop.reading import Found


def _body(
    readings: Annotated[
        str, typer.Argument(help="File of readings, one place and depth a line; - reads what is piped in.")
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
    from stepcut.cli import screen, show
    from stepcut.quantity import parse_length
    from stepcut.shop import reading
    from stepcut.shop.read_cam import cam
    from stepcut.voice import Voice

    if unit not in (None, "in", "mm"):
        raise BadValue("unit", unit, "is not one of the choices", "Use in or mm.")
    if angles not in ("clockwise", "anticlockwise"):
        raise BadValue("angles", angles, "is not one of the choices", "Use clockwise or anticlockwise.")
    given = measured.read(_text(readings), readings, unit)
    off = float(parse_length(error, "error", unit)) if error is not None else None
    places, values = [float(a) for a, _ in given.rows], [float(b) for _, b in given.rows]
    division: float = float(given.division)
    way: Turning = "clockwise" if angles == "clockwise" else "anticlockwise"
    if given.along == "z":
        found = reading.turned(places, values, division, off)
    elif rim or given.of == "radius":
        found = cam(places, values, way, division, off)
    else:
        found = reading.ramp(places, values, way, division, off, ramps)
    voice = Voice(given.unit)
    screen.show(found_text(found, given, angles, voice, screen.width(width)))
    if isinstance(found, reading.Nothing):
        return 2
    if save is not None:
        show.saved(save, _recipe(found, given, {"outside": outside, "bore": bore, "cutter": cutter}, machine), force)
    return 0


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


def _recipe(found: Found, given: Measured, sizes: dict[str, Text], machine: Text) -> Recipe:
    """Return a recipe with the roundest sizes that the readings allow.

    Raises
    ------
    BadValue
        When a size that cannot be read from depths is missing, or the readings leave the number of ramps open.
    """
    from stepcut.cards.reading_text import nominal, spanning
    from stepcut.recipes import Recipe
    from stepcut.written import exact_text

    unit = given.unit

    def size(name: str) -> str:
        return exact_text(nominal(found.figures[name], unit), "length", unit)

    values: dict[str, Any]
    if found.shape == "ramp":
        missing = [key for key, text in sizes.items() if text is None]
        if missing:
            raise BadValue(
                missing[0], None, "is missing to save a ramp", f"Give {', '.join('--' + key for key in missing)}."
            )
        if len(found.ramps) > 1:
            raise BadValue(
                "ramps",
                None,
                f"may be {' or '.join(map(str, found.ramps))} by these readings",
                "Say which with --ramps, or measure the others.",
            )
        rise = nominal(found.figures["rise"], unit)
        span = exact_text(nominal(spanning(rise, found.figures), "deg"), "angle")
        values = {
            **sizes,
            "rise": exact_text(rise, "length", unit),
            "span": span,
            "ramps": str(found.ramps[0]),
            "motion": found.motions[0],
        }
        values["rises"] = found.rises
        if found.figures["start"].low > 0:
            values["start-depth"] = size("start")
        if found.figures["dwell-high"].low > 0:  # the span holds it; the low end is level past it as it is
            dwell = nominal(found.figures["dwell-high"], "deg")
            values["dwell-high"] = exact_text(dwell, "angle")
            values["span"] = exact_text(nominal(spanning(rise, found.figures), "deg") + dwell, "angle")
    elif found.shape == "taper":
        values = {key: size(key) for key in ("large", "small", "length")}
    elif found.shape == "fillet":
        values = {"form": "fillet", **{key: size(key) for key in ("diameter", "radius", "at")}}
    elif found.shape == "cam":
        values = _cam(found, sizes["cutter"], unit)
    elif not found.hollow and found.figures["axis"].low <= 0 <= found.figures["axis"].high:
        values = {"form": "ball", "radius": size("radius")}
    else:
        raise BadValue("save", None, "an arc may be a fillet or a cove, and the readings do not say which",
                       "Use stepcut radius with the figures above.")  # fmt: skip
    note = f"read from a part: {len(given.rows)} readings"
    return Recipe(
        "radius" if found.shape == "fillet" else found.shape,
        values,
        "From a part",
        machine=machine or "",
        unit=unit,
        note=note,
    )


def _cam(found: Found, cutter: Text, unit: Unit) -> dict[str, Any]:
    """Return a cam that begins where its rise does, of the roundest sizes that the readings allow."""
    from stepcut.cards.reading_text import nominal
    from stepcut.written import exact_text

    if cutter is None:
        raise BadValue("cutter", None, "is missing to save a cam", "Give --cutter.")
    figures = found.figures
    lift = exact_text(nominal(figures["lift"], unit), "length", unit)
    up, down = (nominal(figures[f"{way}-span"], "deg") for way in ("rise", "fall"))
    ends = (figures["fall-end"].best - figures["rise-begin"].best) % 360
    top = max(Fraction(0), Fraction(round(ends)) - up - down)
    rest = 360 - up - top - down
    segments = [f"rise {lift} in {exact_text(up, 'angle')} {found.motions[0]}"]
    segments += [f"dwell {exact_text(top, 'angle')}"] if top else []
    segments += [f"fall {lift} in {exact_text(down, 'angle')} {found.falls[0]}"]
    segments += [f"dwell {exact_text(rest, 'angle')}"] if rest > 0 else []
    return {"base": exact_text(nominal(figures["base"], unit), "length", unit), "segments": segments, "cutter": cutter}


def command() -> TyperCommand:
    """Return the command."""
    return one("read", _body)
