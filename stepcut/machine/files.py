"""Machine files: reading them, finding them by name, writing a new one.

Two machines ship with the program; a person's own stand in the configuration folder or anywhere, by path.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from stepcut import gate
from stepcut.errors import MOST_PROBLEMS, BadValue, FileTrouble, Problems, Where, nearest
from stepcut.fields import Field, Units, read
from stepcut.files import data_folder, line_of, parse_toml, read_text, read_toml, write_whole
from stepcut.folders import config_folder
from stepcut.machine import Compound, Machine, RotaryTable, Scale
from stepcut.machine.model import LARGEST_SLACK
from stepcut.quantity import Unit
from stepcut.written import near_text

SHIPPED = ("inch", "metric")
_TURNINGS = ("clockwise", "anticlockwise")


# What the inward reading of each scale runs with; a slide has none, for it is used both ways.
INWARD = {
    "depth": "as the cutter goes deeper", "depth-2": "as the cutter goes deeper", "depth-3": "as the cutter goes deeper",
    "carriage": "as the tool goes along the work, away from its face", "cross-slide": "as the tool goes toward the axis",
    "compound": "as the tool goes into the work",
}  # fmt: skip
_GOES = ("grows", "falls")
LONGEST_HANDLE = 40  # letters; it heads a column of the card


def _linear(section: str) -> tuple[Field, ...]:
    fields = [
        Field("name", "text", "What the scale is called at the machine."),
        Field("division", "length", "Smallest mark or digit.", needed=True),
        Field("error", "length", "Largest error of a reading.", default="0mm", rule="not-negative"),
        Field("backlash", "length", "Slack on reversal.", default="0mm", rule="not-negative"),
        Field("per-turn", "length", "Travel for one turn of its handle."),
        Field("handle", "text", "The handle that moves it."),
        Field("handle-turns", "choice", "The way its handle turns, seen facing it, while its reading grows.", choices=_TURNINGS),
    ]  # fmt: skip
    if section in INWARD:
        fields.append(
            Field("inward", "choice", f"Whether its reading grows or falls {INWARD[section]}.", choices=_GOES)
        )
    else:
        fields.append(Field("comes-up", "choice", "Whether a reading is come up to growing or falling.", choices=_GOES))
    fields.append(Field("travel", "length", "How far it can move from stop to stop.", needed=section == "compound"))
    if section == "cross-slide":
        fields.append(Field("reads", "choice", "What the dial shows.", needed=True, choices=("diameter", "radius")))
    return tuple(fields)


HEAD = (
    Field("stepcut-machine", "count", "Version of this kind of file.", needed=True, most=1),
    Field("name", "text", "Name of the machine."),
    Field("unit", "choice", "Unit that its cards are printed in.", needed=True, choices=("in", "mm")),
    Field("note", "text", "What it is.", default=""),
    Field("cutters", "cutters", "Cutters on hand, such as 1/2in or 1/4in ball.", default=""),
    Field("speeds", "counts", "Spindle speeds of the mill, turns a minute.", default="", most=100_000),
    Field("lathe-speeds", "counts", "Spindle speeds of the lathe, turns a minute.", default="", most=100_000),
    Field("gears", "counts", "Change gears on hand, by number of teeth.", default="", most=1000),
)
SECTIONS: dict[str, tuple[Field, ...]] = {
    "table": (
        Field("degrees-per-turn", "angle", "Degrees of the table for one turn of the crank."),
        Field("ratio", "count", "Turns of the crank for one turn of the table.", most=1000),
        Field("division", "angle", "Smallest mark that can be read.", needed=True),
        Field("dial", "choice", "How the dial reads.", default="decimal", choices=("decimal", "minutes")),
        Field("counts-up", "choice", "The way it turns, seen from above, while its reading grows.",
              default="clockwise", choices=_TURNINGS),
        Field("backlash", "angle", "Slack on reversal.", default="0deg", rule="not-negative"),
        Field("error", "angle", "Largest error of a reading.", default="0deg", rule="not-negative"),
        Field("hole-circles", "counts", "Hole circles of the plates that are fitted.", default="", most=1000),
        Field("crank-dial", "choice", "Whether the crank has a dial with marks, besides plates.", default="yes", choices=("yes", "no")),
    ),
    **{name: _linear(name) for name in ("depth", "depth-2", "depth-3", "slide", "carriage", "cross-slide")},
    "compound": (
        Field("zero", "choice", "Where its degree scale stands at nought.", needed=True, choices=("along", "across")),
        Field("degrees-division", "angle", "Smallest mark of its degree scale.", needed=True),
        *_linear("compound"),
    ),
}  # fmt: skip


def read_machine(path: Path) -> Machine:
    """Return the machine of a file.

    Raises
    ------
    Problems, BadValue
        With every fault of the file, its key and line.
    FileTrouble
        When it cannot be read.
    """
    content, text = read_toml(path)
    return _read(content, text, path.stem, str(path))


def from_text(text: str, name: str, source: str) -> Machine:
    """Return the machine of a file's text, kept elsewhere; ``source`` is what messages call it."""
    return _read(parse_toml(text, source), text, name, source)


