"""What is told of a taper: its angle, the settings that cut it, what an error does, its test readings, whether it sticks."""

from __future__ import annotations

import math
from fractions import Fraction

from stepcut.acts import Fact
from stepcut.plan import Plan
from stepcut.shapes.turned.bench import TaperSizes
from stepcut.shop import tapers
from stepcut.voice import Voice
from stepcut.written import angle_text

SINE_BAR = {"in": Fraction(127), "mm": Fraction(100)}  # mm, where yours was not said
BLUNT = 20.0  # degrees each side: no taper so blunt sticks, and no gauge is made for it; common practice, no source
GRAINS = {
    "in": tuple(Fraction(n, 8) * Fraction(254, 10) for n in (16, 12, 8, 6, 4, 3, 2, 1)),
    "mm": tuple(Fraction(n) for n in (50, 40, 30, 25, 20, 15, 10, 8, 6, 5, 4, 3, 2)),
}  # round lengths to move the carriage by
REST = {
    "in": Fraction(254, 1000),
    "mm": Fraction(1, 4),
}  # left on the radius for the finish; common practice, no source
DIVISION = {"in": Fraction(254, 10000), "mm": Fraction(1, 100)}  # a thousandth, or a hundredth, on the diameter


def neat(size: Fraction, voice: Voice) -> str:
    """Return a size as it was said, or as it is measured where it was worked out and has more digits than anyone can set."""
    said = voice.size(size)
    return said if len(said) <= len(voice.length(size)) else voice.length(size)


def sine(degrees: float) -> float:
    """Return the sine of an angle in degrees."""
    return math.sin(math.radians(degrees))


def cosine(degrees: float) -> float:
    """Return the cosine of an angle in degrees."""
    return math.cos(math.radians(degrees))


def tangent(degrees: float) -> float:
    """Return the tangent of an angle in degrees."""
    return math.tan(math.radians(degrees))


def rows_of(plan: Plan, voice: Voice) -> tuple[Fact, ...]:
    """Return the set-ups of a taper: compound, tailstock, sine bar, and what an error does."""
    sizes: TaperSizes = plan.details.taper
    large, small, length = float(sizes.large), float(sizes.small), float(sizes.length)
    half = sizes.half_angle
    rows = [
        (
            "Taper",
            f"{neat(sizes.large, voice)} to {neat(sizes.small, voice)} in {voice.length(length)}, {sizes.side}",
        ),
        (
            "Angle",
            f"{angle_text(half, places=4)} EACH SIDE, {angle_text(2 * half, places=4)} TOTAL; 1:{length / (large - small):.3f}",
        ),
    ]
    compound = plan.machine.compound
    if compound is not None and sizes.by != "set-over":
        setting = tapers.compound_setting(half, compound.zero)
        nearest = round(setting / float(compound.division)) * float(compound.division)
        zero = {"along": "0 stands ALONG the ways", "across": "0 stands ACROSS the ways"}[compound.zero]
        doubled = bool(plan.machine.cross and plan.machine.cross.doubled)
        back = 25.4 if voice.unit == "in" else 25.0
        check = back * sine(half) * (2 if doubled else 1)
        ahead = float(compound.scale.clear(voice.unit))
        travel = length / cosine(half) + ahead
        room = "enough" if travel <= float(compound.travel) else f"TOO SHORT: it has {voice.length(compound.travel)}"
        dial = " DIAMETER" if doubled else " RADIUS"
        rows += [
            ("Compound", f"set {angle_text(setting, places=2)} on its scale ({zero}); nearest mark {angle_text(nearest, places=2)}, then by the check"),
            ("Check", f"back the compound off {voice.length(back)}, touch with the cross-slide: it must move {voice.length(check)} on its{dial} dial"),
            ("Feed", f"compound {voice.length(0.254 / sine(half) if voice.unit == 'in' else 0.1 / sine(half))} for "
                     f"{voice.length(0.254 if voice.unit == 'in' else 0.1)} on the radius; travel needed {voice.length(travel)}, {voice.length(ahead)} of it in front of the face: {room}"),
        ]  # fmt: skip
    if sizes.work_length is not None:
        work = float(sizes.work_length)
        over = tapers.set_over(large, small, length, work)
        rows.append(("Tailstock", f"set over {voice.length(over)} for work {voice.length(work)} between centres"))
    if sizes.by == "sine-bar" or sizes.sine_bar is not None:
        bar = float(sizes.sine_bar or SINE_BAR[voice.unit])
        rows.append(("Sine bar", f"{voice.size(bar)} bar: blocks {voice.length(tapers.sine_block(bar, half))} for each side, "
                                 f"{voice.length(tapers.sine_block(bar, 2 * half))} for the total"))  # fmt: skip
    off = tapers.error_on_diameter(length, half, 0.5)
    rows.append(("Angle off", f"half a degree each side changes the diameter by {voice.length(off)} over the length"))
    rows += _measure(sizes, voice)
    if half < BLUNT:
        rows.append(("Hold", _sticks(half)))
    rows += [(f"Bore {voice.size(bore)}", _seat(float(bore), small, large, half, voice)) for bore in sizes.bores]
    return tuple(rows)


