"""The plan: what solving hands to printing.

A plan is a list of stops in whole divisions of two scales, with what will be left and what must be said about it.
It holds no text of units and does no sums; cards read it and print.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from stepcut.machine import Cutter, Machine, Scale, Turning

Polyline = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Stop:
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


@dataclass(frozen=True, slots=True)
class Remark:
    """Something that must be said about a plan; ``facts`` are numbers in mm and degrees for its sentence."""

    code: str
    facts: Mapping[str, Any] = field(default_factory=dict)
    spoils: bool = False


class Refused(Exception):
    """A plan that cannot be made; ``key`` is the input to change, ``code`` and ``facts`` say why."""

    def __init__(self, key: str, code: str, **facts: Any) -> None:
        self.key, self.code, self.facts = key, code, facts
        super().__init__(key, code)


@dataclass(frozen=True, slots=True)
class Result:
    """What is left after the cut: mm, mm^3, degrees; heights are axial, scallop is square to the surface."""

    scallop: float
    stock_min: float
    stock_mean: float
    stock_max: float
    twist: float
    volume: float
    more: Mapping[str, Any] = field(default_factory=dict)  # what belongs to one shape: ramp angles, run-out


@dataclass(frozen=True)
class Contact:
    """The contact curve: how much of the wanted area stands at least so high.

    Parameters
    ----------
    segments : tuple of (float, float, float)
        Stretches of the surface: stock at one end, stock at the other, area.
    """

    segments: tuple[tuple[float, float, float], ...]

    @property
    def area(self) -> float:
        """Whole area, mm^2."""
        return sum(area for _, _, area in self.segments)

    def share(self, height: float) -> float:
        """Return the share of the area whose stock is at least a height (material ratio at that height).

        References
        ----------
        ISO 21920-2:2021, material ratio of a profile: share of the length in material at a given height.
        """
        total = 0.0
        for a, b, area in self.segments:
            low, high = (a, b) if a <= b else (b, a)
            if height <= low:
                total += area
            elif height < high:
                total += area * (high - height) / (high - low)
        return total / self.area

    def height(self, share: float) -> float:
        """Return the height that a share of the area reaches: how far the file must still go when blue shows it."""
        low = min(min(a, b) for a, b, _ in self.segments)
        high = max(max(a, b) for a, b, _ in self.segments)
        for _ in range(60):
            middle = (low + high) / 2
            if self.share(middle) >= share:
                low = middle
            else:
                high = middle
        return low

    def volume_above(self, height: float) -> float:
        """Return the volume of stock above a height, mm^3."""
        total = 0.0
        for a, b, area in self.segments:
            low, high = (a, b) if a <= b else (b, a)
            if height <= low:
                total += area * ((low + high) / 2 - height)
            elif height < high:
                total += area * (high - height) ** 2 / (2 * (high - low))
        return total

    def volume_below(self, height: float) -> float:
        """Return the volume that still stands once the part is filed down to a height, mm^3."""
        whole = sum((a + b) / 2 * area for a, b, area in self.segments)
        return whole - self.volume_above(height)


@dataclass(frozen=True)
class Picture:
    """The unrolled stair: wanted line and cut line, first coordinate against depth, at one radius."""

    wanted: Polyline
    cut: Polyline
    radius: float


@dataclass(frozen=True)
class Plan:
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
    facts : mapping
        What a card of this shape prints besides.
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
    facts: Mapping[str, Any] = field(default_factory=dict)
    turning: Turning = "clockwise"
    copies: int = 1

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
