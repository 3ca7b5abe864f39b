"""The machine as it stands in the shop: its scales, its rotary table, its slides, and the cutters on hand.

Frozen data and the rounding to whole divisions.  Lengths are mm, angles degrees, both exact.  It knows nothing
of files or of text; :mod:`stepcut.machine.files` reads and writes machine files.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property
from typing import Literal, get_args

from msgspec import Struct

from stepcut.errors import BadValue, nearest

Turning = Literal["clockwise", "anticlockwise"]
CutterKind = Literal["flat", "ball", "bull", "vee", "square", "round"]
Goes = Literal["grows", "falls"]

# A floating result that misses a whole division by less than this share of it is that division.  It is far below
# what any scale shows and far above what rounding in the sums can amount to.
WHOLE = 1e-9
LARGEST_SLACK = Fraction(
    508, 100
)  # mm, of a scale without a dial; a handle that is looser than a turn of most is broken: common practice, no source


def plain(value: Fraction) -> str:
    """Return a number of the core for a message: mm or degrees, without a unit."""
    return f"{float(value):g}"


def positive(name: str, value: Fraction, remedy: str) -> None:
    """Refuse what is not above 0.

    Raises
    ------
    BadValue
        With the name and the value.
    """
    if value <= 0:
        raise BadValue(name, plain(value), "must be greater than 0", remedy)


def known(name: str, word: str, words: Sequence[str]) -> None:
    """Refuse a word that is none of those that are known.

    Raises
    ------
    BadValue
        With the name, the word and those that there are.
    """
    if word not in words:
        raise BadValue(name, word, "is not one of the choices", f"Use one of {', '.join(words)}.{nearest(word, words)}")


class Scale(Struct, frozen=True, dict=True):
    """A scale that is read: positions on it are whole divisions.

    Parameters
    ----------
    name : str
        What it is called at the machine: knee, quill, readout, rim, carriage.
    division : Fraction
        Smallest mark or digit, in mm or degrees.
    per_turn : Fraction or None
        Travel for one turn of its handle, mm or degrees; None when it has no handle dial.
    backlash, error : Fraction
        Slack on reversal, and the largest error of a reading, mm or degrees.
    angular : bool
        Whether the scale reads degrees.
    doubled : bool
        Whether it shows a diameter while positions are radii.
    origin : Fraction
        Coordinate of its division 0: a coordinate that runs from another place than the scale's nought still has to meet
        whole divisions of the scale.
    handle : str
        The handle that moves it; empty where it is called as the scale is.
    handle_turns : str or None
        The way its handle turns, seen facing it, while its reading grows; None when nobody has said.
    inward : str or None
        Whether its reading grows or falls as the tool goes deeper, along the work from its face, or toward the axis; None
        when nobody has said: its dial then counts as the position does.
    comes_up : str or None
        Whether a reading is come up to growing or falling, where the cut itself does not settle it; None for growing.
    travel : Fraction or None
        How far it can move at all, mm; of a scale that shows a diameter too, what the slide moves.  None when nobody has said.
    """

    name: str
    division: Fraction
    per_turn: Fraction | None = None
    backlash: Fraction = Fraction(0)
    error: Fraction = Fraction(0)
    angular: bool = False
    doubled: bool = False
    origin: Fraction = Fraction(0)
    handle: str = ""
    handle_turns: Turning | None = None
    inward: Goes | None = None
    comes_up: Goes | None = None
    travel: Fraction | None = None

    def __post_init__(self) -> None:
        positive("division", self.division, "Give its smallest mark.")
        if self.per_turn is not None:
            positive("per-turn", self.per_turn, "Give the travel for one turn of its handle, or none.")
        for name, word, words in (
            ("handle-turns", self.handle_turns, get_args(Turning)),
            ("inward", self.inward, get_args(Goes)),
            ("comes-up", self.comes_up, get_args(Goes)),
        ):
            if word is not None:
                known(name, word, words)
        if self.per_turn is not None and self.backlash >= self.per_turn:
            rule = f"must be less than one turn of its handle, {plain(self.per_turn)}"
            raise BadValue(
                "backlash", plain(self.backlash), rule, "Measure it again: forward until it moves, then back."
            )
        if self.travel is not None and self.travel < self.division:
            rule = f"must be at least one mark, {plain(self.division)}"
            raise BadValue("travel", plain(self.travel), rule, "Give how far it can move from stop to stop.")

    def backward(self, grows_inward: bool) -> bool:
        """Whether its dial falls while the position grows, where a position grows inward or outward."""
        return self.inward is not None and (self.inward == "falls") == grows_inward

    def down(self, value: Fraction | float) -> int:
        """Return the largest whole number of divisions that is not above the value.

        Examples
        --------
        >>> Scale("readout", Fraction(1, 10)).down(0.3)
        3
        """
        if isinstance(value, Fraction):
            return math.floor((value - self.origin) / self.division)
        return math.floor((value - float(self.origin)) / float(self.division) + WHOLE)

    def up(self, value: Fraction | float) -> int:
        """Return the smallest whole number of divisions that is not below the value."""
        if isinstance(value, Fraction):
            return math.ceil((value - self.origin) / self.division)
        return math.ceil((value - float(self.origin)) / float(self.division) - WHOLE)

    def nearest(self, value: Fraction | float) -> int:
        """Return the whole number of divisions nearest to the value, upwards from the middle."""
        if isinstance(value, Fraction):
            return self.down(value + self.division / 2)
        return self.down(value + float(self.division) / 2)

    def value(self, divisions: int) -> Fraction:
        """Return the position, mm or degrees, of so many divisions."""
        found = self._values.get(divisions)
        if found is None:
            found = self._values[divisions] = self.origin + divisions * self.division
        return found

    def clear(self, unit: str) -> Fraction:
        """Return how far clear of the metal a cutter is taken along it, in a round number of a card's unit: over 1 mm more than its slack; mm."""
        return nice_up(self.backlash + 1, unit)

    @cached_property
    def _values(self) -> dict[int, Fraction]:
        """Positions that were asked for: each of a plan's is asked for many times."""
        return {}


