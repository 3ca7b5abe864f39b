"""The plan: what solving hands to printing.

A plan is a list of stops in whole divisions of two scales, with what will be left and what must be said about it.
It holds no text of units and does no sums; cards read it and print.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct, field

from stepcut.errors import Refused as Refused
from stepcut.kernel.contact import Contact as Contact
from stepcut.machine import Cutter, Machine, Scale, Turning

Polyline = tuple[tuple[float, float], ...]


class Stop(Struct, frozen=True):
    """One position at which a cut is made.

    Parameters
    ----------
    n : int
        Number in the order of cutting, from 1.
    start : int
        Which of the ramps (or threads of a helix) it belongs to, from 1.
    first, second : int
        Whole divisions of the plan's two scales.
    """

    n: int
    start: int
    first: int
    second: int


class Remark(Struct, frozen=True):
    """Something that must be said about a plan; ``facts`` are numbers in mm and degrees for its sentence.

    One that spoils forbids the cut; one to ``look`` at asks for another look before it.
    """

    code: str
    facts: Mapping[str, Any] = field(default_factory=dict)
    spoils: bool = False
    look: bool = False


class Result(Struct, frozen=True):
    """What is left after the cut: mm, mm^3, degrees; heights are axial, scallop is square to the surface."""

    scallop: float
    stock_min: float
    stock_mean: float
    stock_max: float
    twist: float
    volume: float
    more: Mapping[str, Any] = field(default_factory=dict)  # what belongs to one shape: ramp angles, run-out


class Picture(Struct, frozen=True):
    """The unrolled stair: wanted line and cut line, first coordinate against depth, at one radius.

    ``rows`` are the cut lines at all radii that were measured, with their radii, where there is more than one; ``more`` are the
    pictures of the part's other flanks, each with a name where there are several.
    """

    wanted: Polyline
    cut: Polyline
    radius: float
    rows: tuple[tuple[float, Polyline], ...] = ()
    more: tuple[Picture, ...] = ()
    name: str = ""


class Plan(Struct, frozen=True):
    """Everything a card needs about one part, solved.

    Parameters
    ----------
    shape : str
        ramp, helix, taper, radius, profile or cam.
    target : mapping
        What was wanted, in mm and degrees, with the keys of the JSON contract.
    machine : Machine
        The scales it was solved for.
    cutter : Cutter
        The cutter or tool.
    approach : str
        How the cutter meets the work.
    edge_behind : float or None
        q of a ramp: how far the uphill edge stands behind the radial line, mm.
    leave : Fraction
        Stock left on purpose, mm.
    first, second : Scale
        The scales of ``Stop.first`` and ``Stop.second``.
    axes : tuple of str
        What the two are called in the JSON contract: table and depth, table and x, z and x, table and radius.
    stops : tuple of Stop
        In the order of cutting.
    result, remarks, contact, picture
        What is left, what must be said, how the contact grows, and the stair to draw.
    details : object
        What a card of this shape prints besides: a type of the shape's own folder.
    turning : str
        The way the table turns from stop to stop, seen facing it.
    copies : int
        How many equal ramps or grooves the part has.
    """

    shape: str
    target: Mapping[str, Any]
    machine: Machine
    cutter: Cutter
    approach: str
    edge_behind: float | None
    leave: Fraction
    first: Scale
    second: Scale
    axes: tuple[str, str]
    stops: tuple[Stop, ...]
    result: Result
    remarks: tuple[Remark, ...]
    contact: Contact | None
    picture: Picture | None
    details: Any = None
    turning: Turning = "clockwise"
    copies: int = 1
    material: str = ""  # of the part; empty when it was not said
    carbide: bool = False  # whether the cutter or tool is of carbide, and not of high-speed steel

    @property
    def grooved(self) -> bool:
        """Whether table and slide follow a groove, equally deep at every cut: the second scale says how far along, not how deep."""
        return self.axes == ("table", "x")

    @property
    def coned(self) -> bool:
        """Whether each pass of a taper is a whole cone, by a slanted slide or work that stands slanted, and not one of many steps."""
        return self.approach in ("compound", "set-over")

    def at_blue(self, share: float) -> tuple[float, float]:
        """Return what a share of blue means: height still standing, mm, and volume left of all copies, mm^3.

        The plan must have a contact curve.
        """
        assert self.contact is not None  # noqa: S101  # the caller's condition
        height = max(0.0, self.contact.height(share))
        return height, self.contact.volume_below(height) * self.copies

    @property
    def spoils(self) -> bool:
        """Whether cutting this would spoil the part."""
        return any(remark.spoils for remark in self.remarks)
