"""A list of measured places and depths as text: a heading and two columns, read exactly.

The heading says what the columns are and their unit, such as ``angle deg, depth mm`` or ``z in, diameter in``; without one
every reading carries its own unit.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from msgspec import Struct

from stepcut import quantity
from stepcut.errors import BadValue, Where

MOST = 2000  # readings; nobody measures more by hand
PLACES = {"angle": "angle", "rim": "angle", "table": "angle", "place": "", "z": "z", "length": "z", "along": "z"}
VALUES = {"depth": "depth", "diameter": "diameter", "dia": "diameter", "radius": "radius"}
WAY = "Begin with a heading such as angle deg, depth mm or z in, diameter in."


class Measured(Struct, frozen=True):
    """What was measured, exactly.

    Parameters
    ----------
    along : str
        angle (degrees) or z (mm).
    rows : tuple of (Fraction, Fraction)
        Place, and depth or diameter in mm.
    unit : str
        in or mm: the unit of the depths, for the answer.
    division : Fraction
        Smallest step that the depths are written in, mm.
    of : str or None
        What the heading calls the readings: depth, diameter or radius; None without one.
    """

    along: Literal["angle", "z"]
    rows: tuple[tuple[Fraction, Fraction], ...]
    unit: Literal["in", "mm"]
    division: Fraction
    of: str | None = None


def read(text: str, source: str, default_unit: str | None = None) -> Measured:
    r"""Return the readings of a text.

    Raises
    ------
    BadValue
        With the line that cannot be read, and the way to write it.

    Examples
    --------
    >>> found = read("angle deg, depth mm\n0, 0.50\n90, 1.25\n", "notes")
    >>> found.along, found.rows[1], found.division
    ('angle', (Fraction(90, 1), Fraction(5, 4)), Fraction(1, 100))
    """
    lines = [(k, line.split("#")[0].strip()) for k, line in enumerate(text.splitlines(), 1)]
    lines = [(k, line) for k, line in lines if line]
    if not lines:
        raise BadValue("readings", None, "there are none", WAY, Where(source))
    heading = _heading(lines[0][1])
    if heading is not None:
        lines = lines[1:]
    along, first_unit, value, second_unit = heading or (None, None, None, None)
    if len(lines) > MOST:
        raise BadValue("readings", len(lines), f"are more than {MOST}", "Give fewer of them.", Where(source))
    cells = [_cells(line, Where(source, "", k)) for k, line in lines]
    if along is None:
        along = "angle" if any(re.search(r"deg|[°º'′]|turn", place) and '"' not in place for place, _ in cells) else "z"
    unit = second_unit or default_unit or _unit_of(cells)
    rows = []
    for (place, reading), (k, _) in zip(cells, lines, strict=True):
        try:
            at = (
                quantity.parse_angle(place, "angle", first_unit or "deg")
                if along == "angle"
                else quantity.parse_length(place, "z", first_unit or default_unit)
            )
            found = quantity.parse_length(reading, value or "reading", second_unit or default_unit)
        except BadValue as problem:
            raise problem.at(Where(source, "", k)) from None
        if along == "z" and value != "depth" and found < 0:
            raise BadValue(value or "diameter", reading, "is below 0, as no diameter is", f"Of angles and depths say so. {WAY}", Where(source, "", k))  # fmt: skip
        rows.append((at, 2 * found if value == "radius" and along == "z" else found))
    smallest = min((_division(reading) for _, reading in cells), default=Fraction(0))
    doubled = 2 if value == "radius" and along == "z" else 1
    whole = quantity.INCH if unit == "in" else Fraction(1)
    return Measured(along, tuple(rows), "in" if unit == "in" else "mm", smallest * whole * doubled, value)


def _heading(line: str) -> tuple[Literal["angle", "z"], str | None, str, str | None] | None:
    """Return what a heading says: kind and unit of the places, kind and unit of the depths; None when it is none."""
    words = re.findall(r"[A-Za-z°\"']+", line)
    if re.match(r"\s*[-+.\d]", line) or not words:
        return None
    place = next((PLACES[word.lower()] for word in words if word.lower() in PLACES), None)
    value = next((VALUES[word.lower()] for word in words if word.lower() in VALUES), None)
    units = [word for word in words if word.lower() not in PLACES and word.lower() not in VALUES]
    if place is None or value is None:
        return None
    known = [word for word in units if word in quantity.LENGTH_UNITS or word in quantity.ANGLE_UNITS]
    along: Literal["angle", "z"] = "angle" if place == "angle" or (place == "" and value == "depth") else "z"
    if along == "angle":
        angles = [word for word in known if word in quantity.ANGLE_UNITS and word not in ("'", '"')]
        lengths = [word for word in known if word in quantity.LENGTH_UNITS and word not in angles]
        return along, (angles or [None])[0], value, (lengths or [None])[-1]
    lengths = [word for word in known if word in quantity.LENGTH_UNITS]
    return along, (lengths or [None])[0], value, (lengths or [None])[-1]


def _cells(line: str, where: Where) -> tuple[str, str]:
    parts = [part.strip() for part in re.split(r"[;\t]|,(?=\s|\S)|\s{2,}", line) if part.strip()]
    if len(parts) != 2:
        parts = line.split()
    if len(parts) != 2:
        raise BadValue("readings", line, "is not a place and a reading", f"Write two values a line. {WAY}", where)
    return parts[0], parts[1]


def _unit_of(cells: list[tuple[str, str]]) -> str:
    return "in" if any(re.search(r"in\b|thou|\"", reading) for _, reading in cells) else "mm"


def _division(reading: str) -> Fraction:
    """Return the smallest step of a decimal as it is written, in its own unit."""
    decimal = re.search(r"\d*\.(\d+)", reading)
    step = Fraction(1, 10 ** len(decimal[1])) if decimal else Fraction(1)
    return step / 1000 if "thou" in reading else step
