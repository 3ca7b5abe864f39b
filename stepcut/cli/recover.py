"""``stepcut recover``: a cut that went too deep, or another cutter in the middle of a job."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, JobNumber, RecipeOrJob, Save, Sets, Text, Width, called
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.job import Job


def _body(
    recipe: RecipeOrJob = None,
    from_: Annotated[int | None, typer.Option("--from", help="Go on from this cut with another cutter.", min=1)] = None,
    cutter: Annotated[
        Text, typer.Option("--cutter", help="Measured size of the new cutter; of a round tool its nose radius.")
    ] = None,
    cut: Annotated[int | None, typer.Option("--cut", help="Cut that went too deep.", min=1)] = None,
    stop: Annotated[int | None, typer.Option("--stop", hidden=True, min=1)] = None,
    found: Annotated[Text, typer.Option("--found", help="Depth that was measured there.")] = None,
    job: JobNumber = None,
    set_: Sets = None,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Say how to go on after a broken cutter or a cut that went too deep, and print what is still to cut."""
    from msgspec.structs import replace

    from stepcut.cards.recover_text import go_on_lines, start_of, too_deep_lines
    from stepcut.cards.terminal import render
    from stepcut.cards.wording import refusal
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.cli.begun import asked
    from stepcut.plan import Refused
    from stepcut.quantity import exact_text
    from stepcut.routine import card
    from stepcut.shop.recover import go_on, too_deep

    about = asked(recipe, job, set_)
    plan, voice = about.plan, about.voice
    cut = called("stop", stop, "cut", cut)
    begin = from_ if from_ is not None else cut
    if begin is None or (from_ is None) == (cut is None):
        raise BadValue(
            "from",
            None,
            "or cut is wanted, one of the two",
            "Give --from 9 --cutter 0.498in, or --cut 7 --found 0.055in.",
        )
    if begin > len(plan.stops):
        raise BadValue(
            "from" if from_ else "cut",
            begin,
            f"is past the last cut, {len(plan.stops)}",
            "Give the number of a cut.",
        )
    if from_ is not None:
        mended = about.job.resized(_new_cutter(about.job, cutter))
        new = showing.solved(mended)
        rest = go_on(plan, new, from_)
        lines = go_on_lines(plan, new, rest, from_, voice)
        made = card(replace(new, stops=rest.stops), showing.heading(mended))
        told = [part for line in lines for part in wrap(line, screen.width(width), subsequent_indent="   ")]
        text = "\n".join([*told, "", ""]) + render(made, screen.width(width), screen.encoding(), screen.colour())
        screen.show(text)
        result = 1 if new.spoils else 0
    else:
        assert cut is not None  # noqa: S101  # one of the two is given
        if found is None:
            raise BadValue("found", None, "is missing", "Give the depth that was measured, such as 0.055in.")
        depth = at_machine.second_reading(plan, found, about.unit)
        try:
            damage = too_deep(about.plan_and_line, cut, depth)
        except Refused as answer:
            raise refusal(answer, voice) from None
        start = exact_text(start_of(about.job.values.get("start-depth"), damage.lower), "length", voice.unit)
        lines = too_deep_lines(damage, cut, about.plan_and_line, start, voice)
        mended = old = about.job
        if plan.shape == "ramp" and not damage.covered and not old.values["targets"]:
            mended = old.resized({"start-depth": start})
            if len(showing.solved(mended).stops) != len(plan.stops):
                lines.append(
                    f"The lowered ramp has {len(showing.solved(mended).stops)} cuts, not {len(plan.stops)}: write its recipe with --save and print its card."
                )
        columns = screen.width(width)
        screen.show("\n".join(part for line in lines for part in wrap(line, columns, subsequent_indent="   ")))
        showing.say_example(plan.machine)
        result = 0
    if save is not None:
        showing.saved(save, mended.kept, force)
    return result


def _new_cutter(job: Job, text: str | None) -> dict[str, str]:
    """Return the input that a new cutter changes: a lathe's round tool has a nose, a square one no size that matters."""
    if "cutter" in {field.key for field in job.kind.fields}:
        if text is None:
            raise BadValue("cutter", None, "is missing", "Give the measured size of the new cutter.")
        return {"cutter": text}
    if job.values["tool"] == "square":
        return {}
    if text is None:
        raise BadValue("cutter", None, "is missing", "Give the measured nose radius of the new tool.")
    return {"nose": text}


def command() -> TyperCommand:
    """Return the command."""
    return one("recover", _body)
