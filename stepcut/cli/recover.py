"""``stepcut recover``: after a mistake, what is still true of the part and how to go on."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from textwrap import wrap
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Force, JobNumber, RecipeOrJob, Save, Sets, Text, Width, called
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.cli.begun import Asked
    from stepcut.job import Job
    from stepcut.shop.astray import Astray
    from stepcut.shop.off import Cause


class Answer(NamedTuple):
    """What is said of a mistake: the lines, the recipe that ``--save`` writes where it changes, the card behind them, and the status."""

    lines: list[str]
    mended: Job | None = None
    card: str = ""
    status: int = 0


WAYS = "Give --from 9 --cutter 0.498in, --cut 7 --found 0.055in, --lost 7, --slipped 7, --wrong-way 3 or --off zero."


def _body(
    recipe: RecipeOrJob = None,
    from_: Annotated[int | None, typer.Option("--from", help="Go on from this cut with another cutter.", min=1)] = None,
    cutter: Annotated[
        Text, typer.Option("--cutter", help="Measured size of the new cutter; of a round tool its nose radius.")
    ] = None,
    cut: Annotated[int | None, typer.Option("--cut", help="Cut that went too deep.", min=1)] = None,
    stop: Annotated[int | None, typer.Option("--stop", hidden=True, min=1)] = None,
    found: Annotated[Text, typer.Option("--found", help="Depth that was measured there.")] = None,
    lost: Annotated[
        int | None, typer.Option("--lost", help="Zero is lost: find it again from this cut, the last one made.", min=1)
    ] = None,
    slipped: Annotated[
        int | None, typer.Option("--slipped", help="Table or slide slipped after this cut, the last right one.", min=1)
    ] = None,
    reads: Annotated[Text, typer.Option("--reads", help="What the rim (or z) reads now at that cut.")] = None,
    wrong_way: Annotated[
        int | None, typer.Option("--wrong-way", help="Cuts 1 to this one were made the wrong way round.", min=1)
    ] = None,
    length: Annotated[
        Text, typer.Option("--length", help="Between the faces of a turned part, for --wrong-way.")
    ] = None,
    last: Annotated[int | None, typer.Option("--last", help="Last cut made, for --slipped.", min=1)] = None,
    off: Annotated[
        str | None,
        typer.Option(
            "--off",
            help="Plan the rest of a job anew whose readings are off: zero, slip, scale, deflection, slack, askew or angle.",
            metavar="CAUSE",
        ),
    ] = None,
    all_: Annotated[bool, typer.Option("--all", help="Print the card of all cuts that are left, too.")] = False,
    job: JobNumber = None,
    set_: Sets = None,
    save: Save = None,
    force: Force = False,
    width: Width = None,
) -> int:
    """Say how to go on after a broken cutter, a cut too deep, a slip, a lost zero or cuts made the wrong way round."""
    from stepcut.cli import show as showing
    from stepcut.cli.begun import asked

    about = asked(recipe, job, set_, partly=True)
    ways: dict[str, Callable[[int], Answer]] = {
        "from": lambda n: _other_cutter(about, n, cutter, all_, width),
        "cut": lambda n: _too_deep(about, n, found),
        "lost": lambda n: _lost(about, n),
        "slipped": lambda n: _slipped(about, n, reads, last),
        "wrong-way": lambda n: _wrong_way(about, n, length),
    }
    numbers = (from_, called("stop", stop, "cut", cut), lost, slipped, wrong_way)
    kind = _one_mistake(dict(zip(ways, numbers, strict=True)), off, last, len(about.plan.stops))
    answer = ways[kind[0]](kind[1]) if kind is not None else _off(about, off or "", job)
    _show(about, answer.lines, answer.card, width)
    if save is not None:
        showing.saved(save, (answer.mended or about.job).kept, force)
    return answer.status


def _one_mistake(kinds: dict[str, int | None], off: str | None, last: int | None, cuts: int) -> tuple[str, int] | None:
    """Return the mistake and its cut, None for readings that are off; refuse none or several, and a cut that the job does not have."""
    given = {key: n for key, n in kinds.items() if n is not None}
    if len(given) + (off is not None) != 1:
        raise BadValue("from", None, "or another mistake is wanted, one of the six", WAYS)
    for key, n in {**given, **({"last": last} if last is not None else {})}.items():
        if n > cuts:
            raise BadValue(key, n, f"is past the last cut, {cuts}", "Give the number of a cut.")
    return next(iter(given.items()), None)


def _lost(about: Asked, last: int) -> Answer:
    """Return how a lost zero is found again."""
    from stepcut.cards.astray_text import lost_lines

    return Answer(lost_lines(about.card, last, about.voice))


def _show(about: Asked, lines: list[str], after: str, width: int | None) -> None:
    """Show lines within the width and the card after them; a card says itself whose machine it is for."""
    from stepcut.cli import screen
    from stepcut.cli import show as showing

    columns = screen.width(width)
    screen.show("\n".join(part for line in lines for part in wrap(line, columns, subsequent_indent="   ")) + after)
    if not after:
        showing.say_example(about.plan.machine)


def _other_cutter(about: Asked, begin: int, cutter: str | None, whole: bool, width: int | None) -> Answer:
    """Return the lines, the recipe with the new cutter, the status, and the card when it is asked for."""
    from msgspec.structs import replace

    from stepcut.cards.recover_text import go_on_lines, left_lines
    from stepcut.cards.terminal import render
    from stepcut.cli import screen
    from stepcut.cli import show as showing
    from stepcut.routine import card
    from stepcut.shop.recover import go_on

    mended = about.job.resized(_new_cutter(about.job, cutter))
    new = showing.solved(mended)
    old = about.card_and_line
    rest = go_on(old.plan, new, begin, alike=old.plan.stops == showing.solved(about.job).stops)
    made = card(replace(new, stops=rest.stops), showing.heading(mended))
    lines = [*go_on_lines(old, new, rest, begin, about.voice), *left_lines(made, about.voice, whole, rest.anew)]
    after = "\n\n" + render(made, screen.width(width), screen.encoding(), screen.colour()) if whole else ""
    return Answer(lines, mended, after, 1 if new.spoils else 0)


def _new_cutter(job: Job, text: str | None) -> dict[str, str]:
    """Return the input that a new cutter changes: a lathe's round tool has a nose, a square one no size that matters."""
    from stepcut.phrases import parse_cutter
    from stepcut.quantity import parse_length

    if "cutter" in {field.key for field in job.kind.fields}:
        if text is None:
            raise BadValue("cutter", None, "is missing", "Give the measured size of the new cutter.")
        parse_cutter(text, "cutter")  # refused by the name it has here
        return {"cutter": text}
    if job.values["tool"] == "square":
        return {}
    if text is None:
        raise BadValue("cutter", None, "is missing", "Give the measured nose radius of the new tool.")
    parse_length(text, "cutter")
    return {"nose": text}