def _read(content: Mapping[str, Any], text: str, stem: str, source: str) -> Machine:
    return _build(content, stem, lambda *keys: Where(source, ".".join(keys), line_of(text, keys)))


def _build(content: Mapping[str, Any], stem: str, where: Callable[..., Where]) -> Machine:
    problems: list[BadValue] = []
    values: dict[str, Any] = {}
    head = {key: value for key, value in content.items() if not isinstance(value, dict)}
    groups: list[tuple[str, tuple[Field, ...], Mapping[str, Any]]] = [("", HEAD, head)]
    for name, table in content.items():
        if not isinstance(table, dict):
            continue
        if name in SECTIONS:
            groups.append((name, SECTIONS[name], table))
        else:
            close = nearest(name, list(SECTIONS)) if len(problems) < MOST_PROBLEMS else ""
            way = f"Leave it out.{close}"
            problems.append(BadValue(f"[{name}]", None, "is not known here", way, where(name)))
    for name, fields, table in groups:
        path = (name,) if name else ()
        try:
            unit = content.get("unit")
            values[name] = read(
                table,
                fields,
                Units(unit if unit in ("in", "mm") else None),
                lambda key, path=path: where(*path, key),  # type: ignore[misc]  # a default argument binds the loop's value
            )
        except BadValue as problem:
            problems.append(problem)
        except Problems as several:
            problems.extend(several.problems)
    machine = None
    if not problems:
        try:
            machine = _machine(values, stem, where)
        except BadValue as problem:
            problems.append(problem)
    if problems or machine is None:
        raise Problems(problems) if len(problems) > 1 else problems[0]
    return machine


def _machine(values: Mapping[str, Any], stem: str, where: Callable[..., Where]) -> Machine:
    head = values[""]
    scales = {
        name: _scale(values[name], name, head["unit"], where) for name in SECTIONS if name != "table" and name in values
    }
    cross = scales.get("cross-slide")
    if cross is not None and values["cross-slide"]["reads"] == "diameter":
        cross = replace(
            cross,
            division=cross.division / 2,
            per_turn=cross.per_turn / 2 if cross.per_turn else None,
            error=cross.error / 2,
            backlash=cross.backlash / 2,
            doubled=True,
        )
    compound = None
    if "compound" in values:
        section = values["compound"]
        compound = Compound(
            section["zero"], section["degrees-division"], section["travel"], replace(scales["compound"], travel=None)
        )
    return Machine(
        name=gate.line(head["name"] or stem),
        unit=head["unit"],
        table=_table(values["table"], where) if "table" in values else None,
        depth=scales.get("depth"),
        slide=scales.get("slide"),
        carriage=scales.get("carriage"),
        cross=cross,
        compound=compound,
        cutters=head["cutters"],
        speeds=head["speeds"],
        lathe_speeds=head["lathe-speeds"],
        more_depths=tuple(scales[name] for name in ("depth-2", "depth-3") if name in scales),
        gears=head["gears"],
        note=head["note"],
    )


def _table(section: Mapping[str, Any], where: Callable[..., Where]) -> RotaryTable:
    place = where("table", "degrees-per-turn")
    crank, ratio = section["degrees-per-turn"], section["ratio"]
    if crank is None and ratio is None:
        way = "Give it or ratio; turn the crank once and see how far the rim moves."
        raise BadValue("degrees-per-turn", None, "is missing", way, place)
    if crank is not None and ratio is not None and crank * ratio != 360:
        rule = f"does not agree with ratio = {ratio}, which makes {float(Fraction(360, ratio)):g} deg"
        raise BadValue("degrees-per-turn", f"{float(crank):g} deg", rule, "Leave one of them out.", place)
    crank = crank if crank is not None else Fraction(360, ratio)
    if section["backlash"] >= crank:
        rule = f"must be less than one turn of its handle, {float(crank):g} deg"
        way = "Measure it again: forward until it moves, then back."
        raise BadValue("backlash", f"{float(section['backlash']):g} deg", rule, way, where("table", "backlash"))
    rim = Scale("rim", section["division"], crank, section["backlash"], section["error"], angular=True)
    return RotaryTable(
        rim, section["hole-circles"], section["counts-up"], section["dial"], section["crank-dial"] == "yes"
    )


