"""No input is read and forgotten: whatever is given beside an example changes its card, is refused, or is said to be of no use.

Every input of every example is given by itself, with sizes that nobody chose for it.  What rightly changes nothing stands in one list
with its reason.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from fractions import Fraction
from importlib import import_module
from typing import Any

import pytest

from stepcut import recipes
from stepcut.acts import Heading
from stepcut.cards import terminal, verdict_text
from stepcut.cli import show
from stepcut.errors import StepcutError
from stepcut.fields import Field
from stepcut.job import Job
from stepcut.recipes import Recipe
from stepcut.routine import card

TRIED: dict[str, list[str]] = {
    "length": ["43mm", "0.004mm", "3mm", "0.11mm", "11mm"],
    "angle": ["1deg", "23deg", "71deg"],
    "number": ["2", "7"],
    "count": ["3", "8", "2000"],
    "lengths": ["19mm, 17mm", "0mm, 1mm, 2mm"],
    "angles": ["0deg, 20deg, 50deg"],
    "counts": ["2", "2, 5", "16, 18"],
    "flag": ["yes", "no"],
    "texts": ["rise 2mm in 70deg; dwell 40deg; fall 2mm in 90deg"],
    "per": ["2thou/5deg", "0.1mm/3deg"],
    "taper": ["1:17", "MT3"],
    "cutter": ["3mm", "7mm", "5mm ball", "9mm bull 1mm", "6mm vee 90deg"],
    "targets": ["0deg 0mm, 40deg 2mm", "0mm 9mm, 12mm 11mm"],
    "text": ["20deg"],
}
# What may be taken and change nothing.  A limit is refused where it is not kept, and one that is never refused is none.
LIMITS = {"scallop", "cuts"}
RIGHTLY = {
    "headstock-edge": "is a limit, and a flank that falls away toward the headstock asks for no angle",
    "tailstock-edge": "is a limit, and a flank that falls away toward the tailstock asks for no angle",
    "for": "says how far to file it and whether it must hold, which neither flats nor teeth change on the card",
    "regroup": "has nothing to put together where no cut is so thin that it rubs",
    "diameter": "says the worst error of dividing as a length, and no place is off",
}


def line_of(shape: str, line: str) -> Recipe:
    """The recipe of a command's example."""
    values: dict[str, str] = {}
    for word in shlex.split(line)[1:]:
        if word.startswith("--"):
            key = word[2:]
            values[key] = "yes"
        else:
            values[key] = word
    head = {key: values.pop(key) for key in ("machine", "unit") if key in values}
    return recipes.from_content({"stepcut": 1, "title": "", "machine": "inch", **head, shape: values})


def examples() -> Iterator[Any]:
    """Every recipe that ships, and from the commands' help the ways of saying a shape that none of them takes."""
    for path in recipes.shipped():
        yield pytest.param(lambda name=path.stem: recipes.load(name), id=path.stem)
    for shape, word in (("points", "--tube"), ("groove", "--targets")):
        line = next(line for line in import_module(f"stepcut.shapes.{shape}.ask").EXAMPLES if word in line)
        yield pytest.param(lambda shape=shape, line=line: line_of(shape, line), id=f"{shape} {word}")


def shown(job: Job) -> str:
    """All that a card says, and its verdict; without what names the job."""
    plan, voice = show.solved(job), show.voice(job)
    text = terminal.render(card(plan, Heading(unit=voice.unit)), 100)
    return f"{text}\n{verdict_text.content(plan, voice, job.use)}"


def others(field: Field, value: object) -> list[str]:
    """Texts to try for an input: near what it is, and far from it."""
    near = []
    if isinstance(value, Fraction) and field.kind in ("length", "angle"):
        near = [f"{float(value) * 1.1:.6f}{'mm' if field.kind == 'length' else 'deg'}"]
    if isinstance(value, int) and field.kind == "count":
        near = [str(value + 1)]
    return [*near, *(field.choices or TRIED[field.kind])][: 3 if field.key in LIMITS else None]


def forgotten(job: Job, field: Field, before: str) -> list[str]:
    """The texts that are taken for an input and change nothing; none where any of them does, or one is refused as a limit is."""
    taken, refused = [], 0
    for text in others(field, job.values[field.key]):
        try:
            other = job.resized({field.key: text})
            if other.values[field.key] == job.values[field.key]:
                continue
            if other.plan.stops != job.plan.stops or shown(other) != before:
                return []
        except StepcutError:
            refused += 1
        else:
            taken.append(text)
    if field.choices and len(taken) == 1 and refused:  # the word that stands anyway, while others are refused
        return []
    return [] if field.key in RIGHTLY or (field.key in LIMITS and refused) else taken


@pytest.mark.long
@pytest.mark.parametrize("example", [*examples()])
def test_nothing_that_is_given_is_forgotten(example: Any) -> None:
    job = recipes.job(example())
    before = shown(job)
    found = {field.key: forgotten(job, field, before) for field in job.kind.fields}
    assert {key: texts for key, texts in found.items() if texts} == {}
