"""Which tests reach which lines, and what they take of the processor: measured by one run of the tests with coverage."""

from __future__ import annotations

import os
import pickle
import re
import subprocess
import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from tests.mutation.mutants import Mutant

SLOW = 1.0  # seconds, with coverage: what takes longer is asked last, however near it stands
AWAY = 2  # cases of one test beside the changed file that are asked before the first case of a test elsewhere


@dataclass
class Reach:
    """For every file the tests that reach each of its lines; for every test its seconds of the processor."""

    lines: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)

    def tests(self, mutant: Mutant) -> list[str]:
        """Tests that can notice a change: those that reach its lines, the likely and quick ones first.

        What runs while the module is loaded, as a constant does, can be noticed by every test of the files that reach the module.
        The cases of one test check the same thing, so every test has its turn before a second case of any; those come first
        whose names have words of the changed place.
        """
        rows = self.lines.get(mutant.module, {})
        through = {test for tests in rows.values() for test in tests}
        if mutant.loading:
            files = {test.split("::")[0] for test in through}
            reached = {test for test in self.seconds if test.split("::")[0] in files}
        else:
            reached = {test for line in range(mutant.begin, mutant.end + 1) for test in rows.get(line, ())}
        near = PurePosixPath(mutant.module.replace("stepcut/", "tests/", 1)).parent.as_posix()

        nth: Counter[str] = Counter()
        rank: dict[str, tuple[bool, bool, int, int, float, str]] = {}
        named = set(re.findall("[a-z]{3,}", f"{PurePosixPath(mutant.module).stem} {mutant.where}".lower()))
        for test in sorted(
            (test for test in reached if test in self.seconds), key=lambda test: (self.seconds[test], test)
        ):
            took, function = self.seconds[test], test.split("[")[0]
            beside = test.startswith(
                (f"{near}/", f"{mutant.module}::", f"tests/test_{PurePosixPath(mutant.module).name}")
            )
            turn = nth[function] + (0 if beside else AWAY)
            rank[test] = (took > SLOW, test not in through, turn, -sum(word in test for word in named), took, test)
            nth[function] += 1
        return sorted(rank, key=rank.__getitem__)


def measure(top: Path, tests: list[str], workers: int, kept: Path | None = None) -> Reach:
    """Run the tests of a checkout once and read what they reach; those that fail as it is are named and not asked.

    Parameters
    ----------
    kept : Path, optional
        File that the result is kept in, and read from when it is there: for a checkout that has not changed since.
    """
    if kept is not None and kept.exists():
        found: Reach = pickle.loads(kept.read_bytes())  # noqa: S301  # written by this function
        return found
    found = _measured(top, tests, workers)
    if kept is not None:
        kept.write_bytes(pickle.dumps(found))
    return found


def _measured(top: Path, tests: list[str], workers: int) -> Reach:
    import coverage  # not at the top: the tests import this module for its examples, also where coverage is not installed

    data, times = top / "reach.coverage", top / "times.txt"
    command = [
        sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "tests.mutation.times", "-n", str(workers),
        "--cov", "stepcut", "--cov-context", "test", "--cov-report=", *tests,
    ]  # fmt: skip
    environment = {**os.environ, "PYTHONPATH": str(top), "COVERAGE_FILE": str(data), "STEPCUT_TIMES": str(times)}
    environment["STEPCUT_SOLVE_EACH"] = "1"  # a test reaches what it solves
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
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
        found.lines[str(Path(name).relative_to(top))] = dict(rows)
    return found
