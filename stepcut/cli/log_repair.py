"""``stepcut log repair``: what can be read of a damaged log, in a new one."""

from __future__ import annotations


def body() -> None:
    """Read what can be read of a damaged log into a new one; the damaged file is kept under another name."""
    from stepcut import gate
    from stepcut.cli.ending import past_stopping
    from stepcut.cli.screen import say
    from stepcut.errors import FileTrouble
    from stepcut.log.care import look, repair
    from stepcut.log.store import default_path

    path = default_path()
    if not path.exists():
        say("There is no log to repair.")
        return
    try:
        if not look(path).faults:
            say("The log is whole; nothing is changed.")
            return
    except FileTrouble as trouble:
        if not trouble.rule.startswith("is damaged"):
            raise
    found, aside = repair(path)
    past_stopping()
    say(f"Saved {', '.join(f'{count} {table}' for table, count in found.counts.items())}.")
    for fault in found.faults:
        say(f"Lost: {gate.line(fault)}.")
    say(f"The damaged log is kept as {gate.line(str(aside))}.")
