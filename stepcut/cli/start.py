"""``stepcut start``: a guided way to a first card, by answers typed or piped in."""

from __future__ import annotations

from textwrap import fill
from typing import TYPE_CHECKING

from typer.core import TyperCommand

from stepcut.cli.group import one

if TYPE_CHECKING:
    from stepcut.guided import Offer
    from stepcut.job import Job
    from stepcut.machine import Machine
    from stepcut.shapes.guiding import Ask


def _body() -> int:
    """Ask for a part one size at a time, offer three plans in words, save the recipe and print its card."""
    from stepcut.cli import asking
    from stepcut.cli.screen import show, width
    from stepcut.machine import chosen
    from stepcut.machine import files as machines
    from stepcut.machine.said import headline

    name = chosen.which()
    machine = machines.find(name)
    show("\n".join(fill(each, width()) for each in (headline(machine), asking.WORDS)))
    try:
        return _guide(machine, name)
    except asking.LeftOff as left:
        show("Left; nothing was saved.")
        return 2 if left.ended else 0


def _guide(machine: Machine, name: str) -> int:
    """Lead from the first question to the card; every answer can be taken back, the choice of a plan too."""
    answers: dict[str, str] = {}
    while True:
        shape = _shape(answers)
        if not _all_asked(shape, answers, machine):
            continue  # another part, drawn anew
        offered = _offered(shape, answers, machine, name)
        if offered is None:
            continue
        the_job, found = offered
        taken = _only(found, the_job) or _plan(found, machine)
        if taken is not None:
            return _finish(_regrouped(the_job.resized(taken.values)))
        answers.popitem()


def _all_asked(shape: str, answers: dict[str, str], machine: Machine) -> bool:
    """Ask for what is not answered yet, one size at a time; whether nothing is left, or the choice of the part was taken back."""
    from stepcut import guided
    from stepcut.cli import asking

    if len(answers) == 1:
        _draw(guided.guide(shape).DRAWN)
    while (ask := guided.next_ask(shape, answers)) is not None:
        hint = _on_hand(machine) if ask.key == "cutter" else ""
        text = asking.line(f"{guided.worded(ask, machine.unit)}{hint}")
        if asking.is_back(text):
            answers.popitem()
            if not answers:
                return False
        elif asking.is_how(text):
            asking.told(guided.how_to(shape, ask, machine.unit))
        elif ask.may_be_empty and asking.is_none(text) and text.strip().lower() not in ("n", "no"):
            answers[ask.key] = ""
        elif _serves(shape, ask, text, machine):
            answers[ask.key] = text
            _draw(getattr(guided.guide(shape), "DRAWN_FOR", {}).get(text.strip().lower(), ""))
    return True


def _serves(shape: str, ask: Ask, text: str, machine: Machine) -> bool:
    """Whether an answer can be read; what is wrong with it is said."""
    from stepcut import guided
    from stepcut.cli import asking
    from stepcut.errors import BadValue

    try:
        guided.checked(shape, ask, text, machine)
    except BadValue as problem:
        asking.told(str(problem))
        return False
    return True


def _offered(shape: str, answers: dict[str, str], machine: Machine, name: str) -> tuple[Job, list[Offer]] | None:
    """Return the job that was answered and its plans; None where the answers do not go together and one was taken back."""
    from stepcut import guided
    from stepcut.cli import asking
    from stepcut.cli import show as showing
    from stepcut.errors import BadValue, Problems, StepcutError
    from stepcut.job import job
    from stepcut.recipes import Recipe

    recipe = Recipe(shape, guided.values_of(shape, answers, machine), unit=machine.unit)
    try:
        the_job = job(recipe, name)
        found = guided.offers(the_job, showing.voice(the_job))
        if not found:
            found = [guided.Offer({}, "As it stands.", showing.solved(the_job).result.scallop)]
    except (BadValue, Problems, StepcutError) as problem:
        asking.say(f"That does not go together: {problem}")
        _take_back(answers, problem)
        asking.told("It is asked again; the other answers are kept, back goes through them.")
        return None
    return the_job, found


def _regrouped(the_job: Job) -> Job:
    """Ask whether cuts so thin that they rub are put together, where the shape can do that; as it is with no."""
    from stepcut.cli import asking
    from stepcut.cli import show as showing
    from stepcut.written import length_text

    rubs = next((remark for remark in showing.solved(the_job).remarks if remark.code == "rubs"), None)
    if rubs is None or "regroup" not in the_job.values:
        return the_job
    wide = the_job.resized({"regroup": "true"})
    plan = showing.solved(wide)
    if not any(remark.code == "regrouped" for remark in plan.remarks):
        return the_job
    unit = the_job.machine.unit
    thin, ridge = length_text(rubs.facts["drop"], unit), length_text(plan.result.scallop, unit)
    return (
        wide
        if asking.yes(
            f"These cuts go down {thin} at most, and an end mill rubs below about {length_text(rubs.facts['least'], unit)}. Put them together "
            f"to {len(plan.stops)} thicker ones, with ridges of {ridge}? (yes, no)"
        )
        else the_job
    )


def _draw(picture_of: str) -> None:
    """Show what each size means on the part: in half blocks, or plain where the terminal has no colour or no blocks."""
    from stepcut.cards.page import plain
    from stepcut.cards.part_pictures import picture
    from stepcut.cli import screen

    drawn = picture(picture_of, blocks=True)
    if not screen.colour() or plain(drawn, screen.encoding()) != drawn:
        drawn = picture(picture_of, blocks=False)
    if drawn:
        screen.show(drawn.rstrip())


