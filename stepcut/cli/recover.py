"""``stepcut recover``: a stop cut too deep, or another cutter in the middle of a job."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, JobNumber, RecipeOrJob, Save, Sets, Text, Width
from stepcut.errors import BadValue


def _body(
    recipe: RecipeOrJob = None,
    from_: Annotated[
        int | None, typer.Option("--from", help="Go on from this stop with another cutter.", min=1)
    ] = None,
    cutter: Annotated[Text, typer.Option("--cutter", help="Measured size of the new cutter.")] = None,
    stop: Annotated[int | None, typer.Option("--stop", help="Stop that was cut too deep.", min=1)] = None,
    found: Annotated[Text, typer.Option("--found", help="Depth that was measured there.")] = None,
    job: JobNumber = None,
    set_: Sets = None,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Say how to go on after a broken cutter or a stop cut too deep, and print what is still to cut."""
    from dataclasses import replace

    from stepcut.cards.terminal import render
    from stepcut.cards.wording import refusal
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.cli.begun import asked
    from stepcut.plan import Refused
    from stepcut.quantity import exact_text
    from stepcut.routine import card
    from stepcut.shop.recover import go_on, too_deep

    old = asked(recipe, job, set_)
    plan, voice = showing.solved(old), showing.voice(old)
    begin = from_ if from_ is not None else stop
    if begin is None or (from_ is None) == (stop is None):
        raise BadValue(
            "from",
            None,
            "or stop is wanted, one of the two",
            "Give --from 9 --cutter 0.498in, or --stop 7 --found 0.055in.",
        )
    if begin > len(plan.stops):
        raise BadValue(
            "from" if from_ else "stop",
            begin,
            f"is past the last stop, {len(plan.stops)}",
            "Give the number of a stop.",
        )
    if from_ is not None:
        if cutter is None:
            raise BadValue("cutter", None, "is missing", "Give the measured size of the new cutter.")
        mended = old.resized({"cutter": cutter})
        new = showing.solved(mended)
        rest = go_on(plan, new, from_)
        lines = [f"Go on from stop {from_} with a {voice.size(new.cutter.diameter)} cutter and the same zeros."]
        if getattr(new.details, "offset", None) != getattr(plan.details, "offset", None):
            lines.append(
                f"Set-over changes from {voice.length(plan.details.offset)} to {voice.length(new.details.offset)} downhill: set it anew before the next cut."
            )
        if rest.deeper:
            lines.append(
                f"Recut stop {', '.join(map(str, rest.deeper))}: the new cutter takes more there. Nothing else."
            )
        else:
            lines.append(
                f"Stops 1 to {from_ - 1} stay as they are; nothing is cut again."
                if from_ > 1
                else "Nothing was cut yet."
            )
        made = card(replace(new, stops=rest.stops), showing.heading(mended))
        lines.append("")
        text = "\n".join(lines) + "\n" + render(made, screen.width(width), screen.encoding(), screen.colour())
        screen.show(text)
        result = 1 if new.spoils else 0
    else:
        assert stop is not None  # noqa: S101  # one of the two is given
        if found is None:
            raise BadValue("found", None, "is missing", "Give the depth that was measured, such as 0.055in.")
        depth = at_machine.second_reading(plan, found, old.recipe.unit)
        try:
            damage = too_deep(plan, stop, depth)
        except Refused as answer:
            raise refusal(answer, voice) from None
        if damage.covered:
            screen.show(
                f"Stop {stop} is {voice.length(damage.over)} past its place; the leave covers it. Go on as planned."
            )
            return 0
        start = exact_text(
            old.values["start-depth"] + damage.lower if old.values["start-depth"] else damage.lower,
            "length",
            voice.unit,
        )
        mended = old.resized({"start-depth": start}) if not old.values["targets"] else old
        lines = [
            f"Stop {stop} is {voice.length(damage.over)} past its place, {voice.length(damage.below)} below the wanted surface; the leave does not cover it.",
            f"The surface that cleans up everything lies {voice.length(damage.lower)} lower: start-depth {start}, every stop {voice.length(damage.lower)} deeper.",
            "The rise stays as it is. Lower the mate by the same, or the pair clamps that much later:",
            f"with both lowered the handle turns {damage.turn:.1f}° further for the same clamping.",
        ]
        if old.values["targets"]:
            lines.append("Add it to every depth of the targets.")
        elif len(showing.solved(mended).stops) != len(plan.stops):
            lines.append(
                f"The lowered ramp has {len(showing.solved(mended).stops)} stops, not {len(plan.stops)}: write its recipe with --save and print its card."
            )
        screen.show("\n".join(lines))
        result = 0
    if save is not None:
        showing.saved(save, mended.kept, force)
    return result


def command() -> TyperCommand:
    """Return the command."""
    return one("recover", _body)
