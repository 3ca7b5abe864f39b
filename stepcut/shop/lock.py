"""Will a ramp hold: torque to lock and to release it, by the equations of power screws.

Two equal ramps slide on each other as one, so a pair is judged at the middle radius of the wall: the bore is steeper and
the outside gentler, and neither can turn without the other.

References
----------
.. [1] R. G. Budynas, J. K. Nisbett, "Shigley's Mechanical Engineering Design", 9th edition, section 8-2, equations 8-1
   (raising), 8-2 (lowering), 8-3 (self-locking), 8-5 (Acme and other sloping flanks) and 8-6 (collar).
"""

from __future__ import annotations

import math
from math import pi, radians, tan

from msgspec import Struct

# Oiled, greasy and nearly dry steel; common practice, no source.
FRICTIONS = (0.08, 0.12, 0.15)


class Locking(Struct, frozen=True):
    """One ramp under one clamp force at one friction; torques in N mm."""

    friction: float
    lock: float
    release: float  # torque to turn it back, the second face with it; not above 0 when it opens by itself
    alone: float  # torque to turn the ramp back without the second face

    @property
    def holds(self) -> bool:
        """Whether it stays shut: the load alone does not turn it back, the second face taken in."""
        return self.release > 0

    @property
    def leans_on_collar(self) -> bool:
        """Whether only the friction of the second face keeps it shut."""
        return self.holds and self.alone <= 0


def locking(
    angle: float,
    radius: float,
    force: float,
    friction: float,
    collar_radius: float = 0.0,
    collar_friction: float = 0.0,
    flank: float = 0.0,
) -> Locking:
    """Return the torque to lock a ramp and to release it.

    Parameters
    ----------
    angle : float
        Ramp (lead) angle at the mean radius, degrees, 0 <= angle < 90.
    radius : float
        Mean radius, mm.
    force : float
        Axial clamp force, N.
    friction : float
        Coefficient of friction of the ramp.
    collar_radius, collar_friction : float
        Mean radius (mm) and friction of a second sliding face, such as a washer.
    flank : float
        How far the sliding face leans from square to the axis along a radius, degrees: half the angle of a thread, 14.5
        for Acme, 0 for a ramp or a square thread.

    Returns
    -------
    Locking
        Torques in N mm; it holds when the torque to turn it back is above 0.  The torque to lock is infinite where the ramp
        is so steep that none closes it: friction times tan(angle) / cos(flank) is 1 or more.

    Notes
    -----
    With d the mean diameter, l the lead (l = pi d tan(angle)) and f the friction over cos(flank), because a leaning
    flank wedges:
    raise  F d/2 (l + pi f d)/(pi d - f l)   # [1], eq. 8-1 and 8-5
    lower  F d/2 (pi f d - l)/(pi d + f l)   # [1], eq. 8-2
    holds  pi f d > l                        # [1], eq. 8-3, without a second face; with one, lower + collar > 0
    collar F fc dc/2 more to both            # [1], eq. 8-6

    Examples
    --------
    >>> clamp = locking(2.188, 19.05, 2224.1, 0.08)
    >>> round(clamp.lock / 112.98, 0), clamp.holds
    (44.0, True)
    """
    slope, wedged = tan(radians(angle)), friction / math.cos(radians(flank))
    diameter = 2 * radius
    lead = pi * diameter * slope
    collar = force * collar_friction * collar_radius
    against = pi * diameter - wedged * lead
    jammed = wedged * slope >= 1 or against <= 0  # no torque closes a ramp this steep
    lock = math.inf if jammed else force * diameter / 2 * (lead + pi * wedged * diameter) / against
    alone = force * diameter / 2 * (pi * wedged * diameter - lead) / (pi * diameter + wedged * lead)
    return Locking(friction, lock + collar, alone + collar, alone)


def holds(angle: float, friction: float) -> bool:
    """Whether a pair of ramps of this angle at the middle radius stays shut by its own friction.

    Examples
    --------
    >>> holds(4.5, 0.08), holds(4.7, 0.08)
    (True, False)
    """
    return locking(angle, 1.0, 1.0, friction).holds


def friction_angle(friction: float, flank: float = 0.0) -> float:
    """Return the steepest ramp that friction holds, degrees: the angle whose tangent is friction / cos(flank)."""
    return math.degrees(math.atan(friction / math.cos(radians(flank))))
