"""Reading and writing files: whole or not at all, never over another one unasked.

Owns the wording of what can go wrong with a file.  It does not know what is in it.
"""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
import time
import tomllib
from pathlib import Path
from typing import Any

from stepcut.errors import BadValue, FileTrouble, Where

LARGEST = 1_000_000  # bytes; a recipe is a page of text
PART_PREFIX = ".stepcut-"  # of a file that is being written
PART_AGE = 600.0  # seconds; an unfinished file that is older belongs to a program that was killed


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

    A forced write replaces a regular file only, and leaves its permissions as they were.  Where the name is a symbolic link, the
    link stays and the file that it names is replaced.  File and folder are on the disk when this returns.

    Raises
    ------
    FileTrouble
        When something stands there already, is no regular file, or the folder cannot be written.
    """
    data = content.encode("utf-8", "replace") if isinstance(content, str) else content
    temporary: Path | None = None
    try:
        target = _target(path, force)
        target.parent.mkdir(parents=True, exist_ok=True)
        _sweep(target.parent)
        temporary = _written_beside(target, data)
        if force:
            temporary.replace(target)
        else:
            _put_new(temporary, target)
        _sync_folder(target.parent)
    except FileExistsError:
        raise _taken(path) from None
    except (OSError, ValueError) as error:
        raise FileTrouble(
            path, f"cannot be written ({_reason(error)})", "Check the folder and the space left."
        ) from None
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                temporary.unlink()


def refuse_taken(path: Path, force: bool) -> None:
    """Refuse a name under which :func:`write_whole` could not write, before anything is written.

    Raises
    ------
    FileTrouble
        When something stands there already and is not to be replaced, or is no regular file.
    """
    try:
        _target(path, force)
    except (OSError, ValueError) as error:
        raise FileTrouble(path, f"cannot be written ({_reason(error)})", "Check the name.") from None


def _target(path: Path, force: bool) -> Path:
    """Return the file that a name stands for: itself, or what a symbolic link names when that is to be replaced."""
    if not force:
        if os.path.lexists(path):
            raise _taken(path)
        return path
    target = path.resolve() if path.is_symlink() else path
    if os.path.lexists(target) and not stat.S_ISREG(target.lstat().st_mode):
        kind = "is a folder" if target.is_dir() else "is no regular file"
        raise FileTrouble(path, f"{kind}, and only a file is replaced", "Choose another name.")
    return target


def _taken(path: Path) -> FileTrouble:
    return FileTrouble(path, "stands already", "Choose another name, or add --force to replace it.")


def _written_beside(target: Path, data: bytes) -> Path:
    """Return a finished file beside the target, on the disk, with the permissions that the target has or would get."""
    handle, name = tempfile.mkstemp(prefix=PART_PREFIX, dir=target.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        try:
            mode = stat.S_IMODE(target.stat().st_mode) & 0o777
        except OSError:  # a new file
            mask = os.umask(0)
            os.umask(mask)
            mode = 0o666 & ~mask
        temporary.chmod(mode)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    return temporary


def _put_new(temporary: Path, path: Path) -> None:
    """Give a finished file its name, failing if the name was taken meanwhile."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        temporary.replace(path)


def _sweep(folder: Path) -> None:
    """Remove what a killed program left in a folder: its unfinished files, once they are older than any write takes."""
    before = time.time() - PART_AGE
    for left in folder.glob(f"{PART_PREFIX}*"):
        with contextlib.suppress(OSError):
            if left.lstat().st_mtime < before and not left.is_dir():
                left.unlink()


def _sync_folder(folder: Path) -> None:
    """Have the folder itself on the disk, so that a power cut does not take the new name; not every system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _reason(error: Exception) -> str:
    if isinstance(error, OSError) and error.strerror:
        return error.strerror.lower()
    return str(error)
