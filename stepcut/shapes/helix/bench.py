"""A groove on a machine: where its cuts stand on table and slide, how they are rounded, and whether neighbours meet."""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stepcut.machine import Cutter, Scale
from stepcut.shapes.helix.crossing import Crossings
from stepcut.shapes.helix.cuts import Row
from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.left import Cut, Pair
from stepcut.shapes.helix.sweeps import COVERS, OVERLAP, Sweeps, kept, plunged
from stepcut.shapes.helix.vee import Vee
from stepcut.shapes.helix.wanted import Helix


class Groove(Struct, frozen=True, dict=True):
    """A groove on a machine: where its cuts stand, and what they leave."""

    helix: Helix
    cutter: Cutter
    rim: Scale
    slide: Scale

    @cached_property
    def screw(self) -> Screw:
        """The groove and its cutter as the rows see them."""
        helix = self.helix
        outside = float(helix.diameter) / 2
        bottom = outside - float(helix.depth - helix.leave)
        made = Vee if self.cutter.kind == "vee" else Screw
        return made(outside, bottom, float(helix.lead) / (2 * math.pi), self.cutter.outline)

    @cached_property
    def slant(self) -> float:
        """Mm along the axis for one mm square to the groove, at the surface."""
        return math.hypot(self.screw.outside, self.screw.pitch) / self.screw.outside

    @cached_property
    def spread(self) -> Fraction:
        """How far apart along the axis the outermost sweeps lie, mm: 0 for a groove as wide as its cutter.

        Of whole divisions of the slide, rather narrower than wider.
        """
        return self.slide.value(max(0, self.slide.down(Fraction(self._apart))))

    @cached_property
    def _apart(self) -> float:
        """The same as nobody rounds it."""
        if self.helix.width is None:
            return 0.0
        half = self.screw.half_of(float(self.helix.width - 2 * self.helix.leave))
        return max(0.0, 2 * (half - self._edge))

    @cached_property
    def _edge(self) -> float:
        """How far along the axis from its own path a sweep reaches at the surface, mm; the cylinder falls away beside the path."""
        return self.screw.row(self.screw.outside)[0]

    @property
    def unrolled(self) -> float:
        """Width of the groove as it is cut, square to its way, on the surface laid flat; mm."""
        return (2 * self._edge + float(self.spread)) / self.slant

    @property
    def whole(self) -> float:
        """The same as it is wanted, with nothing left for the file; mm."""
        return (2 * self.wanted._edge + self.wanted._apart) / self.slant

    @property
    def width(self) -> float:
        """Width of the groove as it is cut, at the surface, square to its way, as a caliper measures it; mm."""
        return self.screw.straight(self._edge + float(self.spread) / 2)

    @property
    def low(self) -> float:
        """The same toward the floor, where the side of the cutter ends; mm.

        Sweeps stand side by side along the axis, and square to a way that grows steeper toward the axis that is less and less.
        """
        rho = min(self.screw.joint, self.screw.outside)
        return self.screw.straight(self.screw.row(rho)[0] + float(self.spread) / 2, rho)

    def free(self) -> tuple[float, float]:
        """Return how wide the groove is toward its floor with nothing left, and how wide it is to be for that to be its width; mm."""
        screw = self.wanted.screw
        rho = min(screw.joint, screw.outside)
        edge, top, width = screw.row(rho)[0], self.wanted._edge, float(self.helix.width or 0)
        low = screw.straight(edge + self.wanted._apart / 2, rho)
        return low, screw.straight(top + screw.half_of(width, rho) - edge)

    @property
    def grooves(self) -> int:
        """How many grooves there are, of both hands."""
        return self.helix.starts * (2 if self.helix.cross else 1)

    @cached_property
    def passes(self) -> int:
        """How many sweeps side by side make the groove."""
        most = float(self.cutter.diameter) * min(OVERLAP * self.slant, COVERS)
        return 1 if not self.spread else 1 + math.ceil(float(self.spread) / most)

    def count(self, step: Fraction) -> int:
        """Return how many cuts of a step all grooves take, at most."""
        return (math.ceil(self.helix.sweep / step) + 1) * self.grooves * self.passes

    def row(self, step: Fraction) -> Sweeps:
        """Return the cuts of one groove, from end to end; those along its walls stand rather inside them."""
        last = self.rim.nearest(self.helix.sweep)
        count = math.ceil(self.helix.sweep / step) + 1
        marks = list(dict.fromkeys(min(self.rim.nearest(k * step), last) for k in range(count)))
        return Sweeps(tuple(self._sweep(k, marks) for k in range(self.passes)), float(self.spread))

    def turned_back(self, begin: int, mark: int) -> int:
        """Return the division of the table for one of the other hand: as far before where its groove begins, and not below 0.

        Cut from its far end back, so that the table turns on the same way as for the first hand.
        """
        turn = int(360 / self.rim.division)
        return begin - mark + turn * math.ceil(self.helix.sweep / 360 + 1)

    def _sweep(self, k: int, marks: list[int]) -> Row:
        """Return the cuts of one sweep: the first along the wall at the table's end, the last along the other."""
        one, last = self.passes == 1, self.passes - 1
        rounded = self.slide.nearest if one or 0 < k < last else self.slide.down if k else self.slide.up
        shift = self.spread * k / last if last else Fraction(0)
        sides = (1, -1) if one else (-1,) if k == 0 else (1,) if k == last else ()
        slides = [rounded(self.slide_of(mark) + shift) for mark in marks]
        turn, travel = math.radians(self.rim.division), float(self.slide.division)
        return Row(self.screw, marks, slides, turn, travel, float(shift), sides)

    @cached_property
    def kept(self) -> float:
        """Volume of what is left on purpose on floor and walls of one groove, its ends too, and of what a division of the slide adds; mm^3."""
        if not self.helix.leave and not self.spread:
            return 0.0
        wanted, run = self.wanted, math.radians(self.helix.sweep)
        along = run * kept(wanted.screw, wanted._apart, self.screw, float(self.spread))
        return along + plunged(wanted.screw, wanted._apart) - plunged(self.screw, float(self.spread))

    @cached_property
    def wanted(self) -> Groove:
        """The same with nothing left for the file."""
        return replace(self, helix=replace(self.helix, leave=Fraction(0)))

    def both_hands(self, volume: float, sweeps: Sweeps) -> float:
        """Return the volume that stands in a groove of each hand, from that of one, mm^3."""
        return 2 * volume - Crossings(self.wanted.screw, self.wanted._apart, sweeps).shared(self.helix)

    def slide_of(self, mark: int) -> Fraction:
        """Return where the helix is along the slide at a division of the table, mm."""
        return self.helix.lead * self.rim.value(mark) / 360

    @cached_property
    def widest(self) -> float:
        """The longest step whose cuts meet at the surface over the middle of the groove, in degrees of the table."""
        first, last = self.screw.interval(self.screw.outside, 0.0) or (0.0, 0.0)
        return math.degrees(last - first)

    def apart(self, sweeps: Sweeps) -> float | None:
        """Return the first step whose cuts leave metal standing across the groove, in degrees; None when all meet."""
        for row in sweeps.walls:
            for one in row.patterns:
                before, after = row.cuts[one.low], row.cuts[one.low + 1]
                if Pair(self.screw, before, after).gap(self.screw.outside, 0.0) > 1e-9:
                    return math.degrees(after.at - before.at)
        if self.passes > 1 and float(self.spread) / (self.passes - 1) > sweeps.gap:
            return max(b - a for a, b in pairwise(sweeps.marks)) * float(self.rim.division)
        return None

    def even(self, step: Fraction) -> float:
        """Return the highest ridge of cuts that no scale has rounded; infinite where they do not meet. mm."""
        if float(step) > self.widest * (1 + 1e-9):
            return math.inf
        return Pair(self.screw, Cut(0.0, 0.0), Cut(math.radians(step), 0.0)).ridges().most

    def land(self) -> float:
        """Return the width of the land between a groove and its neighbour at the surface, mm; infinite for a single one."""
        helix, screw = self.helix, self.screw
        if helix.starts == 1 and helix.length <= helix.lead and not helix.cross:
            return math.inf
        between = float(helix.lead) / helix.starts * screw.outside / math.hypot(screw.outside, screw.pitch)
        return between - max(self.unrolled, self.whole)
