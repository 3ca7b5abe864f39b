"""A pytest plugin that writes how long each test took: `-p tests.mutation.times`, into the file STEPCUT_TIMES."""

from __future__ import annotations

import os
from pathlib import Path

import pytest


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note the time of the call of a test; one process writes, also where pytest-xdist runs the tests in others."""
    if report.when == "call" and not os.environ.get("PYTEST_XDIST_WORKER"):
        with Path(os.environ["STEPCUT_TIMES"]).open("a", encoding="utf-8") as out:
            out.write(f"{report.duration:.4f}\t{report.outcome}\t{report.nodeid}\n")
