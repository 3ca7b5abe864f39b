"""Where a person's own files stand: machines in the configuration folder, the log in the data folder."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from stepcut.errors import FileTrouble


def _checked(path: Path, variable: str) -> Path:
    """Refuse a folder that is only a guess: without a home the system's answer is a name that begins with a tilde."""
    given = os.environ.get(variable, "").strip()
    if not path.is_absolute() and given and not given.startswith("/"):
        rule = f"of {variable} is no whole path, and would be another folder wherever you stand"
        raise FileTrouble(given, rule, "Set it to one from the root on, or unset it.")
    if not path.is_absolute():
        way = f"Set HOME, or {variable}, to a folder of your own."
        raise FileTrouble("home folder", "is not known to the system", way)
    return path


def data_folder() -> Path:
    """Return the folder of the log.

    Raises
    ------
    FileTrouble
        When the user has no home folder.
    """
    system: str = sys.platform
    if system == "linux":  # every card asks for it, and the library costs more than the question
        return _checked(_linux("XDG_DATA_HOME", ".local/share"), "XDG_DATA_HOME")
    from platformdirs import user_data_path

    return _checked(_asked(user_data_path), "XDG_DATA_HOME")


def config_folder() -> Path:
    """Return the folder of the person's own machines.

    Raises
    ------
    FileTrouble
        When the user has no home folder.
    """
    system: str = sys.platform
    if system == "linux":
        return _checked(_linux("XDG_CONFIG_HOME", ".config"), "XDG_CONFIG_HOME")
    from platformdirs import user_config_path

    return _checked(_asked(user_config_path), "XDG_CONFIG_HOME")


def _linux(variable: str, usual: str) -> Path:
    """Return a folder by the XDG base directory specification 0.8: in that of a variable, or in the usual place at home."""
    base = os.environ.get(variable, "").strip()
    try:
        return (Path(base) if base else Path.home() / usual) / "stepcut"
    except (RuntimeError, KeyError):
        return Path("~")


def _asked(function: object) -> Path:
    try:
        found: Path = function("stepcut", appauthor=False)  # type: ignore[operator]  # one of the two above
    except (RuntimeError, KeyError):  # no home and no entry in the list of users
        return Path("~")
    return found
