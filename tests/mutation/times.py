"""A pytest plugin that writes what each test took of the processor: `-p tests.mutation.times`, into the file STEPCUT_TIMES."""

from __future__ import annotations

import os
from collections.abc import Generator
from pathlib import Path

import pytest

KEY = "cpu"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None]:
    """Note the seconds of the processor that a test takes, the programs that it starts among them."""
    begun = sum(os.times()[:4])
    try:
        yield
    finally:
        item.user_properties.append((KEY, sum(os.times()[:4]) - begun))


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Write it down; one process writes, also where pytest-xdist runs the tests in others."""
    if report.when == "call" and not os.environ.get("PYTEST_XDIST_WORKER"):
        took = dict(report.user_properties).get(KEY, report.duration)
        with Path(os.environ["STEPCUT_TIMES"]).open("a", encoding="utf-8") as out:
            out.write(f"{took:.4f}\t{report.outcome}\t{report.nodeid}\n")
