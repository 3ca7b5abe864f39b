"""The entry point: the one place that turns trouble into a message and an exit status."""

from __future__ import annotations

import sys


def joined(arguments: list[str]) -> list[str]:
    """Return the arguments with a negative value joined to the option before it.

    Examples
    --------
    >>> joined(["ramp", "--leave", "-5mm", "--json"])
    ['ramp', '--leave=-5mm', '--json']
    """
    import re  # here, so that nothing but this file is loaded before main listens for Ctrl-C

    # A value such as -5mm after an option would be taken for an option of its own.
    negative = re.compile(r"[-−][\d.]")
    result: list[str] = []
    for argument in arguments:
        if result and negative.match(argument) and re.fullmatch(r"--[a-z][a-z-]*", result[-1]):
            result[-1] = f"{result[-1]}={argument}"
        else:
            result.append(argument)
    return result


def _heard(unheard: sys.UnraisableHookArgs) -> None:
    """Let a Ctrl-C that came while Python cleared an object away, where nothing can be raised, count a moment later."""
    if unheard.exc_type is KeyboardInterrupt:
        import _thread
        import time

        def again() -> None:
            time.sleep(0.001)  # until the hook itself has ended
            _thread.interrupt_main()

        _thread.start_new_thread(again, ())
    else:
        sys.__unraisablehook__(unheard)


def main() -> None:
    """Run the command line and end with its exit status; Ctrl-C counts from the first moment, while libraries load too."""
    try:
        sys.unraisablehook = _heard
        from stepcut.cli import run

        status = run(joined(sys.argv[1:]), last=True)
    except KeyboardInterrupt:
        if sys.stderr is not None:
            sys.stderr.write("Stopped.\n")
        status = 130
    sys.exit(status)


if __name__ == "__main__":
    main()
