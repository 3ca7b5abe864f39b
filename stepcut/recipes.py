"""Recipes: the saved inputs of a job, in TOML that a person writes by hand.

A recipe has a head (title, part, machine, notes) and one table named after its shape, with the same keys as the command
line's options.  Faults are all reported together, with file, key and line.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace

from stepcut import gate
from stepcut.errors import MOST_PROBLEMS, BadValue, FileTrouble, Problems, Where, nearest
from stepcut.fields import Units, read
from stepcut.files import data_folder, line_of, read_text, read_toml
from stepcut.folders import config_folder
from stepcut.phrases import resized_cutter
from stepcut.shapes import SHAPES, kind
from stepcut.shapes.renamed import modern

VERSION = 1

# Keys of the head and what TOML must hold there.
HEAD_TYPES: dict[str, Any] = {
    "stepcut": int,
    "shape": str,
    "title": str,
    "part": str,
    "machine": str,
    "unit": str,
    "note": str,
    "next-time": list[str],
    "solved-on": dict[str, str],
}
TYPE_WORDS = {
    "object": "a table of texts",
    "str": "a text in quotes",
    "int": "a whole number",
    "list": "a list of texts",
    "array": "a list",
}


class Recipe(Struct, frozen=True):
    """The saved inputs of one job.

    Parameters
    ----------
    shape : str
        One of :data:`stepcut.shapes.SHAPES`.
    values : mapping
        Texts by key, as they stand in the shape's table.
    title, part, note, next_time
        What is printed at the head and the foot of a card.
    machine : str
        Name or path of the machine; empty for the one that goes with the unit.
    unit : str or None
        Unit of bare numbers and of the card, ``in`` or ``mm``; None when every value says its own.
    source : str
        Where it was read from.
    text : str
        Its text, for the lines of messages.
    """

    shape: str
    values: Mapping[str, Any]
    title: str = ""
    part: str = "A"
    machine: str = ""
    unit: str | None = None
    note: str = ""
    next_time: tuple[str, ...] = ()
    source: str = ""
    text: str = ""
    solved_on: Mapping[str, str] = field(default_factory=dict)  # figures of the machine it was solved for
    renamed: tuple[tuple[str, str, str], ...] = ()  # inputs read under an old name: old name, new name, new text
    changed: frozenset[str] = frozenset()  # inputs that --set has changed: no line of the file is to blame for them

    def where(self, key: str) -> Where | None:
        """Return the place of a key of the shape's table, or that --set gave it, for a message; None when there is no file."""
        if key in self.changed:
            return Where("--set", f"{self.shape}.{key}") if self.source else None
        if not self.source:
            return None
        names = [key, *(old for old, new, _ in self.renamed if new == key)]
        found = [
            (name, line)
            for name in names
            for spelt in (name, name.replace("-", "_"))
            if (line := line_of(self.text, (self.shape, spelt)))
        ]
        name, line = found[0] if found else (key, line_of(self.text, (self.shape,)))
        return Where(self.source, f"{self.shape}.{name}", line)

    @property
    def apart(self) -> frozenset[str]:
        """Inputs beside which the unit of bare numbers does not stand: one is in the file, the other was given by ``--set``."""
        return frozenset(self.values) - self.changed if "unit" in self.changed else self.changed

    def notes(self) -> list[str]:
        """Return a line for each input that was read under an old name."""
        lines = []
        for old, new, text in self.renamed:
            place = self.where(old)
            lines.append(
                f"{f'{place}: ' if place else ''}{old} is now called {new}; it was read as {new} = {gate.line(str(text))}."
            )
        return lines

    def resized(self, sets: Mapping[str, str]) -> Recipe:
        """Return the recipe with some values replaced; an empty text takes a value out.

        Raises
        ------
        BadValue
            When a key is not one of this shape's.
        """
        known = [f.key for f in kind(self.shape).fields]
        values = dict(self.values)
        head: dict[str, Any] = {}
        plain = {key.strip().replace("_", "-").removeprefix(f"{self.shape}."): text for key, text in sets.items()}
        if ("kind" in plain or "corner" in plain) and "cutter" in values:  # old words for the end of the same cutter
            plain.setdefault("cutter", str(values["cutter"]))
        plain = modern(self.shape, plain)[0]
        for key, text in plain.items():
            if key in ("title", "part", "machine", "unit", "note"):
                head[key] = text
            elif key not in known:
                way = f"Use one of {', '.join(known)}.{nearest(key, known)}"
                raise BadValue(f"set {key}", text, f"is no input of a {self.shape}", way)
            elif text == "":
                values.pop(key, None)
            else:
                values[key] = resized_cutter(values[key], text) if key == "cutter" and key in values else text
        changed = self.changed | set(plain)
        return replace(self, values=values, changed=changed, **head)


