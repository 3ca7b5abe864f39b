"""Shared by every test: hypothesis profiles, a home of its own, and a way to run the program."""

from __future__ import annotations

import gc
import os
import secrets
import subprocess
import sys
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

# The same cases on every run and every machine, so that a change is judged by what it changed.
settings.register_profile(
    "steady",
    max_examples=40,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
# New cases on every run, many of them; the seed is printed, and --hypothesis-seed=N draws the same again.
settings.register_profile("long", settings.get_profile("steady"), derandomize=False, max_examples=1000)
PROFILE = os.environ.get("STEPCUT_HYPOTHESIS") or "steady"
settings.load_profile(PROFILE)

gc.set_threshold(20_000)  # as the program itself does: plans are many lasting objects and hardly a circle

ROOT = Path(__file__).parent.parent
HOMES = count(1)
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.hookimpl(tryfirst=True)  # before hypothesis reads its option; pytest-xdist hands the option on to its workers
def pytest_configure(config: pytest.Config) -> None:
    """Choose a seed for the long profile where none is given."""
    if PROFILE == "long" and config.option.hypothesis_seed is None:
        config.option.hypothesis_seed = str(secrets.randbelow(10**9))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say how to draw the same random cases again."""
    if PROFILE == "long":
        seed = terminalreporter.config.option.hypothesis_seed
        terminalreporter.write_line(f"cases were drawn with --hypothesis-seed={seed}; repeat with the profile long")


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test a home, so that none reads or writes the user's own."""
    home = (
        tmp_path_factory.getbasetemp() / "homes" / str(next(HOMES))
    )  # mktemp would look through all that were made before
    home.mkdir(parents=True)
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME"):
        monkeypatch.setenv(name, str(home))
    monkeypatch.delenv("COLUMNS", raising=False)
    if paths := os.environ.get("PYTHONPATH"):  # "PYTHONPATH=." holds for programs that a test starts in another folder
        monkeypatch.setenv("PYTHONPATH", os.pathsep.join(str(Path(path).resolve()) for path in paths.split(os.pathsep)))
    return home


# The program is imported in fixtures, not above: this file is read before coverage is measured in the processes of pytest-xdist,
# and what a module does while it is imported would count as reached by nobody.


@pytest.fixture(autouse=True, scope="session")
def kept_plans() -> None:
    """Solve each plan once in this process."""
    from tests import solved

    solved.keep_plans()


@pytest.fixture
def afresh(monkeypatch: pytest.MonkeyPatch) -> None:
    """Solve every plan of this test in it, none that another test has solved."""
    from tests import solved

    monkeypatch.setattr(solved, "KEPT", {})
    monkeypatch.setattr(solved, "LARGEST", -1)


@pytest.fixture
def run() -> Run:
    """Run the program in the tests' own process and return what it printed."""
    from tests.program import run_here

    def _run(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
        return run_here(arguments, **more)  # type: ignore[arg-type]

    return _run


@pytest.fixture
def program() -> Run:
    """Start the program as a shell does, for what only a process of its own shows, and return what it printed."""

    def _run(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
        environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **more.pop("env", {})}  # type: ignore[dict-item]
        return subprocess.run(
            [sys.executable, "-m", "stepcut", *arguments],
            capture_output=True, encoding=more.pop("encoding", "utf-8"), env=environment, timeout=120, **more,  # type: ignore[call-overload]
        )  # fmt: skip

    return _run
