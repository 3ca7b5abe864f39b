"""``stepcut log restore``: a copy in the place of the log."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def body(file: Annotated[str, typer.Argument(help="A copy that stepcut log backup wrote.")]) -> None:
    """Put a copy in the place of the log; the log that stood there is kept beside it under another name."""
    from stepcut import gate
    from stepcut.cli.ending import past_stopping
    from stepcut.cli.screen import say
    from stepcut.errors import BadValue
    from stepcut.log.care import restore
    from stepcut.log.store import default_path

    if Path(file).exists() and Path(file).resolve() == default_path().resolve():
        raise BadValue("file", file, "is the log itself", "Name a copy; see stepcut log check.")
    found, aside = restore(default_path(), Path(file))
    past_stopping()
    say(f"The log is that of {gate.line(file)} now: {found.counts['jobs']} jobs, {found.counts['ticks']} ticks.")
    if aside is not None:
        say(f"The one that stood there is kept as {gate.line(str(aside))}.")
