"""A job as it was begun: what is ticked, shown and measured against, whatever happens to its files or to the program since.

A difference between the job in the log and what recipe, machine and program would give today is said before anything is
done, with the choice to go on as begun or to begin anew.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any

from msgspec.structs import replace

from stepcut import __version__
from stepcut.acts import Card, title_of
from stepcut.cards.json_card import content
from stepcut.cli import at_machine, show
from stepcut.errors import BadValue, FileTrouble, StepcutError
from stepcut.files import parse_toml
from stepcut.job import Job
from stepcut.log.frozen import Thawless, thaw
from stepcut.log.steps import Step, steps
from stepcut.log.store import Store, WholeJob
from stepcut.plan import Plan
from stepcut.voice import Voice, voice_of

SHOWN = 4  # differences that are said one by one


class Asked:
    """What a command at the machine is asked about: a recipe, solved when something of its plan is wanted."""

    def __init__(self, job: Job) -> None:
        self._job = job

    @property
    def job(self) -> Job:
        """The recipe on its machine, to be solved in another size."""
        return self._job

    @property
    def plan(self) -> Plan:
        """The solved plan."""
        return show.solved(self.job)

    @property
    def plan_and_line(self) -> Plan:
        """The solved plan with its wanted line."""
        return self.plan

    @property
    def card_and_line(self) -> Card:
        """Its card, with the wanted line in its plan."""
        return self.card

    @property
    def card(self) -> Card:
        """Its card."""
        return show.whole(self.job)

    @property
    def voice(self) -> Voice:
        """How numbers are said."""
        return show.voice(self.job)


class Begun(Asked):
    """A job of the log with its plan and card as they were when it was begun.

    Neither the recipe nor the program that begun it is needed for them: ``job`` alone reads the recipe in the log again, and is for
    solving it in another size.
    """

    def __init__(self, row: WholeJob, card: Card, partial: bool = False) -> None:
        self.row, self._card, self.partial = row, card, partial

    def beyond(self, reason: str) -> BadValue:
        """Return the refusal of what only the wanted surface tells, where today's program does not find that of the job in its recipe."""
        rule = (
            f"was begun with stepcut {self.row.program or 'of an older version'}, and {__version__} does not find the same part in its recipe "
            f"({reason}), so that this cannot be said of it"
        )
        way = (
            "These go on as begun: stepcut tick, where and log reading, and recover with --lost or --off. For the rest its printed card "
            "holds."
        )
        return BadValue("job", self.row.id, rule, way)

    @cached_property
    def job(self) -> Job:
        """The recipe as it was cut, on the machine as it was.

        Raises
        ------
        BadValue
            When it is another program's, and this one cannot read it.
        """
        try:
            return at_machine.job_of(self.row)
        except StepcutError as refused:
            if self.partial:
                raise self.beyond(str(refused).rstrip(".")) from None
            raise

    @property
    def plan(self) -> Plan:
        """The plan as it was solved then."""
        return self._card.plan

    @cached_property
    def plan_and_line(self) -> Plan:
        """The plan as it was solved then, with its wanted surface: that is not kept, so today's program tells it again from the recipe.

        Raises
        ------
        BadValue
            When it does not read the same part there.
        """
        from stepcut.cli.as_then import lined

        try:
            return lined(self.row, self.plan, show.solved(self.job))
        except ValueError as reason:
            raise self.beyond(str(reason)) from None
        except (KeyError, TypeError, AttributeError):
            raise at_machine.damaged(self.row) from None

    @property
    def card_and_line(self) -> Card:
        """The card as it was made then, with the wanted surface in its plan."""
        return replace(self._card, plan=self.plan_and_line)

    @property
    def card(self) -> Card:
        """The card as it was made then."""
        return self._card

    @property
    def voice(self) -> Voice:
        """How numbers are said, as on its card."""
        return voice_of(self.plan.machine, self._card.unit)


def as_begun(row: WholeJob, partly: bool = False) -> Begun:
    """Return a job as it was begun.

    Parameters
    ----------
    partly : bool
        Whether card, cuts and scales are enough: these are thawed though another program has changed what else hangs on a plan.

    Raises
    ------
    BadValue
        When the log has it in the form of another program, and this one solves it otherwise: then its numbers would change.
    """
    try:
        kept = thaw(row.as_begun)
        card = kept["card"]
        if isinstance(card, Card):
            return Begun(row, card)
    except (Thawless, KeyError, TypeError):
        pass
    try:
        return _solved_anew(row)
    except StepcutError:
        found = _as_far_as_it_goes(row) if partly else None
        if found is None:
            raise
        return found


