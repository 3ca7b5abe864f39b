"""Fields: one named input with its kind, its rule and its help; and reading many of them at once.

A value is text in shop words (``1-3/8in``); every fault is found before anything is refused.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Any, Literal

from msgspec import Struct
from msgspec.structs import replace

from stepcut import phrases, quantity, written
from stepcut.errors import MOST_PROBLEMS, BadValue, Problems, Where, nearest
from stepcut.quantity import Unit

FieldKind = Literal[
    "length", "angle", "force", "number", "count", "choice", "text", "targets", "lengths", "angles", "counts", "texts", "flag",
    "per", "taper", "cutter", "cutters",
]  # fmt: skip
LISTS: dict[str, FieldKind] = {"lengths": "length", "angles": "angle", "counts": "count", "cutters": "cutter"}
Rule = Literal["positive", "not-negative", "any"]
# What people type for a choice.
SPOKEN = {
    "cw": "clockwise",
    "ccw": "anticlockwise",
    "acw": "anticlockwise",
    "r": "right",
    "l": "left",
    "rh": "right",
    "lh": "left",
}


class Field(Struct, frozen=True):
    """One input.

    Parameters
    ----------
    key : str
        Its name: the key of a recipe and, with two dashes, the option of the command line.
    kind : str
        What its text means.
    help : str
        One line for the command's help.
    needed : bool
        Whether it must be given.
    default : str or None
        Text that stands when nothing is given.
    rule : str
        positive, not-negative or any.
    choices : tuple of str
        The words of a choice.
    most : int or None
        Largest count.
    words : mapping
        Words that stand for no number, such as ``auto``, and what they mean.
    remedy : str
        What to do about a broken rule, when there is a better way than a larger number.
    along : str
        What the first of each pair of targets is.
    group : str
        The heading it stands under in the command's help.
    example : str
        Text that may be given, for a message that says it is missing.
    risers : bool
        Whether two targets may stand at one place: a riser.
    later : bool
        Whether it came after cards were printed: not given, it leaves the revision of a job as it was.
    """

    key: str
    kind: FieldKind
    help: str
    needed: bool = False
    default: str | None = None
    rule: Rule = "positive"
    choices: tuple[str, ...] = ()
    most: int | None = None
    words: Mapping[str, Any] | None = None
    remedy: str = ""
    along: Literal["angle", "length"] = "angle"
    group: Literal["part", "cutter", "steps"] = "part"
    example: str = ""
    risers: bool = False
    later: bool = False


class Units(Struct, frozen=True):
    """What a bare number means here, the crank of the table, and the unit that messages say lengths in; all may be unknown.

    ``apart`` are inputs that stand elsewhere than beside the unit, such as behind ``--set``: a bare number there is refused.
    """

    length: str | None = None
    crank: Fraction | None = None
    said: Unit | None = None
    apart: frozenset[str] = frozenset()

    def of(self, key: str) -> Units:
        """Return them for one input."""
        return replace(self, length=None) if key in self.apart else self


class Values(dict[str, Any]):
    """Read values by key, with the words they were given in and the unit that messages say lengths in."""

    def __init__(
        self, values: Mapping[str, Any], texts: Mapping[str, object], unit: Unit = "mm", units: Units | None = None
    ) -> None:
        super().__init__(values)
        self.texts, self.unit, self.units = texts, unit, units or Units()

    def bare(self, key: str) -> str | None:
        """Return the unit of a number without one in an input; None where it is refused."""
        return self.units.of(key).length

    def given(self, *keys: str) -> list[str]:
        """Return those of some inputs that the user gave, even where a default says the same."""
        return [key for key in keys if self.texts.get(key) is not None]

    def said(self, key: str) -> str:
        """Return a value as the user wrote it, or as a message says it when it was not given."""
        text = self.texts.get(key)
        return str(text) if text is not None else self.size(self[key])

    def like(self, inches: str, metric: str) -> str:
        """Return an example in the user's unit, for a message."""
        return inches if self.unit == "in" else metric

    def size(self, mm: Fraction | float) -> str:
        """Return a length in the user's unit, for a message."""
        return written.near_text(mm, self.unit)


def unit_of_texts(texts: Iterable[object]) -> Unit | None:
    """Return the unit that most of these texts speak of; None when none says one."""
    units = [quantity.unit_of(text) for text in texts if isinstance(text, str)]
    inches, metric = units.count("in"), units.count("mm")
    return None if inches == metric == 0 else "in" if inches >= metric else "mm"


