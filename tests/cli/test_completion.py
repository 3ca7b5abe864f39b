"""Completion in real shells: the script is put on as the command says, a word is begun, and the shell completes it."""

from __future__ import annotations

import contextlib
import os
import pty
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.conftest import ROOT
from tests.needs import found

CASES = [
    ("stepcut ca", "card"),
    ("stepcut ramp --outs", "--outside"),
    ("stepcut card slu", "sluice-clamp-ramp"),
    ("stepcut card x --machine me", "metric"),
    ("stepcut machine chec", "check"),
]


@pytest.fixture
def shell_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty home with a ``stepcut`` on the path, and the variables of a shell that has just been started."""
    programs = tmp_path / "bin"
    programs.mkdir()
    command = programs / "stepcut"
    command.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m stepcut "$@"\n')
    command.chmod(0o755)
    for name, value in {"HOME": tmp_path, "ZDOTDIR": tmp_path, "PATH": f"{programs}:{os.environ['PATH']}"}.items():
        monkeypatch.setenv(name, str(value))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    return tmp_path


def script(shell: str) -> str:
    return subprocess.run(["stepcut", "completion", shell], capture_output=True, text=True, check=True).stdout


@pytest.mark.long  # a program is started for every word
def test_bash_completes(shell_home: Path) -> None:
    bash = found("bash")
    (shell_home / ".bashrc").write_text(script("bash"))
    for typed, offered in CASES:
        words = " ".join(f"'{word}'" for word in typed.split())
        ask = f"COMP_WORDS=({words}); COMP_CWORD={len(typed.split()) - 1}; _stepcut_completion stepcut; echo ${{COMPREPLY[@]}}"
        done = subprocess.run([bash, "-c", f". ~/.bashrc; {ask}"], capture_output=True, text=True, check=True)
        assert offered in done.stdout.split(), typed


@pytest.mark.long  # a program is started for every word
def test_fish_completes(shell_home: Path) -> None:
    fish = found("fish")
    folder = shell_home / ".config" / "fish" / "completions"
    folder.mkdir(parents=True)
    (folder / "stepcut.fish").write_text(script("fish"))
    for typed, offered in CASES:
        done = subprocess.run([fish, "-c", f"complete -C '{typed}'"], capture_output=True, text=True, check=True)
        assert offered in [line.split("\t")[0] for line in done.stdout.splitlines()], typed


@pytest.mark.long  # a program is started for every word
def test_zsh_completes_even_where_its_completion_was_not_started(shell_home: Path) -> None:
    zsh = found("zsh")
    (shell_home / ".zshrc").write_text(f"PS1='READY '\n{script('zsh')}\nPS1='READY '\n")
    wanted = "stepcut card sluice-clamp-ramp"
    assert wanted in typed_in(zsh, "stepcut card sluice-cl", wanted)  # as far as no other recipe begins


def typed_in(shell: str, line: str, wanted: str) -> str:
    """What an interactive shell in a window of its own shows, up to what is wanted, when a line and a tabulator are typed."""
    process, window = pty.fork()
    if process == 0:
        os.execvpe(shell, [shell, "-i"], {**os.environ, "TERM": "dumb"})  # noqa: S606  # the shell is what is tested
    shown = ""

    def until(words: str) -> None:
        nonlocal shown
        end = time.monotonic() + 60  # a busy machine may take long; where it never comes the test fails
        while words not in shown and time.monotonic() < end:
            if select.select([window], [], [], 0.2)[0]:
                shown += os.read(window, 65536).decode(errors="replace")

    try:
        until("READY")
        os.write(window, f"{line}\t".encode())
        until(wanted)
    finally:
        with contextlib.suppress(OSError):
            os.write(window, b"\x03exit\n")
        os.close(window)
        os.waitpid(process, 0)
    return shown


@pytest.mark.long  # a program is started for every word
def test_powershell_completes(shell_home: Path) -> None:
    pwsh = shutil.which("pwsh")
    if pwsh is None:
        pytest.skip("pwsh is missing, and no package of this system has it. To get it: PowerShell's own packages.")
    (shell_home / "profile.ps1").write_text(script("powershell"))
    for typed, offered in CASES:
        ask = f"(TabExpansion2 '{typed}' {len(typed)}).CompletionMatches | ForEach-Object {{ $_.CompletionText }}"
        command = [pwsh, "-NoProfile", "-Command", f". ~/profile.ps1; {ask}"]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert offered in done.stdout.split(), typed


@pytest.mark.parametrize(("typed", "offered"), CASES[:1])
def test_powershell_is_answered_in_the_form_that_its_script_reads(shell_home: Path, typed: str, offered: str) -> None:
    # The script splits every line at ":::", so that this much holds where no PowerShell is at hand.
    env = {
        **os.environ, "_STEPCUT_COMPLETE": "complete_powershell", "_TYPER_COMPLETE_ARGS": typed,
        "_TYPER_COMPLETE_WORD_TO_COMPLETE": typed.split()[-1],
    }  # fmt: skip
    done = subprocess.run(["stepcut"], capture_output=True, text=True, env=env, check=False)
    assert offered in [line.split(":::")[0].strip() for line in done.stdout.splitlines()]
