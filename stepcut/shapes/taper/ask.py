"""What may be asked of a taper."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stepcut.errors import BadValue, nearest
from stepcut.fields import Field
from stepcut.machine import Machine
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning
from stepcut.shop import tapers

FIELDS = (
    Field("large", "length", "Diameter at the large end."),
    Field("small", "length", "Diameter at the small end."),
    Field("length", "length", "Length of the taper along the axis."),
    Field("per-side", "angle", "Angle each side, from the axis."),
    Field("included", "angle", "Included (total) angle, both sides together."),
    Field("per-foot", "length", "Change of diameter in one foot."),
    Field("ratio", "text", "Taper such as 1:20, or 7:24: change of diameter to length."),
    Field("standard", "text", "A standard taper by name, such as Morse 2."),
    Field("angle", "text", "Not used alone: say per-side or included."),
    Field("side", "choice", "Outside of a cone, or a bore.", default="outside", choices=("outside", "bore")),
    Field("work-length", "length", "Length of the work between centres, for the tailstock set-over."),
    Field("sine-bar", "length", "Length of your sine bar."),
    Field("bores", "lengths", "Bores to seat on the cone as a centring seat."),
    Field("by", "choice", "Steps, or one of the set-ups that need none.", default="steps", choices=("steps", "compound", "set-over", "sine-bar")),
    *TURNED_FIELDS,
)  # fmt: skip


def _ratio(values: Mapping[str, Any]) -> Fraction | None:
    """Return change of diameter over length from whichever way it is given; None when by two diameters and a length."""
    if values["angle"] is not None:
        raise BadValue(
            "angle",
            values["angle"],
            "does not say whether it is each side or total",
            "Give per-side or included instead.",
        )
    given = [key for key in ("per-side", "included", "per-foot", "ratio", "standard") if values[key] is not None]
    if len(given) > 1:
        raise BadValue(given[1], None, f"does not go with {given[0]}", "Leave one of them out.")
    if not given:
        return None
    key = given[0]
    if key in ("per-side", "included"):
        half = float(values[key]) / (1 if key == "per-side" else 2)
        if half >= 80:
            raise BadValue(
                key, f"{float(values[key]):g} deg", "is too blunt for a taper", "Each side must be below 80 degrees."
            )
        return Fraction(tapers.ratio_of(half))
    if key == "per-foot":
        return Fraction(values[key]) / (12 * tapers.INCH)
    if key == "standard":
        found = tapers.standard(values[key])
        if found is None:
            names = [each.name for each in tapers.STANDARDS]
            way = f"Known are Morse 0 to 7 and 4-1/2, Brown & Sharpe 1, 4 and 7, Jarno 2 to 20, 7/24, metric 1:20.{nearest(values[key], names)}"
            raise BadValue("standard", values[key], "is no standard taper that is known here", way)
        return found.ratio
    return _colon(values[key])


def _colon(text: str) -> Fraction:
    left, colon, right = text.partition(":")
    try:
        ratio = Fraction(left.strip()) / Fraction(right.strip()) if colon and len(text) < 24 else Fraction(0)
    except (ValueError, ZeroDivisionError):
        ratio = Fraction(0)
    if not 0 < ratio < 10:
        raise BadValue("ratio", text, "is not a taper", "Write it like 1:20 or 7:24.")
    return ratio


def _sizes(values: Mapping[str, Any]) -> tuple[Fraction, Fraction, Fraction]:
    """Return large and small diameter and length from any three things that say them.

    Raises
    ------
    BadValue
        When there are too few, or one too many that does not agree.
    """
    ratio = _ratio(values)
    large, small, length = values["large"], values["small"], values["length"]
    known = tapers.standard(values["standard"]) if values["standard"] is not None else None
    if known is not None and large is None and small is None:
        large, length = known.large, length or known.length
    if ratio is not None:
        missing = [key for key, value in (("large", large), ("small", small), ("length", length)) if value is None]
        if len(missing) > 1:
            raise BadValue(missing[0], None, "is missing", "Give two of large, small and length beside the angle.")
        if not missing:
            makes = (large - small) / length
            if abs(makes - ratio) * length > Fraction(1, 1000):
                rule = (
                    f"does not agree with large, small and length, which make 1:{float(1 / makes):.3f}"
                    if makes > 0
                    else "does not agree with large and small"
                )
                key = next(
                    k for k in ("per-side", "included", "per-foot", "ratio", "standard") if values[k] is not None
                )
                raise BadValue(key, None, rule, "Leave one of them out.")
        length = length if length is not None else (large - small) / ratio
        large = large if large is not None else small + ratio * length
        small = small if small is not None else large - ratio * length
    for key, value in (("large", large), ("small", small), ("length", length)):
        if value is None:
            raise BadValue(key, None, "is missing", "Give large, small and length, or an angle with two of them.")
    if small >= large:
        raise BadValue(
            "small",
            f"{float(small):g} mm",
            f"must be smaller than large = {float(large):g} mm",
            "Check that they are not swapped.",
        )
    if small < 0 or length <= 0:
        raise BadValue(
            "length", f"{float(length):g} mm", "runs past the point of the cone", "Shorten it, or check the angle."
        )
    return (
        Fraction(large).limit_denominator(10**9),
        Fraction(small).limit_denominator(10**9),
        Fraction(length).limit_denominator(10**9),
    )


def build(values: Mapping[str, Any], machine: Machine) -> Plan:
    """Return the solved plan of a taper."""
    from dataclasses import replace

    from stepcut.shapes.turned.task import solve
    from stepcut.shapes.turned.wanted import taper

    large, small, length = _sizes(values)
    side = values["side"]
    if side == "bore" and values["on"] == "mill":
        raise BadValue("on", "mill", "does not go with a bore", "Bore it on the lathe.")
    turning = read_turning(values)
    half = tapers.half_angle((large - small) / length)
    target = {
        "large_diameter": float(large), "small_diameter": float(small), "length": float(length), "side": side,
        "per_side": half, "included": 2 * half, "taper_per_foot": float((large - small) / length) * 12,
        "ratio": float(length / (large - small)),
    }  # fmt: skip
    facts = {"sizes": (large, small, length), "half_angle": half, "side": side, "values": dict(values)}
    plan = solve(taper(large, small, length, side), turning, machine, "taper", target, facts)
    return plan if values["by"] == "steps" else replace(plan, stops=())