def _as_far_as_it_goes(row: WholeJob) -> Begun | None:
    """Return a job with the card that was kept, when all that is ticked and measured from it is there; else None.

    Every cut must stand on the card with all its texts, and in the plan where the log's own numbers have it.
    """
    try:
        card = thaw(row.as_begun, as_far=True)["card"]
        found = steps(card)
        first, second = card.plan.axes
        then = [(stop["n"], stop[first], stop[second]) for stop in json.loads(row.plan)["stops"]]
        plan = card.plan
        now = [
            (stop.n, float(plan.first.value(stop.first)), float(plan.second.value(stop.second))) for stop in plan.stops
        ]
        whole = all(isinstance(text, str) for text in _texts(card, found)) and then == now and bool(card.groups)
        cuts = [step.n for step in found if step.what == "cut"]
        voice_of(plan.machine, card.unit)
    except (Thawless, KeyError, TypeError, ValueError, AttributeError, IndexError):
        return None
    return Begun(row, card, partial=True) if whole and cuts == [n for n, *_ in then] else None


def _texts(card: Card, found: Sequence[Step]) -> Iterator[object]:
    """Yield every text by which a job is ticked and put right: of its steps, its head and its mishaps."""
    for step in found:
        screen = step.screen
        yield from (screen.place, screen.ask, screen.says, screen.button)
        for each in screen.readings:
            yield from (each.label, each.text)
    yield from (card.title, card.part, card.machine, card.unit_word)
    yield from (*card.cycle, *card.words.cautions, *card.words.names)
    yield from (card.off, card.too_deep, card.lost, card.overshot)


def _solved_anew(row: WholeJob) -> Begun:
    """Return a job solved anew from its recipe and machine in the log; with the log's own cuts where this program solves it otherwise.

    Raises
    ------
    BadValue
        When the log's cuts do not go into a card of this program.
    """
    from stepcut.cli.as_then import made_again

    the_job = at_machine.job_of(row)
    changed = number_changed(row, the_job)
    if not changed:
        return Begun(row, show.whole(the_job))
    card, reason = made_again(row, the_job)
    if card is not None:
        return Begun(row, card, partial=True)
    rule = (
        f"was begun with stepcut {row.program or 'of an older version'}, which kept no card that {__version__} can read, and this one makes "
        f"another of it ({reason})"
    )
    way = (
        f"Go on with its printed card (stepcut log show {row.id} still tells what was ticked, noted and measured), or begin it anew with "
        "stepcut tick --again."
    )
    raise BadValue("job", row.id, rule, way)


def number_changed(row: WholeJob, the_job: Job) -> str:
    """Return the first number of a job that a recipe, machine and program would change today; empty when none is."""
    try:
        then = json.loads(row.plan)["stops"]
    except (ValueError, KeyError, TypeError):
        raise at_machine.damaged(row) from None
    try:
        today = content(show.solved(the_job), show.voice(the_job))["stops"]
    except StepcutError as refused:
        return f"today it is refused: {str(refused).rstrip('.')}"
    if len(then) != len(today):
        return f"{len(then)} cuts then, {len(today)} now"
    for old, new in zip(then, today, strict=True):
        for key in new:
            if old.get(key) != new[key]:
                unit = "deg" if key == "table" else "mm" if isinstance(new[key], float) else ""
                return f"cut {new['n']}: {key} was {_number(old.get(key), unit)}, is {_number(new[key], unit)}"
    return ""


def _number(value: Any, unit: str) -> str:
    return f"{value:.4f} {unit}" if isinstance(value, float) else str(value)


def differences(row: WholeJob, the_job: Job) -> str:
    """Return what differs between a job of the log and a recipe on its machine today, in a few words; empty when nothing."""
    said = []
    old, new = at_machine.recipe_of(row), the_job.recipe
    for key in dict.fromkeys([*old.values, *new.values]):
        before, now = _plain(old.values.get(key)), _plain(new.values.get(key))
        if before != now:
            said.append(f"{key} was {before or 'not given'}, is {now or 'not given'}")
    if (old.unit or "") != (new.unit or ""):
        said.append(f"unit was {old.unit or 'not given'}, is {new.unit or 'not given'}")
    if row.machine_file and row.machine_file != the_job.machine_file:
        said += _machine_differences(row, the_job)
    if not said:
        said = [changed] if (changed := number_changed(row, the_job)) else []
    more = len(said) - SHOWN
    return "; ".join(said[:SHOWN]) + (f"; and {more} more" if more > 0 else "")


