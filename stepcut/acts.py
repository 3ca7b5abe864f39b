"""What the hands do, as data: acts, and the card that every kind of card is drawn from.

:mod:`stepcut.routine` makes both; paper, phone, tick, terminal, CSV and JSON print them and word nothing of their own.
All texts here are finished: in the user's unit, in shop words.  Numbers of an :class:`Act` are exact mm and degrees with
the zeros of the plan's stops.
"""

from __future__ import annotations

from msgspec import Struct

from stepcut.cut_lines import Change as Change
from stepcut.cut_lines import Check as Check
from stepcut.cut_lines import Column as Column
from stepcut.cut_lines import Group as Group
from stepcut.cut_lines import Line as Line
from stepcut.cut_lines import Move as Move
from stepcut.one_act import Act as Act
from stepcut.one_act import Axis as Axis
from stepcut.one_act import Kind as Kind
from stepcut.one_act import Reading as Reading
from stepcut.one_act import Way as Way
from stepcut.plan import Plan
from stepcut.quantity import Unit
from stepcut.written import spoken_angle

Fact = tuple[str, str]

FIRST_LINE = "Local rules, the machine's manual and licensed practice come before this card."
UNIT_WORDS = {"in": "inches", "mm": "millimetres"}


class SetUp(Struct, frozen=True):
    """One thing to do before the first cut: what, and the answer it must have, with a box."""

    act: Act
    n: int
    what: str
    answer: str


class Place(Struct, frozen=True):
    """One place where something is cut last with another cutter: a line of its own, as a cut of the plan is one.

    Parameters
    ----------
    first : Move
        Table: rim, turns and dial.
    depths : tuple of Reading
        What the second scale reads in each pass, the last one at full depth.
    acts : tuple of Act
        Its acts in order.
    """

    first: Move
    depths: tuple[Reading, ...]
    acts: tuple[Act, ...]


class Measure(Struct, frozen=True):
    """One thing to measure after the last cut, with what is expected.

    Parameters
    ----------
    act : Act
        The measuring.
    what, expect : str
        What is measured, and what it must be.
    acts : tuple of Act
        What is cut for it before, with another cutter.
    change : Change or None
        The change to that cutter.
    places : tuple of Place
        Where it cuts, in order; change and places hold all of ``acts``.
    """

    act: Act
    what: str
    expect: str
    acts: tuple[Act, ...] = ()
    change: Change | None = None
    places: tuple[Place, ...] = ()

    @property
    def how(self) -> str:
        """What is alike at every place, said once: how deep in each pass, and the feed."""
        if not self.places:
            return ""
        depths, acts = self.places[0].depths, self.places[0].acts
        feed = next(act.text for act in acts if act.kind == "cut")
        passes = "in passes, " if len(depths) > 1 else ""
        read = ", ".join(depth.text for depth in depths)
        return (
            f"EACH PLACE: {passes}{depths[0].label} {read}. {feed.split(' to ')[0].rstrip('.')}. Clear before the next."
        )


class Screen(Struct, frozen=True):
    """What is shown at once on a phone or in ``tick``: one button, whose word is the act.

    Parameters
    ----------
    acts : tuple of Act
        The acts that its button says are done, in order.
    place : str
        Where in the job: ``RAMP 1 · 9 of 28``.
    ask : str
        Words above the number: ``TURN 2 1/2 turns, land on``.
    readings : tuple of Reading
        The numbers; the first is the one of this act, as large as the screen allows.
    says : str
        Words below: ``Lock the table.``
    button : str
        TURNED, CUT, Both right, It is clear, Done.
    black : bool
        Whether the screen is black and must be confirmed.
    n : int or None
        The cut that it belongs to.
    last : int or None
        The number of the measure at the end for which it is cut, after the cuts of the plan.
    """

    acts: tuple[Act, ...]
    place: str
    ask: str
    readings: tuple[Reading, ...]
    says: str
    button: str
    black: bool = False
    n: int | None = None
    last: int | None = None

    @property
    def kind(self) -> Kind:
        """What is confirmed on it: a check, though a change may follow on the same screen; else its last act."""
        return "check" if any(act.kind == "check" for act in self.acts) else self.acts[-1].kind


class Heading(Struct, frozen=True):
    """What is printed at the head besides the plan."""

    title: str = ""
    part: str = "A"
    revision: str = ""
    date: str = ""
    note: str = ""
    next_time: tuple[str, ...] = ()
    unit: Unit | None = None


def title_of(title: str, shape: str) -> str:
    """Return the title that a card shows."""
    return title or f"Untitled {shape}"


