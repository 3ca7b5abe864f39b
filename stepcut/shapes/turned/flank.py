"""A flank as the kernel sees it: its section, revolved round the axis, and what holds a lathe tool back."""

from __future__ import annotations

import math
from bisect import bisect_left
from functools import cached_property

from stepcut.kernel.line import Stretch
from stepcut.kernel.section import Guard, Section
from stepcut.shapes.turned.edges import ArcEdge, Edge, nearest
from stepcut.shapes.turned.wanted import Flank


class FlankSection(Section, frozen=True, dict=True):
    """A flank along the axis; its ridges stand square to a surface that may be as steep as a wall.

    Parameters
    ----------
    flank : Flank or None
        What is wanted; never None.
    """

    flank: Flank | None = None

    @property
    def _flank(self) -> Flank:
        assert self.flank is not None  # noqa: S101  # a default only because the fields before it have some
        return self.flank

    @cached_property
    def _edges(self) -> tuple[Edge, ...]:
        return (*self._flank.edges, *self._flank.near)

    @cached_property
    def _begins(self) -> tuple[float, ...]:
        return tuple(edge.x0 for edge in self._edges)

    @property
    def clears_on(self) -> bool:
        """A nose's pass along the axis clears what it comes through; of a square tool's level passes the kernel knows that."""
        return not self.stepped and not self._flank.plunged

    def square(self, at: float, stock: float) -> float:
        """Return stock as its distance from the stock line, mm: the wanted surface moved out by the leave."""
        over = stock - self.leave
        if over <= 0.0:
            return 0.0
        return nearest(self._edges, self._begins, at, self.line.depth(at) - over, over)

    def peaked(self, low: float, high: float) -> bool:
        """Whether an inner corner is so near that a round nose may touch on both sides of it."""
        if self.stepped or not self._corners:
            return False
        wide = 2 * self.foot.outline.corner
        k = bisect_left(self._corners, low - wide)
        return k < len(self._corners) and self._corners[k] <= high + wide

    @cached_property
    def _corners(self) -> tuple[float, ...]:
        """The inner corners, that with the next flank among them."""
        return (*self.line.corners, self.line.span) if self._flank.near else self.line.corners

    def area(self, at: float) -> float:
        """Return the wanted area of one mm of the axis, seen from the axis, mm^2."""
        return 2 * math.pi * self._flank.radius_of(self.line.depth(at))

    def volume(self, at: float, stock: float) -> float:
        """Return the volume of stock over one mm of the axis, mm^3: a ring round the wanted radius or inside it."""
        middle = self._flank.radius_of(self.line.depth(at) - stock / 2)
        return 2 * math.pi * middle * stock


class FlankGuard(Guard, frozen=True):
    """What holds a lathe tool back: the touching places of a round nose are known.

    Parameters
    ----------
    edges : tuple of Edge
        What the line is made of.
    """

    edges: tuple[Edge, ...] = ()

    @property
    def _middle(self) -> float:
        """How far the middle of the nose is on from the tool's position, mm."""
        return self.foot.window[0] + self.foot.outline.corner

    @property
    def width(self) -> float:
        """How wide the nose is, mm: what its pass clears behind it is level and leans on nothing; a square tool's pass as it is."""
        return 2 * self.foot.outline.corner or super().width

    def touch(self, slope: float) -> float:
        """Return the offset at which a round nose touches a straight line of a slope: square to it from its middle."""
        return self._middle - self.foot.outline.corner * slope / math.hypot(1.0, slope)

    def contact(self, at: float, s: Stretch) -> float | None:
        """Return the coordinate inside a stretch where the tool may touch it; None when only its ends can hold it."""
        if s.straight or self.stepped:
            return super().contact(at, s)
        arc = next(edge for edge in self.edges if isinstance(edge, ArcEdge) and edge.depth == s.depth)
        where = arc.parallel(at + self._middle, self.foot.outline.corner)
        return where if where is not None and s.begin < where < s.end else None
