"""``stepcut card``: solve recipes and print or write their cards."""

from __future__ import annotations

import sys
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from typer.core import TyperCommand

from stepcut import gate
from stepcut.cards import formats
from stepcut.cards.formats import KINDS
from stepcut.cli import ending, screen, show
from stepcut.cli.group import one
from stepcut.cli.options import Force, MachineName, RecipeNames, Sets, Text, UseName, Width
from stepcut.errors import BadValue
from stepcut.files import refuse_taken, write_whole

if TYPE_CHECKING:
    from stepcut.job import Job

CUTS_A_PAGE = 45  # about what a page holds
ASKED_PAGES = 25  # above this a question comes first
ON_PAPER = ("pdf", "png", "svg")  # laid out in pages, in the card's own font
MOST_PAGES = 1000


def _body(
    recipes: RecipeNames,
    out: Annotated[
        Text,
        typer.Option(
            "--out", help="File to write (pdf, png, svg, html, csv, json, txt), a folder, or - for standard output."
        ),
    ] = None,
    kind: Annotated[Text, typer.Option("--as", help="Kind of card when --out is a folder or -.")] = None,
    paper: Annotated[Text, typer.Option("--paper", help="letter or a4; by your locale when left out.")] = None,
    set_: Sets = None,
    machine: MachineName = None,
    use: UseName = None,
    date: Annotated[Text, typer.Option("--date", help="Date to print instead of today's.")] = None,
    width: Width = None,
    all_: Annotated[bool, typer.Option("--all", help="Print the whole card on a terminal too.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print the plan as JSON.")] = False,
    force: Force = False,
    pages: Annotated[
        int | None, typer.Option("--pages", help="Write up to so many pages without asking.", min=1, max=MOST_PAGES)
    ] = None,
    open_: Annotated[bool, typer.Option("--open", help="Show the file with the system's viewer.")] = False,
) -> int:
    """Solve recipes and print their cards, or write them as PDF, picture, web page, CSV or JSON."""
    if date is not None:
        _check_date(date)
    if open_ and out in (None, "-"):
        raise BadValue("open", None, "needs a file", "Give --out card.pdf.")
    jobs = [show.opened(name, set_, machine) for name in recipes]
    if out is None:
        for each in jobs:
            if json:
                show.json_text(each, use)
            else:
                show.card(each, width, date, use, all_)
    else:
        _write_all(jobs, recipes, out, kind or ("json" if json else None), paper, date, width, force, open_, pages, use)
    return max(int(show.solved(each).spoils) for each in jobs)


def _check_date(text: str) -> None:
    import datetime as dt

    try:
        dt.date.fromisoformat(text)
    except ValueError:
        raise BadValue("date", text, "is not a date", "Write it like 2026-05-31.") from None


def _write_all(
    jobs: list[Job],
    names: list[str],
    out: str,
    kind: Text,
    paper: Text,
    date: Text,
    width: int | None,
    force: bool,
    open_: bool,
    pages_allowed: int | None,
    use: Text = None,
) -> None:
    folder = _is_folder(out, len(jobs))
    chosen = _kind(out, kind, folder)
    if chosen in ON_PAPER:
        _bound_pages(jobs, names, pages_allowed)
    targets = [Path(out) / f"{Path(name).stem}.{chosen}" if folder else Path(out) for name in names]
    if out != "-":
        _refuse_doubles(targets, names)
    pages = [rendered(each, chosen, paper, date, width, use) for each in jobs]  # all are solved before any is written
    if out == "-":
        for content in pages:
            screen.show_bytes(b"".join(content))
        return
    files = [_files(target, content) for target, content in zip(targets, pages, strict=True)]
    whose = [(each, name) for name, written in zip(names, files, strict=True) for each in written]
    _refuse_doubles([each for each, _ in whose], [name for _, name in whose])
    for each, _ in whose:
        refuse_taken(each, force)
    for count, (job, content, written) in enumerate(zip(jobs, pages, files, strict=True), 1):
        _write_card(content, written, whose[-1][0], force)
        _say_written(written, f"{count} of {len(jobs)}: " if len(jobs) > 1 else "")
        if chosen in ON_PAPER:
            _say_codes(job)
        if open_:
            typer.launch(str(written[0]))


