"""A process that has every library loaded and forks for each mutant: `python -m tests.mutation.warm`, by tests.mutation.run.

It reads one line of JSON for each run, `{"tests": [...], "cpu": seconds}`, and answers in one: outcome (`killed`, `timeout` or
`survived`) and the test that failed.  It loads nothing of the program or of its tests itself, so that each fork reads them as they stand then.
"""

from __future__ import annotations

import contextlib
import gc
import json
import os
import resource
import signal
import sys
from importlib import import_module
from typing import Any

LIBRARIES = (
    "decimal", "difflib", "fractions", "hypothesis", "hypothesis.strategies", "jinja2", "manifold3d", "msgspec", "numpy", "pint",
    "platformdirs", "pypdfium2", "pytest", "rich.cells", "rich.console", "rich.table", "scipy.integrate", "scipy.optimize",
    "scipy.spatial", "shapely", "sqlite3", "textual", "typer", "typer.main", "typer.testing", "typst",
)  # fmt: skip
SURVIVED, UNKNOWN, NO_TESTS = (
    0,
    4,
    5,
)  # how pytest ends when no test failed, when it knows no such test, or none was there
WALL = 20  # seconds of a busy machine for each one of the processor, before a run that only waits is ended


def load() -> None:
    """Load what there is of the libraries that the program and its tests use, as the forks would each do."""
    for name in LIBRARIES:
        with contextlib.suppress(ImportError):
            import_module(name)
    gc.collect()
    gc.freeze()  # so that no fork copies all of it only to look for garbage


def asked(tests: list[str], cpu: int) -> tuple[str, str]:
    """Run tests in a fork of its own, within so many seconds of the processor; return what came of it, and what failed."""
    told, tell = os.pipe()
    child = os.fork()
    if not child:
        _run(tests, cpu, tell)
    os.close(tell)
    try:
        outcome, killer = _outcome(child, cpu), os.read(told, 1000).decode().partition("\n")[0]
        # A file that a change keeps from loading has no tests either, but says so.
        return "killed" if outcome == "unknown" and killer else outcome, killer
    finally:
        os.close(told)


def _outcome(child: int, cpu: int) -> str:
    signal.alarm(WALL * cpu)
    try:
        _, status = os.waitpid(child, 0)
    except TimeoutError:
        os.killpg(child, signal.SIGKILL)  # the fork's own group: it and what it started
        os.waitpid(child, 0)
        return "timeout"
    finally:
        signal.alarm(0)
    if os.WIFSIGNALED(status):
        return "timeout" if os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL) else "killed"
    ended = os.WEXITSTATUS(status)
    return "survived" if ended in (SURVIVED, NO_TESTS) else "unknown" if ended == UNKNOWN else "killed"


class _Failures:
    """A pytest plugin that tells which test failed, or which file could not be loaded."""

    def __init__(self, tell: int) -> None:
        self.tell = tell

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Tell of a test."""
        if report.failed:
            os.write(self.tell, f"{report.nodeid}\n".encode())

    pytest_collectreport = pytest_runtest_logreport


def _run(tests: list[str], cpu: int, tell: int) -> None:
    """In the fork: run the tests and end, whatever comes."""
    status = 1
    try:
        os.setpgid(0, 0)
        resource.setrlimit(resource.RLIMIT_CPU, (cpu, cpu + 5))
        nothing = os.open(os.devnull, os.O_RDWR)
        for number in (0, 1, 2):
            os.dup2(nothing, number)
        import pytest

        options = ["-x", "-q", "--assert=plain", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:pytest_cov"]
        status = int(pytest.main([*options, "-o", "addopts=--doctest-modules", *tests], [_Failures(tell)]))
    finally:
        os._exit(status)


def _ring(*_: object) -> None:
    raise TimeoutError


def main() -> None:
    load()
    signal.signal(signal.SIGALRM, _ring)
    for line in sys.stdin:
        job = json.loads(line)
        print(json.dumps(asked(job["tests"], job["cpu"])), flush=True)


if __name__ == "__main__":
    main()
