"""``stepcut index``: turns and holes for divisions or an angle."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Text
from stepcut.errors import BadValue
from stepcut.machine import RotaryTable


def ratio_of(table: RotaryTable | None, text: Text) -> Fraction:
    """Return the turns of the crank for one turn of the table: those that are given, or the table's own."""
    from stepcut.fields import Field, Units, read_one

    if text is not None:
        bare = text.strip()
        return Fraction(read_one(Field("ratio", "count", "", most=1000), bare.removesuffix(":1"), Units()))
    if table is None:
        raise BadValue(
            "ratio",
            None,
            "is missing: the machine has no rotary table",
            "Give --ratio 90, or name a machine that has one.",
        )
    return table.ratio


def _body(
    number: Annotated[Text, typer.Argument(help="Number of equal divisions, or an angle such as 35deg.")] = None,
    divisions: Annotated[Text, typer.Option("--divisions", help="The same, as an option.")] = None,
    angle: Annotated[Text, typer.Option("--angle", help="Angle of one move.")] = None,
    ratio: Annotated[
        Text, typer.Option("--ratio", help="Turns of the crank for one turn; the machine's own if left out.")
    ] = None,
    circles: Annotated[
        Text, typer.Option("--circles", help="Hole circles, such as 15,16,17; the machine's own if left out.")
    ] = None,
    machine: Annotated[Text, typer.Option("--machine", help="Machine whose table is used.")] = None,
) -> int:
    """Find the turns and holes for a number of divisions or an angle: all circles that serve, or the nearest."""
    from stepcut.cards.index_text import index_text, rim_text
    from stepcut.cli.screen import show
    from stepcut.machine import chosen
    from stepcut.machine import files as machines
    from stepcut.machine.said import headline
    from stepcut.shop.index import settings, turns_for

    divisions, angle = _one_of(number, divisions, angle)
    own = machines.find(chosen.which(machine))
    turns_ratio = ratio_of(own.table, ratio)
    plate = _plate(own.table, circles)
    count, degrees = _count(divisions), _degrees(angle)
    turns = turns_for(turns_ratio, count, degrees)
    if not (ratio and circles):
        show(headline(own))
    if not plate and own.table is not None:  # a table without plates is set by its rim and dial
        show(rim_text(turns, turns_ratio, own.table, count, degrees, own.unit))
        return 0
    show(index_text(turns, turns_ratio, settings(turns, turns_ratio, plate), count, degrees))
    return 0


def _one_of(number: Text, divisions: Text, angle: Text) -> tuple[Text, Text]:
    """Return divisions or angle, whichever was given; a bare number says one or the other."""
    if number is not None and divisions is None and angle is None:
        return (number, None) if number.strip().isdigit() else (None, number)
    if (divisions is None) == (angle is None) or number is not None:
        raise BadValue("divisions", None, "or an angle is wanted, one of the two", "Give 42, or 35deg.")
    return divisions, angle


def _plate(table: RotaryTable | None, circles: Text) -> Sequence[int]:
    """Return the hole circles that are given, or the table's own; none where it is set by its rim."""
    from stepcut.fields import Field, Units, read_one

    plate: Sequence[int] = table.hole_circles if table is not None else ()
    if circles:
        plate = read_one(Field("circles", "counts", "", most=1000), circles, Units())
    if not plate and table is None:
        raise BadValue(
            "circles",
            None,
            "are missing: the machine has no rotary table",
            "Give --circles 15,16,17, or name a machine that has one.",
        )
    return plate


def _count(text: Text) -> int | None:
    from stepcut.fields import Field, Units, read_one

    return read_one(Field("divisions", "count", "", most=100_000), text, Units()) if text is not None else None


def _degrees(text: Text) -> Fraction | None:
    from stepcut.quantity import parse_angle

    degrees = parse_angle(text, "angle") if text is not None else None
    if degrees is not None and degrees <= 0:
        raise BadValue("angle", text, "must be greater than 0", "Give the angle of one move, such as 35deg.")
    return degrees


def command() -> TyperCommand:
    """Return the command."""
    return one("index", _body)
