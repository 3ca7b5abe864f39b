"""The sweeps of one groove: one row of cuts when it is as wide as its cutter, else one for each wall and those between.

A groove wider than its cutter is cut in sweeps side by side, the outermost ones along its walls, each the same helix moved along
the axis.  Between the middles of the outermost two every point is cut by the nearest cut of some sweep, so that only the facets
of the floor stand there: a strip as long along the axis at every angle.  On the walls nothing but the sweep along them counts,
as long as the groove is wider than its cutter by more than a ridge.  No outside source: derived here, and compared with rays in
the tests.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from stepcut.kernel.measure import GAUSS_8
from stepcut.shapes.helix.cuts import Floor, Row
from stepcut.shapes.helix.groove import Screw
from stepcut.shapes.helix.left import Ridges

OVERLAP = 0.8  # of the cutter's diameter: the most that neighbouring sweeps stand apart, square to them; common practice, no source
COVERS = 0.95  # of the diameter: the most along the axis, so that the cuts of two sweeps at one angle overlap


class Sweeps(Struct, frozen=True):
    """All sweeps of one groove.

    Parameters
    ----------
    rows : tuple of Row
        Their cuts, from the wall at the table's end to the other.
    spread : float
        How far the outermost ones lie apart along the axis, mm; 0 with one.
    """

    rows: tuple[Row, ...]
    spread: float = 0.0

    @property
    def marks(self) -> Sequence[int]:
        """Divisions of the table, the same for all sweeps."""
        return self.rows[0].marks

    @property
    def walls(self) -> tuple[Row, ...]:
        """The sweeps that make a wall."""
        return tuple(row for row in self.rows if row.sides)

    def ridges(self, limit: float = math.inf) -> Ridges:
        """Return the highest ridges that the cuts leave; as soon as one is above a limit, that one only."""
        found = []
        for row in self.walls:
            found.append(row.ridges(limit))
            if found[-1].most > limit:
                return found[-1]
        wall, floor, corner = (max(values) for values in zip(*found, strict=True))
        return Ridges(wall, floor, corner if corner > max(wall, floor) * (1 + 1e-6) else 0.0)

    def left(self) -> Floor:
        """Return what stands in the groove."""
        found = [row.left() for row in self.walls]
        volume = sum(one.volume for one in found) + self._strip()
        return found[0]._replace(volume=volume)

    def _strip(self) -> float:
        """Return the volume of the facets between the middles of the outermost sweeps: b^2 (tan h - h) of the section, h half a step."""
        bottom, turn = self.rows[0].screw.bottom, self.rows[0].turn
        halves = [(b - a) * turn / 2 for a, b in pairwise(self.marks)] if self.spread else []
        return self.spread * sum(bottom * bottom * (math.tan(half) - half) for half in halves)

    @property
    def gap(self) -> float:
        """How far apart, along the axis, sweeps may stand whose nearest cuts still cover all between them, mm; below 0 at no distance.

        Half a step h beside a cut its facet lies b tan h aside, where the cutter reaches sqrt(R^2 - (b tan h)^2) to both sides.
        """
        screw = self.rows[0].screw
        half = max((b - a) * self.rows[0].turn / 2 for a, b in pairwise(self.marks)) if len(self.marks) > 1 else 0.0
        reach = screw.outline.radius**2 - (screw.bottom * math.tan(half)) ** 2 if half < math.pi / 2 else -1.0
        return 2 * math.sqrt(reach) if reach > (screw.pitch * half) ** 2 else -1.0


def kept(wanted: Screw, apart: float, cut: Screw, spread: float) -> float:
    """Return what a groove has more than one that is cut less deep and wide, for each radian, mm^3.

    Parameters
    ----------
    wanted, cut : Screw
        The cutter at the depth that is wanted and at the one that is cut.
    apart, spread : float
        How far the outermost sweeps of either lie apart along the axis, mm.
    """
    found, top = 0.0, wanted.outside
    marks = sorted({wanted.bottom, cut.bottom, min(wanted.joint, top), min(cut.joint, top), top})
    for low, high in pairwise(marks):
        for x, weight in GAUSS_8:  # above the bottom, and above the joint, rows widen like a root
            rho = low + (high - low) * x * x
            whole = 2 * wanted.row(rho)[0] + apart
            stands = whole - (2 * cut.row(rho)[0] + spread if rho > cut.bottom else 0.0)
            found += weight * 2 * x * (high - low) * rho * stands
    return found


def plunged(screw: Screw, spread: float) -> float:
    """Return the volume that a cut takes of the cylinder, and those beside it so far along the axis; mm^3.

    Where a groove begins and ends it has one half of that more than it has all along its way.
    """
    found, top = 0.0, screw.outside
    marks = sorted({screw.bottom, min(screw.joint, top), min(max(screw.centre, screw.bottom), top), top})
    for low, high in pairwise(marks):
        for x, weight in GAUSS_8:
            rho = low + (high - low) * x * x
            aside = screw.window(rho)
            row = 0.0
            for y, share in GAUSS_8:  # half as long as the cutter's chord there: at its edge like a root
                beside = aside * (1.0 - y * y)
                chord = 2 * math.sqrt(max(0.0, -screw.bowl(rho, -screw.pitch * beside, beside)[0]))
                row += share * 2 * y * aside * (chord + spread)
            found += weight * 2 * x * (high - low) * rho * 2 * row
    return found
