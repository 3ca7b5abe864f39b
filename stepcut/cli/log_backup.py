"""``stepcut log backup``: a copy of the log, while it may be in use."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from stepcut.cli.options import Force


def body(out: Annotated[str, typer.Argument(help="File to write.")], force: Force = False) -> None:
    """Write a copy of the log, whole and with the newest ticks, while other windows may go on ticking."""
    from stepcut import gate
    from stepcut.cli.ending import past_stopping
    from stepcut.cli.screen import say
    from stepcut.errors import BadValue
    from stepcut.files import refuse_taken, write_whole
    from stepcut.log.care import whole
    from stepcut.log.store import default_path

    if Path(out).exists() and Path(out).resolve() == default_path().resolve():
        raise BadValue("out", out, "is the log itself", "Name another file.")
    refuse_taken(Path(out), force)
    data = whole(default_path())
    past_stopping()
    write_whole(Path(out), data, force)
    say(f"Wrote {gate.line(out)}. Put it back with stepcut log restore {gate.line(out)}.")
