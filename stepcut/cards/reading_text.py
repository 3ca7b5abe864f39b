"""What a measured part is, in shop words: the shape, its figures with least and most, and what is left over."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from textwrap import wrap

from stepcut.measured import Measured
from stepcut.shop.found_shape import Found, Nothing
from stepcut.shop.reading import CLEAR, EACH, FEWEST
from stepcut.shop.tapers import STANDARDS, half_angle
from stepcut.voice import Voice

NONE = {
    "too-few": "there are too few readings. Take {fewest} or more round a table ({each} for each ramp), 5 or more along a turned part.",
    "no-rise": "the depth does not grow anywhere. Measure the whole ramp, its high and its low end too.",
    "no-slope": "no slope stands out of the scatter of {scatter}. Measure over a longer stretch, or more places.",
    "scatter": "the nearest shape would rise {rise}, and the readings scatter {scatter} about it; a shape must stand {clear:.0f} "
               "times out of its scatter. Measure again, more places.",
    "waves": "what is left over runs in waves of {scatter}, not as readings scatter. It is another shape, or it moved while it was "
             "measured.",
    "lobes": "round the rim there is not one way up and one way down. A cam of several lobes is not found, nor one that the scatter hides.",
    "part-rim": "more than a quarter of the rim has no readings. A cam is found from readings all round it; measure the rest too, its base as well.",
    "misread": "the reading at {place}, {read}, does not go with the others, which are a shape. Measure it again, or leave it out.",
    "unlike": "the ramps are not alike: each by itself they rise about {rises}. Read each by itself: only its own readings, with --ramps.",
    "bent": "a step or a bend along it fits far better than one cone or arc. Read each stretch by itself.",
    "error": "readings are off the nearest shape by more than --error, {scatter} as a rule. It is another shape.",
}  # fmt: skip


def found_text(found: Found | Nothing, measured: Measured, turning: str, voice: Voice, width: int) -> str:
    """Return the answer, and every reading with what it stands over the shape."""
    if isinstance(found, Nothing):
        return none_text(found, measured, voice, width)
    words = {"ramp": _ramp, "taper": _taper, "radius": _radius, "fillet": _fillet, "cam": _cam}[found.shape](
        found, voice, turning
    )
    lines = [line for text in words for line in wrap(text, width, subsequent_indent="  ")]
    worst = max(range(len(found.left)), key=lambda k: abs(found.left[k]))
    place = _place(measured.rows[worst][0], measured, voice)
    told = (
        f"Readings scatter {voice.length(found.scatter)} about it; the farthest, at {place}, is off by "
        f"{voice.length(abs(found.left[worst]))}. All these limits hold together in 95 of 100 parts measured like this."
    )
    lines += ["", *wrap(told, width), "", f"{'place':>12}{'read':>14}{'stands over':>16}"]
    for (at, value), left in zip(measured.rows, found.left, strict=True):
        lines.append(f"{_place(at, measured, voice):>12}{voice.length(value):>14}{_signed(left, voice):>16}")
    return "\n".join(lines)


def none_text(nothing: Nothing, measured: Measured, voice: Voice, width: int) -> str:
    """Return why it is no shape."""
    at, value = measured.rows[nothing.place or 0]
    text = NONE[nothing.code].format(
        scatter=voice.length(nothing.scatter), rise=voice.length(nothing.rise), clear=CLEAR, fewest=FEWEST, each=EACH,
        place=_place(at, measured, voice), read=voice.length(value), rises=", ".join(map(voice.length, nothing.rises)),
    )  # fmt: skip
    return "\n".join(wrap(f"NO SHAPE: {text}", width))


def _place(at: Fraction, measured: Measured, voice: Voice) -> str:
    return voice.angle(at) if measured.along == "angle" else voice.length(at)


def _signed(mm: float, voice: Voice) -> str:
    return f"{'+' if mm >= 0 else '-'}{voice.length(abs(mm))}"


def _length(found: Found, name: str, voice: Voice) -> str:
    figure = found.figures[name]
    if name in found.unsure:
        return f"somewhere between {voice.length(figure.low)} and {voice.length(figure.high)}: told no closer"
    return f"{voice.length(figure.best)}, {voice.length(figure.low)} to {voice.length(figure.high)}"


def _angle(found: Found, name: str, voice: Voice, turn: bool = False) -> str:
    figure = found.figures[name]
    best, low, high = (voice.angle(v % 360 if turn else v) for v in (figure.best, figure.low, figure.high))
    if name in found.unsure:
        return f"somewhere between {low} and {high}: told no closer"
    return f"{best}, {low} to {high}"


def _ramp(found: Found, voice: Voice, turning: str) -> list[str]:
    figures, several = found.figures, len(found.ramps) > 1
    counts = " or ".join(str(n) for n in found.ramps)
    lines = [
        f"RAMP{'S' if found.ramps[-1] > 1 else ''}: {counts}, rising {found.rises}, seen facing {'them' if found.ramps[-1] > 1 else 'it'} (angles taken to grow {turning} there)."
    ]
    if several:
        lines.append("How many there are round the part these readings do not say; measure on, or give --ramps.")
    if len(found.motions) == 1:
        lines.append(f"Motion {found.motions[0]}.")
    else:
        lines.append(
            f"Motion {found.motions[0]}; {', '.join(found.motions[1:])} would fit too. The limits below hold for all of them."
        )
    lines += [
        f"Rise {_length(found, 'rise', voice)}.",
        f"Span {_angle(found, 'span', voice)}.",
        f"High end {_length(found, 'start', voice)} below the zero of the depths.",
        f"High end of one ramp at {_angle(found, 'high', voice, turn=True)}.",
        f"Slope, as a mean, {10 * figures['slope'].best / _unit(voice):.5f} {voice.unit} in 10°, {10 * figures['slope'].low / _unit(voice):.5f} to {10 * figures['slope'].high / _unit(voice):.5f}.",
    ]  # fmt: skip
    if "span" in found.unsure or "rise" in found.unsure:
        lines.append(
            "Where it ends these readings do not say. Measure on, past its high and its low end, as far as the level or the next riser."
        )
    dwells = [f"{end} {_angle(found, f'dwell-{end}', voice)}" for end in ("high", "low") if f"dwell-{end}" in figures]
    if dwells:
        lines.append(f"Level at its ends: {'; '.join(dwells)}.")
    return lines


def _motions(found: Sequence[str]) -> str:
    return found[0] if len(found) == 1 else f"{found[0]} ({', '.join(found[1:])} would fit too)"


def _cam(found: Found, voice: Voice, turning: str) -> list[str]:
    figures = found.figures
    top = (
        (figures["fall-end"].best - figures["rise-begin"].best) % 360
        - figures["rise-span"].best
        - figures["fall-span"].best
    )
    return [
        f"CAM: one rise and one fall, angles taken to grow {turning}, seen facing it.",
        f"Base radius {_length(found, 'base', voice)}.",
        f"Lift {_length(found, 'lift', voice)}.",
        f"Rise from {_angle(found, 'rise-begin', voice, turn=True)}, in {_angle(found, 'rise-span', voice)}, {_motions(found.motions)}.",
        f"Fall to {_angle(found, 'fall-end', voice, turn=True)}, in {_angle(found, 'fall-span', voice)}, {_motions(found.falls)}.",
        f"Between them it stays up for about {voice.angle(max(0.0, top))}.",
    ]


def _fillet(found: Found, voice: Voice, _: str) -> list[str]:
    return [
        "FILLET, from a cylinder to a shoulder.",
        f"Radius {_length(found, 'radius', voice)}.",
        f"Cylinder {_length(found, 'diameter', voice)} in diameter.",
        f"It begins along the axis at {_length(found, 'at', voice)}.",
    ]


def _unit(voice: Voice) -> float:
    return 25.4 if voice.unit == "in" else 1.0


def _taper(found: Found, voice: Voice, _: str) -> list[str]:
    slope = found.figures["slope"]
    sides = [half_angle(value) for value in (slope.best, slope.low, slope.high)]
    lines = [
        "TAPER, straight.",
        f"Diameter {_length(found, 'small', voice)} at the small end, {_length(found, 'large', voice)} at the large one, "
        f"{voice.length(found.figures['length'].best)} apart.",
        f"Each side {sides[0]:.3f}°, {sides[1]:.3f}° to {sides[2]:.3f}°; total {2 * sides[0]:.3f}°; "
        f"1:{1 / slope.best:.2f}; {12 * slope.best:.4f} in a foot.",
    ]
    names = [each.name for each in STANDARDS if slope.low <= float(each.ratio) <= slope.high]
    if names:
        shown = [name for name in names if not name.startswith("Jarno")] + ["Jarno"] * any("Jarno" in n for n in names)
        lines.append(f"The readings allow these standard tapers: {', '.join(shown)}.")
    return lines


def _radius(found: Found, voice: Voice, _: str) -> list[str]:
    figures = found.figures
    ball = not found.hollow and figures["axis"].low <= 0 <= figures["axis"].high
    kind = "BALL" if ball else "ARC, hollow" if found.hollow else "ARC, standing out"
    lines = [f"{kind}.", f"Radius {_length(found, 'radius', voice)}.", f"Centre along the axis at {_length(found, 'centre', voice)}."]  # fmt: skip
    if not ball:
        lines.append(f"Centre off the axis by {_length(found, 'axis', voice)}.")
    return lines