def _plain(value: object) -> str:
    return "" if value is None else str(value)


def _machine_differences(row: WholeJob, the_job: Job) -> list[str]:
    """Return the lines of the machine's file that differ; its note and what is on hand change no plan."""
    old = _flat(parse_toml(row.machine_file, f"machine of job {row.id}"))
    new = _flat(parse_toml(the_job.machine_file, the_job.machine.name))
    keys = [key for key in dict.fromkeys([*old, *new]) if key not in ("note", "name", "cutters", "gears")]
    return [
        f"machine {key} was {old.get(key, 'not given')}, is {new.get(key, 'not given')}"
        for key in keys
        if old.get(key) != new.get(key)
    ]


def _flat(table: dict[str, Any], before: str = "") -> dict[str, str]:
    found: dict[str, str] = {}
    for key, value in table.items():
        if isinstance(value, dict):
            found.update(_flat(value, f"{before}{key}."))
        else:
            found[f"{before}{key}"] = str(value)
    return found


def open_or_begun(store: Store, the_job: Job, name: str, piece: str = "1", again: bool = False) -> WholeJob:
    """Return the job to tick for a recipe: the unfinished one, or one begun now.

    Parameters
    ----------
    name : str
        What the recipe was called, for a message.
    piece : str
        Which piece of several of one recipe.
    again : bool
        Begin anew, whatever is unfinished.

    Raises
    ------
    BadValue
        When one is unfinished that was begun otherwise; the message says what differs and gives the choice.
    """
    row = unfinished(store, the_job, piece)
    if again:
        if row is not None and row.revision == the_job.revision and store.ticks(row.id):
            store.end(row.id)
        return at_machine.begun(store, the_job, piece)
    if row is not None:
        refuse_differences(row, the_job, name)
        return row
    return at_machine.begun(store, the_job, piece)


def asked(
    recipe: str | None,
    number: int | None,
    sets: list[str] | None = None,
    machine: str | None = None,
    partly: bool = False,
) -> Asked:
    """Return what a command at the machine is asked about: a job of the log as it was begun, or a recipe.

    A recipe whose unfinished job was begun otherwise is refused; with ``--set`` or ``--machine`` another case is meant.
    A log that cannot be read is no hindrance to a recipe.
    """
    if number is not None:
        if recipe is not None or sets or machine:
            given = recipe if recipe is not None else " ".join(sets or []) or machine
            raise BadValue("recipe", given, "or a job is wanted, one of the two", "Name a recipe, or give --job alone.")
        with at_machine.open_log(reading=True) as store:
            return as_begun(store.job(number), partly)
    if recipe is None:
        raise BadValue("recipe", None, "or a job is wanted", "Name a recipe, or give --job with its number.")
    the_job = show.opened(recipe, sets, machine)
    if not sets and not machine:
        try:
            with at_machine.open_log(reading=True) as store:
                row = unfinished(store, the_job)
        except FileTrouble:
            return Asked(the_job)
        if row is not None:
            refuse_differences(row, the_job, recipe)
    return Asked(the_job)


def unfinished(store: Store, the_job: Job, piece: str | None = None) -> WholeJob | None:
    """Return the unfinished job of a recipe: that of its revision, or else the newest of its title that has any tick.

    The newest piece of several that are open is meant, unless one is named.
    """
    recipe = the_job.recipe
    rows = store.unfinished(recipe.shape, title_of(recipe.title, recipe.shape), recipe.part, piece)
    same = [row for row in rows if row.revision == the_job.revision]
    if not same and recipe.title:  # without a title only the sizes tell jobs apart
        same = [row for row in rows if store.ticks(row.id)]
    return store.job(same[0].id) if same else None


def refuse_differences(row: WholeJob, the_job: Job, name: str) -> None:
    """Refuse to take a recipe for a job that was begun otherwise, and give the choice."""
    changed = differences(row, the_job)
    if changed:
        way = (
            f"Go on as begun with --job {row.id} in place of the recipe, close it with stepcut log close {row.id}, "
            "or begin anew beside it with stepcut tick --again."
        )
        raise BadValue("recipe", name, f"is not as job {row.id} was begun ({changed})", way)
