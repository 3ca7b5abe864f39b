"""What is printed on a terminal keeps to its window, in the user's unit and local time."""

from __future__ import annotations

import io
import os
import re
import sys
from pathlib import Path

import pytest

from stepcut import cli
from stepcut.cli import screen, tick_lines
from tests.conftest import Run

COMMANDS = [
    ["check", "sluice-clamp-ramp"],
    ["check", "sluice-clamp-ramp", "--blue", "60%"],
    ["lock", "sluice-clamp-ramp"],
    ["recover", "sluice-clamp-ramp", "--cut", "7", "--found", "0.055in"],
    ["blue", "sluice-clamp-ramp", "55%"],
    ["compare", "sluice-clamp-ramp", "--set", "cut-with=side"],
    ["compare", "sluice-clamp-ramp", "oil-groove-helix", "--all"],
    ["where", "sluice-clamp-ramp", "--table", "71deg", "--depth", "0.1in"],
    ["log", "list"],
    ["log", "show", "1"],
    ["log", "check"],
    ["again", "1", "--set", "outside=2.25in"],
    ["again", "1", "--set", "outside=2.25in", "--all"],
]


class Terminal(io.StringIO):
    """A terminal that shows what is written to it."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("width", [40, 72])
def test_every_line_fits_the_window(width: int, run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    env = {"XDG_DATA_HOME": str(tmp_path)}
    note = "n a long note about the chatter that began at the second cut and went away again\n"
    run("tick", "sluice-clamp-ramp", "--lines", input="\n" * 30 + note + "q\n", env=env)
    run("log", "reading", "1", "1", "0.0070in", env=env)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr(screen, "width", lambda wanted=None: wanted or width)
    for command in COMMANDS:
        shown = Terminal()
        monkeypatch.setattr("sys.stdout", shown)
        assert cli.run(command) == (2 if command[0] == "where" else 0), command  # these readings fit no cut
        lines = shown.getvalue().splitlines()
        assert lines
        for line in lines:  # a table of readings and the path of a file stay whole
            assert len(line) <= width or line.startswith("|") or " " not in line.strip(), (command, line)
        assert not re.search(r"\d (mm|N·m)\b", shown.getvalue()) or "oil-groove-helix" in command, (
            command
        )  # an inch job
        assert not re.search(r"\d\d:\d\d:\d\d|T\d\d:\d\d|\+00:00", shown.getvalue()), command  # no stored time


def test_compare_shows_what_differs_and_counts_what_is_alike(run: Run) -> None:
    asked = ["compare", "sluice-clamp-ramp", "--set", "cutter=5/16in", "--width", "100"]
    # That the machine is only an example is said before, whatever else is alike.
    shown, whole = (run(*asked, *more).stdout.split("stepcut machine new.\n")[1] for more in ([], ["--all"]))
    differ = {line.split("  ")[0] for line in shown.splitlines() if line[:1].isalpha()}
    marked = {line.split("  ")[0] for line in whole.splitlines() if line[15:16] == "*"}
    alike = {line.split("  ")[0] for line in whole.splitlines() if line[:1].isalpha() and line[15:16] == " "}
    assert marked == differ
    assert f"{len(alike)} lines are alike; --all shows them." in shown


def test_a_line_of_ticking_keeps_to_a_terminal_and_stays_whole_in_a_pipe(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said = f"job 1: a clamp; {tick_lines.HELP}"
    tick_lines._say(said)
    assert capsys.readouterr().out == f"{said}\n"
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    monkeypatch.setattr(screen.shutil, "get_terminal_size", lambda fallback: os.terminal_size((40, 24)))
    tick_lines._say(said)
    shown = capsys.readouterr().out
    assert max(map(len, shown.splitlines())) <= 40
    assert " ".join(shown.split()) == said