def _take_back(answers: dict[str, str], problem: Exception) -> None:
    """Take back the answer that a problem names, or the last one when it names none; the others are kept."""
    from stepcut.errors import Problems

    first = problem.problems[0] if isinstance(problem, Problems) else problem
    name = str(getattr(first, "name", "")).rstrip(" 0123456789")  # of a list the number of the entry stands behind
    key = "amount" if name in ("per", "rise") and name not in answers else name
    if key in answers and key != "shape":
        del answers[key]
    elif len(answers) > 1:
        answers.popitem()


def _shape(answers: dict[str, str]) -> str:
    """Return the shape that was answered, asked for when it was not."""
    from stepcut.cli import asking
    from stepcut.guided import guide, parts

    names = parts()
    while "shape" not in answers:
        told = [(name, guide(name)) for name in names]
        lines = [f"{n:>2}. {name:<8} {each.SKETCH:<22} {each.LINE}" for n, (name, each) in enumerate(told, 1)]
        text = asking.line("\n".join([*lines, f"What do you want to cut? (1 to {len(names)})"])).strip().lower()
        if text in names or (text.isascii() and text.isdigit() and 1 <= int(text) <= len(names)):
            answers["shape"] = text if text in names else names[int(text) - 1]
        elif asking.is_how(text):
            asking.told(
                "Choose the one that looks like your part; it is drawn before its sizes are asked, and back comes here again."
            )
        else:
            asking.told(f"Write a number from 1 to {len(names)}.")
    return answers["shape"]


def _on_hand(machine: Machine) -> str:
    from stepcut.written import size_text

    if not machine.cutters:
        return ""
    found = [
        f"{size_text(c.diameter, machine.unit)}{'' if c.kind == 'flat' else f' {c.kind}'}" for c in machine.cutters
    ]
    return f"\nOn hand: {', '.join(found)}."


def _only(found: list[Offer], the_job: Job) -> Offer | None:
    """Return the one plan of a job that leaves no ridges to choose by, after saying it; None where there is a choice."""
    from stepcut.cli.screen import show, width

    if "scallop" in the_job.values or len(found) > 1:
        return None
    show(fill(found[0].words, width()))
    return found[0]


def _plan(found: list[Offer], machine: Machine) -> Offer | None:
    """Show the plans and return the one that is taken; None to go back."""
    from stepcut.cli import asking
    from stepcut.cli.screen import show, width
    from stepcut.guided import recommended

    best, why = recommended(found, machine.unit)
    lines = [f"{n}. {offer.words}" for n, offer in enumerate(found, 1)]
    lines.append(f"{best + 1} is recommended: {why}.")
    show("\n".join(fill(line, width(), subsequent_indent="   ") for line in lines))
    while True:
        text = asking.line("Which one? Empty for the recommended one.").strip()
        if asking.is_back(text):
            return None
        if not text:
            return found[best]
        if text.isascii() and text.isdigit() and 1 <= int(text) <= len(found):
            return found[int(text) - 1]
        asking.told(f"Write a number from 1 to {len(found)}.")


def _finish(the_job: Job) -> int:
    """Ask for a name, save the recipe under it, print the card and the one line that does the same."""
    import shlex

    from stepcut.cli import show as showing
    from stepcut.cli.screen import show

    the_job = _named(the_job)
    showing.card(the_job, None, all_of_it=True)
    show(f"\nThe same in one line:\nstepcut {shlex.join(_words(the_job))}")
    title = the_job.recipe.title
    if title:
        show(f"Its card again, from any folder: stepcut card {shlex.quote(title)}")
    _paper(the_job)
    return 1 if showing.solved(the_job).spoils else 0


def _named(the_job: Job) -> Job:
    """Return the job with the name that is asked for, saved under it; an empty one saves nothing."""
    from msgspec.structs import replace

    from stepcut.cli import asking
    from stepcut.cli import show as showing
    from stepcut.errors import StepcutError
    from stepcut.job import job

    while True:
        title = asking.line("A name for the job, to find it again? Empty to save nothing.").strip()
        title = "" if asking.is_none(title) else title
        the_job = job(replace(the_job.recipe, title=title), the_job.machine_name)
        if not title:
            return the_job
        try:
            showing.saved(title, the_job.kept, False)
        except StepcutError as problem:
            asking.told(str(problem))
        else:
            return the_job


def _words(the_job: Job) -> list[str]:
    """Return the words of the command that makes the same job."""
    recipe = the_job.recipe
    flags = {field.key for field in the_job.kind.fields if field.kind == "flag"}
    words = [recipe.shape]
    for key, text in recipe.values.items():
        if key not in flags:
            words += [f"--{key}", str(text)]
        elif str(text).lower() in ("true", "yes"):
            words += [f"--{key}"]
    return [*words, "--unit", the_job.machine.unit, *(["--title", recipe.title] if recipe.title else [])]


def _paper(the_job: Job) -> None:
    """Offer the card on paper: a PDF under a name; an empty answer, or none, writes nothing."""
    from stepcut.cli import asking
    from stepcut.cli.card import write_one
    from stepcut.errors import StepcutError

    while True:
        try:
            name = asking.line("The card on paper? A file name for its PDF, such as card.pdf; empty for none.").strip()
        except asking.LeftOff:
            return
        if not name or asking.is_none(name):
            return
        try:
            write_one(the_job, name if name.lower().endswith(".pdf") else f"{name}.pdf")
            return
        except StepcutError as problem:
            asking.told(str(problem))


def command() -> TyperCommand:
    """Return the command."""
    return one("start", _body)