def _too_deep(about: Asked, cut: int, found: str | None) -> Answer:
    """Return the lines for a cut that went too deep, and the recipe that is lowered by it."""
    from stepcut.cards.recover_text import too_deep_lines
    from stepcut.cards.wording import refusal
    from stepcut.cli import show as showing
    from stepcut.plan import Refused
    from stepcut.shop.recover import too_deep, worked_out
    from stepcut.written import exact_text

    plan, voice = about.plan, about.voice
    try:
        worked_out(plan, "cut", "only-ramps")  # before its depth is asked for
        depth = _measured(about, cut, found)
        damage = too_deep(about.plan_and_line, cut, depth)
    except Refused as answer:
        raise refusal(answer, voice) from None
    lowered = _lowered(about, damage.lower) if not damage.covered else about.job
    deeper = lowered.values.get("depth" if plan.grooved else "start-depth")
    lines = too_deep_lines(
        damage, cut, about.plan_and_line, exact_text(deeper or Fraction(0), "length", voice.unit), voice
    )
    if lowered is not about.job:
        count = len(showing.solved(lowered).stops)
        if count != len(plan.stops):
            lines.append(
                f"The lowered part has {count} cuts, not {len(plan.stops)}: write its recipe with --save and print its card."
            )
    return Answer(lines, lowered)


def _measured(about: Asked, cut: int, found: str | None) -> Fraction:
    """Return the depth that was measured at a cut, mm; of a groove, whose second scale says how far along, the groove's."""
    from stepcut.cli import at_machine
    from stepcut.quantity import parse_length

    plan, unit = about.plan, about.voice.unit
    if found is None:
        raise BadValue("found", None, "is missing", "Give the depth that was measured, such as 0.055in.")
    if plan.grooved:
        return parse_length(found, "found", unit)
    depth = at_machine.second_reading(plan, found, unit)
    at_machine.near(plan, depth, found, cut)
    return depth


def _lowered(about: Asked, by: Fraction) -> Job:
    """Return the recipe with everything lowered, where one input of its shape does that; the same one for other shapes."""
    from stepcut.shapes import brought
    from stepcut.written import exact_text

    mishap = brought(about.plan.shape, "mishap")
    tell, beside = getattr(mishap, "lowered", None), getattr(mishap, "beside", None)
    found = tell(about.job.values, by) if tell is not None else None
    if found is None:
        return about.job
    sets = dict([found]) | (beside(about.job.values, by) if beside is not None else {})
    return about.job.resized({key: exact_text(mm, "length", about.voice.unit) for key, mm in sets.items()})


def _start_of(lowered: Job, about: Asked) -> str:
    from stepcut.written import exact_text

    return exact_text(lowered.values.get("start-depth") or Fraction(0), "length", about.voice.unit)


def _slipped(about: Asked, n: int, reads: str | None, last: int | None) -> Answer:
    """Return the lines for a table or a slide that slipped after a cut, and the recipe that is lowered by it."""
    from stepcut.cards.astray_text import helix_slipped, slipped_lines
    from stepcut.shop.astray import Astray

    by = _slip(about, n, reads)
    made = n if last is None else max(n, last)
    if about.plan.grooved:
        return Answer(helix_slipped(about.card, n, by, made, about.voice))
    damage = Astray() if made == n else _asked_astray(about, range(n + 1, made + 1), by)
    lowered = _lowered(about, damage.lower) if damage.low else about.job
    return Answer(
        slipped_lines(about.card_and_line, n, by, made, damage, _start_of(lowered, about), about.voice), lowered
    )


