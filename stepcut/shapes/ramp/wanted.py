"""A face ramp on the end of a tube: what is wanted, and its angles.

Angles run from the high end in the direction the ramp falls.  ``rises`` is the way it rises seen facing it.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from stepcut.errors import BadValue
from stepcut.kernel.line import Line, line_by_motion, line_by_targets
from stepcut.kernel.motions import MOTIONS
from stepcut.machine import Turning
from stepcut.machine.model import known, plain, positive


class Ramp(Struct, frozen=True, dict=True):
    """One or several equal ramps round a ring.

    Parameters
    ----------
    outside_diameter, inside_diameter : Fraction
        Of the ring, mm.
    span : Fraction
        Degrees over which one ramp is wanted, dwells included.
    rise, start_depth : Fraction
        Fall from the high end to the low end, and depth of the high end below the face; mm.
    starts : int
        Number of equal ramps.
    law : str
        A key of :data:`stepcut.kernel.motions.MOTIONS`, or ``targets``.
    rises : str
        clockwise or anticlockwise, seen facing the ramp.
    lead_in, lead_out : Fraction
        Dwell at the high and at the low end, degrees.
    targets : tuple of (Fraction, Fraction)
        Degrees and depth in mm, when the law is ``targets``.
    slope : Fraction
        Fall for one degree, mm, where the rise follows from a span that is still to be found; else 0.
    """

    outside_diameter: Fraction
    inside_diameter: Fraction
    span: Fraction
    rise: Fraction
    start_depth: Fraction = Fraction(0)
    starts: int = 1
    law: str = "uniform"
    rises: Turning = "clockwise"
    lead_in: Fraction = Fraction(0)
    lead_out: Fraction = Fraction(0)
    targets: tuple[tuple[Fraction, Fraction], ...] = ()
    slope: Fraction = Fraction(0)

    def spanning(self, span: Fraction) -> Ramp:
        """Return the ramp over so many degrees; it falls as far as its slope says, where that is given."""
        moving = max(span - self.lead_in - self.lead_out, Fraction(1, 10**6))
        return replace(self, span=span, rise=self.slope * moving if self.slope else self.rise)

    def __post_init__(self) -> None:
        positive("bore", self.inside_diameter, "Give the bore's diameter.")
        if self.inside_diameter >= self.outside_diameter:
            rule = f"must be smaller than outside = {plain(self.outside_diameter)}"
            raise BadValue("bore", plain(self.inside_diameter), rule, "Give both as diameters, in mm.")
        if self.starts < 1:
            raise BadValue("ramps", self.starts, "must be at least 1", "Give the number of ramps round the ring.")
        known("motion", self.law, (*MOTIONS, "targets"))
        known("rises", self.rises, ("clockwise", "anticlockwise"))
        if not self.targets:
            positive("rise", self.rise, "Give how much lower the low end lies.")

    @property
    def bore(self) -> float:
        """Radius of the bore, mm."""
        return float(self.inside_diameter) / 2

    @property
    def outside(self) -> float:
        """Outside radius, mm."""
        return float(self.outside_diameter) / 2

    @property
    def radii(self) -> tuple[float, float, float]:
        """Bore, middle and outside radius, mm."""
        return self.bore, (self.bore + self.outside) / 2, self.outside

    @property
    def sector(self) -> Fraction:
        """Degrees from one ramp to the next."""
        return Fraction(360, self.starts)

    @cached_property
    def free(self) -> bool:
        """Whether its targets rise too, or jump: then the line comes round, and the ramp before and the next hold the cutter."""
        whole = bool(self.targets) and self.span == self.sector  # an upright face stands between two ramps
        return whole or any(b <= a or deeper < depth for (a, depth), (b, deeper) in pairwise(self.targets))

    @property
    def deepest(self) -> Fraction:
        """Depth of its lowest place below the face, mm."""
        return max(depth for _, depth in self.targets) if self.targets else self.start_depth + self.rise

    @cached_property
    def wanted(self) -> Line:
        """The wanted depth along the angle."""
        if self.targets:
            period = float(self.sector) if self.free else None
            return line_by_targets(tuple((float(a), float(d)) for a, d in self.targets), period=period)
        return line_by_motion(
            self.law,
            float(self.span),
            float(self.rise),
            float(self.start_depth),
            float(self.lead_in),
            float(self.lead_out),
        )

    def angle_at(self, radius: float) -> float:
        """Return the ramp's steepest angle at a radius, degrees.

        Examples
        --------
        >>> ring = Ramp(Fraction(40), Fraction(30), Fraction(180), Fraction(2))
        >>> round(ring.angle_at(20.0), 3)
        1.823
        """
        return math.degrees(math.atan(self.wanted.steepest / math.radians(radius)))

    def hollow(self, radius: float) -> float:
        """Return the smallest radius of the hollow parts of the surface, mm; infinite when there is none.

        Corners between straight targets are not counted: no cutter fits one, and what stands in it is measured.

        Notes
        -----
        Curvature of the unrolled line y(x), x = radius x angle: |y''| / (1 + y'^2)^(3/2), where the depth bends back
        (y'' < 0).  The second derivative is taken by differences of the exact first one.
        """
        wanted = self.wanted
        if wanted.straight:
            return math.inf
        unit = math.radians(radius)
        step = wanted.span / 720
        sharpest = 0.0
        for k in range(1, 720):
            at = k * step
            if any(abs(at - joint) < step for joint in wanted.joints):
                continue
            bend = (wanted.slope(at + step / 2) - wanted.slope(at - step / 2)) / step / unit**2
            slope = wanted.slope(at) / unit
            if bend < 0:
                sharpest = max(sharpest, -bend / (1 + slope * slope) ** 1.5)
        return 1 / sharpest if sharpest > 1e-12 else math.inf
