"""``stepcut lock``: whether a ramp holds, and the torque to lock and release it."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Sets, Text, UseName, Width
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.shop.blueing import Use
    from stepcut.voice import Voice

STEEPEST = 60  # degrees; what stands steeper is no ramp that could hold
UNSAID = "Not judged: it is no plain ramp, and its recipe does not say what it is for. Say --for clamp, dog or lift."
LEANS = 45  # degrees that a thread's flank may lean


def _body(
    recipe: Annotated[Text, typer.Argument(help="Recipe of a ramp; or give angle and radius.")] = None,
    angle: Annotated[Text, typer.Option("--angle", help="Ramp angle at the middle of the wall.")] = None,
    radius: Annotated[Text, typer.Option("--radius", help="Radius of the middle of the wall.")] = None,
    clamp: Annotated[str, typer.Option("--clamp", help="Clamp force.")] = "",
    friction: Annotated[Text, typer.Option("--friction", help="One friction instead of the usual three.")] = None,
    collar: Annotated[
        Text, typer.Option("--collar", help="Mean radius of a second face that slides, such as a washer's.")
    ] = None,
    collar_friction: Annotated[
        Text, typer.Option("--collar-friction", help="Its friction; the same if left out.")
    ] = None,
    flank: Annotated[
        Text, typer.Option("--flank", help="Lean of a thread's flank: half the thread's angle, 14.5deg for Acme.")
    ] = None,
    use: UseName = None,
    gap: Annotated[Text, typer.Option("--gap", help="Gap that the handle of a clamp must open, such as 0.5mm.")] = None,
    set_: Sets = None,
    width: Width = None,
    unit: Annotated[Text, typer.Option("--unit", help="in or mm.")] = None,
) -> int:
    """Say whether a ramp holds over a range of friction, and the torque to lock and release it."""
    from stepcut import gate
    from stepcut.cards.lock_text import lock_notes, lock_table
    from stepcut.cards.verdict_text import held_text
    from stepcut.cli import screen
    from stepcut.shop.lock import FRICTIONS, locking

    if recipe is not None:
        degrees, middle, voice, lines, for_, judged = _of_recipe(recipe, set_, use, gap)
    elif angle is not None and radius is not None:
        degrees, middle, voice, lines, for_ = _of_sizes(angle, radius, unit, use, gap)
        judged = False
    else:
        raise BadValue("recipe", None, "is missing", "Name a recipe, or give --angle and --radius.")
    text = clamp or ("2kN" if voice.unit == "mm" else "500lbf")
    force, frictions = _force(text), (_friction("friction", friction),) if friction is not None else FRICTIONS
    face, of_face = _face(collar, collar_friction, unit)
    lean = _lean(flank)
    rows = [locking(degrees, middle, force, f, face, of_face if of_face is not None else f, lean) for f in frictions]
    second = f"a second face at radius {voice.length(face)}" if face else "no second face"
    columns = screen.width(width)
    held = held_text(rows, degrees, middle, for_, voice) if judged or for_ is not None else ""
    lines[:0] = [held] if held else []
    lines += [f"Clamp force {gate.line(text)}, one sliding ramp, {second}.", "", lock_table(rows, voice, columns), ""]
    lines += lock_notes(rows, lean)
    screen.show(
        "\n".join(line for text in lines for line in (wrap(text, columns) if text and "\n" not in text else [text]))
    )
    return 0


def _of_sizes(
    angle: str, radius: str, unit: Text, use: Text, gap: Text
) -> tuple[float, float, Voice, list[str], Use | None]:
    """Return angle, middle radius (mm), voice, what is said first and the use of a ramp that is told by its sizes."""
    from stepcut.cli import at_machine
    from stepcut.quantity import parse_angle, parse_length
    from stepcut.voice import Voice

    degrees, middle = float(parse_angle(angle, "angle")), float(parse_length(radius, "radius", unit))
    if not 0 <= degrees < STEEPEST:
        rule = f"must be from 0 to less than {STEEPEST} degrees"
        raise BadValue("angle", angle, rule, "Give the ramp's angle at its middle radius.")
    if middle <= 0:
        raise BadValue("radius", radius, "must be greater than 0", "Give the middle radius of the wall.")
    if gap is not None:
        raise BadValue("gap", gap, "goes with the recipe of a ramp", "Name the recipe.")
    voice = Voice("mm" if unit == "mm" or (unit is None and "mm" in radius) else "in")
    lines = [f"Ramp angle {degrees:.2f}° at radius {voice.length(middle)}."]
    return degrees, middle, voice, lines, at_machine.use_of(use)


def _force(text: str) -> float:
    """Return the clamp force, N."""
    from stepcut.quantity import parse_force

    force = float(parse_force(text, "clamp"))
    if force <= 0:
        raise BadValue("clamp", text, "must be greater than 0", "Give a clamp force such as 500lbf or 2kN.")
    return force


def _face(collar: Text, friction: Text, unit: Text) -> tuple[float, float | None]:
    """Return the mean radius of a second face, mm, 0 for none, and its friction, None for the same."""
    from stepcut.quantity import parse_length

    radius = float(parse_length(collar, "collar", unit)) if collar is not None else 0.0
    of_face = _friction("collar-friction", friction) if friction is not None else None
    if radius < 0:
        rule = "must not be negative"
        raise BadValue("collar", collar, rule, "Give the mean radius of the second face, or leave it out.")
    return radius, of_face


def _lean(flank: Text) -> float:
    """Return how far a thread's flank leans, degrees."""
    from stepcut.quantity import parse_angle

    lean = float(parse_angle(flank, "flank")) if flank is not None else 0.0
    if not 0 <= lean <= LEANS:
        rule = f"must be from 0 to {LEANS} degrees"
        raise BadValue("flank", flank, rule, "Give half the thread's angle, 14.5deg for Acme.")
    return lean