def read(
    raw: Mapping[str, object],
    fields: Iterable[Field],
    units: Units,
    where: Callable[[str], Where | None] = lambda key: None,
) -> Values:
    """Return the value of every field, None where nothing is given.

    Parameters
    ----------
    raw : mapping
        Texts (or the strings, numbers and lists of a TOML table) by key.
    fields : iterable of Field
        What may be given.
    units : Units
        Default unit and crank.
    where : callable
        Gives the place of a key in a file, for messages.

    Raises
    ------
    Problems
        With every fault at once.
    """
    fields = tuple(fields)
    known = {field.key: field for field in fields}
    given = {key.replace("_", "-"): value for key, value in raw.items()}
    strange = [key for key in given if key not in known]
    bare: Unit | None = "in" if units.length == "in" else "mm" if units.length == "mm" else None
    said = units.said or bare or unit_of_texts(given.values())
    problems = [
        BadValue(key, None, "is not known here", f"Leave it out.{nearest(key, list(known))}", where(key))
        for key in strange[:MOST_PROBLEMS]
    ]
    problems += [BadValue(key, None, "is not known here", "Leave it out.") for key in strange[MOST_PROBLEMS:]]
    values: dict[str, Any] = {}
    for field in fields:
        text = given.get(field.key, field.default)
        try:
            values[field.key] = None if text is None else read_one(field, text, units.of(field.key))
            if field.needed and values[field.key] in (None, "", ()):
                raise BadValue(field.key, None, "is missing", f"Give {_example(field, said)}.")
        except BadValue as problem:
            place = where(field.key)
            problems.append(problem.at(place) if place else problem)
    if problems:
        raise Problems(problems) if len(problems) > 1 else problems[0]
    return Values(values, given, said or "mm", units)


def _example(field: Field, unit: str | None = None) -> str:
    """Return a field with one of its values: of two that ``or`` parts, the one in the user's unit where that is known."""
    if field.choices:
        return f"{field.key}, one of {', '.join(field.choices)}"
    example = field.example or {
        "length": "1-3/8in or 37mm", "angle": "140deg or 12°30'", "count": "3", "force": "500lbf or 2kN", "cutter": "3/8in or 10mm",
        "targets": "'0deg 0mm, 90deg 2mm'",
    }.get(field.kind, "")  # fmt: skip
    mine = [text for text in example.split(" or ") if unit is not None and text.rstrip("'").endswith(unit)]
    return f"{field.key}, such as {mine[0] if mine else example}" if example else field.key


def read_one(field: Field, text: object, units: Units) -> Any:
    """Return one value, checked by the field's rule."""
    if isinstance(text, bool) and field.kind != "flag":
        raise BadValue(field.key, text, f"is no {field.kind}", f"Write {_example(field)}.")
    if field.words and str(text).strip().lower() in field.words:
        return field.words[str(text).strip().lower()]
    if field.kind == "text":
        return _text(field, text)
    if field.kind == "flag":
        return _flag(field, text)
    if field.kind == "choice":
        word = str(text).strip().lower()
        if word not in field.choices and SPOKEN.get(word) in field.choices:
            return SPOKEN[word]
        if word not in field.choices:
            way = f"Use one of {', '.join(field.choices)}.{nearest(word, field.choices)}"
            raise BadValue(field.key, text, "is not one of the choices", way)
        return word
    if field.kind == "count":
        return _count(field, text)
    if field.kind in ("per", "taper", "cutter") and isinstance(text, list | dict):
        raise BadValue(field.key, text, f"is no {field.kind}", f"Write {_example(field, units.said)}.")
    if field.kind == "per":
        return phrases.parse_per(text, field.key, units.length, units.crank)
    if field.kind == "taper":
        return phrases.parse_taper(text, field.key)
    if field.kind == "cutter":
        return phrases.parse_cutter(text, field.key, units.length)
    if field.kind == "targets":
        return _targets(field, text, units)
    if field.kind == "texts":
        lines = text if isinstance(text, list) else re.split(r"[;\n]|,(?=\s*[A-Za-z])", str(text))
        if len(lines) > 200:
            raise BadValue(field.key, f"{len(lines)} parts", "is more than 200", "Join or leave out some.")
        return tuple(str(line).strip() for line in lines if str(line).strip())
    if field.kind in LISTS:
        kind = LISTS[field.kind]
        one = Field(field.key, kind, field.help, rule=field.rule, most=field.most)
        parts = text if isinstance(text, list) else str(text).split(";" if ";" in str(text) else ",")
        if len(parts) > 200:
            raise BadValue(field.key, f"{len(parts)} values", "is more than 200", "Give the ones that you use.")
        return tuple(read_one(one, part, units) for part in parts if str(part).strip())
    return _quantity(field, text, units)


