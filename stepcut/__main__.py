"""The entry point: the one place that turns trouble into a message and an exit status."""

from __future__ import annotations

import gc
import sys


def joined(arguments: list[str]) -> list[str]:
    """Return the arguments with a negative value joined to the option before it.

    Examples
    --------
    >>> joined(["ramp", "--leave", "-5mm", "--json"])
    ['ramp', '--leave=-5mm', '--json']
    """
    result: list[str] = []
    for argument in arguments:
        # A value such as -5mm after an option would be taken for an option of its own.
        negative = argument[:1] in ("-", "−") and (argument[1:2].isdecimal() or argument[1:2] == ".")
        if negative and result and _an_option(result[-1]):
            result[-1] = f"{result[-1]}={argument}"
        else:
            result.append(argument)
    return result


def _an_option(argument: str) -> bool:
    """Whether an argument is an option by its long name alone, without a value."""
    import re  # here, so that nothing but this file is loaded before main listens for Ctrl-C

    return re.fullmatch(r"--[a-z][a-z-]*", argument) is not None


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
        gc.set_threshold(
            20_000
        )  # the libraries and a plan make many lasting objects and hardly a circle: look less often
        from stepcut.cli import run

        status = run(joined(sys.argv[1:]), last=True)
    except KeyboardInterrupt:
        if sys.stderr is not None:
            sys.stderr.write("Stopped.\n")
        status = 130
    sys.exit(status)


if __name__ == "__main__":
    main()
