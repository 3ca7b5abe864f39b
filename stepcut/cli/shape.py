"""A command for each shape, made from the shape's own list of inputs."""

from __future__ import annotations

import inspect
import keyword
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.cli.options import Text
from stepcut.errors import BadValue
from stepcut.recipes import Recipe
from stepcut.shapes import SHAPES, brings, kind, renamed

if TYPE_CHECKING:
    from stepcut.fields import Field

COMMON: dict[str, tuple[Any, Any]] = {
    "machine": (Annotated[Text, typer.Option("--machine", help="Name or file of the machine.")], None),
    "title": (Annotated[str, typer.Option("--title", help="Name of the job, for the card.", rich_help_panel="paper")], ""),
    "part": (Annotated[str, typer.Option("--part", help="Letter of the part.", rich_help_panel="paper")], "A"),
    "unit": (Annotated[Text, typer.Option("--unit", help="Unit of bare numbers and of the card: in or mm.", rich_help_panel="paper")], None),
    "json": (Annotated[bool, typer.Option("--json", help="Print the plan as JSON.", rich_help_panel="paper")], False),
    "save": (Annotated[Text, typer.Option("--save", help="Write the recipe under this name.")], None),
    "force": (Annotated[bool, typer.Option("--force", help="Replace a file that stands already.")], False),
    "width": (Annotated[int | None, typer.Option("--width", help="Columns to print.", min=32, max=160, rich_help_panel="paper")], None),
}  # fmt: skip
# How people call an option that has another name here; said when an option is not known.
ALSO_CALLED = {
    "od": "outside", "id": "bore", "dia": "diameter", "diam": "diameter", "inside": "bore", "degrees": "span",
    "depth": "rise", "height": "rise", "mill": "cutter", "tool-diameter": "cutter", "ridge": "scallop", "allowance": "leave",
    "slope": "per", "number": "ramps", "lobes": "ramps", "pitch": "lead",
}  # fmt: skip


def command_for(shape: str) -> TyperCommand:
    """Return the command of a shape: one option for each of its inputs, and those that every shape has."""
    from stepcut.cli import usage

    fields = kind(shape).fields
    own = {_name(field): field.key for field in fields}
    old = {f"old_{each.old.replace('-', '_')}": each.old for each in renamed.of_shape(shape)}
    known = {**own, **old}

    def body(**options: Any) -> int:
        values = {known[name]: text for name, text in options.items() if name in known and text not in (None, False)}
        with usage.options_named([field.key for field in fields]):
            return solve_and_show(shape, values, {name: options.get(f"{name}_") for name in [*COMMON, "choice"]})

    parameters = [*map(_own, fields), *(_old(name, word) for name, word in old.items()), *_common(shape)]
    body.__doc__ = f"Solve {SHAPES[shape]}."
    body.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]  # typer reads it
    body.__annotations__ = {p.name: p.annotation for p in parameters}
    return one(shape, body)


def _name(field: Field) -> str:
    """Return what the value of an input is called in Python."""
    plain = field.key.replace("-", "_")
    return f"{plain}_" if keyword.iskeyword(plain) else plain


def _own(field: Field) -> inspect.Parameter:
    """Return the option of an input."""
    words = f" ({', '.join(field.choices)})" if field.choices else ""
    option = typer.Option(
        f"--{field.key}", help=f"{field.help}{words}", metavar=field.kind.upper(), rich_help_panel=field.group
    )
    flag = field.kind == "flag"
    return _parameter(_name(field), Annotated[bool if flag else Text, option], False if flag else None)


def _old(name: str, word: str) -> inspect.Parameter:
    """Return the option of an input's old name: still taken, no longer shown."""
    return _parameter(name, Annotated[Text, typer.Option(f"--{word}", hidden=True)], None)


def _common(shape: str) -> list[inspect.Parameter]:
    """Return the options that every shape has, and the row of the table of choices where a shape brings one."""
    options = dict(COMMON)
    if brings(shape, "choices"):
        option = typer.Option("--choice", help="Take this row of the table of choices.", min=1, max=20, rich_help_panel="steps")  # fmt: skip
        options["choice"] = (Annotated[int | None, option], None)
    return [_parameter(f"{name}_", annotation, default) for name, (annotation, default) in options.items()]


def _parameter(name: str, annotation: Any, default: Any) -> inspect.Parameter:
    return inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, annotation=annotation, default=default)


def solve_and_show(shape: str, values: dict[str, Any], common: Mapping[str, Any]) -> int:
    """Solve from the texts of options and print the card, the JSON or the table of choices; return the exit status."""
    from stepcut.cli import screen
    from stepcut.cli import show as showing
    from stepcut.job import job

    recipe = _recipe(shape, values, common)
    for note in recipe.notes():
        screen.say(f"--{note}")
    the_job = job(recipe, common["machine"])
    if brings(shape, "choices") and (common["choice"] or not (common["json"] or common["save"] is not None)):
        from stepcut.cli import choosing

        chosen = choosing.choose(the_job, common["choice"], screen.width(common["width"]))
        if chosen is None:
            return 0
        the_job = chosen
    plan = showing.solved(the_job)
    if common["save"] is not None:
        showing.saved(common["save"], the_job.kept, bool(common["force"]))
    if common["json"]:
        showing.json_text(the_job)
    else:
        showing.card(the_job, common["width"])
    return 1 if plan.spoils else 0


def _recipe(shape: str, values: dict[str, Any], common: Mapping[str, Any]) -> Recipe:
    """Return the recipe that the texts of options say."""
    if common["unit"] not in (None, "in", "mm"):
        raise BadValue("unit", common["unit"], "is not one of the choices", "Use in or mm.")
    for field in kind(shape).fields:
        if field.kind == "targets" and field.key in values:
            values[field.key] = targets_of(values[field.key], field.key)
    values, old_words = renamed.modern(shape, values)
    return Recipe(
        shape,
        values,
        title=common["title"] or Path(common["save"] or "").stem,  # what it is kept as is what its card is called
        part=common["part"],
        unit=common["unit"],
        renamed=old_words,
    )


def targets_of(text: str, key: str = "targets") -> list[list[str]]:
    """Return the pairs of an inline list, or the rows of the file that is named."""
    import re

    from stepcut.phrases import split_pairs

    looks_like_file = len(text) < 1000 and (Path(text).is_file() or re.search(r"\.\w*[a-z]\w*$|[/\\]", text.strip()))
    pairs = re.fullmatch(r"[^/\\]*\d\s*(?:[a-zµ°\"'”’″′]*).*[\s,;].*", text.strip(), re.I | re.S)
    if looks_like_file and (Path(text).is_file() or not pairs):
        return read_targets(Path(text))
    return split_pairs(text, key)


def read_targets(path: Path) -> list[list[str]]:
    """Return the rows of a targets file: place and depth separated by a semicolon, a comma, a tab or a blank; # begins a remark."""
    import re

    from stepcut.files import read_text
    from stepcut.phrases import split_pairs

    rows = []
    for number, line in enumerate(read_text(path).splitlines(), 1):
        bare = line.split("#")[0].strip()
        if not bare:
            continue
        parts = [
            part.strip().strip('"') if part.count('"') == 2 else part.strip() for part in re.split(r"[;\t]|,\s*", bare)
        ]
        if len(parts) == 1:  # with a blank between, as they are written in a line of options
            with suppress(BadValue):
                parts = [part for pair in split_pairs(bare, "pairs") for part in pair]
        if len(parts) != 2:
            raise BadValue(
                f"{path}, line {number}", bare, "is not a pair of place and depth", "Write it like 90deg, 0.045in."
            )
        rows.append(parts)
    return rows
