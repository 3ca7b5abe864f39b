"""Shared by every test: hypothesis profiles, a home of its own, and a way to run the program."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "bench",
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
settings.register_profile("long", settings.get_profile("bench"), max_examples=1000)
# The same cases on every run, so that a change is judged by what it changed; new ones are looked for on the bench.
settings.register_profile("steady", settings.get_profile("bench"), derandomize=True)
settings.load_profile(os.environ.get("STEPCUT_HYPOTHESIS") or ("steady" if os.environ.get("CI") else "bench"))

ROOT = Path(__file__).parent.parent
Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(autouse=True)
def own_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give every test a home, so that none reads or writes the user's own."""
    home = tmp_path_factory.mktemp("home")
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "HOME"):
        monkeypatch.setenv(name, str(home))
    monkeypatch.delenv("COLUMNS", raising=False)
    if paths := os.environ.get("PYTHONPATH"):  # "PYTHONPATH=." holds for programs that a test starts in another folder
        monkeypatch.setenv("PYTHONPATH", os.pathsep.join(str(Path(path).resolve()) for path in paths.split(os.pathsep)))
    return home


@pytest.fixture
def run() -> Run:
    """Run the program in a process of its own and return what it printed."""

    def _run(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
        environment = {**os.environ, "PYTHONIOENCODING": "utf-8", **more.pop("env", {})}  # type: ignore[dict-item]
        return subprocess.run(
            [sys.executable, "-m", "stepcut", *arguments],
            capture_output=True, encoding=more.pop("encoding", "utf-8"), env=environment, timeout=120, **more,  # type: ignore[call-overload]
        )  # fmt: skip

    return _run
