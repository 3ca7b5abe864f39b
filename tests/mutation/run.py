"""Try mutants of some files and write what came of them.

python -m tests.mutation.run --seed 1 --count 60 [--workers 2] [--budget 60] [--tests tests/shop,stepcut/shop] FILES...

FILES are files or folders of the package.  --tests narrows down which tests are measured and asked (all that are not
marked long, if left out); --reach FILE keeps what was measured for the next run on the same checkout.  A mutant is asked of the
quickest tests first, for no more than --budget seconds of the processor.  --only NAME tries one mutant again by its name (it may be
given more than once), and --again those of this seed that were not noticed; what comes of them is put beside what came of them first.
--long asks them of the tests marked long, of the folder beside the changed file or of --tests.  Survivors are printed with their
names: mend a test, or put the name and the reason into equivalents.toml.
"""

from __future__ import annotations

import argparse
import compileall
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue

from tests.mutation import results
from tests.mutation.mutants import Mutant, changed, mutants
from tests.mutation.reach import Reach, measure

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
EQUIVALENTS = HERE / "equivalents.toml"
FIRST = 2.0  # seconds of the processor for the first few tests: most mutants die there, and few files are loaded


class Bench:
    """A checkout of its own, and the warm process that asks the tests in it."""

    def __init__(self, top: Path) -> None:
        self.top = copied(top)
        compileall.compile_dir(str(self.top), quiet=1)  # or every fork would compile all of it anew
        environment = {
            **os.environ,
            "PYTHONPATH": str(top),
            "PYTHONDONTWRITEBYTECODE": "1",
            "OPENBLAS_NUM_THREADS": "1",
        }
        self.warm = subprocess.Popen(
            [sys.executable, "-m", "tests.mutation.warm"],
            cwd=top, env=environment, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip

    def ask(self, tests: list[str], cpu: float) -> tuple[str, str]:
        """Run tests as the checkout stands, twice the time that they take without a fault is allowed; return outcome and killer."""
        assert self.warm.stdin is not None and self.warm.stdout is not None  # both are pipes
        self.warm.stdin.write(json.dumps({"tests": tests, "cpu": int(2 * cpu) + 10}) + "\n")
        self.warm.stdin.flush()
        line = self.warm.stdout.readline() or sys.exit("the warm process has ended")
        outcome, killer = json.loads(line)
        if outcome == "unknown":  # or a kept --reach of other tests would count every mutant as dead
            sys.exit(f"pytest knows no such test any more, measure again what the tests reach: one of {tests}")
        return outcome, killer

    def close(self) -> None:
        """End the warm process."""
        assert self.warm.stdin is not None
        self.warm.stdin.close()
        self.warm.wait()

    def noticed(self, mutant: Mutant, reach: Reach, budget: float) -> tuple[str, str]:
        """Put the fault in, ask the tests, take it out again: killed, timeout, survived or not reached; and by which test."""
        tests = reach.tests(mutant)
        if not tests:
            return "not reached", ""
        return self.told(mutant, [(part, sum(reach.seconds[t] for t in part)) for part in _parts(tests, reach, budget)])

    def told(self, mutant: Mutant, parts: list[tuple[list[str], float]]) -> tuple[str, str]:
        """Put the fault in, ask one part of the tests after the other, each for so many seconds, and take the fault out again."""
        file = self.top / mutant.module
        source, stood = file.read_text("utf-8"), file.stat()
        try:
            file.write_text(changed(mutant, source), "utf-8")
            outcome, killer = "survived", ""
            for part, seconds in parts:
                outcome, killer = self.ask(part, seconds)
                if outcome != "survived":
                    break
            return outcome, killer
        finally:
            file.write_text(source, "utf-8")
            os.utime(file, ns=(stood.st_atime_ns, stood.st_mtime_ns))  # so that its compiled text counts again


def _parts(tests: list[str], reach: Reach, budget: float) -> list[list[str]]:
    """The first few tests, then the rest, as many as the budget allows."""
    first: list[str] = []
    rest: list[str] = []
    spent = 0.0
    for test in tests:
        spent += reach.seconds[test] + 0.01
        if spent > budget and rest:
            break
        (first if spent < FIRST and len(first) < 40 else rest).append(test)
    return [part for part in (first, rest) if part]


def copied(top: Path) -> Path:
    """A checkout of its own: what git knows and what stands beside it."""
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    for name in listed.stdout.splitlines():
        if (ROOT / name).is_file():
            (top / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, top / name)
    return top


def marked_long(top: Path, tests: list[str]) -> list[str]:
    """The tests marked long that stand in some files or folders."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "--collect-only",
        "-q",
        "-p",
        "no:cacheprovider",
        "-o",
        "addopts=-m long",
    ]
    there = [name for name in tests if (top / name.split("::")[0]).exists()]
    done = subprocess.run([*command, *there], cwd=top, capture_output=True, text=True)
    return [line for line in done.stdout.splitlines() if "::" in line] if there else []


def chosen(files: list[str], count: int, seed: int, only: set[str]) -> list[Mutant]:
    """The mutants to try: as many as asked for, drawn from all of these files by the seed."""
    paths = sorted(
        path for name in files for path in ([ROOT / name] if name.endswith(".py") else (ROOT / name).rglob("*.py"))
    )
    every = [mutant for path in paths for mutant in mutants(path.relative_to(ROOT).as_posix(), path.read_text("utf-8"))]
    if only:
        return [mutant for mutant in every if mutant.name in only]
    return random.Random(seed).sample(every, min(count, len(every)))  # noqa: S311  # a repeatable draw, no secret


Asking = Callable[[Bench, Mutant], tuple[str, str]]


def by_reach(reach: Reach, budget: float) -> Asking:
    """Ask the tests that reach the change, as many as the budget allows."""
    return lambda bench, mutant: bench.noticed(mutant, reach, budget)


def by_long(tests: list[str], seconds: float) -> Asking:
    """Ask the tests marked long, of some files or folders or of the folder beside the changed file."""

    def asking(bench: Bench, mutant: Mutant) -> tuple[str, str]:
        beside = [mutant.module.replace("stepcut/", "tests/", 1).rpartition("/")[0]]
        found = marked_long(bench.top, tests or beside)
        return bench.told(mutant, [(found, seconds)]) if found else ("not reached", "")

    return asking


def tried(wanted: list[Mutant], asking: Asking, benches: list[Bench]) -> dict[Mutant, tuple[str, str]]:
    """What came of every mutant, and by which test; one at a time on each bench."""
    free: Queue[Bench] = Queue()
    for bench in benches:
        free.put(bench)

    def one(mutant: Mutant) -> tuple[str, str]:
        bench = free.get()
        try:
            begun = time.monotonic()
            outcome, killer = asking(bench, mutant)
            print(f"{outcome:<12} {time.monotonic() - begun:5.1f} s  {mutant.name}  [{killer}]", flush=True)
            return outcome, killer
        finally:
            free.put(bench)

    with ThreadPoolExecutor(len(benches)) as pool:
        return dict(zip(wanted, pool.map(one, wanted), strict=True))


def checked(
    found: dict[Mutant, tuple[str, str]], reach: Reach, benches: list[Bench], budget: float
) -> dict[Mutant, tuple[str, str]]:
    """Ask the tests that noticed something once more with no fault in; where one fails so, it noticed nothing."""
    while True:
        killers = sorted({killer for _, killer in found.values() if killer in reach.seconds})
        outcome, false = benches[0].ask(killers, sum(reach.seconds[test] for test in killers))
        if outcome == "survived" or not killers:
            return found
        print(f"fails without any change too, so it is not asked again: {false}", flush=True)
        reach.seconds.pop(false, None)
        again = [mutant for mutant, (_, killer) in found.items() if killer == false]
        found.update(tried(again, by_reach(reach, budget), benches))


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seed", type=int, required=True)
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--budget", type=float, default=60.0)
    parser.add_argument("--tests")
    parser.add_argument("--reach", type=Path)
    parser.add_argument("--only", action="append")
    parser.add_argument("--again", action="store_true")
    parser.add_argument("--long", action="store_true")
    parser.add_argument("files", nargs="+")
    asked = parser.parse_args()
    only = set(asked.only or (results.not_noticed(asked.seed, asked.files) if asked.again else ()))
    wanted = chosen(asked.files, asked.count, asked.seed, only)
    equivalent = tomllib.loads(EQUIVALENTS.read_text("utf-8"))
    explained = [mutant for mutant in wanted if only and mutant.name in equivalent]  # nobody need be asked again
    wanted = [mutant for mutant in wanted if mutant not in explained]
    tests = asked.tests.split(",") if asked.tests else []
    with tempfile.TemporaryDirectory() as folder:
        benches = [Bench(Path(folder) / str(n)) for n in range(asked.workers)]
        if asked.long:
            found = tried(wanted, by_long(tests, asked.budget), benches)
            reach = Reach(seconds=dict.fromkeys((killer for _, killer in found.values()), asked.budget))
        else:
            begun = time.monotonic()
            reach = measure(benches[0].top, tests or ["tests", "stepcut"], asked.workers, asked.reach)
            among = tuple(tests or [""])
            reach.seconds = {test: took for test, took in reach.seconds.items() if test.startswith(among)}
            print(f"{len(reach.seconds)} tests pass and were measured in {time.monotonic() - begun:.0f} s", flush=True)
            found = tried(wanted, by_reach(reach, asked.budget), benches)
        found = checked(found, reach, benches, asked.budget)
        for bench in benches:
            bench.close()
    outcomes = {
        mutant: "equivalent" if outcome in results.ALIVE and mutant.name in equivalent else outcome
        for mutant, (outcome, _) in found.items()
    } | dict.fromkeys(explained, "equivalent")
    print(results.summary(outcomes))
    if only:
        results.mend(asked.seed, asked.files, outcomes)
    else:
        results.keep(asked.seed, asked.files, outcomes)


if __name__ == "__main__":
    main()
