"""What is found in the readings of a part: a shape with the limits of its figures, or why it is none.

Lengths are mm, angles degrees.
"""

from __future__ import annotations

from msgspec import Struct

from stepcut.machine import Turning

WIDE = 0.25  # of a figure, from the least to the most: it is told no closer then, and no one size is said


class Figure(Struct, frozen=True):
    """One number of a shape: the likeliest, and the least and most that the readings allow."""

    best: float
    low: float
    high: float


class Found(Struct, frozen=True):
    """A shape that fits.

    Parameters
    ----------
    shape : str
        ramp, taper, radius, fillet or cam.
    motions : tuple of str
        Motions that the readings allow, the likeliest first; empty for turned shapes.
    ramps : tuple of int
        Numbers of ramps that they allow.
    rises : str or None
        The hand of a ramp, seen facing it.
    figures : mapping
        By name: rise, span, start (depth of the high end), high (place of the high end of one ramp), slope (mm a degree);
        slope (change of diameter over length), large, small, length; radius, centre (along the axis), axis (centre above it); of
        a fillet diameter, radius, at (where it begins); of a cam base, lift, rise-begin, rise-span, fall-span, fall-end.
    left : tuple of float
        What each reading stands over (+) the shape or under it, mm.
    scatter : float
        Their spread, mm (one standard deviation).
    """

    shape: str
    figures: dict[str, Figure]
    left: tuple[float, ...]
    scatter: float
    motions: tuple[str, ...] = ()
    ramps: tuple[int, ...] = ()
    rises: Turning | None = None
    hollow: bool = False  # of an arc: it bends toward the axis
    falls: tuple[str, ...] = ()  # of a cam: motions that its fall allows; the others are those of its rise

    @property
    def unsure(self) -> tuple[str, ...]:
        """Names of figures that the readings bound but do not tell."""
        against = {"start": "rise", "high": "span", "dwell-high": "span", "dwell-low": "span", "at": "radius", "centre": "radius", "axis": "radius",
                   "rise-begin": "rise-span", "fall-end": "fall-span"}  # fmt: skip
        sizes = {name: self.figures[against.get(name, name)].best for name in self.figures}
        return tuple(name for name, f in self.figures.items() if f.high - f.low > WIDE * abs(sizes[name]))


class Nothing(Struct, frozen=True):
    """No shape: why, and the figures of the sentence."""

    code: str
    scatter: float = 0.0
    rise: float = 0.0
    place: int | None = None  # the reading that was misread, by its index
    rises: tuple[float, ...] = ()  # of ramps that differ, mm
