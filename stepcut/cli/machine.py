"""``stepcut machine``: list, show or make a machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut import gate
from stepcut.cli import asking, drafts
from stepcut.cli.ending import past_stopping
from stepcut.cli.group import several
from stepcut.cli.options import Text
from stepcut.cli.screen import show
from stepcut.errors import BadValue, StepcutError
from stepcut.files import read_text, write_whole
from stepcut.machine import chosen, interview, moves
from stepcut.machine import files as machines
from stepcut.machine.mending import mended
from stepcut.machine.said import figures, headline

UNIT_WORDS = {"in": "inches", "mm": "millimetres"}
Name = Annotated[str, typer.Argument(help="Name of the machine, or its file.")]


def _list() -> None:
    """List the machines that are known by name, and where their files stand."""
    lines = []
    own = chosen.default()
    for name, path in machines.names():
        try:
            machine = machines.read_machine(path)
            scales = ", ".join(f"{key} {text}" for key, text in figures(machine).items() if key in ("crank", "depth"))
            note = machine.note or "; ".join(part for part in (scales, UNIT_WORDS[machine.unit]) if part)
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
    show(gate.toml_text(read_text(path)))


def _use(name: Name) -> None:
    """Make a machine the one that is meant when a command names none."""
    past_stopping()
    chosen.use(name)
    show(f"Cards are made for {name} from now on.")


def _path(name: str) -> Path:
    known = dict(machines.names())
    return known.get(name, Path(name))


def _new(
    name: Annotated[str, typer.Argument(help="Name of your machine.")],
    like: Annotated[
        Text,
        typer.Option(
            "--like", help="Copy this machine's figures with --unasked; they are not yours until you mend them."
        ),
    ] = None,
    unasked: Annotated[bool, typer.Option("--unasked", help="Copy the figures without asking anything.")] = False,
) -> int:
    """Describe your machine by answering questions in shop words; can be left and taken up again."""
    machines.free_path(name)  # says why not, before anything is asked
    if unasked:
        return _copied(name, like or "inch")
    answers = drafts.kept(name)
    if answers:
        show(f"Taken up where you left it: {_kept(answers)}.")
    asking.say(asking.WORDS)
    try:
        _interview(name, answers)
    except asking.LeftOff as left:
        show(f"Left; {_kept(answers)}. Go on with: stepcut machine new {name}")
        return 2 if left.ended else 0
    past_stopping()
    path = machines.write_new(name, interview.machine_text(name, answers))
    machine = machines.read_machine(path)
    drafts.forget(name)
    show(f"Wrote {gate.line(str(path))}.")
    if chosen.made(name):
        show("It is meant from now on when no machine is named.")
    asking.say(headline(machine))
    show(f"Prove it with: stepcut machine check {name}")
    return 0


def _kept(answers: dict[str, str]) -> str:
    return "1 answer is kept" if len(answers) == 1 else f"{len(answers)} answers are kept"


def _interview(name: str, answers: dict[str, str]) -> None:
    """Ask until everything is answered; each answer is kept as soon as it is understood."""
    while (question := interview.next_question(answers)) is not None:
        text = asking.line(interview.worded(question, answers))
        if asking.is_back(text):
            if answers:
                answers.popitem()
            drafts.keep(name, answers)
            continue
        if asking.is_how(text):
            for how in question.how:
                asking.told(how)
            continue
        if question.empty and asking.is_none(text):
            text = ""
        try:
            told = interview.understood(question, text, answers)
        except BadValue as problem:
            asking.told(str(problem))
            continue
        asking.told(told)
        answers[question.key] = text
        drafts.keep(name, answers)
        if question.key == "mark" and (drawing := interview.dial_drawing(answers)):
            show(drawing)


def _copied(name: str, like: str) -> int:
    """Write the figures of another machine under a new name, and say whose they are."""
    import json

    source = machines.find(like)
    text = read_text(machines.path_of(like))
    head, bracket, rest = text.partition("\n[")  # names of scales stand below
    lines = [line for line in head.splitlines() if not line.startswith(("#", "name =", "note ="))]
    lines += (bracket + rest).splitlines()
    first = f"# Copied from {like}: these figures are not yours until you have mended them."
    note = f"copied from {'the example ' if source.example else ''}{like}, not measured"
    at = next(n for n, line in enumerate(lines) if line.startswith("stepcut-machine")) + 1
    lines[at:at] = [f"name = {json.dumps(name)}", f"note = {json.dumps(note)}"]
    past_stopping()
    path = machines.write_new(name, "\n".join([first, *lines]) + "\n")
    machines.read_machine(path)
    taken = " It is meant from now on when no machine is named." if chosen.made(name) else ""
    show(f"Wrote {gate.line(str(path))}.")
    asking.say(f"{taken} Every figure in it is copied from {gate.line(like)}: put your own in.".strip())
    return 0


def _check(
    name: Annotated[Text, typer.Argument(help="Name of the machine; the one that is meant if left out.")] = None,
) -> int:
    """Prove a machine's file by a few known moves; status 2 when one does not come out."""
    name = chosen.which(name)
    machine = machines.find(name)
    asking.say(headline(machine))
    asking.say(
        "Answer yes, or what it reads instead; no if you cannot tell; back goes to the move before; quit leaves."
    )
    wrong: dict[str, str] = {}
    every, at = moves.moves(machine), 0
    try:
        while at < len(every):
            figure = _answer(every[at])
            if figure == asking.BACK[0]:
                at = max(0, at - 1)
                wrong.pop(every[at].key, None)
                continue
            if figure is not None:
                wrong[every[at].key] = figure
            at += 1
    except asking.LeftOff:
        show("Left before the last move: the file is not proved.")
        return 2
    if not wrong:
        show("Every move came out: the file is right.")
        return 0
    return _mend(name, machines.path_of(name), wrong)


