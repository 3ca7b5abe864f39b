"""The entry point: the one place that turns trouble into a message and an exit status."""

from __future__ import annotations

import re
import sys

# A value such as -5mm after an option would be taken for an option of its own.
_NEGATIVE = re.compile(r"[-−][\d.]")


def joined(arguments: list[str]) -> list[str]:
    """Return the arguments with a negative value joined to the option before it.

    Examples
    --------
    >>> joined(["ramp", "--leave", "-5mm", "--json"])
    ['ramp', '--leave=-5mm', '--json']
    """
    result: list[str] = []
    for argument in arguments:
        if result and _NEGATIVE.match(argument) and re.fullmatch(r"--[a-z][a-z-]*", result[-1]):
            result[-1] = f"{result[-1]}={argument}"
        else:
            result.append(argument)
    return result


def main() -> None:
    """Run the command line and end with its exit status."""
    from stepcut.cli import run

    sys.exit(run(joined(sys.argv[1:])))


if __name__ == "__main__":
    main()