def _text(field: Field, text: object) -> str:
    line = str(text)
    if len(line) > 2000:
        raise BadValue(field.key, line, "is longer than 2000 characters", "Shorten it.")
    return line


def _flag(field: Field, text: object) -> bool:
    word = str(text).strip().lower()
    if word not in ("true", "false", "yes", "no"):
        raise BadValue(field.key, text, "is neither yes nor no", "Write yes or no.")
    return word in ("true", "yes")


def _count(field: Field, text: object) -> int:
    word = str(text).strip()
    most = field.most or 1_000_000
    if not word.isascii() or not word.isdigit() or len(word) > 12:
        raise BadValue(field.key, text, "is not a whole number", "Write it like 3.")
    value = int(word)
    least = 1 if field.rule == "positive" else 0
    if not least <= value <= most:
        raise BadValue(
            field.key, text, f"must be from {least} to {most}", field.remedy or "Choose a number in that range."
        )
    return value


def _quantity(field: Field, text: object, units: Units) -> Fraction:
    if isinstance(text, list | dict):
        raise BadValue(field.key, text, f"is no {field.kind}", f"Write {_example(field)}.")
    if field.kind == "length":
        value = quantity.parse_length(text, field.key, units.length)
    elif field.kind == "angle":
        value = quantity.parse_angle(text, field.key, None, units.crank)
    elif field.kind == "force":
        value = quantity.parse_force(text, field.key)
    else:
        value = quantity.parse_number(text, field.key)
    if field.rule == "positive" and value <= 0:
        raise BadValue(field.key, text, "must be greater than 0", field.remedy or "Give a size above nought.")
    if field.rule == "not-negative" and value < 0:
        raise BadValue(field.key, text, "must not be negative", field.remedy or "Give nought or more.")
    return value


def _targets(field: Field, text: object, units: Units) -> tuple[tuple[Fraction, Fraction], ...]:
    """Read a list of pairs: place and depth."""
    rows = text if isinstance(text, list) else phrases.split_pairs(str(text), field.key)
    if len(rows) > 10_000:
        raise BadValue(field.key, f"{len(rows)} rows", "is more than 10000", "Thin the list out.")
    pairs: list[tuple[Fraction, Fraction]] = []
    for number, row in enumerate(rows, 1):
        if not isinstance(row, list) or len(row) != 2:
            way = f'Write row {number} as two texts, like ["90deg", "0.045in"].'
            raise BadValue(field.key, row, "is not a pair of place and depth", way)
        try:
            first = (
                quantity.parse_length(row[0], f"{field.key} row {number}", units.length)
                if field.along == "length"
                else quantity.parse_angle(row[0], f"{field.key} row {number}", None, units.crank)
            )
            pairs.append((first, quantity.parse_length(row[1], f"{field.key} row {number}", units.length)))
        except BadValue as problem:
            raise problem from None
    if len(pairs) < 2:
        raise BadValue(field.key, text, "needs at least two rows", "Give the first and the last place.")
    _in_order(field, [place for place, _ in pairs], [row[0] for row in rows])
    return tuple(pairs)


def _in_order(field: Field, places: list[Fraction], texts: list[object]) -> None:
    """Refuse places that go back, or more of them at one place than a riser has."""
    for number, (a, b) in enumerate(itertools.pairwise(places), 2):
        rule, way = "must be past the row before", "Put the rows in order."
        if field.risers:
            if b > a or (b == a and (number < 3 or places[number - 3] < a)):
                continue
            if b == a:
                rule, way = (
                    "is the third row at one place",
                    "A riser has two: the depth before it and the depth after it.",
                )
        elif b > a:
            continue
        raise BadValue(f"{field.key} row {number}", texts[number - 1], rule, way)
