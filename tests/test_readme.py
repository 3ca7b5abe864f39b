"""The README is real: its examples are run and compared, and nothing that a user can call is missing from it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from stepcut.cli import COMMANDS
from stepcut.shapes import SHAPES
from tests.conftest import ROOT

README = ROOT / "README.md"
EXAMPLE = re.compile(r"<!-- example: (?P<command>.*?) -->\n```text\n(?P<shown>.*?)```", re.DOTALL)


def examples() -> list[tuple[str, str]]:
    return [(match["command"], match["shown"]) for match in EXAMPLE.finditer(README.read_text("utf-8"))]


def program(folder: Path) -> Path:
    """The folder where `stepcut` stands: that of this Python, or one with a stand-in where only the checkout is there."""
    if (installed := Path(sys.executable).parent / "stepcut").exists():
        return installed.parent
    stand_in = folder / "stepcut"
    stand_in.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m stepcut "$@"\n', "utf-8")
    stand_in.chmod(0o755)
    return folder


def printed(command: str, home: Path) -> str:
    environment = {
        **os.environ, "PATH": f"{program(home)}{os.pathsep}{os.environ['PATH']}", "XDG_DATA_HOME": str(home), "XDG_CONFIG_HOME": str(home),
        "PYTHONIOENCODING": "utf-8", "LC_ALL": "C.UTF-8",
    }  # fmt: skip
    done = subprocess.run(
        ["bash", "-c", command], cwd=ROOT, env=environment, capture_output=True, encoding="utf-8", timeout=120
    )
    return done.stdout


@pytest.mark.parametrize(("command", "shown"), examples(), ids=[command for command, _ in examples()])
def test_an_example_prints_what_the_readme_shows(command: str, shown: str, tmp_path: Path) -> None:
    assert shown == printed(command, tmp_path), "look at it, then run: python tests/test_readme.py"


def test_the_job_comes_first() -> None:
    first = README.read_text("utf-8").split("\n\n")[1]
    for word in ("ramp", "taper", "scales", "card", "file"):
        assert word in first


def test_every_command_and_shape_is_in_the_readme() -> None:
    text = README.read_text("utf-8")
    for name in [*COMMANDS, *SHAPES]:
        assert f"stepcut {name}" in text
    told = re.findall(r"^\| `stepcut ([\w-]+)` \|", text, re.MULTILINE)
    assert sorted(told) == sorted({*told}), "a command stands twice in the table"


def test_no_card_was_left_at_the_top_level() -> None:
    """A command that is tried in the checkout may write a card there; only what is meant is kept by git."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("no git or no checkout: what git keeps cannot be asked")
    kept = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, encoding="utf-8", check=True
    ).stdout.split("\n")
    loose = {name for name in kept if name and "/" not in name and not name.startswith(".")}
    assert loose == {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "requirements.lock"}


def test_the_ci_script_runs_the_readmes_test_command() -> None:
    assert "<!-- tests -->" in README.read_text("utf-8")
    assert "for mark in use tests" in (ROOT / ".ci" / "bare").read_text("utf-8")
    assert "<!-- use -->" in README.read_text("utf-8")


def rewrite() -> None:
    """Put what the examples print now into the README."""
    import tempfile

    def with_output(match: re.Match[str]) -> str:
        with tempfile.TemporaryDirectory() as home:
            return f"<!-- example: {match['command']} -->\n```text\n{printed(match['command'], Path(home))}```"

    README.write_text(EXAMPLE.sub(with_output, README.read_text("utf-8")), "utf-8")


if __name__ == "__main__":
    rewrite()