def _mend(name: str, path: Path, wrong: dict[str, str]) -> int:
    """Say what the file must say, and write what is known when that is wanted; status 0 when everything is written."""
    show(f"Mend {gate.line(str(path))}:")
    for key, figure in wrong.items():
        show(_mending(key, figure))
    known = {key: figure for key, figure in wrong.items() if figure}
    if not known:
        return 2
    if name in machines.SHIPPED:
        asking.say("It is an example, and stays as it is. Describe your own: stepcut machine new NAME.")
        return 2
    text = mended(read_text(path), known)
    machines.from_text(text, path.stem, str(path))  # a file that would not read any more is never written
    try:
        if not asking.yes("Write that into the file? Each old figure stays beside it as a comment. (yes, no)"):
            show("Nothing was written.")
            return 2
    except asking.LeftOff:
        show("Nothing was written.")
        return 2
    write_whole(path, text, force=True)
    show("Written. Prove it once more with: stepcut machine check " + gate.line(name))
    return 0 if len(known) == len(wrong) else 2


def _mending(key: str, figure: str) -> str:
    """Return the line of the file that is wrong, as it must be; what to do where nobody can tell."""
    section, _, entry = key.partition(".")
    known = f' = "{figure}"' if figure else ": measure it, or look into the machine's book"
    return f"  [{section}]  {entry}{known}"


def _answer(move: moves.Move) -> str | None:
    """Return what the file must say after a move; None when it came out, empty when nobody can tell, back to go back."""
    question = move.words
    while True:
        text = asking.line(question).strip()
        word = text.lower()
        if asking.is_back(text):
            return asking.BACK[0]
        if asking.is_how(text):
            asking.told("Do it at the machine and look: yes when it is as asked, else what it reads.")
            question = move.words
            continue
        if word in ("y", "yes"):
            return None
        if word in ("n", "no"):
            asking.told(f"Then {move.key} is wrong in the file.")
            return ""
        figure = _figure(move, text)
        if figure is None:
            question = "Write yes or no, or what it reads."
            continue
        same = figure == move.now
        asking.told("That is what the file says." if same else f"Then {move.key} is {figure}.")
        return None if same else figure


def _figure(move: moves.Move, text: str) -> str | None:
    """Return what a reading makes the file say; None where it cannot be read, which is said."""
    try:
        return move.figure(text)
    except BadValue as problem:
        asking.told(str(problem))
        return None


def command() -> TyperCommand:
    """Return the commands."""
    return several(
        "machine",
        "Your machine: new, check, use, list, show.",
        {"list": _list, "show": _show, "new": _new, "use": _use, "check": _check},
    )
