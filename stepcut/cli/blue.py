"""``stepcut blue``: write a blue check down, and say what still stands, what takes it off and when it is enough."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import JobNumber, RecipeOrLast, Sets, Text, Width, called
from stepcut.errors import BadValue

if TYPE_CHECKING:
    from stepcut.cli.begun import Asked
    from stepcut.log.history import Rate
    from stepcut.log.store import JobRow, Store
    from stepcut.plan import Plan
    from stepcut.shop.blueing import Use

USES = ("clamp", "dog", "lift")
WINS = ("large", "small", "middle", "ends", "even")


def _body(
    recipe: RecipeOrLast = None,
    share: Annotated[
        Text, typer.Argument(help="Share that shows blue, such as 60%; none to see what the first blue looks like.")
    ] = None,
    cuts: Annotated[Text, typer.Option("--cuts", help="Or the cuts that show blue, such as 1,2,5.")] = None,
    old_stops: Annotated[Text, typer.Option("--stops", hidden=True)] = None,
    minutes: Annotated[Text, typer.Option("--minutes", help="Minutes filed since the last check.")] = None,
    strokes: Annotated[
        Text, typer.Option("--strokes", help="Strokes over each place since the last check; with --with.")
    ] = None,
    with_: Annotated[
        Text, typer.Option("--with", help="What they were made with: bastard, second-cut, smooth or stone.")
    ] = None,
    use: Annotated[Text, typer.Option("--for", help="What it is for: clamp, dog or lift; a clamp if left out.")] = None,
    at: Annotated[
        Text, typer.Option("--at", help="Of a taper, where the blue is heaviest: large, small, middle, ends or even.")
    ] = None,
    job: JobNumber = None,
    set_: Sets = None,
    width: Width = None,
) -> int:
    """Write a blue check down; say what to take off, with which file, what is enough and how long it takes here."""
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing

    cuts = called("stops", old_stops, "cuts", cuts)
    if share is None and (job is not None or _is_share(recipe)):  # the one word beside --job, or alone, is the share
        recipe, share = None, recipe
    _no_share(recipe)
    about, job = _about(recipe, job, set_)
    use_ = at_machine.use_of(use) if use is not None else _use_of(about)
    columns = screen.width(width)
    if at is not None:
        screen.show(_taper(about.plan, at))
    if not _filed_from_steps(about, recipe, at):
        return 0
    if share is None and cuts is None:
        if at is None:
            _first(about.plan, columns)
        return 0
    if share is not None and cuts is not None:
        raise BadValue("share", share, "and --cuts do not go together", "Give 60%, or --cuts 1,2,5.")
    named, part = _part(about.plan, share, cuts)
    check = _written(about, job, part, _minutes(minutes), _filed(strokes, with_))
    screen.show("\n".join(_lines(about, check, named, part, use_, columns)))
    showing.say_example(about.plan.machine)
    return 0


def _about(recipe: Text, job: int | None, sets: list[str] | None) -> tuple[Asked, int | None]:
    """Return what a blue check is of, and the number of its job: the job just cut, as it was cut, whatever the recipe says since.

    Without a recipe it is the one that was cut last of all.  A recipe of which nothing was cut, or one in another size, is asked
    as it stands.
    """
    from stepcut.acts import title_of
    from stepcut.cli import at_machine, screen
    from stepcut.cli import show as showing
    from stepcut.cli.begun import as_begun, asked, differences

    if job is not None or sets:
        return asked(recipe, job, sets, partly=True), job
    the_job = showing.opened(recipe) if recipe is not None else None
    of = None
    if the_job is not None:
        of = (the_job.recipe.shape, title_of(the_job.recipe.title, the_job.recipe.shape), the_job.recipe.part)
    with at_machine.open_log(reading=True) as store:
        row = store.last_cut(of)
        whole = store.job(row.id) if row is not None else None
    if whole is None or (the_job is not None and whole.ended is None):
        if recipe is None:
            way = "Name a recipe, or give --job with its number."
            raise BadValue("recipe", None, "or a job is wanted, as the log knows of nothing cut", way)
        return asked(recipe, None, partly=True), whole.id if whole is not None else None
    changed = differences(whole, the_job) if the_job is not None else ""
    if changed:
        screen.say(f"Job {whole.id} was cut otherwise than {recipe} is now ({changed}); this is of the job.")
    return as_begun(whole, partly=True), whole.id


def _is_share(text: Text) -> bool:
    return text is not None and text.strip().endswith("%")


def _no_share(recipe: Text) -> None:
    """Refuse a share that stands where the recipe's name belongs."""
    if recipe is not None and _is_share(recipe):
        raise BadValue("recipe", recipe, "is a share", f"Name the recipe first: stepcut blue NAME {recipe.strip()}.")


