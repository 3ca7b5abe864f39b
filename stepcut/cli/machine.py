"""``stepcut machine``: list, show or make a machine."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut import gate
from stepcut.cli.group import several
from stepcut.cli.screen import show
from stepcut.errors import BadValue, StepcutError
from stepcut.fields import Field, Units, read_one
from stepcut.files import parse_toml, read_text
from stepcut.machine import chosen
from stepcut.machine import files as machines

Name = Annotated[str, typer.Argument(help="Name of the machine, or its file.")]


def _list() -> None:
    """List the machines that are known by name, and where their files stand."""
    lines = []
    own = chosen.default()
    for name, path in machines.names():
        try:
            machine = machines.read_machine(path)
            note = machine.note or f"units {machine.unit}"
        except StepcutError:
            note = "has faults; see stepcut machine show"
        mark = "* " if name == own else "  "
        example = "EXAMPLE, " if name in machines.SHIPPED else ""
        lines.append(f"{mark}{gate.line(name)}: {example}{gate.prose(note)}\n      {gate.line(str(path))}")
    lines.append("* is meant when no machine is named." if own else "None is yours yet: stepcut machine new NAME.")
    show("\n".join(lines))


def _show(name: Name) -> None:
    """Print a machine's file, after checking it."""
    machines.find(name)
    path = machines.shipped_path(name) if name in machines.SHIPPED else _path(name)
    show(read_text(path))


def _use(name: Name) -> None:
    """Make a machine the one that is meant when a command names none."""
    chosen.use(name)
    show(f"Cards are made for {name} from now on.")


def _path(name: str) -> Path:
    known = dict(machines.names())
    return known.get(name, Path(name))


# What `machine new` asks: key of the file, question, field that checks the answer.
QUESTIONS = (
    ("unit", "Unit of its cards, in or mm", machines.HEAD[2]),
    (
        "table.degrees-per-turn",
        "Degrees of the table for one turn of the crank, such as 4deg",
        machines.SECTIONS["table"][0],
    ),
    (
        "table.division",
        "Smallest mark of the table that you can read, such as 1' or 0.1deg",
        machines.SECTIONS["table"][2],
    ),
    ("table.dial", "Does its dial read decimal degrees or minutes", machines.SECTIONS["table"][3]),
    (
        "table.counts-up",
        "Which way does it turn, seen from above, while its reading grows",
        machines.SECTIONS["table"][4],
    ),
    ("table.error", "Largest error of the table, such as 1'", machines.SECTIONS["table"][6]),
    ("depth.name", "What the depth scale is: readout, knee or quill", machines.SECTIONS["depth"][0]),
    ("depth.division", "Its smallest digit or mark, such as 0.0005in or 0.005mm", machines.SECTIONS["depth"][1]),
    ("depth.error", "Its largest error", machines.SECTIONS["depth"][2]),
    ("depth.per-turn", "Travel for one turn of its handle; empty if it has none", machines.SECTIONS["depth"][4]),
)


def _new(
    name: Annotated[str, typer.Argument(help="Name of your machine.")],
    like: Annotated[str, typer.Option("--like", help="Machine whose figures are offered.")] = "inch",
    unasked: Annotated[bool, typer.Option("--unasked", help="Take every offered figure without asking.")] = False,
) -> None:
    """Ask for a machine's figures and write its file; never over another one."""
    source = read_text(machines.shipped_path(like) if like in machines.SHIPPED else _path(like))
    machines.find(like)
    if name in machines.SHIPPED or (machines.own_folder() / f"{name}.toml").exists():
        machines.write_new(name, "")  # says why not, before anything is asked
    offered = parse_toml(source, like)
    answers: dict[str, str] = {}
    for key, question, field in QUESTIONS:
        section, _, leaf = key.rpartition(".")
        offer = str((offered.get(section, {}) if section else offered).get(leaf, ""))
        answers[key] = offer if unasked else _ask(question, offer, field, answers.get("unit"))
    path = machines.write_new(name, _filled(source, name, answers))
    machines.read_machine(path)
    taken = " It is meant from now on when no machine is named." if chosen.made(name) else ""
    show(f"Wrote {gate.line(str(path))}.{taken} Edit it to add slides, lathe, cutters and gears.")


def _ask(question: str, offer: str, field: Field, unit: str | None) -> str:
    """Ask until the answer can be read; the offered one stands when nothing is typed."""
    while True:
        text = typer.prompt(f"{question}", default=gate.line(offer), err=not sys.stdout.isatty())
        if not str(text).strip() and not field.needed:
            return ""
        try:
            read_one(field, text, Units(unit))
        except BadValue as problem:
            typer.echo(str(problem), err=True)
            continue
        return str(text).strip()


def _filled(source: str, name: str, answers: dict[str, str]) -> str:
    """Return the file's text with the answers in the places of the offered figures."""
    import json

    section = ""
    lines = [f"# The machine {name}, made with stepcut machine new."]
    answers = {**answers, "name": name, "note": ""}
    for line in source.splitlines():
        bare = line.strip()
        if bare.startswith("#"):
            continue
        if bare.startswith("["):
            section = bare.strip("[]") + "."
        key = section + bare.split("=")[0].strip()
        if "=" in bare and key in answers:
            if answers[key]:
                lines.append(f"{key.removeprefix(section)} = {json.dumps(answers[key], ensure_ascii=False)}")
        else:
            lines.append(line)
    return "\n".join(lines) + "\n"


def command() -> TyperCommand:
    """Return the commands."""
    return several("List, show or make a machine.", {"list": _list, "show": _show, "new": _new, "use": _use})
