"""Which machine is meant when a command names none: the user's own, once there is one.

The choice stands in ``settings.toml`` in the configuration folder.  The first machine that is made becomes the choice.
"""

from __future__ import annotations

import json
from pathlib import Path

from stepcut.errors import BadValue, FileTrouble, Where
from stepcut.files import read_toml, write_whole
from stepcut.folders import config_folder
from stepcut.machine import files as machines


def settings_path() -> Path:
    """Return the file that remembers the choice."""
    return config_folder() / "settings.toml"


def default() -> str | None:
    """Return the name of the machine that the user has chosen; None while there is none.

    Raises
    ------
    BadValue
        When the settings cannot be read.
    """
    try:
        path = settings_path()
    except FileTrouble:  # a person without a home has no settings
        return None
    if not path.exists():
        return None
    content, _ = read_toml(path)
    name = content.get("machine")
    if name is None:
        return None
    if not isinstance(name, str):
        raise BadValue("machine", name, "must be a text in quotes", "Say it anew: stepcut machine use NAME.", Where(str(path)))  # fmt: skip
    return name


def use(name: str) -> Path:
    """Make a machine the one that is meant when none is named, and return the file that remembers it.

    Raises
    ------
    BadValue
        When there is no machine of that name.
    """
    machines.find(name)
    if name.endswith(".toml") or "/" in name or "\\" in name:
        name = str(Path(name).resolve())
    path = settings_path()
    write_whole(path, f"machine = {json.dumps(name, ensure_ascii=False)}\n", force=True)
    return path


def made(name: str) -> bool:
    """Take a machine that was just made as the user's choice if he has none of his own; return whether it was taken."""
    known = default()
    if known is not None and known not in machines.SHIPPED:
        return False
    use(name)
    return True


def which(named: str | None = None, recipe: str = "", unit: str | None = None) -> str:
    """Return the name or path of the machine that is meant.

    Parameters
    ----------
    named : str or None
        What the command names; it counts before all else.
    recipe : str
        What the recipe names; an example machine there gives way to the user's own.
    unit : str or None
        Unit of the recipe, which picks the example when there is nothing else.
    """
    if named:
        return named
    if recipe and recipe not in machines.SHIPPED:
        return recipe
    return default() or recipe or ("metric" if unit == "mm" else "inch")