def load(path: str | Path) -> Recipe:
    """Return the recipe of a file, or of the name of an example that ships.

    Raises
    ------
    Problems, BadValue
        With every fault of the head.
    FileTrouble
        When it cannot be read.
    """
    path = resolve(path)
    content, text = read_toml(path)
    return from_content(content, text, str(path))


def from_content(content: Mapping[str, Any], text: str = "", source: str = "") -> Recipe:
    """Return the recipe of a parsed TOML document, checked key by key so that every fault is reported."""

    def where(key: str) -> Where | None:
        return Where(source, key, line_of(text, (key,))) if source else None

    head, problems = _head(content, where)
    shape = head.get("shape") or next((name for name in content if name in SHAPES), "")
    table: Any = {}
    if shape in SHAPES:
        table = content.get(shape, {})
        if not isinstance(table, dict):
            problems.append(BadValue(shape, table, "must be a table", f"Begin it with a line [{shape}].", where(shape)))
            table = {}
    else:
        way = f"Give one of {', '.join(SHAPES)}.{nearest(shape, list(SHAPES))}"
        problems.append(BadValue("shape", shape or None, "is missing or not known", way, where("shape")))
    rule = f"does not belong to a {shape} recipe"
    problems += [
        BadValue(f"[{other}]", None, rule, "Leave it out.", where(other))
        for other in SHAPES
        if other != shape and other in content
    ]
    values, renamed = modern(shape, table)
    recipe = Recipe(
        shape=shape,
        values=values,
        renamed=renamed,
        title=head.get("title", ""),
        part=head.get("part", "A"),
        machine=head.get("machine", ""),
        unit=head.get("unit"),
        note=head.get("note", ""),
        next_time=tuple(head.get("next-time", ())),
        solved_on=head.get("solved-on", {}),
        source=source,
        text=text,
    )
    if shape in SHAPES:
        problems += _faults(recipe)
    if problems:
        raise Problems(problems) if len(problems) > 1 else problems[0]
    return recipe


def _head(content: Mapping[str, Any], where: Callable[[str], Where | None]) -> tuple[dict[str, Any], list[BadValue]]:
    """Return the keys of the head that are right, and the faults of the others."""
    import msgspec

    head: dict[str, Any] = {}
    problems: list[BadValue] = []
    for raw_key, value in content.items():
        key = raw_key.replace("_", "-")
        if key in HEAD_TYPES:
            try:
                head[key] = msgspec.convert(value, HEAD_TYPES[key])
            except msgspec.ValidationError as error:
                wanted = next(
                    (words for word, words in TYPE_WORDS.items() if f"`{word}`, got" in str(error)), "another value"
                )
                problems.append(BadValue(key, value, f"must be {wanted}", "Mend it.", where(raw_key)))
        elif key not in SHAPES:
            close = nearest(key, [*HEAD_TYPES, *SHAPES]) if len(problems) < MOST_PROBLEMS else ""
            way = f"Leave it out.{close}"
            problems.append(BadValue(key, None, "is not known here", way, where(raw_key)))
    version = head.get("stepcut")
    if "stepcut" not in content:
        way = f"Begin the recipe with stepcut = {VERSION}."
        problems.append(BadValue("stepcut", None, "is missing", way, where("stepcut")))
    elif version is not None and version != VERSION:
        rule = f"is a version that this program does not know (it knows {VERSION})"
        problems.append(BadValue("stepcut", version, rule, "Use a newer stepcut.", where("stepcut")))
    if head.get("unit") not in (None, "in", "mm"):
        problems.append(BadValue("unit", head.pop("unit"), "is not one of the choices", "Use in or mm.", where("unit")))
    return head, problems


