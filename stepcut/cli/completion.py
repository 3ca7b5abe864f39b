"""``stepcut completion``: the script by which a shell completes commands, options, recipes and machines."""

from __future__ import annotations

from typing import Annotated

import typer
from typer.core import TyperCommand

from stepcut.cli.group import one
from stepcut.errors import BadValue

VARIABLE = "_STEPCUT_COMPLETE"
# A bare zsh has no compdef until its completion system is started.
FIRST = {"zsh": "(( $+functions[compdef] )) || { autoload -Uz compinit && compinit -u }\n"}
# Where each shell looks for it.
SWITCH_ON = {
    "bash": "Put it on with: stepcut completion bash >> ~/.bashrc",
    "zsh": "Put it on with: stepcut completion zsh >> ~/.zshrc",
    "fish": "Put it on with: stepcut completion fish > ~/.config/fish/completions/stepcut.fish",
    "powershell": "Put it on with: stepcut completion powershell >> $PROFILE",
}


def _body(shell: Annotated[str, typer.Argument(help=f"One of {', '.join(SWITCH_ON)}.")]) -> None:
    """Print the completion script of a shell; how to put it on is said beside it."""
    from typer._completion_shared import get_completion_script

    from stepcut.cli.screen import say, show

    name = shell.strip().lower()
    if name not in SWITCH_ON:
        raise BadValue("shell", shell, "is not one of the choices", f"Use one of {', '.join(SWITCH_ON)}.")
    script = get_completion_script(prog_name="stepcut", complete_var=VARIABLE, shell=name)
    show(f"{FIRST.get(name, '')}{script}")
    say(SWITCH_ON[name])


def recipe_names(incomplete: str) -> list[str]:
    """Return the own recipes and examples whose names begin so."""
    from stepcut import recipes

    return [path.stem for path in (*recipes.own(), *recipes.shipped()) if path.stem.startswith(incomplete)]


def machine_names(incomplete: str) -> list[str]:
    """Return the machines whose names begin so."""
    from stepcut.machine import files as machines

    return [name for name, _ in machines.names() if name.startswith(incomplete)]


def command() -> TyperCommand:
    """Return the command."""
    return one("completion", _body)