def _is_folder(out: str, count: int) -> bool:
    """Whether several cards go into what is named; a file's name for more than one is refused."""
    folder = out.endswith(("/", "\\")) or Path(out).is_dir() or (count > 1 and out != "-")
    if folder and Path(out).suffix.lstrip(".") in KINDS and not Path(out).is_dir():
        raise BadValue("out", out, f"is one file for {count} recipes", "Name a folder, such as cards/.")
    return folder


def _kind(out: str, kind: Text, folder: bool) -> str:
    """Return the kind of card: as it is said, or else by the ending of the file."""
    chosen = (kind or ("pdf" if folder else "txt" if out == "-" else Path(out).suffix.lstrip("."))).lower()
    if chosen not in KINDS:
        raise BadValue(
            "as" if kind else "out",
            kind or out,
            "is no kind of card that is known here",
            f"Use one of {', '.join(KINDS)}.",
        )
    return chosen


def _write_card(pages: list[bytes], files: list[Path], last: Path, force: bool) -> None:
    """Write the pages of one card, each to its file; with the last file of all it is too late to stop."""
    for target, page in zip(files, pages, strict=True):
        if target == last:
            ending.past_stopping()
        write_whole(target, page, force)


def _say_written(files: list[Path], which: str) -> None:
    shown = gate.line(", ".join(map(str, files)))
    screen.say(f"{which}{shown}" if which else f"Wrote {shown}.")


def _say_codes(job: Job) -> None:
    """Say that a title has letters that the paper card's font lacks."""
    from stepcut.cards.pdf import lacking

    lacks = lacking(job.recipe.title)
    if lacks:
        shown = gate.line(lacks if len(lacks) <= 12 else f"{lacks[:12]}…")
        screen.say(
            f"The paper card's font lacks {shown}: they stand as codes behind part and revision; a card as .html shows them."
        )


def write_one(job: Job, out: str) -> None:
    """Write the card of one job to a file, whose ending says its kind; never over another one."""
    _write_all([job], [job.recipe.title or job.recipe.shape], out, None, None, None, None, False, False, None)


def _bound_pages(jobs: list[Job], names: list[str], allowed: int | None) -> None:
    """Ask before a card of many pages is set, which takes minutes and a stack of paper; refuse one of a thousand."""
    for each, name in zip(jobs, names, strict=True):
        cuts = len(show.solved(each).stops)
        pages = 2 + cuts // CUTS_A_PAGE
        rule = f"would have about {pages} pages ({cuts} cuts)"
        if pages > MOST_PAGES:
            raise BadValue("out", name, rule, "Take larger steps, or write it as csv.")
        if pages <= (allowed or ASKED_PAGES):
            continue
        if not (sys.stdin.isatty() and sys.stderr.isatty()):
            raise BadValue("out", name, rule, f"Take larger steps, or add --pages {pages}.")
        typer.confirm(f"{gate.line(name)} {rule}. Write them?", abort=True, err=True)


def _files(target: Path, pages: list[bytes]) -> list[Path]:
    """Return the file of a card, or one for each of its pages."""
    return [target] if len(pages) == 1 else [target.with_stem(f"{target.stem}-{n}") for n in range(1, len(pages) + 1)]


def _refuse_doubles(targets: list[Path], names: list[str]) -> None:
    """Refuse two recipes that would write one file; names that differ in case only are one file on many systems."""
    seen: dict[str, str] = {}
    for target, name in zip(targets, names, strict=True):
        same = unicodedata.normalize("NFC", str(target)).casefold()
        if same in seen:
            rule = f"would be written by two recipes, {seen[same]} and {name}"
            raise BadValue("out", target, rule, "Write them one by one, with a name for each.")
        seen[same] = name


def rendered(
    job: Job, kind: str, paper: Text = None, date: Text = None, width: int | None = None, for_: Text = None
) -> list[bytes]:
    """Return a job's card as the bytes of its files."""
    made, use, errors = show.whole(job, date), show.use(job, for_), show.errors(job)
    with screen.working(f"Writing {made.title}"):
        return formats.rendered(made, kind, paper, width, show.voice(job).unit, use, errors)


def command() -> TyperCommand:
    """Return the command."""
    return one("card", _body)