def _scale(section: Mapping[str, Any], default: str, unit: Unit, where: Callable[..., Where]) -> Scale:
    slack, turn, travel, mark = (section[key] for key in ("backlash", "per-turn", "travel", "division"))
    handle = gate.line(section["handle"] or "")
    if len(handle) > LONGEST_HANDLE:
        rule = f"must be no longer than {LONGEST_HANDLE} letters"
        raise BadValue("handle", handle, rule, "Write its name, such as knee crank.", where(default, "handle"))
    if turn is None and slack >= LARGEST_SLACK:
        rule = f"must be less than {near_text(LARGEST_SLACK, unit)}"
        way = "Measure it again: forward until it moves, then back."
        raise BadValue("backlash", near_text(slack, unit), rule, way, where(default, "backlash"))
    if turn is not None and slack >= turn:
        rule = f"must be less than one turn of its handle, {near_text(turn, unit)}"
        way = "Measure it again: forward until it moves, then back."
        raise BadValue("backlash", near_text(slack, unit), rule, way, where(default, "backlash"))
    if travel is not None and travel < mark:
        rule = f"must be at least one mark, {near_text(mark, unit)}"
        raise BadValue("travel", near_text(travel, unit), rule, "Give how far it can move from stop to stop.", where(default, "travel"))  # fmt: skip
    return Scale(
        gate.line(section.get("name") or default),
        mark,
        turn,
        slack,
        section["error"],
        handle=handle,
        handle_turns=section["handle-turns"],
        inward=section.get("inward"),
        comes_up=section.get("comes-up"),
        travel=travel,
    )


def own_folder() -> Path:
    """Return the folder where a person's own machines stand."""
    return config_folder() / "machines"


def shipped_path(name: str) -> Path:
    """Return the file of a machine that ships with the program."""
    return data_folder("machines") / f"{name}.toml"


def names() -> list[tuple[str, Path]]:
    """Return every machine that is known by name, with its file."""
    try:
        own = sorted(own_folder().glob("*.toml"))
    except (FileTrouble, OSError):  # a person without a home has none of their own
        own = []
    return [(name, shipped_path(name)) for name in SHIPPED] + [(p.stem, p) for p in own if p.stem not in SHIPPED]


def find(name: str) -> Machine:
    """Return the machine of a name or a path.

    Raises
    ------
    BadValue
        When no machine has that name; the message lists those there are.
    """
    return replace(read_machine(path_of(name)), example=name in SHIPPED)


def found(name: str) -> tuple[Machine, str]:
    """Return the machine of a name or a path, and the text of its file, to be kept with a job."""
    path = path_of(name)
    text = read_text(path)
    return replace(from_text(text, path.stem, str(path)), example=name in SHIPPED), text


def path_of(name: str) -> Path:
    """Return the file of a machine's name, or of a path.

    Raises
    ------
    BadValue
        When no machine has that name; the message lists those there are.
    """
    if name in SHIPPED:
        return shipped_path(name)
    if name.endswith(".toml") or "/" in name or "\\" in name:
        return Path(name)
    for known, path in names():
        if known == name:
            return path
    known_names = [known for known, _ in names()]
    way = f"Use one of {', '.join(known_names)}, or the path of a file.{nearest(name, known_names)}"
    raise BadValue("machine", name, "there is no machine of that name", way)


def free_path(name: str) -> Path:
    """Return where a person's new machine will stand.

    Raises
    ------
    BadValue
        When the name cannot be a file name, or is taken by a machine that ships.
    FileTrouble
        When a file of that name stands already.
    """
    if name in SHIPPED or not name or len(name) > 60 or not all(c.isalnum() or c in "-_" for c in name):
        raise BadValue(
            "name",
            name,
            "cannot be the name of your own machine",
            f"Use letters, digits and dashes; not {' or '.join(SHIPPED)}.",
        )
    path = own_folder() / f"{name}.toml"
    if path.exists():
        raise FileTrouble(path, "stands already", "Choose another name, or edit that file.")
    return path


def write_new(name: str, text: str) -> Path:
    """Write a person's new machine file and return its path; never over another one, see :func:`free_path`."""
    path = free_path(name)
    write_whole(path, text)
    return path
