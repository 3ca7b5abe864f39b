"""What a person sees on a real terminal while the program works: what is being done, a question before many pages, one line after Ctrl-C."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stepcut.cli import screen
from tests import needs

FINE = ["card", "valve-lift-plate", "--machine", "metric", "--set", "step=0.05deg"]  # some seconds of any machine
PROMPTS = ("$", "#")  # of a shell, and of one with every right


class Terminal:
    """A shell in a terminal of tmux."""

    def __init__(self, home: Path) -> None:
        self.tmux = [needs.found("tmux"), "-L", f"words-{os.getpid()}-{home.name}", "-f", "/dev/null"]
        environment = {**os.environ, "HOME": str(home), "LC_ALL": "C.UTF-8"}
        command = [*self.tmux, "-u", "new-session", "-d", "-s", "s", "-x", "100", "-y", "30", "sh"]
        subprocess.run(command, env=environment, cwd=home, check=True)

    def type(self, *keys: str) -> None:
        subprocess.run([*self.tmux, "send-keys", "-t", "s", *keys], check=True)

    def lines(self) -> list[str]:
        shown = subprocess.run(
            [*self.tmux, "capture-pane", "-p", "-t", "s"], capture_output=True, text=True, check=True
        )
        return [line.rstrip() for line in shown.stdout.splitlines() if line.strip()]

    def until(self, done: Callable[[list[str]], bool]) -> list[str]:
        """Wait for what it shows; so long that only what never comes fails."""
        for _ in range(1200):
            if done(lines := self.lines()):
                return lines
            time.sleep(0.05)
        raise AssertionError(lines)

    def run(self, *words: str) -> None:
        """Type a command of the program; its status is printed behind it."""
        self.until(lambda lines: bool(lines) and lines[-1] in PROMPTS)
        self.type(f"clear; '{sys.executable}' -m stepcut {' '.join(words)}; echo status $?", "Enter")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    made = Terminal(tmp_path)
    yield made
    subprocess.run([*made.tmux, "kill-server"], check=False)


def ended(lines: list[str]) -> bool:
    return any(line.startswith("status ") for line in lines)


@pytest.mark.long
def test_work_of_more_than_a_second_is_said_and_ctrl_c_leaves_nothing_and_prints_one_line(
    terminal: Terminal, tmp_path: Path
) -> None:
    terminal.run(*FINE, "--out", "card.pdf", "--pages", "1000")
    terminal.until(lambda lines: any("(Ctrl-C stops)" in line for line in lines))
    terminal.type("C-c")
    lines = terminal.until(ended)
    # The terminal writes ^C where the cursor is: after the words, or on the line below them.
    assert any(line.removesuffix("^C").endswith("... (Ctrl-C stops)") for line in lines)
    after = lines[max(k for k, line in enumerate(lines) if "(Ctrl-C stops)" in line) + 1 :]
    assert [line.removeprefix("^C") for line in after][:2] == ["Stopped.", "status 130"]
    assert sorted(path.name for path in tmp_path.iterdir() if path.suffix in (".pdf", "") and path.is_file()) == []
    assert not list(tmp_path.glob(".stepcut-*"))


@pytest.mark.long
def test_many_pages_are_asked_about_and_no_writes_none(terminal: Terminal, tmp_path: Path) -> None:
    terminal.run(*FINE, "--out", "card.pdf")
    terminal.until(lambda lines: any("Write them? [y/N]:" in line for line in lines))
    terminal.type("n", "Enter")
    lines = terminal.until(ended)
    question = next(line for line in lines if "Write them? [y/N]:" in line)
    assert "valve-lift-plate would have about " in " ".join(lines)
    assert lines[lines.index(question) + 1 :][:2] == ["Stopped.", "status 130"]
    assert not (tmp_path / "card.pdf").exists()


def test_short_work_is_not_said_and_long_work_is(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    with screen.working("Solving a ring"):
        pass
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(screen, "SILENT", 0.0)
    with screen.working("Solving a ring"):
        time.sleep(0.2)
    assert capsys.readouterr().err == "Solving a ring ... (Ctrl-C stops)\n"