def _slip(about: Asked, n: int, reads: str | None) -> Fraction:
    """Return by how much what a cut reads on the card is more than what it reads now, degrees or mm; never nought."""
    from stepcut.cli import at_machine

    plan = about.plan
    if reads is None:
        raise BadValue(
            "reads",
            None,
            "is missing",
            f"Go back to cut {n} and give what the {about.card.words.names[0]} reads there now.",
        )
    stop = plan.stops[n - 1]
    by = plan.first.value(stop.first) - at_machine.first_reading(plan, reads, about.voice.unit, "reads")
    if plan.first.angular:
        by = (by + 180) % 360 - 180
    if by == 0:
        raise BadValue(
            "reads", reads, f"is what cut {n} reads on the card", "Nothing has slipped; see --lost when the depth did."
        )
    return by


def _asked_astray(about: Asked, numbers: range, by: Fraction) -> Astray:
    from stepcut.cards.wording import refusal
    from stepcut.plan import Refused
    from stepcut.shop import astray

    try:
        return astray.slipped(about.plan_and_line, numbers, by)
    except Refused as answer:
        raise refusal(answer, about.voice) from None


def _cause(about: Asked, cause: str) -> Cause:
    """Return a cause that readings of this job's second scale may tell."""
    from stepcut.cards.off_text import causes_of
    from stepcut.shop.off import causes

    acts = causes(about.plan)
    if acts is None:
        name = about.card.words.names[1]
        raise BadValue(
            "off",
            cause,
            f"is not told of {name}",
            "Measure a place, set it by what you measured, and prove it at another.",
        )
    told = causes_of(acts.kind)
    known = next((each for each in told if each == cause), None)
    if known is None:
        raise BadValue("off", cause, "is not one of the choices", f"Use {', '.join(told[:-1])} or {told[-1]}.")
    return known


def _off(about: Asked, cause: str, job: int | None) -> Answer:
    """Return what the readings of a job look like, and what the cuts that are left must read for a cause that the test told."""
    from stepcut.cards.off_text import anew_lines, lines_of
    from stepcut.cli import at_machine
    from stepcut.shop.off import HELD, again_from, amount, anew, in_plan

    known = _cause(about, cause)
    with at_machine.open_log(reading=True) as store:
        row = store.last(about.job.revision, about.job.recipe.part) if job is None else store.job(job)
        readings = at_machine.measured(store, row)
        done = set() if row is None else {n for n, what in store.ticks(row.id) if what == "cut"}
    found = in_plan(about.plan, readings)
    if found is None or found.code == "within":
        raise BadValue(
            "off",
            cause,
            "fits no reading of this job",
            "Measure a few cuts: m in stepcut tick, or stepcut log reading.",
        )
    after = max([*done, *(n for n, *_ in readings)])
    again = again_from(about.plan, readings, known)
    rows = anew(about.plan, readings, known, after if again is None else again - 1)
    by = 0.0 if known in HELD else amount(about.plan, readings, known)
    looks = lines_of(about.plan, about.card, readings, about.voice, 10_000)
    return Answer([*looks, *anew_lines(about.card, found, known, rows, about.voice, by, after)])


def _wrong_way(about: Asked, made: int, length: str | None) -> Answer:
    """Return the lines for cuts made the wrong way round, and the recipe that is lowered by them."""
    from stepcut.cards.astray_text import helix_wrong_way, wrong_way_lines
    from stepcut.cards.wording import refusal
    from stepcut.plan import Refused
    from stepcut.shapes import brought
    from stepcut.shop import astray
    from stepcut.shop.recover import worked_out

    if about.plan.grooved:
        return Answer(helix_wrong_way(about.card, made))
    own = getattr(brought(about.plan.shape, "mishap_words"), "wrong_way", None)
    if own is not None:
        return Answer(own(about.card, made, about.voice))
    plan = about.plan_and_line
    try:
        worked_out(plan, "recipe", "no-astray")  # before its length is asked for
        between = _between(about, length)
        damage = astray.mirrored(plan, range(1, made + 1), between)
    except Refused as answer:
        raise refusal(answer, about.voice) from None
    lowered = _lowered(about, damage.lower) if damage.low else about.job
    other = astray.other_hand(plan, range(1, made + 1))
    return Answer(
        wrong_way_lines(about.card_and_line, made, damage, other, _start_of(lowered, about), about.voice), lowered
    )


def _between(about: Asked, length: str | None) -> Fraction | None:
    """Return the distance between the faces of a turned part, mm; None round a table, which comes round to itself."""
    from stepcut.quantity import parse_length

    if about.plan.first.angular:
        return None
    if length is None:
        raise BadValue("length", None, "is missing", "Give --length, the distance between the two faces of the part.")
    return parse_length(length, "length")


def command() -> TyperCommand:
    """Return the command."""
    return one("recover", _body)
