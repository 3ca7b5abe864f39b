"""The entry point: the one place that turns trouble into a message and an exit status."""

from __future__ import annotations

import _signal  # type: ignore[import-not-found]  # signal's built-in half, unknown to type stubs: loads nothing more
import gc
import os
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


def _at_once(*_: object) -> None:
    """End as Ctrl-C ends the program, from within a library that is being loaded.

    A stop raised there can come out as something else: Python 3.11 makes a RuntimeError of what is raised while a class
    is made, and a library may catch all it meets.  Nothing is open and nothing written yet, so nothing is lost.
    """
    try:  # noqa: SIM105  # contextlib would have to be loaded first
        os.write(2, b"Stopped.\n")
    except OSError:
        pass
    os._exit(130)


def main() -> None:
    """Run the command line and end with its exit status; Ctrl-C counts from the first moment, while libraries load too."""
    try:
        heard = _signal.getsignal(_signal.SIGINT) is _signal.default_int_handler  # not where Ctrl-C is ignored
        if heard:
            _signal.signal(_signal.SIGINT, _at_once)
        sys.unraisablehook = _heard
        # The libraries and a plan make many lasting objects and hardly a circle: look less often.
        gc.set_threshold(20_000)
        from stepcut.cli import run

        if heard:
            _signal.signal(_signal.SIGINT, _signal.default_int_handler)
        status = run(joined(sys.argv[1:]), last=True)
    except KeyboardInterrupt:
        if sys.stderr is not None:
            sys.stderr.write("Stopped.\n")
        status = 130
    sys.exit(status)


if __name__ == "__main__":
    main()
