"""What may be asked of a taper."""

from __future__ import annotations

from fractions import Fraction

from stepcut.errors import BadValue
from stepcut.fields import Field, Values
from stepcut.machine import Machine
from stepcut.phrases import Taper
from stepcut.plan import Plan
from stepcut.shapes.turned.ask import TURNED_FIELDS, read_turning
from stepcut.shop import tapers

EXAMPLES = (
    "taper --large 0.700in --taper MT2 --length 2-1/2in --by compound --machine inch",
    "taper --large 30mm --length 90mm --taper 1:20 --tool round --nose 1.5mm --scallop 0.04mm",
)
FIELDS = (
    Field("large", "length", "Diameter at the large end."),
    Field("small", "length", "Diameter at the small end; 0mm for a point.", rule="not-negative"),
    Field("length", "length", "Length of the taper along the axis."),
    Field("per-side", "angle", "Angle each side, from the axis."),
    Field("included", "angle", "Included (total) angle, both sides together."),
    Field("taper", "taper", "Change of diameter: 0.600in/ft, 1:20, 1/20, or a standard taper by name, MT2."),
    Field("angle", "text", "Not used alone: say per-side or included."),
    Field("side", "choice", "Outside of a cone, or a bore.", default="outside", choices=("outside", "bore")),
    Field("work-length", "length", "Length of the whole part between its centres; a set-over tailstock needs it."),
    Field("sine-bar", "length", "Length of your sine bar."),
    Field("bores", "lengths", "Bores to seat on the cone as a centring seat."),
    Field("by", "choice", "Steps, or one of the set-ups that need none.", default="steps", choices=("steps", "compound", "set-over", "sine-bar")),
    *TURNED_FIELDS,
)  # fmt: skip
SIZES = ("standard", "large", "small", "length", "ratio")  # they tell one part from another
TOGETHER = (
    ("large", "small"),
    ("large", "length"),
    ("large", "blank"),
    ("large", "bores"),
    ("length", "work-length"),
)  # usually change together; common practice, no source


WAYS = ("per-side", "included", "taper")


def _slope(values: Values) -> Taper | None:
    """Return change of diameter over length from whichever way it is given; None when by two diameters and a length."""
    if values["angle"] is not None:
        rule = "does not say whether it is each side or total"
        raise BadValue("angle", values["angle"], rule, "Give per-side or included instead.")
    given = [key for key in WAYS if values[key] is not None]
    if len(given) > 1:
        raise BadValue(given[1], None, f"does not go with {given[0]}", "Leave one of them out.")
    if not given:
        return None
    key = given[0]
    if key == "taper":
        return values[key]  # type: ignore[no-any-return]  # its field reads a Taper
    half = float(values[key]) / (1 if key == "per-side" else 2)
    if half >= 80:
        rule = "is too blunt for a taper"
        raise BadValue(key, values.said(key), rule, "Each side must be below 80 degrees.")
    return Taper(Fraction(tapers.ratio_of(half)))


def _sizes(values: Values) -> tuple[Fraction, Fraction, Fraction]:
    """Return large and small diameter and length from any three things that say them.

    Raises
    ------
    BadValue
        When there are too few, or one too many that does not agree.
    """
    slope = _slope(values)
    large, small, length = values["large"], values["small"], values["length"]
    known = slope.standard if slope is not None else None
    if known is not None and known.large is not None and large is None and small is None:
        large, length = known.large, length or known.length
    if slope is not None:
        missing = [key for key, value in (("large", large), ("small", small), ("length", length)) if value is None]
        if len(missing) > 1:
            raise BadValue(missing[0], None, "is missing", "Give two of large, small and length beside the taper.")
        if not missing:
            _agree(values, slope.ratio, (large - small) / length)
        length = length if length is not None else (large - small) / slope.ratio
        large = large if large is not None else small + slope.ratio * length
        small = small if small is not None else large - slope.ratio * length
    for key, value in (("large", large), ("small", small), ("length", length)):
        if value is None:
            raise BadValue(key, None, "is missing", "Give large, small and length, or a taper with two of them.")
    if values["large"] is not None and values["small"] is not None and small >= large:
        rule = f"must be smaller than large = {values.said('large')}"
        raise BadValue("small", values.said("small"), rule, "Check that they are not swapped.")
    if small < 0 or length <= 0:
        most = large / slope.ratio if slope is not None else length
        rule = f"runs past the point of the cone, {values.size(most)} from the large end"
        given = values.said("length") if values["length"] is not None else values.size(length)
        raise BadValue("length", given, rule, "Shorten it, or check the angle.")
    return (
        Fraction(large).limit_denominator(10**9),
        Fraction(small).limit_denominator(10**9),
        Fraction(length).limit_denominator(10**9),
    )


def _agree(values: Values, ratio: Fraction, makes: Fraction) -> None:
    """Refuse a taper that is said twice, in two ways that differ by more than a micron on the diameter."""
    if abs(makes - ratio) * values["length"] <= Fraction(1, 1000):
        return
    rule = "does not agree with large and small"
    if makes > 0:
        rule = f"does not agree with large, small and length, which make 1:{float(1 / makes):.3f}"
    key = next(key for key in WAYS if values[key] is not None)
    raise BadValue(key, values.said(key), rule, "Leave one of them out.")


def _check_set_over(values: Values, small: Fraction, length: Fraction) -> None:
    """Refuse a set-over tailstock for what no two centres hold, and where its amount would be a guess, which spoils the part."""
    what = None
    if values["side"] == "bore":
        what = "a bore: it is not turned between centres"
    elif not small:
        what = "a point: no centre holds it"
    if what is not None:
        raise BadValue("by", values["by"], f"does not go with {what}", "Give by = compound.")
    work = values["work-length"]
    if work is None:
        rule = "is missing: the set-over grows with the length between the centres"
        raise BadValue(
            "work-length", None, rule, f"Measure the whole part and give that, such as {values.like('7in', '180mm')}."
        )
    if work < length:
        rule = f"is shorter than the taper, {values.size(length)}"
        raise BadValue(
            "work-length", values.said("work-length"), rule, "Give the length of the whole part, not of the taper."
        )


STAIR = (
    "step",
    "cuts",
    "scallop",
    "tool-width",
    "headstock-edge",
    "tailstock-edge",
)  # of no use where a pass is a whole cone


def _not_used(values: Values) -> tuple[str, ...]:
    """Return what was given and is of no use to whole cones, as it was given; the mill is refused, as it turns none."""
    by = values["by"]
    if by == "steps":
        return ()
    if values["on"] == "mill":
        raise BadValue("on", "mill", f"does not go with by = {by}", "Leave it out, or give by = steps.")
    return tuple(f"{key} = {values.said(key)}" for key in STAIR if values[key] is not None)


def build(values: Values, machine: Machine) -> Plan:
    """Return the solved plan of a taper."""
    from stepcut.shapes.turned.bench import TaperSizes
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
    sizes = TaperSizes(
        large, small, length, half, side, values["work-length"], values["sine-bar"], tuple(values["bores"] or ()), values["by"], _not_used(values),
    )  # fmt: skip
    by = values["by"]
    if by == "set-over":
        _check_set_over(values, small, length)
    if by != "steps":
        from stepcut.shapes.taper.cones import solve as by_cones

        return by_cones(turning, machine, target, sizes)
    return solve(taper(large, small, length, side), turning, machine, "taper", target, sizes)