def _filed_from_steps(about: Asked, recipe: Text, at: Text) -> bool:
    """Whether blue tells of this shape what still stands; what does not is refused, unless something else was asked of it.

    Raises
    ------
    BadValue
        When it is not filed from steps, or its contact curve cannot be read in the log.
    """
    from stepcut.cli.begun import Begun

    plan = about.plan
    if plan.contact is not None:
        return True
    if at is not None:
        return False
    if isinstance(about, Begun) and about.partial:
        raise BadValue(
            "job",
            about.row.id,
            "has no contact curve in the log that this program can read",
            "The back of its printed card tells what blue means there.",
        )
    raise BadValue("recipe", recipe, "has no contact curve", "Blue is for shapes that are filed from steps.")


def _first(plan: Plan, columns: int) -> None:
    """Show what the first blue looks like."""
    from stepcut.cards.blue_text import first_text
    from stepcut.cli import screen
    from stepcut.cli import show as showing

    screen.show(first_text(plan, columns))
    showing.say_example(plan.machine)


class Check(NamedTuple):
    """A blue check that is written down, and what the log knows beside it."""

    row: JobRow
    earlier: list[float]  # shares of the checks before
    left: float  # mm^3 that still stand
    rate: Rate | None
    of: str  # what the rate is of
    own: tuple[list[tuple[str, int, float]], str]  # what this shop's files took off, and of what
    ticked: int | None  # cuts, of an open job of which any is


def _written(about: Asked, job: int | None, part: float, spent: float | None, filed: tuple[str, int] | None) -> Check:
    """Write a check down, and what a file took off since the last one; return it with what the log knows."""
    from stepcut.cli import at_machine, ending

    plan = about.plan
    assert plan.contact is not None  # noqa: S101  # it is filed from steps
    _, left = plan.at_blue(part)
    with at_machine.open_log() as store:
        row = store.job(job) if job is not None else at_machine.last_or_begun(store, about.job)
        earlier = store.blues(row.id)
        before = earlier[-1][5] if earlier else plan.contact.volume_below(1e6) * plan.copies
        ending.past_stopping()
        store.blue(row.id, part, spent, before, left)
        if filed is not None:
            _write_down(store, row, plan, filed, earlier[-1][2] if earlier else None, part)
        ticked = sum(what == "cut" for _, what in store.ticks(row.id)) if row.ended is None else 0
        return Check(row, [each[2] for each in earlier], left, *_history(store, row), _own(store, plan), ticked or None)


def _lines(
    about: Asked, check: Check, named: list[int] | None, part: float, use: Use | None, columns: int
) -> list[str]:
    """Return what a check says: where the part stands, what to take off, what is enough and how long that takes."""
    from stepcut import shapes
    from stepcut.cards.blue_text import blue_text, time_text
    from stepcut.shop.blueing import enough

    plan, row = about.plan, check.row
    piece = f", piece {row.piece}" if row.piece != "1" else ""
    goal = enough(shapes.named(plan.shape, "BLUE"), use)
    to_goal = check.left - plan.at_blue(goal[0])[1] if goal is not None else check.left
    return [
        f"Job {row.id}, {row.title}, part {row.part}{piece}.",
        *blue_text(plan, part, named, check.earlier, use, about.voice, columns, check.own, check.ticked),
        *(time_text(check.rate, to_goal, check.of, columns) if check.ticked in (None, len(plan.stops)) else ()),
    ]


def _use_of(about: Asked) -> Use | None:
    """Return what the recipe says that the part is for; None where it says nothing, or cannot be read in the log."""
    from stepcut.errors import Problems, StepcutError

    try:
        return about.job.use
    except (StepcutError, Problems):
        return None