def nice_up(mm: Fraction, unit: str) -> Fraction:
    """Return a clearance in a round number of the card's unit, not less than asked: 0.05 in or 1 mm at a time."""
    grain = Fraction(127, 100) if unit == "in" else Fraction(1)
    return -(-mm // grain) * grain


class RotaryTable(Struct, frozen=True):
    """A rotary table or dividing head with worm and crank."""

    rim: Scale
    hole_circles: tuple[int, ...] = ()
    counts_up: Turning = "clockwise"  # the way the table turns, seen from above, while its reading grows
    dial: Literal["decimal", "minutes"] = "decimal"
    crank_dial: bool = True  # whether the crank has a dial; a dividing head with plates may have none

    @property
    def degrees_per_turn(self) -> Fraction:
        """Degrees of the table for one turn of the crank."""
        assert self.rim.per_turn is not None  # noqa: S101  # a table is never built without it
        return self.rim.per_turn

    @property
    def ratio(self) -> Fraction:
        """Turns of the crank for one turn of the table."""
        return 360 / self.degrees_per_turn

    @property
    def direct(self) -> bool:
        """Whether a plate of holes turns with the table, the worm out: by the crank it would be a ratio of one."""
        return self.degrees_per_turn == 360 and bool(self.hole_circles)


class Compound(Struct, frozen=True):
    """The compound slide of a lathe."""

    zero: Literal["along", "across"]  # where its degree scale stands at nought: along the ways or across them
    division: Fraction  # degrees
    travel: Fraction  # mm
    scale: Scale  # its feed dial


class Machine(Struct, frozen=True):
    """One shop's machine, or the mill and the lathe that stand side by side."""

    name: str
    unit: Literal["in", "mm"]
    table: RotaryTable | None = None
    depth: Scale | None = None
    slide: Scale | None = None
    carriage: Scale | None = None
    cross: Scale | None = None
    compound: Compound | None = None
    cutters: tuple[Cutter, ...] = ()
    gears: tuple[int, ...] = ()
    note: str = ""
    speeds: tuple[int, ...] = ()  # of the mill's spindle, turns a minute
    lathe_speeds: tuple[int, ...] = ()
    more_depths: tuple[Scale, ...] = ()  # depth scales beside the trusted one
    example: bool = False  # one that ships with the program, whose figures are nobody's

    @property
    def called(self) -> str:
        """Its name as cards print it: an example is said to be one, so that nobody cuts by invented figures unawares."""
        return f"EXAMPLE MACHINE {self.name}, not yours" if self.example else self.name


class Outline(Struct, frozen=True):
    """The end of a cutter in profile: a flat with a round corner; mm.

    Parameters
    ----------
    radius : float
        Half the diameter.
    corner : float
        Corner radius: 0 for a flat end, the radius for a ball.
    tan : float
        Of half the angle of a pointed end; 0 for any other.
    """

    radius: float
    corner: float
    tan: float = 0.0

    def relief(self, distance: float) -> float:
        """Return how much higher than its lowest point the end is, at a distance from its axis.

        Parameters
        ----------
        distance : float
            Distance from the axis in mm, not negative.

        Returns
        -------
        float
            Height in mm; infinite outside the cutter.

        Notes
        -----
        A circle of the corner radius c whose centre stands at R - c from the axis:
        h = c - sqrt(c^2 - (s - (R - c))^2), and 0 under the flat.  No outside source: derived above.

        Examples
        --------
        >>> ball = Outline(3.0, 3.0)
        >>> ball.relief(3.0), round(ball.relief(1.8), 12), ball.relief(3.1)
        (3.0, 0.6, inf)
        """
        radius, corner = self.radius, self.corner
        if distance > radius * (1 + 1e-12):
            return math.inf
        if self.tan:
            return distance / self.tan
        beyond = distance - (radius - corner)
        if beyond <= 0:
            return 0.0
        return corner - math.sqrt(max(0.0, corner * corner - beyond * beyond))

    def half_width(self, height: float) -> float:
        """Return how far from its axis the cutter extends, at a height above its lowest point; mm."""
        radius, corner = self.radius, self.corner
        if self.tan:
            return min(radius, max(0.0, height) * self.tan)
        if height >= corner:
            return radius
        below = corner - max(0.0, height)
        return radius - corner + math.sqrt(max(0.0, corner * corner - below * below))


class Cutter(Struct, frozen=True):
    """An end mill (flat, ball, bull nose, pointed) or a lathe tool (square, round nose).

    Parameters
    ----------
    kind : str
        One of flat, ball, bull, vee, square, round.
    diameter : Fraction
        Diameter in mm; for a round-nosed lathe tool twice the nose radius, for a square tool 0.
    corner : Fraction
        Corner radius in mm: 0 for flat, vee and square, half the diameter for ball and round.
    angle : Fraction
        Whole angle of a vee's point, degrees; 0 for any other.
    """

    kind: CutterKind
    diameter: Fraction
    corner: Fraction = Fraction(0)
    angle: Fraction = Fraction(0)

    def __post_init__(self) -> None:
        known("kind", self.kind, get_args(CutterKind))
        if (self.kind == "vee") != (0 < self.angle < 180):
            raise BadValue(
                "angle",
                plain(self.angle),
                "must be between 0 and 180 degrees of a vee",
                "Give the whole angle of its point.",
            )
        if self.kind != "square":
            positive("cutter", self.diameter, "Give its diameter.")
        if not 0 <= 2 * self.corner <= self.diameter:
            raise BadValue("corner", plain(self.corner), "must be from 0 to half the cutter", "Check both sizes.")

    @property
    def radius(self) -> Fraction:
        """Half the diameter, mm."""
        return self.diameter / 2

    @property
    def outline(self) -> Outline:
        """The shape of its end, in floating mm, for the sums."""
        tan = math.tan(math.radians(self.angle) / 2) if self.angle else 0.0
        return Outline(float(self.radius), float(self.corner), tan)


# Sizes that a shop can buy over the counter; common practice, no source.
STANDARD_CUTTERS: dict[str, tuple[Fraction, ...]] = {
    "in": tuple(
        Fraction(254, 10) * Fraction(n, 32) for n in (2, 3, 4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24, 28, 32, 40, 48)
    ),
    "mm": tuple(Fraction(n) for n in (1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 25, 32, 40)),
}