def _friction(name: str, text: str) -> float:
    from stepcut import quantity

    value = float(quantity.parse_number(text, name))
    if not 0 < value < 1:
        raise BadValue(name, text, "must be between 0 and 1", "Give one like 0.12; oiled steel is about 0.08 to 0.15.")
    return value


def _of_recipe(
    recipe: str, sets: list[str] | None, use: Text, gap: Text
) -> tuple[float, float, Voice, list[str], Use | None, bool]:
    """Return the angle and radius at the middle of a recipe's wall, how numbers are said, lines on it, its use, and whether it is judged.

    One whose use is not said is judged as a clamp where it is a plain ramp, as ``check`` does.
    """
    from stepcut.cards.verdict_text import judged_as, use_line
    from stepcut.cli import at_machine
    from stepcut.cli import show as showing
    from stepcut.machine.said import headline

    the_job = showing.opened(recipe, sets)
    plan = showing.solved(the_job)
    if "ramp_angle" not in plan.result.more:
        rule = f"is a {plan.shape}, and only a ramp locks"
        if plan.target.get("law") == "targets":
            rule = "does not fall all the way, so it has no one ramp angle that could lock"
        raise BadValue("recipe", recipe, rule, "Name the recipe of a ramp.")
    voice = showing.voice(the_job)
    angles, middle, for_ = plan.result.more["ramp_angle"], plan.details.ramp.radii[1], showing.use(the_job, use)
    line = f"Ramp angle {angles['bore']:.2f}° at the bore, {angles['middle']:.2f}° middle, {angles['outside']:.2f}° outside; the pair slides as one at the middle radius, {voice.length(middle)}."
    whose = [headline(plan.machine)] if plan.machine.example else []
    open_ = at_machine.gap_of(gap)
    used = use_line(plan, for_, voice, open_) if gap is not None or for_ == "clamp" else ""
    plain = plan.target.get("law", "uniform") == "uniform"
    more = [f"In use: {used}."] if used else []
    more += [] if plain or for_ is not None else [UNSAID]
    more += [f"Judged as {judged}."] if (judged := judged_as(plan, for_)) else []
    return angles["middle"], middle, voice, [line, *more, *whose], for_, plain


def command() -> TyperCommand:
    """Return the command."""
    return one("lock", _body)
