"""The one module that writes to the terminal and knows how wide it is."""

from __future__ import annotations

import contextlib
import shutil
import sys
import threading
from collections.abc import Iterator

from stepcut.cards.terminal import plain

PIPED_WIDTH = 80
SILENT = 1.0  # seconds that anything may take without a word


def width(wanted: int | None = None) -> int:
    """Return how many columns to print: the wanted ones, the terminal's, or 80 when piped."""
    if wanted:
        return wanted
    return shutil.get_terminal_size((PIPED_WIDTH, 24)).columns if sys.stdout.isatty() else PIPED_WIDTH


def encoding() -> str:
    """Return the encoding of standard output."""
    return getattr(sys.stdout, "encoding", None) or "ascii"


def colour() -> bool:
    """Whether bold print may be used."""
    import os

    return sys.stdout.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def show(text: str) -> None:
    """Print text, whatever the terminal can encode; what came from outside is held at the gate."""
    sys.stdout.write(plain(text if text.endswith("\n") else text + "\n", encoding()))
    sys.stdout.flush()


def fold(text: str, columns: int) -> str:
    """Return text with its long lines broken at spaces, hanging under what they begin with; tables and rules stay.

    Examples
    --------
    >>> print(fold("- a line that is long\\n| a | table | of cells |", 12))
    - a line
      that is
      long
    | a | table | of cells |
    """
    from textwrap import wrap

    lines: list[str] = []
    for line in text.split("\n"):
        bare = line.lstrip()
        if len(line) <= columns or bare.startswith("|") or " " not in bare:
            lines.append(line)
            continue
        hang = " " * (len(line) - len(bare) + 2)
        lines += wrap(bare, columns, initial_indent=line[: len(line) - len(bare)], subsequent_indent=hang,
                      break_long_words=False, break_on_hyphens=False)  # fmt: skip
    return "\n".join(lines)


def show_folded(text: str) -> None:
    """Print text with its long lines broken to the window; in a pipe they stay whole, for whatever reads them."""
    show(fold(text, width()) if sys.stdout.isatty() else text)


def show_bytes(content: bytes) -> None:
    """Write bytes to standard output."""
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()


@contextlib.contextmanager
def working(words: str) -> Iterator[None]:
    """Say on a terminal's standard error what is being done, once it has taken a second."""
    if not sys.stderr.isatty():
        yield
        return
    timer = threading.Timer(SILENT, lambda: say(f"{words} ... (Ctrl-C stops)"))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def say(text: str) -> None:
    """Print a line beside the result, on standard error."""
    print(plain(text, getattr(sys.stderr, "encoding", None)), file=sys.stderr)
