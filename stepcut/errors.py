"""The kinds of trouble stepcut can report, and the one way in which each is worded.

Every message reads ``name = value: rule. What to do.`` so that the person at the bench sees which thing is
wrong, what was given, what the rule is and the way out.  The exit status of the program belongs to the kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from msgspec import Struct

from stepcut import gate


def shown(value: object, limit: int = 40) -> str:
    r"""Return a value as it may stand in a message: one line, nothing unseen, not too long.

    Examples
    --------
    >>> shown("1.75\nin")
    '1.75[U+000A]in'
    >>> shown("")
    "''"
    >>> shown("9" * 400)
    '9999999999999999999999999999999999999...'
    """
    text = gate.line(as_text(value, 4 * limit)) or "''"
    return text if len(text) <= limit else text[: limit - 3] + "..."


def as_text(value: object, limit: int = 200) -> str:
    """Return a value as text; a whole number of thousands of digits is not written out, which Python refuses.

    Examples
    --------
    >>> as_text(10**5000), as_text(["3in"])
    ('a whole number of more than 4000 digits', "['3in']")
    """
    try:
        return (value if isinstance(value, str) else str(value))[:limit]
    except (ValueError, RecursionError):  # both come from Python's own limits, whatever the value holds
        return "a whole number of more than 4000 digits" if isinstance(value, int) else "a value nested too deep"


class StepcutError(Exception):
    """Anything stepcut refuses; ``exit_status`` is what the program ends with."""

    exit_status = 2


class Where(Struct, frozen=True):
    """A place in a file: its name, the path of the key, and the line counted from 1 (0 when unknown)."""

    file: str
    key: str = ""
    line: int = 0

    def __str__(self) -> str:
        line = f", line {self.line}" if self.line else ""
        key = f", {shown(self.key, 200)}" if self.key else ""
        return f"{shown(self.file, 1000)}{line}{key}"


class BadValue(StepcutError):
    """One wrong input: the thing, the value given, the rule it breaks and the way out."""

    def __init__(self, name: str, value: object, rule: str, remedy: str, where: Where | None = None) -> None:
        self.name, self.value, self.rule, self.remedy, self.where = name, value, rule, remedy, where
        super().__init__(name, value, rule, remedy)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        given = f" = {shown(self.value)}" if self.value is not None else ""
        return f"{place}{shown(self.name, 200)}{given}: {gate.line(f'{self.rule}. {self.remedy}')}"

    def at(self, where: Where) -> BadValue:
        """Return the same trouble with the place in a file where it stands."""
        return BadValue(self.name, self.value, self.rule, self.remedy, where)


class WouldSpoil(BadValue):
    """A plan that would spoil the part, asked for where only a good one may be used."""

    exit_status = 1


MOST_PROBLEMS = 20  # of one file that are said; nobody mends more in one go


class Refused(StepcutError):
    """A plan that cannot be made.

    Parameters
    ----------
    key : str
        The input to change.
    code : str
        Which refusal it is; the sentence belongs to the code.
    facts : numbers in mm and degrees, and words
        For the sentence.

    The core raises it without a sentence; where the user's unit is known it becomes a :class:`BadValue` with one.
    """

    def __init__(self, key: str, code: str, **facts: Any) -> None:
        self.key, self.code, self.facts = key, code, facts
        super().__init__(key, code)

    def __str__(self) -> str:
        return f"{self.key}: {self.code}"


class Problems(StepcutError):
    """Several wrong inputs, all reported together, the first twenty in words."""

    def __init__(self, problems: Sequence[BadValue]) -> None:
        self.problems = tuple(problems)
        super().__init__(*self.problems)

    def __str__(self) -> str:
        lines = [str(problem) for problem in self.problems[:MOST_PROBLEMS]]
        if len(self.problems) > MOST_PROBLEMS:
            lines.append(f"... and {len(self.problems) - MOST_PROBLEMS} more like these.")
        return "\n".join(lines)


class FileTrouble(StepcutError):
    """Something could not be read or written; nothing was changed."""

    exit_status = 3

    def __init__(self, path: object, rule: str, remedy: str) -> None:
        self.path, self.rule, self.remedy = path, rule, remedy
        super().__init__(path, rule, remedy)

    def __str__(self) -> str:
        return f"{shown(self.path, 200)}: {gate.line(f'{self.rule}. {self.remedy}')}"


def nearest(word: str, known: Sequence[str]) -> str:
    """Return `` Did you mean X?`` for the closest known word, or an empty text.

    Examples
    --------
    >>> nearest("otside", ["outside", "bore"])
    ' Did you mean outside?'
    """
    from difflib import SequenceMatcher, get_close_matches

    short = word[:60]
    close = get_close_matches(short, known, n=3, cutoff=0.6)
    if not close:
        return ""
    # Of equally near ones the one that begins alike: people seldom miss the first letter.
    best = max(close, key=lambda each: (SequenceMatcher(None, each, short).ratio(), each[:1] == short[:1]))
    return f" Did you mean {best}?"