def _measure(sizes: TaperSizes, voice: Voice) -> tuple[Fact, ...]:
    """Return test readings: over two rolls for a cone, down to two balls in a bore."""
    large, small, half = float(sizes.large), float(sizes.small), sizes.half_angle
    unit = 25.4 / 16 if voice.unit == "in" else 1.0
    if sizes.side == "outside":
        roll = unit * max(2, round(small / 4 / unit))
        block = unit * max(4, round(float(sizes.length) / 2 / unit))
        low, high = tapers.over_rolls(small, roll, half), tapers.over_rolls(small, roll, half, block)
        if small < roll:  # it stands on a point
            return ()
        return (
            (
                "Over rolls",
                f"small end on a plate, two {voice.size(roll)} rolls: {voice.length(low)}; both on {voice.size(block)} blocks: {voice.length(high)}",
            ),
        )
    balls = [unit * round(size / unit) for size in (small + (large - small) * 0.3, small + (large - small) * 0.8)]
    if balls[0] == balls[1] or balls[0] * cosine(half) < small * 0.9:
        return (("Over balls", "the bore is too short or too narrow for two balls of a whole size"),)
    depths = [f"{voice.size(ball)} ball {voice.length(tapers.ball_depth(large, ball, half))}" for ball in balls]
    return (("Over balls", f"from the face down to the top of the {' and of the '.join(depths)}; a minus stands out"),)


def _sticks(half: float) -> str:
    low, high = tapers.sticks(half, 0.08), tapers.sticks(half, 0.15)
    verdict = "sticks, oiled or dry" if low else "may stick when dry, lets go when oiled" if high else "does not stick"
    return f"{verdict}; taken friction 0.08 oiled to 0.15 nearly dry, steel on steel"


def _seat(bore: float, small: float, large: float, half: float, voice: Voice) -> str:
    if not small < bore < large:
        return f"does not seat: the cone takes {voice.length(small)} to {voice.length(large)}"
    return f"sits {voice.length(tapers.seat_depth(bore, small, half))} from the small end"


def indicated(half: float, long: float, unit: str) -> tuple[Fraction, float, float] | None:
    """Return what an indicator shows along a cone: over which length of the axis, how much, and the minutes that one division is off.

    Parameters
    ----------
    half : float
        Angle each side, degrees.
    long : float
        Length of the cone that stands, mm.
    unit : str
        in or mm.

    Returns
    -------
    tuple of (Fraction, float, float) or None
        Length and reading, mm, and minutes of arc; None where the cone is too short.

    Notes
    -----
    Over a length c of the axis the radius changes by c tan a; an error e of that reading is e cos^2 a / c of the angle.

    Examples
    --------
    >>> length, reading, minutes = indicated(30.0, 40.0, "mm")
    >>> int(length), round(reading, 3), round(minutes, 2)
    (30, 17.321, 0.86)
    """
    length = next((grain for grain in GRAINS[unit] if grain <= 0.8 * long), None)
    if length is None:
        return None
    return (
        length,
        float(length) * tangent(half),
        math.degrees(float(DIVISION[unit]) * cosine(half) ** 2 / float(length)) * 60,
    )


def stand_off(sizes: TaperSizes, over: Fraction) -> float:
    """Return how far along the axis a gauge stands off for so much stock on the diameter, mm.

    Examples
    --------
    >>> stand_off(TaperSizes(Fraction(30), Fraction(25), Fraction(100), 1.4321), Fraction(1, 2))
    10.0
    """
    return float(over * sizes.length / (sizes.large - sizes.small))
