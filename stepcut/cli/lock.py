"""``stepcut lock``: whether a ramp holds, and the torque to lock and release it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Sets, Text
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.cards.wording import Voice


def _body(
    recipe: Annotated[Text, typer.Argument(help="Recipe of a ramp; or give angle and radius.")] = None,
    angle: Annotated[Text, typer.Option("--angle", help="Ramp angle at the middle of the wall.")] = None,
    radius: Annotated[Text, typer.Option("--radius", help="Radius of the middle of the wall.")] = None,
    clamp: Annotated[str, typer.Option("--clamp", help="Clamp force.")] = "",
    friction: Annotated[Text, typer.Option("--friction", help="One friction instead of the usual three.")] = None,
    set_: Sets = None,
    unit: Annotated[Text, typer.Option("--unit", help="in or mm.")] = None,
) -> int:
    """Say whether a ramp holds over a range of friction, and the torque to lock and release it."""
    from stepcut import quantity
    from stepcut.cards.lock_text import lock_table
    from stepcut.cards.wording import Voice
    from stepcut.cli.screen import show
    from stepcut.shop.lock import FRICTIONS, friction_angle, locking

    if recipe is not None:
        degrees, middle, voice, lines = _of_recipe(recipe, set_)
    elif angle is not None and radius is not None:
        degrees = float(quantity.parse_angle(angle, "angle"))
        middle = float(quantity.parse_length(radius, "radius", unit))
        if not 0 <= degrees < 60 or middle <= 0:
            raise BadValue("angle", angle, "must be from 0 to 60 degrees, with a radius above 0", "Check both.")
        voice = Voice("mm" if unit == "mm" or (unit is None and "mm" in radius) else "in")
        lines = [f"Ramp angle {degrees:.2f}° at radius {voice.length(middle)}."]
    else:
        raise BadValue("recipe", None, "is missing", "Name a recipe, or give --angle and --radius.")
    text = clamp or ("2kN" if voice.unit == "mm" else "500lbf")
    force = float(quantity.parse_force(text, "clamp"))
    if force <= 0:
        raise BadValue("clamp", text, "must be greater than 0", "Give a clamp force such as 500lbf or 2kN.")
    frictions: tuple[float, ...] = FRICTIONS
    if friction is not None:
        value = float(quantity.parse_number(friction, "friction"))
        if not 0 < value < 1:
            raise BadValue("friction", friction, "must be between 0 and 1", "Oiled steel is about 0.08 to 0.15.")
        frictions = (value,)
    rows = [locking(degrees, middle, force, f) for f in frictions]
    lines += [f"Clamp force {text}, one sliding ramp, no second face.", "", lock_table(rows, voice), ""]
    lines.append(
        f"It holds where the friction angle is above the ramp angle: {', '.join(f'{f:.2f} is {friction_angle(f):.1f}°' for f in frictions)}."
    )
    lines.append("Oil, vibration and wear lower friction. This is arithmetic, no promise of strength.")
    show("\n".join(lines))
    return 0


def _of_recipe(recipe: str, sets: list[str] | None) -> tuple[float, float, Voice, list[str]]:
    """Return the angle and radius at the middle of a recipe's wall, how numbers are said, and a line on it."""
    from stepcut.cli import show as showing

    the_job = showing.opened(recipe, sets)
    plan = showing.solved(the_job)
    if "ramp_angle" not in plan.result.more:
        raise BadValue("recipe", recipe, f"is a {plan.shape}, not a ramp", "Name the recipe of a ramp.")
    voice = showing.voice(the_job)
    angles = plan.result.more["ramp_angle"]
    line = f"Ramp angle {angles['bore']:.2f}° at the bore, {angles['middle']:.2f}° middle, {angles['outside']:.2f}° outside."
    return angles["middle"], plan.facts["ramp"].radii[1], voice, [line]


def command() -> TyperCommand:
    """Return the command."""
    return one("lock", _body)