def _part(plan: Plan, share: Text, cuts: Text) -> tuple[list[int] | None, float]:
    """Return the cuts that show blue, counted within their ramp, and the share."""
    from stepcut.cli.check import parse_share
    from stepcut.fields import Field, Units, read_one

    if cuts is None:
        return None, parse_share(share or "")
    named = set(read_one(Field("cuts", "counts", "", most=len(plan.stops)), cuts, Units()))
    each = max(1, len(plan.stops) // plan.copies)
    return sorted({(n - 1) % each + 1 for n in named}), max(len(named) / len(plan.stops), 1e-6)


def _minutes(text: Text) -> float | None:
    from stepcut.quantity import parse_number

    spent = float(parse_number(text, "minutes")) if text is not None else None
    if spent is not None and not 0 < spent < 10_000:
        raise BadValue("minutes", text, "must be above 0", "Give the minutes filed since the last check.")
    return spent


def _filed(strokes: Text, with_: Text) -> tuple[str, int] | None:
    """Return tool and strokes; None where neither was given."""
    from stepcut.fields import Field, Units, read_one
    from stepcut.shop.blueing import TOOLS

    tools = {tool.name.split()[0]: tool.name for tool in TOOLS}
    if strokes is None and with_ is None:
        return None
    if strokes is None or with_ is None:
        missing = "strokes" if strokes is None else "with"
        raise BadValue(missing, None, "is missing", "Give both: --strokes 20 --with smooth.")
    if with_ not in tools:
        raise BadValue("with", with_, "is not one of the choices", f"Use one of {', '.join(tools)}.")
    return tools[with_], int(read_one(Field("strokes", "count", "", most=9999), strokes, Units()))


def _write_down(
    store: Store, row: JobRow, plan: Plan, filed: tuple[str, int], before: float | None, now: float
) -> None:
    """Write down what a file took off between two checks; where nothing came off, or there was no check before, it says nothing."""
    if before is None:
        return
    height = plan.at_blue(before)[0] - plan.at_blue(now)[0]
    if height > 1e-5:
        store.filed(row.id, *filed, height)


def _own(store: Store, plan: Plan) -> tuple[list[tuple[str, int, float]], str]:
    """Return what this shop's files took off parts of this material and shape, and how these are called."""
    from stepcut.cli.at_machine import job_of
    from stepcut.errors import Problems, StepcutError

    alike: dict[int, bool] = {}
    found = []
    for job, tool, count, height in store.filings():
        if job not in alike:
            try:
                other = job_of(store.job(job))
                same = other.recipe.shape == plan.shape
                alike[job] = same and (other.values["material"] or "") == plan.material
            except (StepcutError, Problems):  # damaged, or written by a program that knew other words
                alike[job] = False
        if alike[job]:
            found.append((tool, count, height))
    of = plan.material.replace("-", " ") if plan.material else "one material, not said,"
    return found, f"{plan.shape}s of {of}"


def _history(store: Store, row: JobRow) -> tuple[Rate | None, str]:
    """Return the filing rate of this part (the same material), or else of this shape, and what it is of."""
    from stepcut.log.history import filing_rate

    jobs = {each.id: each for each in store.jobs()}
    checks = [check for check in store.blues() if check[0] in jobs]
    own = filing_rate([c for c in checks if (jobs[c[0]].shape, jobs[c[0]].named) == (row.shape, row.named)])
    if own is not None:
        return own, "this part"
    alike = filing_rate([c for c in checks if jobs[c[0]].shape == row.shape])
    return (alike, f"another {row.shape}, perhaps of another material") if alike is not None else (None, "this shape")


def _taper(plan: Plan, at: str) -> str:
    from stepcut.cards.blue_text import ADVICE
    from stepcut.shapes import named
    from stepcut.shop.blueing import taper_advice

    if not named(plan.shape, "GAUGED"):
        raise BadValue("at", at, f"is for tapers, and this is a {plan.shape}", "Give the share that shows blue.")
    if at not in WINS:
        raise BadValue("at", at, "is not one of the choices", f"Use one of {', '.join(WINS)}.")
    side = str(plan.target["side"])
    advice = taper_advice(side, at)  # type: ignore[arg-type]  # one of the choices
    return ADVICE.get(f"{advice}-{side}", ADVICE[advice])


def command() -> TyperCommand:
    """Return the command."""
    return one("blue", _body)
