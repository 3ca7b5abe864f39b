"""The front door for scripts and notebooks: the same jobs, solved and drawn the same way, as on the command line.

What is refused is a :class:`stepcut.StepcutError` whose text is the sentence that the command line prints, in the unit of the
job.  Sizes are texts as in the shop (``"1-3/8in"``, ``"5 thou"``, ``"12°30'"``); a number without a unit wants ``unit=``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from fractions import Fraction
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from msgspec import Struct

from stepcut.acts import Act, Card, Heading
from stepcut.cards.formats import KINDS, rendered
from stepcut.cards.wording import refusal
from stepcut.errors import BadValue, FileTrouble, Refused
from stepcut.job import Job
from stepcut.job import job as job_of
from stepcut.plan import Plan as Solved
from stepcut.plan import Result
from stepcut.recipes import Recipe
from stepcut.recipes import load as load_recipe
from stepcut.routine import card as card_of
from stepcut.voice import Voice, voice_of


class Row(NamedTuple):
    """One cut.

    Parameters
    ----------
    n, start : int
        Its number, and which ramp, groove or flank it belongs to, both from 1.
    first, second : Fraction
        Positions on the plan's two scales, exact: degrees or mm.
    """

    n: int
    start: int
    first: Fraction
    second: Fraction


def solved(job: Job) -> Solved:
    """Return the solved plan of a job.

    Raises
    ------
    BadValue
        When no plan can be made: the sentence in the unit of the job, with the place in its recipe if there is one.
    """
    try:
        return job.plan
    except Refused as answer:
        problem = refusal(answer, voice_of(job.machine, job.recipe.unit))
        place = job.recipe.where(problem.name)
        raise (problem.at(place) if place else problem) from None


class Plan(Struct, frozen=True, dict=True):
    """A job solved on its machine.

    Parameters
    ----------
    job : Job
        The recipe on its machine.

    Examples
    --------
    >>> import stepcut
    >>> plan = stepcut.ramp(outside="37mm", bore="30mm", rise="2mm", span="120deg", cutter="8mm", step="10deg", machine="metric")
    >>> len(plan.rows), plan.rows[0].first, plan.spoils
    (12, Fraction(10, 1), False)
    >>> round(plan.figures.scallop, 3)
    0.17
    >>> plan.acts[-1].kind
    'measure'
    """

    job: Job

    @cached_property
    def solved(self) -> Solved:
        """The plan as the core has it: whole divisions, scales, remarks, contact curve."""
        return solved(self.job)

    @property
    def shape(self) -> str:
        """Name of the shape."""
        return self.job.recipe.shape

    @property
    def recipe(self) -> Recipe:
        """The inputs."""
        return self.job.recipe

    @property
    def spoils(self) -> bool:
        """Whether cutting it would spoil the part: its cards say DO NOT CUT."""
        return self.solved.spoils

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """The cuts, in order."""
        plan = self.solved
        return tuple(Row(s.n, s.start, plan.first.value(s.first), plan.second.value(s.second)) for s in plan.stops)

    @property
    def figures(self) -> Result:
        """What is left: scallop, smallest, mean and largest stock, twist, volume; mm, mm^3."""
        return self.solved.result

    @cached_property
    def acts(self) -> tuple[Act, ...]:
        """What the hands do, in order."""
        return self.card().acts

    @property
    def voice(self) -> Voice:
        """How numbers are said on this job's cards."""
        return voice_of(self.job.machine, self.recipe.unit)

    def card(self, date: str = "") -> Card:
        """Return everything that a card prints, as finished texts.

        Parameters
        ----------
        date : str
            Printed as it stands; today's when empty.
        """
        recipe = self.recipe
        heading = Heading(
            title=recipe.title,
            part=recipe.part,
            revision=self.job.revision,
            date=date or dt.date.today().isoformat(),
            note=" ".join(part for part in (recipe.note, self.job.other_machine) if part),
            next_time=recipe.next_time,
            unit=self.voice.unit,
        )
        return card_of(self.solved, heading)

    def json(self) -> dict[str, Any]:
        """Return the plan as plain data, with the keys of ``--json``."""
        from stepcut.cards.json_card import content

        return content(self.solved, self.voice, self.job.use)

    def text(self, width: int = 80, date: str = "") -> str:
        """Return the card as text."""
        return rendered(self.card(date), "txt", width=width, use=self.job.use)[0].decode()

    def __str__(self) -> str:
        return self.text()

    def save(
        self, path: str | Path, *, force: bool = False, paper: str | None = None, date: str = ""
    ) -> tuple[Path, ...]:
        """Write a card, its kind by the ending of the name; or the recipe, for a name that ends in .toml.

        Parameters
        ----------
        path : str or Path
            pdf, png, svg, html, csv, json, txt or toml.
        force : bool
            Whether a file that stands already is replaced.
        paper : str or None
            letter or a4.
        date : str
            Printed as it stands; today's when empty.

        Returns
        -------
        tuple of Path
            What was written: one file, or one for each page of a picture.

        Raises
        ------
        BadValue
            When the ending is none of these.
        FileTrouble
            When a file stands already or cannot be written; then nothing is.
        """
        from stepcut.files import refuse_taken, write_whole

        target = Path(path)
        kind = target.suffix.lstrip(".").lower()
        if kind == "toml":
            from stepcut.recipes import dump

            pages = [dump(self.job.kept).encode()]
        elif kind in KINDS:
            pages = rendered(self.card(date), kind, paper, unit=self.voice.unit, use=self.job.use)
        else:
            rule = "is no kind of card that is known here"
            raise BadValue("path", str(path), rule, f"End it in one of {', '.join((*KINDS, 'toml'))}.")
        files = (
            [target] if len(pages) == 1 else [target.with_stem(f"{target.stem}-{n}") for n in range(1, len(pages) + 1)]
        )
        for each in files:
            refuse_taken(each, force)
        for each, page in zip(files, pages, strict=True):
            write_whole(each, page, force)
        return tuple(files)

    def resized(self, **sets: str) -> Plan:
        """Return the same job with some inputs replaced; an empty text takes one out.

        Examples
        --------
        >>> import stepcut
        >>> plan = stepcut.load("sluice-clamp-ramp").resized(cutter="5/16in")
        >>> plan.solved.cutter.diameter == Fraction(5, 16) * Fraction(254, 10)
        True
        """
        return Plan(self.job.resized({name.replace("_", "-"): text for name, text in sets.items()}))

    def _repr_html_(self) -> str:
        """Return the plan as a notebook shows it: verdict, drawing of the stair and the first cuts."""
        card = self.card("-")
        from html import escape

        head = "".join(f"<tr><td>{escape(a)}</td><td>{escape(b)}</td></tr>" for a, b in card.words.head)
        first, second = self.solved.axes
        rows = "".join(
            f"<tr><td>{row.n}</td><td>{row.start}</td><td>{float(row.first):g}</td><td>{float(row.second):g}</td></tr>"
            for row in self.rows[:SHOWN]
        )
        more = f"<p>and {len(self.rows) - SHOWN} more</p>" if len(self.rows) > SHOWN else ""
        verdict = f"<p><b>DO NOT CUT.</b> {escape(card.verdict)}</p>" if self.spoils else ""
        return (
            f"<h4>{escape(card.title)}, part {escape(card.part)}</h4>{verdict}<table>{head}</table>"
            f"<table><tr><th>cut</th><th>of</th><th>{first}</th><th>{second}</th></tr>{rows}</table>{more}"
        )


