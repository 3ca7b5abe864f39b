"""CPU of a cold start against a bare interpreter with the same libraries: medians of paired runs.

python tests/benchmarks/startup.py [--pairs 21] [--old FOLDER]

Each is run with its output piped and on a terminal (of 100 columns), with bytecode, without a log of the user's own.
With the folder of an older program, its card is made in turn with this one's.
"""

from __future__ import annotations

import argparse
import fcntl
import os
import pty
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
from contextlib import suppress
from pathlib import Path

HERE = Path(__file__).parents[2]
RECIPE = str(HERE / "recipes" / "sluice-clamp-ramp.toml")
RING = ["--outside", "1.75in", "--bore", "1.40in", "--rise", "0.090in", "--span", "180deg", "--cutter", "1/2in"]
BARE = [sys.executable, "-c", "import typer, rich.table"]
HOME = tempfile.TemporaryDirectory()


def seconds(command: list[str], program: Path = HERE, terminal: bool = False) -> float:
    """Return the CPU seconds of a command, user and system."""
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    env |= {"PYTHONPATH": str(program), "XDG_DATA_HOME": HOME.name, "XDG_CONFIG_HOME": HOME.name, "TERM": "xterm"}
    reader, writer = pty.openpty() if terminal else os.pipe()
    if terminal:
        fcntl.ioctl(writer, termios.TIOCSWINSZ, struct.pack("HHHH", 50, 100, 0, 0))
    run = subprocess.Popen(
        command, cwd=program, env=env, stdin=subprocess.DEVNULL, stdout=writer, stderr=subprocess.DEVNULL
    )
    os.close(writer)
    with suppress(OSError):  # a terminal ends with an error where a pipe just ends
        while os.read(reader, 65536):
            pass
    os.close(reader)
    _, status, used = os.wait4(run.pid, 0)
    run.returncode = os.waitstatus_to_exitcode(status)
    if run.returncode:
        sys.exit(f"{' '.join(command)}: exit status {run.returncode}")
    return used.ru_utime + used.ru_stime


def ratio(name: str, command: list[str], against: list[str], pairs: int, terminal: bool = False) -> None:
    """Print what a command costs against another, run in turn."""
    times = [(seconds(against), seconds(command, terminal=terminal)) for _ in range(pairs + 1)][1:]
    base, cost = (statistics.median(column) for column in zip(*times, strict=True))
    middle = statistics.median(b / a for a, b in times)
    print(f"{name:<52} {base * 1000:6.0f} ms -> {cost * 1000:6.0f} ms   ratio {middle:.2f}", flush=True)


def main() -> None:
    """Measure everything."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pairs", type=int, default=21)
    parser.add_argument("--old", type=Path)
    given = parser.parse_args()
    pairs = given.pairs
    stepcut = [sys.executable, "-m", "stepcut"]
    card = [*stepcut, "card", RECIPE]
    for where, terminal in (("piped", False), ("on a terminal", True)):
        ratio(f"card, {where} / import typer, rich.table", card, BARE, pairs, terminal)
    for words, arguments in (
        ("table of choices", ["ramp", *RING]),
        ("--help", ["--help"]),
        ("--version", ["--version"]),
    ):
        ratio(f"{words} / the same", [*stepcut, *arguments], BARE, pairs)
    if given.old is not None:
        own = [*stepcut, "card", "sluice-clamp-ramp"]
        times = [(seconds(BARE), seconds(own, given.old), seconds(own)) for _ in range(pairs + 1)][1:]
        for name, column in (("before", 1), ("now", 2)):
            print(
                f"{'card, piped, ' + name:<52} ratio {statistics.median(each[column] / each[0] for each in times):.2f}"
            )
    with tempfile.TemporaryDirectory() as folder:
        pdf = [*card, "--out", f"{folder}/card.pdf", "--force"]
        ratio("PDF of a card / card, piped", pdf, card, pairs)


if __name__ == "__main__":
    main()
