"""Will a ramp hold: torque to lock and to release it, by the square-thread equations.

References
----------
.. [1] R. G. Budynas, J. K. Nisbett, "Shigley's Mechanical Engineering Design", 9th edition, section 8-2, equations 8-1
   (raising), 8-2 (lowering) and 8-3 (self-locking).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from math import pi, radians, tan

# Oiled, greasy and nearly dry steel; common practice, no source.
FRICTIONS = (0.08, 0.12, 0.15)


@dataclass(frozen=True)
class Locking:
    """One ramp under one clamp force at one friction; torques in N mm."""

    friction: float
    lock: float
    release: float  # torque to turn it back; not above 0 when it opens by itself
    holds: bool


def locking(
    angle: float, radius: float, force: float, friction: float, collar_radius: float = 0.0, collar_friction: float = 0.0
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

    Returns
    -------
    Locking
        Torques in N mm; it holds when friction exceeds the tangent of the ramp angle.

    Raises
    ------
    ValueError
        When the ramp is so steep that no torque closes it: friction times tan(angle) is 1 or more.

    Notes
    -----
    With d the mean diameter and l the lead (l = pi d tan(angle)):
    raise  F d/2 (l + pi f d)/(pi d - f l)   # [1], eq. 8-1
    lower  F d/2 (pi f d - l)/(pi d + f l)   # [1], eq. 8-2
    holds  pi f d > l                        # [1], eq. 8-3

    Examples
    --------
    >>> clamp = locking(2.188, 19.05, 2224.1, 0.08)
    >>> round(clamp.lock / 112.98, 0), clamp.holds
    (44.0, True)
    """
    slope = tan(radians(angle))
    if friction * slope >= 1:
        raise ValueError("no torque closes a ramp this steep")
    diameter = 2 * radius
    lead = pi * diameter * slope
    collar = force * collar_friction * collar_radius
    lock = force * diameter / 2 * (lead + pi * friction * diameter) / (pi * diameter - friction * lead)
    release = force * diameter / 2 * (pi * friction * diameter - lead) / (pi * diameter + friction * lead)
    return Locking(friction, lock + collar, release + collar, pi * friction * diameter > lead)


def friction_angle(friction: float) -> float:
    """Return the angle, degrees, whose tangent is the coefficient of friction."""
    return math.degrees(math.atan(friction))
