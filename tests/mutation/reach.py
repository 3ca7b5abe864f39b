"""Which tests reach which lines, and how long they take: measured by one run of the tests with coverage."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path


@dataclass
class Reach:
    """For every file the tests that reach each of its lines; for every test its seconds."""

    lines: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)

    def tests(self, module: str, begin: int, end: int) -> list[str]:
        """Tests that reach one of these lines, the quickest first.

        A line that runs only while the module is imported belongs to every test of the files that reach the module.
        """
        rows = self.lines.get(module, {})
        reached = {test for line in range(begin, end + 1) for test in rows.get(line, ())}
        if not reached:
            files = {test.split("::")[0] for tests in rows.values() for test in tests}
            reached = {test for test in self.seconds if test.split("::")[0] in files}
        return sorted((test for test in reached if test in self.seconds), key=lambda test: (self.seconds[test], test))


def measure(top: Path, tests: list[str], workers: int) -> Reach:
    """Run the tests of a checkout once and read what they reach; those that fail as it is are named and not asked."""
    import coverage  # not at the top: the tests import this module for its examples, also where coverage is not installed

    data, times = top / "reach.coverage", top / "times.txt"
    command = [
        sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "tests.mutation.times", "-n", str(workers),
        "--cov", "stepcut", "--cov-context", "test", "--cov-report=", *tests,
    ]  # fmt: skip
    environment = {**os.environ, "PYTHONPATH": str(top), "COVERAGE_FILE": str(data), "STEPCUT_TIMES": str(times)}
    done = subprocess.run(command, cwd=top, env=environment, capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.exit(f"the tests do not run:\n{done.stdout[-3000:]}\n{done.stderr[-1000:]}")
    found = Reach()
    for line in times.read_text("utf-8").splitlines():
        took, outcome, test = line.split("\t")
        if outcome == "passed":
            found.seconds[test] = float(took)
        elif outcome == "failed":
            print(f"fails without any change, so it is not asked: {test}", flush=True)
    read = coverage.CoverageData(str(data))
    read.read()
    for name in read.measured_files():
        rows: dict[int, set[str]] = defaultdict(set)
        for number, contexts in read.contexts_by_lineno(name).items():
            rows[number] = {context.rsplit("|", 1)[0] for context in contexts if context}
        found.lines[str(Path(name).relative_to(top))] = rows
    return found
