"""Reading and writing files: whole or not at all, never over another one unasked.

Owns the wording of what can go wrong with a file.  It does not know what is in it.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import sys
import time
import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

from stepcut import gate
from stepcut.errors import BadValue, FileTrouble, Where

LARGEST = 1_000_000  # bytes; a recipe is a page of text
DEEPEST = 32  # dots in one key, and brackets open at once; a recipe has two
LARGEST_COUNT = 10**18  # of a whole number without unit
PART_PREFIX = ".stepcut-"  # of a file that is being written
PART_AGE = 600.0  # seconds; an unfinished file that is older belongs to a program that was killed


@lru_cache
def data_folder(kind: str) -> Path:
    """Return the folder of the files of one kind that ship inside the package.

    Where the package is one zip file, they are unpacked into a folder that goes when the program ends.
    """
    data = Path(__file__).parent / "data"
    if data.is_dir():
        return data / kind
    import atexit
    import tempfile
    from importlib.resources import files as resources

    inside = resources("stepcut") / "data" / kind
    folder = tempfile.TemporaryDirectory(prefix="stepcut-")
    atexit.register(folder.cleanup)
    for file in inside.iterdir() if inside.is_dir() else ():
        (Path(folder.name) / file.name).write_bytes(file.read_bytes())
    return Path(folder.name)


def read_text(path: Path) -> str:
    """Return the text of a file, with or without the mark that Notepad puts first; ``-`` is standard input.

    Only regular files are opened, for a pipe or a device may never end; what is read is bounded, whatever size the system
    says.

    Raises
    ------
    FileTrouble
        When it cannot be read.
    BadValue
        When it is not text, or far too long.
    """
    try:
        data = _standard_input() if str(path) == "-" else _bytes_of(path)
        if len(data) > LARGEST:
            raise BadValue("file", path, f"is larger than {LARGEST} bytes", "Name a recipe or machine file.")
        return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except FileNotFoundError:
        raise FileTrouble(path, "there is no such file", "Check the name and the folder.") from None
    except UnicodeDecodeError:
        raise BadValue("file", path, "is not UTF-8 text", "Save it as UTF-8 in your editor.") from None
    except (OSError, ValueError) as error:
        raise FileTrouble(path, _reason(error), "Check the name and who may read it.") from None


def _bytes_of(path: Path) -> bytes:
    """Return at most one byte more than is allowed of a regular file, without waiting for a pipe's other end."""
    if path.is_dir():
        raise FileTrouble(path, "is a folder", "Name a file in it.")
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0))
    with os.fdopen(handle, "rb") as file:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise FileTrouble(path, "is no regular file", "Name a file, or - for standard input.")
        return file.read(LARGEST + 1)


def _standard_input() -> bytes:
    stream = getattr(sys.stdin, "buffer", None)
    return stream.read(LARGEST + 1) if stream is not None else sys.stdin.read(LARGEST + 1).encode("utf-8", "replace")


def read_toml(path: Path) -> tuple[dict[str, Any], str]:
    """Return the content of a TOML file and its text."""
    text = read_text(path)
    return parse_toml(text, str(path)), text


def parse_toml(text: str, source: str) -> dict[str, Any]:
    """Return the content of a TOML text, in time that grows with its length and no faster.

    Raises
    ------
    BadValue
        When it is not TOML, or holds keys and numbers that no recipe has: dots or brackets by the thousand, which the
        parser takes a square of the time for, and numbers of thousands of digits.
    """
    way = 'Mend that line; a value stands in quotes, like rise = "0.090in".'
    try:
        line = _too_deep(text)
        if line:
            raise BadValue("file", None, f"is nested deeper than {DEEPEST} keys", "Mend it.", Where(source, "", line))
        content = tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error).rstrip(".")
        raise BadValue("file", None, f"is not TOML: {gate.line(reason)[:200]}", way, Where(source)) from None
    for key, value in content.items():
        _refuse_monsters(key, value, text, source)
    return content


# Strings and comments of TOML, in which dots and brackets mean nothing.
_QUIET = re.compile(r'"""(?:\\.|[^\\])*?"""|\'\'\'.*?\'\'\'|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\'|#[^\n]*', re.DOTALL)


def _too_deep(text: str) -> int:
    """Return the number of the first line with more dots in one key, or brackets open, than any recipe has; 0 if none."""
    bare = _QUIET.sub(lambda found: "s" + "\n" * found[0].count("\n"), text)
    opened = 0
    for number, line in enumerate(bare.split("\n"), 1):
        if line.count(".") > DEEPEST and any(part.count(".") > DEEPEST for part in re.split(r"[=,{]", line)):
            return number
        for character in re.findall(r"[\[{\]}]", line):
            opened = opened + 1 if character in "[{" else max(0, opened - 1)
            if opened > DEEPEST:
                return number
    return 0


def _refuse_monsters(key: str, value: object, text: str, source: str) -> None:
    """Refuse a whole number that Python itself would not print."""
    if isinstance(value, dict):
        for inner, each in value.items():
            _refuse_monsters(f"{key}.{inner}", each, text, source)
    elif isinstance(value, list):
        for each in value:
            _refuse_monsters(key, each, text, source)
    elif isinstance(value, int) and abs(value) > LARGEST_COUNT:
        rule = "a number of more than 18 digits"
        raise BadValue(key, None, rule, "Write fewer digits.", Where(source, "", line_of(text, tuple(key.split(".")))))


def line_of(text: str, path: tuple[str, ...]) -> int:
    """Return the line, from 1, on which a key of a TOML text stands; 0 when it is not found.

    Examples
    --------
    >>> line_of('a = 1\\n[ramp]\\nrise = "x"\\n', ("ramp", "rise"))
    3
    """
    return _lines_of_keys(text).get(path, 0)


@lru_cache(maxsize=4)
def _lines_of_keys(text: str) -> dict[tuple[str, ...], int]:
    """Return the first line of every key and table of a TOML text."""
    found: dict[tuple[str, ...], int] = {}
    section: tuple[str, ...] = ()
    for number, line in enumerate(text.split("\n"), 1):
        bare = line.split("#")[0].strip()
        if bare.startswith("["):
            section = tuple(part.strip().strip("\"'") for part in bare.strip("[]").split(".", DEEPEST + 1))
            found.setdefault(section, number)
        elif "=" in bare:
            key = tuple(part.strip().strip("\"'") for part in bare.split("=")[0].split(".", DEEPEST + 1))
            found.setdefault(section + key, number)
    return found


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
        raise FileTrouble(path, f"cannot be written ({_reason(error)})", "Check the name and the folder.") from None


def _target(path: Path, force: bool) -> Path:
    """Return the file that a name stands for: itself, or what a symbolic link names when that is to be replaced."""
    if not force:
        if os.path.lexists(path):
            raise _taken(path)
        return path
    target = Path(os.path.realpath(path)) if path.is_symlink() else path  # links in a ring are no fault here, but below
    if os.path.lexists(target) and not stat.S_ISREG(target.lstat().st_mode):
        kind = "is a folder" if target.is_dir() else "is no regular file"
        raise FileTrouble(path, f"{kind}, and only a file is replaced", "Choose another name.")
    return target


def _taken(path: Path) -> FileTrouble:
    return FileTrouble(path, "stands already", "Choose another name, or add --force to replace it.")


def _written_beside(target: Path, data: bytes) -> Path:
    """Return a finished file beside the target, on the disk, with the permissions that the target has or would get."""
    import tempfile

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
