"""What is wrong with a command line itself, in the words of every other message: the library's own sentences name no way out."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from stepcut import gate
from stepcut.errors import BadValue, Problems, nearest, shown

if TYPE_CHECKING:
    from typer.exceptions import TyperException


def said(trouble: TyperException, arguments: Sequence[str], commands: Sequence[str]) -> str:
    """Return the message of a command line that cannot be taken: ``name = value: rule. What to do.``"""
    if type(trouble).__name__ == "NoArgsIsHelpError":  # a group without a command: its help says what there is
        return gate.lines(trouble.format_message())
    text = gate.line(trouble.format_message())
    ctx = getattr(trouble, "ctx", None)
    called = ["stepcut", *(name for name in arguments[:1] if name in commands)]
    see = f"See {ctx.command_path if ctx is not None else ' '.join(called)} --help."
    if found := re.match(r"No such command '(.*?)'\.", text, re.S):
        among = (
            list(getattr(ctx.command, "commands", ())) if ctx is not None and ctx.parent is not None else list(commands)
        )
        near = "" if found[1] == "help" else nearest(found[1], among)  # who asks for help means no helix
        return f"command = {shown(found[1])}: is not known here.{near} {see}"
    if found := re.match(r"No such option: (\S+)", text):
        return f"option = {shown(found[1])}: is not known here.{_option(found[1], ctx)} {see}"
    if found := re.match(r"Got unexpected extra arguments?(?:\(s\))? \((.*)\)", text, re.S):
        return f"argument = {shown(found[1])}: is more than this command takes. Leave it out, or put what has blanks in quotes. {see}"
    if found := re.match(r"Option '-*(\S+)' requires an argument", text):
        return f"{found[1]}: has no value. Write one behind --{found[1]}. {see}"
    if found := re.match(r"Option '-*(\S+)' does not take a value", text):
        return f"{found[1]}: takes no value. Write --{found[1]} alone. {see}"
    param = getattr(trouble, "param", None)
    if param is not None:
        return _of_param(param, text, see)
    return f"{text} {see}"


@contextmanager
def options_named(keys: Sequence[str]) -> Iterator[None]:
    """Say ``Give --cutter`` in place of ``Give cutter`` of an input that is missing: on a command line it is an option."""
    names = "|".join(sorted(keys, key=len, reverse=True))
    key = rf"(?<!the )(?<!a )(?<![-\w])({names})(?![-\w])"  # as a name, not as a word of the sentence

    def named(problem: BadValue) -> BadValue:
        if problem.rule != "is missing" or not problem.remedy.startswith("Give "):
            return problem
        return BadValue(problem.name, problem.value, problem.rule, re.sub(key, r"--\1", problem.remedy))

    try:
        yield
    except Problems as problems:
        raise Problems([named(problem) for problem in problems.problems]) from None
    except BadValue as problem:
        raise named(problem) from None


def _option(name: str, ctx: Any) -> str:
    """Return what an option is called here, where that is known or near."""
    from stepcut.cli.shape import ALSO_CALLED

    if (called := ALSO_CALLED.get(name.lstrip("-"))) is not None:
        return f" Here it is called --{called}."
    known = [opt for param in ctx.command.get_params(ctx) for opt in param.opts if opt.startswith("--")] if ctx else []
    return nearest(name, known)


def _of_param(param: Any, text: str, see: str) -> str:
    """Return what is wrong with one option or argument."""
    option = param.param_type_name == "option"
    name = param.opts[0].lstrip("-") if option else param.name.rstrip("_").replace("_", "-")
    if text.startswith("Missing"):
        return f"{name}: is missing. Give {f'--{name}' if option else 'it behind the command'}. {see}"
    given = re.search(r": '?(.*?)'? is not ", text, re.S)
    value = f" = {shown(given[1])}" if given else ""
    low, high = getattr(param.type, "min", None), getattr(param.type, "max", None)
    if low is None:
        return f"{name}{value}: {text.rpartition(': ')[2].rstrip('.')}. {see}"
    bounds = f"of at least {low}" if high is None else f"from {low} to {high}"
    remedy = "stepcut log list shows the number of each job." if name == "job" else "Choose one."
    return f"{name}{value}: must be a whole number {bounds}. {remedy} {see}"
