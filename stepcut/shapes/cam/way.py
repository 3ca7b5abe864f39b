"""How a follower is guided: straight through the axis or beside it, or on an arm about a pivot.

Seen from the cam the follower goes round it, forward as the cam's angles grow.  At a lift its middle (of a face: the foot of the
upright from the axis) stands at a height above the axis, turned forward by so much from the ray on which it stood at the base.
"""

from __future__ import annotations

import cmath
from math import acos, asin, atan2, cos, degrees, hypot, pi, sin, sqrt
from typing import NamedTuple

from msgspec import Struct


class Stand(NamedTuple):
    """Where a follower stands at a lift.

    Parameters
    ----------
    height : float
        Of its middle, or of its face, above the axis, mm.
    turned : float
        Forward from where it stood at the base, radians.
    grows, turns : float
        What a mm of lift adds to both.
    moves : float
        The way in which it moves there, from the ray through it forward, radians.
    """

    height: float
    turned: float
    grows: float
    turns: float
    moves: float


class Straight(Struct, frozen=True):
    """A slide beside the axis, mm; above 0 on the side from which the rim comes to the follower, which eases the rise."""

    offset: float = 0.0

    def stands(self, low: float, lift: float) -> Stand:
        """Return where the follower stands whose height is ``low`` at the base.

        Examples
        --------
        >>> Straight(3.0).stands(5.0, 8.0).height  # 4 above the axis and 3 beside it, lifted by 8
        12.36931...
        """
        begin = sqrt(low * low - self.offset * self.offset)
        up = begin + lift
        height, beside = hypot(up, self.offset), atan2(self.offset, up)
        return Stand(height, beside - atan2(self.offset, begin), up / height, -self.offset / height**2, -beside)

    def fits(self, low: float, most: float) -> bool:
        """Whether a follower on this way touches the base circle and gets to its highest lift."""
        return abs(self.offset) < low


class Arm(Struct, frozen=True):
    """An arm; lifts are counted along the arc of the roller's middle, of a face at the arm's length from the pivot.

    Parameters
    ----------
    pivot : float
        From the axis, mm.
    length : float
        From the pivot to the roller's middle, mm.
    ahead : bool
        Whether the pivot lies forward of the follower: the rim then runs from the pivot to the follower.
    flat : bool
        Whether it carries a flat face in line with the pivot, and no roller.
    """

    pivot: float
    length: float
    ahead: bool = True
    flat: bool = False

    def stands(self, low: float, lift: float) -> Stand:
        """Return where the follower stands whose height is ``low`` at the base."""
        return self._face(low, lift) if self.flat else self._roller(low, lift)

    def fits(self, low: float, most: float) -> bool:
        """Whether the arm reaches the base circle and its highest lift before it is stretched out or folded back."""
        if self.flat:
            return low < self.pivot and asin(low / self.pivot) + most / self.length < pi / 2
        c, arm = self.pivot, self.length
        return abs(c - arm) < low < c + arm and self._angle(low) + most / arm < 0.95 * pi

    def _angle(self, low: float) -> float:
        """Return the angle at the pivot between axis and roller at the base, radians."""
        c, arm = self.pivot, self.length
        return acos((c * c + arm * arm - low * low) / (2 * c * arm))

    def _roller(self, low: float, lift: float) -> Stand:
        c, arm, way = self.pivot, self.length, 1.0 if self.ahead else -1.0
        begin = self._angle(low)
        angle = begin + lift / arm
        middle = c - arm * cmath.exp(1j * way * angle)  # seen with the pivot on the real axis, forward to the left
        height = abs(middle)
        turned = cmath.phase(middle) - cmath.phase(c - arm * cmath.exp(1j * way * begin))
        turns = way * (arm * arm - c * arm * cos(angle)) / height**2 / arm
        moves = cmath.phase(-1j * way * cmath.exp(1j * way * angle) * middle.conjugate())
        return Stand(height, turned, c * sin(angle) / height, turns, moves)

    def _face(self, low: float, lift: float) -> Stand:
        c, way = self.pivot, 1.0 if self.ahead else -1.0
        begin = asin(low / c)
        angle = begin + lift / self.length
        return Stand(c * sin(angle), way * (angle - begin), c * cos(angle) / self.length, way / self.length, 0.0)

    def touches(self, stand: Stand, rate: float) -> float:
        """Return how far from the pivot a face touches the cam, mm; ``rate`` is the lift for each radian of the cam.

        The face touches beside the foot of the upright from the axis by what its height grows for each radian of its turn.
        """
        way = 1.0 if self.ahead else -1.0
        beside = stand.grows * rate / (1 + stand.turns * rate)
        return sqrt(max(0.0, self.pivot**2 - stand.height**2)) - way * beside


Way = Straight | Arm


def pressure(stand: Stand, rate: float) -> float:
    """Return the angle between the way in which a roller moves and the way in which the cam pushes it, degrees.

    ``rate`` is the lift for each radian of the cam.  The cam pushes square to the way of the roller's middle round the cam.
    """
    out, along = stand.grows * rate, stand.height * (1 + stand.turns * rate)
    apart = (atan2(-out, along) - stand.moves + pi) % (2 * pi) - pi
    return degrees(abs(apart))