def _faults(recipe: Recipe) -> list[BadValue]:
    """Return the faults of the shape's table, so that they are reported with those of the head."""
    try:
        read(
            recipe.values, kind(recipe.shape).fields, Units(recipe.unit, Fraction(1), apart=recipe.apart), recipe.where
        )
    except BadValue as problem:
        return [problem]
    except Problems as several:
        return list(several.problems)
    return []


# --- examples that ship --------------------------------------------------------------------------------------


def shipped_folder() -> Path:
    """Return the folder of the example recipes: in an installed package, or beside it in a checkout."""
    inside = data_folder("recipes")
    return inside if inside.is_dir() else Path(__file__).parent.parent / "recipes"


def shipped() -> list[Path]:
    """Return the example recipes that ship, by name."""
    return sorted(shipped_folder().glob("*.toml"))


def own_folder() -> Path:
    """Return the folder of the person's own recipes."""
    return config_folder() / "recipes"


def own_recipe(name: str) -> Path:
    """Return the file of an own recipe's name.

    Raises
    ------
    BadValue
        When the name cannot be that of a file.
    """
    plain = "-".join(name.split())
    if not plain or len(plain) > 80 or not all(c.isalnum() or c in "-_." for c in plain) or plain.startswith("."):
        raise BadValue("name", name, "cannot be the name of a recipe", "Use letters, digits, dashes and spaces.")
    return own_folder() / f"{plain}.toml"


def own() -> list[Path]:
    """Return the person's own recipes, by name."""
    try:
        return sorted(own_folder().glob("*.toml"))
    except (FileTrouble, OSError):  # a person without a home has none
        return []


def _own_named(name: str) -> Path | None:
    try:
        path = own_recipe(name)
        return path if path.is_file() else None
    except (BadValue, FileTrouble, OSError):
        return None


def resolve(path: str | Path) -> Path:
    """Return the file meant by a path, or by the bare name of an own recipe or of an example.

    Raises
    ------
    FileTrouble
        When a bare name is none, or a file is missing whose name a recipe has.
    """
    direct = Path(path)
    if str(path) == "-" or "/" in str(path) or "\\" in str(path):  # "-" is standard input
        return direct
    if direct.suffix != ".toml" and (mine := _own_named(str(path))) is not None:
        return mine
    if direct.exists():
        return direct
    named = shipped_folder() / (direct.name if direct.suffix == ".toml" else f"{direct.name}.toml")
    if not named.is_file() and not direct.suffix:
        if (here := direct.with_name(f"{direct.name}.toml")).is_file():
            raise FileTrouble(
                path, "there is no recipe of that name", f"A file here is called {here.name}: name it so."
            )
        close = nearest(str(path), [each.stem for each in (*own(), *shipped())])
        raise FileTrouble(path, "there is no recipe of that name", f"See stepcut recipe list.{close}")
    if not named.is_file() and direct.suffix == ".toml" and _own_named(direct.stem) is not None:
        raise FileTrouble(
            path, "there is no such file here", f"A recipe of yours is called {direct.stem}: leave .toml out."
        )
    return named if named.is_file() else direct


def source_text(path: str | Path) -> str:
    """Return the text of a recipe as it stands, comments and all."""
    return read_text(resolve(path))


# --- writing -------------------------------------------------------------------------------------------------


def dump(recipe: Recipe) -> str:
    """Return a recipe as TOML text that reads back the same."""
    head = {
        "stepcut": VERSION,
        "shape": recipe.shape,
        "title": recipe.title,
        "part": recipe.part,
        "machine": recipe.machine,
        "unit": recipe.unit,
        "note": recipe.note,
        "next-time": list(recipe.next_time),
        "solved-on": dict(recipe.solved_on),
    }
    lines = [f"{key} = {_toml(value)}" for key, value in head.items() if value]
    lines += ["", f"[{recipe.shape}]", *(f"{key} = {_toml(value)}" for key, value in recipe.values.items())]
    return "\n".join(lines) + "\n"


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return str(value)
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_toml(item) for item in value) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{json.dumps(key)} = {_toml(item)}" for key, item in value.items()) + " }"
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007F")


def __getattr__(name: str) -> Any:
    """Give what has moved to :mod:`stepcut.job`, until every module takes it from there."""
    if name in ("job", "job_on", "Job"):
        from importlib import import_module

        return getattr(import_module("stepcut.job"), name)
    raise AttributeError(name)
