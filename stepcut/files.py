"""Reading and writing files: whole or not at all, never over another one unasked.

Owns the wording of what can go wrong with a file.  It does not know what is in it.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
import tomllib
from pathlib import Path
from typing import Any

from stepcut.errors import BadValue, FileTrouble, Where

LARGEST = 1_000_000  # bytes; a recipe is a page of text


def read_text(path: Path) -> str:
    """Return the text of a file, with or without the mark that Notepad puts first.

    Raises
    ------
    FileTrouble
        When it cannot be read.
    BadValue
        When it is not text, or far too long.
    """
    try:
        if path.is_dir():
            raise FileTrouble(path, "is a folder", "Name a file in it.")
        if path.stat().st_size > LARGEST:
            raise BadValue("file", path, f"is larger than {LARGEST} bytes", "Name a recipe or machine file.")
        return path.read_text("utf-8-sig")
    except FileNotFoundError:
        raise FileTrouble(path, "there is no such file", "Check the name and the folder.") from None
    except UnicodeDecodeError:
        raise BadValue("file", path, "is not UTF-8 text", "Save it as UTF-8 in your editor.") from None
    except (OSError, ValueError) as error:
        raise FileTrouble(path, _reason(error), "Check the name and who may read it.") from None


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return the content of a TOML file and its text."""
    text = read_text(path)
    try:
        return tomllib.loads(text), text
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error).rstrip(".")
        way = 'Mend that line; a value stands in quotes, like rise = "0.090in".'
        raise BadValue("file", None, f"is not TOML: {reason}", way, Where(str(path))) from None


def line_of(text: str, path: tuple[str, ...]) -> int:
    """Return the line, from 1, on which a key of a TOML text stands; 0 when it is not found.

    Examples
    --------
    >>> line_of('a = 1\\n[ramp]\\nrise = "x"\\n', ("ramp", "rise"))
    3
    """
    section: tuple[str, ...] = ()
    for number, line in enumerate(text.splitlines(), 1):
        bare = line.split("#")[0].strip()
        if bare.startswith("["):
            section = tuple(part.strip().strip("\"'") for part in bare.strip("[]").split("."))
            if section == path:
                return number
        elif "=" in bare:
            key = tuple(part.strip().strip("\"'") for part in bare.split("=")[0].split("."))
            if section + key == path:
                return number
    return 0


def write_whole(path: Path, content: str | bytes, force: bool = False) -> None:
    """Write a file whole or not at all; refuse to replace one unless forced.

    Raises
    ------
    FileTrouble
        When the file stands already, or the folder cannot be written.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    if path.exists() and not force:
        raise FileTrouble(path, "stands already", "Choose another name, or add --force to replace it.")
    temporary = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(prefix=".stepcut-", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0)
        os.umask(mask)
        Path(temporary).chmod(0o666 & ~mask)
        if force:
            Path(temporary).replace(path)
        else:
            _put_new(temporary, path)
    except FileExistsError:
        raise FileTrouble(path, "stands already", "Choose another name, or add --force to replace it.") from None
    except (OSError, ValueError) as error:
        raise FileTrouble(
            path, f"cannot be written ({_reason(error)})", "Check the folder and the space left."
        ) from None
    finally:
        with contextlib.suppress(OSError):
            if temporary:
                Path(temporary).unlink()


def _put_new(temporary: str, path: Path) -> None:
    """Give a finished file its name, failing if the name was taken meanwhile."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if path.exists():
            raise FileExistsError(path) from None
        Path(temporary).replace(path)


def _reason(error: Exception) -> str:
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error)