class Words(Struct, frozen=True):
    """What a shape says about itself; ``shapes/<shape>/words.words(plan, voice, dials)`` returns it.

    Parameters
    ----------
    size : str
        The part in one line.
    head : tuple of (label, text)
        What it is and how it is held and cut.
    desk : tuple of (label, text)
        What the desk wants to know: scallop, to file, hold, run-out.
    set_up : tuple of (what, answer)
        In the order of doing.
    after : tuple of (what, expected)
        What to measure after the last cut.
    cautions : tuple of str
        Four or five that belong to this job.
    names : tuple of str
        What the two readings are called: rim and depth.
    column : str
        What a column is: RAMP, GROOVE, CORNER.
    ticks : tuple of str
        Words of the two boxes.
    mate : str
        About the part that slides on this one.
    too_deep : str
        What to do after a cut too deep, where the others cannot be set deeper with it.
    """

    size: str
    head: tuple[Fact, ...]
    desk: tuple[Fact, ...]
    set_up: tuple[Fact, ...]
    after: tuple[Fact, ...]
    cautions: tuple[str, ...]
    names: tuple[str, str]
    column: str
    ticks: tuple[str, str] = ("turned", "cut")
    mate: str = ""
    too_deep: str = ""


class Card(Struct, frozen=True):
    """Everything that any card prints, in the order of the work.

    Get it with ``stepcut.routine.card(plan, heading)``.  ``acts`` is the whole list; every act of it also stands in
    exactly one of ``set_up``, ``columns`` (lines, checks, changes) and ``after``.

    Parameters
    ----------
    plan : Plan
        For drawings only; no card does sums with it.
    acts : tuple of Act
        All acts, in order.
    shape, title, part, revision, date, machine, note : str
        The head.
    unit : str
        in or mm; ``unit_word`` says it: INCH or MM.
    verdict : str
        Empty, or why it must not be cut: print DO NOT CUT on every page and give no buttons.
    words : Words
        What the shape says: size, head, desk figures, cautions, names of the readings, mate.
    set_up : tuple of SetUp
        Before the first cut.
    cycle : tuple of str
        One cut, said once: its acts in short.
    columns : tuple of Column
        The cuts.
    side_by_side : bool
        Whether the columns are alike (as many lines, the same second readings), so that like depths may stand on one line.
    after : tuple of Measure
        After the last cut.
    filing : tuple of (blue shows, still stands, volume left)
        May be empty.
    remarks, next_time : tuple of str
    judged : tuple of str
        Why to look again before cutting, worst first; empty with CUT IT, and where nobody has judged the plan.
    overshot, off, too_deep, lost : str
        What to do when the mark is overshot, when a check is off, when cut too deep, when the count is lost.
    """

    plan: Plan
    acts: tuple[Act, ...]
    shape: str
    title: str
    part: str
    revision: str
    date: str
    machine: str
    note: str
    unit: Unit
    verdict: str
    words: Words
    set_up: tuple[SetUp, ...]
    cycle: tuple[str, ...]
    columns: tuple[Column, ...]
    side_by_side: bool
    after: tuple[Measure, ...]
    filing: tuple[tuple[str, str, str], ...]
    remarks: tuple[str, ...]
    next_time: tuple[str, ...]
    overshot: str
    off: str
    too_deep: str
    lost: str
    screens: tuple[Screen, ...] = ()
    judged: tuple[str, ...] = ()

    @property
    def word(self) -> str:
        """The verdict in one word: CUT IT, LOOK AGAIN or DO NOT CUT."""
        return "DO NOT CUT" if self.verdict else "LOOK AGAIN" if self.judged else "CUT IT"

    @property
    def last_word(self) -> str:
        """The verdict again, for the end of a card."""
        if self.word == "CUT IT":
            count = len(self.lines)
            return f"CUT IT: {count} cut{'s' if count > 1 else ''}" if count else "CUT IT"
        count = len(self.judged) or 1
        return f"{self.word}: {count} reason{'s' if count > 1 else ''}, said at the top"

    @property
    def machine_line(self) -> str:
        """The machine by name, what one turn of its crank is, or that its worm is out, and the unit."""
        table = self.plan.machine.table if self.plan.first.angular else None
        crank = f"; crank {spoken_angle(table.degrees_per_turn, table.dial)} a turn" if table else ""
        if table and table.direct:
            crank = f"; worm out, direct plate {spoken_angle(self.plan.first.division, table.dial)} a hole"
        return f"{self.machine}{crank}; {self.unit_word}"

    @property
    def unit_word(self) -> str:
        """The unit for the head, in capitals."""
        return "INCH" if self.unit == "in" else "MM"

    @property
    def groups(self) -> tuple[Group, ...]:
        """All groups of all columns, in the order of cutting."""
        return tuple(group for column in self.columns for group in column.groups)

    @property
    def lines(self) -> tuple[Line, ...]:
        """All cuts, in order."""
        return tuple(line for column in self.columns for line in column.lines)