SHOWN = 12  # cuts in a notebook before the rest is counted


def solve(shape: str, machine: str | None, head: Mapping[str, str | None], values: Mapping[str, Any]) -> Plan:
    """Return the plan of a shape from its inputs, by the names of the command line's options.

    Raises
    ------
    BadValue, Problems
        With every wrong input, or why no plan can be made.
    """
    unit = head.get("unit")
    if unit not in (None, "in", "mm"):
        raise BadValue("unit", unit, "is not one of the choices", "Use in or mm.")
    given = {name.rstrip("_").replace("_", "-"): value for name, value in values.items() if value is not None}
    recipe = Recipe(
        shape,
        {key: value if isinstance(value, (list, tuple)) else str(value) for key, value in given.items()},
        title=str(head.get("title") or ""),
        part=str(head.get("part") or "A"),
        machine=machine or "",
        unit=unit,
    )
    plan = Plan(job_of(recipe, machine))
    plan.solved  # noqa: B018  # refusals come now, not when it is first looked at
    return plan


def load(path: str | Path, machine: str | None = None) -> Plan:
    """Return the plan of a recipe: a file, one's own by name, or an example that ships.

    Raises
    ------
    BadValue, Problems, FileTrouble
        When it cannot be read or solved.

    Examples
    --------
    >>> import stepcut
    >>> stepcut.load("sluice-clamp-ramp").shape
    'ramp'
    """
    plan = Plan(job_of(load_recipe(path), machine))
    plan.solved  # noqa: B018  # as above
    return plan


__all__ = ["FileTrouble", "Plan", "Row", "load", "solve", "solved"]
